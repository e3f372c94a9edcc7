"""The thread tables against print, against physics, and against slips of the pen."""

from __future__ import annotations

import csv
import math
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from decoder.findings import BadDataError
from decoder.paths import reference_root
from decoder.quantities import QuantityError
from decoder.reference import Reference
from decoder.tables import UNSOURCED
from decoder.thread_uses import USES, load_thread_uses
from decoder.threads import FAMILIES, SERIES, Thread, Threads, load_threads
from tests.published_values import FOLDER, known_documents

_FACTOR = {"1": 1.0, "mm": 1.0, "in": 25.4, "mm2": 1.0, "in2": 25.4**2, "name": 1.0}

_FIELD: dict[str, Callable[[Thread], float]] = {
    "threads_per_inch": lambda thread: thread.threads_per_inch or math.nan,
    "major": lambda thread: thread.major_mm,
    "pitch": lambda thread: thread.pitch_mm,
    "pitch_diameter": lambda thread: thread.pitch_diameter_mm,
    "minor_external": lambda thread: thread.minor_external_mm,
    "minor_internal": lambda thread: thread.minor_internal_mm,
    "stress_area": lambda thread: thread.stress_area_mm2,
}


def published(name: str) -> list[dict[str, str]]:
    """Rows of one file of published values."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def row_id(row: dict[str, str]) -> str:
    """What a failure should name: item, field, and where it was read."""
    return f"{row['item']} {row['field']} - {row['document']}, {row['where']}"


@pytest.fixture(scope="module")
def threads(reference: Reference) -> Threads:
    """The threads that come with the package."""
    return reference.threads


@pytest.mark.parametrize("row", published("threads_basic.csv"), ids=row_id)
def test_basic_sizes_are_those_that_others_print(row: dict[str, str], threads: Threads) -> None:
    thread = threads.find(row["item"])
    factor = _FACTOR[row["unit"]]
    found = _FIELD[row["field"]](thread) / factor
    assert found == pytest.approx(float(row["value"]), abs=float(row["tolerance"]) + 1e-9)


@pytest.mark.parametrize("name", ["threads_basic.csv", "threads_limits.csv", "threads_drills.csv"])
def test_no_value_is_held_against_the_document_it_came_from(name: str, reference: Reference) -> None:
    documents = known_documents() | set(reference.sources)
    for row in published(name):
        thread = reference.threads.find(row["item"].split(" | ")[0])
        assert row["document"] in documents, row
        assert row["where"], row
        source = thread.provenance
        if row["field"].startswith("tap_drill"):
            source = thread.tap_drill.provenance if thread.tap_drill is not None else source
        elif row["field"].endswith("_hole"):
            assert thread.clearance_holes is not None
            source = thread.clearance_holes.provenance
        assert source.document != row["document"], row
        assert row["document"] not in UNSOURCED


def test_there_are_published_values_enough() -> None:
    counts = [len(published(f"threads_{name}.csv")) for name in ("basic", "limits", "drills")]
    assert sum(counts) >= 250


def test_diameters_stand_in_physical_order(threads: Threads) -> None:
    for thread in threads:
        assert 0 < thread.minor_external_mm <= thread.minor_internal_mm + 1e-9, thread.designation
        assert thread.minor_internal_mm < thread.pitch_diameter_mm < thread.major_mm, thread.designation
        if not thread.form.taper:
            assert thread.minor_external_mm < thread.tap_drill_mm < thread.major_mm, thread.designation


def test_stress_area_lies_between_root_and_pitch_circle(threads: Threads) -> None:
    for thread in threads:
        if thread.form.taper:
            continue
        root = math.pi / 4 * thread.minor_external_mm**2
        pitch_circle = math.pi / 4 * thread.pitch_diameter_mm**2
        assert root < thread.stress_area_mm2 < pitch_circle, thread.designation
        assert thread.stress_area_formula


def test_lead_angle_unrolls_to_one_pitch(threads: Threads) -> None:
    for thread in threads:
        climb = math.pi * thread.pitch_diameter_mm * math.tan(math.radians(thread.lead_angle_deg))
        assert climb == pytest.approx(thread.pitch_mm)
        assert thread.lead_angle_deg < 8


def test_lead_angles_are_those_of_the_handbook(threads: Threads) -> None:
    """Machinery's Handbook, 31st edition, p. 1980 and 1983."""
    for designation, degrees, minutes in (
        ("No. 12-32 UNEF", 2, 55),
        ("1/4-32 UNEF", 2, 29),
        ("5/16-32 UNEF", 1, 57),
        ("1-5/16-8 UN", 1, 51),
        ("1-3/8-8 UN", 1, 46),
    ):
        assert threads.get(designation).lead_angle_deg == pytest.approx(degrees + minutes / 60, abs=0.51 / 60)


def test_every_family_is_there_with_series_and_form(threads: Threads) -> None:
    assert {thread.family for thread in threads} == set(FAMILIES)
    for thread in threads:
        assert thread.form is FAMILIES[thread.family]
        assert thread.series in SERIES


def test_names_and_addresses_are_unique(threads: Threads) -> None:
    assert len({thread.designation for thread in threads}) == len(threads)
    assert len({thread.slug for thread in threads}) == len(threads)
    for thread in threads:
        assert threads.find(thread.designation) is thread
        assert threads.by_slug(thread.slug) is thread
        assert threads.get(thread.designation) is thread


@pytest.mark.parametrize(
    ("written", "designation"),
    [
        ("5/16-24", "5/16-24 UNF"),
        ("5/16 UNF", "5/16-24 UNF"),
        ("M8", "M8x1.25"),
        ("m8×1", "M8x1"),
        ("2BA", "2 BA"),
        ("10-32", "No. 10-32 UNF"),
        ("#10-32 LH", "No. 10-32 UNF LH"),
        ("1-14 UNF", "1-14 UNS"),
        ("3/8 CEI", "3/8-26 BSC"),
        ("1/4 whit", "1/4-20 BSW"),
        ("G1/8", "G 1/8"),
        ("1/8 NPT", "1/8-27 NPT"),
        ("1/4 brass", "1/4-26 BSB"),
    ],
)
def test_find_reads_what_people_write(written: str, designation: str, threads: Threads) -> None:
    assert threads.find(written).designation == designation


@pytest.mark.parametrize(
    ("written", "named"),
    [
        ("5/16", ("5/16-18 UNC", "5/16-24 UNF", "5/16-18 BSW", "5/16-22 BSF", "5/16-26 BSC")),
        ("1/4-20", ("1/4-20 UNC", "1/4-20 BSW")),
        ("1/8 BSP", ("G 1/8", "R 1/8")),
        ("1/4-26", ("1/4-26 BSF", "1/4-26 BSC", "1/4-26 BSB")),
        ("M8x1.1", ("M8x1.25", "M8x1")),
    ],
)
def test_find_refuses_what_may_be_two_things_and_names_them(
    written: str, named: tuple[str, ...], threads: Threads
) -> None:
    with pytest.raises(QuantityError) as refusal:
        threads.find(written)
    message = str(refusal.value)
    assert message.count(". ") == message.count("No. ")
    for designation in named:
        assert designation in message
        assert designation in refusal.value.choices


def test_left_hand_threads_are_the_same_but_for_their_hand(threads: Threads) -> None:
    left = threads.find("1/2-20 UNF LH")
    right = threads.find("1/2-20 UNF")
    assert left.left_hand
    assert (left.designation, left.slug) == ("1/2-20 UNF LH", "1-2-20-unf-lh")
    assert (left.major_mm, left.pitch_mm, left.form) == (right.major_mm, right.pitch_mm, right.form)
    assert threads.get("1/2-20 UNF LH") == threads.by_slug("1-2-20-unf-lh") == left


def test_unsourced_rows_say_so(threads: Threads) -> None:
    for thread in threads:
        if not thread.provenance.is_cited:
            assert thread.provenance.document in UNSOURCED
            assert not thread.provenance.where


def test_uses_are_of_threads_in_the_tables(reference: Reference) -> None:
    uses = load_thread_uses(reference.root, reference.sources, reference.threads)
    assert {use.use for use in uses} == set(USES)
    for use in uses:
        assert reference.threads.get(use.thread.designation) is use.thread


#: Between which diameters, [mm], such a part can be at all: wide bounds of common practice against a slip of a digit.
SENSIBLE_MM = {
    "spark plug": (8.0, 22.3),
    "brake pipe": (9.5, 16.0),
    "bleed screw": (5.9, 10.1),
    "grease nipple": (5.9, 16.1),
    "wheel stud": (9.5, 16.1),
    "belt anchor": (11.0, 12.8),
}


def test_uses_are_of_threads_that_such_a_part_can_have(reference: Reference) -> None:
    for use in load_thread_uses(reference.root, reference.sources, reference.threads):
        least, most = SENSIBLE_MM[use.use]
        assert least <= use.thread.major_mm <= most, use


def _changed(tmp_path: Path, table: str, old: str, new: str) -> Path:
    root = tmp_path / "site_data"
    shutil.copytree(reference_root() / "reference", root / "reference")
    path = root / "reference" / f"{table}.csv"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {table}"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return root


@pytest.mark.parametrize(
    ("table", "old", "new", "expected"),
    [
        pytest.param(
            "threads_unified",
            "UNF,fine,5/16,24,0.3125,0.2854",
            "UNF,fine,5/16,24,0.3135,0.2854",
            "major_in: found '0.3135', expected 0.3125 within 0.0001, from size 5/16",
            id="a major diameter that is not its size",
        ),
        pytest.param(
            "threads_unified",
            "UNF,fine,5/16,24,0.3125,0.2854",
            "UNF,fine,5/16,25,0.3125,0.2854",
            "pitch_diameter_in: found '0.2854', expected 0.2865 within 0.0001",
            id="a pitch that its printed pitch diameter contradicts",
        ),
        pytest.param(
            "threads_unified",
            "UN,constant pitch,3/4,12,0.7500,,",
            "UN,constant pitch,3/4,13,0.7500,,",
            "threads_per_inch: found '13', expected one of 12, 16, 20, 28, 32, 8",
            id="a pitch that is in no constant-pitch series",
        ),
        pytest.param(
            "threads_metric",
            "coarse,M3,0.5,3,",
            "coarse,M3,3,3,",
            "pitch_mm: found '3', which makes minor, pitch and major diameter -0.681, 1.051, 3.000 mm",
            id="out of physical order",
        ),
        pytest.param(
            "threads_ba",
            "2,0.81,4.70,4.215,3.73",
            "2,0.81,4.70,4.215,4.73",
            "minor_mm: found '4.73', expected 3.7280 within 0.0121, from major less 1.2 p",
            id="a minor diameter above the pitch diameter",
        ),
        pytest.param(
            "threads_metric",
            "coarse,M8,1.25,8,,basic,freecad-hole-tables,table ISO metric regular",
            "coarse,M8,1.25,8,,basic,,",
            "document: found an empty cell",
            id="no source",
        ),
        pytest.param(
            "threads_metric",
            "coarse,M8,1.25,8,,basic,freecad-hole-tables",
            "coarse,M8,1.25,8,,basic,freecad-hole-table",
            "document: found 'freecad-hole-table', expected a file name in sources/",
            id="a source that is not there",
        ),
        pytest.param(
            "threads_whitworth",
            "BSW,coarse,5/16,18,0.3125",
            "BSW,coarse,1/4,20,0.2500",
            "family, size, threads_per_inch: found 'BSW 1/4 20' again, first on line",
            id="a row twice",
        ),
        pytest.param(
            "threads_tap_drills",
            "1/4-20 UNC,No. 7",
            "1/4-20 UNC,No. 1",
            "drill: found 'No. 1', which leaves 34 % of the thread in 1/4-20 UNC",
            id="a drill that leaves no thread",
        ),
        pytest.param(
            "threads_clearance",
            "M8,8.4 mm,9 mm,10 mm",
            "M8,8.4 mm,8 mm,10 mm",
            "medium: found '8 mm' (8.000 mm), expected more than 8.400 mm",
            id="holes out of order",
        ),
    ],
)
def test_a_slip_of_the_pen_is_refused_with_file_line_and_cure(
    table: str, old: str, new: str, expected: str, tmp_path: Path, reference: Reference
) -> None:
    root = _changed(tmp_path, table, old, new)
    with pytest.raises(BadDataError) as refusal:
        load_threads(root, reference.sources)
    line = next((str(finding) for finding in refusal.value.findings if expected in str(finding)), str(refusal.value))
    assert expected in line
    assert f"{table}.csv:" in line
    assert "Fix: " in line


def test_two_families_may_not_claim_one_unified_thread(tmp_path: Path, reference: Reference) -> None:
    root = _changed(tmp_path, "threads_unified", "UN,constant pitch,7/16,16,", "UN,constant pitch,7/16,20,")
    with pytest.raises(BadDataError, match=r"7/16-20 UN, which is 7/16-20 UNF"):
        load_threads(root, reference.sources)
