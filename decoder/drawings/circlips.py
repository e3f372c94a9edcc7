"""A circlip from the front, and the groove it sits in cut open; to the scale of its size but for the groove's width."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from decoder.circlips import Circlip
from decoder.drawings.svg import across, drawing, label, number, path, tag, upright
from decoder.quantities import format_length, format_mm

WIDTH, HEIGHT = 340.0, 186.0

#: Middle of the front view.
_X, _Y = 84.0, 100.0

#: Radius that a shaft or bore is drawn with, and how wide its groove is drawn: at scale it would be a hair.
_ON, _GROOVE_WIDE = 46.0, 12.0

#: Left and right end of the shaft or housing that is cut open.
_LEFT, _RIGHT = 176.0, 252.0


def circlip(ring: Circlip) -> str:
    """The ring and its groove as SVG text, with the three measures that name it."""
    deep = max(abs(ring.groove_mm - ring.on_mm) / ring.on_mm * _ON, 3.0)
    front = _FRONTS[ring.kind](deep)
    section = _housing(deep) if ring.kind == "bore" else _shaft(deep)
    width = ring.groove.width_mm if ring.groove else None
    middle = (_LEFT + _RIGHT) / 2
    reach = _ON + deep if ring.kind == "bore" else _ON - deep
    measures = [
        upright(_RIGHT + 8, _Y - reach, _Y + reach, format_mm(ring.groove_mm)),
        across(middle - _GROOVE_WIDE / 2, middle + _GROOVE_WIDE / 2, _Y - 62, format_mm(width) if width else "width"),
    ]
    on = "bore" if ring.kind == "bore" else "shaft"
    return drawing(
        WIDTH,
        HEIGHT,
        f"{ring.standard} for a {on} of {format_length(ring.on_mm)}: loose, and its groove cut open",
        *front,
        *section,
        *measures,
        label(f"{on} {format_mm(ring.on_mm)}", _X, HEIGHT - 8),
        label("groove", middle, HEIGHT - 8),
        class_="circlip-drawing",
    )


def _at(radius: float, bearing_deg: float) -> tuple[float, float]:
    turn = math.radians(bearing_deg)
    return _X + radius * math.sin(turn), _Y + radius * math.cos(turn)


def _open_ring(inner: float, outer: float, gap_deg: float) -> str:
    """A ring that is open at the bottom."""
    (ax, ay), (bx, by) = _at(outer, gap_deg), _at(outer, -gap_deg)
    (cx, cy), (dx, dy) = _at(inner, -gap_deg), _at(inner, gap_deg)
    turns = f"A{number(outer)} {number(outer)} 0 1 0 {number(bx)} {number(by)}"
    back = f"A{number(inner)} {number(inner)} 0 1 1 {number(dx)} {number(dy)}"
    d = f"M{number(ax)} {number(ay)}{turns}L{number(cx)} {number(cy)}{back}Z"
    return tag("path", d=d, class_="metal")


def _lug(radius: float, bearing_deg: float) -> list[str]:
    x, y = _at(radius, bearing_deg)
    return [tag("circle", cx=x, cy=y, r=8, class_="metal"), tag("circle", cx=x, cy=y, r=3, class_="bore")]


def _for_shaft(deep: float) -> list[str]:
    inner = _ON - deep
    return [_open_ring(inner, inner + 9, 9), *_lug(inner + 8, 13), *_lug(inner + 8, -13)]


def _for_bore(deep: float) -> list[str]:
    outer = _ON + deep
    return [_open_ring(outer - 9, outer, 14), *_lug(outer - 8, 17), *_lug(outer - 8, -17)]


def _crescent(deep: float) -> list[str]:
    inner = _ON - deep
    return [_open_ring(inner, inner + 12, 62)]


def _e_clip(deep: float) -> list[str]:
    """Three fingers reach the bottom of the groove, one at the back and two beside the mouth."""
    inner = _ON - deep
    fingers = []
    for bearing in (180, 66, -66):
        sides = [_at(inner, bearing - 14), _at(inner + 12, bearing - 18), _at(inner + 12, bearing + 18)]
        fingers.append(tag("path", d=path([*sides, _at(inner, bearing + 14)], closed=True), class_="metal"))
    return [_open_ring(inner + 9, inner + 20, 46), *fingers]


_FRONTS: Mapping[str, Callable[[float], list[str]]] = {
    "shaft": _for_shaft,
    "bore": _for_bore,
    "crescent": _crescent,
    "E-clip": _e_clip,
}


def _groove_ends() -> tuple[float, float]:
    middle = (_LEFT + _RIGHT) / 2
    return middle - _GROOVE_WIDE / 2, middle + _GROOVE_WIDE / 2


def _shaft(deep: float) -> list[str]:
    left, right = _groove_ends()
    upper = [(_LEFT, -_ON), (left, -_ON), (left, deep - _ON), (right, deep - _ON), (right, -_ON), (_RIGHT, -_ON)]
    points = [(x, _Y + y) for x, y in upper] + [(x, _Y - y) for x, y in reversed(upper)]
    rings = [
        tag("rect", x=left + 1.5, y=y, width=_GROOVE_WIDE - 4, height=9, class_="fastener")
        for y in (_Y - _ON + deep - 9, _Y + _ON - deep)
    ]
    return [tag("path", d=path(points, closed=True), class_="metal"), *rings, _axis()]


def _housing(deep: float) -> list[str]:
    left, right = _groove_ends()
    inner = [(_LEFT, _ON), (left, _ON), (left, _ON + deep), (right, _ON + deep), (right, _ON), (_RIGHT, _ON)]
    rim = _ON + deep + 8
    parts = []
    for side in (-1, 1):
        points = [(_LEFT, side * rim), *((x, side * y) for x, y in inner), (_RIGHT, side * rim)]
        parts.append(tag("path", d=path([(x, _Y + y) for x, y in points], closed=True), class_="metal"))
        top = _Y + side * (_ON + deep) - (9 if side > 0 else 0)
        parts.append(tag("rect", x=left + 1.5, y=top, width=_GROOVE_WIDE - 4, height=9, class_="fastener"))
    return [*parts, _axis()]


def _axis() -> str:
    return tag("line", x1=_LEFT - 8, y1=_Y, x2=_RIGHT + 4, y2=_Y, class_="guide")
