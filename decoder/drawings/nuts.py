"""The parts of a nut, one function a feature."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from decoder.drawings.svg import tag
from decoder.kind_shapes import (
    AXIS,
    PLAN_X,
    PLAN_Y,
    across,
    at,
    disc,
    feature_group,
    poly,
    ring,
    slab,
    spot,
    stroke,
    wedge,
)
from decoder.kinds import Feature

#: Radii of the plan; the side view has the same widths.
CORNERS, FLATS, BORE = 40.0, 34.6, 19.0
COLLAR = 27.0

#: Lower edge of the side view, and heights of a body.
BASE = 78.0
_HEIGHTS: Mapping[Feature, float] = {"half height": 18.0, "full height": 32.0, "tall": 44.0}
_SEAT = 8.0

_SLOTS = range(30, 390, 60)


def nut(features: frozenset[Feature]) -> list[str]:
    """All shapes of a nut, in the order they lie over one another."""
    if "bent sheet" in features:
        return [feature_group("bent sheet", *_bent_sheet())]
    height = next((high for name, high in _HEIGHTS.items() if name in features), _HEIGHTS["full height"])
    bottom = BASE - (_SEAT if features & {"cone seat", "ball seat", "loose washer"} else 0)
    top = bottom - height
    below = [feature_group(name, *draw()) for name, draw in _BELOW.items() if name in features]
    body: Feature = next((name for name in _BODIES if name in features), "hexagon")
    above = [feature_group(name, *draw(top)) for name, draw in _ABOVE.items() if name in features]
    bore = [] if "dome" in features else [disc(BORE, "bore")]
    last = [feature_group(name, *draw(top)) for name, draw in _OVER_THE_BORE.items() if name in features]
    return [*below, feature_group(body, *_BODIES[body](top, bottom)), *above, *bore, *last]


# --- bodies -----------------------------------------------------------------------------------------------------------


def _hexagon(top: float, bottom: float) -> list[str]:
    half = CORNERS / 2
    side = across((CORNERS - 6, top), (CORNERS, top + 4), (CORNERS, bottom))
    return [
        poly([at(CORNERS, turn) for turn in range(0, 360, 60)], "metal"),
        disc(FLATS, "edge"),
        poly(side, "metal"),
        *(stroke((AXIS + x, top + 2), (AXIS + x, bottom), "edge") for x in (-half, half)),
    ]


def _square(top: float, bottom: float) -> list[str]:
    return [slab(32, PLAN_Y - 32, PLAN_Y + 32, "metal", PLAN_X), slab(32, top, bottom, "metal")]


def _wings(top: float, bottom: float) -> list[str]:
    left, right = (f"M{AXIS + s * 12} 60C{AXIS + s * 30} 10 {AXIS + s * 48} 12 {AXIS + s * 20} 50Z" for s in (-1, 1))
    return [
        tag("ellipse", cx=PLAN_X, cy=PLAN_Y, rx=46, ry=8, class_="metal"),
        disc(27, "metal"),
        tag("path", d=left, class_="metal"),
        tag("path", d=right, class_="metal"),
        poly(across((20, top), (26, bottom)), "metal"),
    ]


def _ears(top: float, bottom: float) -> list[str]:
    return [
        *(poly(wedge(30, 48, turn, 26, 16), "metal") for turn in (0, 120, 240)),
        disc(34, "metal"),
        poly(across((34, top), (28, bottom)), "metal"),
        slab(9, top - 4, top + 12, "metal", AXIS - 37),
        slab(9, top - 4, top + 12, "metal", AXIS + 37),
    ]


def _bent_sheet() -> list[str]:
    tongues = [
        poly(
            [(PLAN_X - 18, y), (PLAN_X + 18, y), (PLAN_X + 9, PLAN_Y + s * 16), (PLAN_X - 9, PLAN_Y + s * 16)],
            "mark-sunk",
        )
        for s, y in ((1, PLAN_Y + 3), (-1, PLAN_Y - 3))
    ]
    return [
        slab(24, PLAN_Y - 40, PLAN_Y + 40, "metal", PLAN_X),
        *tongues,
        tag("ellipse", cx=PLAN_X, cy=PLAN_Y, rx=8, ry=4, class_="bore"),
        poly([(AXIS - 46, 70), (AXIS - 8, 70), (AXIS - 4, 56)], "mark-line", closed=False),
        poly([(AXIS + 46, 70), (AXIS + 8, 70), (AXIS + 4, 56)], "mark-line", closed=False),
        tag("path", d=f"M{AXIS - 46} 70Q{AXIS - 53} 60 {AXIS - 38} 58", class_="mark-line"),
    ]


_BODIES: Mapping[Feature, Callable[[float, float], list[str]]] = {
    "hexagon": _hexagon,
    "square body": _square,
    "wings": _wings,
    "ears": _ears,
}


# --- under the body ---------------------------------------------------------------------------------------------------


def _flange() -> list[str]:
    return [disc(47, "metal"), poly(across((38, BASE - 9), (48, BASE)), "metal")]


def _teeth_under() -> list[str]:
    saw = [(AXIS - 48 + n * 6 + step, BASE + (step and 5)) for n in range(16) for step in (0, 5)]
    return [poly([*saw, (AXIS + 48, BASE)], "mark-line", closed=False)]


def _cone_seat() -> list[str]:
    return [poly(across((34, BASE - _SEAT), (20, BASE + 14)), "metal")]


def _ball_seat() -> list[str]:
    top, deep = BASE - _SEAT, BASE + 12
    curve = f"M{AXIS - 34} {top}H{AXIS + 34}C{AXIS + 32} {deep} {AXIS - 32} {deep} {AXIS - 34} {top}Z"
    return [tag("path", d=curve, class_="metal")]


def _loose_washer() -> list[str]:
    return [disc(47, "metal"), slab(47, BASE - 6, BASE + 1, "metal")]


def _welded() -> list[str]:
    return [slab(48, PLAN_Y - 48, PLAN_Y + 48, "metal sheet", PLAN_X), slab(49, BASE, BASE + 5, "metal")]


def _cage() -> list[str]:
    clips = [
        poly([(AXIS + s * 49, BASE), (AXIS + s * 49, BASE - 38), (AXIS + s * 18, BASE - 38)], "mark-line", closed=False)
        for s in (-1, 1)
    ]
    return [slab(46, PLAN_Y - 38, PLAN_Y + 38, "metal sheet", PLAN_X), *clips]


_BELOW: Mapping[Feature, Callable[[], list[str]]] = {
    "flange": _flange,
    "teeth under the flange": _teeth_under,
    "cone seat": _cone_seat,
    "ball seat": _ball_seat,
    "loose washer": _loose_washer,
    "welded to sheet": _welded,
    "cage": _cage,
}


# --- on top of the body -----------------------------------------------------------------------------------------------


def _round_collar(top: float) -> list[str]:
    return [disc(COLLAR, "metal"), poly(across((COLLAR - 4, top - 12), (COLLAR, top - 8), (COLLAR, top)), "metal")]


def _slotted_crown(top: float) -> list[str]:
    radius, high = 29.0, 16.0
    return [
        disc(radius, "metal"),
        *(poly(wedge(BORE - 1, radius + 1.5, turn, 9, 6), "mark-sunk") for turn in _SLOTS),
        slab(radius, top - high, top, "metal"),
        *(slab(3.2, top - high, top - 3, "mark-sunk", AXIS + x) for x in (-18, 0, 18)),
    ]


def _body_slots(top: float) -> list[str]:
    return [
        *(poly(wedge(BORE - 1, FLATS, turn, 9, 5), "mark-sunk") for turn in _SLOTS),
        *(slab(3.5, top, top + 14, "mark-sunk", AXIS + x) for x in (-30, 0, 30)),
    ]


def _sawn_collar(top: float) -> list[str]:
    return [
        disc(28, "metal"),
        *(stroke(at(BORE, turn), at(28, turn), "mark-line") for turn in range(0, 360, 60)),
        poly(across((22, top - 14), (27, top)), "metal"),
        *(stroke((AXIS + x, top - 14), (AXIS + x * 1.2, top), "mark-line") for x in (-10, 10)),
    ]


def _dome(top: float) -> list[str]:
    cap = f"M{AXIS - 30} {top}C{AXIS - 30} {top - 34} {AXIS + 30} {top - 34} {AXIS + 30} {top}Z"
    return [disc(28, "metal"), spot((PLAN_X - 8, PLAN_Y - 9), 6, "edge"), tag("path", d=cap, class_="metal")]


def _stake_collar(top: float) -> list[str]:
    return [
        disc(28, "metal"),
        poly(across((25, top - 9), (28, top - 6), (28, top)), "metal"),
        poly([at(28.5, -14), at(16, 0), at(28.5, 14)], "mark-line", closed=False),
        poly([(AXIS - 8, top - 9), (AXIS, top - 1), (AXIS + 8, top - 9)], "mark-line", closed=False),
    ]


def _press_marks(top: float) -> list[str]:
    crown = poly(across((24, top - 9), (28, top)), "metal")
    return [crown, *(spot((AXIS + x, top - 4.5), 2.6, "mark-sunk") for x in (-16, 16))]


_ABOVE: Mapping[Feature, Callable[[float], list[str]]] = {
    "round collar": _round_collar,
    "slotted crown": _slotted_crown,
    "slots in the body": _body_slots,
    "sawn collar": _sawn_collar,
    "dome": _dome,
    "collar to stake": _stake_collar,
    "press marks on top": _press_marks,
}


# --- over the bore ----------------------------------------------------------------------------------------------------


def _insert_ring(top: float) -> list[str]:
    return [slab(20, top - 9, top - 4, "insert"), ring(BORE - 4, BORE + 4, "insert")]


def _oval_top(top: float) -> list[str]:  # noqa: ARG001 - seen in the plan alone
    return [tag("ellipse", cx=PLAN_X, cy=PLAN_Y, rx=BORE + 4, ry=BORE - 5, class_="mark-line")]


def _side_dents(top: float) -> list[str]:
    plan = [spot(at(FLATS - 3, turn), 3.5, "mark-sunk") for turn in (30, 150, 270)]
    return [*plan, tag("ellipse", cx=AXIS, cy=top + 16, rx=6, ry=4.5, class_="mark-sunk")]


_OVER_THE_BORE: Mapping[Feature, Callable[[float], list[str]]] = {
    "insert ring": _insert_ring,
    "oval top": _oval_top,
    "side dents": _side_dents,
}

#: Every feature that is drawn here; heights have no shape of their own.
DRAWN: frozenset[Feature] = frozenset((*_BODIES, *_BELOW, *_ABOVE, *_OVER_THE_BORE, *_HEIGHTS, "bent sheet"))
