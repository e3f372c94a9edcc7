"""The marks that are known: read from their records, compared with one another, found by plain words."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

from decoder.build import Origin, TextReader, build_folder, did_you_mean
from decoder.citations import citation_findings, record_finding
from decoder.findings import BadDataError, Finding
from decoder.mark_likeness import Neighbours
from decoder.mark_records import (
    PARTS,
    TEXT_KINDS,
    Bearing,
    Confusable,
    Element,
    Mark,
    MarkRecord,
    Meaning,
    Part,
    seen_as,
    shows_nothing,
)
from decoder.mark_words import Phrases
from decoder.quantities import Count, Length, QuantityError, parse_angle, parse_count, parse_length
from decoder.strength import Strengths
from decoder.thread_names import FAMILIES

__all__ = [
    "PARTS",
    "Confusable",
    "Element",
    "Mark",
    "MarkRecord",
    "Marks",
    "Meaning",
    "Part",
    "load_marks",
    "read_bearing",
    "strength_findings",
]


class Marks:
    """All marks, in order of id."""

    def __init__(self, marks: Iterable[Mark]) -> None:
        self._marks = tuple(sorted(marks, key=lambda mark: mark.id))
        self._by_id = {mark.id: mark for mark in self._marks}

    @cached_property
    def _phrases(self) -> Phrases:
        return Phrases(self._marks)

    def __iter__(self) -> Iterator[Mark]:
        return iter(self._marks)

    def __len__(self) -> int:
        return len(self._marks)

    def __contains__(self, id: object) -> bool:
        return id in self._by_id

    def get(self, id: str) -> Mark | None:
        """The mark of this id, or None."""
        return self._by_id.get(id)

    def claiming(self, grade: str) -> tuple[Mark, ...]:
        """Marks that may claim this grade."""
        return tuple(mark for mark in self._marks if grade in mark.grades)

    def find(self, text: str, on: Part | None = None) -> Mark:
        """The mark that plain words describe: '3 radial lines', '8.8', 'T', 'none', 'dot in the middle'.

        Parameters
        ----------
        text : str
            An id, what is written on the part, or what is seen on it.
        on : str, optional
            One of `PARTS`, where only that part can be meant.

        Raises
        ------
        QuantityError
            Where no mark fits, or several fit equally well; the message names them.
        """
        return self._phrases.one(text, on)

    def search(self, text: str, on: Part | None = None) -> tuple[Mark, ...]:
        """Every mark that fits the words, best first; empty where none does."""
        return tuple(mark for _, mark in self._phrases.ranked(text, on))


def read_bearing(text: str) -> Bearing:
    """Read degrees clockwise from the top, from 0° to under 360°."""
    degrees = 0.0 if text.strip() in ("0°", "0 °", "0") else float(parse_angle(text))
    if degrees >= 360:
        raise ValueError(f"'{text}' goes all the way round: write an angle from 0° to under 360°")
    return Bearing(degrees)


_READERS: Mapping[Any, TextReader] = {Bearing: read_bearing, Count: parse_count, Length: parse_length}


def load_marks(root: Path, documents: Collection[str], strengths: Strengths | None = None) -> Marks:
    """Read every record in `root/marks/`, or raise with all mistakes in them.

    Parameters
    ----------
    root : Path
        Folder that holds `marks/`.
    documents : Collection[str]
        Known source ids.
    strengths : Strengths, optional
        With these, every grade that a mark claims is looked up.

    Raises
    ------
    BadDataError
        With every finding of every file.
    """
    findings: list[Finding] = []
    records, origins = build_folder(MarkRecord, root / "marks", f"{root.name}/marks", findings, readers=_READERS)
    for id, record in records.items():
        findings.extend(citation_findings(record, origins[id], documents))
        findings.extend(_shape_findings(record, origins[id]))
        if strengths is not None:
            findings.extend(strength_findings(record, origins[id], strengths))
    findings.extend(_same_pictures(records, origins))
    if findings:
        raise BadDataError(findings)
    neighbours = Neighbours()
    marks = Marks(Mark(record, origins[id].file, neighbours) for id, record in records.items())
    neighbours.settle(marks)
    return marks


def strength_findings(record: MarkRecord, origin: Origin, strengths: Strengths) -> Iterator[Finding]:
    """Grades that the strength tables do not know, or not for the part or the size that the mark claims them for."""
    for number, meaning in enumerate(record.means):
        if meaning.grade is None:
            continue
        path = ("means", number, "grade")
        grade = strengths.get(meaning.grade)
        if grade is None:
            try:
                fix = f"write '{strengths.find(meaning.grade).name}'"
            except QuantityError as error:
                fix = str(error).rstrip(".")
            yield record_finding(
                origin, path, "mark-strength", f"'{meaning.grade}'", "a grade of the strength tables", fix
            )
            continue
        if (grade.part == "nut") != (record.on == "nut"):
            yield record_finding(
                origin,
                path,
                "mark-strength",
                f"'{grade.name}', a grade of a {grade.part}",
                f"a grade of a {record.on}",
                "name the grade of the part that carries the mark",
            )
        if meaning.from_size is not None and grade.at(meaning.from_size.mm) is None:
            yield record_finding(
                origin,
                ("means", number, "from_size"),
                "mark-strength",
                f"'{meaning.from_size.written}', where the tables give no strength for {grade.name}",
                "a size that the grade is given for",
                "correct the size, or add the row to the strength table",
            )


def _shape_findings(record: MarkRecord, origin: Origin) -> Iterator[Finding]:
    for number, element in enumerate(record.elements):
        path = ("elements", number)
        if element.angles and len(element.angles) != element.count:
            yield record_finding(
                origin,
                (*path, "angles"),
                "mark-geometry",
                f"{len(element.angles)} angles for {element.count}",
                "one angle for each",
                "give each its angle, or mend `count`",
            )
        if len(set(element.angles)) != len(element.angles):
            yield record_finding(
                origin, (*path, "angles"), "mark-geometry", "one angle twice", "each angle once", "mend the angles"
            )
        if (element.kind in TEXT_KINDS) != (element.text is not None):
            found = "no text" if element.text is None else f"'{element.text}' on a {element.kind}"
            expected = "what it reads" if element.text is None else "no text"
            fix = "add `text: …`" if element.text is None else "remove it, or make the kind letters or number"
            yield record_finding(origin, (*path, "text"), "mark-geometry", found, expected, fix)
    for number, meaning in enumerate(record.means):
        for place, family in enumerate(meaning.families):
            if family not in FAMILIES:
                yield record_finding(
                    origin,
                    ("means", number, "families", place),
                    "mark-family",
                    f"'{family}'",
                    f"one of {', '.join(FAMILIES)}",
                    did_you_mean(family, FAMILIES),
                )
    if not shows_nothing(record):
        return
    for number, meaning in enumerate(record.means):
        if meaning.grade is not None:
            yield record_finding(
                origin,
                ("means", number, "grade"),
                "mark-without-strength",
                f"'{meaning.grade}' for a part that shows no mark",
                "no grade: no mark means no strength",
                "remove `grade`",
            )


def _same_pictures(records: Mapping[str, MarkRecord], origins: Mapping[str, Origin]) -> Iterator[Finding]:
    """Two records of one picture would send a reader to half of what it can mean."""
    seen: dict[Any, str] = {}
    for id, record in records.items():
        if not record.elements:
            continue
        picture = (record.on, tuple(sorted(map(seen_as, record.elements), key=repr)))
        if picture in seen:
            yield record_finding(
                origins[id],
                ("elements",),
                "mark-same-picture",
                f"the picture of '{seen[picture]}' again",
                "one record for each picture",
                "make them one record with both meanings, or write what tells the two apart",
            )
        seen.setdefault(picture, id)
