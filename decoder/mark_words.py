"""Finds a mark from what people say they see."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from decoder.mark_likeness import as_written
from decoder.mark_records import Mark, Part
from decoder.quantities import QuantityError

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_SAME_WORD = {
    word: words[0]
    for words in (
        ("line", "lines", "slash", "slashes", "tick", "ticks", "hash", "hashes", "rib", "ribs", "stroke", "strokes"),
        ("line", "dash", "dashes", "spoke", "spokes", "ray", "rays"),
        ("bar", "bars"),
        ("centre", "center", "middle", "central"),
        ("recess", "dimple", "depression", "hollow", "dish", "dished", "recessed"),
        ("dot", "dots", "point", "spot", "pip"),
        ("nut", "nuts"),
        ("stud", "studs"),
        ("ring", "rings"),
        ("circle", "circles"),
        ("none", "nothing", "unmarked", "blank", "bare", "smooth", "plain", "clean", "0"),
        ("letter", "letters"),
        ("number", "numbers", "digit", "digits", "figure", "figures"),
        ("groove", "grooves", "slot", "cut"),
        ("notch", "notches", "nick", "nicks"),
        ("corner", "corners"),
        ("even", "evenly", "equal", "equally"),
        ("uneven", "unevenly", "bunched", "irregular", "grouped"),
        ("underline", "underlined"),
        ("raised", "embossed", "proud"),
        ("sunk", "stamped", "incised"),
        ("arrow", "arrows"),
        ("bright", "shiny", "chromed", "chrome", "polished"),
    )
    for word in words
}
#: Words that say which part is meant, the more particular first.
_PART_WORDS: tuple[tuple[str, tuple[Part, ...]], ...] = (
    ("nut", ("nut",)),
    ("stud", ("stud end", "stud shank")),
    ("socket", ("socket screw head",)),
    ("cross-recess", ("cross-recess head",)),
)

_FILLERS = frozenset(
    ("a", "an", "and", "apart", "are", "at", "bolt", "by", "head", "in", "is", "it", "its", "mark", "marked", "marking",
     "markings", "marks", "of", "on", "or", "radial", "reads", "round", "says", "screw", "small", "spaced", "surface",
     "the", "to", "top", "visible", "with", "written")
)  # fmt: skip


class Phrases:
    """Every way of naming every mark, ready to be compared with what someone typed."""

    def __init__(self, marks: Iterable[Mark]) -> None:
        self._by_id = {mark.id: mark for mark in marks}
        self._known = [(mark, [_tokens(phrase) for phrase in _phrases(mark)]) for mark in self._by_id.values()]

    def one(self, text: str, on: Part | None) -> Mark:
        """The one mark that fits best, or QuantityError with the choices."""
        found = self.ranked(text, on)
        shown = text.strip()[:60]
        if not found and re.fullmatch(r"[A-Z]{2,6}", shown):
            raise QuantityError(
                f"'{shown}' is no mark of strength known here: letters are mostly a maker's name, which says who and "
                "not how strong, so write what else you see or 'letters-maker'.",
                ("letters-maker",),
            )
        if not found:
            raise QuantityError(
                f"'{shown}' looks like no mark known here: say what you see, such as '3 lines', '8.8', 'T', "
                "'dot in the middle' or 'none'."
            )
        rivals = tuple(mark.id for score, mark in found if score == found[0][0])
        if len(rivals) > 1:
            names = ", ".join(f"'{name}'" for name in rivals)
            raise QuantityError(f"'{shown}' fits several marks: write one of {names}.", rivals)
        return found[0][1]

    def ranked(self, text: str, on: Part | None) -> list[tuple[float, Mark]]:
        """Marks that fit, best first, each with a score above 0 that means nothing by itself."""
        asked = text.strip()
        named = self._by_id.get(asked)
        if named is not None and on in (None, named.on):
            return [(9.0, named)]
        written, tokens = as_written(asked), _tokens(asked)
        parts: tuple[Part, ...] = (on,) if on else _parts_named(tokens)
        scored = []
        for mark, phrases in self._known:
            if parts and mark.on not in parts:
                continue
            score = max((_fit(tokens, phrase) for phrase in phrases), default=0.0)
            if any(as_written(reads) == written for reads in mark.texts):
                # A mark with more to see beside the text is less likely to be all that was meant.
                score = max(score, 3.0 if len(mark.elements) == 1 else 1.5)
            if score > 0:
                # Without a word for the part, people mean the head of a bolt.
                scored.append((round(score + (mark.on == "bolt head") + _plainness(mark), 6), mark))
        return sorted(scored, key=lambda pair: (-pair[0], pair[1].id))


def _parts_named(tokens: frozenset[str]) -> tuple[Part, ...]:
    """Parts that the words themselves name; empty where they name none."""
    for word, parts in _PART_WORDS:
        if word in tokens:
            return parts
    return ()


def _tokens(text: str) -> frozenset[str]:
    words = re.findall(r"[a-z]+|\d+(?:\.\d+)?", text.casefold().replace(",", "."))
    numbered = (str(_NUMBERS.index(word)) if word in _NUMBERS[1:] else word for word in words)
    found = {_SAME_WORD.get(word, word) for word in numbered if word not in _FILLERS}
    if "no" in found:
        found = {"none"} | (found - {"no", "line", "letter", "number"})
    if "dot" in found and "centre" in found:
        found = (found - {"dot"}) | {"recess"} if "raised" not in found else found
    return frozenset(found)


_NO_PART = frozenset(word for word, _ in _PART_WORDS)


def _fit(asked: frozenset[str], phrase: frozenset[str]) -> float:
    """2 where the words say the same; less where one says more than the other; 0 where they contradict."""
    asked, phrase = asked - _NO_PART, phrase - _NO_PART
    if not asked or not phrase:
        return 0.0
    if asked == phrase:
        return 2.0
    if asked < phrase:
        return 1.0 * len(asked) / len(phrase) if not any(word.isdigit() for word in phrase - asked) else 0.0
    if phrase < asked and len(phrase) > 1:
        return 0.9 * len(phrase) / len(asked)
    return 0.0


def _plainness(mark: Mark) -> float:
    """Breaks ties: of the pictures that fit, people mean the plainest, and lines at the rim before any others."""
    even = all(element.is_even for element in mark.elements)
    rim = any(element.at == "rim" for element in mark.elements)
    return 0.05 * (not mark.shows_nothing and even) + 0.04 / (1 + len(mark.elements)) + 0.01 * rim


def _phrases(mark: Mark) -> Iterator[str]:
    yield mark.title
    yield mark.id.replace("-", " ")
    yield from mark.record.also_called
    if len(mark.elements) == 1:
        element = mark.elements[0]
        if element.text:
            yield f"{'letter' if element.kind == 'letters' else 'number'} {element.text}"
            yield element.text
        elif mark.on == "bolt head" or element.count == 1:
            yield f"{element.count} {element.kind}" if element.count > 1 else element.kind
            if element.count > 1 and element.is_even:
                yield f"{element.count} {element.kind} even"
