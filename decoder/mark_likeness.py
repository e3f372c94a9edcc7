"""Which marks are easily taken for one another, computed from what is seen on them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from decoder.mark_records import Confusable, Element, Mark, plural, seen_as

_LINES = ("radial line", "dash", "bar", "clock dash")
_EVEN_DEG = 1.0

#: Characters that look alike worn, half filled with plating, or upside down.
_ALIKE = ("8B630", "5S6", "0OD", "1I", "69", "RPBK", "VY", "XY", "2Z", "49A", "TI")

#: Shapes that pass for one another once worn or painted.
_SHAPES = (
    {"dot", "recess"}, {"cross", "plus"}, {"cross", "asterisk"}, {"plus", "asterisk"}, {"ring", "recess"},
    {"ring", "groove"}, {"dot", "notch"}, {"dash", "groove"}, {"triangle", "arrow"}, {"circle", "dot"},
    {"ring", "circle"},
)  # fmt: skip


class Neighbours:
    """Which marks are easily taken for a given one, found once and kept."""

    def __init__(self) -> None:
        self._marks: tuple[Mark, ...] = ()
        self._known: dict[str, tuple[Confusable, ...]] = {}

    def settle(self, marks: Iterable[Mark]) -> None:
        """Say which marks there are; before this none has a neighbour."""
        self._marks = tuple(marks)

    def __call__(self, mark: Mark) -> tuple[Confusable, ...]:
        """The others that look like it, in order of id, each with the reasons."""
        if mark.id not in self._known:
            self._known[mark.id] = tuple(
                Confusable(other.id, other.title, reasons)
                for other in self._marks
                if other is not mark and (reasons := likeness(mark, other))
            )
        return self._known[mark.id]


def likeness(a: Mark, b: Mark) -> tuple[str, ...]:
    """Why one mark is easily taken for the other; empty where it is not. The same both ways round."""
    if a.on != b.on and {a.on, b.on} != {"bolt head", "socket screw head"}:
        return ()
    if a.shows_nothing or b.shows_nothing:
        shown = b if a.shows_nothing else a
        if shown.shows_nothing:
            return ("both show no mark",)
        faint = all(
            e.count == 1 and e.kind in ("dot", "recess", "groove", "notch", "dog point") for e in shown.elements
        )
        return ("its one small mark hides under plating, paint or rust",) if faint else ()
    reasons = [*_texts_alike(a, b), *_lines_alike(a, b), *_one_more_or_less(a, b), *_shapes_alike(a, b)]
    return tuple(dict.fromkeys(reasons))


def _texts_alike(a: Mark, b: Mark) -> Iterator[str]:
    if len(a.texts) != 1 or len(b.texts) != 1:
        return
    one, two = (as_written(mark.texts[0]) for mark in (a, b))
    if one == two:
        if _beside(a) != _beside(b):
            yield "the same letters or numbers, with something beside them that is easily missed"
        else:
            yield "the same letters or numbers in another place"
        return
    short, long = sorted((one, two), key=len)
    if long == "0" + short:
        yield "a leading 0 is easily missed, and means that the part carries less"
    elif re.sub(r"[.\-]", "", one) == re.sub(r"[.\-]", "", two):
        yield "a dot or dash between the characters fills with plating"
    elif long.startswith(short) and not long[len(short)].isalnum():
        yield "the part after the dot or dash may be worn away"
    elif len(one) == len(two):
        differing = [(x, y) for x, y in zip(one, two, strict=True) if x != y]
        if len(differing) == 1 and any(set(differing[0]) <= set(group) for group in _ALIKE):
            x, y = sorted(differing[0])
            turned = {x, y} == {"6", "9"} and len(one) == 1
            yield f"{x} and {y} are the same turned upside down" if turned else f"{x} and {y} look alike when worn"


def _lines_alike(a: Mark, b: Mark) -> Iterator[str]:
    for one in a.elements:
        for two in b.elements:
            if one.kind not in _LINES or two.kind not in _LINES:
                continue
            if _beside(a, one) != _beside(b, two):
                continue
            if one.kind == two.kind == "clock dash":
                hours = abs(one.angles[0] - two.angles[0]) % 360 if one.angles and two.angles else 0
                if 0 < min(hours, 360 - hours) <= 60:
                    yield "the dash stands one or two hours away: put the dot at twelve before reading"
                elif abs(one.angles[0] + two.angles[0] - 360) < _EVEN_DEG:
                    yield "mirror images: read clockwise from the dot"
            elif one.kind == two.kind and one.count == two.count and one.angles != two.angles:
                yield "as many lines, arranged otherwise"
            elif one.kind == two.kind and abs(one.count - two.count) == 1:
                yield "one line more or less: one may be worn off, or be part of a maker's mark"
            elif one.kind != two.kind and one.count == two.count:
                yield f"as many {plural(one.kind)} as {plural(two.kind)}: see whether they point at the middle"


def _one_more_or_less(a: Mark, b: Mark) -> Iterator[str]:
    if a.texts != b.texts and not (a.texts and b.texts):
        # Nobody overlooks letters; what is overlooked stands beside them.
        return
    fewer, more = sorted((a, b), key=lambda mark: len(mark.elements))
    rest = list(map(seen_as, more.elements))
    for element in map(seen_as, fewer.elements):
        if element not in rest:
            return
        rest.remove(element)
    if len(rest) == 1:
        kind, count = rest[0][0], rest[0][1]
        noun = kind if count == 1 else plural(kind)
        verb = "fills" if count == 1 else "fill"
        yield f"the {noun} beside the rest {verb} with paint or plating, or {'is' if count == 1 else 'are'} worn away"


def _shapes_alike(a: Mark, b: Mark) -> Iterator[str]:
    only_a = [element for element in a.elements if seen_as(element) not in map(seen_as, b.elements)]
    only_b = [element for element in b.elements if seen_as(element) not in map(seen_as, a.elements)]
    if len(only_a) != 1 or len(only_b) != 1:
        return
    one, two = only_a[0], only_b[0]
    if one.kind != two.kind and {one.kind, two.kind} in _SHAPES and one.count == two.count:
        first, second = sorted((one.kind, two.kind))
        yield f"a worn {first} passes for a {second}"
    elif one.kind == two.kind and one.kind in ("dot", "notch", "circle") and 0 < abs(one.count - two.count) <= 3:
        yield "more or fewer of the same: count all the way round"


def _beside(mark: Mark, but: Element | None = None) -> list[tuple[Any, ...]]:
    """What a mark shows beside its text, or beside one element."""
    left_out = [element for element in mark.elements if (element is but if but else element.text)]
    return sorted((seen_as(element) for element in mark.elements if element not in left_out), key=repr)


def as_written(text: str) -> str:
    """Stamped text without what depends on the stamp: case, blanks, the comma some use for a point."""
    return re.sub(r"\s+", "", text).replace(",", ".").replace("–", "-").upper()
