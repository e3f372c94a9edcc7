"""Small side views of kinds of fastener, for choosing one by eye; not to scale, each on a field of 48 by 48."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from decoder.drawings.svg import drawing, path, tag

FIELD = 48.0


def draw_choice(kind: str) -> str:
    """The picture of a kind as the identification names it, '' for one that has none.

    >>> draw_choice("bolt").startswith("<svg")
    True
    """
    parts = _KINDS.get(kind)
    return drawing(FIELD, FIELD, kind, *parts(), class_="choice") if parts else ""


def box(x: float, y: float, width: float, height: float, radius: float = 0, class_: str = "metal") -> str:
    """An upright rectangle."""
    return tag("rect", x=x, y=y, width=width, height=height, rx=radius or None, class_=class_)


def shape(*points: tuple[float, float], class_: str = "metal") -> str:
    """A shape with straight edges."""
    return tag("path", d=path(points, closed=True), class_=class_)


def line(x1: float, y1: float, x2: float, y2: float) -> str:
    """One stroke."""
    return tag("line", x1=x1, y1=y1, x2=x2, y2=y2, class_="edge")


def thread(x: float, y: float, width: float, height: float) -> list[str]:
    """A threaded length: strokes across it that climb to the right."""
    count = max(2, round(height / 4))
    step = height / count
    return [line(x, y + step * (turn + 0.7), x + width, y + step * (turn + 0.3)) for turn in range(count)]


def hexagon(x: float, y: float, radius: float, class_: str = "metal") -> str:
    """A hexagon with its flats upright, `radius` from the middle to a corner."""
    turns = [math.pi / 3 * turn + math.pi / 6 for turn in range(6)]
    return shape(*((x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns), class_=class_)


def bore(radius: float) -> str:
    """A hole in the middle."""
    return tag("circle", cx=24, cy=24, r=radius, class_="bore")


def _bolt() -> list[str]:
    return [
        box(19, 14, 10, 32),
        *thread(19, 28, 10, 18),
        box(12, 4, 24, 10, 1),
        line(19, 4, 19, 14),
        line(29, 4, 29, 14),
    ]


def _screw() -> list[str]:
    return [
        box(20, 13, 8, 33),
        *thread(20, 14, 8, 31),
        shape((14, 13), (16, 5), (32, 5), (34, 13)),
        box(22, 3, 4, 6, class_="bore"),
    ]


def _stud() -> list[str]:
    return [box(19, 2, 10, 44), *thread(19, 3, 10, 16), *thread(19, 32, 10, 13)]


def _wheel_bolt() -> list[str]:
    return [
        box(19, 20, 10, 26),
        *thread(19, 26, 10, 20),
        shape((12, 14), (36, 14), (29, 22), (19, 22)),
        box(14, 4, 20, 10, 1),
    ]


def _banjo_bolt() -> list[str]:
    return [
        box(18, 13, 12, 33),
        *thread(18, 30, 12, 16),
        box(12, 4, 24, 9, 1),
        tag("circle", cx=24, cy=22, r=3, class_="bore"),
    ]


def _nut() -> list[str]:
    return [hexagon(24, 24, 20), bore(9)]


def _castellated() -> list[str]:
    crown = [
        (11.0, 44.0),
        (11.0, 20.0),
        (13.0, 20.0),
        (13.0, 8.0),
        (18.0, 8.0),
        (18.0, 18.0),
        (21.0, 18.0),
        (21.0, 8.0),
    ]
    return [shape(*crown, *((48 - x, y) for x, y in reversed(crown))), line(19, 24, 19, 44), line(29, 24, 29, 44)]


def _wheel_nut() -> list[str]:
    return [
        shape((13, 6), (35, 6), (35, 26), (28, 42), (20, 42), (13, 26)),
        line(20, 6, 20, 26),
        line(28, 6, 28, 26),
    ]


def _tapped_hole() -> list[str]:
    return [box(3, 12, 42, 32), box(17, 12, 14, 24, class_="bore"), *thread(17, 13, 14, 22)]


def _union() -> list[str]:
    return [
        box(21, 2, 6, 44),
        box(14, 8, 20, 12, 1),
        box(16, 20, 16, 18),
        *thread(16, 21, 16, 16),
        shape((21, 46), (27, 46), (31, 40), (17, 40)),
    ]


def _plug() -> list[str]:
    return [box(12, 22, 24, 20), *thread(12, 23, 24, 18), box(8, 17, 32, 5), box(16, 6, 16, 11, 1)]


def _bleed_screw() -> list[str]:
    return [
        shape((20, 30), (28, 30), (28, 40), (24, 46), (20, 40)),
        box(18, 20, 12, 12),
        *thread(18, 21, 12, 10),
        box(16, 12, 16, 8, 1),
        box(21, 2, 6, 10, 2),
    ]


def _grease_nipple() -> list[str]:
    return [
        box(18, 28, 12, 18),
        *thread(18, 29, 12, 16),
        box(13, 19, 22, 9, 1),
        shape((20, 19), (21, 12), (27, 12), (28, 19)),
        tag("circle", cx=24, cy=8, r=5, class_="metal"),
    ]


def _spark_plug() -> list[str]:
    return [
        box(21, 1, 6, 8),
        box(19, 8, 10, 12, 2, class_="bore"),
        box(13, 18, 22, 9, 1),
        box(17, 27, 14, 15),
        *thread(17, 28, 14, 13),
        line(24, 42, 24, 45),
        line(30, 42, 30, 47),
        line(30, 47, 23, 47),
    ]


def _pointed() -> list[str]:
    return [
        shape((19, 12), (29, 12), (28, 34), (24, 46), (20, 34)),
        *thread(19, 14, 10, 22),
        shape((12, 12), (15, 5), (33, 5), (36, 12)),
    ]


def _countersunk() -> list[str]:
    return [shape((11, 5), (37, 5), (29, 13), (28, 34), (24, 46), (20, 34), (19, 13)), *thread(20, 24, 8, 14)]


def _washer() -> list[str]:
    return [tag("circle", cx=24, cy=24, r=20, class_="metal"), bore(10)]


def _pin() -> list[str]:
    return [tag("path", d="M20 16A7 7 0 1 1 28 16L26 46M20 16L22 40L27 46", class_="edge thick")]


def _circlip() -> list[str]:
    return [
        tag("path", d="M18 41A18 18 0 1 1 30 41", class_="edge thick"),
        *(tag("circle", cx=x, cy=40, r=4, class_="bore") for x in (17, 31)),
    ]


def _rivet() -> list[str]:
    return [box(19, 16, 10, 28), tag("path", d="M10 16A14 12 0 0 1 38 16Z", class_="metal")]


_KINDS: Mapping[str, Callable[[], list[str]]] = {
    "bolt": _bolt,
    "screw": _screw,
    "stud": _stud,
    "wheel bolt": _wheel_bolt,
    "banjo bolt": _banjo_bolt,
    "nut": _nut,
    "castellated nut": _castellated,
    "wheel nut": _wheel_nut,
    "tapped hole": _tapped_hole,
    "union": _union,
    "plug": _plug,
    "bleed screw": _bleed_screw,
    "grease nipple": _grease_nipple,
    "spark plug": _spark_plug,
    "self-tapping screw": _pointed,
    "wood screw": _countersunk,
    "washer": _washer,
    "pin": _pin,
    "circlip": _circlip,
    "rivet": _rivet,
}
