"""`decoder mark`: what a mark on a head, nut or stud can mean, who says so, and what it does not tell."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from decoder.citations import Citation
from decoder.command import Data
from decoder.mark_records import PARTS, Element, Mark, Meaning
from decoder.reference import Reference
from decoder.strength import StrengthRow
from decoder.tables import UNSOURCED, Provenance
from decoder.verbs._citing import citations
from decoder.writing import trimmed

NAME = "mark"
HELP = "what a mark on a head, nut or stud can mean, and what it does not tell; without one, the list of marks"
EXAMPLES = (
    'decoder mark "3 radial lines"',
    "decoder mark 8.8",
    "decoder mark none",
    "decoder mark T",
    "decoder mark 8 --on nut",
    "decoder mark radial-lines-3 --json",
)
BATCH = True
BATCH_TEXT = "id"


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the mark and the part that carries it."""
    parser.add_argument(
        "id",
        metavar="ID",
        nargs="?",
        help="a mark's id, what is written on the part, or what you see: 3 lines, 8.8, T, dot in the middle, none",
    )
    parser.add_argument("--on", choices=PARTS, help="the part that carries it, if not the head of a bolt")


def answer(options: argparse.Namespace, data: Data) -> Mapping[str, Any]:
    """The mark that the words mean, or the list of all; raises QuantityError where they mean none or several."""
    reference = data.reference
    if options.id is None:
        return {
            "marks": [
                {"id": mark.id, "title": mark.title, "on": mark.on, "grades": list(mark.grades)}
                for mark in reference.marks
                if options.on in (None, mark.on)
            ]
        }
    mark = reference.marks.find(options.id, on=options.on)
    return {
        "id": mark.id,
        "title": mark.title,
        "on": mark.on,
        "also_called": list(mark.record.also_called),
        "elements": [_element(element) for element in mark.elements],
        "means": [_meaning(meaning, reference) for meaning in mark.means],
        "does_not_tell": list(mark.does_not_tell),
        "confusable_with": [
            {"id": other.id, "title": other.title, "reasons": list(other.reasons)} for other in mark.confusable_with
        ],
        "mistaken_for": [{"what": each.what, "because": each.because} for each in mark.record.mistaken_for],
        "cautions": list(mark.cautions),
        "seen_on": list(mark.record.seen_on),
        "sources": citations(_provenances(mark, reference), reference.sources),
    }


def _element(element: Element) -> dict[str, Any]:
    return {
        "kind": element.kind,
        "count": element.count,
        "at": element.at,
        "angles_deg": list(element.angles),
        "text": element.text,
        "relief": element.relief,
        "words": element.words,
    }


def _meaning(meaning: Meaning, reference: Reference) -> dict[str, Any]:
    grade = reference.strengths.get(meaning.grade) if meaning.grade else None
    return {
        "about": meaning.about,
        "standard": meaning.standard,
        "grade": meaning.grade,
        "origin": meaning.origin,
        "certainty": meaning.certainty,
        "says": meaning.says,
        "families": list(meaning.families),
        "hand": meaning.hand,
        "material": meaning.material,
        "strength": [_row(row) for row in grade.rows] if grade else [],
        "documents": [citation.document for citation in meaning.sources],
    }


def _row(row: StrengthRow) -> dict[str, Any]:
    return {
        "sizes": row.sizes,
        "proof_mpa": row.proof_mpa,
        "yield_mpa": row.yield_mpa,
        "tensile_mpa": row.tensile_mpa,
        "as_printed": row.printed,
        "document": row.provenance.document,
    }


def _provenances(mark: Mark, reference: Reference) -> Iterator[Provenance]:
    yield from map(_as_provenance, mark.sources)
    for name in mark.grades:
        grade = reference.strengths.get(name)
        yield from (row.provenance for row in grade.rows) if grade else ()


def _as_provenance(citation: Citation) -> Provenance:
    return Provenance("nominal", citation.document, citation.where)


def words(result: Mapping[str, Any]) -> str:
    """What is seen, what it can mean, what it does not tell and what it is taken for."""
    if "marks" in result:
        return "\n".join(_listed(result["marks"]))
    parts = (
        _seen(result),
        _meanings(result["means"]),
        _points("It does not tell", result["does_not_tell"]),
        _points("Take care", result["cautions"]),
        _confusables(result),
        _points("Sources", result["sources"]),
    )
    return "\n\n".join("\n".join(part) for part in map(list, parts) if part)


def _listed(marks: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    part = None
    for mark in sorted(marks, key=lambda mark: (PARTS.index(mark["on"]), mark["id"])):
        if mark["on"] != part:
            yield from ("",) if part else ()
            part = mark["on"]
            yield f"On a {part}"
        yield f"  {mark['id']:<26} {mark['title']}"


def _seen(result: Mapping[str, Any]) -> Iterator[str]:
    yield f"{result['title']} ({result['on']})"
    yield from (f"  {element['words']}, {element['relief']}" for element in result["elements"])


def _meanings(means: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    yield "It can mean"
    for meaning in means:
        claim = f"{meaning['grade']}: " if meaning["grade"] else ""
        yield f"  {claim}{meaning['says']}"
        yield f"    {meaning['standard']}, {meaning['origin']}; {meaning['certainty']}"
        for row in meaning["strength"]:
            figures = ", ".join(
                f"{name} {trimmed(row[f'{name}_mpa'], 0)} MPa"
                for name in ("proof", "yield", "tensile")
                if row[f"{name}_mpa"] is not None
            )
            doubt = f" ({row['document']})" if row["document"] in UNSOURCED else ""
            yield f"    {row['sizes']}: {figures}{doubt}"
    if not any(meaning["grade"] for meaning in means):
        yield "  No strength follows from it."


def _confusables(result: Mapping[str, Any]) -> Iterator[str]:
    near, others = result["confusable_with"], result["mistaken_for"]
    if not near and not others:
        return
    yield "Easily confused with"
    yield from (f"  {other['title']} ({other['id']}): {'; '.join(other['reasons'])}" for other in near)
    yield from (f"  {other['what']}: {other['because']}" for other in others)


def _points(heading: str, points: Iterable[str]) -> Iterator[str]:
    listed = list(points)
    if listed:
        yield heading
        yield from (f"  {point}" for point in listed)
