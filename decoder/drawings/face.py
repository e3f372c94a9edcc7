"""The face of a joint with every bolt in its hole, by the names of its places, and the order to tighten them in.

A record names places in words ('upper', 'lower-left'); it has no coordinates. So the map is a sketch: each hole lies
where its name says, in a row where the name says nothing. What counts is which length goes where, and what is wet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from decoder.drawings.svg import drawing, label, tag
from decoder.records import TightenOrder

WIDTH = 340.0
_FACE_TOP, _FACE_HEIGHT, _MARGIN = 10.0, 170.0, 34.0
_LINE = 22.0
#: Where a line of the legend begins, and one that goes on with the line above it.
_LEGEND, _INDENT = 6.0, 26.0
_HOLE = 13.0

#: Words in a place's name that say where it lies: across from -1 (left) to 1, down from -1 (top) to 1.
_ACROSS = {"left": -1, "near-side": -1, "front": -1, "right": 1, "off-side": 1, "rear": 1}
_DOWN = {"upper": -1, "top": -1, "inner": -1, "lower": 1, "bottom": 1, "outer": 1}

#: Letters for lengths, in order of the legend.
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"

#: Fewer bolts than this have no order worth drawing, and more crowd the sheet.
_LEAST, _MOST = 3, 24


@dataclass(frozen=True, slots=True, kw_only=True)
class FacePlace:
    """Like holes of a face: the place's name, how many, the bolt's length in words, what the hole breaks into.

    `differs` says what else is another there, in words.
    """

    name: str
    count: int
    length: str
    into: str = ""
    differs: str = ""


def draw_face(places: Sequence[FacePlace]) -> str:
    """Every hole with the letter of its length, wet holes ringed, and a legend: letter, length, how many, where.

    Parameters
    ----------
    places : Sequence[FacePlace]
        At least one; like lengths share a letter.
    """
    lengths = list(dict.fromkeys(place.length for place in places))
    letters = {length: _LETTERS[number % len(_LETTERS)] for number, length in enumerate(lengths)}
    holes: list[str] = []
    for place, points in zip(places, _lie(places), strict=True):
        for x, y in points:
            holes.append(tag("circle", cx=x, cy=y, r=_HOLE, class_="place"))
            if place.into:
                holes.append(tag("circle", cx=x, cy=y, r=_HOLE + 4, class_="place-ring"))
            holes.append(label(letters[place.length], x, y + 5, class_="label place-label"))
    legend = list(_legend(places, letters))
    spoken = "; ".join(line for _, line in legend)
    top = _FACE_TOP + _FACE_HEIGHT + 22
    return drawing(
        WIDTH,
        top + _LINE * len(legend) - 6,
        f"Which length goes where, by the names of the places, not to scale: {spoken}",
        tag("rect", x=4, y=_FACE_TOP, width=WIDTH - 8, height=_FACE_HEIGHT, rx=14, class_="face"),
        *holes,
        *(label(line, x, top + _LINE * number, "start", "label legend") for number, (x, line) in enumerate(legend)),
        class_="face-drawing",
    )


def _legend(places: Sequence[FacePlace], letters: dict[str, str]) -> Iterator[tuple[float, str]]:
    """Lines with where they begin: the length first, what else is another below it."""
    for place in places:
        off = f"{place.count} of " if place.count > 1 else ""
        yield _LEGEND, f"{letters[place.length]}  {place.name}: {off}{place.length}"
        if place.into:
            yield _INDENT, f"ring: breaks into {place.into}"
        if place.differs:
            yield _INDENT, place.differs


def _lie(places: Sequence[FacePlace]) -> list[list[tuple[float, float]]]:
    """Where the holes of each place lie on the sheet."""
    spots = [_spot(place.name) for place in places]
    lying: list[list[tuple[float, float]]] = []
    for number, (place, spot) in enumerate(zip(places, spots, strict=True)):
        if spot is None:
            lying.append(list(_rows(place.count)))
            continue
        across, down = spot
        # Places of one name-part share an edge: those beside it keep its ends free.
        shares = [other for index, other in enumerate(spots) if index != number and other is not None]
        ends = [other[0] for other in shares if other[1] == down and other[0] != 0]
        if across == 0 and down != 0:
            lying.append(list(_along(place.count, down, ends)))
        elif across != 0 and down == 0:
            lying.append(list(_upright(place.count, across)))
        else:
            lying.append(list(_corner(place.count, across, down)))
    return lying


def _spot(name: str) -> tuple[int, int] | None:
    """Where a name says that a place lies, None where it says nothing."""
    words = name.lower()
    across = next((value for word, value in _ACROSS.items() if word in words), 0)
    down = next((value for word, value in _DOWN.items() if word in words), 0)
    return (across, down) if across or down else None


def _place(across: float, down: float) -> tuple[float, float]:
    """A point of the sheet from -1 to 1 each way."""
    middle = _FACE_TOP + _FACE_HEIGHT / 2
    return WIDTH / 2 + across * (WIDTH / 2 - _MARGIN), middle + down * (_FACE_HEIGHT / 2 - _MARGIN + 6)


def _spread(count: int, low: float, high: float) -> list[float]:
    if count == 1:
        return [(low + high) / 2]
    return [low + (high - low) * number / (count - 1) for number in range(count)]


def _along(count: int, down: int, ends: list[int]) -> Iterator[tuple[float, float]]:
    low = -0.55 if -1 in ends else -1.0
    high = 0.55 if 1 in ends else 1.0
    first, rest = (count, 0) if count <= 9 else (-(-count // 2), count // 2)
    yield from (_place(across, down) for across in _spread(first, low, high))
    yield from (_place(across, down * 0.45) for across in _spread(rest, low, high) if rest)


def _upright(count: int, across: int) -> Iterator[tuple[float, float]]:
    yield from (_place(across, down) for down in _spread(count, -0.8 if count > 1 else 0.0, 0.8 if count > 1 else 0.0))


def _corner(count: int, across: int, down: int) -> Iterator[tuple[float, float]]:
    yield from (_place(across * (1 - 0.22 * number), down) for number in range(count))


def _rows(count: int) -> Iterator[tuple[float, float]]:
    """Holes of a name that says nothing: along both long edges where there are many, else in the middle."""
    if count <= 6:
        yield from (_place(across, 0.0) for across in _spread(count, -0.5, 0.5))
        return
    upper = -(-count // 2)
    # Room at the ends for what lies there by its name, as long as there is any.
    end = 0.72 if count <= 16 else 1.0
    yield from (_place(across, -0.95) for across in _spread(upper, -end, end))
    yield from (_place(across, 0.95) for across in _spread(count - upper, -end, end))


def sequence(order: TightenOrder | None, count: int) -> tuple[tuple[float, float, int], ...]:
    """Where like bolts lie in a sketch, from -1 to 1 each way, and when each is tightened, from 1.

    Empty where the order is any, as numbered on the part, or not recorded, and where there are too few or too many.
    """
    if order in (None, "any", "as numbered") or not _LEAST <= count <= _MOST:
        return ()
    if order == "end to end":
        return tuple((across, 0.0, number + 1) for number, across in enumerate(_spread(count, -1.0, 1.0)))
    if order == "from the centre out":
        return _from_the_middle(count)
    ring = [(math.sin(2 * math.pi * n / count), -math.cos(2 * math.pi * n / count)) for n in range(count)]
    turns = list(range(count)) if order == "in turn, in steps" else _crosswise(count)
    return tuple((*ring[place], number + 1) for number, place in enumerate(turns))


def _crosswise(count: int) -> list[int]:
    """Opposite bolts one after the other, each next pair as far from those done as it can be."""
    if count % 2:
        # Nearly opposite each time; the step has no common part with an odd count, so that all come round.
        return [(number * (count // 2)) % count for number in range(count)]
    half = count // 2
    done = [0]
    while len(done) < half:
        left = [pair for pair in range(half) if pair not in done]
        done.append(max(left, key=lambda pair: min(min(abs(pair - other), half - abs(pair - other)) for other in done)))
    return [place for pair in done for place in (pair, pair + half)]


def _from_the_middle(count: int) -> tuple[tuple[float, float, int], ...]:
    upper = -(-count // 2)
    points = [(across, -0.6) for across in _spread(upper, -1.0, 1.0)]
    points += [(across, 0.6) for across in _spread(count - upper, -1.0, 1.0)]
    inner = sorted(points, key=lambda point: (round(abs(point[0]), 6), point[0], point[1]))
    return tuple((*point, number + 1) for number, point in enumerate(inner))


def draw_sequence(order: TightenOrder | None, count: int) -> str:
    """The order of tightening as numbers in a sketch of the bolts; '' where there is none to draw."""
    points = sequence(order, count)
    if not points:
        return ""
    flat = order == "end to end"
    height = 70.0 if flat else 200.0
    middle, across, down = WIDTH / 2, (WIDTH / 2 - 30 if order != "cross" else 76.0), height / 2 - 26
    if order == "in turn, in steps":
        across = 76.0
    holes = []
    for x, y, number in points:
        at = middle + x * across, height / 2 + y * down
        holes.append(tag("circle", cx=at[0], cy=at[1], r=_HOLE, class_="place"))
        holes.append(label(str(number), at[0], at[1] + 5, class_="label place-label"))
    return drawing(
        WIDTH, height, f"Order of tightening, {order}: a sketch of {count} bolts", *holes, class_="face-drawing"
    )
