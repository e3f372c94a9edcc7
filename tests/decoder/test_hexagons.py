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
from decoder.threads import load_threads
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
    pitch_mm: float = 1.5


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


def by_size() -> list[list[Hexagon]]:
    """Each product of each standard, smallest bolt first; a size that is made in two widths appears with the first."""
    series: dict[tuple[str, str], dict[float, Hexagon]] = {}
    for row in HEXAGONS:
        # Wheel nuts go by the maker of the wheel, not by the size of the stud.
        if row.part not in ("bolt", "nut") or row.standard == "wheel practice":
            continue
        numbered = row.size.startswith("No.")
        if "BA" in row.families:
            diameter = -float(row.size)
        else:
            known = float(row.size[4:]) if numbered else inch_or_mm(row.size)
            assert known is not None, row
            diameter = known
        key = row.standard, f"{row.product}, numbered" if numbered else row.product
        series.setdefault(key, {}).setdefault(diameter, row)
    return [[found[diameter] for diameter in sorted(found)] for found in series.values()]


@pytest.mark.parametrize("measure", ["across_flats", "across_corners", "height"])
def test_a_larger_bolt_has_no_smaller_head(measure: str) -> None:
    for series in by_size():
        for which in ("_min_mm", "_mm", "_max_mm"):
            if measure + which == "across_corners_mm":
                continue
            given = [row for row in series if getattr(row, measure + which) is not None]
            for smaller, larger in pairwise(given):
                # Jam nuts of 1/2 and 9/16 have one basic thickness, and limits a thousandth apart.
                assert getattr(smaller, measure + which) <= getattr(larger, measure + which) + 0.03, larger


@pytest.mark.parametrize(("measure", "rounding_mm"), [("across_flats", 0.07), ("across_corners", 0.1), ("height", 0.1)])
def test_tolerances_do_not_shrink_as_sizes_grow(measure: str, rounding_mm: float) -> None:
    for series in by_size():
        limits = ((row, getattr(row, f"{measure}_min_mm"), getattr(row, f"{measure}_max_mm")) for row in series)
        widths = [(row, high - low) for row, low, high in limits if low is not None and high is not None]
        for (_, smaller), (row, larger) in pairwise(widths):
            assert smaller <= larger + rounding_mm, row
            assert larger <= 2.6 * smaller + rounding_mm, row


#: Products of one standard that are cut from the same bar.
SAME_BAR = (
    ("BS 1083", ("hexagon bolt", "hexagon nut", "hexagon lock nut", "slotted hexagon nut", "castle nut")),
    ("BS 1768", ("hexagon nut", "thick hexagon nut", "hexagon lock nut", "slotted hexagon nut")),
    ("BS 1768", ("slotted hexagon nut", "thick slotted hexagon nut")),
    ("ASME B18.2.2", ("hexagon nut", "hexagon jam nut", "slotted hexagon nut")),
    ("SAE J482", ("high hexagon nut", "slotted high hexagon nut")),
    ("BS 57", ("hexagon bolt", "hexagon nut")),
    ("BS 190", ("hexagon bolt", "hexagon nut")),
    ("Whitworth, before BS 190", ("hexagon bolt", "hexagon nut")),
    ("cycle practice", ("hexagon bolt", "hexagon nut")),
)


@pytest.mark.parametrize(("standard", "products"), SAME_BAR)
def test_products_of_one_bar_share_their_flats_and_corners(standard: str, products: tuple[str, ...]) -> None:
    for size in {row.size for row in HEXAGONS if row.standard == standard and row.product in products}:
        bars = {
            (
                row.across_flats_mm,
                row.across_flats_min_mm,
                row.across_flats_max_mm,
                row.across_corners_min_mm,
                row.across_corners_max_mm,
            )
            for product in products
            for row in rows(standard, product, size)
        }
        assert len(bars) == 1, (standard, size)


def test_standards_that_share_their_bar_agree() -> None:
    """The high nuts of SAE J482 have the flats of the plain nut; ISO nuts and bolts take their widths from ISO 272."""
    for row in HEXAGONS:
        if row.standard == "SAE J482":
            (plain,) = rows("ASME B18.2.2", "hexagon nut", row.size)
            assert (row.across_flats_mm, row.across_flats_min_mm) == (plain.across_flats_mm, plain.across_flats_min_mm)
            assert row.across_corners_max_mm == plain.across_corners_max_mm
            assert row.across_corners_min_mm == plain.across_corners_min_mm
    widths = {row.size: row.across_flats_mm for row in HEXAGONS if row.standard == "ISO 4032"}
    same = {"ISO 4014", "ISO 4017", "ISO 4033", "ISO 4035", "ISO 4036", "ISO 7040", "EN 1665", "DIN 1587"}
    old = {row.size: row.across_flats_mm for row in HEXAGONS if row.standard == "BS 3692"}
    same_old = {"DIN 931", "DIN 934", "DIN 985", "DIN 557"}
    small = {row.size: row.across_flats_mm for row in HEXAGONS if row.product == "small hexagon bolt"}
    for row in HEXAGONS:
        if row.standard in same and row.size in widths:
            assert row.across_flats_mm == widths[row.size], row
        regular_japanese = (row.standard, row.product) == ("JIS B 1180", "hexagon bolt")
        if (row.standard in same_old or regular_japanese) and row.size in old:
            assert row.across_flats_mm == old[row.size], row
        if row.product == "small hexagon nut":
            assert row.across_flats_mm == small[row.size], row


def test_american_basic_sizes_are_fractions() -> None:
    american = {"ASME B18.2.1", "ASME B18.2.2", "ASME B18.6.3", "SAE J482", "United States Standard"}
    for row in HEXAGONS:
        if row.standard in american:
            for value in (row.across_flats_mm, row.height_mm):
                if value is not None:
                    sixty_fourths = value / MM_PER_INCH * 64
                    assert sixty_fourths == pytest.approx(round(sixty_fourths), abs=0.002), row


def test_american_nut_heights_stand_between_their_limits() -> None:
    """ASME B18.2.2 puts the basic height midway."""
    for row in HEXAGONS:
        if row.standard in {"ASME B18.2.2", "SAE J482"} and row.height_mm and row.height_min_mm and row.height_max_mm:
            middle = (row.height_min_mm + row.height_max_mm) / 2
            assert row.height_mm == pytest.approx(middle, abs=0.0016 * MM_PER_INCH), row


def test_least_corners_follow_the_rule_of_their_standard() -> None:
    """ASME B18.2.2 asks for 1.14 of the least flats (1.373 on a square), ISO 4759-1 for 1.13, flanged heads 1.12."""
    for row in HEXAGONS:
        if row.across_corners_min_mm is None or row.across_flats_min_mm is None:
            continue
        ratio = row.across_corners_min_mm / row.across_flats_min_mm
        if row.standard in {"ASME B18.2.1", "ASME B18.2.2", "ASME B18.6.3", "SAE J482"}:
            rule = 1.14 if row.outline == "hexagon" else 1.373
        elif row.standard == "JIS B 1189" or "flange bolt" in row.product:
            rule = 1.12
        else:
            rule = 1.13
        assert ratio == pytest.approx(rule, rel=0.0032, abs=0.012 / row.across_flats_min_mm), (row, ratio)


def test_heights_of_british_products_are_made_to_round_tolerances() -> None:
    for row in HEXAGONS:
        if row.standard in {"BS 1083", "BS 1768"} and row.height_min_mm and row.height_max_mm:
            thousandths = (row.height_max_mm - row.height_min_mm) / MM_PER_INCH * 1000
            assert round(thousandths, 1) in {5, 10, 20, 30, 40, 50, 60}, row


def test_slots_are_cut_into_or_above_the_plain_nut() -> None:
    """BS 1083: a slotted nut is as high as the plain one, a castle nut higher by the depth of its slots."""
    before = 0.0
    for row in (row for row in HEXAGONS if (row.standard, row.product) == ("BS 1083", "castle nut")):
        (plain,), (slotted,) = (rows("BS 1083", name, row.size) for name in ("hexagon nut", "slotted hexagon nut"))
        assert (slotted.height_min_mm, slotted.height_max_mm) == (plain.height_min_mm, plain.height_max_mm)
        assert row.height_max_mm is not None
        assert plain.height_max_mm is not None
        depth = round(row.height_max_mm - plain.height_max_mm, 3)
        assert depth >= before, row
        before = depth


def test_victorian_heads_are_seven_eighths_and_nuts_one_diameter_high() -> None:
    for row in HEXAGONS:
        if row.standard == "Whitworth, before BS 190":
            diameter = inch_or_mm(row.size)
            assert diameter is not None
            share = 0.875 if row.part == "bolt" else 1.0
            assert row.height_mm == pytest.approx(share * diameter, abs=0.02), row


def test_fittings_keep_within_what_their_bore_allows() -> None:
    for row in HEXAGONS:
        if row.part in ("bleed screw", "union nut", "plug", "spark plug"):
            diameter = inch_or_mm(row.size)
            assert diameter is not None
            pipe = "NPT" in row.families or "G" in row.families
            assert 0.6 <= row.across_flats_mm / diameter <= (3.6 if pipe else 1.7), row


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


def test_metric_fittings_are_met_on_their_own_pitch_alone() -> None:
    """Spark plugs are M14x1.25 and M18x1.5, brake pipe nuts M10x1 and M12x1 (common practice)."""
    for size, pitch, other, product in (
        ("M14", 1.25, 1.5, "spark plug"),
        ("M18", 1.5, 2.5, "spark plug"),
        ("M10", 1.0, 1.5, "pipe nut"),
        ("M12", 1.0, 1.75, "pipe nut"),
    ):
        assert product in {row.product for row in HEXAGONS.for_thread(Thread(size, "M", pitch))}
        assert product not in {row.product for row in HEXAGONS.for_thread(Thread(size, "M", other))}


#: Sizes of the old Whitworth hexagon lists whose threads no table has.
_WITHOUT_THREAD = {("BSW", "13/16"), ("BSW", "15/16")}


def test_every_head_and_nut_is_of_a_size_that_some_thread_has() -> None:
    """A wrong digit in a size would hide a head from the page of its thread."""
    sizes = {(thread.family, thread.size) for thread in load_threads(reference_root(), SOURCES)} | _WITHOUT_THREAD
    for row in HEXAGONS:
        assert any((family, row.size) in sizes for family in row.families), row
