"""How strong a grade is: proof, yield and tensile stress by size, each with the document it was read in.

A grade is a claim made by a mark or a drawing. A head without a mark has no grade, and nothing here gives it one.
Where a document gives no proof or yield stress the value is None: it is never worked out from the tensile figure.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path

from decoder.findings import BadDataError, Finding
from decoder.quantities import QuantityError, parse_length
from decoder.tables import CellError, Provenance, Row, gather, read_table

#: What a grade is stated for. A nut's grade is the stress its threads carry on a hardened mandrel, not a bolt strength.
PARTS = ("bolt", "nut")

#: Factors from the unit a document prints to megapascal (newtons per square millimetre).
#: 1 ksi = 1000 lbf/in², 1 tonf = 2240 lbf; pound-force and kilogram-force are masses times 9.80665 m/s².
MPA_PER_UNIT: Mapping[str, float] = {
    "MPa": 1.0,
    "ksi": 6.894757293168361,
    "tonf/in2": 15.444256336697127,
    "kgf/mm2": 9.80665,
}

_GRADE_COLUMNS = ("grade", "part", "standard", "edition", "origin", "also_written", "material", "note")
_ROW_COLUMNS = ("grade", "from", "to", "proof", "yield", "tensile", "unit", "hardness", "condition", "note")

#: A size that stands on a split belongs to the row below it ("to 3/4 in", "over 3/4 in").
_SAME_SIZE_MM = 1e-4

_EXAMPLES = "'SAE 5', '8.8', 'A2-70' or 'BS R'"

#: What people write where there is nothing to read; refused in words, because no mark means no strength.
NO_MARK = ("none", "nomark", "unmarked", "nonevisible", "plain", "blank", "nothing")


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthRow:
    """What one document gives for one grade over a range of sizes.

    Stresses are in megapascal on the thread's stress area, minimum unless the provenance says otherwise;
    None where the document gives none. Sizes are nominal major diameters in millimetres, both ends included,
    except that a shared end belongs to the smaller range.
    """

    grade: str
    size_min_mm: float
    size_max_mm: float
    sizes: str
    proof_mpa: float | None
    yield_mpa: float | None
    tensile_mpa: float | None
    printed: str
    hardness: str | None
    condition: str | None
    note: str | None
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """One strength grade of one standard, with its rows in order of size."""

    name: str
    slug: str
    part: str
    standard: str
    edition: str
    origin: str
    also_written: tuple[str, ...]
    material: str | None
    note: str | None
    provenance: Provenance
    rows: tuple[StrengthRow, ...] = field(default=())

    def at(self, major_mm: float) -> StrengthRow | None:
        """The row for a nominal major diameter in millimetres, or None where the grade is not given for that size."""
        for row in self.rows:
            if row.size_min_mm - _SAME_SIZE_MM <= major_mm <= row.size_max_mm + _SAME_SIZE_MM:
                return row
        return None


class Strengths:
    """All grades, found by any of the ways people write them."""

    def __init__(self, grades: Iterable[Grade]) -> None:
        self._grades = tuple(grades)
        self._by_name = {grade.name: grade for grade in self._grades}
        self._by_writing: dict[str, list[Grade]] = {}
        for grade in self._grades:
            for writing in {as_written(text) for text in (grade.name, *grade.also_written)}:
                self._by_writing.setdefault(writing, []).append(grade)

    def __iter__(self) -> Iterator[Grade]:
        return iter(self._grades)

    def __len__(self) -> int:
        return len(self._grades)

    def get(self, name: str) -> Grade | None:
        """The grade of exactly this name, or None."""
        return self._by_name.get(name)

    def by_slug(self, slug: str) -> Grade | None:
        """The grade whose page has this address, or None."""
        return next((grade for grade in self._grades if grade.slug == slug), None)

    def find(self, text: str, part: str | None = None) -> Grade:
        """The grade meant by what someone wrote, such as 'SAE 5', 'grade 5', '8.8', 'A2-70' or 'BS R'.

        Parameters
        ----------
        text : str
            A grade as people write it.
        part : str, optional
            'bolt' or 'nut', where only one of the two can be meant.

        Raises
        ------
        QuantityError
            Where the text names no grade, names several, or says that there is no mark.
        """
        writing = as_written(text)
        if not writing:
            raise QuantityError(f"No grade was given: write one such as {_EXAMPLES}.")
        if writing in NO_MARK:
            raise QuantityError(
                f"'{text.strip()[:60]}' is no grade: a head without a mark says nothing about strength, so write one "
                "that a parts list or a mark gives."
            )
        found = [grade for grade in self._by_writing.get(writing, []) if part in (None, grade.part)]
        if part is None and len(found) > 1:
            # A bare grade is a bolt's: nuts are asked for as nuts.
            found = [grade for grade in found if grade.part == "bolt"] or found
        if len(found) == 1:
            return found[0]
        if not found and part is not None:
            found = [g for g in self._by_writing.get(f"{part}{writing}", []) if g.part == part]
            if len(found) == 1:
                return found[0]
        shown = text.strip()[:60]
        if found:
            names = tuple(grade.name for grade in found)
            raise QuantityError(f"'{shown}' can be several grades: write {_one_of(names)}.", names)
        endings = self._ending_in(writing, part)
        if endings:
            raise QuantityError(f"'{shown}' alone is no grade: write {_one_of(endings)}.", endings)
        near = self._near(writing, part)
        if near:
            raise QuantityError(f"'{shown}' is no grade known here: did you mean {_one_of(near)}?", near)
        raise QuantityError(f"'{shown}' is no grade of a standard known here: write one such as {_EXAMPLES}.")

    def _ending_in(self, writing: str, part: str | None) -> tuple[str, ...]:
        """Names that a bare '5' or '7' leaves open: those whose number it is, before letters or not."""
        pattern = re.compile(rf"[a-z]*{re.escape(writing)}[a-z]?")
        found = {g.name: None for w, gs in self._by_writing.items() for g in gs if pattern.fullmatch(w)}
        return tuple(name for name in found if part in (None, self._by_name[name].part))

    def _near(self, writing: str, part: str | None) -> tuple[str, ...]:
        """Names spelt much like what was written."""
        usable = {w: g for w, gs in self._by_writing.items() for g in gs if part in (None, g.part)}
        close = difflib.get_close_matches(writing, usable, n=4, cutoff=0.72)
        return tuple({usable[w].name: None for w in close})


def load_strengths(root: Path, documents: Collection[str]) -> Strengths:
    """Read the grades and every strength table under `root/reference/`, or raise with all mistakes in them.

    `documents` are the known source ids.
    """
    folder = root / "reference"
    grades: list[Grade] = []
    rows: list[tuple[Row, StrengthRow]] = []

    def read_grades() -> None:
        grades.extend(
            read_table(
                folder / "strength_grades.csv",
                columns=_GRADE_COLUMNS,
                key=("grade",),
                make=_grade,
                documents=documents,
                shown_as=f"{root.name}/reference/strength_grades.csv",
            )
        )

    def read_rows(path: Path) -> None:
        rows.extend(
            read_table(
                path,
                columns=_ROW_COLUMNS,
                key=("grade", "from", "to"),
                make=lambda row: (row, _strength(row)),
                documents=documents,
                shown_as=f"{root.name}/reference/{path.name}",
            )
        )

    tables = [path for path in sorted(folder.glob("strength_*.csv")) if path.name != "strength_grades.csv"]
    gather([read_grades, *(lambda path=path: read_rows(path) for path in tables)])
    findings = [*_stray_rows(grades, rows), *_overlaps(rows), *_shared_slugs(grades)]
    if findings:
        raise BadDataError(findings)
    by_grade: dict[str, list[StrengthRow]] = {}
    for _, value in rows:
        by_grade.setdefault(value.grade, []).append(value)
    return Strengths(replace(grade, rows=tuple(sorted(by_grade[grade.name], key=_by_size))) for grade in grades)


def _by_size(row: StrengthRow) -> tuple[float, float]:
    return (row.size_min_mm, row.size_max_mm)


def _grade(row: Row) -> Grade:
    name = row.text("grade")
    return Grade(
        name=name,
        slug=_slug(name),
        part=row.choice("part", PARTS),
        standard=row.text("standard"),
        edition=row.text("edition"),
        origin=row.text("origin"),
        also_written=tuple(part.strip() for part in row.cells["also_written"].split(";") if part.strip()),
        material=row.optional_text("material"),
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )


def _strength(row: Row) -> StrengthRow:
    unit = row.choice("unit", MPA_PER_UNIT)
    factor = MPA_PER_UNIT[unit]
    low, high = (_size(row, column) for column in ("from", "to"))
    if low > high:
        raise CellError("to", f"'{row.cells['to']}'", f"a size not under {row.cells['from']}", "swap the two sizes")
    proof, yields, tensile = (row.optional_number(column) for column in ("proof", "yield", "tensile"))
    if proof is None and yields is None and tensile is None:
        raise CellError("tensile", "no stress at all", "at least one of proof, yield and tensile", "fill one in")
    # Metals give way in this order; a nut's proof stress stands alone.
    for lower, upper, name in ((proof, yields, "yield"), (proof, tensile, "tensile"), (yields, tensile, "tensile")):
        if lower is not None and upper is not None and lower > upper:
            raise CellError(name, f"{upper:g}", f"not under {lower:g}", "correct the value from its source")
    printed = ", ".join(
        f"{word} {value:g}"
        for word, value in (("proof", proof), ("yield", yields), ("tensile", tensile))
        if value is not None
    )
    return StrengthRow(
        grade=row.text("grade"),
        size_min_mm=low,
        size_max_mm=high,
        sizes=f"{row.cells['from']} to {row.cells['to']}",
        proof_mpa=None if proof is None else proof * factor,
        yield_mpa=None if yields is None else yields * factor,
        tensile_mpa=None if tensile is None else tensile * factor,
        printed=f"{printed} {unit}",
        hardness=row.optional_text("hardness"),
        condition=row.optional_text("condition"),
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )


def _size(row: Row, column: str) -> float:
    text = row.text(column)
    try:
        return parse_length(text).mm
    except QuantityError as error:
        raise CellError(column, f"'{text}'", "a size with its unit such as '3/4 in' or '16 mm'", f"{error}") from None


def _stray_rows(grades: Iterable[Grade], rows: Iterable[tuple[Row, StrengthRow]]) -> Iterator[Finding]:
    known = {grade.name for grade in grades}
    for row, value in rows:
        if value.grade not in known:
            near = difflib.get_close_matches(value.grade, known, n=1)
            fix = f"write '{near[0]}', or add the grade there" if near else "add the grade there"
            yield row.finding(
                "grade", f"'{value.grade}'", "a grade of strength_grades.csv", fix, "strength-unknown-grade"
            )
    told = {value.grade for _, value in rows}
    for grade in grades:
        if grade.name not in told:
            yield Finding(
                level="error",
                code="strength-no-rows",
                file=grade.provenance.file,
                line=grade.provenance.line,
                field="grade",
                found=f"'{grade.name}' without a row in any strength table",
                expected="at least one row",
                fix="add its row, or remove the grade",
            )


def _overlaps(rows: Iterable[tuple[Row, StrengthRow]]) -> Iterator[Finding]:
    """Two rows of one grade may share an end, never more: a size must have one answer."""
    by_grade: dict[str, list[tuple[Row, StrengthRow]]] = {}
    for pair in rows:
        by_grade.setdefault(pair[1].grade, []).append(pair)
    for pairs in by_grade.values():
        ordered = sorted(pairs, key=lambda pair: _by_size(pair[1]))
        for (_, lower), (row, upper) in pairwise(ordered):
            if upper.size_min_mm < lower.size_max_mm - _SAME_SIZE_MM:
                yield row.finding(
                    "from",
                    f"'{row.cells['from']}', inside {lower.sizes} of the same grade",
                    "ranges that do not overlap",
                    "correct one of the two ranges from the source",
                    "strength-overlap",
                )


def _shared_slugs(grades: Iterable[Grade]) -> Iterator[Finding]:
    seen: dict[str, str] = {}
    for grade in grades:
        if grade.slug in seen:
            yield Finding(
                level="error",
                code="strength-slug",
                file=grade.provenance.file,
                line=grade.provenance.line,
                field="grade",
                found=f"'{grade.name}' and '{seen[grade.slug]}' with one page address '{grade.slug}'",
                expected="names that stay apart when written as an address",
                fix="rename one of the two",
            )
        seen[grade.slug] = grade.name


def _slug(name: str) -> str:
    return re.sub(r"-+", "-", re.sub(r"[^a-z0-9]", "-", name.casefold())).strip("-")


def as_written(text: str) -> str:
    """A grade reduced to what tells it apart: no spaces or dashes, 'gr' and 'grade' the same, comma as point."""
    words = re.sub(r"\bgr\b\.?|\bgr(?=\d)", "grade ", text.casefold().replace(",", "."))
    words = re.sub(r"\b(property|strength)\s+class\b", "class", words)
    return re.sub(r"[^a-z0-9.]", "", words).strip(".")


def _one_of(names: tuple[str, ...]) -> str:
    quoted = [f"'{name}'" for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"
