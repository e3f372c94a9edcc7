"""A joint's stack to scale, cut through the axis of its bolt: one scale both ways, every part numbered as its list is.

Lengths along the axis are the record's and the tables'. Widths are where a table or the record gives them; layers run
on beyond the drawing. What has no known height or width is drawn with a broken outline.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from decoder.drawings.svg import drawing, label, path, tag
from decoder.quantities import MM_PER_INCH, System, format_length
from decoder.stacks import Layout, Placed

WIDTH = 340.0
_SIDE = 12.0

#: The bolt is drawn no thicker than this, so that short ones leave room for what is around them.
_THICKEST = 64.0

#: Where no height is known a part is drawn this many diameters high, and where no width is known this many wide.
_UNKNOWN_HEIGHT, _UNKNOWN_WIDTH = 0.7, 1.7

#: Layers reach this many diameters beyond the widest part on them.
_BEYOND = 0.35

#: Layers of these give; they are filled and not hatched.
_SOFT = ("paper-gasket", "composite-gasket", "cork", "rubber", "felt", "fibre", "leather", "sealant", "plastic")

#: Space between two lines of a hatching, and between two numbers.
_HATCH, _NUMBER_STEP = 7.0, 21.0

#: Dimensions stand in rows above and below, this far apart.
_FIRST_ROW, _ROW = 18.0, 27.0

#: About how wide a letter of a label is at most.
_LETTER = 8.2


def draw_stack(layout: Layout, needed_mm: float | None = None) -> str:
    """The stack along its axis, with grip, length, what is needed, and what engages or stands out.

    Parameters
    ----------
    layout : Layout
    needed_mm : float, optional
        Length that the fastener must have at least, drawn as a dimension, [mm].
    """
    return _Sheet(layout, needed_mm).drawn()


class _Sheet:
    """One drawing: its scale, and the parts put on it."""

    def __init__(self, layout: Layout, needed_mm: float | None) -> None:
        self.layout, self.needed_mm = layout, needed_mm
        self.diameter = layout.thread.major_mm
        self.head_mm = 0.0 if layout.is_stud or layout.is_sunk else layout.head_mm or _UNKNOWN_HEIGHT * self.diameter
        edges = [edge for part in layout.parts for edge in self.span(part)]
        edges += [edge for _, begin, end in (*self.upper(), *self.outer()) for edge in (begin, end)]
        self.low, self.high = min(-self.head_mm, layout.from_mm, *edges), max(layout.to_mm, *edges)
        if layout.hole is not None and layout.hole.kind != "through":
            self.high += 0.3 * self.diameter
        self.scale = min((WIDTH - 2 * _SIDE) / (self.high - self.low), _THICKEST / self.diameter)
        self.left = (WIDTH - (self.high - self.low) * self.scale) / 2
        widths = [self.width(part) for part in layout.parts if part.role in ("nut", "washer")]
        widest = max(*widths, layout.head_across_mm or 0.0, _UNKNOWN_WIDTH * self.diameter, 0.0)
        self.reach = (widest / 2 + _BEYOND * self.diameter) * self.scale
        self.axis = _FIRST_ROW + _ROW * (len(list(self.upper())) - 1) + 14 + self.reach

    def x(self, at_mm: float) -> float:
        """Where a place on the axis stands."""
        return self.left + (at_mm - self.low) * self.scale

    def span(self, part: Placed) -> tuple[float, float]:
        """Where a part begins and ends, [mm]; one without a known height is sketched away from what is clamped."""
        if part.end_mm is not None:
            return part.start_mm, part.end_mm
        height = _UNKNOWN_HEIGHT * self.diameter
        if self.layout.is_stud and part.role == "nut":
            return part.start_mm - height, part.start_mm
        return part.start_mm, part.start_mm + height

    def width(self, part: Placed) -> float:
        """How wide a part is, a likely width where nobody knows."""
        return part.across_mm or _UNKNOWN_WIDTH * self.diameter

    def drawn(self) -> str:
        """The finished drawing."""
        above, below = list(self.upper()), list(self.outer())
        under = self.axis + self.reach + 24
        numbers_at = under + _ROW * (len(below) - 1) + 12
        return drawing(
            WIDTH,
            numbers_at + 34,
            f"The stack cut open, to scale: {', '.join(words for words, _, _ in (*above, *below))}",
            *(self.dimension(_FIRST_ROW + _ROW * row, *each) for row, each in enumerate(above)),
            *self.material(),
            *self.hardware(),
            tag("line", x1=4, y1=self.axis, x2=WIDTH - 4, y2=self.axis, class_="guide"),
            *self.numbers(numbers_at),
            *(self.dimension(under + _ROW * row, *each) for row, each in enumerate(below)),
            class_="stack-drawing",
        )

    @property
    def system(self) -> System:
        """The system that the thread's own standard is written in."""
        return "inch" if self.layout.thread.threads_per_inch is not None else "metric"

    def size(self, mm: float) -> str:
        """A length in both systems, fractions as they are, others to what anyone can measure."""
        parts = mm * 64 / MM_PER_INCH
        is_fraction = self.system == "inch" and abs(parts - round(parts)) < 0.01
        return format_length(mm if is_fraction else round(mm, 1), self.system)

    def dimension(self, y: float, words: str, begin: float, end: float) -> str:
        """A dimension along the axis; its words stay on the sheet however short it is."""
        x1, x2 = self.x(begin), self.x(end)
        ends = "".join(tag("line", x1=x, y1=y - 5, x2=x, y2=y + 5) for x in (x1, x2))
        line = tag("g", tag("line", x1=x1, y1=y, x2=x2, y2=y), ends, class_="dimension")
        half = len(words) * _LETTER / 2
        middle = min(max((x1 + x2) / 2, half), WIDTH - half)
        return line + label(words, middle, y - 6, class_="label dimension-label")

    def upper(self) -> Iterator[tuple[str, float, float]]:
        """Dimensions above: words, and from where to where, [mm]."""
        layout, hole = self.layout, self.layout.hole
        clamped = layout.clamped
        yield f"grip {self.size(layout.grip_mm)}", clamped[0].start_mm, clamped[-1].end_mm or 0.0
        face = hole.start_mm if layout.is_stud and hole is not None else 0.0
        away = -1.0 if layout.is_stud else 1.0
        wanted = [("length", layout.length_mm)]
        if self.needed_mm is not None:
            wanted.append(("needs", self.needed_mm))
        for name, mm in wanted:
            begin, end = sorted((face, face + away * mm))
            yield f"{name} {self.size(mm)}", begin, end

    # What is clamped and tapped.

    def material(self) -> Iterator[str]:
        """Layers and tapped part with their hatching, and the holes through them."""
        turn = 0
        for part in self.layout.parts:
            if part.role == "layer":
                yield from self.block(part.start_mm, self.span(part)[1], "layer", part.material, turn)
                yield self.bore(part.start_mm, self.span(part)[1], self.diameter * 1.1)
                turn += 1
            elif part.role == "hole":
                yield from self.tapped(part, turn)

    def block(self, start: float, end: float, role: str, material: str, turn: int) -> Iterator[str]:
        left, right = self.x(start), self.x(end)
        soft = " soft" if material in _SOFT else ""
        yield tag(
            "rect", x=left, y=self.axis - self.reach, width=right - left, height=2 * self.reach,
            class_=f"metal {role}{soft}",
        )  # fmt: skip
        if not soft:
            lines = _hatching(left, right, self.axis - self.reach, self.axis + self.reach, up=turn % 2 == 0)
            yield tag("path", d=" ".join(path(line) for line in lines), class_="hatch")

    def bore(self, start: float, end: float, across_mm: float) -> str:
        half = across_mm * self.scale / 2
        return tag(
            "rect", x=self.x(start), y=self.axis - half, width=self.x(end) - self.x(start), height=2 * half,
            class_="hollow",
        )  # fmt: skip

    def tapped(self, part: Placed, turn: int) -> Iterator[str]:
        end = self.span(part)[1]
        yield from self.block(part.start_mm, end, "hole", part.material, turn)
        if part.kind != "through":
            yield from self.block(end, self.high, "hole-end", part.material, turn)
        yield self.bore(part.start_mm, end, self.diameter)

    # Hardware.

    def hardware(self) -> Iterator[str]:
        """Washers, nuts, the fastener and its head."""
        layout = self.layout
        for part in layout.parts:
            if part.role in ("washer", "nut"):
                known = part.end_mm is not None and part.across_mm is not None
                yield self.box(*self.span(part), self.width(part), known=known, class_=part.role)
                if part.role == "nut" and known:
                    yield from self.corners(part.start_mm, self.span(part)[1], self.width(part))
        half = self.diameter * self.scale / 2
        yield tag(
            "rect", x=self.x(layout.from_mm), y=self.axis - half, width=self.x(layout.to_mm) - self.x(layout.from_mm),
            height=2 * half, class_="metal fastener",
        )  # fmt: skip
        for start, end in self.threaded():
            yield from self.thread(start, end)
        yield from self.head()

    def box(self, start: float, end: float, across_mm: float, *, known: bool, class_: str) -> str:
        half = across_mm * self.scale / 2
        kind = f"{'metal' if known else 'unknown'} {class_}"
        return tag(
            "rect", x=self.x(start), y=self.axis - half, width=self.x(end) - self.x(start), height=2 * half,
            class_=kind,
        )  # fmt: skip

    def corners(self, start: float, end: float, across_mm: float) -> Iterator[str]:
        """The two edges of a hexagon that are seen between its corners."""
        for side in (-1, 1):
            y = self.axis + side * across_mm * self.scale / 4
            yield tag("line", x1=self.x(start), y1=y, x2=self.x(end), y2=y, class_="edge")

    def head(self) -> Iterator[str]:
        layout = self.layout
        if layout.is_stud:
            return
        if layout.is_sunk:
            wide, half = self.diameter * self.scale, self.diameter * self.scale / 2
            deep = self.x(self.diameter / 2)
            points = [
                (self.x(0), self.axis - wide), (deep, self.axis - half), (deep, self.axis + half),
                (self.x(0), self.axis + wide),
            ]  # fmt: skip
            yield tag("path", d=path(points, closed=True), class_="metal head")
            return
        known = layout.head_mm is not None and layout.head_across_mm is not None
        wide_mm = layout.head_across_mm or _UNKNOWN_WIDTH * self.diameter
        yield self.box(-self.head_mm, 0.0, wide_mm, known=known, class_="head")
        if known:
            yield from self.corners(-self.head_mm, 0.0, wide_mm)

    def threaded(self) -> Iterator[tuple[float, float]]:
        """Where the fastener has thread, as far as record or standard say."""
        layout = self.layout
        hole = layout.hole
        shank = layout.shank_mm if layout.shank_mm is not None else layout.usual_shank_mm
        if layout.is_stud:
            if shank is not None and hole is not None:
                yield layout.from_mm, hole.start_mm - shank
            if hole is not None and layout.to_mm > hole.start_mm:
                yield hole.start_mm, layout.to_mm
        elif shank is not None:
            yield shank, layout.to_mm

    def thread(self, start: float, end: float) -> Iterator[str]:
        """A threaded length as drawing offices show it: thin lines at the root, a line where it begins."""
        half = self.layout.thread.minor_external_mm * self.scale / 2
        for y in (self.axis - half, self.axis + half):
            yield tag("line", x1=self.x(start), y1=y, x2=self.x(end), y2=y, class_="thread-line")

    # Words and numbers.

    def outer(self) -> Iterator[tuple[str, float, float]]:
        """Dimensions below: what engages and what stands out."""
        layout, hole = self.layout, self.layout.hole
        out = layout.protrusion_mm
        if out is not None and out > 0:
            begin = layout.from_mm if layout.is_stud else layout.to_mm - out
            yield f"stands out {self.size(out)}", begin, begin + out
        for part in layout.parts:
            if part.gap_mm and part.end_mm is not None:
                yield f"gap {self.size(part.gap_mm)}", part.end_mm, part.end_mm + part.gap_mm
        if hole is not None and layout.engagement_mm:
            yield f"thread in {self.size(layout.engagement_mm)}", hole.start_mm, hole.start_mm + layout.engagement_mm

    def numbers(self, y: float) -> Iterator[str]:
        """Numbers under the stack with a line to their part, moved apart where they would cover each other."""
        layout = self.layout
        marked = [(part.number, sum(map(self.x, self.span(part))) / 2) for part in layout.parts]
        own = self.x(layout.from_mm) + 6 if layout.is_stud or layout.is_sunk else self.x(-self.head_mm / 2)
        ordered = sorted([*marked, (layout.fastener, own)], key=lambda one: one[1])
        for (number, at), place in zip(ordered, _apart([at for _, at in ordered]), strict=True):
            yield tag("line", x1=at, y1=self.axis + 2, x2=place, y2=y + 9, class_="guide")
            yield tag("circle", cx=place, cy=y + 20, r=10, class_="number")
            yield label(str(number), place, y + 24.5, class_="label number-label")


def _apart(wanted: list[float]) -> list[float]:
    """Places near the wanted ones, in order, no closer than a number is wide, all on the sheet."""
    places: list[float] = []
    for at in wanted:
        places.append(max(at, places[-1] + _NUMBER_STEP) if places else max(at, 11.0))
    limit = WIDTH - 11
    for index in range(len(places) - 1, -1, -1):
        places[index] = min(places[index], limit)
        limit = places[index] - _NUMBER_STEP
    return places


def _hatching(
    left: float, right: float, top: float, bottom: float, *, up: bool
) -> Iterable[tuple[tuple[float, float], tuple[float, float]]]:
    """Lines at 45° across a rectangle; neighbours lean the other way."""
    height = bottom - top
    start = left - height + (_HATCH - (left - height) % _HATCH)
    lines: list[tuple[tuple[float, float], tuple[float, float]]] = []
    at = start
    while at < right:
        x1, x2 = max(at, left), min(at + height, right)
        if x2 > x1:
            y1, y2 = (bottom - (x1 - at), bottom - (x2 - at)) if up else (top + (x1 - at), top + (x2 - at))
            lines.append(((x1, y1), (x2, y2)))
        at += _HATCH
    return lines
