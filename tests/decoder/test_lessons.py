"""Drawings of guides: what they write is what arithmetic and outside sources give, and they follow their thread."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from decoder.drawings.lessons.bolts import next_slot, one_thread_two_heads, standing_out, to_order
from decoder.drawings.lessons.threads import coated, pitch_by_count, stretched
from decoder.drawings.lessons.unions import flares
from decoder.quantities import parse_length
from decoder.reference import Reference

SVG = "{http://www.w3.org/2000/svg}"


def texts(svg: str) -> list[str]:
    return [each.text or "" for each in ET.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize(
    ("thread", "ten_pitches", "pitch"),
    [("5/16-24 UNF", "0.417 in (10.583 mm)", "24 tpi"), ("M8x1.25", "12.5 mm (0.492 in)", "1.25 mm")],
)
def test_ten_pitches_are_ten_times_the_pitch(reference: Reference, thread: str, ten_pitches: str, pitch: str) -> None:
    """Ten threads of 24 to the inch take 10/24 in; crests are numbered from nought."""
    drawn = texts(pitch_by_count(reference.threads.find(thread)))
    assert f"10 pitches in {ten_pitches}" in drawn
    assert [each for each in drawn if each.isdigit()][:11] == [str(crest) for crest in range(11)]
    assert any(each.startswith(f"÷ 10 = {pitch}") for each in drawn)


@pytest.mark.parametrize(("thread", "times"), [("M8x1.25", "4.0"), ("1/4-20 BSW", "4.3"), ("2 BA", "5.0")])
def test_a_coat_tightens_the_fit_by_its_flank_angle(reference: Reference, thread: str, times: str) -> None:
    """Twice over the sine of half the flank angle: 4 at 60°, 4.33 at 55°, 4.97 at 47.5°."""
    drawn = texts(coated(reference.threads.find(thread), 8))
    assert "diameter + 0.016 mm" in drawn
    assert any(f"({times} times the coat)" in each for each in drawn)


def test_each_bolt_stands_out_by_its_length_less_the_cover(reference: Reference) -> None:
    """1 in less 10 mm is 15.4 mm; the odd ones are marked."""
    lengths = [parse_length(each) for each in ("1 in", "1 in", "1-1/4 in", "7/8 in")]
    svg = standing_out(reference.threads.find("5/16-18 UNC"), parse_length("10 mm"), lengths)
    assert texts(svg)[1:5] == ["15.4 mm", "15.4 mm", "21.8 mm", "12.2 mm"]
    odd = [each for each in ET.fromstring(svg).iter(f"{SVG}rect") if each.attrib["class"] == "fastener metal"]
    assert len(odd) == 2


def test_a_slot_is_its_share_of_the_pitch(reference: Reference) -> None:
    """A sixth of a turn on 16 threads to the inch is 1/96 in, 0.265 mm."""
    assert "1/6 turn is 0.265 mm along 3/4-16 UNF" in texts(next_slot(reference.threads.find("3/4-16 UNF"), 6))


def test_two_heads_are_drawn_at_one_scale(reference: Reference) -> None:
    """The wider one is as much wider on the sheet as it is in the hand."""
    thread = reference.threads.find("3/8-16 BSW")
    rows = sorted(reference.hexagons.for_thread(thread, "bolt"), key=lambda row: row.across_flats_mm)
    svg = one_thread_two_heads(thread, [(rows[-1], "old"), (rows[0], "new")])
    widths = []
    for shape in ET.fromstring(svg).iter(f"{SVG}path"):
        across = [float(pair.split()[0]) for pair in re.split("[MLZ]", shape.attrib["d"]) if pair]
        widths.append(max(across) - min(across))
    assert widths[0] / widths[1] == pytest.approx(rows[-1].across_flats_mm / rows[0].across_flats_mm, rel=0.001)
    assert {"spanner old", "spanner new"} <= set(texts(svg))


def test_an_order_names_thread_length_and_flats(reference: Reference) -> None:
    """Of a 5/16 bolt in both systems; its spanner is 1/2 in."""
    thread = reference.threads.find("5/16-24 UNF")
    head = reference.hexagons.for_thread(thread, "bolt")[0]
    drawn = texts(to_order(thread, parse_length("1-1/4 in"), head))
    assert "length 1-1/4 in (31.75 mm)" in drawn
    assert "flats 1/2 in (12.7 mm)" in drawn
    assert "thread 5/16-24 UNF" in drawn


def test_lessons_are_read_out_and_carry_nothing_but_classes(reference: Reference) -> None:
    """A title for those who cannot see it, no looks but those of the style sheet."""
    thread = reference.threads.find("3/8-24 UNF")
    for svg in (flares(), stretched(thread), pitch_by_count(thread), next_slot(thread, 6), coated(thread, 5)):
        assert len(ET.fromstring(svg).findtext(f"{SVG}title") or "") > 40
        assert " style=" not in svg
        assert not re.search(r"\b(fill|stroke|font)[a-z-]*=", svg)
