"""A joint's stack to scale, seen from the side: every part at its place along the bolt, numbered as its list is.

Along the axis everything has one scale: grip, what stands out or engages, and the length that is needed are measured
in it. Across the axis the drawing is a sketch.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from decoder.drawings.svg import drawing, label, path, tag
from decoder.quantities import format_mm
from decoder.stacks import Layout, Placed

WIDTH = 340.0
_LEFT, _RIGHT = 14.0, 14.0

#: Dimensions stand in rows above the stack, this far apart; the axis lies this far below the last of them.
_FIRST_ROW, _ROW = 16.0, 25.0
_AXIS_BELOW = 76.0
_NUMBERS_BELOW_AXIS = 85.0

#: How far parts reach from the axis, in diameters of the thread.
_REACH = {"layer": 1.9, "hole": 1.9, "washer": 1.05, "nut": 0.85, "head": 0.85}
_WIDEST = 62.0

#: Where no height is known a part is drawn with a broken line, this many diameters high.
_UNKNOWN_HEIGHT = 0.7

#: A sunk head is sketched this many diameters deep; no table of such heads was read.
_SUNK_DEPTH = 0.5

#: Half the width of a dimension's words, so that they stay on the sheet.
_HALF_WORDS = 4.2


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Where millimetres of the axis lie on the sheet; `bolt` is the drawn diameter."""

    low: float
    scale: float
    axis: float
    bolt: float
    diameter: float

    def x(self, at_mm: float) -> float:
        return _LEFT + (at_mm - self.low) * self.scale


def draw_stack(layout: Layout, needed_mm: float | None = None) -> str:
    """The stack along its axis at one scale; a part without a known height has a broken outline.

    Parameters
    ----------
    layout : Layout
    needed_mm : float, optional
        Length that the fastener must have at least, drawn as a dimension, [mm].
    """
    diameter = layout.thread.major_mm
    spans = [_span(part, layout) for part in layout.parts]
    head = 0.0 if layout.is_stud or layout.is_sunk else (layout.head_mm or _UNKNOWN_HEIGHT * diameter)
    measured = [*_dimensions(layout, needed_mm)]
    reached = [edge for begin, end, _ in measured for edge in (begin, end)]
    low = min(-head, layout.from_mm, *(begin for begin, _ in spans), *reached)
    high = max(layout.to_mm, *(end for _, end in spans), *reached)
    scale = (WIDTH - _LEFT - _RIGHT) / (high - low)
    axis = _FIRST_ROW + _ROW * (len(measured) - 1) + _AXIS_BELOW
    sheet = _Sheet(low=low, scale=scale, axis=axis, bolt=min(diameter * scale, 40.0), diameter=diameter)
    numbers = [
        (part.number, (sheet.x(begin) + sheet.x(end)) / 2)
        for part, (begin, end) in zip(layout.parts, spans, strict=True)
    ]
    at_head = sheet.x(-head / 2) if head else sheet.x(layout.from_mm) + 8
    return drawing(
        WIDTH,
        axis + _NUMBERS_BELOW_AXIS + 19,
        f"The stack to scale: grip {format_mm(layout.grip_mm, 2)}, fastener {format_mm(layout.length_mm, 2)}",
        *(_dimension(sheet, row, *each) for row, each in enumerate(measured)),
        *(_part(sheet, part, *span) for part, span in zip(layout.parts, spans, strict=True)),
        *_fastener(sheet, layout, head),
        tag("line", x1=4, y1=axis, x2=WIDTH - 4, y2=axis, class_="guide"),
        *_spread([*numbers, (layout.fastener, at_head)], axis),
        class_="stack-drawing",
    )


def _dimensions(layout: Layout, needed_mm: float | None) -> Iterator[tuple[float, float, str]]:
    """What is measured along the axis: from, to, [mm], and its words."""
    clamped = layout.clamped
    begin, end = clamped[0].start_mm, clamped[-1].end_mm or 0.0
    yield begin, end, f"grip {format_mm(layout.grip_mm, 2)}"
    hole = layout.hole
    if layout.engagement_mm and hole is not None:
        yield hole.start_mm, hole.start_mm + layout.engagement_mm, f"thread {format_mm(layout.engagement_mm, 2)}"
    if layout.protrusion_mm is not None and layout.protrusion_mm > 0:
        words = f"stands out {format_mm(layout.protrusion_mm, 2)}"
        if layout.is_stud:
            yield layout.from_mm, layout.from_mm + layout.protrusion_mm, words
        else:
            yield layout.to_mm - layout.protrusion_mm, layout.to_mm, words
    if needed_mm is not None:
        words = f"needs {format_mm(needed_mm, 1)}"
        face = hole.start_mm if layout.is_stud and hole is not None else 0.0
        yield (face - needed_mm, face, words) if layout.is_stud else (face, needed_mm, words)


def _dimension(sheet: _Sheet, row: int, begin: float, end: float, words: str) -> str:
    y, left, right = _FIRST_ROW + _ROW * row, sheet.x(begin), sheet.x(end)
    ends = "".join(tag("line", x1=x, y1=y - 5, x2=x, y2=y + 5) for x in (left, right))
    line = tag("g", tag("line", x1=left, y1=y, x2=right, y2=y), ends, class_="dimension")
    half = _HALF_WORDS * len(words)
    middle = min(max((left + right) / 2, half), WIDTH - half)
    return line + label(words, middle, y - 6, class_="label dimension-label")


def _span(part: Placed, layout: Layout) -> tuple[float, float]:
    """Where a part begins and ends, [mm]; one without a known height is sketched away from what is clamped."""
    if part.end_mm is not None:
        return part.start_mm, part.end_mm
    height = _UNKNOWN_HEIGHT * layout.thread.major_mm
    if layout.is_stud and part.role == "nut":
        return part.start_mm - height, part.start_mm
    return part.start_mm, part.start_mm + height


def _part(sheet: _Sheet, part: Placed, begin: float, end: float) -> str:
    reach = min(sheet.bolt * _REACH[part.role], _WIDEST)
    known = "metal" if part.end_mm is not None else "unknown"
    return _box(sheet, begin, end, reach, f"{known} {part.role}")


def _fastener(sheet: _Sheet, layout: Layout, head: float) -> Iterator[str]:
    x, axis, half = sheet.x, sheet.axis, sheet.bolt / 2
    if head:
        kind = "metal head" if layout.head_mm is not None else "unknown head"
        yield _box(sheet, -head, 0.0, sheet.bolt * _REACH["head"], kind)
    yield _box(sheet, layout.from_mm, layout.to_mm, half, "metal fastener")
    if layout.is_sunk:
        wide, deep = sheet.bolt * 0.95, x(min(_SUNK_DEPTH * sheet.diameter, layout.to_mm))
        cone = [(x(0), axis - wide), (deep, axis - half), (deep, axis + half), (x(0), axis + wide)]
        yield tag("path", d=path(cone, closed=True), class_="metal head")
    # Threads as drawings show them: thin lines at the root.
    root = half * layout.thread.minor_external_mm / layout.thread.major_mm
    for begin, end in _threads(layout):
        for y in (axis - root, axis + root):
            yield tag("line", x1=x(begin), y1=y, x2=x(end), y2=y, class_="thread-root outline")


def _threads(layout: Layout) -> Iterator[tuple[float, float]]:
    """Where the fastener is threaded, [mm]; the whole of it where no plain length is known."""
    hole = layout.hole
    if layout.is_stud and hole is not None and layout.shank_mm is not None:
        yield layout.from_mm, hole.start_mm - layout.shank_mm
        yield hole.start_mm, layout.to_mm
        return
    plain = layout.shank_mm if layout.shank_mm is not None else layout.usual_shank_mm or 0.0
    sunk = _SUNK_DEPTH * layout.thread.major_mm if layout.is_sunk else 0.0
    yield layout.from_mm + max(plain, min(sunk, layout.to_mm)), layout.to_mm


def _box(sheet: _Sheet, begin: float, end: float, reach: float, class_: str) -> str:
    left, right = sheet.x(begin), sheet.x(end)
    return tag("rect", x=left, y=sheet.axis - reach, width=right - left, height=2 * reach, class_=class_)


def _spread(numbers: list[tuple[int, float]], axis: float) -> list[str]:
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
    y = axis + _NUMBERS_BELOW_AXIS
    return [
        tag("line", x1=at, y1=axis + 2, x2=place, y2=y - 11, class_="guide")
        + tag("circle", cx=place, cy=y, r=10, class_="number")
        + label(str(number), place, y + 4.5, class_="label number-label")
        for (number, at), place in zip(ordered, places, strict=True)
    ]
