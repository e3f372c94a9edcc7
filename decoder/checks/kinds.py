"""Whether the kinds of nut and washer of a joint are allowed there, by the rules in their own records."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from decoder.checks.cases import JointCase, StackCase
from decoder.checks.rules import FieldPath, Problem, Rule, rule
from decoder.findings import Level
from decoder.kind_rules import kind_of, speaks
from decoder.kinds import HardwareKind
from decoder.kinds import Rule as KindRule
from decoder.quantities import format_temperature
from decoder.records import Nut, Pin, Washer

#: Ways of locking that a joint which vibrates can count on, or that its maker did.
LOCKS = ("own thread grip", "bent tab", "staking", "teeth", "spring, disputed", "seat")

_EXPECTED: Mapping[Level, str] = {
    "error": "a kind that is allowed there",
    "warning": "a kind that is at home there",
    "note": "the kind that the maker specified",
}
_FIX: Mapping[Level, str] = {
    "error": "write a kind that may go there, or mend what the joint is said to live in: ",
    "warning": "write the kind that the maker fitted, or say under accepted why this one is right: ",
    "note": "none needed: ",
}

#: Where most of the rules in the records were read; each finding names its own source.
_MOSTLY = "faa-ac-43-13-1b"


@rule("kind-not-allowed", "error", source=_MOSTLY)
def kind_not_allowed(case: JointCase) -> Iterator[Problem]:
    """A nut or washer is not used where an authority forbids its kind."""
    yield from _problems(case, "error")


@rule("kind-doubtful", "warning", source=_MOSTLY, acceptable=True)
def kind_doubtful(case: JointCase) -> Iterator[Problem]:
    """A nut or washer is used where its kind is at home."""
    yield from _problems(case, "warning")


@rule("kind-disputed", "note", source=_MOSTLY, acceptable=True)
def kind_disputed(case: JointCase) -> Iterator[Problem]:
    """Where sources differ on a kind of nut or washer, the reader is told."""
    yield from _problems(case, "note")


@rule("nothing-locks-it", "warning", source="common practice", acceptable=True)
def nothing_locks_it(case: JointCase) -> Iterator[Problem]:
    """A joint that clamps and vibrates has something that keeps it from coming undone."""
    record = case.record
    if record.duty != "clamp" or "vibration" not in _conditions(case):
        return
    if record.tighten is not None and record.tighten.threadlock:
        return
    stack = case.stack
    if not stack.bolts or any(True for _ in stack.each(Pin)):
        return
    nuts = [path for path, _ in stack.each(Nut)]
    if len(nuts) > 1 or any(kind.lock in LOCKS for _, kind in _kinds(stack)):
        return
    yield Problem(
        nuts[0] if nuts else stack.bolts[0].path[:-1],
        "a joint that vibrates, and nothing in it that locks",
        "a lock washer, a self-locking nut, a pin, a second nut or thread-locking compound",
        "add what the maker fitted, or say under accepted what holds it",
    )


def _problems(case: JointCase, level: Level) -> Iterator[Problem]:
    for stack in case.stacks:
        for path, kind in _kinds(stack):
            for each in kind.rules:
                if each.level == level and speaks(
                    each, case.record, stack.members, _number(path), case.lookup.reference
                ):
                    yield Problem(
                        path,
                        f"'{kind.id}'{_where(each)}",
                        _EXPECTED[level],
                        f"{_FIX[level]}{each.because.rstrip('.')} ({_sources(each)})",
                    )


def _kinds(stack: StackCase) -> Iterator[tuple[FieldPath, HardwareKind]]:
    """Nuts and washers of a stack that have a record."""
    for path, member in stack.each(Nut, Washer):
        kind = kind_of(member, stack.lookup.reference)
        if kind is not None:
            yield path, kind


def _conditions(case: JointCase) -> set[str]:
    return {condition.name for condition in case.record.conditions}


def _where(each: KindRule) -> str:
    """What in the joint makes the rule speak, in words."""
    parts = [
        f"heat above {format_temperature(each.above)}" if each.above is not None else each.condition,
        f"a {each.consequence} joint" if each.consequence else None,
        "not renewed" if each.reused else None,
        f"a bolt over {each.bolt_over_mpa} MPa" if each.bolt_over_mpa else None,
    ]
    named = ", ".join(part for part in parts if part)
    return f" with {named}" if named else ""


def _sources(each: KindRule) -> str:
    """Where the rule was read, by source id and place."""
    return "; ".join(f"{source.document} {source.where}".strip() for source in each.sources)


def _number(path: FieldPath) -> int:
    last = path[-1]
    return last if isinstance(last, int) else 0


RULES: tuple[Rule[Any], ...] = (kind_not_allowed, kind_doubtful, kind_disputed, nothing_locks_it)
