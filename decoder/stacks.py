"""Where each part of a joint's stack lies along its axis: grip, engagement, and what stands out beyond the nut.

Only what the record measures, and heights that a standard gives, are used. What is not known stays unknown: a stack
with an unmeasured washer has no layout, and a nut whose height no table gives has no protrusion.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from decoder.hexagons import Hexagon
from decoder.joint_threads import main_thread
from decoder.records import Bolt, Captive, Layer, Member, Nut, Screw, Stud, Tapped, Washer
from decoder.reference import Reference
from decoder.threads import Thread

Role = Literal["head", "layer", "washer", "nut", "hole"]

#: The product of the tables that a kind of nut usually is; kinds that are not here have no height by standard.
_NUTS = {
    "plain": ("hexagon nut",),
    "thin": ("hexagon jam nut", "thin hexagon nut", "hexagon lock nut"),
    "castellated": ("castle nut", "slotted hexagon nut"),
    "slotted": ("slotted hexagon nut",),
    "nylon-insert": ("prevailing-torque nut with insert",),
    "square": ("square nut",),
    "flange": ("hexagon flange nut",),
    "dome": ("cap nut",),
}
_HEADS = {
    "hexagon": ("hexagon cap screw", "hexagon bolt", "hexagon screw threaded to the head"),
    "hexagon-flange": ("hexagon flange screw", "hexagon flange bolt", "small hexagon flange bolt"),
    "square": ("square bolt",),
}

#: Bolts that do not go through layers along their own axis, or whose length says nothing about how far they reach.
_NOT_THROUGH = ("u-bolt", "eye", "bleed", "plug", "banjo", "tee")
_NOT_UNDER_THE_HEAD = ("countersunk", "raised-countersunk", "socket-countersunk", "grub", "self-tapping", "wood")


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One part on the axis; the face under the head, or the outer face of a stud's first part, is at 0, [mm].

    `number` is its place in the record's stack, from 1. `end_mm` is None where no height is known.
    """

    number: int
    role: Role
    start_mm: float
    end_mm: float | None
    taken_from: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A stack along its axis, [mm].

    `fastener` is the number of the bolt, screw or stud; `from_mm` to `to_mm` its length without the head. `grip_mm` is
    what is clamped; `engagement_mm` the thread in a tapped hole; `protrusion_mm` what stands out beyond the nut.
    """

    fastener: int
    thread: Thread
    from_mm: float
    to_mm: float
    head_mm: float | None
    head_from: str
    parts: tuple[Placed, ...]
    grip_mm: float
    engagement_mm: float | None
    protrusion_mm: float | None


def lay_out(stack: tuple[Member, ...], reference: Reference) -> Layout | None:
    """The layout of a stack with one bolt, screw or stud through measured parts, or None where it has none."""
    fasteners = [(number, member) for number, member in enumerate(stack, 1) if isinstance(member, Bolt | Screw | Stud)]
    thread = main_thread(stack, reference.threads)
    if len(fasteners) != 1 or thread is None:
        return None
    number, fastener = fasteners[0]
    if isinstance(fastener, Bolt) and fastener.bolt in _NOT_THROUGH:
        return None
    if isinstance(fastener, Screw) and fastener.screw in _NOT_UNDER_THE_HEAD:
        return None
    parts: list[Placed] = []
    at = grip = 0.0
    for place, member in enumerate(stack, 1):
        if isinstance(member, Layer | Washer):
            if member.thickness is None:
                return None
            role: Role = "layer" if isinstance(member, Layer) else "washer"
            parts.append(Placed(number=place, role=role, start_mm=at, end_mm=at + member.thickness.mm))
            grip += member.thickness.mm
            at += member.thickness.mm
        elif isinstance(member, Nut | Captive):
            height, taken = _nut_height(member, thread, reference)
            parts.append(Placed(number=place, role="nut", start_mm=at, end_mm=height and at + height, taken_from=taken))
            at += height or 0.0
        elif isinstance(member, Tapped):
            parts.append(Placed(number=place, role="hole", start_mm=at, end_mm=at + member.depth.mm))
            at += member.depth.mm
    if not grip or not _is_simple(parts):
        return None
    return _measured(number, fastener, thread, tuple(parts), grip, reference)


def _is_simple(parts: Iterable[Placed]) -> bool:
    """Whether one nut, or one hole, ends the stack, or a nut begins it and a hole ends it, as on a stud."""
    roles = [part.role for part in parts]
    return roles.count("nut") <= 1 and roles.count("hole") <= 1 and ("nut" in roles or "hole" in roles)


def _measured(
    number: int,
    fastener: Bolt | Screw | Stud,
    thread: Thread,
    parts: tuple[Placed, ...],
    grip: float,
    reference: Reference,
) -> Layout | None:
    nut = next((part for part in parts if part.role == "nut"), None)
    hole = next((part for part in parts if part.role == "hole"), None)
    length = fastener.length.mm
    head, head_from = _head_height(fastener, thread, reference)
    if isinstance(fastener, Stud):
        # The free length begins where the tapped part does, and its nut end stands out the other way.
        if hole is None or nut is None or nut is not parts[0]:
            return None
        end = fastener.metal_end.length
        engagement = end.mm if end else None
        start, stop = hole.start_mm - length, hole.start_mm + (end.mm if end else 0.0)
        protrusion = -start if nut.end_mm is not None else None
    else:
        start, stop = 0.0, length
        engagement = min(length - hole.start_mm, (hole.end_mm or 0.0) - hole.start_mm) if hole else None
        protrusion = length - nut.end_mm if nut and nut.end_mm is not None and hole is None else None
    return Layout(
        fastener=number,
        thread=thread,
        from_mm=start,
        to_mm=stop,
        head_mm=head,
        head_from=head_from,
        parts=parts,
        grip_mm=grip,
        engagement_mm=engagement,
        protrusion_mm=protrusion,
    )


def _nut_height(nut: Nut | Captive, thread: Thread, reference: Reference) -> tuple[float | None, str]:
    if isinstance(nut, Captive):
        return (nut.height.mm, "measured") if nut.height else (None, "")
    return _height(reference.hexagons.for_thread(thread, "nut"), _NUTS.get(nut.nut, ()))


def _head_height(fastener: Bolt | Screw | Stud, thread: Thread, reference: Reference) -> tuple[float | None, str]:
    if isinstance(fastener, Stud):
        return None, ""
    shape = fastener.bolt if isinstance(fastener, Bolt) else fastener.screw
    return _height(reference.hexagons.for_thread(thread, "bolt"), _HEADS.get(shape, ()))


def _height(rows: Iterable[Hexagon], products: tuple[str, ...]) -> tuple[float | None, str]:
    """The height of the first of these products that a standard gives one for, and which that was."""
    listed = tuple(rows)
    for product in products:
        for row in listed:
            height = row.height_mm or row.height_max_mm
            if row.product == product and height is not None:
                return height, f"{row.product}, {row.standard}"
    return None, ""
