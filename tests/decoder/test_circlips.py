"""Circlips: against print, against how rings must be made, and what the reader refuses."""

from __future__ import annotations

import shutil
from dataclasses import fields
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from decoder.circlips import KINDS, Circlip, load_circlips
from decoder.drawings.circlips import circlip
from decoder.findings import BadDataError
from decoder.paths import reference_root
from decoder.quantities import format_mm
from decoder.sources import load_sources
from tests.published_values import Published, known_documents, published_lengths

SOURCES = load_sources(reference_root())
CIRCLIPS = load_circlips(reference_root(), SOURCES)
PUBLISHED = published_lengths("circlips.csv")

#: Strip that rings are stamped from, by standard, [mm]; inch gauges in thousandths.
STRIP = {
    "mm": {0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.5, 1.75, 2.0, 2.5, 3.0},
    "in": {round(mils * 0.0254, 4) for mils in (10, 15, 20, 25, 35, 42, 50, 62, 78)},
}


def ring_of(published: Published) -> Circlip:
    (ring,) = (ring for ring in CIRCLIPS.rings if (ring.standard, ring.kind, ring.size) == published.item)
    return ring


@pytest.mark.parametrize("published", PUBLISHED, ids=str)
def test_a_ring_is_what_others_print(published: Published) -> None:
    ring = ring_of(published)
    if published.field == "groove_width":
        assert ring.groove is not None
        ours = ring.groove.width_mm
    else:
        ours = getattr(ring, f"{published.field}_mm")
    assert ours == pytest.approx(published.value_mm, abs=published.tolerance_mm), published.where


def test_no_published_value_is_from_the_document_its_row_cites() -> None:
    known = {*SOURCES, *known_documents()}
    for published in PUBLISHED:
        ring = ring_of(published)
        row = ring.groove if published.field == "groove_width" else ring
        assert row is not None
        assert published.document in known
        assert row.provenance.document != published.document, published


def series() -> list[list[Circlip]]:
    """Each kind of each standard, smallest first; one E-clip of several for a shaft has no order of its own."""
    found: dict[tuple[str, str], list[Circlip]] = {}
    for ring in CIRCLIPS.rings:
        if ring.standard != "MS16633":
            found.setdefault((ring.standard, ring.kind), []).append(ring)
    return [sorted(rings, key=lambda ring: ring.on_mm) for rings in found.values()]


def depth_mm(ring: Circlip) -> float:
    """Depth of the groove, [mm], twice: on the diameter. Ranges have no one depth."""
    return abs(ring.groove_mm - ring.on_mm)


def grip_mm(ring: Circlip) -> float | None:
    """How far the ring is sprung out of its loose shape once in its groove, on the diameter, [mm]."""
    return None if ring.free_mm is None else abs(ring.free_mm - ring.groove_mm)


def test_rings_are_stamped_from_stock_strip_and_thicker_on_larger_shafts() -> None:
    for ring in CIRCLIPS.rings:
        assert round(ring.thickness_mm, 4) in STRIP[ring.unit], ring
    for rings in series():
        for smaller, larger in pairwise(rings):
            assert smaller.thickness_mm <= larger.thickness_mm, larger


def test_grooves_get_deeper_with_the_shaft_by_steps() -> None:
    for rings in series():
        if rings[0].on_max_mm is not None:
            continue
        # Inch grooves are rounded to thousandths: two neighbours may lie two apart either way.
        slack = 0.06 if rings[0].unit == "in" else 1e-6
        # The crescent of 1-3/16 has a deep groove, and a loose ring as much smaller.
        for smaller, larger in pairwise([ring for ring in rings if ring.size != "1-3/16" or ring.kind != "crescent"]):
            assert depth_mm(larger) >= depth_mm(smaller) - slack, larger
            assert depth_mm(larger) <= depth_mm(smaller) * 1.45 + 0.101 + slack, larger


def test_metric_rings_grip_as_the_next_size_does() -> None:
    for rings in series():
        grips = [(ring, grip) for ring in rings if (grip := grip_mm(ring)) is not None and ring.unit == "mm"]
        for (_, smaller), (ring, larger) in pairwise(grips):
            if ring.standard == "JIS B 2804" and ring.on_mm <= 14:
                continue  # 11.1 inside at 12 mm, where the neighbours have a tenth more grip
            assert smaller - 1e-6 <= larger <= smaller + 0.51, ring


def test_inch_rings_grip_by_a_small_share_of_their_shaft() -> None:
    for ring in CIRCLIPS.rings:
        grip = grip_mm(ring)
        if ring.unit == "in" and grip is not None:
            # Loose on no shaft; and a ring sprung by more than a twentieth, or a sixth of a small one, stays bent.
            assert 0.0009 * 25.4 <= grip <= max(0.056 * ring.on_mm, 0.006 * 25.4), ring


def test_what_is_pushed_on_from_the_side_takes_the_room_its_size_asks_for() -> None:
    for ring in CIRCLIPS.rings:
        if ring.kind == "crescent":
            assert 1.11 <= (ring.outside_mm or 0) / ring.on_mm <= 1.32, ring
        if ring.kind == "E-clip":
            # Inch ones come in widths of choice, up to more than thrice the smallest shafts.
            least, most = (1.7, 2.9) if ring.unit == "mm" else (1.45, 4.8)
            assert least <= (ring.outside_mm or 0) / ring.groove_mm <= most, ring
    for rings in series():
        rooms = [(ring, ring.outside_mm) for ring in rings if ring.outside_mm is not None]
        for (_, smaller), (ring, larger) in pairwise(rooms):
            assert smaller < larger, ring


def test_e_clips_serve_shafts_a_little_larger_than_their_groove() -> None:
    for ring in CIRCLIPS.rings:
        if ring.on_max_mm is not None:
            assert 1.03 <= ring.on_mm / ring.groove_mm <= 1.4, ring
            assert 1.2 <= ring.on_max_mm / ring.groove_mm <= 1.76, ring
        elif ring.kind == "E-clip":
            assert 1.09 <= ring.on_mm / ring.groove_mm <= 1.56, ring


#: Metal left beyond the groove, [in], that the handbook's page prints beside inch rings for bores: three depths of it.
MARGIN_IN = {
    "1-1/8": 0.108,
    "1.181": 0.111,
    "1-3/16": 0.111,
    "1-1/4": 0.120,
    "1.259": 0.120,
    "1-5/16": 0.126,
    "1-3/8": 0.129,
    "1.378": 0.129,
    "1-7/16": 0.135,
    "1.456": 0.138,
    "1-1/2": 0.141,
    "1-9/16": 0.144,
    "1.575": 0.144,
    "1-5/8": 0.150,
    "1.653": 0.153,
    "1-11/16": 0.156,
    "1-3/4": 0.162,
    "1-13/16": 0.165,
    "1.850": 0.168,
    "1-7/8": 0.171,
    "1-15/16": 0.177,
    "2": 0.183,
    "2.047": 0.186,
    "2-1/16": 0.186,
}


def test_grooves_are_a_third_of_the_margin_printed_beside_them() -> None:
    """Not another document, but another column: a digit read wrongly in one does not fit the other."""
    rings = {ring.size: ring for ring in CIRCLIPS.rings if ring.standard == "inch series"}
    assert rings.keys() == MARGIN_IN.keys()
    for size, margin in MARGIN_IN.items():
        depth = (rings[size].groove_mm - rings[size].on_mm) / 25.4 / 2
        assert margin / 3 == pytest.approx(depth, abs=0.0011), size


def test_crescents_keep_their_proportions() -> None:
    """From 1/2 in up the groove is nine tenths of the shaft; the rim thins to a quarter of the groove at 3/4 in."""
    crescents = sorted((ring for ring in CIRCLIPS.rings if ring.kind == "crescent"), key=lambda ring: ring.on_mm)
    rims = []
    for ring in crescents:
        assert ring.outside_mm is not None
        assert ring.free_mm is not None
        if ring.size == "1-3/16":
            continue  # the one with the deep groove
        rims.append((ring, (ring.outside_mm - ring.groove_mm) / ring.groove_mm))
        if ring.on_mm >= 12.7:
            assert ring.groove_mm / ring.on_mm == pytest.approx(0.9, abs=0.0025), ring
            assert ring.free_mm / ring.on_mm == pytest.approx(0.8865, abs=0.005), ring
    for (_, smaller), (ring, larger) in pairwise(rims):
        assert smaller * 0.87 - 0.002 <= larger <= smaller + 0.002, ring
        if ring.on_mm >= 19:
            assert larger == pytest.approx(0.252, abs=0.003), ring


def test_a_groove_is_wider_than_its_ring_by_what_the_standard_allows() -> None:
    for groove in CIRCLIPS.grooves:
        allowed = {
            "DIN 471": (0.1, 0.15),
            "DIN 472": (0.1, 0.15),
            "JIS B 2804": (0.15, 0.2),
        }.get(groove.standard, (0.002 * 25.4, 0.008 * 25.4))
        assert allowed[0] - 1e-3 <= groove.width_mm - groove.thickness_mm <= allowed[1] + 1e-3, groove


def test_standards_that_share_a_strip_share_its_groove() -> None:
    widths: dict[tuple[bool, float], set[float]] = {}
    for groove in CIRCLIPS.grooves:
        if groove.standard != "JIS B 2804":
            widths.setdefault((groove.standard.startswith("DIN"), groove.thickness_mm), set()).add(groove.width_mm)
    for strip, found in widths.items():
        assert len(found) == 1, strip


def test_every_lugged_ring_knows_its_groove() -> None:
    for ring in CIRCLIPS.rings:
        assert (ring.groove is None) == (ring.standard == "DIN 6799"), ring


def test_a_groove_names_the_rings_that_fit_it() -> None:
    named = {(ring.standard, ring.size) for ring in CIRCLIPS.in_groove(19.0, 1.3, 0.02)}
    assert ("DIN 471", "20") in named
    assert ("DIN 472", "18") in named  # 18 mm bore: the same groove diameter, a thinner ring
    assert not CIRCLIPS.in_groove(19.0, 5.0, 0.02)
    assert not CIRCLIPS.in_groove(19.0, 0.5, 0.02)


def test_every_kind_is_met() -> None:
    assert {ring.kind for ring in CIRCLIPS.rings} == set(KINDS)
    assert {field.name for field in fields(Circlip)} >= {"groove_mm", "thickness_mm", "free_mm"}


@pytest.mark.parametrize("kind", KINDS)
def test_a_drawing_says_what_names_the_ring(kind: str) -> None:
    ring = next(ring for ring in CIRCLIPS.rings if ring.kind == kind)
    drawn = ElementTree.fromstring(circlip(ring))
    words = " ".join(text for text in drawn.itertext())
    assert format_mm(ring.groove_mm) in words
    assert f"{'bore' if kind == 'bore' else 'shaft'} {format_mm(ring.on_mm)}" in words
    assert not drawn.findall(".//*[@style]")


@pytest.mark.parametrize(
    ("old", "new", "column"),
    [
        ("DIN 471,shaft,20,20,,1.2,18.5,,19,", "DIN 471,shaft,20,20,,1.2,18.5,,20.5,", "groove_mm"),
        ("DIN 471,shaft,20,20,,1.2,18.5,,19,", "DIN 471,shaft,20,20,,1.2,19.5,,19,", "free_mm"),
        ("DIN 471,shaft,20,20,,1.2,18.5,,19,", "DIN 471,shaft,20.5,20,,1.2,18.5,,19,", "size"),
        ("DIN 471,shaft,20,20,,1.2,18.5,,19,", "DIN 471,shaft,20,20,,0.2,18.5,,19,", "thickness_mm"),
        ("DIN 471,shaft,20,20,,1.2,18.5,,19,", "DIN 471,hole,20,20,,1.2,18.5,,19,", "kind"),
        ("DIN 472,bore,20,20,,1,21.5,,21,", "DIN 472,bore,20,20,,1,20.5,,21,", "groove_mm"),
    ],
)
def test_a_ring_that_cannot_be_is_refused(tmp_path: Path, old: str, new: str, column: str) -> None:
    shutil.copytree(reference_root() / "reference", tmp_path / "reference")
    table = tmp_path / "reference" / "circlips_metric.csv"
    text = table.read_text(encoding="utf-8")
    assert old in text
    table.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(BadDataError) as error:
        load_circlips(tmp_path, SOURCES)
    (finding,) = error.value.findings
    assert finding.field == column
    assert finding.file.endswith("circlips_metric.csv")
    assert finding.fix
