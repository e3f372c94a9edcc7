"""Hexagons: against print, against physics, and the ways a naive table goes wrong."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pytest

from decoder.findings import BadDataError
from decoder.hexagons import Hexagon, Hexagons, load_hexagons
from decoder.paths import reference_root
from decoder.sources import load_sources
from tests.published_values import Published, known_documents, published_lengths

SOURCES = load_sources(reference_root())
HEXAGONS = load_hexagons(reference_root(), SOURCES)
PUBLISHED = published_lengths("hexagons.csv")
MM_PER_INCH = 25.4


@dataclass(frozen=True)
class Thread:
    """As much of a thread as a hexagon asks for."""

    size: str
    family: str


def rows(standard: str, product: str, size: str) -> list[Hexagon]:
    return [row for row in HEXAGONS if (row.standard, row.product, row.size) == (standard, product, size)]


def row_of(published: Published) -> Hexagon:
    standard, product, size = published.item
    wanted, _, width = size.partition(" (")
    found = rows(standard, product, wanted)
    if width:
        found = [row for row in found if row.across_flats_mm == float(width.removesuffix(" mm)"))]
    assert len({row.across_flats_mm for row in found}) == 1, f"{published}: {len(found)} rows"
    return found[0]


@pytest.mark.parametrize("published", PUBLISHED, ids=str)
def test_a_row_is_what_others_print(published: Published) -> None:
    row = row_of(published)
    ours = getattr(row, f"{published.field}_mm")
    assert ours == pytest.approx(published.value_mm, abs=published.tolerance_mm), published.where


def test_no_published_value_is_from_the_document_its_row_cites() -> None:
    known = {*SOURCES, *known_documents()}
    for published in PUBLISHED:
        assert published.document in known
        assert row_of(published).provenance.document != published.document, published


# Physics


def test_minimum_nominal_and_maximum_are_in_order() -> None:
    rounding_mm = 0.0006 * MM_PER_INCH
    for row in HEXAGONS:
        for nominal, low, high in (
            (row.across_flats_mm, row.across_flats_min_mm, row.across_flats_max_mm),
            (row.height_mm, row.height_min_mm, row.height_max_mm),
            (None, row.across_corners_min_mm, row.across_corners_max_mm),
        ):
            given = [value for value in (low, nominal, high) if value is not None]
            assert all(a <= b + rounding_mm for a, b in pairwise(given)), row


def test_the_widest_corners_are_flats_by_two_over_root_three() -> None:
    for row in HEXAGONS:
        if row.across_corners_max_mm is None:
            continue
        # BS 1083 prints corners to a hundredth of an inch.
        assert row.across_corners_max_mm == pytest.approx(row.sharp_corners_mm, rel=0.004, abs=0.13), row


def test_the_least_corners_leave_a_hexagon_to_turn() -> None:
    for row in HEXAGONS:
        if row.across_corners_min_mm is None or row.across_flats_min_mm is None:
            continue
        ratio = row.across_corners_min_mm / row.across_flats_min_mm
        low, high = (1.11, 2 / math.sqrt(3)) if row.outline == "hexagon" else (1.36, math.sqrt(2))
        assert low <= ratio <= high + 0.002, row


def inch_or_mm(size: str) -> float | None:
    """Bolt diameter of a fractional or M size, [mm]; None for sizes that go by number."""
    if size.startswith("M"):
        return float(size[1:])
    if size.startswith("No.") or (size.isdecimal() and size != "1"):
        return None
    whole, _, fraction = size.rpartition("-")
    top, _, bottom = fraction.partition("/")
    return (int(whole or 0) + int(top) / int(bottom or 1)) * MM_PER_INCH


def test_heads_and_nuts_keep_the_proportions_of_their_bolt() -> None:
    for row in HEXAGONS:
        diameter = None if "BA" in row.families else inch_or_mm(row.size)
        if diameter is None or row.part not in ("bolt", "nut"):
            continue
        assert 1.2 <= row.across_flats_mm / diameter <= 2.75, row
        height = row.height_max_mm or row.height_mm
        if height is None:
            continue
        # A flange, an insert or a castle stands above the hexagon itself, and thick nuts are made on purpose.
        tall = any(word in row.product for word in ("flange", "insert", "castle", "high", "thick"))
        most = 1.6 if tall else 1.02
        assert 0.3 <= height / diameter <= most, row


def test_a_thin_nut_is_thinner_than_its_full_nut() -> None:
    for thin, full in (
        (("ASME B18.2.2", "hexagon jam nut"), ("ASME B18.2.2", "hexagon nut")),
        (("BS 1083", "hexagon lock nut"), ("BS 1083", "hexagon nut")),
        (("BS 1768", "hexagon lock nut"), ("BS 1768", "hexagon nut")),
        (("ISO 4035", "thin hexagon nut"), ("ISO 4032", "hexagon nut")),
    ):
        compared = 0
        for row in HEXAGONS:
            if (row.standard, row.product) == thin:
                for other in rows(*full, row.size):
                    assert row.height_max_mm is not None
                    assert other.height_max_mm is not None
                    assert row.height_max_mm < other.height_max_mm, row
                    compared += 1
        assert compared > 5


def test_whitworth_of_the_large_series_is_one_spanner_size_up() -> None:
    steps = {"1/4": "5/16", "5/16": "3/8", "3/8": "7/16", "7/16": "1/2"}
    for large, small in steps.items():
        (before,), (after,) = rows("BS 190", "hexagon nut", large), rows("BS 1083", "hexagon nut", small)
        assert before.across_flats_mm == pytest.approx(after.across_flats_mm, abs=0.01)


# Ways a naive table goes wrong


def test_a_basic_width_is_not_the_middle_of_its_limits() -> None:
    """A 1/4 in nut has 7/16 in flats, 11.11 mm; the middle of its limits, 11.0 mm, would be called an 11 mm nut."""
    (row,) = rows("ASME B18.2.2", "hexagon nut", "1/4")
    assert row.across_flats_mm == pytest.approx(7 / 16 * MM_PER_INCH)
    assert row.across_flats_min_mm is not None
    assert row.across_flats_max_mm is not None
    assert (row.across_flats_min_mm + row.across_flats_max_mm) / 2 == pytest.approx(11.0, abs=0.01)
    assert row.provenance.basis == "basic"


@pytest.mark.parametrize(("size", "head_in", "nut_in"), [("7/16", 5 / 8, 11 / 16), ("9/16", 13 / 16, 7 / 8)])
def test_a_bolt_head_and_its_nut_differ(size: str, head_in: float, nut_in: float) -> None:
    thread = Thread(size, "UNF")
    heads = [row for row in HEXAGONS.for_thread(thread, "bolt") if row.product == "hexagon cap screw"]
    nuts = [row for row in HEXAGONS.for_thread(thread, "nut") if row.standard == "ASME B18.2.2"]
    (head,) = heads
    (nut,) = (row for row in nuts if row.product == "hexagon nut")
    assert head.across_flats_mm == pytest.approx(head_in * MM_PER_INCH, abs=0.001)
    assert nut.across_flats_mm == pytest.approx(nut_in * MM_PER_INCH, abs=0.001)


def test_machine_screw_nuts_are_a_series_of_their_own() -> None:
    plain, machine = rows("ASME B18.2.2", "hexagon nut", "5/16"), rows("ASME B18.6.3", "machine-screw nut", "5/16")
    assert machine[0].across_flats_mm - plain[0].across_flats_mm == pytest.approx(1 / 16 * MM_PER_INCH)


@pytest.mark.parametrize(
    ("across_flats_mm", "sizes"),
    [
        (15.75, {"7/16", "M10"}),  # 5/8 in and 16 mm
        (18.95, {"1/2", "M12"}),  # 3/4 in and 19 mm
        (21.95, {"9/16", "M14"}),  # 7/8 in and 22 mm
        (23.75, {"5/8", "M16"}),  # 15/16 in and 24 mm
    ],
)
def test_one_width_answers_to_inch_and_metric_threads_alike(across_flats_mm: float, sizes: set[str]) -> None:
    assert {row.size for row in HEXAGONS.at(across_flats_mm)} >= sizes


def test_ten_millimetre_bolts_come_with_five_widths() -> None:
    widths = {row.across_flats_mm for row in HEXAGONS.for_thread(Thread("M10", "M")) if row.part in ("bolt", "nut")}
    assert widths >= {13, 14, 15, 16, 17}


def test_flats_alone_never_fix_a_thread() -> None:
    """Whatever common width is measured, at least two threads of different families answer to it."""
    for across_flats_mm in (8.0, 10.0, 11.1, 12.7, 13.0, 14.3, 15.9, 17.0, 19.0, 20.7, 22.2, 24.0):
        reached = HEXAGONS.at(across_flats_mm, 0.2)
        assert len({(row.size, family) for row in reached for family in row.families}) >= 3
        assert len({row.standard for row in reached}) >= 2


def test_the_nearest_nominal_comes_first() -> None:
    reached = HEXAGONS.at(13.0, 0.4)
    distances = [abs(row.across_flats_mm - 13.0) for row in reached]
    assert distances == sorted(distances)
    assert all(row.outline == "hexagon" for row in reached)
    assert {row.outline for row in HEXAGONS.at(12.7, outline="square")} == {"square"}


def test_a_wider_tolerance_never_loses_a_row() -> None:
    assert set(HEXAGONS.at(16.0, 0.1)) <= set(HEXAGONS.at(16.0, 0.5))


def test_british_threads_find_both_their_series() -> None:
    quarter = HEXAGONS.for_thread(Thread("1/4", "BSW"), "bolt")
    assert {row.standard for row in quarter} == {"BS 1083", "BS 190"}
    assert {row.standard for row in HEXAGONS.for_thread(Thread("1/4", "BSF"), "bolt")} == {"BS 1083"}


def test_unknown_threads_have_no_hexagon() -> None:
    assert HEXAGONS.for_thread(Thread("9/64", "UNC")) == ()


# Rows that are refused

GOOD = (
    "standard,product,part,outline,size,families,across_flats_in,across_flats_min_in,across_flats_max_in,"
    "across_corners_min_in,across_corners_max_in,height_in,height_min_in,height_max_in,era,note,basis,document,where\n"
    "BS 1083,hexagon bolt,bolt,hexagon,1/4,BSW BSF,0.445,0.438,0.445,,0.51,,0.166,0.176,,,maximum,from memory,\n"
)


def load_changed(folder: Path, change: Callable[[str], str]) -> Hexagons:
    """Load tables of one good row each, the British one changed."""
    (folder / "reference").mkdir()
    metric = GOOD.replace("_in", "_mm")
    for file in sorted(reference_root().glob("reference/hexagons_*.csv")):
        header = file.read_text(encoding="utf-8").partition("\n")[0]
        text = GOOD if "_in" in header else metric
        (folder / "reference" / file.name).write_text(
            change(text) if file.name == "hexagons_british.csv" else text, encoding="utf-8"
        )
    return load_hexagons(folder, ())


def test_the_good_row_is_accepted(tmp_path: Path) -> None:
    assert len(load_changed(tmp_path, lambda text: text)) == len(list(reference_root().glob("reference/hexagons_*")))


@pytest.mark.parametrize(
    ("old", "new", "field", "words"),
    [
        ("0.445,0.438,0.445", "0.445,0.483,0.445", "across_flats_min_in", "found '0.483', expected no more than"),
        ("0.166,0.176", "0.176,0.166", "height_min_in", "found '0.176', expected no more than height_max_in, 0.166"),
        (",0.51,", ",0.61,", "across_corners_max_in", "which its flats allow"),
        (",0.51,", ",0.41,", "across_corners_max_in", "compare corners and flats with the source"),
        (",bolt,hexagon", ",stud,hexagon", "part", "found 'stud', expected one of bleed screw, bolt"),
        ("0.445,0.438", "7/16,0.438", "across_flats_in", "found '7/16', expected a decimal number"),
        ("0.445,0.438", ",0.438", "across_flats_in", "found an empty cell"),
        ("maximum,from memory,", "middle,from memory,", "basis", "say how the value stands in its source"),
        ("from memory,", "some book,p. 1", "document", "name the source, or add a file for it"),
    ],
)
def test_a_bad_row_is_refused_where_it_stands(tmp_path: Path, old: str, new: str, field: str, words: str) -> None:
    assert old in GOOD
    with pytest.raises(BadDataError) as caught:
        load_changed(tmp_path, lambda text: text.replace(old, new, 1))
    (finding,) = caught.value.findings
    assert finding.file == f"{tmp_path.name}/reference/hexagons_british.csv"
    assert (finding.line, finding.field) == (2, field)
    assert words in str(finding)
    assert finding.fix


def test_a_repeated_row_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadDataError, match="again, first on line 2"):
        load_changed(tmp_path, lambda text: text + text.splitlines()[1] + "\n")


def test_mistakes_of_several_tables_are_reported_together(tmp_path: Path) -> None:
    load_changed(tmp_path, lambda text: text)
    for name in ("hexagons_british.csv", "hexagons_iso.csv"):
        file = tmp_path / "reference" / name
        file.write_text(file.read_text(encoding="utf-8").replace("0.445,0.438", "x,0.438"), encoding="utf-8")
    with pytest.raises(BadDataError) as caught:
        load_hexagons(tmp_path, ())
    assert {finding.file.rpartition("/")[2] for finding in caught.value.findings} == {
        "hexagons_british.csv",
        "hexagons_iso.csv",
    }
