"""Tables above the lists of finishes and materials: how thick a coat threads have room for, which metal eats which."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from decoder.kinds import GALVANIC_LIMITS_V, Material
from decoder.plating import COATS_UM, coat_room_um, thickest_coat_um
from decoder.reference import Reference
from decoder.writing import trimmed
from decoder_site.views.facts import Piece
from decoder_site.views.measures import Citation, Citations

#: Threads that most of a tub is made of, in the order of their families.
_COMMON = (
    "M5x0.8", "M6x1", "M8x1.25", "M10x1.5", "M12x1.75", "M8x1", "M10x1.25",
    "1/4-28 UNF", "5/16-24 UNF", "3/8-24 UNF", "7/16-20 UNF", "1/2-20 UNF",
    "1/4-20 UNC", "5/16-18 UNC", "3/8-16 UNC", "7/16-14 UNC", "1/2-13 UNC",
    "1/4-26 BSF", "5/16-22 BSF", "3/8-20 BSF", "1/4-20 BSW", "5/16-18 BSW", "3/8-16 BSW",
    "0 BA", "2 BA", "4 BA", "6 BA",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class EntryTable:
    """A table with words before it; the first cell of each row is its heading."""

    anchor: str
    title: str
    words: tuple[Piece, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[Piece, ...], ...]


def coat_table(reference: Reference, citations: Citations) -> EntryTable:
    """How thick a coat the common threads have room for, worked out from their limits of size."""
    return EntryTable(
        anchor="room",
        title="Room for a coat on the thread",
        words=(
            Piece(
                "A coat makes the pitch diameter larger by four times its thickness, at 60° between the flanks. Below: "
                "the room between a new bolt of the usual class at its largest and the size that must not be passed, "
                f"and the thickest of {_listed(COATS_UM)} µm that fits in. Worked out from the limits of size on each "
                "thread's page. The bolt in your hand may be larger or worn: try a nut after plating.",
                citations=_cited(citations, ("iso-4042-1999", "table of minimum fundamental deviations")),
            ),
            Piece(
                "Long bolts take less: the coat piles up at the ends.",
                citations=_cited(citations, ("iso-4042-1999", "table of thickest coatings, 6g")),
            ),
            Piece(
                "Old Whitworth and BA parts, made before their standards left room for a coat, may have none.",
                citations=_cited(citations, ("from memory", "")),
            ),
        ),
        columns=("Thread", "Room, each flank", "Thickest coat"),
        rows=tuple(_coat_rows(reference)),
    )


def _coat_rows(reference: Reference) -> Iterator[tuple[Piece, ...]]:
    known = {thread.designation: thread for thread in reference.threads}
    for name in _COMMON:
        thread = known.get(name)
        if thread is None:
            continue
        room, coat = coat_room_um(thread), thickest_coat_um(thread)
        yield (
            Piece(name, address=f"sizes/{thread.slug}/"),
            Piece("no limits known" if room is None else f"{math.floor(10 * room + 1e-6) / 10:g} µm"),
            Piece(f"{coat} µm" if coat else "cannot tell" if room is None else "none: it was made without"),
        )


def galvanic_table(reference: Reference, citations: Citations) -> EntryTable:
    """Which of two metals is eaten, how far they stand apart, and where that is too far."""
    metals = _by_index(reference)
    pairs = sorted(combinations(metals, 2), key=lambda pair: -abs(pair[0][0] - pair[1][0]))
    limits = ", ".join(f"{trimmed(volts, 2)} V {place}" for place, volts in GALVANIC_LIMITS_V.items())
    return EntryTable(
        anchor="pairs",
        title="Which metal eats which",
        words=(
            Piece(
                f"Where two metals touch and are wet, one is eaten. They should not stand further apart than {limits}. "
                "The index is against gold, in salt water; coats, paint and dry joints change it.",
                citations=_cited(citations, ("anodic-index-tables", "index and limits")),
            ),
            Piece(
                "A small part of the eaten metal in a large piece of the other goes fastest.",
                citations=_cited(citations, ("common practice", "")),
            ),
            Piece(
                "Close together is not safe by itself: steel screws seize in aluminium in salt spray all the same.",
                citations=_cited(citations, ("common practice", "")),
            ),
        ),
        columns=("Eaten", "By", "Apart: too far where"),
        rows=tuple(_pair_row(one, other) for one, other in pairs),
    )


def _by_index(reference: Reference) -> list[tuple[float, str]]:
    """Metals of one index together: nothing is eaten among them."""
    found: dict[float, list[Material]] = {}
    for material in reference.materials:
        if material.anodic_index is not None:
            found.setdefault(material.anodic_index, []).append(material)
    return sorted((index, ", ".join(metal.title.lower() for metal in metals)) for index, metals in found.items())


def _pair_row(one: tuple[float, str], other: tuple[float, str]) -> tuple[Piece, ...]:
    noble, eaten = sorted((one, other))
    gap = eaten[0] - noble[0]
    places = [place for place, volts in GALVANIC_LIMITS_V.items() if gap > volts + 1e-9]
    where = "everywhere" if len(places) == len(GALVANIC_LIMITS_V) else ", ".join(places) or "nowhere"
    return Piece(eaten[1].capitalize()), Piece(noble[1]), Piece(f"{trimmed(gap, 2)} V: {where}")


def _cited(citations: Citations, *places: tuple[str, str]) -> tuple[Citation, ...]:
    return tuple(citations.of(_Place(document, where)) for document, where in places)


@dataclass(frozen=True, slots=True)
class _Place:
    document: str
    where: str


def _listed(values: tuple[int, ...]) -> str:
    return ", ".join(map(str, values))
