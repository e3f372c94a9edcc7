"""Strength by grade and size."""

from __future__ import annotations

from pathlib import Path

import pytest

from decoder.findings import BadDataError
from decoder.paths import reference_root
from decoder.quantities import QuantityError
from decoder.sources import load_sources
from decoder.strength import MPA_PER_UNIT, Strengths, load_strengths

SOURCES = load_sources(reference_root())
STRENGTHS = load_strengths(reference_root(), SOURCES)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("SAE 5", "SAE 5"),
        ("grade 5", "SAE 5"),
        ("gr.5", "SAE 5"),
        ("sae8.2", "SAE 8.2"),
        ("8.8", "8.8"),
        ("8,8", "8.8"),
        ("class 8.8", "8.8"),
        ("ISO 10.9", "10.9"),
        ("a2-70", "A2-70"),
        ("A2 70", "A2-70"),
        ("BS R", "BS R"),
        ("T", "BS T"),
        ("nut class 8", "nut class 8"),
        ("SAE nut 5", "SAE nut 5"),
    ],
)
def test_a_grade_is_found_however_people_write_it(written: str, name: str) -> None:
    assert name == STRENGTHS.find(written).name


@pytest.mark.parametrize("written", ["5", "8", "", "L9", "none", "unmarked", "no mark", "SAE 9", "8.9"])
def test_what_is_no_grade_or_several_is_refused_in_one_sentence(written: str) -> None:
    with pytest.raises(QuantityError) as caught:
        STRENGTHS.find(written)
    assert str(caught.value).count(".\n") == 0
    assert str(caught.value)[-1] in ".?"


def test_a_bare_number_names_every_reading() -> None:
    with pytest.raises(QuantityError) as caught:
        STRENGTHS.find("8")
    assert set(caught.value.choices) >= {"SAE 8", "nut class 8"}


def test_a_missing_mark_never_has_a_strength() -> None:
    with pytest.raises(QuantityError, match="a head without a mark says nothing about strength"):
        STRENGTHS.find("none visible")


def test_nuts_are_found_where_a_nut_is_meant() -> None:
    assert STRENGTHS.find("8", part="nut").name == "nut class 8"
    assert STRENGTHS.find("SAE 5", part="nut").name == "SAE nut 5"


@pytest.mark.parametrize(
    ("grade", "size_mm", "tensile_ksi"),
    [("SAE 2", 19.05, 74), ("SAE 2", 19.06, 60), ("SAE 5", 25.4, 120), ("SAE 5", 25.41, 105)],
)
def test_a_split_size_belongs_to_the_smaller_range(grade: str, size_mm: float, tensile_ksi: float) -> None:
    row = STRENGTHS.find(grade).at(size_mm)
    assert row is not None
    assert row.tensile_mpa == pytest.approx(tensile_ksi * MPA_PER_UNIT["ksi"])


def test_class_8_8_is_stronger_above_16_mm() -> None:
    grade = STRENGTHS.find("8.8")
    assert [row.tensile_mpa for size in (16, 18) if (row := grade.at(size))] == [800, 830]


def test_a_size_outside_the_standard_has_no_strength() -> None:
    assert STRENGTHS.find("SAE 5").at(3) is None
    assert STRENGTHS.find("8.8").at(60) is None


def test_what_a_source_does_not_give_stays_empty() -> None:
    row = STRENGTHS.find("BS S").at(12.7)
    assert row is not None
    assert (row.proof_mpa, row.yield_mpa) == (None, None)


def test_names_and_addresses_are_unique() -> None:
    assert len({grade.slug for grade in STRENGTHS}) == len(STRENGTHS)
    assert all(grade.rows for grade in STRENGTHS)


def _load(tmp_path: Path, grades: str, rows: str) -> Strengths:
    folder = tmp_path / "reference"
    folder.mkdir()
    head = "grade,part,standard,edition,origin,also_written,material,note,basis,document,where\n"
    (folder / "strength_grades.csv").write_text(head + grades, encoding="utf-8")
    head = "grade,from,to,proof,yield,tensile,unit,hardness,condition,note,basis,document,where\n"
    (folder / "strength_rows.csv").write_text(head + rows, encoding="utf-8")
    return load_strengths(tmp_path, ())


@pytest.mark.parametrize(
    ("rows", "code", "field"),
    [
        ("X 2,1/4 in,1 in,,,60,ksi,,,,minimum,from memory,\n", "strength-unknown-grade", "grade"),
        ("X 1,1 in,1/4 in,,,60,ksi,,,,minimum,from memory,\n", "table-cell", "to"),
        ("X 1,5,1 in,,,60,ksi,,,,minimum,from memory,\n", "table-cell", "from"),
        ("X 1,1/4 in,1 in,70,,60,ksi,,,,minimum,from memory,\n", "table-cell", "tensile"),
        ("X 1,1/4 in,1 in,,,,ksi,,,,minimum,from memory,\n", "table-cell", "tensile"),
        (
            "X 1,1/4 in,1 in,,,60,ksi,,,,minimum,from memory,\nX 1,3/4 in,2 in,,,50,ksi,,,,minimum,from memory,\n",
            "strength-overlap",
            "from",
        ),
    ],
)
def test_a_wrong_row_is_named_with_its_place(tmp_path: Path, rows: str, code: str, field: str) -> None:
    with pytest.raises(BadDataError) as caught:
        _load(tmp_path, "X 1,bolt,X,1,X,,,,nominal,from memory,\n", rows)
    assert (code, field) in {(finding.code, finding.field) for finding in caught.value.findings}
    assert all(finding.line > 0 and finding.fix for finding in caught.value.findings)
