"""What a joint comes to: length, thread engaged, nut against bolt, shank against grip, castellated nuts, pins."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from decoder.checks.cases import JointCase, StackCase, easily_swapped
from decoder.checks.locking import SLOTTED_NUTS
from decoder.checks.rules import FieldPath, Problem, Rule, one_of, rule
from decoder.joint_case import asks_for_engagement
from decoder.joint_threads import find_thread, joint_threads, place_count
from decoder.loads import engagement_needed
from decoder.lookalikes import compare
from decoder.quantities import System, format_length, format_torque
from decoder.records import SAFETY_CRITICAL, Bolt, Captive, Layer, Nut, Pin, Screw, Stud, Tapped
from decoder.split_pins import PinHole, SplitPins
from decoder.stacks import Layout, chamfer_mm, left_in_hole
from decoder.strength import Grade, StrengthRow
from decoder.threads import Thread
from decoder.tightening import Conditions, NoTorqueError, tighten

#: Thread that is short by less is within what anyone measures, [mm].
_SAME_MM = 0.15

#: Thread that is short by this share still holds; it is told in the joint's cautions (common practice).
_SHORT_SHARE = 0.9

#: A screw that only keeps a part from coming off is well in with a diameter of thread (common practice).
_SNUG_DIAMETERS = 1.0

#: Duties in which the nut, or the head, bears on what is clamped, and not on a shoulder that leaves it free.
_BEARS = ("clamp", "seal", "locate")

#: What may stand out beyond a nut, in diameters, before it is a length too many (common practice).
_TOO_LONG_DIAMETERS = 2.0
_SLIP_DIAMETERS = 40.0

#: Turns that an adjuster keeps in its hole at the least; a plain nut has six or more (common practice).
_ADJUSTER_PITCHES = 4.0

#: A hole is fitted where it is no wider than its bolt by more, [mm].
_FITTED_MM = 0.1

#: A stated torque is over what size and grade come to from here on; charts round.
_OVER = 1.1


def _of(case: StackCase) -> tuple[Bolt | Screw | Stud, Layout, FieldPath] | None:
    """The fastener of a stack that could be laid out, and the path of its length."""
    layout = case.layout
    # One that does not even reach through the layers is told elsewhere.
    if layout is None or layout.length_mm <= layout.grip_mm:
        return None
    fastener = case.members[layout.fastener - 1]
    assert isinstance(fastener, Bolt | Screw | Stud)
    return fastener, layout, case.length_path(layout.fastener - 1)


def _system(thread: Thread) -> System:
    return "inch" if thread.threads_per_inch is not None else "metric"


def _length(mm: float, thread: Thread) -> str:
    return format_length(round(mm, 2), _system(thread))


def _strength(case: StackCase, fastener: Bolt | Screw | Stud, thread: Thread) -> tuple[Grade, StrengthRow] | None:
    grade = case.lookup.grade(fastener.strength, "bolt")
    row = grade.at(thread.major_mm) if grade else None
    return (grade, row) if grade and row else None


@rule("nut-not-full", "error", source="faa-ac-43-13-1b")
def nut_not_full(case: JointCase) -> Iterator[Problem]:
    """A bolt reaches through its nut: a nut that is not full carries only part of what the bolt does."""
    for stack in case.laid:
        found = _of(stack)
        if found is None:
            continue
        fastener, layout, path = found
        crowned = any(nut.kind in SLOTTED_NUTS for nut in layout.nuts)
        # A crown carries a pin, not a load: a third of the height of a castellated nut (common practice).
        spare = (layout.nuts[-1].thickness_mm or 0.0) / 3 if crowned else 0.0
        if layout.protrusion_mm is not None and layout.protrusion_mm < -spare - _SAME_MM:
            lacking = -layout.protrusion_mm - spare
            yield Problem(
                path,
                f"{fastener.length.written}, which ends {_length(lacking, layout.thread)} inside the nut",
                "an end that stands out of the nut",
                "measure length and layers again; a longer bolt goes in, or one washer fewer",
            )


@rule("length-under", "warning", source="faa-ac-43-13-1b", acceptable=True)
def length_under(case: JointCase) -> Iterator[Problem]:
    """The whole chamfer of a bolt's end stands out beyond its nut; inside a nut it holds nothing."""
    for stack in case.laid:
        found = _of(stack)
        if found is None or found[1].protrusion_mm is None:
            continue
        fastener, layout, path = found
        if any(nut.kind in (*SLOTTED_NUTS, "dome") for nut in layout.nuts):
            continue
        wanted = chamfer_mm(layout.thread)
        out = layout.protrusion_mm or 0.0
        if -_SAME_MM <= out < wanted - _SAME_MM:
            yield Problem(
                path,
                f"{fastener.length.written}, of which {_length(out, layout.thread)} stands out",
                f"at least the chamfer, {_length(wanted, layout.thread)}, and better a pitch more",
                "fit the next length, or say under accepted why this one is right",
            )


@rule("length-over", "note", source="common practice", acceptable=True)
def length_over(case: JointCase) -> Iterator[Problem]:
    """A bolt that stands far out of its nut is often in the wrong place: lengths get mixed in the tub."""
    for stack in case.laid:
        found = _of(stack)
        if found is None or found[1].protrusion_mm is None:
            continue
        fastener, layout, path = found
        most, of_a_slip = (each * layout.thread.major_mm for each in (_TOO_LONG_DIAMETERS, _SLIP_DIAMETERS))
        # A stud may have another use for its length; a slip of the unit is told elsewhere.
        if not layout.is_stud and layout.protrusion_mm is not None and most < layout.protrusion_mm < of_a_slip:
            yield Problem(
                path,
                f"{fastener.length.written}, of which {_length(layout.protrusion_mm, layout.thread)} stands out",
                f"no more than about two diameters, {_length(most, layout.thread)}",
                "none needed where it is so; else look for the shorter bolt that belongs here",
            )


@rule("too-little-engagement", "warning", source="fed-std-h28-2b", acceptable=True)
def too_little_engagement(case: JointCase) -> Iterator[Problem]:
    """A tapped hole takes as much thread as its material needs, or the thread pulls out before the bolt breaks."""
    for stack in case.laid:
        found = _of(stack)
        hole = next((member for _, member in stack.each(Tapped)), None)
        if found is None or hole is None or found[1].engagement_mm is None:
            continue
        fastener, layout, path = found
        engaged = layout.engagement_mm or 0.0
        name = fastener.metal_end.thread if isinstance(fastener, Stud) else fastener.thread
        thread = find_thread(name, stack.lookup.reference.threads)
        if thread is None:
            continue
        strength = _strength(stack, fastener, layout.thread)
        material = stack.lookup.reference.joint_tables.materials.get(hole.tapped)
        if not asks_for_engagement(fastener, case.record.duty):
            continue
        wanted = engagement_needed(thread, strength[1] if strength else None, material)
        if wanted is None:
            continue
        # What seals is not pulled by its bolt, whatever it keeps in.
        light = case.record.duty != "clamp" and case.record.consequence not in SAFETY_CRITICAL
        snug = light or case.record.duty == "seal"
        least = min(wanted.mm, _SNUG_DIAMETERS * thread.major_mm) if snug else wanted.mm
        if engaged < _SHORT_SHARE * least - _SAME_MM:
            how = "a diameter, enough to keep a part on" if least < wanted.mm else wanted.how
            yield Problem(
                path,
                f"{fastener.length.written}, of which {_length(engaged, thread)} engages",
                f"{_length(least, thread)}, {how}",
                "measure length, layers and depth again; if it is so, say why under accepted and tighten by hand",
            )


@rule("shank-holds-nut-off", "error", source="common practice")
def shank_holds_nut_off(case: JointCase) -> Iterator[Problem]:
    """A plain shank is no longer than what it clamps: the nut would run out of thread before it bears."""
    if case.record.duty not in _BEARS:
        return
    for stack in case.laid:
        found = _of(stack)
        if found is None:
            continue
        fastener, layout, path = found
        shank = layout.shank_mm
        if shank is not None and shank > layout.grip_mm + _SAME_MM:
            if path[0] == "places":
                field = path
            else:
                field = (*path[:-1], "shank") if isinstance(fastener, Bolt) else (*path[:-1], "nut_end")
            grip = _length(layout.grip_mm, layout.thread)
            yield Problem(
                field,
                f"{_length(shank, layout.thread)} without thread, and a grip of {grip}",
                "a shank no longer than the grip",
                "measure shank, length of thread and layers again; a washer more may be missing from the stack",
            )


@rule("thread-in-shear-plane", "warning", source="common practice", acceptable=True)
def thread_in_shear_plane(case: JointCase) -> Iterator[Problem]:
    """Where holes are fitted to a bolt, its plain shank goes through the face between them, not its thread."""
    for stack in case.stacks:
        found = _of(stack)
        if found is None or not isinstance(found[0], Bolt) or found[0].shank is None:
            continue
        fastener, layout, path = found
        assert isinstance(fastener, Bolt)
        size = fastener.shank_diameter.mm if fastener.shank_diameter else layout.thread.major_mm
        fitted = [
            part for part in layout.clamped
            if isinstance(member := stack.members[part.number - 1], Layer)
            and member.hole is not None and member.hole.mm <= size + _FITTED_MM
        ]  # fmt: skip
        if len(fitted) < 2 or layout.shank_mm is None:
            continue
        face = fitted[-1].start_mm
        if layout.shank_mm < face:
            meet = _length(face, layout.thread)
            yield Problem(
                (*path[:-1], "shank"),
                f"{fastener.shank.written if fastener.shank else ''}, and the fitted parts meet at {meet}",
                "a shank through the face between them",
                "the bolt with the right shank belongs here; measure it again, or say under accepted why not",
            )


@rule("pivot-on-thread", "warning", source="common practice", acceptable=True)
def pivot_on_thread(case: JointCase) -> Iterator[Problem]:
    """A pivot bolt's plain shank goes through every face that it is sheared at, the last one too, never its thread."""
    if case.record.duty != "pivot":
        return
    for stack in case.laid:
        found = _of(stack)
        if found is None or not isinstance(found[0], Bolt):
            continue
        _, layout, path = found
        layers = [part for part in layout.clamped if part.role == "layer"]
        shank = layout.shank_mm if layout.shank_mm is not None else layout.usual_shank_mm
        if len(layers) < 2 or shank is None:
            continue
        face = layers[-1].start_mm
        if shank < face - _SAME_MM:
            recorded = layout.shank_mm is not None
            plain = "plain" if recorded else "plain on an ordinary bolt of this length"
            thread = layout.thread
            yield Problem(
                (*path[:-1], "shank") if recorded and path[0] != "places" else path,
                f"{_length(shank, thread)} {plain}, and the last face in shear at {_length(face, thread)}",
                "a shank through every face in shear",
                "measure shank and layers again; the bolt made for the place has the shank, and thread wears away in "
                "the face",
            )


@rule("dome-nut-bottoms", "error", source="common practice")
def dome_nut_bottoms(case: JointCase) -> Iterator[Problem]:
    """A bolt ends before the bottom of a closed nut: else the nut is tight on the bolt and nothing is clamped."""
    for stack in case.laid:
        found = _of(stack)
        if found is None or found[1].room_in_nut_mm is None:
            continue
        fastener, layout, path = found
        if layout.room_in_nut_mm is not None and layout.room_in_nut_mm < -_SAME_MM:
            depth = layout.closed_nut.thread_depth_mm if layout.closed_nut else None
            yield Problem(
                path,
                f"{fastener.length.written}, of which {_length(layout.length_mm - layout.grip_mm, layout.thread)} is "
                f"past what is clamped, and a closed nut with {_length(depth or 0.0, layout.thread)} of thread",
                "an end that stops short of the bottom of the nut",
                "measure the depth of the nut and write it as its depth, or fit a shorter bolt",
            )


@rule("adjuster-out-of-thread", "error", source="common practice")
def adjuster_out_of_thread(case: JointCase) -> Iterator[Problem]:
    """An adjuster's screw still holds in its hole by a few turns when its lock nut has taken its own height of it."""
    for stack in case.stacks:
        left = left_in_hole(stack.members, stack.lookup.reference)
        if left is None:
            continue
        least = _ADJUSTER_PITCHES * left.thread.pitch_mm
        if left.mm < least - _SAME_MM:
            yield Problem(
                (*stack.path, left.fastener - 1, "length"),
                f"{left.written}, of which {_length(max(0.0, left.mm), left.thread)} is left in the hole: {left.how}",
                f"at least {_ADJUSTER_PITCHES:g} turns of thread, {_length(least, left.thread)}, and as much as the "
                "maker gave it",
                "measure screw and nut again; a thinner nut is written with its height, a longer screw with its length",
            )


@rule("nut-weaker-than-bolt", "error", source="common practice")
def nut_weaker_than_bolt(case: JointCase) -> Iterator[Problem]:
    """A nut is at least as strong as its bolt, unless a part is weak on purpose: a bolt shows that it is overdone."""
    for stack in case.stacks:
        if any(getattr(member, "weak_on_purpose", None) for member in stack.members):
            continue
        main = stack.main
        if main is None or main.thread is None or not isinstance(main.member, Bolt | Screw | Stud):
            continue
        bolt = stack.lookup.grade(main.member.strength, "bolt")
        pair = stack.lookup.reference.joint_tables.nut_for(bolt.name) if bolt else None
        wanted = stack.lookup.reference.strengths.get(pair.nut) if pair else None
        carry = sum(isinstance(member, Nut | Captive) for member in stack.members)
        for path, member in stack.each(Nut):
            grade = stack.lookup.grade(member.strength, "nut")
            if member.nut == "thin" and carry > 1:
                # It locks the one that carries.
                continue
            if grade is None or wanted is None or bolt is None:
                continue
            has, least = (_nut_mpa(each, main.thread) for each in (grade, wanted))
            if has is not None and least is not None and has < least * 0.99:
                yield Problem(
                    (*path, "strength"),
                    f"'{member.strength}' on a bolt of {bolt.name}",
                    f"at least {wanted.name}",
                    "fit the nut that belongs to the bolt; a nut that strips is not seen",
                )


def _nut_mpa(grade: Grade, thread: Thread) -> float | None:
    """Proof stress of a nut's grade; the smallest row stands in where the size is under it."""
    row = grade.at(thread.major_mm) or (grade.rows[0] if grade.rows else None)
    return row.proof_mpa if row else None


@rule("stated-torque-over", "warning", source="coarse-torque-chart", acceptable=True)
def stated_torque_over(case: JointCase) -> Iterator[Problem]:
    """A stated torque is within what a clamping bolt of its size and grade stands."""
    stated, stack = case.record.stated, case.stack
    found = _of(stack)
    if stated is None or stated.torque is None or case.record.duty != "clamp" or found is None:
        return
    fastener, layout, _ = found
    strength = _strength(stack, fastener, layout.thread)
    if strength is None or fastener.material not in (None, "steel"):
        return
    try:
        # The roughest finish: what is over even that is over with any.
        most = tighten(layout.thread, strength[0], Conditions(), stack.lookup.reference).torque_nm.high
    except NoTorqueError:
        return
    if stated.torque.high_nm > most * _OVER:
        yield Problem(
            ("stated", "torque"),
            stated.torque.written,
            f"up to {format_torque(most)}, which {layout.thread.designation} of {strength[0].name} comes to dry",
            "look again at unit, thread and grade; if the manual says so, say why under accepted",
        )


@rule("look-alike-in-assembly", "note", source="common practice", acceptable=True)
def look_alike_in_assembly(case: JointCase) -> Iterator[Problem]:
    """Threads of one assembly that start in each other lie in one tub: each joint says for which it may be swapped."""
    assembly = case.vehicle.assemblies[case.joint.assembly]
    main = case.stack.main or next(iter(case.stack.nuts), None)
    if main is None or main.thread is None:
        return
    threads = case.lookup.reference.threads
    others: dict[str, list[str]] = {}
    for key, joint in assembly.joints.items():
        if key == case.joint.key:
            continue
        for other in joint_threads(joint.record, threads):
            if other.designation != main.thread.designation and easily_swapped(other, main.thread):
                others.setdefault(other.designation, []).append(key)
    alike = [name for name in others if compare(main.thread, threads.get(name)).danger == "high"]
    if alike:
        where = "; ".join(f"{name} at {one_of(others[name], 3)}" for name in alike)
        yield Problem(
            main.path,
            f"{main.thread.designation}, and {where}",
            "threads that nobody can swap",
            "none needed: keep them apart in the tub and try each with a known nut before it goes in",
        )


@rule("castellated-without-window", "warning", source="common practice", acceptable=True)
def castellated_without_window(case: JointCase) -> Iterator[Problem]:
    """A castellated nut that clamps has a span of torque in which a slot is found, or a way that says what to do."""
    record = case.record
    tighten_ = record.tighten
    if record.duty != "clamp" or (tighten_ is not None and tighten_.procedure):
        return
    torque = record.stated.torque if record.stated else None
    if torque is not None and torque.low_nm < torque.high_nm:
        return
    for path, nut in case.stack.each(Nut):
        if nut.nut in SLOTTED_NUTS:
            yield Problem(
                ("stated", "torque") if torque else path,
                f"a {nut.nut} nut that clamps, and {'one torque' if torque else 'no torque'} for it",
                "a span such as 40-50 lbf·ft to find a slot in, or a procedure: six slots are a sixth of a turn apart",
                "add what the manual says; never slackened to fit the pin",
            )


@rule("adjusting-nut-without-procedure", "error", source="common practice")
def adjusting_nut_without_procedure(case: JointCase) -> Iterator[Problem]:
    """A castellated nut that adjusts says how it is set: tightened on to a slot it destroys its bearing."""
    record = case.record
    if record.duty != "adjust" or (record.tighten is not None and record.tighten.procedure):
        return
    for path, nut in case.stack.each(Nut):
        if nut.nut in SLOTTED_NUTS:
            yield Problem(
                ("tighten",) if record.tighten else path,
                f"a {nut.nut} nut that adjusts, and no procedure",
                "how it is seated, backed off to a slot, and what end float is left",
                "add 'procedure:' under tighten, from the workshop manual",
            )


@rule("ring-not-whole", "error", source="common practice")
def ring_not_whole(case: JointCase) -> Iterator[Problem]:
    """The bolts of one flange or wheel come out even with all the places."""
    ring = case.record.tighten.ring if case.record.tighten else None
    count = place_count(case.record)
    if ring is not None and count % ring:
        yield Problem(
            ("tighten", "ring"),
            f"{ring} on each, and {count} places",
            f"a number that goes into {count}",
            "count the bolts of one wheel or flange, and all places for both sides",
        )


@rule("split-pin-size", "error", source="asme-slotted-nut-transcription", acceptable=True)
def split_pin_size(case: JointCase) -> Iterator[Problem]:
    """A split pin enters the slots of its nut, and is no thinner than the pin for the bolt's hole."""
    pins = case.lookup.reference.split_pins
    for stack in case.stacks:
        thread = next((nut.thread for nut in stack.nuts if getattr(nut.member, "nut", "") in SLOTTED_NUTS), None)
        holes = pins.for_thread(thread) if thread is not None else ()
        for path, pin in stack.each(Pin):
            if pin.pin == "split" and holes:
                yield from _pin_problems((*path, "diameter"), pin, holes, pins, thread)


def _pin_problems(
    path: FieldPath, pin: Pin, holes: tuple[PinHole, ...], pins: SplitPins, thread: Thread | None
) -> Iterator[Problem]:
    size = min(pins.pins, key=lambda each: abs(each.name_mm - pin.diameter.mm), default=None)
    name = thread.designation if thread else ""
    widest = max((hole.width_max_mm or hole.width_min_mm or 0.0 for hole in holes), default=0.0)
    choice = pins.choice(thread) if thread else None
    if size is not None and widest and size.thickest_mm > widest:
        yield Problem(
            path,
            f"{pin.diameter.written}, about {format_length(round(size.thickest_mm, 2))} thick",
            f"one that enters the slots of a nut on {name}, {format_length(round(widest, 2))} wide at most",
            "measure the pin by its shank and the slot by the pin; never file a slot",
        )
    elif choice is not None and pin.diameter.mm < choice.pin.name_mm - 0.2:
        yield Problem(
            path,
            pin.diameter.written,
            f"{choice.pin.size} {choice.pin.unit}, the largest that enters the hole in a {name} bolt",
            "a thin pin shears and lets the nut turn: fit the largest that enters the hole",
        )


RULES: tuple[Rule[Any], ...] = (
    nut_not_full,
    length_under,
    length_over,
    too_little_engagement,
    shank_holds_nut_off,
    thread_in_shear_plane,
    pivot_on_thread,
    dome_nut_bottoms,
    adjuster_out_of_thread,
    nut_weaker_than_bolt,
    stated_torque_over,
    look_alike_in_assembly,
    castellated_without_window,
    adjusting_nut_without_procedure,
    ring_not_whole,
    split_pin_size,
)
