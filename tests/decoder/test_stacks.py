"""Stacks along their axis: hand-worked lengths, and drawings read back at their one scale."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import pytest

from decoder.build import build
from decoder.drawings.stack import WIDTH, draw_stack
from decoder.findings import Finding
from decoder.records import READERS, Joint
from decoder.reference import Reference
from decoder.stacks import Layout, lay_out, left_in_hole, needed
from decoder.yaml_source import read_yaml
from tests.decoder.test_joints import CLAMP, joint

SVG = "{http://www.w3.org/2000/svg}"

JOINT = """
title: A joint
kind: soft-gasket-cover
duty: clamp
consequence: ordinary
places: 1
stack:
{stack}
source: invented
"""


def laid_out(reference: Reference, stack: str) -> Layout | None:
    lines = "\n".join(f"  - {line.strip()}" for line in stack.strip().splitlines())
    findings: list[Finding] = []
    made = build(Joint, read_yaml(JOINT.format(stack=lines), "test.yml"), "test.yml", findings, readers=READERS)
    assert not findings, findings
    assert made is not None
    return lay_out(made.stack, reference)


def test_through_bolt_adds_up_by_hand(reference: Reference) -> None:
    """M8x30: grip 1.6 + 10 + 5 + 1.6 = 18.2 mm; an ISO 4032 nut is 6.8 mm at most: 30 - 18.2 - 6.8 = 5.0 stand out."""
    layout = laid_out(
        reference,
        """
        {bolt: hexagon, thread: M8x1.25, length: 30 mm}
        {washer: plain, thickness: 1.6 mm}
        {layer: steel, thickness: 10 mm}
        {layer: steel, thickness: 5 mm}
        {washer: plain, thickness: 1.6 mm}
        {nut: plain}
        """,
    )
    assert layout is not None
    assert layout.grip_mm == pytest.approx(18.2)
    # Within what standards differ on the height of an M8 nut (6.5 by DIN 934, 6.8 by ISO 4032).
    assert layout.protrusion_mm == pytest.approx(5.0, abs=0.35)
    assert layout.engagement_mm is None


def test_bolt_into_a_hole_engages_what_is_left_of_it(reference: Reference) -> None:
    """5/16 x 1-1/4 in through 9 + 0.5 mm: 31.75 - 9.5 = 22.25 mm, of which a hole of 20 mm takes 20."""
    layout = laid_out(
        reference,
        """
        {bolt: hexagon, thread: 5/16-24 UNF, length: 1-1/4 in}
        {layer: aluminium, thickness: 9 mm}
        {layer: paper gasket, thickness: 0.5 mm}
        {tapped: cast iron, depth: 20 mm}
        """,
    )
    assert layout is not None
    assert layout.grip_mm == pytest.approx(9.5)
    assert layout.engagement_mm == pytest.approx(20)
    assert layout.protrusion_mm is None


def test_stud_lies_the_other_way_with_its_metal_end_in_the_hole(reference: Reference) -> None:
    """Free length 35 mm over 20 mm of parts and a nut; 16 mm of metal end in the casting."""
    layout = laid_out(
        reference,
        """
        {stud: plain, metal_end: {thread: M8x1.25, length: 16 mm}, nut_end: {thread: M8x1.25}, length: 35 mm}
        {nut: plain}
        {layer: steel, thickness: 20 mm}
        {tapped: cast iron, depth: 18 mm}
        """,
    )
    assert layout is not None
    assert layout.engagement_mm == pytest.approx(16)
    # 35 - 20 - 6.8 (or 6.5) stand out beyond the nut.
    assert layout.protrusion_mm == pytest.approx(8.3, abs=0.25)


@pytest.mark.parametrize(
    "stack",
    [
        pytest.param(
            """
            {bolt: hexagon, thread: M8x1.25, length: 30 mm}
            {washer: tab}
            {layer: steel, thickness: 10 mm}
            {nut: plain}
            """,
            id="a washer that nobody measured and no table gives",
        ),
        pytest.param(
            """
            {bolt: u-bolt, thread: M8x1.25, length: 60 mm}
            {layer: steel, thickness: 4 mm}
            {nut: plain}
            """,
            id="a U-bolt's length is not how far it reaches",
        ),
    ],
)
def test_what_is_not_known_has_no_layout(reference: Reference, stack: str) -> None:
    assert laid_out(reference, stack) is None


def test_a_washer_that_nobody_measured_takes_its_standard_and_says_so(reference: Reference) -> None:
    """ISO 7089 gives M8 1.6 mm of thickness: 1.6 + 10 of grip."""
    layout = laid_out(
        reference,
        """
        {bolt: hexagon, thread: M8x1.25, length: 30 mm}
        {washer: plain}
        {layer: steel, thickness: 10 mm}
        {nut: plain}
        """,
    )
    assert layout is not None
    assert layout.grip_mm == pytest.approx(11.6)
    assert "ISO 7089" in layout.parts[0].taken_from


def test_a_countersunk_screw_is_measured_over_all(reference: Reference) -> None:
    """M5x16 through 4 mm: the head lies in the layer, so 12 mm reach into the nut, of which it is 4.7 mm at most."""
    layout = laid_out(
        reference,
        """
        {screw: countersunk, thread: M5x0.8, length: 16 mm}
        {layer: steel, thickness: 4 mm}
        {nut: plain}
        """,
    )
    assert layout is not None
    assert layout.is_sunk
    assert layout.protrusion_mm == pytest.approx(16 - 4 - 4.7, abs=0.05)


def test_a_nut_without_a_height_by_standard_has_no_protrusion(reference: Reference) -> None:
    layout = laid_out(
        reference,
        """
        {bolt: hexagon, thread: M8x1.25, length: 30 mm}
        {layer: steel, thickness: 10 mm}
        {nut: exhaust-brass}
        """,
    )
    assert layout is not None
    assert layout.protrusion_mm is None


def widths(svg: str, kind: str) -> list[float]:
    """Widths of the drawn rectangles of a kind, in drawing units."""
    root = ET.fromstring(svg)
    return [
        float(rect.attrib["width"]) for rect in root.iter(f"{SVG}rect") if kind in rect.attrib.get("class", "").split()
    ]


def test_drawing_shows_every_length_at_one_scale(reference: Reference) -> None:
    stack = """
        {{bolt: hexagon, thread: M8x1.25, length: 40 mm}}
        {{layer: steel, thickness: {first} mm}}
        {{layer: aluminium, thickness: 6 mm}}
        {{nut: plain}}
        """
    before = laid_out(reference, stack.format(first=12))
    after = laid_out(reference, stack.format(first=13))
    assert before is not None
    assert after is not None
    svg = draw_stack(before)
    (bolt,) = widths(svg, "fastener")
    first, second = widths(svg, "layer")
    scale = bolt / 40
    assert [first, second] == pytest.approx([12 * scale, 6 * scale], abs=0.01)
    # One millimetre more of a layer changes grip, what stands out, and the drawing.
    assert after.grip_mm - before.grip_mm == pytest.approx(1)
    assert before.protrusion_mm is not None
    assert after.protrusion_mm is not None
    assert before.protrusion_mm - after.protrusion_mm == pytest.approx(1)
    changed = draw_stack(after)
    assert widths(changed, "layer")[0] / widths(changed, "fastener")[0] == pytest.approx(13 / 40, abs=1e-3)


def test_drawing_numbers_every_part_as_the_list_does(reference: Reference) -> None:
    layout = laid_out(
        reference,
        """
        {bolt: hexagon, thread: M8x1.25, length: 30 mm}
        {washer: plain, thickness: 1.6 mm}
        {layer: steel, thickness: 2 mm}
        {layer: steel, thickness: 1 mm}
        {nut: plain}
        """,
    )
    assert layout is not None
    svg = draw_stack(layout)
    assert "style=" not in svg
    numbers = re.findall(r"number-label[^>]*>(\d+)<", svg)
    assert sorted(map(int, numbers)) == [1, 2, 3, 4, 5]
    places = sorted(float(circle.attrib["cx"]) for circle in ET.fromstring(svg).iter(f"{SVG}circle"))
    assert all(b - a >= 20.9 for a, b in pairwise(places))
    assert places[-1] <= WIDTH


def test_every_layout_of_the_fleet_can_be_drawn(reference: Reference) -> None:
    from decoder.fleet import load_fleet

    fleet = load_fleet(Path(__file__).parents[2] / "site_data")
    drawn = 0
    for vehicle in fleet.vehicles.values():
        for each in vehicle.joints():
            layout = lay_out(each.record.stack, reference)
            if layout is not None:
                ET.fromstring(draw_stack(layout))
                drawn += 1
    assert drawn > 100


def test_a_gap_that_stays_open_counts_in_the_grip(reference: Reference) -> None:
    """18 + 2 + 18 = 38 mm; the end of 1-7/8 in, 47.6 mm, is then 9.6 mm past the ears."""
    ears = """
        {bolt: hexagon, thread: 3/8-24 UNF, length: 1-7/8 in}
        {layer: steel, thickness: 18 mm, gap: 2 mm}
        {layer: steel, thickness: 18 mm}
        {nut: plain}
        """
    layout = lay_out(joint(ears).stack, reference)
    assert layout is not None
    assert (layout.grip_mm, layout.gap_mm) == (pytest.approx(38.0), pytest.approx(2.0))
    assert layout.parts[1].start_mm == pytest.approx(20.0)
    assert layout.protrusion_mm == pytest.approx(47.625 - 38 - 21 / 64 * 25.4, abs=0.1)
    assert "gap 0.079 in (2 mm)" in draw_stack(layout)


def test_a_lock_nut_takes_its_height_off_the_screw(reference: Reference) -> None:
    """ISO 4035 gives a thin M30 nut 15 mm: of a 16 mm plug 1 mm is left, of a 30 mm one 15 mm."""
    plug = """
        {bolt: plug, thread: M30x1.5, length: 16 mm}
        {nut: thin}
        {tapped: aluminium, depth: 18 mm, hole: through}
        """
    left = left_in_hole(joint(plug, duty="adjust").stack, reference)
    assert left is not None
    assert left.mm == pytest.approx(1.0, abs=0.1)
    own = left_in_hole(joint(plug.replace("{nut: thin}", "{nut: thin, height: 6 mm}"), duty="adjust").stack, reference)
    assert own is not None
    assert own.mm == pytest.approx(10.0)
    assert left_in_hole(joint(CLAMP).stack, reference) is None


def test_a_nut_and_a_head_of_their_own_size_win_over_the_standard(reference: Reference) -> None:
    stack = """
        {bolt: hexagon, thread: M5x0.9, length: 16 mm, across_flats: 9 mm, height: 3.5 mm}
        {layer: steel, thickness: 6 mm}
        {nut: square, across_flats: 9 mm, height: 3.2 mm}
        """
    layout = lay_out(joint(stack).stack, reference)
    assert layout is not None
    assert layout.head_mm == pytest.approx(3.5)
    assert layout.head_across_mm == pytest.approx(9 * 2 / 3**0.5)
    nut = layout.nuts[0]
    assert (nut.thickness_mm, nut.across_mm) == (pytest.approx(3.2), pytest.approx(9 * 2**0.5))
    assert (layout.head_from, nut.taken_from) == ("measured", "measured")
    assert layout.protrusion_mm == pytest.approx(16 - 6 - 3.2)
    assert layout.heights == ()


DOME = """
    {bolt: hexagon, thread: M8x1.25, length: 20 mm}
    {layer: steel, thickness: 12 mm}
    {nut: dome}
    """


def test_a_dome_nut_is_judged_by_its_depth(reference: Reference) -> None:
    """DIN 1587: an M8 one has 10.65 mm of thread at the least; 20 mm reach 8 mm into it, 25 mm would bottom."""
    layout = lay_out(joint(DOME).stack, reference)
    assert layout is not None
    assert layout.protrusion_mm is None
    assert layout.room_in_nut_mm == pytest.approx(2.65)
    need = needed(layout, None)
    assert need.longest_mm == pytest.approx(12 + 10.65 - 1.25)
    long = lay_out(joint(DOME.replace("20 mm", "25 mm")).stack, reference)
    assert long is not None
    assert long.room_in_nut_mm == pytest.approx(-2.35)
    measured = lay_out(joint(DOME.replace("nut: dome", "nut: dome, depth: 7 mm")).stack, reference)
    assert measured is not None
    assert measured.room_in_nut_mm == pytest.approx(-1.0)


def test_a_dome_nut_of_no_table_stays_unknown(reference: Reference) -> None:
    inch = DOME.replace("M8x1.25", "5/16-24 UNF").replace("20 mm", "3/4 in")
    layout = lay_out(joint(inch).stack, reference)
    assert layout is not None
    assert layout.room_in_nut_mm is None
    assert needed(layout, None).least_mm is None
    assert "measure" in needed(layout, None).how


def test_a_nylon_nut_of_an_inch_thread_has_its_height(reference: Reference) -> None:
    """ASME B18.16.6, style NE: 3/8 in is 0.468 in at most; the end is then 1 in less 12.2 mm less 11.9 mm out."""
    stack = """
        {bolt: hexagon, thread: 3/8-24 UNF, length: 1 in}
        {layer: steel, thickness: 12.2 mm}
        {nut: nylon-insert}
        """
    layout = lay_out(joint(stack).stack, reference)
    assert layout is not None
    assert layout.protrusion_mm == pytest.approx(25.4 - 12.2 - 0.468 * 25.4)
