"""The face of a joint: every hole with the letter of its length, and an order of tightening that reaches every bolt."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections import Counter
from itertools import combinations, pairwise
from typing import get_args

import pytest

from decoder.drawings.face import WIDTH, FacePlace, draw_face, draw_sequence, sequence
from decoder.records import TightenOrder

SVG = "{http://www.w3.org/2000/svg}"

COVER = (
    FacePlace(name="lower-left", count=1, length="1-1/4 in", into="water"),
    FacePlace(name="lower-right", count=1, length="7/8 in"),
    FacePlace(name="upper", count=5, length="1 in"),
)


def holes(svg: str) -> list[tuple[float, float]]:
    return [
        (float(each.attrib["cx"]), float(each.attrib["cy"]))
        for each in ET.fromstring(svg).iter(f"{SVG}circle")
        if each.attrib["class"] == "place"
    ]


def letters(svg: str) -> Counter[str]:
    texts = ET.fromstring(svg).iter(f"{SVG}text")
    return Counter(each.text or "" for each in texts if "place-label" in each.attrib["class"])


def test_each_length_has_its_letter_in_as_many_holes_as_there_are() -> None:
    svg = draw_face(COVER)
    assert letters(svg) == {"A": 1, "B": 1, "C": 5}
    legend = [text.text for text in ET.fromstring(svg).iter(f"{SVG}text") if text.attrib["class"] == "label legend"]
    assert legend == [
        "A  lower-left: 1-1/4 in", "ring: breaks into water", "B  lower-right: 7/8 in", "C  upper: 5 of 1 in",
    ]  # fmt: skip


def test_holes_lie_where_their_names_say() -> None:
    """Two below, left and right of the middle; five above them."""
    left, right, *upper = holes(draw_face(COVER))
    assert left[0] < WIDTH / 2 < right[0]
    assert left[1] == right[1]
    assert all(each[1] < left[1] for each in upper)


def test_what_breaks_into_water_has_a_ring() -> None:
    rings = [each for each in ET.fromstring(draw_face(COVER)).iter(f"{SVG}circle") if each.attrib["class"] != "place"]
    assert len(rings) == 1
    assert (float(rings[0].attrib["cx"]), float(rings[0].attrib["cy"])) == holes(draw_face(COVER))[0]


@pytest.mark.parametrize("count", range(1, 25))
@pytest.mark.parametrize("name", ["upper", "left", "lower-left", "sides", "anywhere"])
def test_no_hole_covers_another_or_leaves_the_sheet(name: str, count: int) -> None:
    if name == "lower-left" and count > 8:
        return
    if name == "left" and count > 5:
        return
    found = holes(draw_face((FacePlace(name=name, count=count, length="1 in"),)))
    assert len(found) == count
    for one, other in combinations(found, 2):
        assert math.dist(one, other) >= 20
    assert all(12 <= x <= WIDTH - 12 for x, _ in found)


def test_text_of_a_record_stays_text() -> None:
    svg = draw_face((FacePlace(name="<b>upper", count=1, length="1 in & more"),))
    ET.fromstring(svg)
    assert "<b>" not in svg
    assert "style=" not in svg


@pytest.mark.parametrize("order", get_args(TightenOrder))
@pytest.mark.parametrize("count", range(1, 30))
def test_an_order_reaches_every_bolt_once(order: TightenOrder, count: int) -> None:
    points = sequence(order, count)
    if order in ("any", "as numbered") or not 3 <= count <= 24:
        assert points == ()
        assert draw_sequence(order, count) == ""
        return
    assert sorted(number for _, _, number in points) == list(range(1, count + 1))
    assert len({(round(x, 6), round(y, 6)) for x, y, _ in points}) == count
    ET.fromstring(draw_sequence(order, count))


@pytest.mark.parametrize("count", [4, 6, 8, 10, 12])
def test_crosswise_goes_to_the_opposite_bolt(count: int) -> None:
    """Bolts 1 and 2, 3 and 4, and so on lie across the middle from each other."""
    points = {number: (x, y) for x, y, number in sequence("cross", count)}
    for number in range(1, count, 2):
        assert math.dist(points[number], points[number + 1]) == pytest.approx(2)


@pytest.mark.parametrize("count", [5, 7, 9])
def test_crosswise_on_an_odd_ring_goes_nearly_opposite(count: int) -> None:
    points = [(x, y) for x, y, _ in sorted(sequence("cross", count), key=lambda each: each[2])]
    assert all(math.dist(one, other) > 1.7 for one, other in pairwise(points))


def test_from_the_centre_out_never_goes_back_in() -> None:
    points = sorted(sequence("from the centre out", 10), key=lambda each: each[2])
    distances = [abs(x) for x, _, _ in points]
    assert distances == sorted(distances)
