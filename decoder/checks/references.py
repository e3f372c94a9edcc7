"""What a record names must exist: threads, grades, marks, kinds, materials, finishes, documents."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from decoder.build import did_you_mean
from decoder.checks.cases import JointCase
from decoder.checks.rules import RECORD_FORMAT, Problem, Rule, rule
from decoder.fields import KEY_SHAPE, GradeName, RecordId, ThreadName
from decoder.records import Nut


@rule("unknown-thread", "error", source=RECORD_FORMAT)
def unknown_thread(case: JointCase) -> Iterator[Problem]:
    """A thread is one of the thread tables, and its text means no other."""
    for named in case.names:
        if named.kind is ThreadName:
            answer = case.lookup.thread_or_reason(named.text)
            if isinstance(answer, str):
                yield Problem(named.path, f"'{named.text}'", "one thread of the tables", answer.rstrip("."))


@rule("unknown-grade", "error", source=RECORD_FORMAT)
def unknown_grade(case: JointCase) -> Iterator[Problem]:
    """A grade is one of the strength tables, and its text means no other; nuts have grades of their own."""
    for named in case.names:
        if named.kind is GradeName:
            part = "nut" if isinstance(named.holder, Nut) else "bolt"
            answer = case.lookup.grade_or_reason(named.text, part)
            if isinstance(answer, str):
                expected = f"one grade of the strength tables for a {part}"
                yield Problem(named.path, f"'{named.text}'", expected, answer.rstrip("."))


@rule("unknown-reference", "error", source=RECORD_FORMAT)
def unknown_reference(case: JointCase) -> Iterator[Problem]:
    """A mark, material, finish, washer, nut or kind of joint has a record of its own."""
    for named in case.names:
        if named.kind is RecordId and named.refers:
            known = case.lookup.ids(named.refers)
            if named.text not in known:
                yield Problem(
                    named.path,
                    f"'{named.text}'",
                    f"the name of a {named.refers} record",
                    _meant(named.text, sorted(known), f"use a {named.refers} that has a record, or add one"),
                )


@rule("unknown-source", "error", source=RECORD_FORMAT)
def unknown_source(case: JointCase) -> Iterator[Problem]:
    """A source that is written like the name of a document is one of the documents."""
    text = case.record.source
    if "-" in text and KEY_SHAPE.fullmatch(text) and text not in case.lookup.reference.sources:
        yield Problem(
            ("source",),
            f"'{text}'",
            "a file name in sources/ without its ending, or words",
            _meant(text, case.lookup.reference.sources, "add a file for it, or say in words who read or measured it"),
        )


@rule("unknown-spanner", "error", source=RECORD_FORMAT)
def unknown_spanner(case: JointCase) -> Iterator[Problem]:
    """A stated spanner is one of the spanner tables, and its marking means no other jaw."""
    stated = case.record.stated
    for field in ("spanner", "nut_spanner"):
        text = getattr(stated, field) if stated else None
        if text is None:
            continue
        answer = case.lookup.spanner_or_reason(text)
        if isinstance(answer, str):
            yield Problem(("stated", field), f"'{text}'", "one spanner of the tables", answer.rstrip("."))


def _meant(text: str, known: Iterable[str], otherwise: str) -> str:
    """The nearest known name, and what to do if it is not meant."""
    guess = did_you_mean(text, known)
    return f"{guess} If not, {otherwise}" if guess.endswith("?") else otherwise


RULES: tuple[Rule[Any], ...] = (unknown_thread, unknown_grade, unknown_reference, unknown_source, unknown_spanner)
