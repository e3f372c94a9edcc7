"""Pages of kinds: of joints, nuts, washers, finishes and materials. Each shows every field of its record."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from decoder.drawings.kinds import draw_kind
from decoder.kinds import HardwareKind
from decoder_site.records_place import Place
from decoder_site.views.facts import Fact, Facts, Piece
from decoder_site.views.notes import Notes
from decoder_site.views.usage import Count


@dataclass(frozen=True, slots=True)
class KindTile:
    """A kind in a list; a joint has no shape to draw."""

    address: str
    title: str
    about: str
    drawing: Markup | None = None


@dataclass(frozen=True, slots=True)
class Section:
    """A list of a kind's record under its own heading."""

    anchor: str
    title: str
    lines: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class KindView:
    """One kind."""

    id: str
    title: str
    about: str
    drawing: Markup
    cautions: tuple[str, ...]
    sections: tuple[Section, ...]
    facts: tuple[Fact, ...]
    record: Place
    counts: tuple[Count, ...] = ()


#: Fields that the page shows of their own accord.
_SHOWN = ("id", "title", "summary", "cautions")


def kind_view(
    record: Any,
    facts: Facts,
    place: Place,
    notes: Notes,
    *,
    sections: Collection[str] = (),
    counts: tuple[Count, ...] = (),
) -> KindView:
    """A kind's page; `sections` are the fields that deserve a heading, `notes` those of the page it stands on."""
    shown = [notes.fact(fact) for fact in facts.of(record, leave_out=_SHOWN)]
    return KindView(
        id=record.id,
        title=record.title,
        about=getattr(record, "summary", "") or "",
        drawing=Markup(draw_kind(record)) if isinstance(record, HardwareKind) else Markup(""),
        cautions=tuple(getattr(record, "cautions", ())),
        sections=tuple(
            Section(fact.name.replace("_", "-"), fact.label, fact.pieces) for fact in shown if fact.name in sections
        ),
        facts=tuple(fact for fact in shown if fact.name not in sections),
        record=place,
        counts=counts,
    )
