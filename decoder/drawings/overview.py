"""An assembly or a vehicle in outline, with a numbered dot that leads to each part's page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

from decoder.drawings.svg import label, path, tag
from decoder.overview_geometry import DOT_RADIUS, Caption, both_sides, captions, coil_line, reach, rounded
from decoder.overviews import SHEET_WIDTH, Bar, Box, Circle, Coil, Line, Outline, Oval, Overview, Point, Shape, Words

#: Drawing units for a hundredth of the sheet's width: 340 across, as on the narrowest phone.
_SCALE = 3.4
#: A press this near a dot means it, if no other is nearer: 48 px across.
_PRESS = 24 / _SCALE


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """What a dot stands for: its number, its words, and the link to it ('' for none, on paper)."""

    number: int
    title: str
    link: str = ""


def draw_overview(overview: Overview, spots: Mapping[str, Spot], title: str) -> str:
    """The overview as SVG.

    Parameters
    ----------
    overview : Overview
        The layout; its dots without a spot are left out.
    spots : Mapping[str, Spot]
        By the names of the layout's dots.
    title : str
        What it shows, for readers who cannot see it. What the numbers mean is added.
    """
    dots = {key: points for key, points in overview.dots.items() if key in spots}
    order = sorted(dots, key=lambda key: spots[key].number)
    reached = reach(dots, _PRESS)
    numbers = "; ".join(f"{spots[key].number} {spots[key].title}" for key in order)
    return tag(
        "svg",
        tag("title", escape(f"{title}: {overview.view}; not to scale", quote=False)),
        tag("desc", escape(f"Numbers: {numbers}.", quote=False)),
        *(_outline(outline) for outline in overview.outlines),
        *(_words(caption) for caption in captions(overview)),
        *(_spot(spots[key], dots[key], [reached[key, each] for each in range(len(dots[key]))]) for key in order),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {SHEET_WIDTH * _SCALE:g} {overview.height * _SCALE:g}",
        class_="drawing overview",
        role="group",
    )


def _outline(outline: Outline) -> str:
    if isinstance(outline, Words):
        return ""
    kind = f"part {outline.drawn}"
    match outline:
        case Box():
            (left, top), (right, bottom) = sorted_corners(outline)
            return tag(
                "rect",
                x=left * _SCALE,
                y=top * _SCALE,
                width=(right - left) * _SCALE,
                height=(bottom - top) * _SCALE,
                rx=outline.corner * _SCALE if outline.corner else None,
                class_=kind,
            )
        case Circle():
            x, y = _at(outline.circle)
            return tag("circle", cx=x, cy=y, r=outline.radius * _SCALE, class_=kind)
        case Oval():
            x, y = _at(outline.oval)
            return tag("ellipse", cx=x, cy=y, rx=outline.wide * _SCALE / 2, ry=outline.high * _SCALE / 2, class_=kind)
        case Line():
            points = rounded(outline.line) if outline.smooth == "yes" else outline.line
            return tag("path", d=_path(points), class_=f"{kind} open")
        case Shape():
            points = rounded(outline.shape, closed=True) if outline.smooth == "yes" else outline.shape
            return tag("path", d=_path(points, closed=True), class_=kind)
        case Bar():
            points = rounded(outline.bar) if outline.smooth == "yes" else outline.bar
            return tag("path", d=_path(both_sides(points, outline.width), closed=True), class_=kind)
        case Coil():
            return tag("path", d=_path(coil_line(outline.coil, outline.width)), class_=f"{kind} open")


def sorted_corners(box: Box) -> tuple[tuple[float, float], tuple[float, float]]:
    """Top left and bottom right of a box, however its corners are written."""
    across = sorted(point.across for point in box.box)
    down = sorted(point.down for point in box.box)
    return (across[0], down[0]), (across[-1], down[-1])


def _words(caption: Caption) -> str:
    x, y = _at(caption.at)
    return label(caption.text, x, y + 4, class_="label part-label")


def _spot(spot: Spot, points: Sequence[Point], reached: Sequence[float]) -> str:
    """The dots of one spot. All lead to it; the first alone is met by keyboard and read out."""
    drawn: list[str] = []
    for place, (point, near) in enumerate(zip(points, reached, strict=True)):
        x, y = _at(point)
        dot = (
            tag("circle", cx=x, cy=y, r=DOT_RADIUS * _SCALE, class_="dot"),
            label(str(spot.number), x, y + 5, class_="label dot-label"),
        )
        if not spot.link:
            drawn += dot
            continue
        press = tag("circle", cx=x, cy=y, r=near * _SCALE, class_="press")
        once = {"tabindex": "-1", "aria_hidden": "true"} if place else {"aria_label": f"{spot.number} {spot.title}"}
        drawn.append(tag("a", press, *dot, href=spot.link, **once))
    return "".join(drawn)


def _at(point: Point) -> tuple[float, float]:
    return point.across * _SCALE, point.down * _SCALE


def _path(points: Sequence[Point], *, closed: bool = False) -> str:
    return path((_at(point) for point in points), closed=closed)
