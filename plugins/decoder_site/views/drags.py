"""How hard a self-locking nut is to turn, size by size: every authority's figure, and the strictest of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from decoder.nut_drag import Drag
from decoder.quantities import format_torque
from decoder.reference import Reference
from decoder_site.views.facts import Piece
from decoder_site.views.measures import Citations
from decoder_site.views.notes import Notes


@dataclass(frozen=True, slots=True)
class DragRow:
    """One size: the figure to go by, and what each document says. `address` is '' where several threads are meant."""

    size: str
    address: str
    strictest: str
    said: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class DragTable:
    """Figures that limit one thing: 'at least' or 'at most'."""

    anchor: str
    title: str
    limit: str
    rows: tuple[DragRow, ...]


def drag_tables(nut: str, reference: Reference, citations: Citations, notes: Notes) -> tuple[DragTable, ...]:
    """A table for each thing that is limited; empty for a nut that does not grip its thread."""
    found = reference.nut_drags.for_kind(nut)
    return tuple(
        DragTable(
            anchor=what.replace(" ", "-"),
            title=what.capitalize(),
            limit="At least" if rows[0].is_floor else "At most",
            rows=tuple(_rows(rows, reference, citations, notes)),
        )
        for what in dict.fromkeys(row.what for row in found)
        if (rows := [row for row in found if row.what == what])
    )


def _rows(found: list[Drag], reference: Reference, citations: Citations, notes: Notes) -> Iterator[DragRow]:
    ordered = sorted(found, key=lambda row: (row.major_mm, _words(row)))
    for words, group in groupby(ordered, key=_words):
        rows = tuple(group)
        cited = [row for row in rows if row.provenance.is_cited] or list(rows)
        # A floor is strictest at its highest, a ceiling at its lowest.
        strictest = max(row.torque_nm for row in cited) if rows[0].is_floor else min(row.torque_nm for row in cited)
        yield DragRow(
            size=words,
            address=_address(words, reference),
            strictest=format_torque(strictest),
            said=tuple(
                notes.piece(Piece(text=row.printed, aside=_aside(row), citations=(citations.of(row.provenance),)))
                for row in rows
            ),
        )


def _words(row: Drag) -> str:
    """A size; with its class where a figure is for one, for classes are not each other's authorities."""
    return f"{row.size}, {row.kind}" if row.kind.startswith("class") else row.size


def _aside(row: Drag) -> str:
    kind = f"{row.kind} nuts" if row.kind in ("all-metal", "nylon-insert") else ""
    return "; ".join(part for part in (kind, row.note or "") if part)


def _address(size: str, reference: Reference) -> str:
    """The page of a size that is one thread; '1/2 in' and 'M10' are several."""
    found = next((thread for thread in reference.threads if thread.designation == size), None)
    return f"sizes/{found.slug}/" if found else ""
