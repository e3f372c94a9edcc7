"""The page of sources: every document, how much of it was read, and what rests on it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from decoder.reference import Reference
from decoder_site.records_place import Place, RecordsPlace


@dataclass(frozen=True, slots=True)
class UseRow:
    """How many rows of a table rest on a document."""

    table: str
    count: int


@dataclass(frozen=True, slots=True)
class SourceView:
    """One document."""

    id: str
    title: str
    edition: str
    year: str
    publisher: str
    kind: str
    read: str
    note: str
    uses: tuple[UseRow, ...]
    record: Place


def source_views(reference: Reference, place: RecordsPlace) -> Iterator[SourceView]:
    """Every document by title."""
    uses = _uses(reference)
    for source in sorted(reference.sources.values(), key=lambda source: (source.title.casefold(), source.id)):
        yield SourceView(
            id=source.id,
            title=source.title,
            edition=source.edition,
            year=source.year,
            publisher=source.publisher,
            kind=source.kind,
            read=source.read,
            note=source.note,
            uses=tuple(UseRow(table, count) for table, count in sorted(uses.get(source.id, Counter()).items())),
            record=place.at(f"sources/{source.id}.yml"),
        )


def _uses(reference: Reference) -> dict[str, Counter[str]]:
    uses: dict[str, Counter[str]] = {}
    rows = [row.provenance for table in (reference.threads, reference.hexagons, reference.spanners) for row in table]
    for grade in reference.strengths:
        rows += [grade.provenance, *(row.provenance for row in grade.rows)]
    for provenance in rows:
        table = provenance.file.rpartition("/")[2]
        uses.setdefault(provenance.document, Counter())[table] += 1
    return uses
