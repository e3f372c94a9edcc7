"""Whether a rule in the record of a kind of nut or washer speaks in a joint: everything that it names must hold."""

from __future__ import annotations

from decoder.joint_threads import main_thread
from decoder.kinds import HardwareKind, Rule
from decoder.quantities import QuantityError
from decoder.records import SAFETY_CRITICAL, Bolt, Joint, Member, Nut, Screw, Stud, Washer
from decoder.reference import Reference

#: Words under `renew` that speak of nuts, and of washers.
_RENEWED = {
    Nut: ("nut", "lock nut"),
    Washer: ("washer", "tab washer", "spring washer", "crush washer"),
}


def kind_of(member: Member, reference: Reference) -> HardwareKind | None:
    """The record of a nut's or washer's kind; None for anything else."""
    if isinstance(member, Nut):
        return reference.nuts.get(member.nut)
    return reference.washers.get(member.washer) if isinstance(member, Washer) else None


def speaks(rule: Rule, record: Joint, stack: tuple[Member, ...], number: int, reference: Reference) -> bool:
    """Whether a rule of the kind of the member at `number` holds in a joint with this stack."""
    member = stack[number]
    if rule.condition is not None and all(each.name != rule.condition for each in record.conditions):
        return False
    if rule.above is not None and not any(
        each.temperature is not None and each.temperature > rule.above for each in record.conditions
    ):
        return False
    if rule.consequence is not None and not (
        record.consequence == rule.consequence
        or (rule.consequence == "safety-critical" and record.consequence in SAFETY_CRITICAL)
    ):
        return False
    if rule.duty is not None and record.duty != rule.duty:
        return False
    if rule.reused and isinstance(member, Nut | Washer) and set(record.renew) & set(_RENEWED[type(member)]):
        return False
    if rule.bolt_over_mpa is not None:
        strength = _bolt_mpa(stack, reference)
        if strength is None or strength <= float(rule.bolt_over_mpa) or getattr(member, "weak_on_purpose", None):
            return False
    # A plain washer is no plain nut: a rule means its own sort of part.
    others = {
        kind.id
        for at, other in enumerate(stack)
        if at != number and type(other) is type(member) and (kind := kind_of(other, reference)) is not None
    }
    return not others & set(rule.unless_with)


def _bolt_mpa(stack: tuple[Member, ...], reference: Reference) -> float | None:
    """Tensile stress of the joint's bolt or stud by the grade asked for, [MPa], or None where nothing says it."""
    fastener = next((each for each in stack if isinstance(each, Bolt | Screw | Stud)), None)
    thread = main_thread(stack, reference.threads)
    if fastener is None or fastener.strength is None or thread is None:
        return None
    try:
        grade = reference.strengths.find(fastener.strength, "bolt")
    except QuantityError:
        return None
    row = grade.at(thread.major_mm)
    return row.tensile_mpa if row else None
