"""`decoder strength`: what a strength grade promises in one size, and which marks claim it."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping
from typing import Any

from decoder.command import Data
from decoder.quantities import format_length
from decoder.strength import StrengthRow
from decoder.tables import UNSOURCED
from decoder.verbs._citing import citations
from decoder.verbs._sizes import nominal_mm
from decoder.writing import trimmed

NAME = "strength"
HELP = "what a strength grade promises in a size, and which head marks claim it"
EXAMPLES = (
    'decoder strength "SAE 5" --size "1/2 in"',
    "decoder strength 8.8 --size M10",
    "decoder strength A2-70",
    'decoder strength "BS R" --json',
)
BATCH = True
BATCH_TEXT = "grade"

_MPA_PER_KSI = 6.894757293168361


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the grade and the size."""
    parser.add_argument("grade", metavar="GRADE", help="a grade as you would write it: SAE 5, 8.8, A2-70, BS R, nut 8")
    parser.add_argument(
        "--size",
        metavar="SIZE",
        help="the size of the thread, since one mark promises less in large sizes: 1/2 in, M10, 5/16-24, No. 10",
    )


def answer(options: argparse.Namespace, data: Data) -> Mapping[str, Any]:
    """The grade's figures for the size, or for every range of sizes where none is given.

    Stresses are in MPa. They are null where the standard gives none, where no size is given and they differ by size,
    and where the grade does not exist in the size.
    """
    reference = data.reference
    grade = reference.strengths.find(options.grade)
    major_mm = None if options.size is None else nominal_mm(options.size, reference.threads)
    row = grade.at(major_mm) if major_mm is not None else grade.rows[0] if len(grade.rows) == 1 else None
    shown_rows = grade.rows if row is None else (row,)
    return {
        "grade": grade.name,
        "slug": grade.slug,
        "part": grade.part,
        "standard": grade.standard,
        "edition": grade.edition,
        "origin": grade.origin,
        "material": grade.material,
        "note": grade.note,
        "size": options.size,
        "size_mm": major_mm,
        "given_for": row.sizes if row else None,
        "proof_mpa": row.proof_mpa if row else None,
        "yield_mpa": row.yield_mpa if row else None,
        "tensile_mpa": row.tensile_mpa if row else None,
        "hardness": row.hardness if row else None,
        "rows": [_row(each) for each in grade.rows],
        "marks": [mark.id for mark in reference.marks.claiming(grade.name)],
        "mark_titles": {mark.id: mark.title for mark in reference.marks.claiming(grade.name)},
        "sources": citations([grade.provenance, *(each.provenance for each in shown_rows)], reference.sources),
    }


def status(result: Mapping[str, Any]) -> int:
    """1 where the grade does not exist in the size."""
    return 1 if result["size"] is not None and result["given_for"] is None else 0


def _row(row: StrengthRow) -> dict[str, Any]:
    return {
        "sizes": row.sizes,
        "size_min_mm": row.size_min_mm,
        "size_max_mm": row.size_max_mm,
        "proof_mpa": row.proof_mpa,
        "yield_mpa": row.yield_mpa,
        "tensile_mpa": row.tensile_mpa,
        "as_printed": row.printed,
        "hardness": row.hardness,
        "condition": row.condition,
        "note": row.note,
        "basis": row.provenance.basis,
        "document": row.provenance.document,
    }


def words(result: Mapping[str, Any]) -> str:
    """The figures in both systems, the marks that claim the grade, and what a mark is worth."""
    return "\n".join((*_heading(result), "", *_figures(result), "", *_marks(result), "", *_sources(result)))


def _heading(result: Mapping[str, Any]) -> Iterator[str]:
    edition = "" if result["edition"].startswith("not ") else f" ({result['edition']})"
    yield f"{result['grade']}: {result['part']}s to {result['standard']}{edition}, {result['origin']}"
    if result["material"]:
        yield f"  {result['material']}"
    if result["note"]:
        yield f"  note: {result['note']}"


def _figures(result: Mapping[str, Any]) -> Iterator[str]:
    rows = result["rows"]
    if result["size_mm"] is not None:
        yield f"In size {result['size']}: outside diameter {format_length(result['size_mm'])}"
        if result["given_for"] is None:
            yield f"  the tables do not give {result['grade']} in this size; it exists for:"
        else:
            rows = [row for row in rows if row["sizes"] == result["given_for"]]
    for row in rows:
        yield f"  {row['sizes']}{', ' + row['condition'] if row['condition'] else ''}"
        for name, mpa in (("proof", row["proof_mpa"]), ("yield", row["yield_mpa"]), ("tensile", row["tensile_mpa"])):
            if mpa is not None:
                yield f"    {name:<9} {trimmed(mpa, 0)} MPa ({trimmed(mpa / _MPA_PER_KSI, 0)} ksi), {row['basis']}"
        if row["document"] in UNSOURCED:
            yield f"    {row['document']}: nobody has read these figures in a document"
        if row["hardness"]:
            yield f"    hardness  {row['hardness']}"
        if row["note"]:
            yield f"    note: {row['note']}"


def _marks(result: Mapping[str, Any]) -> Iterator[str]:
    titles = result["mark_titles"]
    if titles:
        yield "Marks that claim it"
        yield from (f"  {title}  (decoder mark {mark})" for mark, title in titles.items())
        yield "A mark is a claim by whoever made the part; without a maker's mark beside it, do not rely on it."
    else:
        yield "No mark in the tables claims this grade. A blank head never shows a strength."


def _sources(result: Mapping[str, Any]) -> Iterator[str]:
    yield "Sources"
    yield from (f"  {source}" for source in result["sources"])
