"""Shapes that drawings of nuts and washers are put together from: a plan on the left, a side view on the right."""

from __future__ import annotations

import math
from collections.abc import Iterable

from decoder.drawings.svg import number, path, tag

WIDTH, HEIGHT = 200.0, 100.0

#: Middle of the plan, and the axis of the side view.
PLAN_X, PLAN_Y = 50.0, 50.0
AXIS = 150.0

Point = tuple[float, float]


def at(radius: float, bearing_deg: float) -> Point:
    """A point of the plan, clockwise from the top."""
    turn = math.radians(bearing_deg)
    return PLAN_X + radius * math.sin(turn), PLAN_Y - radius * math.cos(turn)


def across(*points: Point) -> list[Point]:
    """Points of the side view from distances off the axis and heights, closed over to the other side."""
    right = [(AXIS + x, y) for x, y in points]
    return right + [(2 * AXIS - x, y) for x, y in reversed(right)]


def poly(points: Iterable[Point], cls: str, *, closed: bool = True) -> str:
    """A shape with straight edges."""
    return tag("path", d=path(points, closed=closed), class_=cls)


def disc(radius: float, cls: str) -> str:
    """A circle about the middle of the plan."""
    return tag("circle", cx=PLAN_X, cy=PLAN_Y, r=radius, class_=cls)


def spot(where: Point, radius: float, cls: str) -> str:
    """A small circle."""
    return tag("circle", cx=where[0], cy=where[1], r=radius, class_=cls)


def stroke(one: Point, other: Point, cls: str) -> str:
    """A straight line."""
    return tag("line", x1=one[0], y1=one[1], x2=other[0], y2=other[1], class_=cls)


def slab(half: float, top: float, bottom: float, cls: str, x: float = AXIS) -> str:
    """An upright rectangle about an axis."""
    return tag("rect", x=x - half, y=top, width=2 * half, height=bottom - top, class_=cls)


def ring(inner: float, outer: float, cls: str) -> str:
    """A ring whose hole stays empty."""
    return tag("path", d=circle_path(outer) + circle_path(inner), class_=cls)


def circle_path(radius: float) -> str:
    """A circle about the middle of the plan, as part of a path; a second one inside it is a hole."""
    left, right, y = number(PLAN_X - radius), number(PLAN_X + radius), number(PLAN_Y)
    arc = f"A{number(radius)} {number(radius)} 0 1 1"
    return f"M{left} {y}{arc} {right} {y}{arc} {left} {y}Z"


def star(inner: float, outer: float, teeth: int) -> list[Point]:
    """A toothed edge: points alternate between two radii."""
    step = 360 / teeth
    return [at(radius, n * step + shift) for n in range(teeth) for radius, shift in ((outer, 0.0), (inner, step / 2))]


def wedge(inner: float, outer: float, bearing_deg: float, inner_half_deg: float, outer_half_deg: float) -> list[Point]:
    """A slot or tooth that runs outward: four corners about a bearing."""
    return [
        at(inner, bearing_deg - inner_half_deg),
        at(outer, bearing_deg - outer_half_deg),
        at(outer, bearing_deg + outer_half_deg),
        at(inner, bearing_deg + inner_half_deg),
    ]


def feature_group(feature: str, *shapes: str) -> str:
    """Shapes in a group that says which feature they show, so that a drawing can be read back."""
    return tag("g", *shapes, class_="kind-feature", data_feature=feature)
