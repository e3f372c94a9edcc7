"""Pages of head marks: one a mark, and the list by the part that carries it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from decoder.drawings.marks import draw_mark
from decoder.mark_records import PARTS, Confusable, Mark, Mistake
from decoder.reference import Reference
from decoder_site.records_place import Place, RecordsPlace
from decoder_site.views.facts import Fact, Facts


@dataclass(frozen=True, slots=True)
class MarkTile:
    """A mark in a list."""

    id: str
    title: str
    claims: str
    drawing: Markup


@dataclass(frozen=True, slots=True)
class LookGroup:
    """Marks on one kind of part that look alike at first glance."""

    anchor: str
    look: str
    marks: tuple[MarkTile, ...]


@dataclass(frozen=True, slots=True)
class MarkGroup:
    """Marks on one kind of part."""

    anchor: str
    title: str
    looks: tuple[LookGroup, ...]


@dataclass(frozen=True, slots=True)
class MarkView:
    """One mark."""

    id: str
    title: str
    on: str
    elements: tuple[str, ...]
    also_called: tuple[str, ...]
    has_strength: bool
    meanings: tuple[tuple[Fact, ...], ...]
    does_not_tell: tuple[str, ...]
    cautions: tuple[str, ...]
    confusable: tuple[Confusable, ...]
    mistaken_for: tuple[Mistake, ...]
    seen_on: tuple[str, ...]
    drawing: Markup
    record: Place


def mark_groups(reference: Reference) -> Iterator[MarkGroup]:
    """Marks by the part that carries them, in the order the format names the parts, then by first glance."""
    for part in PARTS:
        marks = [mark for mark in reference.marks if mark.on == part]
        anchor = part.replace(" ", "-")
        looks = tuple(
            LookGroup(
                anchor=f"{anchor}-{look.replace(' ', '-')}",
                look=look,
                marks=tuple(_tile(mark) for mark in marks if mark.look == look),
            )
            for look in dict.fromkeys(mark.look for mark in marks)
        )
        if looks:
            yield MarkGroup(anchor, f"On a {part}", looks)


def _tile(mark: Mark) -> MarkTile:
    return MarkTile(
        id=mark.id,
        title=mark.title,
        claims=" or ".join(mark.grades) if mark.grades else "no strength",
        drawing=mark_drawing(mark),
    )


def mark_view(mark: Mark, facts: Facts, place: RecordsPlace) -> MarkView:
    """All that the page of one mark shows."""
    record = mark.record
    return MarkView(
        id=mark.id,
        title=mark.title,
        on=mark.on,
        elements=tuple(element.words for element in mark.elements),
        also_called=tuple(record.also_called),
        has_strength=bool(mark.grades),
        meanings=tuple(facts.of(meaning) for meaning in mark.means),
        does_not_tell=tuple(mark.does_not_tell),
        cautions=tuple(mark.cautions),
        confusable=mark.confusable_with,
        mistaken_for=record.mistaken_for,
        seen_on=tuple(record.seen_on),
        drawing=mark_drawing(mark),
        record=place.of_record(mark.file, 0),
    )


def mark_drawing(mark: Mark) -> Markup:
    """The mark as an eye sees it."""
    return Markup(draw_mark(mark))
