"""Pages of strength grades: one a grade, and the list by standard."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from decoder.mark_records import Mark
from decoder.reference import Reference
from decoder.strength import Grade, StrengthRow
from decoder.writing import trimmed
from decoder_site.views.measures import Citation, Citations

_PSI_PER_MPA = 145.03773773


@dataclass(frozen=True, slots=True)
class GradeGroup:
    """The grades of one standard."""

    anchor: str
    title: str
    grades: tuple[Grade, ...]


@dataclass(frozen=True, slots=True)
class FigureRow:
    """What one document gives over a range of sizes; '' where it gives nothing."""

    sizes: str
    proof: str
    yields: str
    tensile: str
    hardness: str
    condition: str
    note: str
    printed: str
    citation: Citation


@dataclass(frozen=True, slots=True)
class GradeView:
    """One grade."""

    name: str
    part: str
    standard: str
    edition: str
    origin: str
    also_written: tuple[str, ...]
    material: str
    note: str
    rows: tuple[FigureRow, ...]
    marks: tuple[Mark, ...]
    citation: Citation


def grade_groups(reference: Reference) -> Iterator[GradeGroup]:
    """Grades by standard, in the order of the table."""
    groups: dict[str, list[Grade]] = {}
    for grade in reference.strengths:
        groups.setdefault(grade.standard, []).append(grade)
    for number, (standard, grades) in enumerate(groups.items(), start=1):
        yield GradeGroup(f"standard-{number}", standard, tuple(grades))


def grade_view(grade: Grade, reference: Reference, citations: Citations) -> GradeView:
    """All that the page of one grade shows."""
    return GradeView(
        name=grade.name,
        part=grade.part,
        standard=grade.standard,
        edition=grade.edition,
        origin=grade.origin,
        also_written=grade.also_written,
        material=grade.material or "",
        note=grade.note or "",
        rows=tuple(_row(row, citations) for row in grade.rows),
        marks=tuple(mark for mark in reference.marks if grade.name in mark.grades),
        citation=citations.of_row(grade.provenance),
    )


def _row(row: StrengthRow, citations: Citations) -> FigureRow:
    return FigureRow(
        sizes=row.sizes,
        proof=stress(row.proof_mpa),
        yields=stress(row.yield_mpa),
        tensile=stress(row.tensile_mpa),
        hardness=row.hardness or "",
        condition=row.condition or "",
        note=row.note or "",
        printed=row.printed,
        citation=citations.of_row(row.provenance),
    )


def stress(mpa: float | None) -> str:
    """A stress in both systems, '' where none is given: '586 MPa (85 ksi)'."""
    if mpa is None:
        return ""
    return f"{trimmed(mpa, 0)} MPa ({trimmed(mpa * _PSI_PER_MPA / 1000, 1)} ksi)"
