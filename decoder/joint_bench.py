"""What is done at the bench beside the figures: bolts pushed through to see their lengths, slots, drag of nuts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from decoder.joint_case import JointCase, system_of
from decoder.joint_threads import find_thread, place_count
from decoder.quantities import format_length, format_torque
from decoder.records import Nut
from decoder.stacks import Layout
from decoder.tables import Provenance
from decoder.threads import Thread
from decoder.writing import trimmed

#: Nuts that a split pin goes through, and nuts that hold by their own thread.
CROWNED = ("castellated", "slotted")
SELF_LOCKING = ("nylon-insert", "fibre-insert", "all-metal-top", "all-metal-centre", "slotted-collar")

#: Bolts that stand out alike differ by less, [mm]: bosses are cast.
_ALIKE_MM = 0.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Slots:
    """The slots of a castellated nut: how many, the turn to the next one, [deg], and its advance, [mm]."""

    count: int
    turn_deg: float
    advance_mm: float
    words: str
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Drag:
    """The least drag that a self-locking nut must still have, [N·m], by the strictest document, in words."""

    least_nm: float
    words: str
    provenances: tuple[Provenance, ...]


def slots_of(case: JointCase) -> Slots | None:
    """The slots of the joint's castellated nut; None without one, or where no table has it."""
    nut, thread = case.nut, _nut_thread(case)
    if nut is None or nut.nut not in CROWNED or thread is None:
        return None
    rows = [row for row in case.reference.split_pins.for_thread(thread) if row.use == "castle nut" and row.slots]
    if not rows:
        return None
    count = rows[0].slots or 0
    turn, advance = 360 / count, thread.pitch_mm / count
    words = (
        f"{count} slots: the next is at most {trimmed(turn, 0)}° on, which is "
        f"{format_length(round(advance, 2), system_of(thread))} along the thread."
    )
    if case.record.duty == "clamp" and not _has_a_torque(case):
        words += " On to the next slot, never back."
    elif case.record.duty == "clamp":
        words += " From the low end of the torque up to the next slot, never past the high end, never back."
    elif case.record.duty == "adjust":
        words += (
            " With two holes at right angles in the shaft a slot comes every "
            f"{format_length(round(advance / 2, 2), system_of(thread))}. Backed off to a slot, never on to one; where "
            "no slot gives the float, another thickness of washer."
        )
    return Slots(count=count, turn_deg=turn, advance_mm=advance, words=words, provenance=rows[0].provenance)


def _has_a_torque(case: JointCase) -> bool:
    """Whether a torque is stated, or could be worked out from the bolt's proof stress."""
    stated = case.record.stated is not None and case.record.stated.torque is not None
    return stated or (case.row is not None and case.row.proof_mpa is not None)


def _all(count: int) -> str:
    return "both" if count == 2 else f"all {count}"


def drag_of(case: JointCase) -> Drag | None:
    """What the joint's self-locking nut must drag before it goes back; None for others, or without a cited figure."""
    nut, thread = case.nut, _nut_thread(case)
    if nut is None or nut.nut not in SELF_LOCKING or thread is None:
        return None
    drags = case.reference.nut_drags
    least = drags.strictest_floor_nm(thread.designation, nut.nut)
    if least is None:
        return None
    said = [
        row for row in drags.for_size(thread.designation, nut.nut)
        if row.is_floor and row.provenance.is_cited and row.torque_nm >= least - 1e-9
    ]  # fmt: skip
    renewed = {"lock nut", "nut"} & set(case.record.renew)
    begin = "New here, and even a new one is right only if it takes" if renewed else "Used again only if it still takes"
    return Drag(
        least_nm=least,
        words=(
            f"{begin} {format_torque(least)} to turn on the thread before it bears, the strictest figure that was "
            "found; fingers alone must not turn it. Its drag comes on top of a torque."
        ),
        provenances=tuple(row.provenance for row in said),
    )


def bench_check(case: JointCase, places: Sequence[tuple[str, Layout | None]]) -> str:
    """How to see on the bench that each bolt is in its hole: by how far each stands out of what it goes through.

    `places` are the named places with their layouts, empty where the joint has like ones. '' where there is one bolt,
    a stud, a nut, or a stack that could not be laid out.
    """
    layout = case.layout
    if layout is None or layout.is_stud or layout.ending != "hole" or place_count(case.record) < 2:
        return ""
    system = system_of(layout.thread)

    def out(of: Layout) -> str:
        return format_length(round(of.length_mm - of.grip_mm, 1), system)

    laid = [(name, each) for name, each in places if each is not None]
    lengths = [each.length_mm - each.grip_mm for _, each in laid]
    if not laid or max(lengths) - min(lengths) < _ALIKE_MM:
        return (
            f"Push {_all(place_count(case.record))} through on the bench: each should stand out equally, about "
            f"{out(layout)}. One that stands out more or less is in the wrong hole."
        )
    named = ", ".join(f"{name} {out(each)}" for name, each in laid)
    return (
        f"Push all through on the bench, each in its own hole: {named} of thread for the hole behind. Where the face "
        "is thicker at a longer bolt, they stand out alike; one that does not is in the wrong hole."
    )


def _nut_thread(case: JointCase) -> Thread | None:
    nut: Nut | None = case.nut
    if nut is not None and nut.thread is not None:
        return find_thread(nut.thread, case.reference.threads)
    return case.thread
