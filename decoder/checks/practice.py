"""What experience says of a joint: metals and salt, earths, seats, hand, flares, the specified part, what is new."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from decoder.checks.cases import JointCase, StackCase
from decoder.checks.rules import FieldPath, Problem, Rule, one_of, rule
from decoder.nut_factors import lubricant_of
from decoder.records import SAFETY_CRITICAL, Bolt, Insert, Layer, Nut, Screw, Stud, Tapped, Union, Washer

#: Kinds of joint in which a thread is red hot or nearly, and heat from which any other is; plugs are fitted dry.
_EXHAUST_KINDS = ("exhaust-clamp", "exhaust-flange")
_HOT_C = 300.0
_DRY_KINDS = ("spark-plug",)

#: Nuts that are made not to seize.
_EXHAUST_NUTS = ("exhaust-brass", "exhaust-copper-plated")

#: Metals that steel eats in the wet.
_EATEN = ("aluminium", "magnesium", "zinc-alloy")

_BITES = ("toothed-internal", "toothed-external", "toothed-countersunk")
_BITING_NUTS = ("serrated-flange",)

#: Shape of the seat that a kind of wheel nut has, and the words by which a record tells that of the wheel.
_NUT_SEATS: Mapping[str, str] = {"wheel-taper": "cone", "wheel-ball": "ball", "wheel-flat": "flat"}
_SEAT_WORDS: tuple[tuple[str, str], ...] = (
    (r"\b(ball|spherical|radius(ed)?)\b", "ball"),
    (r"\bflat\b", "flat"),
    (r"\b(cone|conical|taper(ed)?|60°|90°)", "cone"),
)

#: Flares that a brake pipe may have, by common practice.
_BRAKE_FLARES = ("double", "bubble")

#: Threads of belt anchors: the first is usual, the second stands in the US rule too, the third is met on some.
_BELT_THREADS = ("7/16-20 UNF", "1/2-13 UNC", "M11x1.25")

#: Washers that hold or seal once, with the words under `renew` that speak of them.
_ONCE: Mapping[str, tuple[str, ...]] = {
    "tab": ("tab washer", "washer"),
    "copper-crush": ("crush washer", "washer", "seal"),
    "aluminium-crush": ("crush washer", "washer", "seal"),
    "bonded": ("crush washer", "washer", "seal"),
}

#: What a kind of joint renews that a stack can show, with the layers or parts that are it.
_GASKETS = ("paper-gasket", "composite-gasket", "cork", "felt")


def _dry(case: JointCase) -> bool:
    """Whether nothing is said to be on the thread, or that it is dry."""
    tighten = case.record.tighten
    if tighten is None:
        return True
    return lubricant_of(tighten.lubricant) == "none" and not tighten.sealant and not tighten.threadlock


def _bare(case: JointCase) -> bool:
    """Whether nothing keeps the wet from the thread: neither something on it nor something put over it."""
    tighten = case.record.tighten
    if tighten is None:
        return True
    return tighten.lubricant in (None, "none") and not tighten.sealant and not tighten.threadlock


def _conditions(case: JointCase) -> set[str]:
    return {condition.name for condition in case.record.conditions}


def _of_steel(member: Any) -> bool:
    return member.material in (None, "steel", "stainless")


@rule("exhaust-without-anti-seize", "warning", source="common practice", acceptable=True)
def exhaust_without_anti_seize(case: JointCase) -> Iterator[Problem]:
    """A thread in the exhaust gets something that stands the heat, or a nut that does not seize."""
    hot = any(each.temperature is not None and each.temperature >= _HOT_C for each in case.record.conditions)
    if not (case.record.kind in _EXHAUST_KINDS or hot) or case.record.kind in _DRY_KINDS or not _dry(case):
        return
    stack = case.stack
    if stack.main is None or any(nut.nut in _EXHAUST_NUTS or not _of_steel(nut) for _, nut in stack.each(Nut)):
        return
    yield Problem(
        ("tighten", "lubricant") if case.record.tighten else (),
        "a dry steel thread in the exhaust",
        "anti-seize compound, or a nut of brass or with copper on it",
        "add 'lubricant: anti-seize' under tighten, or the nut that the maker fitted",
    )


@rule("stainless-dry", "warning", source="nut-factor-list", acceptable=True)
def stainless_dry(case: JointCase) -> Iterator[Problem]:
    """Stainless on stainless is never run dry: it galls, seizes and has to be cut."""
    if not _dry(case):
        return
    stack = case.stack
    for path, member in stack.each(Bolt, Screw, Stud):
        inside = [each.tapped for _, each in stack.each(Tapped, Insert)] + [
            each.material for _, each in stack.each(Nut)
        ]
        if member.material == "stainless" and "stainless" in inside:
            yield Problem(
                (*path, "material"),
                "stainless in stainless, and nothing on the thread",
                "oil or anti-seize on it",
                "add 'lubricant:' under tighten",
            )


@rule("steel-in-alloy-in-salt", "warning", source="anodic-index-tables", acceptable=True)
def steel_in_alloy_in_salt(case: JointCase) -> Iterator[Problem]:
    """Steel in light alloy where salt gets at it is coated with something: bare, they grow together."""
    if "road salt" not in _conditions(case) or not _bare(case):
        return
    stack = case.stack
    for path, hole in stack.each(Tapped):
        main = stack.main
        fastener = main.member if main else None
        if not isinstance(fastener, Bolt | Screw | Stud) or hole.tapped not in _EATEN:
            continue
        # What fluid runs through is kept dry, or the fluid is spoilt.
        if _of_steel(fastener) and not (isinstance(fastener, Bolt) and fastener.bolt in ("bleed", "banjo", "plug")):
            yield Problem(
                path,
                f"steel in {hole.tapped.replace('-', ' ')} with road salt, and a dry thread",
                "grease, wax, anti-seize or jointing compound on the thread",
                "add 'lubricant:' or 'sealant:' under tighten",
            )


@rule("earth-without-bite", "warning", source="common practice", acceptable=True)
def earth_without_bite(case: JointCase) -> Iterator[Problem]:
    """An earth bites through paint and oxide: a toothed washer or a serrated nut against bare metal."""
    if case.record.kind != "earth-point":
        return
    stack = case.stack
    bites = any(washer.washer in _BITES for _, washer in stack.each(Washer))
    if not bites and not any(nut.nut in _BITING_NUTS for _, nut in stack.each(Nut)):
        washer = next((path for path, _ in stack.each(Washer)), stack.path)
        yield Problem(
            washer,
            "an earth, and nothing that bites",
            f"a washer that is {one_of(_BITES)}, or a serrated nut",
            "add it next to the cable's eye, on metal scraped bare",
        )


@rule("wheel-seat", "error", source="common practice")
def wheel_seat(case: JointCase) -> Iterator[Problem]:
    """The seat of a wheel nut is that of the wheel: cone in cone, ball in ball, flat on flat."""
    if case.record.consequence != "wheel":
        return
    for stack in case.stacks:
        seats = {seat for _, layer in stack.each(Layer) if (seat := _seat(layer))}
        for path, nut in stack.each(Nut):
            has = _NUT_SEATS.get(nut.nut)
            if seats and has is not None and has not in seats:
                yield Problem(
                    path,
                    f"a {nut.nut} nut, whose seat is a {has}",
                    f"the seat of the wheel, a {one_of(sorted(seats))}",
                    "fit the nut that belongs to the wheel; the wrong seat works loose however tight it is",
                )


def _seat(layer: Layer) -> str:
    words = f"{layer.part or ''} {layer.note or ''}".casefold()
    if "seat" not in words:
        return ""
    return next((seat for pattern, seat in _SEAT_WORDS if re.search(pattern, words)), "")


@rule("hand-not-read", "error", source="common practice")
def hand_not_read(case: JointCase) -> Iterator[Problem]:
    """Left-hand on a wheel is read from stamp, notch or thread, and the record says that it was."""
    record = case.record
    if record.consequence != "wheel" or (record.tighten is not None and record.tighten.direction is not None):
        return
    for stack in case.stacks:
        for threaded in (*stack.bolts, *stack.nuts):
            if threaded.thread is not None and threaded.thread.left_hand:
                yield Problem(
                    ("tighten",) if record.tighten else threaded.path,
                    f"{threaded.thread.designation}, and no hand under tighten",
                    "the hand as it was read or tried",
                    "read the stamp or try the thread, then add 'direction: left'; never take it from the side",
                )
                break


@rule("belt-anchor-part", "error", source="common practice")
def belt_anchor_part(case: JointCase) -> Iterator[Problem]:
    """A belt anchor holds with the part that was made for it: a marked bolt of a thread that anchors have."""
    if case.record.kind != "belt-anchor":
        return
    for stack in case.stacks:
        for path, bolt in stack.each(Bolt, Screw):
            mark = stack.lookup.mark(bolt.mark)
            if bolt.strength is None or mark is None or mark.shows_nothing:
                yield Problem(
                    (*path, "mark"),
                    "a belt anchor with a bolt of unknown strength",
                    "the specified bolt, with its mark and its grade",
                    "write the mark of the bolt that came with the belt or the vehicle; nothing else goes in",
                )
            thread = stack.lookup.thread(bolt.thread)
            if thread is not None and thread.designation not in _BELT_THREADS:
                yield Problem(
                    (*path, "thread"),
                    thread.designation,
                    f"a thread of belt anchors, {one_of(_BELT_THREADS)}",
                    "look at the bolt and the anchor again; only the specified part goes in",
                )


@rule("unmarked-in-critical", "warning", source="common practice", acceptable=True)
def unmarked_in_critical(case: JointCase) -> Iterator[Problem]:
    """A bolt that clamps brakes, steering, suspension, belts or lifting gear carries a mark that somebody can check."""
    if case.record.duty != "clamp" or case.record.consequence not in _CRITICAL:
        return
    for stack in case.stacks:
        for path, bolt in stack.each(Bolt):
            mark = stack.lookup.mark(bolt.mark)
            if mark is not None and mark.shows_nothing:
                yield Problem(
                    (*path, "mark"),
                    f"'{mark.id}' on a bolt that clamps in a {case.record.consequence} joint",
                    "the specified part, with its mark",
                    "fit a marked bolt of the specified grade, or say under accepted how its strength is known",
                )


_CRITICAL = ("brake", "steering", "suspension", "restraint", "lifting")


@rule("brake-flare", "error", source="common practice")
def brake_flare(case: JointCase) -> Iterator[Problem]:
    """A brake pipe ends in a double or a bubble flare: a single flare splits, an olive blows off."""
    if case.record.consequence != "brake":
        return
    for stack in case.stacks:
        for path, union in stack.each(Union):
            if union.pipe is not None and union.flare not in _BRAKE_FLARES:
                yield Problem(
                    (*path, "flare"),
                    f"'{union.flare}' on a brake pipe",
                    f"a {one_of(_BRAKE_FLARES)} flare, as the port has it",
                    "look at the end of the pipe and the seat in the port; they belong together",
                )


@rule("flare-against-thread", "warning", source="common practice", acceptable=True)
def flare_against_thread(case: JointCase) -> Iterator[Problem]:
    """A bubble flare goes with metric brake threads, a double flare with inch ones."""
    if case.record.consequence != "brake":
        return
    for stack in case.stacks:
        for path, union in stack.each(Union):
            thread = stack.lookup.thread(union.thread)
            if thread is None or union.flare not in _BRAKE_FLARES:
                continue
            usual = "bubble" if thread.family == "M" else "double"
            if union.flare != usual:
                yield Problem(
                    (*path, "flare"),
                    f"'{union.flare}' with {thread.designation}",
                    f"'{usual}', as is usual with this thread",
                    "look into the port: a raised cone takes a double flare, a drilled cone a bubble",
                )


@rule("union-pair-flare", "error", source="common practice")
def union_pair_flare(case: JointCase) -> Iterator[Problem]:
    """Both halves of a union seal on the same shape."""
    for stack in case.stacks:
        flares: dict[str, Any] = {}
        for path, union in stack.each(Union):
            flares.setdefault(union.flare, path)
        if len(flares) > 1:
            names = list(flares)
            yield Problem(
                (*flares[names[1]], "flare"),
                f"'{names[1]}' against '{names[0]}'",
                "one shape of seal on both halves",
                "look at both ends; two shapes touch on a line and leak",
            )


@rule("washer-used-again", "warning", source="common practice", acceptable=True)
def washer_used_again(case: JointCase) -> Iterator[Problem]:
    """Washers that bend or crush hold once: they stand under renew."""
    for path, washer in case.stack.each(Washer):
        names = _ONCE.get(washer.washer)
        if names is not None and not set(names) & set(case.record.renew):
            yield Problem(
                path,
                f"a {washer.washer} washer, and nothing of the kind under renew",
                f"'{names[0]}' under renew",
                f"add '{names[0]}' to renew",
            )


@rule("stretched-bolt-used-again", "error", source="common practice")
def stretched_bolt_used_again(case: JointCase) -> Iterator[Problem]:
    """A bolt that is turned by an angle beyond its torque is stretched, and goes in new."""
    record = case.record
    if record.stated is None or record.stated.angle is None or {"bolt", "stud"} & set(record.renew):
        return
    yield Problem(
        ("stated", "angle"),
        f"{record.stated.angle:g}° after the torque, and no 'bolt' or 'stud' under renew",
        "a new one each time",
        "add 'bolt' to renew; if the manual lets it be used again up to a length, say so in a note and state no angle",
    )


@rule("kind-renews", "warning", source="common practice", acceptable=True)
def kind_renews(case: JointCase) -> Iterator[Problem]:
    """What a kind of joint renews every time stands under renew where the stack has it."""
    kind = case.lookup.reference.joint_kinds.get(case.record.kind)
    if kind is None:
        return
    for name in kind.renew:
        # A spring washer or lock nut goes back in a bracket; not where a failure can hurt someone.
        if name in ("spring washer", "lock nut") and case.record.consequence not in SAFETY_CRITICAL:
            continue
        # Pins and wire there have a rule of their own.
        if name in ("split pin", "locking wire") and case.record.consequence in SAFETY_CRITICAL:
            continue
        same = next((words for words in _ONCE.values() if name in words), (name,))
        path = _shown_by(name, case.stack)
        if path is not None and not {name, *same} & set(case.record.renew):
            yield Problem(
                path,
                f"a {name} that is not under renew; a joint of the kind '{kind.id}' renews it",
                f"'{name}' under renew",
                f"add '{name}' to renew, or say under accepted why it may stay",
            )


def _shown_by(name: str, stack: StackCase) -> FieldPath | None:
    """The part of a stack that is what a kind of joint renews, None where it has none."""
    washers = {"tab washer": ("tab",), "spring washer": ("helical-spring",), "crush washer": tuple(_ONCE)[1:]}
    if name == "gasket":
        found = [path for path, layer in stack.each(Layer) if layer.layer in _GASKETS]
    elif name in ("split pin", "locking wire"):
        found = list(stack.pins(name.replace(" pin", "").replace(" ", "-")))
    elif name == "lock nut":
        found = [path for path, nut in stack.each(Nut) if nut.nut in ("nylon-insert", "fibre-insert")]
    else:
        found = [path for path, washer in stack.each(Washer) if washer.washer in washers.get(name, ())]
    return found[0] if found else None


RULES: tuple[Rule[Any], ...] = (
    exhaust_without_anti_seize,
    stainless_dry,
    steel_in_alloy_in_salt,
    earth_without_bite,
    wheel_seat,
    hand_not_read,
    belt_anchor_part,
    unmarked_in_critical,
    brake_flare,
    flare_against_thread,
    union_pair_flare,
    washer_used_again,
    stretched_bolt_used_again,
    kind_renews,
)
