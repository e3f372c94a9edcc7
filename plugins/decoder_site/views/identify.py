"""The identify page: the choices it offers, as the index knows them."""

from __future__ import annotations

import json
from dataclasses import dataclass

from markupsafe import Markup

from decoder.drawings.choices import draw_choice
from decoder.identify import build_index
from decoder.marks import Mark
from decoder.reference import Reference
from decoder_site.views.marks import mark_drawing

_HEADS = ("bolt head", "socket screw head", "cross-recess head")


@dataclass(frozen=True, slots=True)
class MarkChoice:
    """A mark that may be seen."""

    id: str
    title: str
    words: str
    look: str
    drawing: Markup


@dataclass(frozen=True, slots=True)
class KindChoice:
    """A kind of fastener, as a picture."""

    name: str
    drawing: Markup


@dataclass(frozen=True, slots=True)
class IdentifyView:
    """What may be chosen on the page."""

    kinds: tuple[KindChoice, ...]
    instruments: tuple[str, ...]
    conditions: tuple[str, ...]
    materials: tuple[str, ...]
    drives: tuple[str, ...]
    looks: tuple[str, ...]
    head_marks: tuple[MarkChoice, ...]


def identify_view(reference: Reference) -> IdentifyView:
    """Every choice of the identify page, in the order of the index; 'unknown' is said by choosing nothing."""
    index = json.loads(build_index(reference))
    on_heads = [mark for mark in reference.marks if mark.on in _HEADS]
    return IdentifyView(
        kinds=tuple(KindChoice(name, Markup(draw_choice(name))) for name in _names(index["kinds"])),
        instruments=_names(index["instruments"]),
        conditions=_names(index["conditions"]),
        materials=_names(index["materials"]),
        drives=_names(index["drives"]),
        looks=tuple(dict.fromkeys(mark.look for mark in on_heads)),
        head_marks=tuple(
            MarkChoice(mark.id, mark.title, _words(mark), mark.look, mark_drawing(mark)) for mark in on_heads
        ),
    )


def _words(mark: Mark) -> str:
    """What someone may type to find the mark: its names, and the grades it claims."""
    return " ".join((mark.title, *mark.record.also_called, *mark.grades, *mark.texts)).lower()


def _names(entries: dict[str, object]) -> tuple[str, ...]:
    return tuple(name for name in entries if name != "unknown")
