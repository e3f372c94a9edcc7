"""The stack as something that can be put together: order, what screws into what, and what reaches how far."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from decoder.checks.cases import CLAMPED, FEMALE, JointCase, StackCase, Threaded, easily_swapped
from decoder.checks.rules import RECORD_FORMAT, Problem, Rule, rule
from decoder.quantities import Length, format_length
from decoder.records import Bolt, Captive, Insert, Layer, Nut, Pin, Screw, Stud, Tapped, Union, Washer
from decoder.threads import Thread

#: Screws that cut or press their own thread into a layer.
_OWN_THREAD = ("self-tapping", "wood")
#: Heads whose length says nothing about how far they reach through layers.
_NOT_THROUGH = ("u-bolt", "eye", "bleed", "plug", "banjo")

#: Shortest and longest fastener to expect, in diameters; outside them a unit is usually wrong (common practice).
_SHORTEST_DIAMETERS, _LONGEST_DIAMETERS = 0.4, 50.0

#: A washer that nobody measured is taken to be no thicker than this share of the thread's diameter (common practice).
_THICKEST_WASHER = 0.35


@rule("no-fastener", "error", source=RECORD_FORMAT)
def no_fastener(case: JointCase) -> Iterator[Problem]:
    """A stack has something that fastens: a bolt, screw, stud, pin or union, or a nut that names its thread."""
    for stack in case.stacks:
        if stack.has(Bolt, Screw, Stud, Pin, Union) or any(True for _ in stack.nuts):
            continue
        yield Problem(
            stack.path, "nothing that fastens", "a bolt, screw, stud, pin, union, or a nut with its thread", "add it"
        )


@rule("nut-without-thread", "error", source=RECORD_FORMAT)
def nut_without_thread(case: JointCase) -> Iterator[Problem]:
    """A nut takes its thread from the bolt or stud; without one it names its own."""
    for stack in case.stacks:
        if stack.main is None:
            for path, member in stack.each(Nut, Captive):
                if member.thread is None:
                    yield Problem(path, "no thread, and no bolt or stud to take it from", "a thread", "add 'thread: …'")


@rule("nothing-to-screw-into", "error", source=RECORD_FORMAT, acceptable=True)
def nothing_to_screw_into(case: JointCase) -> Iterator[Problem]:
    """A bolt, screw or stud goes into a nut or a thread: tapped, captive or an insert."""
    for stack in case.stacks:
        if stack.has(*FEMALE, Union):
            continue
        for path, member in stack.each(Bolt, Screw, Stud):
            if not (isinstance(member, Screw) and member.screw in _OWN_THREAD):
                yield Problem(
                    path, "nothing for it to screw into", "a nut, tapped, captive or insert", "add it to the stack"
                )


@rule("stack-order", "error", source=RECORD_FORMAT)
def stack_order(case: JointCase) -> Iterator[Problem]:
    """A stack is written from the head to the tip: bolt or screw before what it clamps, the thread it enters after."""
    for stack in case.stacks:
        numbers = [number for number, member in enumerate(stack.members) if isinstance(member, Layer)]
        if not numbers:
            continue
        for number, member in enumerate(stack.members):
            path = (*stack.path, number)
            if isinstance(member, Bolt | Screw) and number > numbers[0]:
                yield Problem(path, "a head below a layer", "the head first, then what it clamps", "move it to the top")
            elif isinstance(member, Tapped | Captive | Insert) and number < numbers[-1]:
                yield Problem(
                    path, "a layer below it", "the layers first, then the thread they are held by", "move it down"
                )


@rule("thread-mismatch", "error", source=RECORD_FORMAT)
def thread_mismatch(case: JointCase) -> Iterator[Problem]:
    """A nut, captive nut or female union has the very thread of what goes into it: family, size, pitch and hand."""
    for stack in case.stacks:
        bolts = [bolt for bolt in stack.bolts if bolt.thread is not None]
        females = [*stack.nuts, *_female_unions(stack)]
        for nut in females:
            if nut.thread is None or not bolts:
                continue
            if all(not _same(nut.thread, bolt.thread) for bolt in bolts):
                wanted = bolts[0].thread
                assert wanted is not None
                yield Problem(
                    nut.path,
                    f"{nut.thread.designation}",
                    f"{wanted.designation}, the thread of what goes into it",
                    f"mend the wrong one{_danger(nut.thread, wanted)}",
                )


def _female_unions(stack: StackCase) -> Iterator[Threaded]:
    for path, member in stack.each(Union):
        if member.union == "female":
            yield Threaded(member, (*path, "thread"), member.thread, stack.lookup.thread(member.thread))


def _same(one: Thread, other: Thread | None) -> bool:
    return other is not None and one.designation == other.designation


def _danger(one: Thread, other: Thread) -> str:
    if one.left_hand != other.left_hand and one.size == other.size:
        return "; left and right hand never go together"
    if easily_swapped(one, other):
        return "; threads so near in size start on each other and then strip or jam"
    return ""


@rule("hand-mismatch", "error", source=RECORD_FORMAT)
def hand_mismatch(case: JointCase) -> Iterator[Problem]:
    """The hand that was seen or stamped is the hand of the thread."""
    tighten, main = case.record.tighten, case.stack.main or next(iter(case.stack.nuts), None)
    if tighten is None or tighten.direction is None or main is None or main.thread is None:
        return
    hand = "left" if main.thread.left_hand else "right"
    if tighten.direction != hand:
        yield Problem(
            ("tighten", "direction"),
            f"'{tighten.direction}'",
            f"'{hand}', the hand of {main.thread.designation}",
            "try which way it turns; a left-hand thread is written with LH at its end",
        )


@rule("shank-too-long", "error", source=RECORD_FORMAT)
def shank_too_long(case: JointCase) -> Iterator[Problem]:
    """A plain shank is shorter than the bolt it is part of."""
    for stack in case.stacks:
        for path, member in stack.each(Bolt):
            if member.shank is not None and member.shank.mm >= member.length.mm:
                yield Problem(
                    (*path, "shank"),
                    member.shank.written,
                    f"less than the length, {member.length.written}",
                    "measure both again: the shank is the part without thread",
                )


@rule("length-implausible", "warning", source="common practice", acceptable=True)
def length_implausible(case: JointCase) -> Iterator[Problem]:
    """A fastener is neither shorter than half its diameter nor longer than fifty: a unit may be wrong."""
    for stack in case.stacks:
        for bolt in stack.bolts:
            length = getattr(bolt.member, "length", None)
            if length is None or bolt.thread is None:
                continue
            diameters = length.mm / bolt.thread.major_mm
            if not _SHORTEST_DIAMETERS <= diameters <= _LONGEST_DIAMETERS:
                yield Problem(
                    (*stack.path, bolt.path[len(stack.path)], "length"),
                    f"{length.written} on {bolt.thread.designation}, {diameters:.1f} times its diameter",
                    f"{_SHORTEST_DIAMETERS:g} to {_LONGEST_DIAMETERS:g} times the diameter",
                    "look at the unit again",
                )


@rule("does-not-reach", "error", source=RECORD_FORMAT, acceptable=True)
def does_not_reach(case: JointCase) -> Iterator[Problem]:
    """A fastener is longer than the layers and washers it goes through, at every place."""
    for stack in case.laid:
        grip_mm = _grip_mm(stack)
        for path, length in _lengths(stack):
            if length.mm <= grip_mm:
                yield Problem(
                    path,
                    length.written,
                    f"more than {format_length(grip_mm, length.system)}, the layers and washers it goes through",
                    "measure the length and the layers again; one of them is wrong",
                )


@rule("bottoms-out", "error", source=RECORD_FORMAT, acceptable=True)
def bottoms_out(case: JointCase) -> Iterator[Problem]:
    """A bolt does not reach the bottom of a blind hole: it would feel tight and clamp nothing."""
    for stack in case.laid:
        holes = [(path, member) for path, member in stack.each(Tapped) if member.hole == "blind"]
        main = stack.main
        if len(holes) != 1 or main is None or main.thread is None or not isinstance(main.member, Bolt | Screw):
            continue
        _, hole = holes[0]
        loose_mm = sum(
            _THICKEST_WASHER * main.thread.major_mm for _, washer in stack.each(Washer) if washer.thickness is None
        )
        room_mm = _grip_mm(stack) + loose_mm + hole.depth.mm
        for path, length in _lengths(stack):
            if length.mm > room_mm:
                yield Problem(
                    path,
                    length.written,
                    f"no more than {format_length(room_mm, length.system)}, down to the end of the thread",
                    "measure depth and length again; a bolt that bottoms feels tight and clamps nothing",
                )


def _grip_mm(stack: StackCase) -> float:
    """Thickness of layers with the gaps that stay open between them, and of the washers that were measured, [mm]."""
    gaps = math.fsum(layer.gap.mm for _, layer in stack.each(Layer) if layer.gap is not None)
    return gaps + math.fsum(member.thickness.mm for _, member in stack.each(*CLAMPED) if member.thickness is not None)


def _lengths(stack: StackCase) -> Iterator[tuple[tuple[str | int, ...], Length]]:
    """Length of the one fastener through the layers."""
    main = stack.main
    if main is None or len(stack.bolts) != 1 or not isinstance(main.member, Bolt | Screw | Stud):
        return
    shape = main.member.bolt if isinstance(main.member, Bolt) else None
    if shape in _NOT_THROUGH or (isinstance(main.member, Screw) and main.member.screw in ("grub", *_OWN_THREAD)):
        return
    number = main.path[len(stack.path)]
    assert isinstance(number, int)
    yield stack.length_path(number), main.member.length


RULES: tuple[Rule[Any], ...] = (
    no_fastener,
    nut_without_thread,
    nothing_to_screw_into,
    stack_order,
    thread_mismatch,
    hand_mismatch,
    shank_too_long,
    length_implausible,
    does_not_reach,
    bottoms_out,
)
