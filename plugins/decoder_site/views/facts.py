"""Shows any record field by field: what each value is decides how it is printed and where it leads.

Going by the record's own types means that a field added to the format is shown without anything being written here.
"""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, get_args, get_origin, get_type_hints

from decoder.citations import Citation as RecordCitation
from decoder.fields import GradeName, RecordId, ThreadName
from decoder.head_kinds import drive_kind_id
from decoder.kinds import Rule, Statement
from decoder.quantities import (
    Angle,
    Length,
    Pitch,
    QuantityError,
    Temperature,
    Torque,
    format_angle,
    format_temperature,
    format_torque,
)
from decoder.records import Bolt, Condition, Screw
from decoder.reference import Reference
from decoder_site.views.measures import Citation, Citations, Measure, length, pitch


@dataclass(frozen=True, slots=True)
class Piece:
    """One value: a text, a measure or a citation, and the page it leads to ('' where it leads nowhere).

    A statement has beside its text an `aside` (who says so, and when it holds) and the citations it rests on, or the
    numbers of these on its page.
    """

    text: str = ""
    address: str = ""
    anchor: str = ""
    measure: Measure | None = None
    citation: Citation | None = None
    aside: str = ""
    citations: tuple[Citation, ...] = ()
    notes: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Fact:
    """A field of a record: its label and what it holds, or the fields of the record inside it."""

    name: str
    label: str
    pieces: tuple[Piece, ...] = ()
    inner: tuple[Fact, ...] = ()

    @property
    def is_list(self) -> bool:
        """True where the values are sentences, each of which wants a line of its own."""
        return len(self.pieces) > 1 and any(
            piece.citations or piece.notes or len(piece.text) > 40 for piece in self.pieces
        )


#: Where a record of another kind has its page.
_FOLDERS: Mapping[str, str] = {
    "mark": "head-marks/{}/",
    "nut": "nuts/{}/",
    "washer": "washers/{}/",
    "head": "heads-and-drives/{}/",
    "joint kind": "joint-kinds/{}/",
}
_ANCHORS: Mapping[str, str] = {"finish": "finishes/", "material": "materials/", "source": "sources/"}

#: Words of a record that have a page of their own, though they are none of its ids.
_SHAPES: Mapping[tuple[Any, str], str] = {
    (Bolt, "bolt"): "head",
    (Bolt, "drive"): "drive",
    (Screw, "screw"): "head",
    (Screw, "drive"): "drive",
}

#: Labels where the field's name with spaces would not do.
_LABELS: Mapping[str, str] = {
    "bolt": "Head",
    "again": "Go over it again",
    "checked_by": "Who checks it",
    "direction": "Hand of the thread",
    "embrittlement": "Makes steel brittle?",
    "families": "Likelier threads",
    "from_size": "From size",
    "into": "Breaks into",
    "nut_across_flats": "Across flats of the nut",
    "nut_spanner": "Spanner for the nut",
    "on": "Seen on",
    "part": "What it is",
    "screw": "Head",
    "strength": "Strength asked for",
    "weak_on_purpose": "Weak on purpose",
    "when": "When",
}


class Facts:
    """Turns records into facts; knows which threads, grades and records have pages."""

    def __init__(self, reference: Reference, citations: Citations, known: Mapping[str, Collection[str]]) -> None:
        """`known` holds the ids of each kind of record that has a page, by the kind's words ('mark', 'joint kind')."""
        self._reference, self._citations, self._known = reference, citations, known

    def of(self, record: Any, *, leave_out: Collection[str] = ()) -> tuple[Fact, ...]:
        """Every field that is filled in, in the order of the format."""
        return tuple(self._facts(record, leave_out))

    def thread(self, text: str) -> Piece:
        """A thread as a record writes it, leading to its page where it names one."""
        try:
            found = self._reference.threads.find(text)
        except QuantityError:
            return Piece(text=text)
        return Piece(text=found.designation, address=f"sizes/{found.slug.removesuffix('-lh')}/")

    def grade(self, text: str) -> Piece:
        """A grade as a record writes it, leading to its page where it names one."""
        try:
            found = self._reference.strengths.find(text)
        except QuantityError:
            return Piece(text=text)
        return Piece(text=text, address=f"strength/{found.slug}/")

    def record(self, kind: str, record_id: str) -> Piece:
        """The id of a record of another kind, leading to its page where it has one."""
        if record_id not in self._known.get(kind, ()):
            return Piece(text=record_id)
        title = self._title(kind, record_id)
        if kind in _FOLDERS:
            return Piece(text=title, address=_FOLDERS[kind].format(record_id))
        return Piece(text=title, address=_ANCHORS[kind], anchor=record_id)

    def _title(self, kind: str, record_id: str) -> str:
        known = self._known[kind]
        return known[record_id] if isinstance(known, Mapping) else record_id

    def _facts(self, record: Any, leave_out: Collection[str]) -> Iterator[Fact]:
        cls: Any = type(record)
        hints = _hints(cls)
        for item in dataclasses.fields(record):
            value = getattr(record, item.name)
            if item.name in leave_out or value is None or value in ((), {}, ""):
                continue
            label = _LABELS.get(item.name, item.name.replace("_", " ").capitalize())
            refers = item.metadata.get("refers", "") or _SHAPES.get((cls, item.name), "")
            yield self._fact(item.name, label, value, hints[item.name], refers)

    def _fact(self, name: str, label: str, value: Any, hint: Any, refers: str) -> Fact:
        hint = _without_none(hint)
        if isinstance(value, Mapping):
            inner_hint = get_args(hint)[1] if get_origin(hint) else Any
            inner = tuple(self._fact(key, key, one, inner_hint, refers) for key, one in value.items())
            return Fact(name, label, inner=inner)
        if isinstance(value, tuple):
            inner_hint = get_args(hint)[0] if get_args(hint) else Any
            if value and _is_record(value[0]):
                inner = tuple(Fact(name, type(one).__name__, inner=self.of(one)) for one in value)
                return Fact(name, label, inner=inner)
            return Fact(name, label, tuple(self._piece(one, inner_hint, refers) for one in value))
        if _is_record(value):
            return Fact(name, label, inner=self.of(value))
        return Fact(name, label, (self._piece(value, hint, refers),))

    def _piece(self, value: Any, hint: Any, refers: str) -> Piece:
        if isinstance(value, Length):
            return Piece(measure=length(value.mm, value.system, value.tolerance_mm))
        if isinstance(value, Pitch):
            return Piece(measure=pitch(value.pitch_mm, value.threads_per_inch))
        if isinstance(value, Torque):
            return Piece(text=torque_words(value))
        if isinstance(value, Condition):
            return Piece(text=condition_words(value))
        if isinstance(value, (Statement, Rule)):
            return self._statement(value)
        if isinstance(value, RecordCitation):
            return Piece(citation=self._citations.of(value))
        if hint is ThreadName:
            return self.thread(value)
        if hint is GradeName:
            return self.grade(value)
        if refers in ("head", "drive"):
            return self.record("head", drive_kind_id(value) if refers == "drive" else value)
        if hint is RecordId and refers:
            return self.record(refers, value)
        if hint is Temperature:
            return Piece(text=format_temperature(value))
        if hint is Angle:
            return Piece(text=format_angle(value))
        return Piece(text=f"{value:g}" if isinstance(value, float) else str(value))

    def _statement(self, value: Statement | Rule) -> Piece:
        """A statement with everything that its record says about it."""
        main = "says" if isinstance(value, Statement) else "because"
        if isinstance(value, Statement):
            others = self._facts(value, (main, "sources"))
            asides = [f"{fact.label.lower()} {', '.join(piece.text for piece in fact.pieces)}" for fact in others]
        else:
            asides = list(_when(value))
        return Piece(
            text=getattr(value, main),
            aside="; ".join(asides),
            citations=tuple(self._citations.of(source) for source in value.sources),
        )


def _when(rule: Rule) -> Iterator[str]:
    """Which joints a rule speaks of, in the words of the bench."""
    if rule.condition:
        yield f"where there is {rule.condition}"
    if rule.above is not None:
        yield f"above {format_temperature(rule.above)}"
    if rule.duty:
        yield f"in a joint that is there to {rule.duty}"
    if rule.consequence:
        yield "where a failure can hurt" if rule.consequence == "safety-critical" else f"on a {rule.consequence} joint"
    if rule.reused:
        yield "used again"
    if rule.bolt_over_mpa:
        yield f"under a bolt stronger than {rule.bolt_over_mpa} MPa"
    if rule.unless_with:
        yield f"unless with {', '.join(rule.unless_with)}"


def torque_words(torque: Torque) -> str:
    """A torque as it was written, and in both systems."""
    words = format_torque(torque.low_nm, torque.high_nm)
    return words if torque.written in words else f"{torque.written}, that is {words}"


def condition_words(condition: Condition) -> str:
    """A condition with its temperature."""
    if condition.temperature is None:
        return condition.name
    return f"{condition.name} {format_temperature(condition.temperature)}"


def _is_record(value: Any) -> bool:
    return dataclasses.is_dataclass(value) and not isinstance(
        value, (Length, Pitch, Torque, Condition, RecordCitation, Statement, Rule, type)
    )


@cache
def _hints(cls: Any) -> dict[str, Any]:
    return get_type_hints(cls)


def _without_none(hint: Any) -> Any:
    """The type of an optional field; of a field that takes several, whatever they are."""
    if get_origin(hint) in (typing.Union, types.UnionType):
        left = [one for one in get_args(hint) if one is not type(None)]
        return left[0] if len(left) == 1 else Any
    return hint
