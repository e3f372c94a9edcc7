"""Where each part of a joint's stack lies along its axis: grip, engagement, what stands out, and the length it takes.

Only what the record measures, and heights that a standard gives, are used; each says which product it was taken from.
What is not known stays unknown, with the reason: a stack with an unmeasured layer has no layout, and a nut whose
height no table gives has no protrusion.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from decoder.hexagons import CORNERS_PER_FLATS, Hexagon
from decoder.joint_threads import main_thread
from decoder.quantities import Length, System, format_length
from decoder.records import Bolt, Captive, Insert, Layer, Member, Nut, Pin, Screw, Stud, Tapped, Washer
from decoder.reference import Reference
from decoder.tables import Provenance
from decoder.threads import Thread
from decoder.usual_parts import nut_widths, usual_heads, usual_nuts
from decoder.washers import Washer as WasherSize

Role = Literal["layer", "washer", "nut", "hole"]

#: What the fastener screws into.
Ending = Literal["nut", "captive", "hole"]

#: The row of the washer tables that a kind usually is: its kind there, and series in order of preference.
_WASHERS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "plain": ("plain", ("type A narrow", "type A", "normal")),
    "penny": ("plain", ("type A wide", "large")),
    "helical-spring": ("spring", ("regular", "A and B")),
    "toothed-internal": ("internal tooth", ("type A and B", "J")),
    "toothed-external": ("external tooth", ("type A and B",)),
}

#: Threads whose washers the tables hold; a British one goes by another standard, which nobody has read.
_WASHER_FAMILIES = ("UNC", "UNF", "UNEF", "UN", "UNS", "M")

#: Threads of which a standard says how much of a hexagon bolt is threaded.
_THREAD_LENGTH_FAMILIES = ("UNC", "UNF", "M")

#: Bolts that do not go through layers along their own axis, or whose length says nothing about how far they reach.
_NOT_THROUGH: Mapping[str, str] = {
    "u-bolt": "the length of a U-bolt says nothing about how far it reaches",
    "eye": "the length of an eye bolt is not measured from a bearing face",
    "bleed": "a bleed screw seats on its tip and clamps nothing",
    "plug": "a plug seats or wedges; it clamps nothing",
    "banjo": "a banjo bolt squeezes its washers, and its length is the maker's",
    "tee": "the head of a T-bolt lies in its slot",
}
_OWN_WAY: Mapping[str, str] = {
    "grub": "a grub screw goes in whole and clamps nothing",
    "self-tapping": "a self-tapping screw cuts its thread in what it holds",
    "wood": "a wood screw cuts its thread in what it holds",
    "thumb": "",
}

#: Heads whose length is measured over all, or to the rim: the head lies inside the first layer.
SUNK_HEADS = ("countersunk", "raised-countersunk", "socket-countersunk")

#: Nuts that must not be run on until the bolt meets their end.
CLOSED_NUTS = ("dome",)

#: Thread that is kept free above the bottom of a hole or a closed nut, in pitches: what a tap cuts runs out there, and
#: oil and dirt lie in it (common practice).
BOTTOM_PITCHES = 1.0

#: Thread that a closed nut takes at least, in diameters (common practice).
_CLOSED_DIAMETERS = 0.75

#: Nuts whose crown may stand above the end of the bolt: the pin goes through both.
_CROWNED_NUTS = ("castellated", "slotted")


@dataclass(frozen=True, slots=True, kw_only=True)
class Height:
    """A height or thickness by standard, [mm]; `others` are what other standards give the same part.

    `across_mm` is its width over the corners, or a washer's outside diameter, None where the row has none.
    """

    mm: float
    across_mm: float | None
    taken_from: str
    others: tuple[str, ...]
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One part on the axis; the face under the head, or the outer face of a stud's first part, is at 0, [mm].

    `number` is its place in the record's stack, from 1. `end_mm` is None where no height is known. `material` is the
    id of what a layer or a tapped part is of. `across_mm` is how wide it is, None where neither record nor table says.
    `gap_mm` is what stays open below a layer; `thread_depth_mm` how deep a closed nut is threaded, None where unknown.
    """

    number: int
    role: Role
    start_mm: float
    end_mm: float | None
    taken_from: str = ""
    kind: str = ""
    material: str = ""
    words: str = ""
    across_mm: float | None = None
    gap_mm: float = 0.0
    thread_depth_mm: float | None = None

    @property
    def thickness_mm(self) -> float | None:
        """How much of the axis it takes, [mm], None where no height is known."""
        return None if self.end_mm is None else self.end_mm - self.start_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A stack along its axis, [mm].

    `fastener` is the number of the bolt, screw or stud; `from_mm` to `to_mm` its length without the head. `grip_mm` is
    what is clamped; `engagement_mm` the thread in a tapped hole; `protrusion_mm` what stands out beyond the nut.
    `shank_mm` is the plain length under the head, or between the threads of a stud, as recorded; `usual_shank_mm`
    what a standard leaves plain. `room_mm` is what a blind hole leaves below the tip, below zero where it bottoms.
    """

    fastener: int
    thread: Thread
    from_mm: float
    to_mm: float
    head_mm: float | None
    head_across_mm: float | None
    head_from: str
    parts: tuple[Placed, ...]
    grip_mm: float
    engagement_mm: float | None
    protrusion_mm: float | None
    ending: Ending
    is_stud: bool
    is_sunk: bool
    shank_mm: float | None
    usual_shank_mm: float | None
    room_mm: float | None
    heights: tuple[Height, ...]

    @property
    def length_mm(self) -> float:
        """The length as the trade measures it: a stud's without its metal end."""
        hole = self.hole
        return (hole.start_mm if self.is_stud and hole else self.to_mm) - self.from_mm

    @property
    def hole(self) -> Placed | None:
        """The tapped hole or insert, if it ends in one."""
        return next((part for part in self.parts if part.role == "hole"), None)

    @property
    def nuts(self) -> tuple[Placed, ...]:
        """The nuts, from the one that bears on the stack outwards."""
        nuts = tuple(part for part in self.parts if part.role == "nut")
        return tuple(reversed(nuts)) if self.is_stud else nuts

    @property
    def clamped(self) -> tuple[Placed, ...]:
        """Layers and washers between the two bearing faces, from the head down."""
        return tuple(part for part in self.parts if part.role in ("layer", "washer"))

    @property
    def thread_in_grip_mm(self) -> float | None:
        """Thread that lies in the clamped parts, [mm]; by the record, else by the standard's length of thread."""
        shank = self.shank_mm if self.shank_mm is not None else self.usual_shank_mm
        return None if shank is None else max(0.0, self.grip_mm - shank)

    @property
    def room_in_nut_mm(self) -> float | None:
        """What a closed nut leaves beyond the tip, below zero where it bottoms, [mm]; None where that is not known."""
        closed = self.closed_nut
        if closed is None or closed.thread_depth_mm is None:
            return None
        return closed.thread_depth_mm - (self.length_mm - self.grip_mm)

    @property
    def closed_nut(self) -> Placed | None:
        """The closed nut of the stack, if it has one."""
        return next((nut for nut in self.nuts if nut.kind in CLOSED_NUTS), None)

    @property
    def gap_mm(self) -> float:
        """What stays open between the layers when all is tight, [mm]."""
        return sum(part.gap_mm for part in self.parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """What came of laying a stack out: a layout, or one sentence why there is none. `grip_mm` may be known anyway."""

    layout: Layout | None
    reason: str
    grip_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """The length a fastener must have, [mm]; `longest_mm` where it must not bottom; `how` says what was added up."""

    least_mm: float | None
    longest_mm: float | None
    how: str
    protrusion_mm: float | None


def lay_out(stack: tuple[Member, ...], reference: Reference, length: Length | None = None) -> Layout | None:
    """The layout of a stack with one bolt, screw or stud through measured parts, or None where it has none.

    `length` takes the place of the fastener's own, as a named place may have it.
    """
    return survey(stack, reference, length).layout


def survey(stack: tuple[Member, ...], reference: Reference, length: Length | None = None) -> Survey:
    """The same, with the reason where there is no layout."""
    fasteners = [(number, member) for number, member in enumerate(stack, 1) if isinstance(member, Bolt | Screw | Stud)]
    thread = main_thread(stack, reference.threads)
    parts, heights, missing = _place(stack, thread, reference)
    clamped = [part for part in parts if part.role in ("layer", "washer")]
    grip = sum((part.thickness_mm or 0.0) + part.gap_mm for part in clamped) if clamped and not missing else None
    reason = _reason(fasteners, thread, parts, missing)
    if reason or thread is None or grip is None:
        return Survey(layout=None, reason=reason or "nothing is clamped", grip_mm=grip)
    number, fastener = fasteners[0]
    layout = _measured(number, fastener, length or fastener.length, thread, tuple(parts), heights, grip, reference)
    return Survey(layout=layout, reason="", grip_mm=grip)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftInHole:
    """Thread of an adjuster's screw that is left in its hole at most, [mm], below zero where there is none.

    `fastener` is its number in the stack, from 1; `written` its length, `how` what was taken off.
    """

    fastener: int
    thread: Thread
    mm: float
    written: str
    how: str


def left_in_hole(stack: tuple[Member, ...], reference: Reference) -> LeftInHole | None:
    """What a screw with a lock nut on it has left for its tapped hole, or None for another stack.

    The nut bears on the part with the hole, so the screw's length loses the nut, and whatever lies between, at the
    least: it may stand out of the nut besides. None too where a height is not known.
    """
    fasteners = [(number, member) for number, member in enumerate(stack, 1) if isinstance(member, Bolt | Screw)]
    nuts = [member for member in stack if isinstance(member, Nut)]
    holes = [member for member in stack if isinstance(member, Tapped | Insert)]
    thread = main_thread(stack, reference.threads)
    if len(fasteners) != 1 or not nuts or len(holes) != 1 or thread is None:
        return None
    parts, _, missing = _place(stack, thread, reference)
    hole = next(part for part in parts if part.role == "hole")
    if missing or any(part.end_mm is None for part in parts):
        return None
    number, fastener = fasteners[0]
    taken = [part for part in parts if part.role == "nut"]
    height = sum(part.thickness_mm or 0.0 for part in taken)
    others = hole.start_mm - height
    system: System = "inch" if thread.threads_per_inch is not None else "metric"
    how = f"its lock nut takes {format_length(round(height, 2), system)}"
    named = ", ".join(dict.fromkeys(part.taken_from for part in taken if part.taken_from not in ("", "measured")))
    if named:
        how += f" ({named})"
    if others > 0:
        how += f", what lies between {format_length(round(others, 2), system)}"
    left = min(fastener.length.mm - hole.start_mm, hole.thickness_mm or math.inf)
    return LeftInHole(fastener=number, thread=thread, mm=left, written=fastener.length.written, how=how)


def chamfer_mm(thread: Thread) -> float:
    """Length of the chamfer on the end of a bolt, [mm]: at 45° down to the root of the thread (common practice)."""
    return (thread.major_mm - thread.minor_external_mm) / 2


def protrusion_needed_mm(thread: Thread, nut: str) -> float:
    """What must stand out beyond a nut of this kind, [mm]: a pitch, and the chamfer, which holds nothing.

    FAA AC 43.13-1B, 7-64, asks for the whole round or chamfer beyond a self-locking nut; a full pitch besides is
    common practice for any nut. The crown of a castellated nut may stand above the end: the pin goes through both.
    """
    return 0.0 if nut in _CROWNED_NUTS else thread.pitch_mm + chamfer_mm(thread)


def needed(layout: Layout, engagement_needed_mm: float | None) -> Need:
    """The length that a layout takes, from what it must engage in a hole or stand out beyond a nut.

    Parameters
    ----------
    layout : Layout
    engagement_needed_mm : float or None
        Thread that a hole must carry, [mm]; None where nobody knows.
    """
    thread = layout.thread
    if layout.ending == "hole" and not layout.is_stud:
        hole = layout.hole
        longest = (
            layout.grip_mm + hole.thickness_mm - bottom_mm(thread)
            if hole and hole.thickness_mm and layout.room_mm is not None
            else None
        )
        if engagement_needed_mm is None:
            return Need(least_mm=None, longest_mm=longest, how="how much thread the hole must carry is not known",
                        protrusion_mm=None)  # fmt: skip
        return Need(
            least_mm=layout.grip_mm + engagement_needed_mm + chamfer_mm(thread),
            longest_mm=longest,
            how="grip, the thread that the hole must carry, and the chamfer",
            protrusion_mm=None,
        )
    if layout.closed_nut is not None:
        return _needed_in_closed(layout, layout.closed_nut)
    outer = layout.nuts[-1] if layout.nuts else None
    if outer is None or any(nut.thickness_mm is None for nut in layout.nuts):
        return Need(least_mm=None, longest_mm=None, how="the height of the nut is in no table", protrusion_mm=None)
    beyond = protrusion_needed_mm(thread, outer.kind)
    nuts = sum(nut.thickness_mm or 0.0 for nut in layout.nuts)
    return Need(
        least_mm=layout.grip_mm + nuts + beyond,
        longest_mm=None,
        how="grip, nut, a pitch and the chamfer" if beyond else "grip and nut, the end level with the crown",
        protrusion_mm=beyond,
    )


def bottom_mm(thread: Thread) -> float:
    """Thread that is kept free above the bottom of a blind hole or a closed nut, [mm]."""
    return BOTTOM_PITCHES * thread.pitch_mm


def _needed_in_closed(layout: Layout, nut: Placed) -> Need:
    """A bolt in a closed nut is in by three quarters of its diameter and the chamfer, and never to the nut's end.

    Three quarters is about what a low plain nut has (common practice).
    """
    thread, depth = layout.thread, nut.thread_depth_mm
    if depth is None:
        return Need(least_mm=None, longest_mm=None, how="how deep this dome nut is threaded is in no table: measure "
                    "it, the bolt must not reach its end", protrusion_mm=None)  # fmt: skip
    return Need(
        least_mm=layout.grip_mm + _CLOSED_DIAMETERS * thread.major_mm + chamfer_mm(thread),
        longest_mm=layout.grip_mm + depth - bottom_mm(thread),
        how="grip, three quarters of the diameter in the dome nut, and the chamfer",
        protrusion_mm=None,
    )


def _place(
    stack: tuple[Member, ...], thread: Thread | None, reference: Reference
) -> tuple[list[Placed], tuple[Height, ...], str]:
    """Every part on the axis, heights taken from tables, and why a clamped part could not be placed."""
    parts: list[Placed] = []
    heights: list[Height] = []
    missing = ""
    at = 0.0
    for number, member in enumerate(stack, 1):
        if isinstance(member, Layer | Washer):
            thickness, taken, across = _thickness(member, thread, reference, heights)
            if thickness is None:
                name = member.layer if isinstance(member, Layer) else f"{member.washer} washer"
                missing = missing or f"the thickness of the {name} is not recorded, and no table gives it"
            role: Role = "layer" if isinstance(member, Layer) else "washer"
            gap = member.gap.mm if isinstance(member, Layer) and member.gap else 0.0
            parts.append(
                Placed(
                    number=number,
                    role=role,
                    start_mm=at,
                    end_mm=None if thickness is None else at + thickness,
                    taken_from=taken,
                    kind=member.washer if isinstance(member, Washer) else "",
                    material=(member.layer if isinstance(member, Layer) else member.material) or "",
                    words=(member.part or "") if isinstance(member, Layer) else "",
                    across_mm=across,
                    gap_mm=gap,
                )
            )
            at += (thickness or 0.0) + gap
        elif isinstance(member, Nut | Captive):
            height = _nut_height(member, thread, reference)
            if height is not None and member.height is None:
                heights.append(height)
            measured = member.height.mm if member.height else None
            mm = measured if measured is not None else height.mm if height else None
            parts.append(
                Placed(
                    number=number,
                    role="nut",
                    start_mm=at,
                    end_mm=None if mm is None else at + mm,
                    taken_from="measured" if measured is not None else height.taken_from if height else "",
                    kind=member.nut if isinstance(member, Nut) else "captive",
                    across_mm=_own_across(member) or (height.across_mm if height else None),
                    thread_depth_mm=_thread_depth(member, thread, reference),
                )
            )
            at += mm or 0.0
        elif isinstance(member, Tapped | Insert):
            depth = member.depth.mm if isinstance(member, Tapped) else member.length.mm
            parts.append(
                Placed(
                    number=number,
                    role="hole",
                    start_mm=at,
                    end_mm=at + depth,
                    kind=(member.hole or "") if isinstance(member, Tapped) else member.insert,
                    material=member.tapped or "",
                    words=(member.part or "") if isinstance(member, Tapped) else "",
                )
            )
            at += depth
    return parts, tuple(heights), missing


def _reason(
    fasteners: list[tuple[int, Bolt | Screw | Stud]], thread: Thread | None, parts: list[Placed], missing: str
) -> str:
    """Why a stack has no layout, '' where it has one."""
    if len(fasteners) != 1:
        return "no bolt, screw or stud with a length goes through" if not fasteners else "several go through"
    if thread is None:
        return "the thread is in no table"
    fastener = fasteners[0][1]
    shape = fastener.bolt if isinstance(fastener, Bolt) else fastener.screw if isinstance(fastener, Screw) else ""
    special = _NOT_THROUGH.get(shape) or _OWN_WAY.get(shape)
    if special:
        return special
    if missing:
        return missing
    roles = [part.role for part in parts]
    if not {"layer", "washer"} & set(roles):
        return "nothing is clamped"
    if not {"nut", "hole"} & set(roles):
        return "it screws into nothing that is recorded"
    if roles.count("hole") > 1:
        return "two tapped parts lie in the stack"
    return _order(isinstance(fastener, Stud), roles)


def _order(is_stud: bool, roles: list[Role]) -> str:
    last_clamped = max(place for place, role in enumerate(roles) if role in ("layer", "washer"))
    first_clamped = min(place for place, role in enumerate(roles) if role in ("layer", "washer"))
    nuts = [place for place, role in enumerate(roles) if role == "nut"]
    if is_stud:
        fits = "hole" in roles and bool(nuts) and max(nuts) < first_clamped and roles.index("hole") > last_clamped
        return "" if fits else "a stud is laid out from its nut to its tapped hole, and one of them is missing"
    if "hole" in roles:
        if nuts:
            return "a nut and a tapped hole on one screw: it is set by turning, so no length follows"
        return "" if roles.index("hole") > last_clamped else "a layer lies below the tapped hole"
    if min(nuts) < last_clamped:
        return "nuts lie between the layers: it is set by turning, so no length follows"
    return ""


def _measured(
    number: int,
    fastener: Bolt | Screw | Stud,
    length: Length,
    thread: Thread,
    parts: tuple[Placed, ...],
    heights: tuple[Height, ...],
    grip: float,
    reference: Reference,
) -> Layout:
    hole = next((part for part in parts if part.role == "hole"), None)
    nuts = [part for part in parts if part.role == "nut"]
    head = _head_height(fastener, thread, reference)
    own_head = fastener.height.mm if not isinstance(fastener, Stud) and fastener.height else None
    engagement = protrusion = room = None
    if isinstance(fastener, Stud) and hole is not None:
        # The free length begins where the tapped part does, and its nut end stands out the other way.
        end = fastener.metal_end.length
        start, stop = hole.start_mm - length.mm, hole.start_mm + (end.mm if end else 0.0)
        engagement = end.mm if end else None
        protrusion = -start if _stands_out_of(nuts) else None
        room = hole.start_mm + (hole.thickness_mm or 0.0) - stop if end and hole.kind == "blind" else None
    else:
        start, stop = 0.0, length.mm
        if hole is not None and hole.end_mm is not None:
            engagement = max(0.0, min(stop, hole.end_mm) - hole.start_mm)
            room = hole.end_mm - stop if hole.kind != "through" else None
        elif _stands_out_of(nuts):
            protrusion = stop - (nuts[-1].end_mm or 0.0)
    return Layout(
        fastener=number,
        thread=thread,
        from_mm=start,
        to_mm=stop,
        head_mm=own_head or (head.mm if head else None),
        head_across_mm=_own_across(fastener) or (head.across_mm if head else None),
        head_from="measured" if own_head else head.taken_from if head else "",
        parts=parts,
        grip_mm=grip,
        engagement_mm=engagement,
        protrusion_mm=protrusion,
        ending="hole" if hole is not None else "captive" if nuts[0].kind == "captive" else "nut",
        is_stud=isinstance(fastener, Stud),
        is_sunk=isinstance(fastener, Screw) and fastener.screw in SUNK_HEADS,
        shank_mm=_shank(fastener, length),
        usual_shank_mm=_usual_shank(fastener, length, thread),
        room_mm=room,
        heights=heights if head is None or own_head else (head, *heights),
    )


def _shank(fastener: Bolt | Screw | Stud, length: Length) -> float | None:
    """Plain length as recorded, [mm]."""
    if isinstance(fastener, Bolt):
        return fastener.shank.mm if fastener.shank else None
    if isinstance(fastener, Stud) and fastener.nut_end.length is not None:
        return max(0.0, length.mm - fastener.nut_end.length.mm)
    return None


def _usual_shank(fastener: Bolt | Screw | Stud, length: Length, thread: Thread) -> float | None:
    """What a standard leaves plain on a hexagon bolt of this length, [mm].

    Inch cap screws to 6 in have twice the diameter and 1/4 in of thread (ASME B18.2.1), metric bolts to 125 mm twice
    the diameter and 6 mm (ISO 4014); a screw is threaded to its head.
    """
    if not isinstance(fastener, Bolt) or fastener.bolt != "hexagon" or thread.family not in _THREAD_LENGTH_FAMILIES:
        return None
    is_metric = thread.family == "M"
    if length.mm > (125.0 if is_metric else 152.4):
        return None
    return max(0.0, length.mm - 2 * thread.major_mm - (6.0 if is_metric else 6.35))


def _thickness(
    member: Layer | Washer, thread: Thread | None, reference: Reference, heights: list[Height]
) -> tuple[float | None, str, float | None]:
    """Thickness, the product it was taken from, and how wide a washer is, [mm]."""
    if isinstance(member, Layer):
        return member.thickness.mm, "", None
    outside = member.outside.mm if member.outside else None
    found = None
    if thread is not None and member.size is None:
        found = washer_thickness(member.washer, thread, reference)
    across = outside or (found.across_mm if found else None)
    if member.thickness is not None:
        return member.thickness.mm, "", across
    if found is None:
        return None, "", across
    heights.append(found)
    return found.mm, found.taken_from, across


def washer_thickness(kind: str, thread: Thread, reference: Reference) -> Height | None:
    """The thickness that a standard gives a kind of washer on a thread, or None where no table that was read does."""
    if kind not in _WASHERS or thread.family not in _WASHER_FAMILIES:
        return None
    table, series = _WASHERS[kind]
    rows = [row for row in reference.washer_sizes.for_thread(thread, table) if _thick(row) is not None]
    for name in series:
        for row in rows:
            thickness = _thick(row)
            if row.series == name and thickness is not None:
                return Height(
                    mm=thickness,
                    across_mm=row.outside_mm or row.outside_max_mm or row.outside_min_mm,
                    taken_from=f"{kind} washer, {row.standard} {row.series}",
                    others=(),
                    provenance=row.provenance,
                )
    return None


def _thick(row: WasherSize) -> float | None:
    return row.thickness_mm or row.thickness_min_mm or row.thickness_max_mm


def _nut_height(nut: Nut | Captive, thread: Thread | None, reference: Reference) -> Height | None:
    if isinstance(nut, Captive) or thread is None:
        return None
    found = _height(usual_nuts(nut.nut, thread, reference.hexagons))
    if found is not None:
        return found
    row = reference.nut_heights.find(nut.nut, thread)
    if row is None:
        return None
    widths = nut_widths(nut.nut, thread, reference.hexagons)
    return Height(
        mm=row.height_max_mm,
        across_mm=widths[0].sharp_corners_mm if widths else None,
        taken_from=f"{row.product}, {row.standard}",
        others=(),
        provenance=row.provenance,
    )


def _own_across(member: Bolt | Screw | Stud | Nut | Captive) -> float | None:
    """Over the corners of a head or nut whose flats were measured, [mm]."""
    if isinstance(member, Stud | Captive) or member.across_flats is None:
        return None
    shape = member.bolt if isinstance(member, Bolt) else member.screw if isinstance(member, Screw) else member.nut
    return member.across_flats.mm * CORNERS_PER_FLATS["square" if shape == "square" else "hexagon"]


def _thread_depth(member: Nut | Captive, thread: Thread | None, reference: Reference) -> float | None:
    """How deep a closed nut is threaded, as measured, else by table, [mm]."""
    if not isinstance(member, Nut) or member.nut not in CLOSED_NUTS:
        return None
    if member.depth is not None:
        return member.depth.mm
    # A nut of its own height is of no standard, and neither is its depth.
    row = reference.nut_heights.find(member.nut, thread) if thread is not None and member.height is None else None
    return row.thread_depth_min_mm if row else None


def _stands_out_of(nuts: list[Placed]) -> bool:
    """Whether it can be said what stands out of the nuts: of a closed one nothing does."""
    return all(nut.end_mm is not None and nut.kind not in CLOSED_NUTS for nut in nuts)


def _head_height(fastener: Bolt | Screw | Stud, thread: Thread, reference: Reference) -> Height | None:
    if isinstance(fastener, Stud):
        return None
    shape = fastener.bolt if isinstance(fastener, Bolt) else fastener.screw
    return _height(usual_heads(shape, thread, reference.hexagons))


def _height(rows: Iterable[Hexagon]) -> Height | None:
    """The height of the first row that has one, and what the other standards give."""
    found = [(height, row) for row in rows if (height := row.height_mm or row.height_max_mm) is not None]
    if not found:
        return None
    mm, first = found[0]
    others = tuple(
        f"{other:.2f} mm by {row.product}, {row.standard}" for other, row in found[1:] if abs(other - mm) > 0.05
    )
    return Height(
        mm=mm,
        across_mm=first.sharp_corners_mm,
        taken_from=f"{first.product}, {first.standard}",
        others=others,
        provenance=first.provenance,
    )


def pins(stack: tuple[Member, ...]) -> tuple[Pin, ...]:
    """The pins of a stack."""
    return tuple(member for member in stack if isinstance(member, Pin))
