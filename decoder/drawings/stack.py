"""A joint's stack to scale, seen from the side: every part at its place along the bolt, numbered as its list is."""

from __future__ import annotations

from collections.abc import Callable

from decoder.drawings.svg import across, drawing, label, tag
from decoder.quantities import format_mm
from decoder.stacks import Layout, Placed

WIDTH = 340.0
_LEFT, _RIGHT = 14.0, 14.0
_AXIS = 92.0

#: How far parts reach from the axis, in diameters of the thread; across the axis the drawing is a sketch.
_REACH = {"layer": 1.9, "hole": 1.9, "washer": 1.05, "nut": 0.85, "head": 0.85}

#: Where no height is known a part is drawn with a broken line, this many diameters high.
_UNKNOWN_HEIGHT = 0.7


def draw_stack(layout: Layout) -> str:
    """The stack along its axis at one scale; a part without a known height has a broken outline."""
    diameter = layout.thread.major_mm
    is_stud = layout.from_mm < 0
    head = 0.0 if is_stud else (layout.head_mm or _UNKNOWN_HEIGHT * diameter)
    ends = [_end(part, diameter) for part in layout.parts]
    low, high = min(-head, layout.from_mm), max(layout.to_mm, *ends)
    scale = (WIDTH - _LEFT - _RIGHT) / (high - low)
    bolt = min(diameter * scale, 40.0)

    def x(at_mm: float) -> float:
        return _LEFT + (at_mm - low) * scale

    drawn = [_part(part, x, bolt, diameter) for part in layout.parts]
    shank = tag(
        "rect", x=x(layout.from_mm), y=_AXIS - bolt / 2, width=x(layout.to_mm) - x(layout.from_mm), height=bolt,
        class_="metal fastener",
    )  # fmt: skip
    heads = [] if is_stud else [_box(x(-head), x(0), bolt * _REACH["head"], known=layout.head_mm is not None)]
    numbers = [(part.number, (x(part.start_mm) + x(_end(part, diameter))) / 2) for part in layout.parts]
    fastener_at = x(-head / 2) if not is_stud else x(layout.from_mm) + 8
    clamped = [part for part in layout.parts if part.role in ("layer", "washer")]
    begin, end = clamped[0].start_mm, clamped[-1].end_mm or 0.0
    return drawing(
        WIDTH,
        196,
        f"The stack to scale: grip {format_mm(layout.grip_mm)}, fastener {format_mm(layout.to_mm - layout.from_mm)}",
        across(x(begin), x(end), 16, f"grip {format_mm(layout.grip_mm)}"),
        *drawn,
        *heads,
        shank,
        tag("line", x1=4, y1=_AXIS, x2=WIDTH - 4, y2=_AXIS, class_="guide"),
        *_spread([*numbers, (layout.fastener, fastener_at)]),
        class_="stack-drawing",
    )


def _end(part: Placed, diameter: float) -> float:
    return part.end_mm if part.end_mm is not None else part.start_mm + _UNKNOWN_HEIGHT * diameter


def _part(part: Placed, x: Callable[[float], float], bolt: float, diameter: float) -> str:
    reach = min(bolt * _REACH[part.role], 62.0)
    return _box(x(part.start_mm), x(_end(part, diameter)), reach, known=part.end_mm is not None, class_=part.role)


def _box(left: float, right: float, reach: float, *, known: bool, class_: str = "") -> str:
    kind = f"metal {class_}".strip() if known else f"unknown {class_}".strip()
    return tag("rect", x=left, y=_AXIS - reach, width=right - left, height=2 * reach, class_=kind)


def _spread(numbers: list[tuple[int, float]]) -> list[str]:
    """Numbers under the stack with a line to their part, moved apart where they would cover each other."""
    ordered = sorted(numbers, key=lambda one: one[1])
    places: list[float] = []
    for _, at in ordered:
        places.append(max(at, places[-1] + 21) if places else max(at, 11.0))
    overshoot = places[-1] - (WIDTH - 11)
    if overshoot > 0:
        # Push back from the right end, keeping the distances.
        limit = WIDTH - 11
        for index in range(len(places) - 1, -1, -1):
            places[index] = min(places[index], limit)
            limit = places[index] - 21
    return [
        tag("line", x1=at, y1=_AXIS + 2, x2=place, y2=166, class_="guide")
        + tag("circle", cx=place, cy=177, r=10, class_="number")
        + label(str(number), place, 181.5, class_="label number-label")
        for (number, at), place in zip(ordered, places, strict=True)
    ]
