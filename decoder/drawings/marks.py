"""Draws a mark as an eye sees it: head or nut from above, flats from the side, the end of a stud.

Everything is computed from the record's elements, so a drawing cannot say other than its record. Colours and line
weights come from the style sheet's classes alone. One drawing unit is a hundredth of the picture's width; angles run
clockwise from a corner that points up.
"""

from __future__ import annotations

import math
from html import escape

from decoder.drawings.svg import drawing, path, tag
from decoder.mark_records import TEXT_KINDS, Element, Mark

SIZE = 100.0
MIDDLE = SIZE / 2

#: Radii of the plan: corners, the chamfer circle that touches the flats, and where marks lie at rim and face.
CORNER_RADIUS = 46.0
CHAMFER_RADIUS = 39.0
LINE_INNER, LINE_OUTER = 21.0, 36.5
BORE_RADIUS = 17.0
FACE_RADIUS = 29.0

#: Side view of a hexagon: three faces, the middle one twice as wide as each of the others.
_SIDE_TOP, _SIDE_BOTTOM = 28.0, 72.0
_SIDE_LEFT, _SIDE_RIGHT = 6.0, 94.0
_EDGES = (28.0, 72.0)

#: Half the width of a line, a dash and a bar, and how far a text may spread.
_LINE_HALF, _BAR_HALF = 2.6, 3.2
_TEXT_SPREAD = 62.0

#: Heights of letters that the style sheet has, largest first.
_TEXT_SIZES = (38, 26, 21, 17, 14, 11)

#: Places that only a view from the side shows.
_SIDE_PLACES = ("flat", "side", "shank", "round the hexagon")


def draw_mark(mark: Mark) -> str:
    """The mark as SVG text, with its title for those who cannot see it.

    Every element carries `data-kind`, and where it has one its bearing as `data-angle` in degrees.
    """
    if mark.on == "stud shank" or any(element.at in _SIDE_PLACES for element in mark.elements):
        body = _from_the_side(mark)
    elif mark.on == "stud end":
        body = _end(mark)
    else:
        body = _plan(mark)
    return drawing(SIZE, SIZE, f"{mark.title} ({mark.on})", *body, class_="mark-drawing")


def at_bearing(radius: float, bearing_deg: float) -> tuple[float, float]:
    """A point at a distance from the middle, clockwise from the top."""
    turn = math.radians(bearing_deg)
    return MIDDLE + radius * math.sin(turn), MIDDLE - radius * math.cos(turn)


# --- views ------------------------------------------------------------------------------------------------------------


def _plan(mark: Mark) -> list[str]:
    is_nut = mark.on == "nut"
    notches = next((element for element in mark.elements if element.at == "corners"), None)
    bright = any(element.kind == "colour" and element.at == "top" for element in mark.elements)
    outline = "metal bright" if bright else "metal"
    parts: list[str] = []
    if mark.on in ("socket screw head", "cross-recess head"):
        parts.append(tag("circle", cx=MIDDLE, cy=MIDDLE, r=44, class_="metal"))
    else:
        corners = [at_bearing(CORNER_RADIUS, turn) for turn in range(0, 360, 60)]
        parts.append(tag("path", d=path(corners, closed=True), class_=outline))
        parts.append(tag("circle", cx=MIDDLE, cy=MIDDLE, r=CHAMFER_RADIUS, class_="edge"))
    if bright:
        parts += [tag("line", x1=x, y1=34, x2=x - 12, y2=46, class_="glint") for x in (40, 47)]
    if is_nut:
        parts.append(tag("circle", cx=MIDDLE, cy=MIDDLE, r=BORE_RADIUS, class_="bore"))
        parts.append(tag("circle", cx=MIDDLE, cy=MIDDLE, r=BORE_RADIUS + 3, class_="edge thread-line"))
    if mark.on == "socket screw head":
        socket = [at_bearing(18, turn) for turn in range(30, 390, 60)]
        parts.append(tag("path", d=path(socket, closed=True), class_="bore"))
    if mark.on == "cross-recess head":
        parts.append(_cross_recess())
    if notches is not None:
        parts += [_corner_mark(notches, angle) for angle in notches.angles]
    for element in mark.elements:
        if element.at == "corners":
            continue
        if element.kind == "colour":
            parts.append(
                _drawn(element, _dab() if element.at == "centre" else tag("circle", cx=38, cy=40, r=1, class_="glint"))
            )
        else:
            parts += _seen_from_above(element, mark)
    return parts


def _end(mark: Mark) -> list[str]:
    parts = [
        tag("circle", cx=MIDDLE, cy=MIDDLE, r=40, class_="metal"),
        tag("circle", cx=MIDDLE, cy=MIDDLE, r=31, class_="edge"),
    ]
    for element in mark.elements:
        if element.kind == "dog point":
            parts.append(_drawn(element, tag("circle", cx=MIDDLE, cy=MIDDLE, r=22, class_="mark-line")))
        else:
            parts += _seen_from_above(element, mark)
    return parts


def _from_the_side(mark: Mark) -> list[str]:
    if mark.on in ("stud shank", "stud end"):
        return _stud_from_the_side(mark)
    grooved = next((element for element in mark.elements if element.at == "round the hexagon"), None)
    left, right, top, bottom = _SIDE_LEFT, _SIDE_RIGHT, _SIDE_TOP, _SIDE_BOTTOM
    middle = (top + bottom) / 2
    if grooved is None:
        outline = [(left, top), (right, top), (right, bottom), (left, bottom)]
    else:
        # The groove shows where it cuts the corners; the flats keep their faces.
        outline = [
            (left, top), (right, top), (right, middle - 4), (right - 4, middle), (right, middle + 4), (right, bottom),
            (left, bottom), (left, middle + 4), (left + 4, middle), (left, middle - 4),
        ]  # fmt: skip
    parts = [tag("path", d=path(outline, closed=True), class_="metal")]
    parts += [tag("line", x1=x, y1=top, x2=x, y2=bottom, class_="edge") for x in _EDGES]
    if grooved is not None:
        for x in _EDGES:
            notch = path([(x - 5, middle), (x, middle - 4), (x + 5, middle), (x, middle + 4)], closed=True)
            parts.append(_drawn(grooved, tag("path", d=notch, class_="mark-sunk")))
    for element in mark.elements:
        if element.at in ("flat", "side"):
            parts += _on_a_flat(element)
    return parts


def _stud_from_the_side(mark: Mark) -> list[str]:
    parts: list[str] = []
    dog = any(element.kind == "dog point" for element in mark.elements)
    ends = (8.0, 92.0)
    parts.append(tag("rect", x=ends[0], y=36, width=ends[1] - ends[0] - (10 if dog else 0), height=28, class_="metal"))
    for start, stop in ((8.0, 36.0), (64.0, 82.0 if dog else 92.0)):
        at = start + 4
        while at < stop:
            parts.append(tag("line", x1=at, y1=36, x2=at - 2, y2=64, class_="edge thread-line"))
            at += 4
    for element in mark.elements:
        if element.kind == "dog point":
            shape = tag("rect", x=82, y=40.5, width=10, height=19, class_="metal mark-turned")
            parts.append(_drawn(element, shape))
        elif element.kind == "groove":
            shape = tag(
                "path",
                d=path([(47, 36), (50, 40), (53, 36)]) + path([(47, 64), (50, 60), (53, 64)]),
                class_="mark-line",
            )
            line = tag("line", x1=50, y1=40, x2=50, y2=60, class_="mark-line")
            parts.append(_drawn(element, shape + line))
    return parts


# --- elements ---------------------------------------------------------------------------------------------------------


def _seen_from_above(element: Element, mark: Mark) -> list[str]:
    if element.kind in TEXT_KINDS:
        return [_text(element, MIDDLE, _text_height(element, mark), _text_spread(mark))]
    if element.kind == "underline":
        half = 20.0
        return [_drawn(element, _bar(MIDDLE - half, 66, MIDDLE + half, 66, 1.8, element))]
    if element.angles and element.at in ("rim", "face", "top"):
        return [_placed(element, angle, mark) for angle in element.angles]
    if element.kind in ("dash", "bar") and element.count >= 1:
        return _bars(element)
    return [_drawn(element, _centred(element, mark))]


def _placed(element: Element, angle: float, mark: Mark) -> str:
    radius = FACE_RADIUS if mark.on == "nut" else 30.0
    if mark.on == "socket screw head":
        radius = 33.0
    x, y = at_bearing(radius, angle)
    if element.kind == "radial line" or (element.kind == "clock dash"):
        inner, outer = (LINE_INNER, LINE_OUTER) if mark.on == "bolt head" else (radius - 6, radius + 7)
        if mark.texts:
            inner = 27.0
        if mark.on == "nut":
            inner, outer = 22.5, 36.5
        (x1, y1), (x2, y2) = at_bearing(inner, angle), at_bearing(outer, angle)
        shape = _bar(x1, y1, x2, y2, _LINE_HALF, element)
    elif element.kind == "dash":
        # Dashes on a face lie along the circle, radial lines across it.
        (x1, y1), (x2, y2) = at_bearing(radius, angle - 14), at_bearing(radius, angle + 14)
        shape = _bar(x1, y1, x2, y2, _LINE_HALF, element)
    elif element.kind == "notch":
        (x1, y1), (x2, y2) = at_bearing(CHAMFER_RADIUS, angle - 5), at_bearing(CHAMFER_RADIUS, angle + 5)
        shape = tag(
            "path", d=path([(x1, y1), at_bearing(CHAMFER_RADIUS - 7, angle), (x2, y2)], closed=True), class_="mark-sunk"
        )
    elif element.kind == "arrow":
        shape = _arrow(radius)
    else:
        shape = tag("circle", cx=x, cy=y, r=4, class_=_class(element))
    return _drawn(element, shape, angle)


def _centred(element: Element, mark: Mark) -> str:
    cls = _class(element)
    radius = 12.0
    if element.kind == "recess":
        return tag("circle", cx=MIDDLE, cy=MIDDLE, r=radius, class_="mark-hollow")
    if element.kind in ("ring", "circle"):
        ring = FACE_RADIUS if mark.on == "nut" else radius
        return tag("circle", cx=MIDDLE, cy=MIDDLE, r=ring, class_="mark-line")
    if element.kind == "groove":
        return tag("circle", cx=MIDDLE, cy=MIDDLE, r=FACE_RADIUS, class_="mark-line mark-double")
    if element.kind == "dot":
        return tag("circle", cx=MIDDLE, cy=MIDDLE, r=5, class_=cls)
    if element.kind == "triangle":
        corners = [at_bearing(19, turn) for turn in (0, 120, 240)]
        return tag("path", d=path(corners, closed=True), class_="mark-line")
    if element.kind == "square":
        corners = [at_bearing(17, turn) for turn in (45, 135, 225, 315)]
        return tag("path", d=path(corners, closed=True), class_="mark-line")
    if element.kind in ("plus", "cross", "asterisk"):
        bearings = {"plus": (0, 90), "cross": (45, 135), "asterisk": (0, 60, 120)}[element.kind]
        return "".join(_through(bearing, 18, element) for bearing in bearings)
    if element.kind == "arrow":
        return _arrow(24)
    if element.kind == "knurl":
        return "".join(_bar(*at_bearing(40, turn), *at_bearing(44, turn), 0.8, element) for turn in range(0, 360, 10))
    return tag("circle", cx=MIDDLE, cy=MIDDLE, r=5, class_=cls)


def _bars(element: Element) -> list[str]:
    """Bars side by side, upright; dashes one after another in a line."""
    if element.kind == "dash":
        span = 14.0
        start = MIDDLE - (element.count * span + (element.count - 1) * 6) / 2
        return [
            _drawn(
                element,
                _bar(start + n * (span + 6), MIDDLE, start + n * (span + 6) + span, MIDDLE, _LINE_HALF, element),
            )
            for n in range(element.count)
        ]
    gap = 13.0
    start = MIDDLE - (element.count - 1) * gap / 2
    return [
        _drawn(element, _bar(start + n * gap, 34, start + n * gap, 66, _BAR_HALF, element))
        for n in range(element.count)
    ]


def _on_a_flat(element: Element) -> list[str]:
    middle = (_SIDE_TOP + _SIDE_BOTTOM) / 2
    if element.kind in TEXT_KINDS:
        return [_text(element, MIDDLE, middle, 40)]
    if element.kind == "circle":
        radius = 6.0
        start = MIDDLE - (element.count - 1) * radius
        return [
            _drawn(element, tag("circle", cx=start + n * 2 * radius, cy=middle, r=radius, class_="mark-line"))
            for n in range(element.count)
        ]
    if element.kind == "dot":
        start = MIDDLE - (element.count - 1) * 6
        return [
            _drawn(element, tag("circle", cx=start + n * 12, cy=middle, r=3.5, class_=_class(element)))
            for n in range(element.count)
        ]
    return [_drawn(element, _bar(MIDDLE - 10, middle, MIDDLE + 10, middle, _LINE_HALF, element))]


def _corner_mark(element: Element, angle: float) -> str:
    """A nick or a dot at a corner of the hexagon."""
    if element.kind == "dot":
        x, y = at_bearing(CORNER_RADIUS - 6, angle)
        return _drawn(element, tag("circle", cx=x, cy=y, r=3, class_=_class(element)), angle)
    tip = at_bearing(CORNER_RADIUS - 11, angle)
    # The nick takes the corner away: over the outline in the colour of the paper, then its own two edges.
    along = [at_bearing(CORNER_RADIUS - 2.2, angle - 5), at_bearing(CORNER_RADIUS - 2.2, angle + 5)]
    beyond = [at_bearing(CORNER_RADIUS + 4, angle + 5), at_bearing(CORNER_RADIUS + 4, angle - 5)]
    cut = tag("path", d=path([along[0], tip, along[1], *beyond], closed=True), class_="mark-cut")
    edges = tag("path", d=path([along[0], tip, along[1]]), class_="mark-nick")
    return _drawn(element, cut + edges, angle)


def _text(element: Element, x: float, y: float, spread: float) -> str:
    """Letters or a number, held to the width of the part whatever type the reader's machine has."""
    words = element.text or ""
    size = min(38.0, spread / (0.56 * len(words)))
    if spread < _TEXT_SPREAD:
        size = min(size, spread * 0.78)
    step = max(step for step in _TEXT_SIZES if step <= size or step == _TEXT_SIZES[-1])
    text = tag(
        "text",
        escape(words, quote=False),
        x=x,
        y=y,
        textLength=spread if len(words) > 3 else None,
        lengthAdjust="spacingAndGlyphs" if len(words) > 3 else None,
        class_=f"mark-text mark-text-{step}",
    )
    return _drawn(element, text)


def _text_height(element: Element, mark: Mark) -> float:
    if mark.on == "nut":
        return MIDDLE - FACE_RADIUS + 1
    if mark.on == "socket screw head":
        return MIDDLE - 29.5
    several = [other for other in mark.elements if other.kind in TEXT_KINDS]
    if len(several) > 1:
        return 42.0 if element is several[0] else 62.0
    return MIDDLE


def _text_spread(mark: Mark) -> float:
    if mark.on == "nut":
        return 22.0
    if mark.on == "socket screw head":
        return 34.0
    if mark.on == "stud end":
        return 34.0
    return 46.0 if any(element.kind == "radial line" for element in mark.elements) else _TEXT_SPREAD


def _dab() -> str:
    """A dab of lacquer, wide of the round so that nobody takes it for a recess."""
    return tag("path", d="M34 52C32 38 46 34 55 37C68 38 70 50 63 57C58 66 38 66 34 52Z", class_="mark-dab")


def _bar(x1: float, y1: float, x2: float, y2: float, half: float, element: Element) -> str:
    """A straight stroke: filled where it stands out, an outline where it is let in."""
    length = math.hypot(x2 - x1, y2 - y1) or 1.0
    ox, oy = -(y2 - y1) / length * half, (x2 - x1) / length * half
    corners = [(x1 + ox, y1 + oy), (x2 + ox, y2 + oy), (x2 - ox, y2 - oy), (x1 - ox, y1 - oy)]
    return tag("path", d=path(corners, closed=True), class_=_class(element))


def _through(bearing: float, radius: float, element: Element) -> str:
    return _bar(*at_bearing(radius, bearing), *at_bearing(radius, bearing + 180), _LINE_HALF, element)


def _arrow(radius: float) -> str:
    """A quarter turn, anticlockwise: the way a left-hand thread tightens."""
    (x1, y1), (x2, y2) = at_bearing(radius, 60), at_bearing(radius, 300)
    curve = f"M{x1:.2f} {y1:.2f}A{radius:g} {radius:g} 0 0 0 {x2:.2f} {y2:.2f}"
    head = path([at_bearing(radius - 7, 306), (x2 - 1.5, y2 + 3.5), at_bearing(radius + 7, 308)], closed=True)
    return tag("path", d=curve, class_="mark-line") + tag("path", d=head, class_="mark-raised")


def _cross_recess() -> str:
    quarter = [(54.0, 28.0), (54.0, 46.0), (72.0, 46.0)]
    points: list[tuple[float, float]] = []
    for _ in range(4):
        points += quarter
        quarter = [(SIZE - y, x) for x, y in quarter]
    return tag("path", d=path(points, closed=True), class_="bore")


def _class(element: Element) -> str:
    return "mark-sunk" if element.relief == "sunk" else "mark-raised"


def _drawn(element: Element, shape: str, angle: float | None = None) -> str:
    """A shape in a group that says what it is, so that a drawing can be read back."""
    return tag(
        "g",
        shape,
        class_="mark-element",
        data_kind=element.kind,
        data_angle=None if angle is None else angle,
    )
