"""Drawings are read back as geometry: what they show must be what the thread or the hexagon is, at one scale."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from decoder.drawings.hexagons import actual_size, outline, ruler, wrenched_part
from decoder.drawings.threads import WIDTH, overlay, thread_profile, tooth
from decoder.reference import Reference

SVG = "{http://www.w3.org/2000/svg}"


def crest_middles(d: str) -> list[float]:
    """Where the crests of a drawn profile stand, from its path alone."""
    points = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)(?=[A-Z]|$)", d)]
    top = min(y for _, y in points)
    high = [x for x, y in points if y == top]
    return [(a + b) / 2 for a, b in zip(high[::2], high[1::2], strict=True)]


@pytest.mark.parametrize(
    ("written", "crest_over_pitch", "depth_over_pitch"),
    [
        pytest.param("5/16-18 UNC", 0.125, 0.59539, id="ASME B1.1: crest P/8; depth of a rounded-root bolt 0.59539 P"),
        pytest.param("M8", 0.125, 0.61343, id="ISO 68-1 and ISO 898-1: crest P/8; bolt depth 0.61343 P"),
    ],
)
def test_flat_profiles_have_the_standards_crest_and_depth(
    reference: Reference, written: str, crest_over_pitch: float, depth_over_pitch: float
) -> None:
    shape = tooth(reference.threads.find(written), scale=1)
    assert 2 * shape.crest_half / shape.pitch == pytest.approx(crest_over_pitch, abs=1e-5)
    assert shape.depth / shape.pitch == pytest.approx(depth_over_pitch, abs=1e-5)


@pytest.mark.parametrize(
    ("written", "radius_over_pitch"),
    [
        pytest.param("5/16-18 BSW", 0.137329, id="BS 84 as Machinery's Handbook gives it: radius 0.137329 p"),
        pytest.param("2 BA", 0.18083, id="BS 93 as Machinery's Handbook gives it: radius 0.18083 p"),
    ],
)
def test_rounded_profiles_have_the_standards_radius(
    reference: Reference, written: str, radius_over_pitch: float
) -> None:
    shape = tooth(reference.threads.find(written), scale=1)
    assert shape.crest_radius / shape.pitch == pytest.approx(radius_over_pitch, abs=2e-4)


def test_overlay_shows_both_pitches_at_one_scale(reference: Reference) -> None:
    held, other = reference.threads.find("5/16-24 UNF"), reference.threads.find("M8x1")
    root = ET.fromstring(overlay(held, other))
    scale = (WIDTH - 24) / 10
    paths = [element.attrib["d"] for element in root.iter(f"{SVG}path")]
    for thread, d in zip((held, other), paths, strict=True):
        middles = crest_middles(d)
        steps = [b - a for a, b in pairwise(middles)]
        assert steps == pytest.approx([thread.pitch_mm * scale] * len(steps), abs=0.002)
        assert middles[0] == pytest.approx(12)


def test_profile_speaks_and_carries_no_style(reference: Reference) -> None:
    for thread in reference.threads:
        text = thread_profile(thread)
        root = ET.fromstring(text)
        assert thread.designation in (root.findtext(f"{SVG}title") or "")
        assert "style=" not in text


def test_actual_size_prints_in_millimetres(reference: Reference) -> None:
    thread = reference.threads.find("M8")
    row = reference.hexagons.for_thread(thread, "bolt")[0]
    root = ET.fromstring(actual_size(row, thread.major_mm))
    units = float(root.attrib["viewBox"].split()[2])
    assert root.attrib["width"] == f"{units:g}mm" or float(root.attrib["width"].removesuffix("mm")) == pytest.approx(
        units, abs=0.001
    )
    path = root.find(f"{SVG}path")
    assert path is not None
    corners = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.attrib["d"])]
    xs = sorted(x for x, _ in corners)
    assert xs[-1] - xs[0] == pytest.approx(row.across_flats_mm, abs=0.002)


def test_outline_of_a_square_has_its_flats() -> None:
    xs = [x for x, _ in outline("square", 10, 0, 0)]
    assert max(xs) - min(xs) == pytest.approx(10)


def test_every_hexagon_row_can_be_drawn(reference: Reference) -> None:
    for row in reference.hexagons:
        text = wrenched_part(row, row.across_flats_mm / 2)
        ET.fromstring(text)
        assert "style=" not in text


def test_ruler_has_a_stroke_for_every_millimetre() -> None:
    root = ET.fromstring(ruler(50))
    xs = [float(line.attrib["x1"]) for line in root.iter(f"{SVG}line")]
    assert len(xs) == 51
    assert xs[-1] - xs[0] == 50
