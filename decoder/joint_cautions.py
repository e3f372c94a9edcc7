"""What to beware of in a joint: the manual, what a failure hits, lengths that do not do, parts that give way first."""

from __future__ import annotations

from collections.abc import Iterator

from decoder.joint_case import JointCase, joint_loads, system_of
from decoder.joint_torque import NO_TORQUE_NUTS, TorqueFrom
from decoder.joint_words import HITS
from decoder.loads import bearing_mpa
from decoder.quantities import System, Torque, format_length, format_torque
from decoder.records import SAFETY_CRITICAL, Bolt, Joint, Screw
from decoder.stacks import Layout, Need, bottom_mm
from decoder.tightening import MANUAL_FIRST, SOFT_METALS, Tightening
from decoder.usual_parts import usual_heads
from decoder.writing import trimmed

#: Nuts that a split pin goes through.
_CROWNED = ("castellated", "slotted")

#: A protrusion or length within this of what is wanted is right, [mm].
_SAME_MM = 0.3

#: Sums of rounded thicknesses are off by less, [mm].
_HAIR_MM = 0.02


def cautions(case: JointCase, need: Need | None, tightening: Tightening | None, came_from: TorqueFrom) -> Iterator[str]:
    """What can hurt someone or spoil the joint, the manual first; `need` and `tightening` None where not known."""
    record = case.record
    yield MANUAL_FIRST
    if record.consequence in SAFETY_CRITICAL:
        yield (
            f"A failure here hits {HITS[record.consequence]}: the specified part only, stronger is no argument, "
            "and someone competent checks the work."
        )
    yield from filter(None, (fuel_caution(record),))
    yield from record.cautions
    kind = case.reference.joint_kinds.get(record.kind)
    yield from kind.cautions if kind else ()
    if record.duty == "clamp" and case.nut is not None and case.nut.nut in _CROWNED:
        yield (
            "Castellated nut that clamps: never slackened to let the pin in. Where no slot comes right within the "
            "torque, another washer or nut."
        )
    if record.duty == "adjust" and case.nut is not None and case.nut.nut in _CROWNED:
        yield (
            "Castellated nut that adjusts: set as the manual says and backed off to a slot, never tightened on to one."
        )
    if case.thread is not None and case.thread.left_hand:
        yield "Left-hand thread: it tightens the other way."
    yield from _length_cautions(case, need)
    yield from _load_cautions(case)
    if tightening is None:
        return
    yield from _pressure(case, tightening)
    if came_from == "computed":
        yield from tightening.cautions
    elif came_from == "stated" and record.stated and record.stated.torque:
        yield from _compared(record.stated.torque, tightening)


def fuel_caution(record: Joint) -> str:
    """What to do before a joint is undone that lets fuel out; '' for others."""
    if record.consequence != "fuel" or all(condition.name != "fuel" for condition in record.conditions):
        return ""
    return "Fuel runs out here when it is undone: tap shut, a tin below, battery off, no flame and no hot lamp."


def _compared(stated: Torque, tightening: Tightening) -> Iterator[str]:
    """A stated torque outside what size and grade come to."""
    band = tightening.torque_nm
    computed = format_torque(band.low, band.high)
    if stated.high_nm > band.high * 1.05:
        yield (
            f"The stated torque, {stated.written}, is above the {computed} that size and grade come to: look again at "
            "unit, thread, grade and lubricant before using it."
        )
    elif stated.low_nm < band.low * 0.5:
        yield (
            f"The stated torque, {stated.written}, is far under the {computed} that the bolt would stand: keep to it, "
            "the joint may ask for less."
        )


def _pressure(case: JointCase, tightening: Tightening) -> Iterator[str]:
    layout, thread, fastener = case.layout, case.thread, case.fastener
    if layout is None or thread is None or not isinstance(fastener, Bolt | Screw) or not layout.clamped:
        return
    first = layout.clamped[0]
    shape = fastener.bolt if isinstance(fastener, Bolt) else fastener.screw
    heads = usual_heads(shape, thread, case.reference.hexagons)
    # Steel and iron of unknown alloy stand more than the least figure; only what is surely soft is worth a word.
    material = case.reference.joint_tables.materials.get(first.material) if first.material in SOFT_METALS else None
    if material is None or material.bearing_mpa is None or not heads or thread.clearance_holes is None:
        return
    pressure = bearing_mpa(tightening.preload_n, heads[0].across_flats_mm, thread.major_mm * 1.1)
    if pressure > material.bearing_mpa:
        yield (
            f"The head presses {trimmed(pressure, 0)} MPa on the {material.id.replace('-', ' ')}, which stands "
            f"{trimmed(material.bearing_mpa, 0)}: a washer belongs under it."
        )


def _length_cautions(case: JointCase, need: Need | None) -> Iterator[str]:
    layout, thread = case.layout, case.thread
    if layout is None or thread is None:
        return
    system = system_of(thread)
    if layout.room_mm is not None and layout.room_mm < 0:
        over = format_length(-layout.room_mm, system)
        yield f"The bolt bottoms: it is {over} longer than layers and hole; it feels tight and clamps nothing."
    elif layout.room_mm is not None and not layout.is_stud and layout.room_mm < bottom_mm(thread) - _HAIR_MM:
        left = format_length(round(layout.room_mm, 1), system)
        yield (
            f"Only {left} is left below the tip, less than a turn, and a thread is seldom good to the bottom of its "
            "hole: turn the bolt in by hand without what it clamps, and measure."
        )
    if layout.closed_nut is not None:
        yield from _closed_nut_cautions(layout, system)
    wanted_mm = case.engagement.mm if case.engagement else None
    if wanted_mm is not None and layout.engagement_mm is not None and layout.engagement_mm < wanted_mm - _SAME_MM:
        yield (
            f"{format_length(round(layout.engagement_mm, 2), system)} of thread engage; "
            f"{format_length(round(wanted_mm, 1), system)} are wanted, "
            f"{case.engagement.how if case.engagement else ''}."
        )
    wanted = need.protrusion_mm if need else None
    if wanted is not None and layout.protrusion_mm is not None and layout.protrusion_mm < wanted - _SAME_MM:
        yield (
            f"The end stands {format_length(round(layout.protrusion_mm, 2), system)} out of the nut; a pitch and the "
            f"chamfer, {format_length(round(wanted, 2), system)}, are wanted."
        )
    shank = layout.shank_mm if layout.shank_mm is not None else layout.usual_shank_mm
    if shank is not None and layout.ending != "hole" and shank > layout.grip_mm + _SAME_MM:
        yield "The plain shank is longer than what it clamps: the nut runs out of thread before it bears. Measure it."


def _closed_nut_cautions(layout: Layout, system: System) -> Iterator[str]:
    """What a dome nut does where the bolt may meet its end."""
    reach = format_length(round(layout.length_mm - layout.grip_mm, 1), system)
    room = layout.room_in_nut_mm
    if room is None:
        yield (
            f"Measure the depth of the dome nut's thread first: the bolt stands {reach} past what it clamps. One that "
            "meets the end of the nut feels tight and clamps nothing."
        )
    elif room < 0:
        yield (
            f"The bolt bottoms in the dome nut, by {format_length(round(-room, 1), system)}: it feels tight and clamps "
            "nothing."
        )
    elif room < bottom_mm(layout.thread):
        yield (
            f"Only {format_length(round(room, 1), system)} is left to the end of the dome nut: run it on by hand with "
            "nothing under it first, and count its turns."
        )


def _load_cautions(case: JointCase) -> Iterator[str]:
    wanted = case.reference.joint_tables.nut_for(case.grade.name) if case.grade else None
    if wanted is not None and case.nut is not None and case.nut_grade is None and case.nut.nut not in NO_TORQUE_NUTS:
        yield f"No class is recorded for the nut: {wanted.nut} or better belongs on {wanted.bolt}."
    loads = joint_loads(case)
    if loads and loads[0].part != "bolt" and case.row is not None:
        bolt = next((load for load in loads if load.part == "bolt"), None)
        if bolt is not None:
            yield (
                f"Not the bolt but the {loads[0].part} gives way first, at {trimmed(loads[0].load_n / 1000, 1)} kN "
                f"against {trimmed(bolt.load_n / 1000, 1)}: {loads[0].how}."
            )
