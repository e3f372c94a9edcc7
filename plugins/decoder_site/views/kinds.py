"""Pages of kinds: of joints, nuts, washers, finishes and materials. Each shows every field of its record."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from decoder.drawings.heads import draw_head_kind
from decoder.drawings.kinds import draw_kind
from decoder.head_kinds import HeadKind
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
    quotes_aviation: bool = False
    counts: tuple[Count, ...] = ()
    principle: str = ""
    strictest: str = ""


#: Fields that the page shows of their own accord.
_SHOWN = ("id", "title", "summary", "cautions")

#: What the page of a nut or washer opens with: how to know it, how it works, and what holds where it can hurt someone.
_HARDWARE_SHOWN = (*_SHOWN, "recognise", "principle", "strictest")

#: The page of a head is drawn from two of its fields, and opens with how to know it.
_HEAD_SHOWN = (*_SHOWN, "sort", "side", "above", "recognise")

#: What a record says where it has nothing to say, which a person at the bench need not read.
_NOTHING = ("", "it has none", "no source found", "No limit of its own: as the steel and its finish.")

#: Labels of what a page opens with where the field's own name would say too little.
_HEADINGS = {
    "drag": "Drag: how hard it turns before it clamps",
    "test": "Test before it goes back",
    "goes_wrong": "What goes wrong",
    "length": "How its length is measured",
    "says": "What it says of thread and strength",
    "partners": "Goes with",
    "told_apart": "Told apart",
}


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
    hardware = isinstance(record, HardwareKind)
    leave_out = _HARDWARE_SHOWN if hardware else _HEAD_SHOWN if isinstance(record, HeadKind) else _SHOWN
    shown = [notes.fact(fact) for fact in facts.of(record, leave_out=leave_out) if not _says_nothing(fact)]
    shown.sort(key=lambda fact: fact.name != "test")
    asides = [piece.aside for fact in shown for piece in fact.pieces]
    aviation = hardware and any("aviation" in aside or "US " in aside for aside in asides)
    return KindView(
        id=record.id,
        title=record.title,
        about=_about(record),
        drawing=kind_drawing(record),
        cautions=tuple(getattr(record, "cautions", ())),
        sections=tuple(
            Section(fact.name.replace("_", "-"), _HEADINGS.get(fact.name, fact.label), fact.pieces)
            for fact in shown
            if fact.name in sections
        ),
        facts=tuple(fact for fact in shown if fact.name not in sections),
        record=place,
        quotes_aviation=aviation,
        counts=counts,
        principle=record.principle if hardware else "",
        strictest=record.strictest if hardware else "",
    )


def _says_nothing(fact: Fact) -> bool:
    """Whether a field holds only that there is nothing to say: it is left out of the page."""
    return (
        all(
            piece.text in _NOTHING and not piece.aside and piece.measure is None and piece.citation is None
            for piece in fact.pieces
        )
        and not fact.inner
    )


def kind_drawing(record: Any) -> Markup:
    """A nut, washer, head or drive from above and from the side; nothing for what has no shape."""
    if isinstance(record, HardwareKind):
        return Markup(draw_kind(record))
    if isinstance(record, HeadKind):
        return Markup(draw_head_kind(record.title, record.side, record.above))
    return Markup("")


def _about(record: Any) -> str:
    """What a page opens with; finishes and materials share a page, where every field has its line."""
    if isinstance(record, (HardwareKind, HeadKind)):
        return record.recognise
    return getattr(record, "summary", "") or ""
