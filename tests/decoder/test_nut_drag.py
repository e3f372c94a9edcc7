"""Drag of self-locking nuts: rows by size, authorities beside one another, the strictest named."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from decoder.findings import BadDataError
from decoder.nut_drag import Drag, load_nut_drags
from decoder.paths import reference_root
from decoder.quantities import NM_PER_LBF_IN, parse_length
from decoder.sources import load_sources
from decoder.threads import load_threads
from tests.published_values import FOLDER, known_documents

SOURCES = load_sources(reference_root())
DRAGS = load_nut_drags(reference_root(), SOURCES)
THREADS = load_threads(reference_root(), SOURCES)


def published() -> list[dict[str, str]]:
    with (FOLDER / "nut_drag.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("value", published(), ids=lambda value: f"{value['item']} {value['document']}")
def test_a_drag_is_what_others_print(value: dict[str, str]) -> None:
    size, document = value["item"].split(" | ")
    (row,) = (row for row in DRAGS if row.size == size and row.provenance.document == document)
    assert value["document"] in {*SOURCES, *known_documents()}
    assert value["document"] != row.provenance.document
    assert row.torque_nm / NM_PER_LBF_IN == pytest.approx(float(value["value"]), abs=float(value["tolerance"]))


@pytest.mark.parametrize("row", [row for row in DRAGS if " UN" in row.size], ids=lambda row: row.size)
def test_a_size_is_a_thread_of_the_tables(row: Drag) -> None:
    assert THREADS.find(row.size).designation == row.size


def diameter_mm(row: Drag) -> float:
    if " UN" in row.size:
        return THREADS.find(row.size).major_mm
    return float(row.size[1:]) if row.size.startswith("M") else parse_length(row.size).mm


def series_of(row: Drag) -> str:
    """Rows of one document and limit that run through the sizes; 1-14 and 8-pitch sizes carry on fine and coarse."""
    family = THREADS.find(row.size).family if " UN" in row.size else row.size[0] if row.size[0] == "M" else "inch"
    series = {"UNS": "UNF", "UN": "UNC"}.get(family, family)
    return f"{row.provenance.document}, {row.kind}, {row.what}, {series}"


SERIES: dict[str, list[Drag]] = {}
for drag in sorted(DRAGS, key=diameter_mm):
    SERIES.setdefault(series_of(drag), []).append(drag)


@pytest.mark.parametrize("series", SERIES)
def test_larger_nuts_drag_more_and_without_leaps(series: str) -> None:
    """Drag goes up as a power of the size, so each figure lies near the line between its neighbours."""
    rows = SERIES[series]
    torques = [row.torque_nm for row in rows]
    assert torques == sorted(torques)
    for before, row, after in zip(rows, rows[1:], rows[2:], strict=False):
        low, here, high = (math.log(diameter_mm(each)) for each in (before, row, after))
        share = (here - low) / (high - low)
        between = before.torque_nm ** (1 - share) * after.torque_nm**share
        # One manual prints its smallest figures in whole pounds, which is up to 3 lbf·in off the line.
        small = row.provenance.document == "us-army-tm-9-6115-604" and row.size in ("5/16 in", "3/8 in")
        near = 0.065 if row.provenance.document == "us-army-tm-1-1500-204" else 0.13
        assert row.torque_nm == pytest.approx(between, rel=near, abs=3.0 * NM_PER_LBF_IN if small else 0.0)


def test_every_authority_stands_beside_the_others_and_the_strictest_is_named() -> None:
    documents = {row.provenance.document for row in DRAGS.for_size("1/2-20 UNF", "nylon-insert")}
    assert documents == {"faa-ac-43-13-1b", "us-army-tm-1-1500-204", "us-army-tm-9-6115-604"}
    strictest = DRAGS.strictest_floor_nm("1/2-20 UNF", "nylon-insert")
    assert strictest == pytest.approx(18 * NM_PER_LBF_IN)


def test_a_kind_of_nut_has_its_figures_from_the_smallest_size_up() -> None:
    rows = DRAGS.for_kind("nylon-insert")
    assert [row.major_mm for row in rows] == sorted(row.major_mm for row in rows)
    assert {row.kind for row in rows} == {"any self-locking", "nylon-insert", "class 5 to 8", "class 10 to 12"}
    assert not DRAGS.for_kind("castellated")


@pytest.mark.parametrize("row", [row for row in DRAGS if " UN" in row.size], ids=lambda row: row.size)
def test_a_size_is_put_where_its_thread_belongs(row: Drag) -> None:
    assert row.major_mm == pytest.approx(THREADS.find(row.size).major_mm, abs=0.01)


def test_memory_sets_no_limit() -> None:
    assert DRAGS.for_size("M8x1.25", "nylon-insert")
    assert DRAGS.strictest_floor_nm("M8x1.25", "nylon-insert") is None


def test_a_nut_without_grip_has_no_drag() -> None:
    assert DRAGS.for_size("1/2-20 UNF", "castellated") == ()


def test_a_size_does_not_cover_its_neighbours() -> None:
    assert all(row.size != "1/2 in" for row in DRAGS.for_size("1-1/2-6 UNC"))
    assert any(row.size == "1/2 in" for row in DRAGS.for_size("1/2-13 UNC"))


@pytest.mark.parametrize(
    ("row", "field"),
    [
        ("nylon,1/2 in,least on removal,4,lbf·in,,minimum,from memory,", "kind"),
        ("nylon-insert,half inch,least on removal,4,lbf·in,,minimum,from memory,", "size"),
        ("nylon-insert,1/2 in,least,4,lbf·in,,minimum,from memory,", "what"),
        ("nylon-insert,1/2 in,least on removal,4,Nm,,minimum,from memory,", "unit"),
        ("nylon-insert,1/2 in,least on removal,-4,lbf·in,,minimum,from memory,", "torque"),
    ],
)
def test_a_wrong_row_is_named(tmp_path: Path, row: str, field: str) -> None:
    folder = tmp_path / "reference"
    folder.mkdir()
    head = "kind,size,what,torque,unit,note,basis,document,where\n"
    (folder / "nut_drag.csv").write_text(head + row + "\n", encoding="utf-8")
    with pytest.raises(BadDataError) as caught:
        load_nut_drags(tmp_path, ())
    assert [(finding.line, finding.field) for finding in caught.value.findings] == [(2, field)]
