"""Heads from the side, drives from above, thread flanks and hands, for choosing by eye; on fields of 48 by 48."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from decoder.drawings.choices import FIELD, box, hexagon, line, shape, thread
from decoder.drawings.svg import drawing, number, path, tag

_MIDDLE = FIELD / 2

#: Room between two views of one part.
_BETWEEN = 8.0

#: Where a head ends and its shank begins, and the shank's half width.
_UNDER = 22.0
_SHANK = 5.5


def draw_head(name: str) -> str:
    """The shape of a head as records name it, '' for one that has no picture.

    >>> draw_head("countersunk").startswith("<svg")
    True
    """
    parts = _HEADS.get(name)
    return drawing(FIELD, FIELD, f"{name} head", *parts(), class_="choice") if parts else ""


def draw_head_kind(title: str, side: str, above: str) -> str:
    """A head from above and from the side, beside each other: a name of `SHAPES` and one of `ABOVE`.

    >>> draw_head_kind("Countersunk head", "countersunk", "slot").count("data-view")
    2
    """
    from_above = _DRIVES.get(above) or _MORE_ABOVE[above]
    from_side = _HEADS.get(side) or _MORE_HEADS[side]
    views = (("above", from_above()), ("side", from_side()))
    return drawing(
        2 * FIELD + _BETWEEN,
        FIELD,
        f"{title}, from above and from the side",
        *(
            tag("g", *parts, transform=f"translate({number(place * (FIELD + _BETWEEN))} 0)", data_view=name)
            for place, (name, parts) in enumerate(views)
        ),
        class_="choice kind-drawing head-drawing",
    )


def draw_drive(name: str) -> str:
    """What turns a part, seen from above, '' for one that has no picture."""
    parts = _DRIVES.get(name)
    return drawing(FIELD, FIELD, name, *parts(), class_="choice") if parts else ""


def draw_flanks(angle_deg: float, *, rounded: bool) -> str:
    """Two threads in profile at their flank angle, with flat or with rounded crests and roots."""
    return drawing(FIELD, FIELD, f"{angle_deg:g}° between flanks", _profile(angle_deg, rounded), class_="choice")


def draw_hand(hand: str) -> str:
    """An upright stud whose thread climbs to the right or to the left."""
    rise = -8 if hand == "right" else 8
    strokes = [line(14, y - rise / 2, 34, y + rise / 2) for y in range(8, 46, 6)]
    body = [box(14, 1, 20, 46, 1), *strokes]
    return drawing(FIELD, FIELD, f"{hand}-hand thread", *body, class_="choice")


# --- heads ------------------------------------------------------------------------------------------------------------


def _shank(top: float = _UNDER) -> list[str]:
    return [box(_MIDDLE - _SHANK, top, 2 * _SHANK, 46 - top), *thread(_MIDDLE - _SHANK, 28, 2 * _SHANK, 18)]


def _arc(half: float, top: float, bottom: float = _UNDER) -> str:
    """A round top over a flat base."""
    rise = number(bottom - top)
    left, right, base = number(_MIDDLE - half), number(_MIDDLE + half), number(bottom)
    return tag("path", d=f"M{left} {base}A{number(half)} {rise} 0 0 1 {right} {base}Z", class_="metal")


def _slot(top: float, depth: float = 5.0, half: float = 2.0) -> str:
    """A cut that is open upward: no line across its mouth."""
    corners = (
        (_MIDDLE - half, top),
        (_MIDDLE - half, top + depth),
        (_MIDDLE + half, top + depth),
        (_MIDDLE + half, top),
    )
    return tag("path", d=path(corners), class_="bore")


def _hexagon_head(base: float = _UNDER) -> list[str]:
    half, inner = 14.0, 7.0
    return [
        shape(
            (_MIDDLE - half, base), (_MIDDLE - half, 9), (13, 7), (35, 7), (_MIDDLE + half, 9), (_MIDDLE + half, base)
        ),
        line(_MIDDLE - inner, 8, _MIDDLE - inner, base),
        line(_MIDDLE + inner, 8, _MIDDLE + inner, base),
    ]


def _hexagon_flange() -> list[str]:
    collar = shape((5, _UNDER), (12, 17), (36, 17), (43, _UNDER))
    return [*_shank(), *_hexagon_head(17), collar]


def _square() -> list[str]:
    return [*_shank(), box(11, 8, 26, _UNDER - 8), line(_MIDDLE, 8, _MIDDLE, _UNDER)]


def _cheese() -> list[str]:
    return [*_shank(), box(12, 10, 24, _UNDER - 10), _slot(9, 6)]


def _pan() -> list[str]:
    top = "M10 22L10 17A7 6 0 0 1 17 11L31 11A7 6 0 0 1 38 17L38 22Z"
    return [*_shank(), tag("path", d=top, class_="metal"), _slot(10, 6)]


def _round() -> list[str]:
    return [*_shank(), _arc(12, 8), _slot(7, 7)]


def _mushroom() -> list[str]:
    return [*_shank(), _arc(19, 12), _slot(11, 5)]


def _countersunk_cone(top: float) -> str:
    return shape((9, top), (39, top), (_MIDDLE + _SHANK, _UNDER), (_MIDDLE - _SHANK, _UNDER))


def _countersunk() -> list[str]:
    return [*_shank(), _countersunk_cone(11), _slot(10, 6)]


def _raised_countersunk() -> list[str]:
    return [*_shank(), _countersunk_cone(11), _arc(15, 5, 11), _slot(4, 6)]


def _socket_cap() -> list[str]:
    return [*_shank(), box(13, 5, 22, _UNDER - 5, 1), *_key(5)]


def _socket_button() -> list[str]:
    return [*_shank(), _arc(15, 11), *_key(11)]


def _socket_countersunk() -> list[str]:
    return [*_shank(), _countersunk_cone(11), *_key(11)]


def _key(top: float) -> list[str]:
    """A socket for a key, in section."""
    return [_slot(top - 1, 7, 5), line(_MIDDLE, top + 1, _MIDDLE, top + 6)]


def _grub() -> list[str]:
    left, width = _MIDDLE - 9, 18.0
    return [box(left, 6, width, 36), *thread(left, 7, width, 34), _slot(5, 7)]


def _square_neck() -> list[str]:
    return [*_shank(), box(16, 17, 16, 10), _arc(18, 6, 17)]


def _thumb() -> list[str]:
    wing = "M{0} 20L{1} 6A4 4 0 0 1 {2} 4L{3} 12"
    wings = (wing.format(18, 6, 13, 21), wing.format(30, 42, 35, 27).replace("0 0 1", "0 0 0"))
    return [*_shank(), *(tag("path", d=f"{d}Z", class_="metal") for d in wings), box(17, 12, 14, 10, 1)]


def _twelve_point() -> list[str]:
    collar = shape((8, _UNDER), (13, 17), (35, 17), (40, _UNDER))
    edges = [line(_MIDDLE + x, 7, _MIDDLE + x, 17) for x in (-7.5, -3, 3, 7.5)]
    return [*_shank(), box(13, 6, 22, 11), *edges, collar]


_HEADS: Mapping[str, Callable[[], list[str]]] = {
    "hexagon": lambda: [*_shank(), *_hexagon_head()],
    "hexagon-flange": _hexagon_flange,
    "square": _square,
    "cheese": _cheese,
    "pan": _pan,
    "round": _round,
    "countersunk": _countersunk,
    "raised-countersunk": _raised_countersunk,
    "mushroom": _mushroom,
    "socket-cap": _socket_cap,
    "socket-button": _socket_button,
    "socket-countersunk": _socket_countersunk,
    "round-square-neck": _square_neck,
    "twelve-point": _twelve_point,
    "thumb": _thumb,
    "grub": _grub,
}

HEADS = tuple(_HEADS)


def _tee() -> list[str]:
    return [*_shank(), box(6, 12, 36, _UNDER - 12)]


def _eye() -> list[str]:
    ring = tag("circle", cx=_MIDDLE, cy=14, r=12, class_="metal") + tag("circle", cx=_MIDDLE, cy=14, r=6, class_="bore")
    return [*_shank(25), ring]


def _u_bolt() -> list[str]:
    bend = "M7 46L7 20A17 17 0 0 1 41 20L41 46L33 46L33 20A9 9 0 0 0 15 20L15 46Z"
    return [tag("path", d=bend, class_="metal"), *thread(7, 32, 8, 14), *thread(33, 32, 8, 14)]


#: Heads of whole bolts that nobody chooses by the head alone.
_MORE_HEADS: Mapping[str, Callable[[], list[str]]] = {
    "tee": _tee,
    "eye": _eye,
    "u-bolt": _u_bolt,
}

SHAPES = (*_HEADS, *_MORE_HEADS)


# --- drives -----------------------------------------------------------------------------------------------------------


def _disc(radius: float = 20) -> str:
    return tag("circle", cx=_MIDDLE, cy=_MIDDLE, r=radius, class_="metal")


def _star(points: int, outer: float, inner: float, class_: str) -> str:
    turns = [math.pi / points * step - math.pi / 2 for step in range(2 * points)]
    radii = [outer if step % 2 == 0 else inner for step in range(2 * points)]
    corners = zip(radii, turns, strict=True)
    return shape(*((_MIDDLE + r * math.cos(turn), _MIDDLE + r * math.sin(turn)) for r, turn in corners), class_=class_)


def _cross_recess() -> list[str]:
    arm, half = 12.0, 3.0
    low, high = _MIDDLE - half, _MIDDLE + half
    near, far = _MIDDLE - arm, _MIDDLE + arm
    outline = [
        (low, near), (high, near), (high, low), (far, low), (far, high), (high, high),
        (high, far), (low, far), (low, high), (near, high), (near, low), (low, low),
    ]  # fmt: skip
    return [_disc(), shape(*outline, class_="bore")]


def _six_lobes() -> str:
    """A socket of six round lobes."""
    at = [
        (_MIDDLE + radius * math.cos(math.pi / 6 * step), _MIDDLE + radius * math.sin(math.pi / 6 * step))
        for step, radius in enumerate([8.0, 17.0] * 6 + [8.0])
    ]
    curves = [
        f"Q{number(at[step + 1][0])} {number(at[step + 1][1])} {number(at[step + 2][0])} {number(at[step + 2][1])}"
        for step in range(0, 12, 2)
    ]
    return tag("path", d=f"M{number(at[0][0])} {number(at[0][1])}{''.join(curves)}Z", class_="bore")


def _by_hand() -> list[str]:
    left = "M18 20C4 8 2 20 4 24C2 28 4 40 18 28Z"
    right = "M30 20C44 8 46 20 44 24C46 28 44 40 30 28Z"
    return [tag("path", d=left, class_="metal"), tag("path", d=right, class_="metal"), _disc(9)]


_DRIVES: Mapping[str, Callable[[], list[str]]] = {
    "hexagon": lambda: [hexagon(_MIDDLE, _MIDDLE, 21), tag("circle", cx=_MIDDLE, cy=_MIDDLE, r=18, class_="edge")],
    "slot": lambda: [_disc(), box(4, 21, 40, 6, class_="bore")],
    "cross": _cross_recess,
    "hexagon socket": lambda: [_disc(), hexagon(_MIDDLE, _MIDDLE, 11, "bore")],
    "square": lambda: [box(7, 7, 34, 34, 1), tag("circle", cx=_MIDDLE, cy=_MIDDLE, r=17, class_="edge")],
    "six-lobe": lambda: [_disc(), _six_lobes()],
    "twelve-point": lambda: [_disc(21), _star(12, 17, 14.5, "metal")],
    "hand": _by_hand,
    "none": lambda: [_disc()],
}

#: What is seen from above of heads that nothing turns.
_MORE_ABOVE: Mapping[str, Callable[[], list[str]]] = {
    "bar": lambda: [box(4, 16, 40, 16, 1)],
    "eye": lambda: [box(12, 19, 24, 10, 5)],
    "bend": lambda: [box(7, 20, 34, 8, 4)],
}

ABOVE = (*_DRIVES, *_MORE_ABOVE)


# --- flanks -----------------------------------------------------------------------------------------------------------


def _profile(angle_deg: float, rounded: bool) -> str:
    """Two crests of a bolt in section. Pitch is the field's half, so the depth follows from the angle."""
    pitch = FIELD / 2
    cut = 3.4
    flank = pitch / 2 - cut
    depth = flank / math.tan(math.radians(angle_deg / 2))
    top, bottom = _MIDDLE - depth / 2, _MIDDLE + depth / 2
    d = f"M0 {FIELD:g}L0 {number(bottom)}"
    for crest in (pitch / 2, 1.5 * pitch):
        d += f"L{number(crest - pitch / 2 + cut / 2)} {number(bottom)}L{number(crest - cut / 2)} {number(top)}"
        over = f"Q{number(crest)} {number(top - cut)} " if rounded else "L"
        d += f"{over}{number(crest + cut / 2)} {number(top)}L{number(crest + pitch / 2 - cut / 2)} {number(bottom)}"
        under = f"Q{number(crest + pitch / 2)} {number(bottom + cut)} " if rounded else "L"
        d += f"{under}{number(crest + pitch / 2 + cut / 2)} {number(bottom)}"
    return tag("path", d=f"{d}L{FIELD:g} {FIELD:g}Z", class_="metal")
