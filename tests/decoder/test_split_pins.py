"""Split pins and the places for them: against print and physics, and what the reader refuses."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pytest

from decoder.drills import read_drills
from decoder.findings import BadDataError
from decoder.paths import reference_root
from decoder.sources import load_sources
from decoder.split_pins import PinHole, SplitPin, SplitPins, largest_that_enters, load_split_pins
from decoder.tables import Provenance
from tests.bolt_sizes import bolt_mm
from tests.published_values import Published, known_documents, published_lengths

SOURCES = load_sources(reference_root())
PINS = load_split_pins(reference_root(), SOURCES)
PUBLISHED = published_lengths("split_pins.csv")


@dataclass(frozen=True)
class Thread:
    """As much of a thread as a pin asks for."""

    size: str
    family: str
    pitch_mm: float = 1.5


def row_of(published: Published) -> SplitPin | PinHole:
    rows: list[SplitPin | PinHole] = [
        *(pin for pin in PINS.pins if (pin.standard, pin.size) == published.item),
        *(hole for hole in PINS.holes if (hole.standard, hole.use, hole.size) == published.item),
    ]
    (row,) = rows
    return row


def measured(row: SplitPin | PinHole, field: str) -> float:
    if field == "pin_size":
        assert isinstance(row, PinHole)
        assert row.pin_size is not None
        return float(row.pin_size)
    name, _, which = field.partition("_")
    if which != "middle":
        value = getattr(row, f"{field}_mm")
        assert isinstance(value, float)
        return value
    low, high = getattr(row, f"{name}_min_mm"), getattr(row, f"{name}_max_mm")
    assert isinstance(low, float)
    assert isinstance(high, float)
    return (low + high) / 2


@pytest.mark.parametrize("published", PUBLISHED, ids=str)
def test_a_row_is_what_others_print(published: Published) -> None:
    assert measured(row_of(published), published.field) == pytest.approx(
        published.value_mm, abs=published.tolerance_mm
    ), published.where


def test_no_published_value_is_from_the_document_its_row_cites() -> None:
    known = {*SOURCES, *known_documents()}
    for published in PUBLISHED:
        assert published.document in known
        assert row_of(published).provenance.document != published.document, published


def test_a_shank_is_thinner_than_the_hole_the_pin_is_named_by() -> None:
    for pin in PINS.pins:
        assert pin.shank_min_mm is not None
        assert 0.55 * pin.hole_mm <= pin.shank_min_mm < pin.thickest_mm < pin.hole_mm, pin


def test_pins_grow_with_their_name() -> None:
    for unit in ("in", "mm"):
        shanks = [pin.thickest_mm for pin in PINS.pins if pin.unit == unit]
        assert shanks == sorted(shanks)
        assert len(set(shanks)) == len(shanks)


def test_each_pin_is_held_to_a_hundredth_or_two() -> None:
    for pin in PINS.pins:
        assert pin.shank_min_mm is not None
        spread = round(pin.thickest_mm - pin.shank_min_mm, 3)
        assert spread in ({0.1, 0.2} if pin.unit == "mm" else {0.102, 0.127, 0.152}), pin
        if pin.unit == "mm":
            assert pin.hole_mm == float(pin.size)


def test_holes_and_slots_grow_with_the_bolt() -> None:
    for standard, use in {(hole.standard, hole.use) for hole in PINS.holes}:
        places = [hole for hole in PINS.holes if (hole.standard, hole.use) == (standard, use)]
        for smaller, larger in pairwise(hole for hole in places if hole.width_min_mm is not None):
            assert smaller.width_min_mm is not None
            assert smaller.width_max_mm is not None
            assert larger.width_min_mm is not None
            assert larger.width_max_mm is not None
            assert smaller.width_min_mm <= larger.width_min_mm, larger
            assert smaller.width_max_mm <= larger.width_max_mm, larger
        spreads = {
            round(hole.width_max_mm - hole.width_min_mm, 3)
            for hole in places
            if hole.width_min_mm is not None and hole.width_max_mm is not None
        }
        british_slots = {0.254}
        if standard in {"BS 1083", "BS 1768"} and use == "castle nut":
            assert spreads == british_slots
        elif standard == "DIN 935":
            assert spreads == {0.25, 0.3}
        else:
            assert spreads <= {0.127, 0.152, 0.178, 0.203, 0.229, 0.254, 0.762, 1.524, 2.286}


def test_the_hole_of_an_inch_pin_clears_its_shank_by_about_a_sixty_fourth() -> None:
    for pin in (pin for pin in PINS.pins if pin.unit == "in"):
        assert 0.2 < pin.hole_mm - pin.thickest_mm < 1.1, pin


def test_the_hole_of_an_inch_pin_follows_from_its_name() -> None:
    """A seller's rule (the cotter pin page of acamthai.com): 1/64 in over the name below 5/16 in, else the name itself.

    The shank stays under the name by a tenth at most; only the two thinnest are a thousandth over it.
    """
    names = [pin.name_mm for pin in PINS.pins if pin.unit == "in"]
    assert names == sorted(set(names))
    for pin in (pin for pin in PINS.pins if pin.unit == "in"):
        assert re.fullmatch(r"\d+/(2|4|8|16|32|64)", pin.size), pin
        over = 25.4 / 64 if pin.name_mm < 5 / 16 * 25.4 else 0.0
        assert pin.hole_mm == pytest.approx(pin.name_mm + over, abs=0.0006 * 25.4), pin
        assert 0.89 * pin.name_mm <= pin.thickest_mm <= pin.name_mm + 0.0013 * 25.4, pin


def test_the_holes_of_bs_1083_are_drilled_with_number_drills() -> None:
    """Each least hole is a number drill a little over the pin; the larger the hole, the wider its tolerance."""
    drills = {round(mm, 3) for name, mm in read_drills(reference_root(), SOURCES).items() if name.startswith("No.")}
    allowed: dict[float, float] = {}
    for hole in (hole for hole in PINS.holes if (hole.standard, hole.use) == ("BS 1083", "bolt")):
        assert hole.width_min_mm is not None
        assert hole.width_max_mm is not None
        assert round(hole.width_min_mm, 3) in drills, hole
        pin = PINS.pin_for([hole])
        assert pin is not None
        assert 0.006 < (hole.width_min_mm - pin.name_mm) / 25.4 < 0.012, hole
        spread = round((hole.width_max_mm - hole.width_min_mm) / 25.4, 3)
        assert allowed.setdefault(round(hole.width_min_mm, 3), spread) == spread, hole
    spreads = [spread for _, spread in sorted(allowed.items())]
    assert spreads == sorted(set(spreads))


def test_slots_of_british_unified_nuts_lie_within_the_american_ones() -> None:
    """Either nut may turn up on a UNF bolt; BS 1768 keeps a narrow part of what ASME B18.2.2 allows."""
    compared = 0
    for british in (hole for hole in PINS.holes if hole.standard == "BS 1768"):
        (american,) = (hole for hole in PINS.holes if (hole.standard, hole.size) == ("ASME B18.2.2", british.size))
        assert british.width_min_mm is not None
        assert british.width_max_mm is not None
        assert american.width_min_mm is not None
        assert american.width_max_mm is not None
        assert american.width_min_mm <= british.width_min_mm, british
        assert british.width_max_mm <= american.width_max_mm, british
        # Cutters are made in thirty-seconds, or 5/64 for the smallest.
        cutter = british.width_min_mm / 25.4 * 64
        assert cutter == pytest.approx(round(cutter), abs=0.05), british
        compared += 1
    assert compared == 11


#: Sizes that shops keep, in order. No. 5, No. 12 and 13/16, 15/16 are seldom made.
INCH_SERIES = (
    *("No. 4", "No. 6", "No. 8", "No. 10", "1/4", "5/16", "3/8", "7/16", "1/2", "9/16"),
    *("5/8", "3/4", "7/8", "1", "1-1/8", "1-1/4", "1-3/8", "1-1/2"),
)
METRIC_SERIES = tuple(f"M{size}" for size in (4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 22, 24, 27, 30))


@pytest.mark.parametrize(("standard", "use"), sorted({(hole.standard, hole.use) for hole in PINS.holes}))
def test_no_size_between_the_first_and_the_last_is_left_out(standard: str, use: str) -> None:
    sizes = [hole.size for hole in PINS.holes if (hole.standard, hole.use) == (standard, use)]
    if use == "clevis pin":
        assert [float(size) for size in sizes] == sorted(float(size) for size in sizes)
        return
    series = METRIC_SERIES if sizes[0].startswith("M") else INCH_SERIES
    first = series.index(sizes[0])
    assert tuple(sizes) == series[first : first + len(sizes)]


def test_a_pin_is_a_fair_share_of_its_bolt() -> None:
    """Too thick weakens the bolt, too thin is cut through; the least pins of aircraft are thin on large bolts."""
    for standard, use in sorted({(hole.standard, hole.use) for hole in PINS.holes if hole.pin_size is not None}):
        names = [
            pin.name_mm
            for hole in PINS.holes
            if (hole.standard, hole.use) == (standard, use)
            for pin in PINS.pins
            if (pin.unit, pin.size) == (hole.unit, hole.pin_size)
        ]
        assert names == sorted(names), (standard, use)
    for hole in PINS.holes:
        if hole.pin_size is None or hole.size.startswith("No."):
            continue
        (pin,) = (pin for pin in PINS.pins if (pin.unit, pin.size) == (hole.unit, hole.pin_size))
        bolt = float(hole.size) if hole.use == "clevis pin" else bolt_mm(hole.size)
        share = pin.name_mm / bolt
        assert (0.09 if hole.standard == "aircraft practice" else 0.16) <= share <= 0.33, hole


def test_a_named_pin_goes_through_the_place_that_names_it() -> None:
    for hole in PINS.holes:
        pin = PINS.pin_for([hole])
        assert pin is not None, hole
        if hole.width_min_mm is not None:
            assert pin.thickest_mm <= hole.width_min_mm, hole


def test_slots_are_no_narrower_than_the_hole_in_the_bolt_allows() -> None:
    """A castle nut of BS 1083 takes the pin of its bolt with room to spare."""
    for bolt in (hole for hole in PINS.holes if (hole.standard, hole.use) == ("BS 1083", "bolt")):
        (nut,) = (
            hole for hole in PINS.holes if (hole.standard, hole.use, hole.size) == ("BS 1083", "castle nut", bolt.size)
        )
        both = PINS.pin_for([bolt, nut])
        assert both == PINS.pin_for([bolt])
        assert nut.width_min_mm is not None
        assert bolt.width_max_mm is not None
        assert nut.width_min_mm > bolt.width_max_mm


def test_the_same_pin_by_two_standards() -> None:
    """The pins of DIN 935 nuts are those ISO 1234 gives for their bolts."""
    for nut in (hole for hole in PINS.holes if hole.standard == "DIN 935"):
        (bolt,) = (
            hole for hole in PINS.holes if (hole.standard, hole.use, hole.size) == ("ISO 1234", "bolt", nut.size)
        )
        assert bolt.pin_size is not None
        if nut.pin_size is not None:
            assert nut.pin_size == bolt.pin_size


def test_the_largest_that_enters() -> None:
    inch = [pin for pin in PINS.pins if pin.unit == "in"]
    found = largest_that_enters(inch, 0.100 * 25.4)
    assert found is not None
    assert found.size == "3/32"
    assert largest_that_enters(inch, 0.3) is None


def test_a_joint_of_mixed_units_names_no_pin() -> None:
    inch = next(hole for hole in PINS.holes if hole.unit == "in")
    metric = next(hole for hole in PINS.holes if hole.unit == "mm")
    assert PINS.pin_for([inch, metric]) is None
    assert PINS.pin_for([]) is None


def test_places_by_thread() -> None:
    places = PINS.for_thread(Thread("1/2", "UNF"))
    assert {(hole.standard, hole.use) for hole in places} == {
        ("aircraft practice", "bolt"),
        ("vehicle practice", "bolt"),
        ("ASME B18.2.2", "castle nut"),
        ("BS 1768", "castle nut"),
    }
    assert PINS.for_thread(Thread("1/2", "BSC")) == ()


@pytest.mark.parametrize(
    ("size", "family", "pin"),
    [
        ("3/8", "BSF", "1/16"),
        ("1/2", "BSF", "3/32"),
        ("7/8", "BSF", "5/32"),
        ("7/16", "UNF", "3/32"),
        ("M12", "M", "3.2"),
    ],
)
def test_one_pin_for_a_thread_by_the_hole_in_its_bolt(size: str, family: str, pin: str) -> None:
    choice = PINS.choice(Thread(size, family))
    assert choice is not None
    assert choice.pin.size == pin
    # It enters the slots of every castle nut for the thread.
    for slot in (hole for hole in PINS.for_thread(Thread(size, family)) if hole.use == "castle nut"):
        assert slot.width_min_mm is not None
        assert choice.pin.name_mm <= slot.width_min_mm


def test_a_pin_that_is_only_the_least_allowed_is_no_choice() -> None:
    least = tuple(hole for hole in PINS.holes if hole.standard == "aircraft practice")
    assert SplitPins(PINS.pins, least).choice(Thread("1/2", "UNF")) is None


def test_a_size_without_limits_counts_as_its_hole() -> None:
    pin = SplitPin(
        standard="X",
        unit="mm",
        size="2",
        hole_mm=2.0,
        shank_min_mm=None,
        shank_max_mm=None,
        note=None,
        provenance=Provenance("nominal", "from memory", ""),
    )
    assert pin.thickest_mm == 2.0


FILES = ("split_pins_inch", "split_pins_metric", "split_pins_holes_inch", "split_pins_holes_metric")


def load_changed(folder: Path, file: str, change: Callable[[str], str]) -> SplitPins:
    """Load each table's header and first row, one of them changed."""
    (folder / "reference").mkdir()
    for name in FILES:
        text = (reference_root() / "reference" / f"{name}.csv").read_text(encoding="utf-8")
        text = "\n".join(text.splitlines()[:2]) + "\n"
        (folder / "reference" / f"{name}.csv").write_text(change(text) if name == file else text, encoding="utf-8")
    return load_split_pins(folder, SOURCES)


@pytest.mark.parametrize(
    ("file", "old", "new", "field", "words"),
    [
        ("split_pins_inch", "0.028,0.032", "0.032,0.028", "shank_min_in", "no more than shank_max_in, 0.028"),
        ("split_pins_inch", "0.047,0.028", "0.027,0.028", "shank_min_in", "less than hole_in, 0.027"),
        ("split_pins_holes_inch", ",bolt,", ",stud,", "use", "expected one of bolt, castle nut, clevis pin"),
        ("split_pins_holes_metric", "1.2,1.45", "1.5,1.45", "width_min_mm", "no more than width_max_mm, 1.45"),
        ("split_pins_holes_metric", ",6,", ",six,", "slots", "found 'six'"),
    ],
)
def test_a_bad_row_is_refused_where_it_stands(
    tmp_path: Path, file: str, old: str, new: str, field: str, words: str
) -> None:
    with pytest.raises(BadDataError) as caught:
        load_changed(tmp_path, file, lambda text: text.replace(old, new, 1))
    (finding,) = caught.value.findings
    assert finding.file == f"{tmp_path.name}/reference/{file}.csv"
    assert (finding.line, finding.field) == (2, field)
    assert words in str(finding)


def test_castle_nuts_have_six_slots_on_the_bolts_of_a_vehicle() -> None:
    """One to each flat, so that a spanner and a pin see the same sixth of a turn."""
    told = [row.slots for row in PINS.holes if row.use == "castle nut" and row.slots is not None]
    assert told
    assert set(told) == {6}


def test_sizes_are_written_as_sizes_are() -> None:
    """In lowest terms, halved denominators; 7/7 or 1-1/6 would be found from no bolt."""
    for row in PINS.holes:
        written = re.fullmatch(r"M\d+|No\. \d+|(\d+-)?\d+/(2|4|8|16|32)|\d+(\.\d+)?", row.size)
        assert written, row
        if written[2]:
            assert int(re.findall(r"(\d+)/", row.size)[0]) % 2 == 1, row
