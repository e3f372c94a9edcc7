"""Where things of an overview lie: how far outlines reach, where their words stand, how big a dot may be.

All measures are those of the sheet, which is 100 wide. Checks and drawings share them, so that what a check lets
through is what can be read.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from decoder.overviews import Bar, Box, Circle, Coil, Line, Outline, Oval, Overview, Point, Shape, Words

#: Radius of a dot: 24 px across on the narrowest phone.
DOT_RADIUS = 3.5
#: Dots whose middles are nearer than this cannot be told apart, or pressed one by one.
DOT_SPACING = 6.9
#: Height of words, and what a letter is wide on average.
WORD_HEIGHT = 3.6
LETTER_WIDTH = 1.8

Polyline = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Frame:
    """An upright rectangle."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def middle(self) -> Point:
        """The point half-way both ways."""
        return Point((self.left + self.right) / 2, (self.top + self.bottom) / 2)

    def overlaps(self, other: Frame) -> bool:
        """Whether the two have more than an edge in common."""
        return (
            min(self.right, other.right) - max(self.left, other.left) > 0.01
            and min(self.bottom, other.bottom) - max(self.top, other.top) > 0.01
        )

    def distance_to(self, point: Point) -> float:
        """How far a point lies outside; 0 inside."""
        across = max(self.left - point.across, 0.0, point.across - self.right)
        down = max(self.top - point.down, 0.0, point.down - self.bottom)
        return math.hypot(across, down)


@dataclass(frozen=True, slots=True)
class Caption:
    """Words of an outline and where their middle stands; `number` is the outline's place in the list."""

    number: int
    text: str
    at: Point

    @property
    def frame(self) -> Frame:
        """About the room that the words take."""
        half = len(self.text) * LETTER_WIDTH / 2
        return Frame(self.at.across - half, self.at.down - WORD_HEIGHT / 2, self.at.across + half, self.at.down + 1.8)


def captions(overview: Overview) -> Iterator[Caption]:
    """All words of an overview, in the order of its outlines."""
    for number, outline in enumerate(overview.outlines):
        if isinstance(outline, Words):
            yield Caption(number, outline.words, outline.at)
        elif outline.part is not None:
            yield Caption(number, outline.part, outline.at or _middle(outline))


def _middle(outline: Outline) -> Point:
    if isinstance(outline, Line | Bar):
        points = outline.line if isinstance(outline, Line) else outline.bar
        return (
            points[len(points) // 2] if len(points) % 2 else Frame(*_bounds(points[len(points) // 2 - 1 :][:2])).middle
        )
    return frame_of(outline).middle


def frame_of(outline: Outline) -> Frame:
    """How far an outline reaches; a rounded corner may lie a little inside."""
    if isinstance(outline, Circle):
        middle, radius = outline.circle, outline.radius
        return Frame(middle.across - radius, middle.down - radius, middle.across + radius, middle.down + radius)
    if isinstance(outline, Oval):
        middle, wide, high = outline.oval, outline.wide / 2, outline.high / 2
        return Frame(middle.across - wide, middle.down - high, middle.across + wide, middle.down + high)
    if isinstance(outline, Words):
        return Frame(outline.at.across, outline.at.down, outline.at.across, outline.at.down)
    return Frame(*_bounds(corners(outline)))


def corners(outline: Outline) -> Sequence[Point]:
    """The points that an outline is written with."""
    match outline:
        case Box():
            return outline.box
        case Circle():
            return (outline.circle,)
        case Oval():
            return (outline.oval,)
        case Line():
            return outline.line
        case Shape():
            return outline.shape
        case Bar():
            return outline.bar
        case Coil():
            return outline.coil
        case Words():
            return (outline.at,)


def _bounds(points: Sequence[Point]) -> tuple[float, float, float, float]:
    across = [point.across for point in points]
    down = [point.down for point in points]
    return min(across), min(down), max(across), max(down)


def rounded(points: Sequence[Point], *, closed: bool = False, steps: int = 6) -> Polyline:
    """Points along a smooth line through all of them (Catmull and Rom's curve)."""
    count = len(points)
    if count < 3:
        return tuple(points)
    made: list[Point] = []
    for number in range(count if closed else count - 1):
        one, two = points[number], points[(number + 1) % count]
        before = points[number - 1] if closed or number else one
        after = points[(number + 2) % count] if closed or number + 2 < count else two
        for step in range(steps):
            t = step / steps
            made.append(
                Point(
                    _between(before.across, one.across, two.across, after.across, t),
                    _between(before.down, one.down, two.down, after.down, t),
                )
            )
    return tuple(made) if closed else (*made, points[-1])


def _between(before: float, one: float, two: float, after: float, t: float) -> float:
    return 0.5 * (
        2 * one
        + (two - before) * t
        + (2 * before - 5 * one + 4 * two - after) * t**2
        + (3 * one - before - 3 * two + after) * t**3
    )


def both_sides(points: Sequence[Point], width: float) -> Polyline:
    """The closed outline of a bar whose middle runs through points."""
    left, right = [], []
    for number, point in enumerate(points):
        before = points[max(number - 1, 0)]
        after = points[min(number + 1, len(points) - 1)]
        into, out = _normal(before, point), _normal(point, after)
        if number in (0, len(points) - 1):
            normal = out if number == 0 else into
            reach = width / 2
        else:
            across, down = into[0] + out[0], into[1] + out[1]
            size = math.hypot(across, down) or 1.0
            normal = (across / size, down / size)
            # A sharp bend would throw its corner far out.
            reach = width / 2 / max(normal[0] * into[0] + normal[1] * into[1], 0.5)
        left.append(Point(point.across + normal[0] * reach, point.down + normal[1] * reach))
        right.append(Point(point.across - normal[0] * reach, point.down - normal[1] * reach))
    return (*left, *reversed(right))


def _normal(one: Point, two: Point) -> tuple[float, float]:
    across, down = two.across - one.across, two.down - one.down
    length = math.hypot(across, down) or 1.0
    return -down / length, across / length


def coil_line(ends: Sequence[Point], width: float) -> Polyline:
    """The zigzag of a coil spring, with about as many turns as a real one of that shape."""
    one, two = ends[0], ends[-1]
    length = math.hypot(two.across - one.across, two.down - one.down) or 1.0
    turns = max(3, round(length / max(width * 0.38, 2.2)))
    side = _normal(one, two)
    made = [one]
    for number in range(2 * turns):
        along = (number + 0.5) / (2 * turns)
        sign = 1 if number % 2 else -1
        made.append(
            Point(
                one.across + (two.across - one.across) * along + side[0] * sign * width / 2,
                one.down + (two.down - one.down) * along + side[1] * sign * width / 2,
            )
        )
    return (*made, two)


def distance(one: Point, two: Point) -> float:
    """Between two points."""
    return math.hypot(one.across - two.across, one.down - two.down)


def reach(dots: Mapping[str, Sequence[Point]], most: float) -> dict[tuple[str, int], float]:
    """How far round each dot a press still means it: half-way to the next dot of another, at most `most`."""
    reached = {}
    for key, points in dots.items():
        others = [point for other, found in dots.items() if other != key for point in found]
        for number, point in enumerate(points):
            near = min((distance(point, other) for other in others), default=2 * most)
            reached[key, number] = min(most, max(DOT_RADIUS, near / 2))
    return reached
