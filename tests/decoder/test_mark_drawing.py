"""Drawings of marks: read back from the SVG, they say what their record says and nothing else."""

from __future__ import annotations

import math
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from decoder.drawings.marks import MIDDLE, SIZE, draw_mark
from decoder.mark_records import TEXT_KINDS, Element
from decoder.marks import Mark, load_marks
from decoder.paths import reference_root
from decoder.sources import load_sources

MARKS = load_marks(reference_root(), load_sources(reference_root()))
SVG = "{http://www.w3.org/2000/svg}"
STYLES = Path("content/assets/styles/decoder.css")

every_mark = pytest.mark.parametrize("mark", MARKS, ids=lambda mark: mark.id)


def drawn(mark: Mark) -> ElementTree.Element:
    return ElementTree.fromstring(draw_mark(mark))


def groups(root: ElementTree.Element, kind: str) -> list[ElementTree.Element]:
    return [group for group in root.iter(f"{SVG}g") if group.get("data-kind") == kind]


def points(group: ElementTree.Element) -> list[tuple[float, float]]:
    """Every point of the shapes in a group; circles stand for their middles."""
    found: list[tuple[float, float]] = []
    for shape in group.iter():
        if shape.tag == f"{SVG}circle":
            found.append((float(shape.get("cx", "")), float(shape.get("cy", ""))))
        for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", shape.get("d", "")):
            found.append((float(x), float(y)))
    return found


def bearing(group: ElementTree.Element) -> float:
    """Where a shape lies, measured from its own points: degrees clockwise from the top."""
    shape = points(group)
    x = sum(point[0] for point in shape) / len(shape) - MIDDLE
    y = sum(point[1] for point in shape) / len(shape) - MIDDLE
    return math.degrees(math.atan2(x, -y)) % 360


def apart(one: float, other: float) -> float:
    return min((one - other) % 360, (other - one) % 360)


def placed(mark: Mark) -> list[Element]:
    """Elements that are drawn one by one at their angles."""
    return [element for element in mark.elements if element.angles]


@every_mark
def test_a_drawing_is_one_svg_with_a_title_and_no_looks_of_its_own(mark: Mark) -> None:
    text = draw_mark(mark)
    root = drawn(mark)
    assert root.tag == f"{SVG}svg"
    assert root.get("viewBox") == f"0 0 {SIZE:g} {SIZE:g}"
    (title,) = root.findall(f"{SVG}title")
    assert title.text == f"{mark.title} ({mark.on})"
    assert not re.search(r'\b(style|fill|stroke|font-size|color|href|on\w+)="', text)


@every_mark
def test_every_element_is_drawn_as_often_as_it_is_seen(mark: Mark) -> None:
    root = drawn(mark)
    for element in mark.elements:
        shapes = groups(root, element.kind)
        same_kind = [other for other in mark.elements if other.kind == element.kind]
        if element.angles or element.kind in ("bar", "dash") or (element.kind == "circle" and element.at == "flat"):
            assert len(shapes) == sum(other.count for other in same_kind)
        else:
            assert shapes
    assert {group.get("data-kind") for group in root.iter(f"{SVG}g")} == {element.kind for element in mark.elements}


@every_mark
def test_every_shape_lies_at_its_angle(mark: Mark) -> None:
    """Measured from the points themselves, not from what the drawing says of itself."""
    root = drawn(mark)
    for element in placed(mark):
        shapes = groups(root, element.kind)
        assert sorted(float(shape.get("data-angle", "nan")) for shape in shapes) == sorted(element.angles)
        for shape in shapes:
            assert apart(bearing(shape), float(shape.get("data-angle", "nan"))) < 1.5


@every_mark
def test_letters_and_numbers_read_as_the_record_says(mark: Mark) -> None:
    written = [node.text for node in drawn(mark).iter(f"{SVG}text")]
    assert written == [element.text for element in mark.elements if element.kind in TEXT_KINDS]


@every_mark
def test_nothing_is_drawn_outside_the_picture(mark: Mark) -> None:
    for shape in drawn(mark).iter():
        for x, y in points(shape):
            assert -0.5 <= x <= SIZE + 0.5
            assert -0.5 <= y <= SIZE + 0.5


@pytest.mark.parametrize(
    ("id", "kind", "count", "gaps"),
    [
        ("radial-lines-3", "radial line", 3, {120}),
        ("radial-lines-5", "radial line", 5, {72}),
        ("radial-lines-6", "radial line", 6, {60}),
        ("radial-lines-3-one-side", "radial line", 3, {60, 240}),
        ("nut-corner-marks-6", "notch", 6, {60}),
    ],
)
def test_lines_stand_as_published_charts_say(id: str, kind: str, count: int, gaps: set[int]) -> None:
    """Grade 5 and 8 at 120° and 60° (US Army and structural charts), grade 7 at a fifth of a turn, 5.2 on one side."""
    mark = MARKS.get(id)
    assert mark is not None
    bearings = sorted(bearing(shape) for shape in groups(drawn(mark), kind))
    assert len(bearings) == count
    found = {round((b - a) % 360) for a, b in zip(bearings, [*bearings[1:], bearings[0]], strict=True)}
    assert found == gaps


def test_raised_and_sunk_are_drawn_differently() -> None:
    dash, stud = MARKS.get("dash-1"), MARKS.get("stud-end-dash")
    assert dash is not None
    assert stud is not None
    assert "mark-raised" in draw_mark(dash)
    assert "mark-sunk" in draw_mark(stud)


def test_no_two_marks_look_the_same() -> None:
    """With the titles taken away each drawing still tells its mark from all others of the same part."""
    seen: dict[tuple[str, str], str] = {}
    for mark in MARKS:
        picture = (mark.on, re.sub(r"<title>.*?</title>", "", draw_mark(mark)))
        assert picture not in seen, f"{mark.id} looks like {seen.get(picture)}"
        seen[picture] = mark.id


def test_the_style_sheet_knows_every_class_that_drawings_use() -> None:
    styles = STYLES.read_text(encoding="utf-8")
    used = {
        name for mark in MARKS for names in re.findall(r'class="([^"]+)"', draw_mark(mark)) for name in names.split()
    }
    unstyled = {"mark-element", "thread-line", "mark-turned"}
    assert not [name for name in used - unstyled if f".{name}" not in styles]


def test_the_same_record_gives_the_same_bytes() -> None:
    again = load_marks(reference_root(), load_sources(reference_root()))
    assert [draw_mark(mark) for mark in MARKS] == [draw_mark(mark) for mark in again]
