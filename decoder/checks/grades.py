"""Strength against marks: a grade that is asked for or stated must be one that the mark can mean.

A head that shows no mark never gets a strength here, whatever a list says of it: nobody can see that this is the part
the list means.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from decoder.checks.cases import JointCase, StackCase
from decoder.checks.rules import RECORD_FORMAT, FieldPath, Problem, Rule, one_of, rule
from decoder.mark_records import Mark
from decoder.records import Bolt, Nut, Screw, Stud
from decoder.strength import Grade
from decoder.threads import Thread

_MARKED_PARTS: dict[type[Any], tuple[str, ...]] = {
    Bolt: ("bolt head",),
    Screw: ("bolt head", "socket screw head", "cross-recess head"),
    Stud: ("stud end", "stud shank"),
    Nut: ("nut",),
}


@dataclass(frozen=True, slots=True)
class _Claim:
    """A part that carries or is said to carry a grade. `path` leads to the grade's field."""

    path: FieldPath
    text: str
    grade: Grade | None
    mark: Mark | None
    thread: Thread | None


def _claims(case: JointCase) -> Iterator[_Claim]:
    """Grades asked for at parts, and the stated one, which speaks of the main fastener."""
    for stack in case.stacks:
        yield from _stack_claims(stack)
    stated = case.record.stated
    main = case.stack.main
    if stated is not None and stated.strength is not None:
        mark = case.lookup.mark(getattr(main.member, "mark", None)) if main else None
        grade = case.lookup.grade(stated.strength, "bolt")
        yield _Claim(("stated", "strength"), stated.strength, grade, mark, main.thread if main else None)


def _stack_claims(stack: StackCase) -> Iterator[_Claim]:
    lookup = stack.lookup
    for threaded in (*stack.bolts, *stack.nuts):
        member = threaded.member
        text = getattr(member, "strength", None)
        if text is None:
            continue
        number = threaded.path[len(stack.path)]
        grade = lookup.grade(text, "nut" if isinstance(member, Nut) else "bolt")
        mark = lookup.mark(getattr(member, "mark", None))
        yield _Claim((*stack.path, number, "strength"), text, grade, mark, threaded.thread)


@rule("strength-without-mark", "error", source="common practice")
def strength_without_mark(case: JointCase) -> Iterator[Problem]:
    """A part seen to carry no mark has no known strength."""
    for claim in _claims(case):
        if claim.mark is not None and claim.mark.shows_nothing:
            yield Problem(
                claim.path,
                f"'{claim.text}' for a part whose mark is '{claim.mark.id}'",
                "no strength: a part without a mark says nothing about it",
                "take the strength out; if the joint needs that grade, fit a marked part and write its mark",
            )


@rule("strength-not-in-mark", "error", source="common practice", acceptable=True)
def strength_not_in_mark(case: JointCase) -> Iterator[Problem]:
    """A grade asked for or stated is among those that the mark seen on the part can mean."""
    for claim in _claims(case):
        mark = claim.mark
        if claim.grade is None or mark is None or mark.shows_nothing:
            continue
        meant = _grades(mark, claim.thread)
        if claim.grade.name not in meant:
            can = f"{one_of(meant)}, which '{mark.id}' can mean" if meant else f"no grade: '{mark.id}' claims none"
            yield Problem(
                claim.path,
                f"'{claim.text}'",
                can,
                "look at the mark again and mend it, or mend the strength; a part of another grade is another part",
            )


def _grades(mark: Mark, thread: Thread | None) -> list[str]:
    """Grades that a mark can mean on a thread of this size."""
    return list(
        dict.fromkeys(
            meaning.grade
            for meaning in mark.means
            if meaning.grade is not None
            and (thread is None or meaning.from_size is None or thread.major_mm >= meaning.from_size.mm - 1e-6)
        )
    )


@rule("strength-told-twice", "error", source=RECORD_FORMAT, acceptable=True)
def strength_told_twice(case: JointCase) -> Iterator[Problem]:
    """A stated grade is the one asked for at the fastener."""
    stated, main = case.record.stated, case.stack.main
    asked = getattr(main.member, "strength", None) if main else None
    if stated is None or stated.strength is None or asked is None:
        return
    one, other = case.lookup.grade(stated.strength, "bolt"), case.lookup.grade(asked, "bolt")
    if one is not None and other is not None and one.name != other.name:
        yield Problem(
            ("stated", "strength"),
            f"'{stated.strength}'",
            f"'{asked}', as the stack asks for",
            "mend the one that is wrong; where two documents disagree, keep the better and say so in a note",
        )


@rule("grade-not-for-size", "warning", source=RECORD_FORMAT, acceptable=True)
def grade_not_for_size(case: JointCase) -> Iterator[Problem]:
    """A grade is given for the size of the thread it is asked for."""
    for claim in _claims(case):
        if claim.grade is None or claim.thread is None or not claim.grade.rows:
            continue
        if claim.grade.at(claim.thread.major_mm) is None:
            sizes = one_of(dict.fromkeys(row.sizes for row in claim.grade.rows))
            yield Problem(
                claim.path,
                f"'{claim.text}' on {claim.thread.designation}",
                f"a size that the tables give {claim.grade.name} for: {sizes}",
                "mend grade or thread; if both are right, nothing can be computed from this grade",
            )


@rule("mark-on-wrong-part", "error", source=RECORD_FORMAT)
def mark_on_wrong_part(case: JointCase) -> Iterator[Problem]:
    """A mark stands on the part that its record says it is seen on."""
    for stack in case.stacks:
        for path, member in stack.each(*_MARKED_PARTS):
            mark = case.lookup.mark(member.mark)
            parts = _MARKED_PARTS[type(member)]
            # 'No mark' is one record for heads and studs alike; nuts have their own.
            bare = mark is not None and mark.shows_nothing and mark.on != "nut" and not isinstance(member, Nut)
            if mark is not None and mark.on not in parts and not bare:
                yield Problem(
                    (*path, "mark"),
                    f"'{mark.id}', a mark on a {mark.on}",
                    f"a mark on a {one_of(parts)}",
                    "name the mark of this part; marks that look alike on other parts mean other things",
                )


@rule("mark-against-hand", "warning", source="common practice", acceptable=True)
def mark_against_hand(case: JointCase) -> Iterator[Problem]:
    """A mark that is put on left-hand threads is not recorded on a right-hand one."""
    for stack in case.stacks:
        for threaded in (*stack.bolts, *stack.nuts):
            mark = case.lookup.mark(getattr(threaded.member, "mark", None))
            if mark is None or threaded.thread is None or threaded.thread.left_hand:
                continue
            hands = {meaning.hand for meaning in mark.means if meaning.about == "hand"}
            if hands == {"left"}:
                number = threaded.path[len(stack.path)]
                yield Problem(
                    (*stack.path, number, "mark"),
                    f"'{mark.id}' on {threaded.thread.designation}",
                    "a left-hand thread, which this mark is put on",
                    "try which way it turns; write the thread with LH at its end if it is left-handed",
                )


RULES: tuple[Rule[Any], ...] = (
    strength_without_mark,
    strength_not_in_mark,
    strength_told_twice,
    grade_not_for_size,
    mark_on_wrong_part,
    mark_against_hand,
)
