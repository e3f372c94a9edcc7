"""What a joint comes to, in the words of its card: the sentence, the tightening, what else may go in."""

from __future__ import annotations

from dataclasses import dataclass

from decoder.joints import JointFigures
from decoder.quantities import format_length, format_torque
from decoder.records import Joint
from decoder.reference import Reference
from decoder.substitutes import specified_only, substitutes
from decoder.writing import trimmed


@dataclass(frozen=True, slots=True)
class SubstituteView:
    """Something in the tub that might go in instead, and why it may or may not."""

    what: str
    verdict: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FiguresView:
    """What follows from a joint's record, in sentences."""

    sentence: str
    torque: str
    torque_from: str
    why_no_torque: str
    computed: str
    working: tuple[str, ...]
    assumes: tuple[str, ...]
    bench: tuple[str, ...]
    weakest: str
    cautions: tuple[str, ...]
    specified_only: str
    substitutes: tuple[SubstituteView, ...]


def figures_view(found: JointFigures, record: Joint, reference: Reference) -> FiguresView:
    """The figures of a joint as its card shows them; cautions of the record itself stand elsewhere on the card."""
    torque, tightening, weakest = found.torque_nm, found.tightening, found.weakest
    computed = tightening.torque_nm if tightening is not None else None
    only = specified_only(record, reference)
    return FiguresView(
        sentence=found.sentence,
        torque=format_torque(torque.low, torque.high) if torque else "",
        torque_from=found.torque_from,
        why_no_torque="" if torque else found.torque_why,
        computed=format_torque(computed.low, computed.high) if computed and found.torque_from == "stated" else "",
        working=tightening.working if tightening is not None else (),
        assumes=found.assumes,
        bench=tuple(
            words
            for words in (
                found.bench_check,
                _left(found),
                found.slots.words if found.slots else "",
                found.drag.words if found.drag else "",
            )
            if words
        ),
        weakest=f"{weakest.part}, at {trimmed(weakest.load_n / 1000, 1)} kN ({weakest.how})" if weakest else "",
        cautions=tuple(caution for caution in found.cautions if caution not in record.cautions),
        specified_only=only,
        substitutes=()
        if only
        else tuple(
            SubstituteView(answer.what, answer.verdict, answer.reasons) for answer in substitutes(record, reference)
        ),
    )


def _left(found: JointFigures) -> str:
    """What an adjuster's lock nut leaves of its thread."""
    if not found.left_in_hole or found.engagement_mm is None:
        return ""
    return f"Thread in the hole: {format_length(round(found.engagement_mm, 2))} at most; {found.left_in_hole}."
