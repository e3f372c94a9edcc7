"""Heads and nuts to scale, with their dimensions, and outlines to lay a part on."""

from __future__ import annotations

import math

from decoder.drawings.svg import across, drawing, label, path, tag, upright
from decoder.hexagons import CORNERS_PER_FLATS, Hexagon
from decoder.quantities import format_length, format_mm

WIDTH = 340.0


def outline(kind: str, flats: float, x: float, y: float) -> list[tuple[float, float]]:
    """Corners of a hexagon or square of a width across flats, centred, flats upright left and right."""
    sides = 6 if kind == "hexagon" else 4
    radius = flats / 2 / math.cos(math.pi / sides)
    turns = [math.pi / sides * (1 + 2 * turn) for turn in range(sides)]
    return [(x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns]


def wrenched_part(row: Hexagon, bore_mm: float) -> str:
    """A head or nut from above and from the side, at one scale; `bore_mm` is the thread's diameter."""
    corners_mm = row.across_flats_mm * CORNERS_PER_FLATS[row.outline]
    height_mm = row.height_mm or row.height_max_mm or row.height_min_mm
    scale = min(98 / corners_mm, 6.0)
    flats, corners = row.across_flats_mm * scale, corners_mm * scale
    middle, centre = 78.0, 46 + corners / 2
    parts = [
        tag("path", d=path(outline(row.outline, flats, middle, centre), closed=True), class_="metal"),
        tag("circle", cx=middle, cy=centre, r=bore_mm * scale / 2, class_="bore" if row.part == "nut" else "shank"),
        across(middle - flats / 2, middle + flats / 2, 30, format_length(row.across_flats_mm)),
    ]
    if height_mm is not None:
        parts += _from_the_side(row, flats, corners, height_mm, scale)
    return drawing(
        WIDTH,
        centre + corners / 2 + 16,
        f"{row.product}, {row.standard}: {format_length(row.across_flats_mm)} across flats",
        *parts,
        class_="wrenched-part",
    )


def _from_the_side(row: Hexagon, flats: float, corners: float, height_mm: float, scale: float) -> list[str]:
    """The part standing beside its plan: a hexagon shows three faces, a square one."""
    left, top, high = 156.0, 46.0, height_mm * scale
    wide, edges = (corners, (0.25, 0.75)) if row.outline == "hexagon" else (flats, ())
    return [
        tag("rect", x=left, y=top, width=wide, height=high, class_="metal"),
        *(
            tag("line", x1=x, y1=top, x2=x, y2=top + high, class_="edge")
            for x in (left + wide * part for part in edges)
        ),
        upright(left + wide + 12, top, top + high, format_mm(height_mm)),
    ]


def actual_size(row: Hexagon, bore_mm: float) -> str:
    """The outline at its true size on paper, to lay the part on; its units are millimetres."""
    corners = row.across_flats_mm * CORNERS_PER_FLATS[row.outline]
    side = corners + 4
    middle = side / 2
    return drawing(
        side,
        side,
        f"Actual size on paper: {format_length(row.across_flats_mm)} across flats",
        tag("path", d=path(outline(row.outline, row.across_flats_mm, middle, middle), closed=True), class_="outline"),
        tag("circle", cx=middle, cy=middle, r=bore_mm / 2, class_="outline"),
        class_="actual-size",
        width_mm=side,
    )


def ruler(length_mm: int) -> str:
    """A check ruler at true size on paper: if it does not measure right, neither does what is printed beside it."""
    ticks = [
        tag("line", x1=at + 2, y1=0, x2=at + 2, y2=6 if at % 10 == 0 else 4 if at % 5 == 0 else 2.5, class_="outline")
        for at in range(length_mm + 1)
    ]
    words = [label(str(at), at + 2, 9.5, class_="ruler-label") for at in range(0, length_mm + 1, 10)]
    width = length_mm + 4
    return drawing(width, 11, f"Check ruler, {length_mm} mm", *ticks, *words, class_="ruler", width_mm=width)
