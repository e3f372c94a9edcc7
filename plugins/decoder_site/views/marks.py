"""Pages of head marks: one a mark, and the list by the part that carries it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from decoder.drawings.marks import draw_mark
from decoder.mark_records import LOOK_WORDS, LOOKS, PARTS, Confusable, Look, Mark, Meaning, Mistake, Part
from decoder.reference import Reference
from decoder.strength import StrengthRow
from decoder_site.records_place import Place, RecordsPlace
from decoder_site.views.facts import Fact, Facts, Piece
from decoder_site.views.notes import Notes
from decoder_site.views.strengths import stress


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
    drawing: Markup
    marks: tuple[MarkTile, ...]


@dataclass(frozen=True, slots=True)
class MarkGroup:
    """Marks on one kind of part."""

    anchor: str
    title: str
    looks: tuple[LookGroup, ...]


@dataclass(frozen=True, slots=True)
class StrengthLine:
    """What a grade gives over a range of sizes."""

    sizes: str
    figures: str


@dataclass(frozen=True, slots=True)
class MeaningView:
    """One thing that the mark can mean: what it claims, who set that rule, how sure it is."""

    about: str
    grade: Piece | None
    says: Piece
    set_by: str
    certainty: str
    strengths: tuple[StrengthLine, ...]
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class MarkView:
    """One mark."""

    id: str
    title: str
    on: str
    elements: tuple[str, ...]
    also_called: tuple[str, ...]
    has_strength: bool
    meanings: tuple[MeaningView, ...]
    does_not_tell: tuple[str, ...]
    cautions: tuple[str, ...]
    confusable: tuple[Confusable, ...]
    mistaken_for: tuple[Mistake, ...]
    seen_on: tuple[str, ...]
    drawing: Markup
    record: Place


#: Where the part's own name would not say from which side to look.
_HEADINGS: Mapping[Part, str] = {
    "stud end": "On a stud, looking at its end",
    "stud shank": "On a stud, from the side: its shank and how it ends",
}


def mark_groups(reference: Reference) -> Iterator[MarkGroup]:
    """Marks by the part that carries them, in the order the format names the parts, then by first glance."""
    for part in PARTS:
        marks = [mark for mark in reference.marks if mark.on == part]
        anchor = part.replace(" ", "-")
        looks = tuple(
            LookGroup(
                anchor=f"{anchor}-{look.replace(' ', '-')}",
                look=LOOK_WORDS[look],
                drawing=look_drawing(look, marks),
                marks=tuple(_tile(mark) for mark in marks if mark.look == look),
            )
            for look in LOOKS
            if any(mark.look == look for mark in marks)
        )
        if looks:
            yield MarkGroup(anchor, _HEADINGS.get(part, f"On a {part}"), looks)


#: The marks that stand for their look where there is a choice: what people meet most.
_TYPICAL = (
    "radial-lines-3",
    "text-8-8",
    "text-7",
    "text-r",
    "text-a2-70",
    "recess-centre",
    "none-visible",
    "nut-text-8",
)


def look_drawing(look: Look, marks: Iterable[Mark]) -> Markup:
    """The mark that stands for a look among these: a typical one, or the first; '' where none looks so."""
    alike = sorted((mark for mark in marks if mark.look == look), key=lambda mark: mark.id not in _TYPICAL)
    return mark_drawing(alike[0]) if alike else Markup("")


def _tile(mark: Mark) -> MarkTile:
    return MarkTile(
        id=mark.id,
        title=mark.title,
        claims=" or ".join(mark.grades) if mark.grades else "strength not told",
        drawing=mark_drawing(mark),
    )


def mark_view(mark: Mark, reference: Reference, facts: Facts, place: RecordsPlace, notes: Notes) -> MarkView:
    """All that the page of one mark shows; `notes` are those of its page."""
    record = mark.record
    return MarkView(
        id=mark.id,
        title=mark.title,
        on=mark.on,
        elements=tuple(element.words for element in mark.elements),
        also_called=tuple(record.also_called),
        has_strength=bool(mark.grades),
        meanings=tuple(_meaning(meaning, reference, facts, notes) for meaning in mark.means),
        does_not_tell=tuple(mark.does_not_tell),
        cautions=tuple(mark.cautions),
        confusable=mark.confusable_with,
        mistaken_for=record.mistaken_for,
        seen_on=tuple(record.seen_on),
        drawing=mark_drawing(mark),
        record=place.of_record(mark.file, 0),
    )


#: Fields of a meaning that its lines show by themselves.
_SAID = ("about", "grade", "says", "standard", "origin", "certainty", "sources")


def _meaning(meaning: Meaning, reference: Reference, facts: Facts, notes: Notes) -> MeaningView:
    shown = facts.of(meaning)
    sources = next(fact.pieces for fact in shown if fact.name == "sources")
    grade = reference.strengths.get(meaning.grade) if meaning.grade else None
    return MeaningView(
        about=meaning.about,
        grade=facts.grade(meaning.grade) if meaning.grade else None,
        says=notes.piece(
            Piece(text=meaning.says, citations=tuple(piece.citation for piece in sources if piece.citation))
        ),
        set_by=meaning.origin if meaning.standard == "none" else f"{meaning.standard}, {meaning.origin}",
        certainty=meaning.certainty,
        strengths=tuple(_strength(row) for row in grade.rows) if grade else (),
        facts=tuple(fact for fact in shown if fact.name not in _SAID),
    )


def _strength(row: StrengthRow) -> StrengthLine:
    figures = (("proof", row.proof_mpa), ("yield", row.yield_mpa), ("tensile", row.tensile_mpa))
    words = [f"{name} {stress(mpa)}" for name, mpa in figures if mpa is not None]
    if not row.provenance.is_cited:
        words.append(row.provenance.document)
    return StrengthLine(f"{row.sizes}, {row.condition}" if row.condition else row.sizes, ", ".join(words))


def mark_drawing(mark: Mark) -> Markup:
    """The mark as an eye sees it."""
    return Markup(draw_mark(mark))
