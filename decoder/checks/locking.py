"""Pins, wires and what is new every time."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from decoder.checks.cases import JointCase, StackCase
from decoder.checks.rules import RECORD_FORMAT, Problem, Rule, rule
from decoder.records import SAFETY_CRITICAL, Bolt, Nut, Pin, Screw, Stud, Washer

#: Nuts with slots for a split pin.
SLOTTED_NUTS = ("castellated", "slotted")

#: Pins that hold once: bent or twisted a second time they break.
_ONCE = {"split": "split pin", "locking-wire": "locking wire"}

_IN_STACK: dict[str, tuple[type[Any], ...]] = {
    "bolt": (Bolt, Screw),
    "nut": (Nut,),
    "lock nut": (Nut,),
    "stud": (Stud,),
    "washer": (Washer,),
    "tab washer": (Washer,),
    "spring washer": (Washer,),
    "crush washer": (Washer,),
}


@rule("split-pin-holds-nothing", "error", source="common practice", acceptable=True)
def split_pin_holds_nothing(case: JointCase) -> Iterator[Problem]:
    """A split pin goes through the slots of a nut, a drilled shank, or a clevis pin."""
    for stack in case.stacks:
        if _slotted(stack) or _drilled(stack) or any(True for _ in stack.pins("clevis")):
            continue
        for path in stack.pins("split"):
            yield Problem(
                path,
                "a split pin, and nothing it could go through",
                f"a nut that is {' or '.join(SLOTTED_NUTS)}, 'drilled: shank', or a clevis pin",
                "mend the kind of nut, or add 'drilled: shank' to the bolt",
            )


@rule("slotted-nut-without-pin", "error", source="common practice", acceptable=True)
def slotted_nut_without_pin(case: JointCase) -> Iterator[Problem]:
    """A castellated or slotted nut is locked by a split pin or wire; without it, it is just a nut."""
    for stack in case.stacks:
        if any(True for kind in _ONCE for _ in stack.pins(kind)):
            continue
        for path, nut in stack.each(Nut):
            if nut.nut in SLOTTED_NUTS:
                yield Problem(
                    path,
                    f"a {nut.nut} nut and no split pin or locking wire",
                    "the pin or wire that locks it",
                    "add '{pin: split, diameter: …}' after it",
                )


@rule("drilled-head-without-wire", "warning", source="common practice", acceptable=True)
def drilled_head_without_wire(case: JointCase) -> Iterator[Problem]:
    """A head drilled for locking wire is wired."""
    for stack in case.stacks:
        if any(True for _ in stack.pins("locking-wire")):
            continue
        for path, bolt in stack.each(Bolt):
            if bolt.drilled == "head":
                yield Problem(
                    (*path, "drilled"),
                    "'head' and no locking wire in the stack",
                    "the wire that goes through it",
                    "add '{pin: locking-wire, diameter: …}', or say under accepted why it is not wired",
                )


@rule("used-pin-again", "error", source="common practice")
def used_pin_again(case: JointCase) -> Iterator[Problem]:
    """Where a failure can hurt someone, split pins and locking wire are new every time."""
    if case.record.consequence not in SAFETY_CRITICAL:
        return
    for stack in case.stacks:
        for kind, name in _ONCE.items():
            for path in stack.pins(kind):
                if name not in case.record.renew:
                    yield Problem(
                        path,
                        f"a {name} in a {case.record.consequence} joint, and '{name}' not under renew",
                        f"'{name}' under renew",
                        f"add '{name}' to renew",
                    )


@rule("renew-not-in-stack", "warning", source=RECORD_FORMAT, acceptable=True)
def renew_not_in_stack(case: JointCase) -> Iterator[Problem]:
    """What is to be renewed is in the stack."""
    for number, name in enumerate(case.record.renew):
        pins = [kind for kind, words in _ONCE.items() if words == name]
        kinds = _IN_STACK.get(name, ())
        if (pins and not any(True for _ in case.stack.pins(pins[0]))) or (kinds and not case.stack.has(*kinds)):
            yield Problem(
                ("renew", number), f"'{name}', which is not in the stack", "a part of the stack", "add it there too"
            )


def _slotted(stack: StackCase) -> bool:
    return any(nut.nut in SLOTTED_NUTS for _, nut in stack.each(Nut))


def _drilled(stack: StackCase) -> bool:
    return any(member.drilled == "shank" for _, member in stack.each(Bolt, Stud)) or any(
        pin.pin in ("taper", "dowel") for _, pin in stack.each(Pin)
    )


RULES: tuple[Rule[Any], ...] = (
    split_pin_holds_nothing,
    slotted_nut_without_pin,
    drilled_head_without_wire,
    used_pin_again,
    renew_not_in_stack,
)
