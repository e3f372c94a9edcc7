"""The parts of a washer, one function a feature."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from decoder.drawings.svg import path, tag
from decoder.kind_shapes import (
    AXIS,
    PLAN_X,
    across,
    at,
    circle_path,
    disc,
    feature_group,
    poly,
    ring,
    slab,
    star,
    stroke,
)
from decoder.kinds import Feature

#: Height of the middle of the side view.
MIDDLE = 55.0


@dataclass(frozen=True, slots=True)
class _Ring:
    """Radii and thickness of a washer's ring."""

    inner: float
    outer: float
    thick: float

    @property
    def top(self) -> float:
        return MIDDLE - self.thick / 2

    @property
    def bottom(self) -> float:
        return MIDDLE + self.thick / 2


def washer(features: frozenset[Feature]) -> list[str]:
    """All shapes of a washer, in the order they lie over one another."""
    shape = _ring_of(features)
    plan = next((draw for name, draw in _PLANS.items() if name in features), _plain_plan)
    side = next((draw for name, draw in _SIDES.items() if name in features), _plain_side)
    soft = "metal soft" if "crush ring" in features else "metal"
    body = next((name for name in _RINGS if name in features), "ring")
    extras = [feature_group(name, *draw(shape)) for name, draw in _EXTRAS.items() if name in features]
    under = [feature_group("tab", *_tab(shape))] if "tab" in features else []
    return [*under, feature_group(body, plan(shape, soft), side(shape, soft)), *extras]


def _ring_of(features: frozenset[Feature]) -> _Ring:
    if "wide ring" in features:
        return _Ring(15, 46, 8)
    thick = 16.0 if features & {"thick ring", "chamfered bore"} else 12.0 if "cut and sprung" in features else 8.0
    return _Ring(19, 36, thick)


# --- plans ------------------------------------------------------------------------------------------------------------


def _plain_plan(shape: _Ring, cls: str) -> str:
    return ring(shape.inner, shape.outer, cls)


def _toothed_rim(shape: _Ring, cls: str) -> str:
    return tag("path", d=path(star(30, 43, 14), closed=True) + circle_path(shape.inner), class_=cls)


def _toothed_bore(shape: _Ring, cls: str) -> str:
    return tag("path", d=circle_path(shape.outer) + path(star(13, 23, 12), closed=True), class_=cls)


_PLANS: Mapping[Feature, Callable[[_Ring, str], str]] = {
    "teeth outside": _toothed_rim,
    "teeth inside": _toothed_bore,
}


# --- side views -------------------------------------------------------------------------------------------------------


def _plain_side(shape: _Ring, cls: str) -> str:
    return slab(shape.outer, shape.top, shape.bottom, cls)


def _sprung(shape: _Ring, cls: str) -> str:
    rise, half = 9.0, shape.outer
    left, right = AXIS - half, AXIS + half
    corners = [(left, shape.top), (right, shape.top - rise), (right, shape.bottom - rise), (left, shape.bottom)]
    return poly(corners, cls)


def _dished(shape: _Ring, cls: str) -> str:
    lower = across((shape.outer, MIDDLE + 10), (shape.inner, MIDDLE - 8))
    upper = across((shape.outer, MIDDLE + 3), (shape.inner, MIDDLE - 15))
    return poly([*lower[:1], *lower[1:2], *reversed(lower[2:3]), *lower[3:], *reversed(upper)], cls)


def _wavy(shape: _Ring, cls: str) -> str:  # noqa: ARG001 - a line, whatever it is made of
    third = shape.outer * 2 / 3
    wave = f"M{AXIS - shape.outer} {MIDDLE}q{third / 2:g} -22 {third:g} 0t{third:g} 0t{third:g} 0"
    return tag("path", d=wave, class_="mark-line")


def _cupped(shape: _Ring, cls: str) -> str:  # noqa: ARG001 - a line, whatever it is made of
    rim, foot, high = shape.outer, shape.inner + 8, shape.inner
    points = [(-rim, 10), (-foot, 10), (-high, -12), (high, -12), (foot, 10), (rim, 10)]
    return poly([(AXIS + x, MIDDLE + y) for x, y in points], "mark-line", closed=False)


def _cone(shape: _Ring, cls: str) -> str:
    return poly(across((shape.outer, MIDDLE - 12), (shape.inner, MIDDLE + 10)), cls)


_SIDES: Mapping[Feature, Callable[[_Ring, str], str]] = {
    "cut and sprung": _sprung,
    "dished": _dished,
    "waves": _wavy,
    "cup": _cupped,
    "cone with teeth": _cone,
}


# --- what lies on the ring --------------------------------------------------------------------------------------------


def _tab(shape: _Ring) -> list[str]:
    return [
        slab(8, 3, 50 - shape.outer + 6, "metal", PLAN_X),
        slab(3.5, MIDDLE - 22, shape.bottom, "metal", AXIS + shape.outer + 3.5),
    ]


def _cut(shape: _Ring) -> list[str]:
    gap = [at(shape.inner - 1, 80), at(shape.outer + 1, 90), at(shape.outer + 1, 97), at(shape.inner - 1, 90)]
    return [poly(gap, "mark-cut"), stroke((AXIS - 3, shape.top - 7), (AXIS + 5, shape.bottom - 2), "mark-line")]


def _rim_teeth(shape: _Ring) -> list[str]:  # noqa: ARG001 - the same for every ring
    saw = [(AXIS - 43 + n * 7.2, MIDDLE - (6 if n % 2 else 4)) for n in range(13)]
    return [poly(saw, "mark-line", closed=False)]


def _bore_teeth(shape: _Ring) -> list[str]:
    saw = [(AXIS - shape.inner + n * shape.inner / 5, shape.top - (3 if n % 2 else 0)) for n in range(11)]
    return [poly(saw, "mark-line", closed=False)]


def _twisted_teeth(shape: _Ring) -> list[str]:
    return [stroke(at(shape.inner + 2, turn), at(shape.outer, turn + 12), "mark-line") for turn in range(0, 360, 30)]


def _crests(shape: _Ring) -> list[str]:
    return [stroke(at(shape.inner, turn), at(shape.outer, turn), "edge") for turn in range(30, 390, 60)]


def _fold(shape: _Ring) -> list[str]:
    return [disc((shape.inner + shape.outer) / 2, "edge")]


def _rubber_lip(shape: _Ring) -> list[str]:
    return [ring(shape.inner - 6, shape.inner + 2, "insert"), slab(shape.inner + 2, MIDDLE - 7, MIDDLE + 7, "insert")]


def _chamfer(shape: _Ring) -> list[str]:
    wide = shape.inner + 5
    points = [(-wide, shape.top), (-shape.inner, MIDDLE - 2), (shape.inner, MIDDLE - 2), (wide, shape.top)]
    return [disc(wide, "edge"), poly([(AXIS + x, y) for x, y in points], "mark-line", closed=False)]


def _oil_grooves(shape: _Ring) -> list[str]:
    return [stroke(at(shape.inner, turn), at(shape.outer, turn), "mark-line") for turn in (0, 120, 240)]


_EXTRAS: Mapping[Feature, Callable[[_Ring], list[str]]] = {
    "cut and sprung": _cut,
    "teeth outside": _rim_teeth,
    "teeth inside": _bore_teeth,
    "cone with teeth": _twisted_teeth,
    "waves": _crests,
    "dished": _fold,
    "cup": _fold,
    "rubber lip": _rubber_lip,
    "chamfered bore": _chamfer,
    "oil grooves": _oil_grooves,
}

_RINGS: tuple[Feature, ...] = ("crush ring", "wide ring", "thick ring", "ring")

#: Every feature that is drawn here.
DRAWN: frozenset[Feature] = frozenset((*_RINGS, *_EXTRAS, "tab"))
