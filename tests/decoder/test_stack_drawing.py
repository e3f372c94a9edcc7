"""Drawings of stacks read back: everything along the axis has one scale, and follows every millimetre of the record."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from decoder.drawings.stack import WIDTH, draw_stack
from decoder.engagement import TappedMaterial
from decoder.loads import engagement_needed
from decoder.reference import Reference
from decoder.stacks import Layout, needed
from tests.decoder.test_stacks import laid_out

SVG = "{http://www.w3.org/2000/svg}"

BOLT_AND_NUT = """
    {{bolt: hexagon, thread: M8x1.25, length: 50 mm}}
    {{washer: plain, thickness: {0} mm}}
    {{layer: steel, thickness: {1} mm}}
    {{layer: paper gasket, thickness: {2} mm}}
    {{layer: aluminium, thickness: {3} mm}}
    {{nut: plain}}
    """
INTO_A_HOLE = """
    {{bolt: hexagon, thread: 5/16-18 UNC, length: 1-1/2 in}}
    {{washer: plain, thickness: {0} mm}}
    {{layer: steel, thickness: {1} mm}}
    {{layer: paper gasket, thickness: {2} mm}}
    {{layer: aluminium, thickness: {3} mm}}
    {{tapped: cast iron, depth: 30 mm}}
    """
STUD = """
    {{stud: plain, metal_end: {{thread: M8x1.25, length: 16 mm}}, nut_end: {{thread: M8x1.25}}, length: 45 mm}}
    {{nut: plain}}
    {{washer: plain, thickness: {0} mm}}
    {{layer: steel, thickness: {1} mm}}
    {{layer: paper gasket, thickness: {2} mm}}
    {{layer: aluminium, thickness: {3} mm}}
    {{tapped: cast iron, depth: 20 mm}}
    """
LAYERS = (1.6, 10.0, 0.5, 8.0)


def layout_of(reference: Reference, stack: str, layers: tuple[float, ...]) -> Layout:
    layout = laid_out(reference, stack.format(*layers))
    assert layout is not None
    return layout


def need_of(reference: Reference, layout: Layout) -> float:
    material: TappedMaterial | None = reference.joint_tables.materials.get("cast-iron")
    wanted = engagement_needed(layout.thread, None, material)
    need = needed(layout, wanted.mm if wanted else None).least_mm
    assert need is not None
    return need


def widths(svg: str, kind: str) -> list[float]:
    """Widths of drawn rectangles of a kind, in drawing units."""
    return [
        float(rect.attrib["width"])
        for rect in ET.fromstring(svg).iter(f"{SVG}rect")
        if kind in rect.attrib.get("class", "").split()
    ]


def dimensions(svg: str) -> dict[str, float]:
    """Each dimension's first word with the length of its line, in drawing units."""
    root = ET.fromstring(svg)
    groups = [group for group in root.iter(f"{SVG}g") if group.attrib.get("class") == "dimension"]
    words = [text.text or "" for text in root.iter(f"{SVG}text") if "dimension-label" in text.attrib.get("class", "")]
    lines = [group[0] for group in groups]
    return {
        word.split()[0]: float(line.attrib["x2"]) - float(line.attrib["x1"])
        for word, line in zip(words, lines, strict=True)
    }


@pytest.mark.parametrize("stack", [BOLT_AND_NUT, INTO_A_HOLE, STUD], ids=["nut", "hole", "stud"])
def test_every_length_reads_back_at_one_scale(reference: Reference, stack: str) -> None:
    layout = layout_of(reference, stack, LAYERS)
    need = need_of(reference, layout)
    svg = draw_stack(layout, need)
    (fastener,) = widths(svg, "fastener")
    scale = fastener / (layout.to_mm - layout.from_mm)
    assert widths(svg, "layer") == pytest.approx([each * scale for each in LAYERS[1:]], abs=0.01)
    assert widths(svg, "washer") == pytest.approx([LAYERS[0] * scale], abs=0.01)
    drawn = dimensions(svg)
    assert drawn["grip"] == pytest.approx(sum(LAYERS) * scale, abs=0.01)
    assert drawn["needs"] == pytest.approx(need * scale, abs=0.01)
    if layout.engagement_mm is not None:
        assert drawn["thread"] == pytest.approx(layout.engagement_mm * scale, abs=0.01)
    if layout.protrusion_mm is not None:
        assert drawn["stands"] == pytest.approx(layout.protrusion_mm * scale, abs=0.01)


@pytest.mark.parametrize("stack", [BOLT_AND_NUT, INTO_A_HOLE, STUD], ids=["nut", "hole", "stud"])
@pytest.mark.parametrize("which", range(4))
def test_a_millimetre_more_of_any_layer_changes_grip_need_and_drawing(
    reference: Reference, stack: str, which: int
) -> None:
    more = tuple(each + (number == which) for number, each in enumerate(LAYERS))
    before, after = layout_of(reference, stack, LAYERS), layout_of(reference, stack, more)
    assert after.grip_mm - before.grip_mm == pytest.approx(1)
    assert need_of(reference, after) - need_of(reference, before) == pytest.approx(1)
    drawn_before = draw_stack(before, need_of(reference, before))
    drawn_after = draw_stack(after, need_of(reference, after))
    (old,), (new,) = widths(drawn_before, "fastener"), widths(drawn_after, "fastener")
    assert old > 0
    kind, place = ("washer", 0) if which == 0 else ("layer", which - 1)
    shown = widths(drawn_after, kind)[place] / (new / (after.to_mm - after.from_mm))
    assert shown == pytest.approx(more[which], abs=0.01)
    assert drawn_before != drawn_after


def test_a_stud_without_a_nuts_height_is_sketched_outside_what_it_clamps(reference: Reference) -> None:
    layout = laid_out(
        reference,
        """
        {stud: plain, metal_end: {thread: M8x1.25, length: 16 mm}, nut_end: {thread: M8x1.25}, length: 30 mm}
        {nut: exhaust-brass}
        {layer: steel, thickness: 10 mm}
        {tapped: cast iron, depth: 20 mm}
        """,
    )
    assert layout is not None
    rects = {
        rect.attrib["class"].split()[-1]: (float(rect.attrib["x"]), float(rect.attrib["width"]))
        for rect in ET.fromstring(draw_stack(layout)).iter(f"{SVG}rect")
    }
    left, width = rects["nut"]
    assert left + width == pytest.approx(rects["layer"][0], abs=0.01)


def test_a_sunk_head_lies_inside_its_layer(reference: Reference) -> None:
    layout = laid_out(
        reference,
        """
        {screw: countersunk, thread: M5x0.8, length: 20 mm}
        {layer: steel, thickness: 6 mm}
        {nut: plain}
        """,
    )
    assert layout is not None
    root = ET.fromstring(draw_stack(layout))
    (cone,) = (each for each in root.iter(f"{SVG}path") if each.attrib.get("class") == "metal head")
    begins = float(re.findall(r"[\d.]+", cone.attrib["d"])[0])
    layer = next(each for each in root.iter(f"{SVG}rect") if "layer" in each.attrib["class"])
    assert begins == pytest.approx(float(layer.attrib["x"]), abs=0.01)


def test_words_stay_on_the_sheet_and_styles_out_of_it(reference: Reference) -> None:
    layout = layout_of(reference, STUD, LAYERS)
    svg = draw_stack(layout, need_of(reference, layout))
    assert "style=" not in svg
    for text in ET.fromstring(svg).iter(f"{SVG}text"):
        half = 4.0 * len(text.text or "")
        if "dimension-label" in text.attrib.get("class", ""):
            assert half - 1 <= float(text.attrib["x"]) <= WIDTH - half + 1
