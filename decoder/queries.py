"""The single field into which people type whatever they have: lists every reading of a text, and chooses none.

'13' may be a spanner, a metric size or a measure; '8.8' a strength class, a mark or 8.8 mm. What exists is for the
tables to say. The same rules stand in `content/assets/scripts/quantities.js`, held together by
`tests/vectors/designations.json`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal, TypeVar

from decoder.quantities import (
    LENGTH,
    METRIC_SIZES,
    MM_PER_INCH,
    NUMBER_SIZES,
    Length,
    Pitch,
    QuantityError,
    format_inch,
    format_mm,
    parse_length,
    parse_pitch,
)
from decoder.thread_names import DESIGNATION, Written, parse_designation, read_thread
from decoder.writing import DECIMAL, NUMBER, Number, NumberError, Sort, number, tidy, trimmed

QUERY = Sort(
    "a size, measure, spanner or mark", "what you have, such as 3/8-20, 7.9 mm 24 tpi, 13 spanner, 2 BA, 8.8 or 3 lines"
)

T = TypeVar("T")

Kind = Literal["thread", "measure", "pitch", "spanner", "strength", "mark"]

#: Strength classes that stand as a number with a point on metric heads, old ones too.
_CLASSES = ("3.6", "4.6", "4.8", "5.6", "5.8", "6.6", "6.8", "6.9", "8.8", "9.8", "10.9", "12.9", "14.9")
#: Sizes that a bare number may stand for, by how they are then written.
_USUAL_SIZES = {
    "M{}": ("1.6", "2.5", "3.5", *(f"{size}" for size in METRIC_SIZES)),
    "No. {}": tuple(f"{size}" for size in NUMBER_SIZES),
    "{} BA": tuple(f"{size}" for size in range(17)),
}
_NUT_CLASSES = (4, 5, 6, 8, 9, 10, 12)
_SPANNERS_FROM_MM = 4
_COARSEST_MM = 6
_MARK_WORDS = (
    r"lines?|dash(?:es)?|bars?|strokes?|dots?|dimples?|notch(?:es)?|nicks?|circles?|rings?|recess(?:ed)?|dish(?:ed)?|"
    r"crosses|stars?|triangles?|arrows?|letters?|marks?|marking|unmarked|blank|plain head"
)


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing a text may mean. `says` is it in words; the fields that belong to its kind are filled.

    A 'thread' may carry the `length` of the part, a 'measure' the `pitch` that was typed beside it. `spanner` is a
    marking (`13 mm`, `1/2 AF`, `1/4W`, `5/16BS`, `2BA`), `strength` a grade's name, `mark` what stands on the head.
    """

    kind: Kind
    says: str
    thread: Written | None = None
    length: Length | None = None
    pitch: Pitch | None = None
    spanner: str | None = None
    strength: str | None = None
    mark: str | None = None


@dataclass(frozen=True, slots=True)
class Query:
    """Typed text with everything it may mean, likeliest first; never without a reading."""

    typed: str
    readings: tuple[Reading, ...]


def read_query(text: str) -> Query:
    """Every reading of what someone typed: `3/8 20`, `7.9 mm 24`, `13 spanner`, `8.8`, `2BA`, `1/4W`, `M8x1.25x40`.

    Raises
    ------
    QuantityError
        One sentence, where the text has no reading at all.
    """
    typed = tidy(text, QUERY)
    readings: dict[str, Reading] = {}
    for reading in _readings(typed):
        readings.setdefault(reading.says, reading)
    if not readings:
        raise _why_nothing(typed)
    return Query(typed, tuple(readings.values()))


def _readings(typed: str) -> Iterator[Reading]:
    plain = typed.lower()
    named = re.fullmatch(r"(?:(.+?) ?(?:spanner|wrench|socket|key)s?|(?:spanner|wrench|socket|key) ?(.+))", plain)
    if named:
        yield from map(_spanner, _jaws(named[1] or named[2]))
        return
    if re.fullmatch(DECIMAL, plain):
        yield from _bare(plain)
        return
    yield from _strengths(plain)
    yield from _threads(typed)
    if re.fullmatch(rf"{NUMBER} ?(?:w|whit|whitworth|bs|ba|af|a/f|(?:mm|in|\") ?(?:af|a/f)|across flats)", plain):
        yield from map(_spanner, _jaws(plain))
    yield from _measures(typed)
    if re.fullmatch(rf"{NUMBER}(?: ?(?:mm|in|\"))?", plain):
        yield from map(_spanner, _jaws(plain))
    yield from _threads_refused(typed)
    if re.search(rf"(?:^|[^a-z])(?:{_MARK_WORDS})(?:$|[^a-z])", plain):
        yield Reading("mark", f"the mark '{plain}'", mark=plain)


def _bare(plain: str) -> Iterator[Reading]:
    """Readings of a number with nothing beside it."""
    value = number(plain)
    point = plain.replace(",", ".")
    if point in _CLASSES:
        yield _class(point)
        yield _mark(point)
    yield from _usual(("M{}", "No. {}"), point)
    if point == "5.5" or (value.is_integer and _SPANNERS_FROM_MM <= value.value <= 60):
        yield _spanner(f"{trimmed(value.value, 1)} mm")
    if 0 < value.value <= 100:
        yield _measure(parse_length(f"{point} mm"))
    if 0 < value.value <= 4:
        yield _measure(parse_length(f"{point} in"))
    for pitch in _bare_pitches(point):
        yield _pitch(pitch)
    yield from _usual(("{} BA",), point)
    if value.is_integer and 3 <= value.value <= 14:
        yield _mark(trimmed(value.value, 0))


def _usual(forms: tuple[str, ...], point: str) -> Iterator[Reading]:
    for form in forms:
        if point in _USUAL_SIZES[form]:
            yield _thread(parse_designation(form.format(point)), None)


def _threads(typed: str) -> Iterator[Reading]:
    try:
        written, length = read_thread(typed)
    except QuantityError:
        return
    yield _thread(written, parse_length(length) if length else None)


def _threads_refused(typed: str) -> Iterator[Reading]:
    """The threads that a refusal offers: `10x32` is no one thread, and two may be meant."""
    try:
        read_thread(typed)
    except NumberError:
        return
    except QuantityError as error:
        for choice in error.choices:
            yield from _threads(choice)


def _measures(typed: str) -> Iterator[Reading]:
    """A length, a pitch, or the one beside the other."""
    length = _or_none(parse_length, typed)
    if length is not None:
        yield _measure(length)
    pitch = _or_none(parse_pitch, typed)
    if pitch is not None and (pitch.threads_per_inch is not None or pitch.pitch_mm <= _COARSEST_MM):
        yield _pitch(pitch)
    if length is not None or pitch is not None:
        return
    for match in re.finditer(r" ?[,x@] ?| ", typed):
        left, right = typed[: match.start()], typed[match.end() :]
        count = _or_none(parse_pitch, left)
        if count is not None and count.threads_per_inch is not None:
            left, right = right, left
        for diameter in _diameters(left):
            for beside in _pitches_beside(right):
                # A pitch is between a fiftieth and three tenths of the diameter in every thread that is in use.
                if 0.02 * diameter.mm <= beside.pitch_mm <= 0.3 * diameter.mm:
                    yield _measure(diameter, beside)


def _diameters(text: str) -> Iterator[Length]:
    length = _or_none(parse_length, text)
    if length is not None:
        yield length
    elif re.fullmatch(DECIMAL, text):
        for unit in ("mm", "in"):
            length = _or_none(parse_length, f"{text} {unit}")
            if length is not None and length.mm <= 4 * MM_PER_INCH:
                yield length


def _pitches_beside(text: str) -> Iterator[Pitch]:
    pitch = _or_none(parse_pitch, text)
    if pitch is not None:
        yield pitch
    elif re.fullmatch(DECIMAL, text):
        yield from _bare_pitches(text)


def _bare_pitches(text: str) -> Iterator[Pitch]:
    point = text.replace(",", ".")
    if 4 <= float(point) <= 80 and re.fullmatch(r"[0-9]+(?:\.5)?", point):
        yield parse_pitch(f"{point} tpi")
    if 0.2 <= float(point) <= _COARSEST_MM:
        yield parse_pitch(f"{point} mm")


def _strengths(plain: str) -> Iterator[Reading]:
    match = re.fullmatch(r"(?:iso |property )?(?:class )?([0-9]{1,2}\.[0-9])", plain)
    if match and match[1] in _CLASSES:
        yield _class(match[1])
    match = re.fullmatch(r"(?:sae |j429 )?(?:grade|gr\.?|sae|j429) ?([1-8](?:\.[12])?)", plain)
    if match:
        yield Reading("strength", f"the strength grade SAE {match[1]}", strength=f"SAE {match[1]}")
    match = re.fullmatch(r"(?:nut )?class ([0-9]{1,2})(?: nut)?|nut ([0-9]{1,2})", plain)
    if match and int(match[1] or match[2]) in _NUT_CLASSES:
        name = f"nut class {match[1] or match[2]}"
        yield Reading("strength", f"the strength {name}", strength=name)
    match = re.fullmatch(r"([ac][1-5])(?:[ -]?([0-9]{2,3}))?", plain)
    if match:
        text = match[1].upper() + (f"-{match[2]}" if match[2] else "")
        if match[2]:
            yield Reading("strength", f"the strength class {text}", strength=text)
        yield _mark(text)
    match = re.fullmatch(r"(?:(bs|british) )?(?:letter |grade )?([abprstvxy])", plain)
    if match:
        letter = match[2].upper()
        yield Reading("strength", f"the strength grade BS {letter}", strength=f"BS {letter}")
        yield _mark(letter)


def _jaws(text: str) -> Iterator[str]:
    """Markings of the spanners a text may name."""
    match = re.fullmatch(rf"({NUMBER}) ?(mm|in|\")? ?(af|a/f|across flats|w|whit|whitworth|bsw|bs|bsf|ba)?", text)
    if match is None:
        return
    try:
        size = number(match[1])
    except QuantityError:
        return
    kind = match[3] or ""
    if kind == "ba":
        if size.is_integer and match[2] is None and size.value <= 16:
            yield f"{int(size.value)}BA"
        return
    if match[2] == "mm" or (not size.is_fraction and not kind.startswith(("w", "bs"))):
        yield from _millimetre_jaw(size, match[2])
        return
    name = _jaw_name(size)
    if name is None:
        return
    if kind.startswith("a") or not kind:
        yield f"{name} AF"
    if kind.startswith("w") or kind in ("", "bsw"):
        yield f"{name}W"
    if kind in ("", "bs", "bsf"):
        yield f"{name}BS"


def _millimetre_jaw(size: Number, unit: str | None) -> Iterator[str]:
    if size.is_fraction:
        return
    if unit != "mm" and size.value < _SPANNERS_FROM_MM:
        if size.is_integer and size.value > 0:
            yield f"{int(size.value)} AF"
    elif unit in (None, "mm") and size.value <= 60 and int(size.value * 10 + 0.5) % 5 == 0:
        yield f"{trimmed(size.value, 1)} mm"


def _jaw_name(size: Number) -> str | None:
    if not size.is_fraction and not size.is_integer:
        return None
    if not 0 < size.value <= 4 or 64 % size.denominator:
        return None
    return format_inch(size.value * MM_PER_INCH).removesuffix(" in")


def _thread(written: Written, length: Length | None) -> Reading:
    says = f"the thread {written.text}"
    if length is not None:
        says += f", {_said(length)} long"
    return Reading("thread", says, thread=written, length=length)


def _measure(length: Length, pitch: Pitch | None = None) -> Reading:
    if pitch is None:
        return Reading("measure", f"a measure of {_said(length)}", length=length)
    return Reading("measure", f"{_said(length)} across the thread at {_said_pitch(pitch)}", length=length, pitch=pitch)


def _pitch(pitch: Pitch) -> Reading:
    return Reading("pitch", f"a pitch of {_said_pitch(pitch)}", pitch=pitch)


def _said(length: Length) -> str:
    said = format_inch(length.mm) if length.system == "inch" else format_mm(length.mm)
    return f"{said} ±{format_mm(length.tolerance_mm)}" if length.tolerance_mm is not None else said


def _said_pitch(pitch: Pitch) -> str:
    return (
        f"{trimmed(pitch.threads_per_inch, 3)} tpi" if pitch.threads_per_inch is not None else format_mm(pitch.pitch_mm)
    )


def _spanner(marking: str) -> Reading:
    return Reading("spanner", f"a spanner marked {marking}", spanner=marking)


def _class(name: str) -> Reading:
    return Reading("strength", f"the strength class {name}", strength=name)


def _mark(text: str) -> Reading:
    return Reading("mark", f"the mark '{text}'", mark=text)


def _or_none(parse: Callable[[str], T], text: str) -> T | None:
    try:
        return parse(text)
    except QuantityError:
        return None


def _why_nothing(typed: str) -> QuantityError:
    """The most telling refusal: a zero denominator rather than 'not a thread'."""
    telling: tuple[tuple[Callable[[str], object], Sort], ...] = (
        (parse_length, LENGTH),
        (parse_designation, DESIGNATION),
    )
    for parse, sort in telling:
        try:
            parse(typed)
        except QuantityError as error:
            if str(error) != str(sort.refuse(typed)):
                return error
    return QUERY.refuse(typed)
