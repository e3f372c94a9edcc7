"""The page of sources: every document, how much of it was read, and what rests on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from decoder.reference import Reference
from decoder.tables import Provenance
from decoder_site.records_place import Place, RecordsPlace


@dataclass(frozen=True, slots=True)
class UseRow:
    """The rows of a table that rest on a document."""

    table: str
    names: tuple[str, ...]


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
            uses=tuple(
                UseRow(table, tuple(dict.fromkeys(names))) for table, names in sorted(uses.get(source.id, {}).items())
            ),
            record=place.at(f"sources/{source.id}.yml"),
        )


def _uses(reference: Reference) -> dict[str, dict[str, list[str]]]:
    uses: dict[str, dict[str, list[str]]] = {}
    for name, provenance in provenances(reference):
        table = provenance.file.rpartition("/")[2]
        uses.setdefault(provenance.document, {}).setdefault(table, []).append(name)
    return uses


def provenances(reference: Reference) -> Iterator[tuple[str, Provenance]]:
    """Every row of every table with the name a reader knows it by."""
    for thread in reference.threads:
        yield thread.designation, thread.provenance
        if thread.tap_drill:
            yield thread.designation, thread.tap_drill.provenance
        if thread.clearance_holes:
            yield thread.size, thread.clearance_holes.provenance
    for use in reference.thread_uses:
        yield f"{use.use} {use.thread.designation}", use.provenance
    for hexagon in reference.hexagons:
        yield f"{hexagon.size} {hexagon.product}, {hexagon.standard}", hexagon.provenance
    for spanner in reference.spanners:
        yield spanner.marking, spanner.provenance
    for washer in reference.washer_sizes:
        yield f"{washer.size} {washer.kind} {washer.series}, {washer.standard}", washer.provenance
    for pin in reference.split_pins.pins:
        yield f"pin {pin.size}, {pin.standard}", pin.provenance
    for hole in reference.split_pins.holes:
        yield f"{hole.size} {hole.use}, {hole.standard}", hole.provenance
    for ring in reference.circlips.rings:
        yield f"{ring.size} {ring.kind} ring, {ring.standard}", ring.provenance
    for groove in reference.circlips.grooves:
        yield f"groove for {groove.thickness_mm:g} mm, {groove.standard}", groove.provenance
    for grade in reference.strengths:
        yield grade.name, grade.provenance
        for row in grade.rows:
            yield grade.name, row.provenance
