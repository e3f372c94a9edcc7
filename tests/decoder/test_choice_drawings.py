"""Pictures to choose by: one for all that can be chosen, drawn by classes alone, and true where an angle shows."""

from __future__ import annotations

import json
import math
import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from typing import get_args

import pytest

from decoder.drawings.choices import FIELD, draw_choice
from decoder.drawings.heads import HEADS, draw_drive, draw_flanks, draw_hand, draw_head
from decoder.identify import build_index
from decoder.records import BoltHead, ScrewHead
from decoder.reference import Reference


@pytest.fixture(scope="module")
def pictures(reference: Reference) -> dict[str, str]:
    """Every picture of the identify page by what it stands for."""
    index = json.loads(build_index(reference))
    return {
        **{f"kind {name}": draw_choice(name) for name in index["kinds"]},
        **{f"drive {name}": draw_drive(name) for name in index["drives"] if name != "unknown"},
        **{f"head {name}": draw_head(name) for name in HEADS},
        **{f"hand {name}": draw_hand(name) for name in ("left", "right")},
    }


def test_everything_that_can_be_chosen_has_a_picture_of_its_own(pictures: dict[str, str]) -> None:
    assert [name for name, svg in pictures.items() if not svg] == []
    bodies = [re.sub(r"<title>.*?</title>", "", svg) for svg in pictures.values()]
    assert len(set(bodies)) == len(bodies)


def test_heads_are_those_that_records_name() -> None:
    assert set(HEADS) <= {*get_args(BoltHead), *get_args(ScrewHead)}


def test_pictures_are_drawn_by_classes_within_their_field(pictures: dict[str, str]) -> None:
    for name, svg in pictures.items():
        for element in ET.fromstring(svg).iter():
            assert not {"style", "fill", "stroke"} & element.attrib.keys(), name
            for key in ("x", "y", "cx", "cy", "x1", "y1", "x2", "y2"):
                assert 0 <= float(element.get(key, 0)) <= FIELD, (name, key)


def corners(svg: str) -> list[tuple[float, float]]:
    """Corners of the one path of a picture; curves by their ends."""
    (d,) = re.findall(r' d="([^"]+)"', svg)
    return [(float(x), float(y)) for x, y in re.findall(r"[ML ](-?[\d.]+) (-?[\d.]+)(?=[A-Z])", d)]


@pytest.mark.parametrize(
    ("angle", "rounded"),
    [
        pytest.param(60, False, id="Unified and metric: 60° (ASME B1.1, ISO 68-1)"),
        pytest.param(55, True, id="Whitworth: 55° (BS 84)"),
        pytest.param(47.5, True, id="BA: 47½° (BS 93)"),
    ],
)
def test_flanks_are_drawn_at_their_angle(angle: float, rounded: bool) -> None:
    steep = [
        2 * math.degrees(math.atan2(abs(x2 - x1), abs(y2 - y1)))
        for (x1, y1), (x2, y2) in pairwise(corners(draw_flanks(angle, rounded=rounded))[1:-1])
        if abs(y2 - y1) > 5 and abs(x2 - x1) > 1
    ]
    assert len(steep) == 4
    assert steep == pytest.approx([angle] * 4, abs=0.2)


def test_threads_climb_to_the_side_of_their_hand() -> None:
    """Held upright, a right-hand thread climbs to the right, a left-hand one to the left."""
    for hand, sign in (("right", 1), ("left", -1)):
        lines = [element.attrib for element in ET.fromstring(draw_hand(hand)).iter() if element.tag.endswith("line")]
        assert lines
        # On paper y grows downward.
        assert all((float(line["y1"]) - float(line["y2"])) * sign > 0 for line in lines)
