"""What a mark is: what an eye sees on a head, nut or stud, and everything that can mean.

A mark is geometry: so many lines, at such angles, raised or sunk. What it means is another matter, often several, and
each meaning says who set the rule and how sure that is. A part that shows nothing means nothing: it never has a grade.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, NewType, get_args

from decoder.citations import Citation
from decoder.fields import GradeName, Text, doc
from decoder.quantities import Count, Length

#: Parts that carry marks.
Part = Literal["bolt head", "socket screw head", "cross-recess head", "nut", "stud end", "stud shank"]
PARTS: tuple[Part, ...] = get_args(Part)

#: What can be seen. A `clock dot` is the twelve, a `clock dash` the hour.
Kind = Literal[
    "radial line", "dash", "bar", "dot", "ring", "recess", "circle", "letters", "number", "underline", "triangle",
    "square", "plus", "cross", "asterisk", "groove", "notch", "arrow", "clock dot", "clock dash", "dog point",
    "knurl", "colour",
]  # fmt: skip

#: Where on the part it is seen.
Place = Literal["rim", "centre", "top", "flat", "face", "corners", "round the hexagon", "end", "shank", "side"]

#: Whether a fingernail feels it standing out or let in; makers differ where a standard allows both.
Relief = Literal["raised", "sunk", "raised or sunk"]

#: How far a meaning can be relied on, surest first.
Certainty = Literal["well supported", "one source", "sources disagree", "common practice", "from memory"]
CERTAINTIES: tuple[Certainty, ...] = get_args(Certainty)

#: What a meaning speaks of.
About = Literal["strength", "thread", "hand", "material", "use", "maker", "nothing"]

#: What a mark looks like at first glance, for choosing it by eye; in the order in which they are offered.
Look = Literal["nothing", "lines", "a number with a point", "a number", "one letter", "letters", "a shape"]
LOOKS: tuple[Look, ...] = get_args(Look)

#: Looks in the words that people choose by: each says what else is found under it.
LOOK_WORDS: Mapping[Look, str] = {
    "nothing": "nothing stamped",
    "lines": "lines, dashes or dots",
    "a number with a point": "a number with a point",
    "a number": "a number",
    "one letter": "one letter",
    "letters": "letters, figures among them or not",
    "a shape": "a hollow, ring or other shape",
}

#: Degrees clockwise from the top; a hexagon is drawn with a corner at the top.
Bearing = NewType("Bearing", float)

#: Kinds that are looked for among lines; a pit in a face passes for a dot.
_STROKES = frozenset(("radial line", "dash", "bar", "clock dash", "clock dot", "dot"))

#: Kinds that read something.
TEXT_KINDS = ("letters", "number")
_EVEN_DEG = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One kind of thing seen, as often as it is seen."""

    kind: Kind = field(metadata=doc("what is seen", example="radial line"))
    count: Count = field(default=Count(1), metadata=doc("how many of them", example="3"))
    at: Place = field(metadata=doc("where on the part", example="rim"))
    angles: tuple[Bearing, ...] = field(
        default=(), metadata=doc("where each one lies, clockwise from the corner that points up", example="120°")
    )
    text: Text | None = field(default=None, metadata=doc("what letters or numbers read", example="8.8"))
    relief: Relief = field(default="raised or sunk", metadata=doc("whether it stands out or is let in"))

    @property
    def is_even(self) -> bool:
        """True where the angles divide the circle evenly, or there is nothing to divide."""
        if len(self.angles) < 2:
            return True
        ordered = sorted(self.angles)
        gaps = [after - before for before, after in zip(ordered, [*ordered[1:], ordered[0] + 360], strict=True)]
        return max(gaps) - min(gaps) < _EVEN_DEG

    @property
    def words(self) -> str:
        """The element as people say it: '3 radial lines, evenly spaced, at the rim'."""
        place = self.at if self.at in ("round the hexagon",) else f"on the {self.at}"
        if self.kind in TEXT_KINDS:
            return f"{'number' if self.kind == 'number' else 'letters'} '{self.text}' {place}"
        noun = self.kind if self.count == 1 else f"{self.count} {plural(self.kind)}"
        spread = ""
        if self.kind == "clock dash" and len(self.angles) == 1:
            spread = f" at {_hour(self.angles[0])} o'clock"
        elif self.count > 1 and self.angles:
            spread = ", evenly spaced," if self.is_even else ", unevenly spaced,"
        return f"{noun}{spread} {place}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """One thing that a mark claims."""

    about: About = field(metadata=doc("what it speaks of", example="strength"))
    grade: GradeName | None = field(
        default=None, metadata=doc("grade claimed, as the strength tables name it", example="SAE 5")
    )
    standard: Text = field(metadata=doc("who set the rule", example="SAE J429"))
    origin: Text = field(metadata=doc("where the rule comes from", example="United States"))
    certainty: Certainty = field(metadata=doc("how far this can be relied on", example="one source"))
    says: Text = field(metadata=doc("what it claims, in words", example="thread is UNC or UNF"))
    from_size: Length | None = field(default=None, metadata=doc("smallest thread that the rule covers", example="5 mm"))
    families: tuple[Text, ...] = field(
        default=(), metadata=doc("thread families that this makes likelier", example="UNF")
    )
    hand: Literal["left", "right"] | None = field(default=None, metadata=doc("hand of the thread, where it says so"))
    material: Text | None = field(default=None, metadata=doc("id of a material, where it says so"))
    sources: tuple[Citation, ...] = field(metadata=doc("where this was read"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """Something that is no mark, or a mark of another part, and is taken for this one."""

    what: Text = field(metadata=doc("what is seen", example="forging dimple"))
    because: Text = field(metadata=doc("how to tell the two apart"))


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkRecord:
    """One picture, as its file describes it."""

    id: str = field(metadata=doc("the file's name: what is seen, never a grade", from_file_name=True))
    title: Text = field(metadata=doc("what is seen, in a few words", example="Three radial lines, evenly spaced"))
    on: Part = field(metadata=doc("which part carries it", example="bolt head"))
    also_called: tuple[Text, ...] = field(default=(), metadata=doc("other words people use for it"))
    elements: tuple[Element, ...] = field(default=(), metadata=doc("what is seen; left out where nothing is"))
    means: tuple[Meaning, ...] = field(metadata=doc("everything the picture can mean, surest first"))
    does_not_tell: tuple[Text, ...] = field(metadata=doc("what people wrongly read from it"))
    mistaken_for: tuple[Mistake, ...] = field(default=(), metadata=doc("what is taken for it"))
    cautions: tuple[Text, ...] = field(default=(), metadata=doc("what can hurt someone"))
    seen_on: tuple[Text, ...] = field(default=(), metadata=doc("where it is met"))


@dataclass(frozen=True, slots=True)
class Confusable:
    """A mark that is easily taken for another, and how that happens."""

    id: str
    title: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """A record, and through `neighbours` what follows from comparing it to all the others."""

    record: MarkRecord
    file: str
    neighbours: Callable[[Mark], tuple[Confusable, ...]] = field(
        default=lambda mark: (),  # noqa: ARG005 - a mark by itself has none
        repr=False,
        compare=False,
    )

    @property
    def confusable_with(self) -> tuple[Confusable, ...]:
        """Marks that are easily taken for this one; worked out when first asked for."""
        return self.neighbours(self)

    @property
    def id(self) -> str:
        """What the mark is called in addresses and records."""
        return self.record.id

    @property
    def title(self) -> str:
        """What is seen, in a few words."""
        return self.record.title

    @property
    def on(self) -> Part:
        """Which part carries it."""
        return self.record.on

    @property
    def elements(self) -> tuple[Element, ...]:
        """What is seen; empty where nothing is."""
        return self.record.elements

    @property
    def means(self) -> tuple[Meaning, ...]:
        """Everything the picture can mean."""
        return self.record.means

    @property
    def does_not_tell(self) -> tuple[str, ...]:
        """What people wrongly read from it."""
        return self.record.does_not_tell

    @property
    def cautions(self) -> tuple[str, ...]:
        """What can hurt someone."""
        return self.record.cautions

    @property
    def sources(self) -> tuple[Citation, ...]:
        """Every place its meanings rest on, each once, in order."""
        return tuple(dict.fromkeys(source for meaning in self.means for source in meaning.sources))

    @property
    def grades(self) -> tuple[str, ...]:
        """Grades it may claim, each once, in order of the record. Empty where it claims none."""
        return tuple(dict.fromkeys(meaning.grade for meaning in self.means if meaning.grade is not None))

    @property
    def shows_nothing(self) -> bool:
        """True for a part that carries no mark; a colour or a shine is none."""
        return shows_nothing(self.record)

    @property
    def look(self) -> Look:
        """What it looks like at first glance: with the part that carries it, two taps on the way to any mark."""
        if self.shows_nothing:
            return "nothing"
        kinds = {element.kind for element in self.elements}
        if "number" in kinds:
            return "a number with a point" if any("." in text for text in self.texts) else "a number"
        if "letters" in kinds:
            return "one letter" if all(len(text) == 1 for text in self.texts) else "letters"
        return "lines" if kinds & _STROKES else "a shape"

    @property
    def texts(self) -> tuple[str, ...]:
        """What its letters and numbers read."""
        return tuple(element.text for element in self.elements if element.text)


def shows_nothing(record: MarkRecord) -> bool:
    """True where nothing but a colour is seen, and so nothing can be claimed."""
    return all(element.kind == "colour" for element in record.elements)


def seen_as(element: Element) -> tuple[Any, ...]:
    """What an eye can tell an element by; whether it is raised or sunk is not part of that."""
    return (element.kind, element.count, element.at, element.angles, element.text)


def plural(noun: str) -> str:
    """More than one of a kind of element."""
    if noun.endswith(("sh", "ch")) or noun == "cross":
        return f"{noun}es"
    return noun if noun == "letters" else f"{noun}s"


def _hour(bearing_deg: float) -> str:
    hour = bearing_deg / 30 or 12
    return f"{hour:g}"
