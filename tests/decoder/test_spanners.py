"""Spanners: what a marking opens, and how a jaw sits on a head."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decoder.findings import BadDataError
from decoder.hexagons import Hexagon, load_hexagons
from decoder.paths import reference_root
from decoder.quantities import QuantityError
from decoder.sources import load_sources
from decoder.spanners import (
    FIT_WORDS,
    Spanner,
    Spanners,
    fit,
    fit_head,
    heads_for,
    load_spanners,
    slug,
    spanners_for,
)
from decoder.threads import load_threads
from tests.bolt_sizes import bolt_mm
from tests.published_values import Published, known_documents, published_lengths

SOURCES = load_sources(reference_root())
SPANNERS = load_spanners(reference_root(), SOURCES)
HEXAGONS = load_hexagons(reference_root(), SOURCES)
PUBLISHED = published_lengths("spanners.csv")


def head(standard: str, product: str, size: str) -> Hexagon:
    return next(row for row in HEXAGONS if (row.standard, row.product, row.size) == (standard, product, size))


@pytest.mark.parametrize("published", PUBLISHED, ids=str)
def test_a_jaw_is_what_others_print(published: Published) -> None:
    spanner = SPANNERS.find(published.item[0])
    ours = getattr(spanner, f"{published.field}_mm")
    assert ours == pytest.approx(published.value_mm, abs=published.tolerance_mm), published.where


def test_no_published_value_is_from_the_document_its_row_cites() -> None:
    known = {*SOURCES, *known_documents()}
    for published in PUBLISHED:
        assert published.document in known
        assert SPANNERS.find(published.item[0]).provenance.document != published.document, published


def test_inch_jaws_follow_the_formula_of_their_standard() -> None:
    """ASME B18.2.2: least opening 1.005 W + 0.001 in, tolerance 0.005 W + 0.004 in."""
    compared = 0
    for spanner in SPANNERS:
        if spanner.system == "AF" and spanner.jaw_min_mm and spanner.jaw_max_mm:
            width = spanner.jaw_mm / 25.4
            assert spanner.jaw_min_mm / 25.4 == pytest.approx(1.005 * width + 0.001, abs=0.00095), spanner
            assert (spanner.jaw_max_mm - spanner.jaw_min_mm) / 25.4 == pytest.approx(0.005 * width + 0.004, abs=0.00055)
            compared += 1
    assert compared > 30


@pytest.mark.parametrize(
    ("written", "marking"),
    [
        ("1/2 AF", "1/2 AF"),
        ('1/2" A/F', "1/2 AF"),
        ("½ AF", "1/2 AF"),
        ("1/2AF", "1/2 AF"),
        ("1-1/8 AF", "1-1/8 AF"),
        ("1 1/8 AF", "1-1/8 AF"),
        ("1⅛ AF", "1-1/8 AF"),
        ("13", "13 mm"),
        ("13mm", "13 mm"),
        ("13 mm spanner", "13 mm"),
        ("5.5", "5.5 mm"),
        ("1/4W", "1/4W"),
        ("1/4 Whit.", "1/4W"),
        ("¼ Whitworth", "1/4W"),
        ("1/4 BSW", "1/4W"),
        ("5/16BS", "1/4W"),
        ("5/16 BSF", "1/4W"),
        ("1/4W 5/16BS", "1/4W"),
        ("1/4 W = 5/16 BSF", "1/4W"),
        ("2BA", "2BA"),
        ("2 ba", "2BA"),
    ],
)
def test_a_marking_is_found_however_people_write_it(written: str, marking: str) -> None:
    assert SPANNERS.find(written).marking == marking


#: Bolt sizes of the old and the new British series, in order; 13/16 and 15/16 had no spanner of their own.
BRITISH_SIZES = (
    *("1/8", "3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "9/16", "5/8", "11/16", "3/4", "7/8"),
    *("1", "1-1/8", "1-1/4", "1-3/8", "1-1/2"),
)


def test_the_second_name_of_a_whitworth_spanner_is_the_next_size_up() -> None:
    """BS 190 put a bolt's head one size down, so that the jaw for 1/4 Whitworth goes on 5/16 BSF."""
    following = dict(pairwise(BRITISH_SIZES))
    named = [spanner for spanner in SPANNERS if spanner.system == "Whitworth" and spanner.names]
    assert len(named) >= 16
    for spanner in named:
        assert spanner.names == (f"{following[spanner.marking.removesuffix('W')]}BS",), spanner


def test_one_jaw_has_two_names() -> None:
    """3/8BS is 0.600 in and 7/16W is 0.820 in, though they are often said to be one spanner."""
    assert SPANNERS.find("1/4W") is SPANNERS.find("5/16BS")
    assert SPANNERS.find("3/8BS") is SPANNERS.find("5/16W")
    assert SPANNERS.find("7/16W") is SPANNERS.find("1/2BS")
    assert SPANNERS.find("3/8BS") is not SPANNERS.find("7/16W")


@pytest.mark.parametrize("written", ["1/4", "1/2", "2", "1 1/8", "7/16"])
def test_a_bare_fraction_names_every_reading(written: str) -> None:
    with pytest.raises(QuantityError) as caught:
        SPANNERS.find(written)
    assert len(caught.value.choices) >= 2
    for choice in caught.value.choices:
        assert choice in str(caught.value)
        SPANNERS.find(choice)
    assert str(caught.value).endswith("write which.")


@pytest.mark.parametrize("written", ["", "zz", "13 AF", "9BA mm", "1/2 mm", "1/4W 1/2 AF"])
def test_what_no_spanner_is_marked_with_is_refused(written: str) -> None:
    with pytest.raises(QuantityError, match="write it like 1/2 AF, 13 mm, 1/4W, 5/16BS or 2BA"):
        SPANNERS.find(written)


def test_addresses_are_unlike_one_another() -> None:
    slugs = [spanner.slug for spanner in SPANNERS]
    assert len(set(slugs)) == len(slugs)
    assert all(SPANNERS.by_slug(spanner.slug) is spanner for spanner in SPANNERS)
    assert SPANNERS.by_slug("none") is None
    assert slug("1-1/8 AF") == "1-1-8-af"
    assert slug("20.8 mm") == "20-8-mm"


def test_no_two_jaws_share_a_name() -> None:
    names = [name for spanner in SPANNERS for name in (spanner.marking, *spanner.names)]
    assert len(set(names)) == len(names)


# How a jaw sits


def written_fit(marking: str, standard: str, product: str, size: str) -> str:
    return fit_head(SPANNERS.find(marking), head(standard, product, size)).word


@pytest.mark.parametrize(
    ("marking", "standard", "product", "size", "word"),
    [
        ("1/2 AF", "ASME B18.2.1", "hexagon cap screw", "5/16", "right"),
        ("13", "ISO 4014", "hexagon bolt", "M8", "right"),
        ("1/4W", "BS 1083", "hexagon bolt", "5/16", "right"),
        ("5/16BS", "BS 190", "hexagon bolt", "1/4", "right"),
        ("19", "ASME B18.2.1", "hexagon cap screw", "1/2", "right"),
        ("3/8W", "ISO 4032", "hexagon nut", "M12", "right"),
        ("11 mm", "ASME B18.2.1", "hexagon cap screw", "1/4", "may not enter"),
        ("16", "ASME B18.2.1", "hexagon cap screw", "7/16", "goes"),
        ("14", "ASME B18.2.1", "hexagon cap screw", "3/8", "may not enter"),
        ("9/16 AF", "JIS B 1180", "small hexagon bolt", "M10", "loose"),
        # Workshops do this with a good ring and a light hand; 1/4W on the same head rounds it.
        ("13", "ASME B18.2.1", "hexagon cap screw", "5/16", "loose"),
        ("1/4W", "ISO 4014", "hexagon bolt", "M8", "slack"),
        ("1/4W", "ASME B18.2.1", "hexagon cap screw", "5/16", "slack"),
        ("1/2 AF", "BS 1083", "hexagon bolt", "5/16", "will not enter"),
        ("3/4 AF", "ASME B18.2.1", "hexagon cap screw", "5/16", "slips round"),
    ],
)
def test_the_word_for_a_jaw_on_a_head(marking: str, standard: str, product: str, size: str, word: str) -> None:
    assert written_fit(marking, standard, product, size) == word


def test_only_a_slack_jaw_rounds_a_head() -> None:
    for spanner in SPANNERS:
        for across_flats_mm in (10.0, 12.7, 13.335, 17.0, 19.05, 24.0):
            sits = fit(spanner, across_flats_mm)
            assert sits.word in FIT_WORDS
            assert sits.rounds_it == (sits.word in ("slack", "slips round"))
            assert sits.least_slack_mm < sits.greatest_slack_mm
            assert (sits.turn_deg is None) == (sits.word in ("slips round", "may not enter", "will not enter"))


def test_the_basis_of_limits_is_said() -> None:
    assert "from the spanner's source" in fit(SPANNERS.find("1/2 AF"), 12.7).basis
    assert "from memory" in fit(SPANNERS.find("13"), 13.0).basis
    assert "common practice" in fit(SPANNERS.find("1/4W"), 13.3).basis


def width_of_turned(sides: int, across_flats: float, turned_deg: float) -> float:
    """Width between two parallel jaws of a regular head with its corners as points, turned off its flats."""
    corners = [
        across_flats
        / 2
        / math.cos(math.pi / sides)
        * math.cos(math.radians(turned_deg) + math.pi / sides + 2 * math.pi * side / sides)
        for side in range(sides)
    ]
    return max(corners) - min(corners)


@given(st.floats(1.002, 1.12), st.sampled_from(["hexagon", "square"]))
def test_a_jaw_turns_until_the_turned_head_fills_it(ratio: float, outline: str) -> None:
    spanner = made_up(jaw_mm=10 * ratio)
    turn = fit(spanner, 10.0, outline=outline).turn_deg
    assert turn is not None
    sides = 6 if outline == "hexagon" else 4
    assert width_of_turned(sides, 10.0, turn) == pytest.approx(10 * ratio, abs=0.012)


def made_up(jaw_mm: float) -> Spanner:
    measured = SPANNERS.find("13 mm")
    return Spanner(
        slug="x",
        marking="x",
        system="metric",
        jaw_mm=jaw_mm,
        jaw_min_mm=None,
        jaw_max_mm=None,
        names=(),
        note=None,
        provenance=measured.provenance,
    )


@given(st.floats(5, 50), st.floats(5, 50))
def test_a_wider_head_never_goes_into_a_jaw_better(across_flats_mm: float, jaw_mm: float) -> None:
    entering = ("right", "goes", "loose", "slack", "slips round")
    spanner = made_up(jaw_mm)
    if fit(spanner, across_flats_mm).word not in entering:
        assert fit(spanner, across_flats_mm * 1.05).word not in entering


def test_the_spanners_for_a_nut_come_best_first() -> None:
    choices = spanners_for(head("ISO 4032", "hexagon nut", "M12"), SPANNERS)
    assert [choice.spanner.marking for choice in choices[:2]] == ["18 mm", "3/8W"]
    ranks = [FIT_WORDS.index(choice.fit.word) for choice in choices]
    assert ranks == sorted(ranks)


#: Widths that no set of spanners holds: they were turned with an adjustable one.
NO_SPANNER = {("Whitworth, before BS 190", "13/16"), ("Whitworth, before BS 190", "15/16")}


def test_every_head_has_a_spanner_made_for_it() -> None:
    for row in HEXAGONS:
        small_ba = row.standard == "BS 57" and int(row.size) > 12
        if small_ba or row.across_flats_mm < 3.1 or (row.standard, row.size) in NO_SPANNER:
            continue
        choices = spanners_for(row, SPANNERS)
        assert choices, row
        assert choices[0].fit.word == "right", row
        assert not choices[0].fit.rounds_it


def test_jaws_grow_with_their_marking() -> None:
    for system in ("AF", "metric", "Whitworth"):
        jaws = [spanner for spanner in SPANNERS if spanner.system == system and spanner.jaw_min_mm]
        for smaller, larger in pairwise(sorted(jaws, key=lambda spanner: spanner.jaw_mm)):
            assert smaller.jaw_min_mm is not None
            assert larger.jaw_min_mm is not None
            assert smaller.largest_mm < larger.largest_mm
            # The allowance over the marking grows with it, but for the rounding of the third decimal of an inch.
            slack = 1e-6 if system == "metric" else 0.04
            assert smaller.jaw_min_mm - smaller.jaw_mm <= larger.jaw_min_mm - larger.jaw_mm + slack, larger
            assert smaller.largest_mm - smaller.smallest_mm <= larger.largest_mm - larger.smallest_mm + slack, larger


def test_a_jaw_across_flats_is_its_fraction_to_the_last_figure() -> None:
    for spanner in (spanner for spanner in SPANNERS if spanner.system == "AF"):
        assert spanner.jaw_mm == pytest.approx(bolt_mm(spanner.marking.removesuffix(" AF")), abs=6e-5), spanner


def test_ba_heads_are_seven_quarters_of_their_bolt() -> None:
    """The proportion of the series, with the diameters of the thread table: to a thousandth of an inch, or two."""
    diameters = {
        thread.size: thread.major_mm
        for thread in load_threads(reference_root(), SOURCES)
        if thread.family == "BA" and not thread.left_hand
    }
    compared = 0
    for spanner in (spanner for spanner in SPANNERS if spanner.system == "BA"):
        assert spanner.jaw_mm == pytest.approx(1.75 * diameters[spanner.marking.removesuffix("BA")], abs=0.04), spanner
        compared += 1
    assert compared == 13


def test_whitworth_and_ba_jaws_are_the_flats_they_are_named_for() -> None:
    compared = 0
    for spanner in SPANNERS:
        for name in (spanner.marking, *spanner.names):
            size = re.sub(r"[A-Z]+$", "", name)
            standard = {"BA": "BS 57", "BS": "BS 1083"}.get(name.removeprefix(size))
            for row in HEXAGONS:
                if (row.size, row.standard) == (size, standard):
                    assert row.across_flats_mm == pytest.approx(spanner.jaw_mm, abs=0.02), (name, row)
                    compared += 1
    assert compared > 50


def test_heads_for_a_jaw_hold_all_three_sorts() -> None:
    words = {sits.word for _, sits in heads_for(SPANNERS.find("13"), HEXAGONS)}
    assert {"right", "slack", "will not enter"} <= words
    first, _ = heads_for(SPANNERS.find("1/4W"), HEXAGONS)[0]
    assert first.across_flats_mm == pytest.approx(0.525 * 25.4)


# Rows that are refused

GOOD = (
    "marking,system,jaw_in,jaw_min_in,jaw_max_in,names,note,basis,document,where\n"
    "1/2 AF,AF,0.5,0.504,0.510,,,basic,from memory,\n"
)


def load_changed(folder: Path, change: Callable[[str], str]) -> Spanners:
    (folder / "reference").mkdir()
    (folder / "reference" / "spanners_inch.csv").write_text(change(GOOD), encoding="utf-8")
    metric = GOOD.replace("_in", "_mm").replace("1/2 AF,AF,0.5,0.504,0.510", "13 mm,metric,13,13.04,13.24")
    (folder / "reference" / "spanners_metric.csv").write_text(metric, encoding="utf-8")
    return load_spanners(folder, ())


def test_the_good_row_is_accepted(tmp_path: Path) -> None:
    assert load_changed(tmp_path, lambda text: text)[0].jaw_min_mm == pytest.approx(12.8016)


@pytest.mark.parametrize(
    ("old", "new", "field", "words"),
    [
        (",0.5,", ",0.6,", "jaw_in", "found '0.6', expected 0.5, which '1/2 AF' says"),
        ("0.504", "0.495", "jaw_min_in", "at least the marked opening, 0.5"),
        ("0.510", "0.503", "jaw_max_in", "a little over the least opening"),
        ("0.510", "0.610", "jaw_max_in", "found '0.610'"),
        (",AF,", ",SAE,", "system", "expected one of AF, BA, Whitworth, metric"),
        (",0.5,", ",half,", "jaw_in", "found 'half', expected a decimal number"),
        ("basic,from memory,", ",from memory,", "basis", "say how the value stands in its source"),
    ],
)
def test_a_bad_row_is_refused_where_it_stands(tmp_path: Path, old: str, new: str, field: str, words: str) -> None:
    assert old in GOOD
    with pytest.raises(BadDataError) as caught:
        load_changed(tmp_path, lambda text: text.replace(old, new, 1))
    (finding,) = caught.value.findings
    assert finding.file == f"{tmp_path.name}/reference/spanners_inch.csv"
    assert (finding.line, finding.field) == (2, field)
    assert words in str(finding)
