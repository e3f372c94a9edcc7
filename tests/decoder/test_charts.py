"""Charts of the benchmark: points and columns where the figures say, and nothing lost."""

from __future__ import annotations

import re

import pytest

from decoder.drawings.charts import columns, reliability


def test_a_point_on_the_diagonal_lies_on_the_dashed_line() -> None:
    """What is said and what was are drawn to the same share of both scales."""
    drawn = reliability([(0.5, 0.5, 10), (1.0, 1.0, 40)], "said and was")
    ideal = re.search(r'<line x1="(\S+)" y1="(\S+)" x2="(\S+)" y2="(\S+)" class="ideal"/>', drawn)
    assert ideal
    left, foot, right, top = (float(value) for value in ideal.groups())
    dots = [tuple(map(float, found)) for found in re.findall(r'<circle cx="(\S+)" cy="(\S+)" r="(\S+)"', drawn)]
    assert [dot[:2] for dot in dots] == [
        (pytest.approx((left + right) / 2), pytest.approx((top + foot) / 2)),
        (pytest.approx(right), pytest.approx(top)),
    ]
    assert dots[1][2] > dots[0][2], "more parts, larger point"


def test_too_sure_lies_below_the_line() -> None:
    drawn = reliability([(0.9, 0.6, 5)], "too sure")
    dot = re.search(r'<circle cx="(\S+)" cy="(\S+)"', drawn)
    ideal = re.search(r'x1="(\S+)" y1="(\S+)" x2="(\S+)" y2="(\S+)" class="ideal"', drawn)
    assert dot
    assert ideal
    left, foot, right, top = (float(value) for value in ideal.groups())
    on_line = foot + (float(dot[1]) - left) / (right - left) * (top - foot)
    assert float(dot[2]) > on_line


def test_columns_are_as_high_as_their_share_and_carry_their_figure() -> None:
    drawn = columns([("near", 0.25), ("far", 1.0)], "by distance", "errors", target=0.95)
    heights = [float(found) for found in re.findall(r'<rect [^>]*height="(\S+)" class="column"', drawn)]
    assert heights[1] == pytest.approx(4 * heights[0])
    for words in ("near", "far", "25 %", "100 %", "errors", "<title>by distance</title>"):
        assert words in drawn


def test_no_drawing_has_a_style_of_its_own_or_breaks_without_rows() -> None:
    for drawn in (reliability([], "none"), columns([], "none", "foot")):
        assert "style=" not in drawn
        assert drawn.startswith("<svg")
