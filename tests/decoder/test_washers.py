"""Washers: against print, against physics, and what the reader refuses."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from itertools import pairwise
from pathlib import Path

import pytest

from decoder.findings import BadDataError
from decoder.paths import reference_root
from decoder.sources import load_sources
from decoder.washers import KINDS, Washer, Washers, load_washers
from tests.bolt_sizes import bolt_mm
from tests.published_values import Published, known_documents, published_lengths

SOURCES = load_sources(reference_root())
WASHERS = load_washers(reference_root(), SOURCES)
PUBLISHED = published_lengths("washers.csv")
MEASURES = [field.name for field in fields(Washer) if field.name.endswith("_mm")]


@dataclass(frozen=True)
class Thread:
    """As much of a thread as a washer asks for."""

    size: str
    family: str
    pitch_mm: float = 1.5


def row_of(published: Published) -> Washer:
    (row,) = (row for row in WASHERS if (row.standard, row.kind, row.series, row.size) == published.item)
    return row


@pytest.mark.parametrize("published", PUBLISHED, ids=str)
def test_a_row_is_what_others_print(published: Published) -> None:
    ours = getattr(row_of(published), f"{published.field}_mm")
    assert ours == pytest.approx(published.value_mm, abs=published.tolerance_mm), published.where


def test_no_published_value_is_from_the_document_its_row_cites() -> None:
    known = {*SOURCES, *known_documents()}
    for published in PUBLISHED:
        assert published.document in known
        assert row_of(published).provenance.document != published.document, published


def test_every_washer_goes_over_its_bolt_and_is_wider_than_it() -> None:
    for row in WASHERS:
        bolt = bolt_mm(row.size)
        hole = row.inside_min_mm or row.inside_mm
        rim = row.outside_max_mm or row.outside_mm
        if hole is not None:
            assert bolt < hole <= bolt * 1.35, row
        if rim is not None:
            assert 1.35 * bolt <= rim <= 4.3 * bolt, row


def test_every_washer_says_something_of_its_thickness() -> None:
    for row in WASHERS:
        thicknesses = [value for value in (row.thickness_min_mm, row.thickness_mm, row.thickness_max_mm) if value]
        assert thicknesses, row
        assert 0.02 <= max(thicknesses) / bolt_mm(row.size) <= 0.5, row


def by_size() -> list[list[Washer]]:
    """Each series of each standard, smallest bolt first; the 3/16 washer is an odd one, larger than that of No. 10."""
    series: dict[tuple[str, str, str], list[Washer]] = {}
    for row in (row for row in WASHERS if row.size != "3/16"):
        series.setdefault((row.standard, row.kind, row.series), []).append(row)
    return [sorted(found, key=lambda row: bolt_mm(row.size)) for found in series.values()]


@pytest.mark.parametrize("measure", MEASURES)
def test_a_larger_bolt_has_no_smaller_washer(measure: str) -> None:
    for series in by_size():
        given = [row for row in series if getattr(row, measure) is not None]
        for smaller, larger in pairwise(given):
            assert getattr(smaller, measure) <= getattr(larger, measure) * 1.001, larger
            # Metal grows in steps, holes and rims with the bolt.
            stepped = any(word in measure for word in ("thickness", "section", "tab"))
            most = bolt_mm(larger.size) / bolt_mm(smaller.size) * (1.5 if stepped else 1.25)
            assert getattr(larger, measure) <= getattr(smaller, measure) * most, larger


def test_holes_keep_to_their_bolt() -> None:
    """The clearance round the bolt is a small, slowly growing share of it."""
    for series in by_size():
        spaces = [
            (row, hole - bolt_mm(row.size))
            for row in series
            if (hole := row.inside_min_mm or row.inside_mm) is not None
        ]
        for (_, smaller), (row, larger) in pairwise(spaces):
            assert larger >= smaller * 0.4, row
            assert larger <= smaller * 2.2 + 0.15, row


def test_american_plain_washers_are_made_in_fractions_to_round_tolerances() -> None:
    steps = {0.0, 0.005, 0.007, 0.008, 0.010, 0.015, 0.030, 0.045}
    for row in WASHERS:
        if (row.standard, row.kind) != ("ASME B18.21.1", "plain"):
            continue
        for basic, low, high in (
            (row.inside_mm, row.inside_min_mm, row.inside_max_mm),
            (row.outside_mm, row.outside_min_mm, row.outside_max_mm),
        ):
            assert basic is not None
            sixty_fourths = basic / 25.4 * 64
            if not row.size.startswith("No."):
                assert sixty_fourths == pytest.approx(round(sixty_fourths), abs=0.04), row
            if low is not None and high is not None:
                assert round((basic - low) / 25.4, 3) in steps, row
                assert round((high - basic) / 25.4, 3) in steps, row


def test_one_gauge_has_one_tolerance() -> None:
    """Plain washers of one basic thickness have the same limits in every size and series."""
    limits: dict[tuple[str, float], set[tuple[float | None, float | None]]] = {}
    for row in WASHERS:
        if row.kind == "plain" and row.thickness_mm and (row.thickness_min_mm or row.thickness_max_mm):
            key = row.standard + row.series.removeprefix("type")[:2], row.thickness_mm
            limits.setdefault(key, set()).add((row.thickness_min_mm, row.thickness_max_mm))
    assert len(limits) > 10
    assert {key: found for key, found in limits.items() if len(found) > 1} == {}


def test_tooth_washers_of_one_size_share_hole_and_gauge() -> None:
    for row in (row for row in WASHERS if row.kind == "internal tooth" and row.standard == "ASME B18.21.1"):
        (other,) = (other for other in WASHERS.for_size(row.size, "external tooth") if other.standard == row.standard)
        assert row.inside_max_mm == other.inside_max_mm
        assert row.inside_min_mm == pytest.approx(other.inside_min_mm, abs=0.16)
        # The two tables are of different editions, which moved thin gauges by two thousandths.
        assert row.thickness_max_mm == pytest.approx(other.thickness_max_mm, abs=0.06)
        assert row.thickness_min_mm == pytest.approx(other.thickness_min_mm, abs=0.09)
        assert row.outside_min_mm is not None
        assert row.outside_max_mm is not None
        assert 0.2 < row.outside_max_mm - row.outside_min_mm < 1.4, row


def test_washers_of_one_bore_agree_between_standards() -> None:
    """ISO 7089, ISO 7093 and the tooth washers of DIN 6797 have one hole a size, DIN 463 nearly so."""
    for row in WASHERS:
        if row.standard in {"ISO 7093", "DIN 6797"} and bolt_mm(row.size) < 18:
            (normal,) = (other for other in WASHERS.for_size(row.size, "plain") if other.standard == "ISO 7089")
            assert row.inside_min_mm == normal.inside_min_mm, row
        if row.standard in {"DIN 432", "DIN 463"}:
            (normal,) = (other for other in WASHERS.for_size(row.size, "plain") if other.standard == "ISO 7089")
            assert row.inside_mm == pytest.approx(normal.inside_min_mm, abs=0.51), row


def test_a_spring_washer_is_two_section_widths_wider_than_its_hole() -> None:
    compared = 0
    for row in WASHERS:
        if row.kind == "spring" and row.inside_min_mm and row.outside_max_mm and row.section_width_mm:
            assert row.outside_max_mm >= row.inside_min_mm + 2 * row.section_width_mm - 0.05, row
            compared += 1
    assert compared > 30


def rim_room_mm(row: Washer) -> float | None:
    """What the outside leaves over bore and twice the section, [mm]; the bore's greatest where the source has it."""
    bore = row.inside_max_mm or row.inside_min_mm
    if row.kind != "spring" or bore is None or row.outside_max_mm is None or row.section_width_mm is None:
        return None
    return row.outside_max_mm - bore - 2 * row.section_width_mm


def test_spring_washers_of_one_bolt_leave_one_room_round_the_section() -> None:
    """The wire's tolerance goes by the bolt, not by the series: regular, heavy and high collar have the same."""
    rooms: dict[str, set[int]] = {}
    for row in WASHERS:
        room = rim_room_mm(row)
        if room is not None and row.standard == "ASME B18.21.1":
            rooms.setdefault(row.size, set()).add(round(room / 0.0254))
            assert 0.029 * bolt_mm(row.size) <= room <= 0.06 * bolt_mm(row.size), row
    assert len(rooms) > 10
    for size, found in rooms.items():
        assert len(found) == 1, size
    by_bolt = [min(found) for _, found in sorted(rooms.items(), key=lambda item: bolt_mm(item[0]))]
    assert all(smaller - 1 <= larger <= smaller + 12 for smaller, larger in pairwise(by_bolt))


def test_metric_spring_washers_leave_room_by_steps() -> None:
    """DIN 127 sums the tolerances of bore and wire: a step of 0.1 to 0.3 mm at times, and never back."""
    rooms = [
        (row, round(room, 3))
        for row in sorted(WASHERS, key=lambda row: bolt_mm(row.size))
        if row.standard == "DIN 127" and (room := rim_room_mm(row)) is not None
    ]
    assert len(rooms) == 18
    assert rooms[0][1] == 0.5
    for (_, smaller), (row, larger) in pairwise(rooms):
        assert round(larger - smaller, 3) in {0.0, 0.1, 0.2, 0.3}, row


def test_wider_series_are_wider() -> None:
    def rim(series: str, size: str) -> float:
        (row,) = (row for row in WASHERS if (row.series, row.size, row.kind) == (series, size, "plain"))
        return row.outside_mm or 0.0

    for size in ("1/4", "5/16", "3/8", "1/2", "5/8"):
        assert rim("type A narrow", size) < rim("type A wide", size)
        assert rim("type B narrow", size) < rim("type B regular", size) < rim("type B wide", size)


def test_a_washer_goes_by_the_diameter_of_its_bolt() -> None:
    for family in ("UNF", "BSF", "BSW", "BSC"):
        assert WASHERS.for_thread(Thread("1/4", family)) == WASHERS.for_size("1/4")
    assert {row.standard for row in WASHERS.for_thread(Thread("M8", "M"), "spring")} == {"DIN 127"}
    assert WASHERS.for_thread(Thread("6", "BA")) == ()
    assert WASHERS.for_size("No. 6") != ()
    assert {row.kind for row in WASHERS} == set(KINDS)


GOOD = (
    "standard,kind,series,size,inside_in,inside_min_in,inside_max_in,outside_in,outside_min_in,outside_max_in,"
    "thickness_in,thickness_min_in,thickness_max_in,section_width_in,tab_width_in,tab_length_in,note,"
    "basis,document,where\n"
    "ASME B18.21.1,plain,type A narrow,1/4,0.281,0.276,0.296,0.625,0.620,0.640,0.065,0.051,0.080,,,,,"
    "basic,from memory,\n"
)


def load_changed(folder: Path, change: Callable[[str], str]) -> Washers:
    (folder / "reference").mkdir()
    (folder / "reference" / "washers_inch.csv").write_text(change(GOOD), encoding="utf-8")
    (folder / "reference" / "washers_metric.csv").write_text(GOOD.replace("_in", "_mm"), encoding="utf-8")
    return load_washers(folder, ())


def test_the_good_row_is_accepted(tmp_path: Path) -> None:
    assert load_changed(tmp_path, lambda text: text)[0].outside_mm == pytest.approx(15.875)


@pytest.mark.parametrize(
    ("old", "new", "field", "words"),
    [
        ("0.276,0.296", "0.286,0.296", "inside_min_in", "no more than inside_in, 0.281"),
        ("0.051,0.080", "0.080,0.051", "thickness_min_in", "no more than thickness_in, 0.065"),
        ("0.281,0.276,0.296,0.625", "0.681,0.676,0.696,0.625", "inside_max_in", "less than outside_min_in, 0.620"),
        (",plain,", ",flat,", "kind", "expected one of external tooth, internal tooth, plain, spring, tab"),
        (",1/4,", ",,", "size", "found an empty cell"),
    ],
)
def test_a_bad_row_is_refused_where_it_stands(tmp_path: Path, old: str, new: str, field: str, words: str) -> None:
    assert old in GOOD
    with pytest.raises(BadDataError) as caught:
        load_changed(tmp_path, lambda text: text.replace(old, new, 1))
    (finding,) = caught.value.findings
    assert finding.file == f"{tmp_path.name}/reference/washers_inch.csv"
    assert (finding.line, finding.field) == (2, field)
    assert words in str(finding)


def test_coarse_and_fine_made_metric_washers_share_their_outside() -> None:
    """ISO 7089 and 7091 differ in grade, holes and tolerance, and are stamped to one width."""
    compared = 0
    for row in WASHERS:
        if row.standard == "ISO 7091":
            for twin in WASHERS.for_size(row.size, "plain"):
                if twin.standard == "ISO 7089" and twin.series == "normal":
                    assert row.outside_max_mm == twin.outside_max_mm, row
                    compared += 1
    assert compared >= 10
