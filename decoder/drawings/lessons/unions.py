"""The lesson about flares: three shapes of pipe end, each with the seat that it seals on."""

from __future__ import annotations

from decoder.drawings.svg import drawing, label, path, tag
from decoder.drawings.threads import WIDTH

#: Half the outside and half the inside of a pipe, in drawing units.
_OUTER, _INNER = 17.0, 9.0


def flares() -> str:
    """Single, double and bubble flare cut open, pipe above and seat below. Shapes, not to scale."""
    drawn = []
    for number, (words, wall, seat) in enumerate(
        (("single", _single(), _cone()), ("double", _double(), _cone()), ("bubble", _bubble(), _flat()))
    ):
        x = WIDTH / 6 * (2 * number + 1)
        drawn += [_both(seat, x, "layer metal"), _both(wall, x, "metal")]
        drawn += [
            tag("line", x1=x, y1=14, x2=x, y2=138, class_="guide"),
            label(words, x, 158, class_="label dimension-label"),
        ]
    notes = (("thin edge", 0), ("folded", 1), ("flat bottom", 2))
    return drawing(
        WIDTH,
        188,
        "Pipe ends cut open: a single flare is one wall opened to a funnel; a double flare is folded back on itself, "
        "both seal on a cone; a bubble flare is a mushroom and seals on a flat bottom",
        *drawn,
        *(label(words, WIDTH / 6 * (2 * number + 1), 178) for words, number in notes),
        class_="wrenched-part",
    )


_Side = list[tuple[float, float]]


def _single() -> _Side:
    """The right wall of a pipe that opens to a funnel."""
    return [(_INNER, 16), (_INNER, 74), (28, 98), (34, 92), (_OUTER, 70), (_OUTER, 16)]


def _double() -> _Side:
    """The wall opened, and its end folded back inside."""
    return [
        (_INNER, 16), (_INNER, 70), (14, 80), (10, 86), (26, 106), (36, 96), (32, 90), (_OUTER, 72), (_OUTER, 16),
    ]  # fmt: skip


def _bubble() -> _Side:
    """The wall bulged out, its end turned in."""
    return [
        (_INNER, 16), (_INNER, 66), (24, 76), (29, 86), (24, 98), (_INNER, 102), (_INNER, 108), (28, 105), (37, 88),
        (30, 70), (_OUTER, 62), (_OUTER, 16),
    ]  # fmt: skip


def _cone() -> _Side:
    """The seat that stands up into the pipe's end."""
    return [(6, 84), (27, 112), (46, 112), (46, 134), (6, 134)]


def _flat() -> _Side:
    """A port with a flat bottom."""
    return [(6, 110), (46, 110), (46, 134), (6, 134)]


def _both(side: _Side, x: float, class_: str) -> str:
    """A half and its mirror image."""
    halves = [[(x + sign * each, y) for each, y in side] for sign in (1, -1)]
    return tag("g", *(tag("path", d=path(half, closed=True), class_=class_) for half in halves))
