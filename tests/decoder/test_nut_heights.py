"""Heights of nuts and depths of closed ones: against print, and what the reader refuses."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from decoder.findings import BadDataError
from decoder.nut_heights import NutHeight, load_nut_heights
from decoder.paths import reference_root
from decoder.reference import Reference
from decoder.sources import load_sources
from tests.published_values import Published, known_documents, published_lengths

SOURCES = load_sources(reference_root())
HEIGHTS = load_nut_heights(reference_root(), SOURCES)
PUBLISHED = published_lengths("nut_heights.csv")


def row_of(published: Published) -> NutHeight:
    (row,) = (row for row in HEIGHTS if (row.nut, row.standard, row.size) == published.item)
    return row


@pytest.mark.parametrize("published", PUBLISHED, ids=str)
def test_a_row_is_what_others_print(published: Published) -> None:
    ours = getattr(row_of(published), f"{published.field}_mm")
    assert ours == pytest.approx(published.value_mm, abs=published.tolerance_mm), published.where


def test_no_published_value_is_from_the_document_its_row_cites() -> None:
    for published in PUBLISHED:
        assert published.document in {*SOURCES, *known_documents()}
        assert row_of(published).provenance.document != published.document, published


def test_a_nut_is_found_for_the_threads_that_its_document_names(reference: Reference) -> None:
    threads = reference.threads
    for name, height in (("M8x1.25", 15.0), ("M8x1", 15.0)):
        found = HEIGHTS.find("dome", threads.find(name))
        assert found is not None
        assert found.height_max_mm == height
    assert HEIGHTS.find("dome", threads.find("M5x0.9")) is None
    assert HEIGHTS.find("dome", threads.find("5/16-24 UNF")) is None


@pytest.mark.parametrize(
    ("column", "value", "told"),
    [("height_max", "1", "a lower and an upper limit"), ("thread_depth_min", "20", "less than the nut's height")],
)
def test_a_slip_is_told_with_its_line(column: str, value: str, told: str, tmp_path: Path) -> None:
    table = reference_root() / "reference" / "nut_heights.csv"
    with table.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    next(row for row in rows if row["size"] == "M8")[column] = value
    (tmp_path / "reference").mkdir()
    with (tmp_path / "reference" / "nut_heights.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    with pytest.raises(BadDataError, match=told):
        load_nut_heights(tmp_path, SOURCES)
