"""How hard a self-locking nut is to turn, size by size: every authority's figure, and the strictest of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from decoder.nut_drag import Drag
from decoder.quantities import format_torque
from decoder.reference import Reference
from decoder.tables import UNSOURCED
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
    """Figures that limit one thing: 'at least' or 'at most'.

    `rows` are the sizes most met on vehicles, `others` the smaller and larger ones. `unchecked` where no figure of the
    table was read in a document: that is said once above it and not in each line.
    """

    anchor: str
    title: str
    limit: str
    unchecked: str
    rows: tuple[DragRow, ...]
    others: tuple[DragRow, ...]


#: Sizes that stand open in a table, [mm]: 1/4 in to 5/8 in, M6 to M16.
_OPEN_MM = (5.9, 16.1)


def drag_tables(nut: str, reference: Reference, citations: Citations, notes: Notes) -> tuple[DragTable, ...]:
    """A table for each thing that is limited; empty for a nut that does not grip its thread."""
    found = reference.nut_drags.for_kind(nut)
    return tuple(
        _table(what, [row for row in found if row.what == what], reference, citations, notes)
        for what in dict.fromkeys(row.what for row in found)
    )


def _table(what: str, found: list[Drag], reference: Reference, citations: Citations, notes: Notes) -> DragTable:
    documents = {row.provenance.document for row in found}
    unchecked = next(iter(documents)) if len(documents) == 1 and documents.issubset(UNSOURCED) else ""
    rows = tuple(_rows(found, unchecked, reference, citations, notes))
    return DragTable(
        anchor=what.replace(" ", "-"),
        title=what.capitalize(),
        limit="At least" if found[0].is_floor else "At most",
        unchecked=unchecked,
        rows=tuple(row for mm, row in rows if _OPEN_MM[0] <= mm <= _OPEN_MM[1]),
        others=tuple(row for mm, row in rows if not _OPEN_MM[0] <= mm <= _OPEN_MM[1]),
    )


def _rows(
    found: list[Drag], unchecked: str, reference: Reference, citations: Citations, notes: Notes
) -> Iterator[tuple[float, DragRow]]:
    """Each size with its diameter, [mm]. A figure for every thread of a size counts for each of its threads."""
    ordered = sorted(found, key=lambda row: (row.major_mm, _words(row)))
    for words, group in groupby(ordered, key=_words):
        own = tuple(group)
        size = words.partition("-")[0]
        whole = [row for row in found if row.size == f"{size} in" and row not in own and words != size]
        rows = (*own, *whole)
        cited = [row for row in rows if row.provenance.is_cited] or list(rows)
        # A floor is strictest at its highest, a ceiling at its lowest.
        strictest = max(row.torque_nm for row in cited) if rows[0].is_floor else min(row.torque_nm for row in cited)
        others = any(row.size.startswith(f"{words.removesuffix(' in')}-") for row in found)
        row = DragRow(
            size=f"{words}, other threads" if words.endswith(" in") and others else words,
            address=_address(words, reference),
            strictest=format_torque(strictest),
            said=tuple(
                notes.piece(
                    Piece(
                        text=one.printed,
                        aside=_aside(one),
                        citations=() if unchecked else (citations.of(one.provenance),),
                    )
                )
                for one in rows
            ),
        )
        yield own[0].major_mm, row


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
