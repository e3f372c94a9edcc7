"""Reads and prints every quantity a person types: lengths, pitches, torques, temperatures, angles and counts.

A bare number is refused where its unit is not certain, and the refusal names the readings. The same rules stand in
`content/assets/scripts/quantities.js`, held together by `tests/vectors/quantities.json`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, NewType

from decoder.writing import (
    DECIMAL,
    NUMBER,
    RULE_DENOMINATORS,
    Number,
    QuantityError,
    Sort,
    number,
    shown,
    tidy,
    trimmed,
)

__all__ = [
    "Angle",
    "Count",
    "Length",
    "Pitch",
    "QuantityError",
    "Temperature",
    "Torque",
    "format_angle",
    "format_inch",
    "format_length",
    "format_mm",
    "format_pitch",
    "format_temperature",
    "format_torque",
    "parse_angle",
    "parse_count",
    "parse_length",
    "parse_pitch",
    "parse_temperature",
    "parse_torque",
]

System = Literal["inch", "metric"]

#: Degrees Celsius.
Temperature = NewType("Temperature", float)

#: Degrees.
Angle = NewType("Angle", float)

#: How many, at least one.
Count = NewType("Count", int)

MM_PER_INCH = 25.4
NM_PER_LBF_FT = 1.3558179483314004
NM_PER_LBF_IN = NM_PER_LBF_FT / 12
NM_PER_KGF_M = 9.80665

#: Sizes that a bare whole number may stand for; choices in refusals are made of them.
NUMBER_SIZES = (0, 1, 2, 3, 4, 5, 6, 8, 10, 12)
METRIC_SIZES = (2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39)

LONGEST_MM = 10000
COARSEST_MM = 12
FINEST_MM = 0.1
MOST_THREADS_PER_INCH = 200

LENGTH = Sort("a length", "one such as 7.9 mm, 5/16 in or 1-1/8 in, with ±0.05 mm after it if unsure")
PITCH = Sort("a pitch", "one such as 24 tpi or 1.25 mm")
TORQUE = Sort("a torque", "one such as 24 N·m, 18 lbf·ft, 50 lbf·in or 18-22 lbf·ft")
TEMPERATURE = Sort("a temperature", "one such as 120 °C or 250 °F")
ANGLE = Sort("an angle", "degrees such as 60°, or a part of a turn such as 1/4 turn")
COUNT = Sort("a count", "a whole number such as 4")


@dataclass(frozen=True, slots=True)
class Length:
    """A length or diameter. `tolerance_mm` is the half-width written after ±, None where none was written."""

    mm: float
    system: System
    tolerance_mm: float | None
    written: str


@dataclass(frozen=True, slots=True)
class Pitch:
    """Distance from crest to crest. `threads_per_inch` is None where the pitch was written as a distance."""

    pitch_mm: float
    threads_per_inch: float | None
    tolerance_mm: float | None
    written: str


@dataclass(frozen=True, slots=True)
class Torque:
    """A tightening torque. `low_nm` and `high_nm` equal `nm` unless a range was written; `unit` is as printed."""

    nm: float
    unit: str
    low_nm: float
    high_nm: float
    written: str


_LENGTH_UNIT = r"(?:mm|millimet(?:re|er)s?|cm|µm|um|microns?|in|ins|inch|inches|\"|thou)\.?"
# Millimetres per unit as a ratio of whole numbers, so that 1-1/2 in comes out as 38.1 and not a hair beside it.
_MM_PER_UNIT: dict[str, tuple[int, int, System]] = {
    "mm": (1, 1, "metric"),
    "cm": (10, 1, "metric"),
    "µm": (1, 1000, "metric"),
    "um": (1, 1000, "metric"),
    "in": (254, 10, "inch"),
    '"': (254, 10, "inch"),
    "thou": (254, 10000, "inch"),
}
_PLUS_MINUS = r"(?:±|\+ ?/? ?-)"
_ACROSS_FLATS = r"(?: ?(?:af|a/f|a\.f\.|across flats))?"
_LENGTH = re.compile(
    rf"(?:dia(?:meter)?\.? ?)?({NUMBER}) ?({_LENGTH_UNIT})?"
    rf"(?: ?{_PLUS_MINUS} ?({NUMBER}) ?({_LENGTH_UNIT})?)?{_ACROSS_FLATS}"
)
_LENGTH_RANGE = re.compile(rf"({NUMBER}) ?({_LENGTH_UNIT})? ?(to|-) ?({NUMBER}) ?({_LENGTH_UNIT})?")
_TPI = (
    r"(?:tpi|t\.p\.i\.?|threads?(?: ?/ ?| per | to the | an )(?:in|inch|\")\.?|per (?:in|inch)\.?|/ ?(?:in|inch|\")\.?)"
)
_PITCH_TPI = re.compile(rf"(?:pitch ?)?({NUMBER}) ?{_TPI}(?: ?{_PLUS_MINUS} ?({NUMBER}) ?(?:{_TPI})?)?(?: pitch)?")
_PITCH_LENGTH = re.compile(
    rf"(?:pitch ?)?({NUMBER}) ?({_LENGTH_UNIT})?(?: ?{_PLUS_MINUS} ?({NUMBER}) ?({_LENGTH_UNIT})?)?(?: pitch)?"
)

_TORQUE_UNITS: dict[str, tuple[str, float]] = {
    **dict.fromkeys(
        ("nm", "n m", "newton metre", "newton metres", "newton meter", "newton meters", "newtonmetres"), ("N·m", 1.0)
    ),
    **dict.fromkeys(("danm", "dan m", "mdan", "m dan"), ("daN·m", 10.0)),
    **dict.fromkeys(
        ("kgfm", "kgf m", "kgm", "kg m", "mkg", "m kg", "mkgf", "m kgf", "mkp", "m kp", "kpm", "kp m"),
        ("kgf·m", NM_PER_KGF_M),
    ),
    **dict.fromkeys(
        ("kgfcm", "kgf cm", "kgcm", "kg cm", "cmkg", "cm kg", "cmkgf", "cm kgf", "cmkp", "cm kp", "kpcm", "kp cm"),
        ("kgf·cm", NM_PER_KGF_M / 100),
    ),
    **{
        spelling: ("lbf·ft", NM_PER_LBF_FT)
        for pound in ("lb", "lbs", "lbf", "pound", "pounds", "pounds force", "pound force")
        for foot in ("ft", "foot", "feet")
        for spelling in (f"{pound} {foot}", f"{pound}{foot}", f"{foot} {pound}", f"{foot}{pound}")
    },
    **{
        spelling: ("lbf·in", NM_PER_LBF_IN)
        for pound in ("lb", "lbs", "lbf", "pound", "pounds", "pounds force", "pound force")
        for inch in ("in", "ins", "inch", "inches")
        for spelling in (f"{pound} {inch}", f"{pound}{inch}", f"{inch} {pound}", f"{inch}{pound}")
    },
    **dict.fromkeys(("ozf in", "oz in", "in oz", "in ozf", "ozin", "inoz"), ("ozf·in", NM_PER_LBF_IN / 16)),
}
_TORQUE = re.compile(rf"({NUMBER})(?: ?(-|to|±|\+ ?/? ?-) ?({NUMBER}))? ?([a-z][a-z ·.*/-]*)?")
# What stands before or instead of a torque's unit, and the units that may be meant.
_WITHOUT_LEVER = {
    "": ("N·m", "lbf·ft"),
    **dict.fromkeys(("lb", "lbs", "lbf", "pound", "pounds"), ("lbf·ft", "lbf·in")),
    **dict.fromkeys(("kg", "kgf", "kp"), ("kgf·m", "kgf·cm")),
}

_TEMPERATURE = re.compile(
    rf"(-|\+|minus )? ?({DECIMAL}) ?(?:°|deg(?:ree)?s?\.?)? ?(c|f|celsius|centigrade|fahrenheit)?"
)
_ANGLE = re.compile(rf"({NUMBER}) ?(?:°|deg(?:ree)?s?\.?)?(?: ?([0-9]+) ?(?:'|min(?:ute)?s?\.?))?")
_TURN = re.compile(rf"(?:({NUMBER})|(half)|(quarter))(?: of)?(?: an?)? ?turns?")
_COUNT = re.compile(r"x? ?([0-9]+) ?(?:x|off|pcs?\.?|pieces?)?")


def parse_length(text: str, unit: Literal["mm", "in"] | None = None) -> Length:
    """Read a length: `7.9mm`, `7,9 mm ±0.05`, `5/16`, `1-1/8 in`, `¼"`, `312 thou`, `7.8 to 7.9 mm`.

    A bare fraction is inches, since nothing else is measured in fractions. A bare number is refused, unless the field
    it was typed into shows a `unit`. A second measure in brackets, as printed by `format_length`, must agree.

    Raises
    ------
    QuantityError
        For anything else, in one sentence.
    """
    written = tidy(text, LENGTH)
    first, second = _bracketed(written)
    length = _length(first, written, unit)
    if second is not None:
        _agree(length.mm, _length(second, second, None).mm, written)
    return length


def parse_pitch(text: str, unit: Literal["mm", "tpi"] | None = None) -> Pitch:
    """Read a thread pitch: `24tpi`, `24 threads per inch`, `11-1/2 tpi`, `1.25 mm`, `1/24 in`.

    A bare number is refused, unless the field it was typed into shows a `unit`.

    Raises
    ------
    QuantityError
        For anything else, in one sentence.
    """
    written = tidy(text, PITCH)
    first, second = _bracketed(written)
    pitch = _pitch(first, written, unit)
    if second is not None:
        _agree(pitch.pitch_mm, _pitch(second, second, None).pitch_mm, written)
    return pitch


def parse_torque(text: str) -> Torque:
    """Read a torque: `24 Nm`, `18 lb-ft`, `18 ft lb`, `2.5 kgf·m`, `50 lbf in`, `18-22 lbf·ft`, `25 ±2 N·m`.

    Raises
    ------
    QuantityError
        For anything else, in one sentence; a bare number and a bare `lb` name the readings.
    """
    written = tidy(text, TORQUE)
    first, second = _bracketed(written)
    torque = _torque(first, written)
    if second is not None:
        _agree(torque.nm, _torque(second, second).nm, written)
    return torque


def parse_temperature(text: str) -> Temperature:
    """Read a temperature with its scale, `120 °C`, `120C`, `250 °F`; returns °C.

    Raises
    ------
    QuantityError
        For anything else, in one sentence.
    """
    written = tidy(text, TEMPERATURE)
    match = _TEMPERATURE.fullmatch(written.lower())
    if match is None:
        raise TEMPERATURE.refuse(written)
    value = number(match[2]).value
    if match[1] in ("-", "minus "):
        value = -value
    if match[3] is None:
        plain = trimmed(value, 9)
        raise QuantityError(
            f"'{shown(written)}' has no scale: write {plain} °C or {plain} °F.", (f"{plain} °C", f"{plain} °F")
        )
    celsius = (value - 32) / 1.8 if match[3].startswith("f") else value
    if not -273.15 <= celsius <= 2000:
        raise QuantityError(f"'{shown(written)}' is out of reach: write a temperature from -273 °C to 2000 °C.")
    return Temperature(celsius)


def parse_angle(text: str) -> Angle:
    """Read an angle, `60°`, `47.5 deg`, `47°30'`, `1/4 turn`, or a bare number of degrees; returns degrees.

    Raises
    ------
    QuantityError
        For anything else, in one sentence.
    """
    written = tidy(text, ANGLE)
    plain = written.lower()
    turn = _TURN.fullmatch(plain)
    if turn is not None:
        degrees = 360 * (number(turn[1]).value if turn[1] else 0.5 if turn[2] else 0.25)
    else:
        match = _ANGLE.fullmatch(plain)
        if match is None:
            raise ANGLE.refuse(written)
        minutes = number(match[2]).value if match[2] else 0.0
        if minutes >= 60:
            raise QuantityError(f"'{shown(written)}' has 60 minutes or more: write minutes below 60, such as 47°30'.")
        degrees = number(match[1]).value + minutes / 60
    if not 0 < degrees <= 720:
        raise QuantityError(f"'{shown(written)}' is out of reach: write an angle above 0° and up to 720°.")
    return Angle(degrees)


def parse_count(text: str) -> Count:
    """Read how many there are: `4`, `4 off`, `x4`, `4 pcs`; from 1 to 9999.

    Raises
    ------
    QuantityError
        For anything else, in one sentence.
    """
    written = tidy(text, COUNT)
    match = _COUNT.fullmatch(written.lower())
    if match is None:
        raise COUNT.refuse(written)
    count = int(number(match[1]).value)
    if not 1 <= count <= 9999:
        raise QuantityError(f"'{shown(written)}' is no count of parts: write a whole number from 1 to 9999.")
    return Count(count)


def format_mm(mm: float, decimals: int = 3) -> str:
    """Millimetres for print, `7.938 mm`: at most so many decimals, no trailing zeros."""
    return f"{trimmed(mm, decimals)} mm"


def format_inch(mm: float) -> str:
    """Inches for print: `5/16 in`, `1-1/8 in` where it is a 64th within a micrometre, else three decimals."""
    inches = mm / MM_PER_INCH
    parts = int(inches * 64 + 0.5)
    if parts and abs(parts * MM_PER_INCH / 64 - mm) <= 0.001:
        return f"{_inch_fraction(parts, 64)} in"
    return f"{trimmed(inches, 3)} in"


def format_length(mm: float, system: System = "metric") -> str:
    """A length in both systems, the given one first: `7.938 mm (5/16 in)`."""
    if system == "inch":
        return f"{format_inch(mm)} ({format_mm(mm)})"
    return f"{format_mm(mm)} ({format_inch(mm)})"


def format_pitch(pitch_mm: float, threads_per_inch: float | None = None) -> str:
    """A pitch in both systems: `24 tpi (1.058 mm)` where threads per inch are given, else `1.25 mm (20.3 tpi)`."""
    if threads_per_inch is not None:
        return f"{trimmed(threads_per_inch, 3)} tpi ({format_mm(pitch_mm)})"
    return f"{format_mm(pitch_mm)} ({trimmed(MM_PER_INCH / pitch_mm, 1)} tpi)"


def format_torque(low_nm: float, high_nm: float | None = None) -> str:
    """A torque or range of torques: `24 N·m (17.7 lbf·ft)`; below 10 N·m with lbf·in: `5.6 N·m (50 lbf·in)`.

    Three figures are printed: no wrench is better, and no torque here is known better.
    """
    high_nm = low_nm if high_nm is None else high_nm
    unit, nm_per_unit = ("lbf·in", NM_PER_LBF_IN) if high_nm < 10 else ("lbf·ft", NM_PER_LBF_FT)
    newton, pound = _three_figures(low_nm), _three_figures(low_nm / nm_per_unit)
    if high_nm > low_nm:
        newton, pound = (
            f"{newton}-{_three_figures(high_nm)}",
            f"{pound}-{_three_figures(high_nm / nm_per_unit)}",
        )
    return f"{newton} N·m ({pound} {unit})"


def format_temperature(celsius: float) -> str:
    """A temperature in both scales: `120 °C (248 °F)`."""
    return f"{trimmed(celsius, 0)} °C ({trimmed(celsius * 1.8 + 32, 0)} °F)"


def format_angle(degrees: float) -> str:
    """An angle: `47.5°`."""
    return f"{trimmed(degrees, 2)}°"


def _inch_fraction(numerator: int, denominator: int) -> str:
    while numerator % 2 == 0 and denominator > 1:
        numerator, denominator = numerator // 2, denominator // 2
    whole, rest = divmod(numerator, denominator)
    if not rest:
        return f"{whole}"
    return f"{whole}-{rest}/{denominator}" if whole else f"{rest}/{denominator}"


def _three_figures(value: float) -> str:
    return trimmed(value, 0 if value >= 100 else 1 if value >= 10 else 2)


def _bracketed(written: str) -> tuple[str, str | None]:
    match = re.fullmatch(r"([^()]+) ?\(([^()]+)\)", written)
    return (match[1].strip(" "), match[2].strip(" ")) if match else (written, None)


def _agree(one: float, other: float, written: str) -> None:
    # Printed figures are rounded, a manual's conversions coarsely.
    if abs(one - other) > 0.03 * max(one, other):
        raise QuantityError(f"'{shown(written)}' gives two measures that are not the same: write one of the two.")


def _unit_name(unit: str) -> str:
    plain = unit.removesuffix(".")
    if plain.startswith("millim"):
        return "mm"
    if plain.startswith("micron"):
        return "µm"
    return "in" if plain.startswith("in") else plain


def _measure(value: Number, unit: str | None, written: str) -> tuple[float, System]:
    """Millimetres of a number with its unit; a bare fraction of a rule is inches."""
    if unit is None and not value.is_fraction:
        raise _bare(value)
    if unit is None and value.denominator not in RULE_DENOMINATORS:
        raise QuantityError(
            f"'{shown(written)}' is no division of an inch rule: "
            f"write {value.text} in if inches are meant, or decimals with a unit.",
            (f"{value.text} in",),
        )
    name = _unit_name(unit or "in")
    per_unit, parts, system = _MM_PER_UNIT[name]
    if not value.is_fraction:
        return value.value * per_unit / parts, system
    if system == "metric":
        choices = (f"{value.text} in", f"{trimmed(value.value, 3)} {name}")
        raise QuantityError(
            f"'{shown(written)}' puts a fraction with {name}: write {choices[0]}, or a decimal such as {choices[1]}.",
            choices,
        )
    return (value.whole * value.denominator + value.numerator) * per_unit / (value.denominator * parts), system


def _bare(value: Number) -> QuantityError:
    plain = value.text.replace(",", ".")
    if value.value <= 0:
        return QuantityError(f"'{value.text}' is nothing: write a length above zero, such as 7.9 mm.")
    if value.value > LONGEST_MM:
        return QuantityError(f"'{value.text}' is longer than any fastener: write at most {LONGEST_MM} mm.")
    in_reach = value.value * MM_PER_INCH <= LONGEST_MM
    measures = (f"{plain} mm", f"{plain} in") if in_reach else (f"{plain} mm",)
    said = " or ".join(measures)
    if not value.is_integer:
        return QuantityError(f"'{value.text}' has no unit: write {said}.", measures)
    whole = int(value.value)
    threads = [f"M{whole}"] if whole in METRIC_SIZES else []
    threads += [f"No. {whole}"] if whole in NUMBER_SIZES else []
    pitches = [f"{whole} tpi"] if 8 <= whole <= 80 else []
    if threads or pitches:
        said += " for a measure"
    if threads:
        said += f", {' or '.join(threads)} for a thread size"
    if pitches:
        said += f", {pitches[0]} for a pitch"
    return QuantityError(f"'{value.text}' has no unit: write {said}.", (*measures, *threads, *pitches))


def _length(text: str, written: str, unit: str | None) -> Length:
    plain = text.lower()
    match = _LENGTH.fullmatch(plain)
    if match is None:
        return _length_range(text, plain, written)
    value = number(match[1])
    written_unit = match[2] or match[4] or (unit if not value.is_fraction else None)
    mm, system = _measure(value, written_unit, written)
    tolerance = None
    if match[3]:
        tolerance_unit = match[4] or match[2] or ("in" if system == "inch" else written_unit)
        tolerance, _ = _measure(number(match[3]), tolerance_unit, written)
    return _checked_length(mm, system, tolerance, written)


def _length_range(text: str, plain: str, written: str) -> Length:
    match = _LENGTH_RANGE.fullmatch(plain)
    if match is None or match[5] is None:
        raise _not_a_length(text, plain)
    low, high = match[1], match[4]
    if match[3] == "-" and "/" in low + high:
        raise LENGTH.refuse(text)
    if match[3] == "-":
        unit = match[5]
        raise QuantityError(
            f"'{shown(text)}' may be a range or a slip: write {low} to {high} {unit} for a range.",
            (f"{low} to {high} {unit}",),
        )
    low_mm, _ = _measure(number(low), match[2] or match[5], written)
    high_mm, system = _measure(number(high), match[5], written)
    if not low_mm < high_mm:
        raise QuantityError(f"'{shown(text)}' does not go upwards: write the smaller measure first.")
    return _checked_length((low_mm + high_mm) / 2, system, (high_mm - low_mm) / 2, written)


def _checked_length(mm: float, system: System, tolerance_mm: float | None, written: str) -> Length:
    if mm <= 0:
        raise QuantityError(f"'{shown(written)}' is nothing: write a length above zero, such as 7.9 mm.")
    if mm > LONGEST_MM:
        raise QuantityError(f"'{shown(written)}' is longer than any fastener: write at most {LONGEST_MM} mm.")
    _check_tolerance(mm, tolerance_mm, written)
    return Length(mm, system, tolerance_mm, written)


def _check_tolerance(mm: float, tolerance_mm: float | None, written: str) -> None:
    if tolerance_mm is not None and not 0 < tolerance_mm < mm:
        raise QuantityError(
            f"'{shown(written)}' has a tolerance that is zero or as large as the measure: "
            f"write a small one such as ±0.05 mm, or none."
        )


def _not_a_length(text: str, plain: str) -> QuantityError:
    quoted = shown(text)
    if re.fullmatch(rf"- ?{NUMBER}.*", plain):
        return QuantityError(f"'{quoted}' is below zero: write a length above zero, such as 7.9 mm.")
    match = re.fullmatch(rf"({DECIMAL}) ?mils?", plain)
    if match:
        choices = (f"{match[1]} mm", f"{match[1]} thou")
        return QuantityError(
            f"'{quoted}' may be millimetres or thousandths of an inch: write {choices[0]} or {choices[1]}.", choices
        )
    if re.fullmatch(rf"m ?{DECIMAL}.*|{NUMBER} ?- ?[0-9]+.*", plain):
        return QuantityError(
            f"'{quoted}' is a thread size, not a measure: write what was measured, such as 7.9 mm or 5/16 in."
        )
    if _PITCH_TPI.fullmatch(plain):
        return QuantityError(f"'{quoted}' is a pitch, not a length: write a length such as 7.9 mm or 5/16 in.")
    return LENGTH.refuse(text)


def _pitch(text: str, written: str, unit: str | None) -> Pitch:
    plain = text.lower()
    match = _PITCH_TPI.fullmatch(plain)
    if match:
        return _threads_per_inch(number(match[1]), number(match[2]) if match[2] else None, written)
    match = _PITCH_LENGTH.fullmatch(plain)
    if match is None:
        raise PITCH.refuse(text)
    value = number(match[1])
    written_unit = match[2] or match[4]
    if written_unit is None and unit == "tpi":
        return _threads_per_inch(value, number(match[3]) if match[3] else None, written)
    written_unit = written_unit or unit
    if written_unit is None:
        raise _bare_pitch(value)
    pitch_mm, system = _measure(value, written_unit, written)
    tolerance = _measure(number(match[3]), match[4] or written_unit, written)[0] if match[3] else None
    # One part in so many of an inch is how a thread count reads on a rule.
    counted = value.is_fraction and value.whole == 0 and value.numerator == 1 and system == "inch"
    return _checked_pitch(pitch_mm, float(value.denominator) if counted else None, tolerance, written)


def _threads_per_inch(count: Number, tolerance: Number | None, written: str) -> Pitch:
    threads = count.value
    if threads <= 0:
        raise QuantityError(f"'{shown(written)}' is nothing: write a pitch such as 24 tpi or 1.25 mm.")
    tolerance_mm = None
    if tolerance is not None:
        if not 0 < tolerance.value < threads:
            _check_tolerance(1.0, 0.0, written)
        tolerance_mm = (MM_PER_INCH / (threads - tolerance.value) - MM_PER_INCH / (threads + tolerance.value)) / 2
    return _checked_pitch(MM_PER_INCH / threads, threads, tolerance_mm, written)


def _checked_pitch(pitch_mm: float, threads_per_inch: float | None, tolerance_mm: float | None, written: str) -> Pitch:
    if not FINEST_MM <= pitch_mm <= COARSEST_MM:
        raise QuantityError(
            f"'{shown(written)}' is no thread pitch: write one from {FINEST_MM} mm to {COARSEST_MM} mm, "
            f"or from 3 tpi to {MOST_THREADS_PER_INCH} tpi."
        )
    if tolerance_mm is not None:
        _check_tolerance(pitch_mm, tolerance_mm, written)
    return Pitch(pitch_mm, threads_per_inch, tolerance_mm, written)


def _bare_pitch(value: Number) -> QuantityError:
    plain = value.text.replace(",", ".")
    if not FINEST_MM <= value.value <= MOST_THREADS_PER_INCH:
        return QuantityError(f"'{value.text}' is no thread pitch: write one such as 24 tpi or 1.25 mm.")
    if value.is_fraction and value.value >= 3:
        choices = (f"{plain} tpi", f"{plain} in")
        said = f"{choices[0]} for threads per inch, or {choices[1]} for a measure"
    elif value.value > 8 or (value.is_integer and value.value == 8):
        choices = (f"{plain} tpi", f"{plain} mm")
        said = f"{choices[0]} for threads per inch, or {choices[1]} for a spanner or a measure"
    elif value.value < 3 and not value.is_fraction:
        choices = (f"{plain} mm", f"{plain} in")
        said = f"{choices[0]} for a pitch, or {choices[1]} for a measure"
    elif value.is_fraction:
        choices = (f"{plain} in", "24 tpi")
        said = f"{choices[0]} for the distance between crests, or a count such as {choices[1]}"
    else:
        choices = (f"{plain} tpi", f"{plain} mm")
        said = f"{choices[0]} for threads per inch, or {choices[1]} for the distance between crests"
    return QuantityError(f"'{value.text}' has no unit: write {said}.", choices)


def _torque(text: str, written: str) -> Torque:
    match = _TORQUE.fullmatch(text.lower())
    if match is None:
        if re.fullmatch(rf"- ?{NUMBER}.*", text.lower()):
            raise QuantityError(f"'{shown(text)}' is below zero: write a torque above zero, such as 24 N·m.")
        raise TORQUE.refuse(text)
    name = re.sub(r"[ ·.*-]+", " ", match[4] or "").strip(" ")
    plain = text[: len(text) - len(match[4] or "")].strip(" ").replace(",", ".")
    over = re.fullmatch(r"([0-9]{1,9}) ?/ ?([0-9]{1,9})", plain)
    is_range = over is not None and int(over[1]) != int(over[2])
    if over is not None and is_range:
        # Manuals print ranges with a stroke; nobody tightens to a fraction of a unit.
        plain = "-".join(sorted((over[1], over[2]), key=int))
    if name in _WITHOUT_LEVER:
        choices = (f"{plain} {_WITHOUT_LEVER[name][0]}", f"{plain} {_WITHOUT_LEVER[name][1]}")
        raise QuantityError(
            f"'{shown(text)}' {'names a weight alone' if name else 'has no unit'}: write {choices[0]} or {choices[1]}.",
            choices,
        )
    if name not in _TORQUE_UNITS:
        raise TORQUE.refuse(text)
    unit, scale = _TORQUE_UNITS[name]
    if is_range:
        raise QuantityError(
            f"'{shown(text)}' may be a range or a fraction: write {plain} {unit} for a range, or decimals.",
            (f"{plain} {unit}",),
        )
    first = number(match[1]).value * scale
    second = number(match[3]).value * scale if match[3] else None
    if second is None:
        low = high = first
    elif match[2] in ("-", "to"):
        low, high = first, second
        if not low < high:
            raise QuantityError(f"'{shown(text)}' does not go upwards: write the smaller torque first.")
    else:
        low, high = first - second, first + second
    if low <= 0 or high > 100000:
        raise QuantityError(f"'{shown(text)}' is out of reach: write a torque above zero and up to 100000 N·m.")
    return Torque(first if low == high else (low + high) / 2, unit, low, high, written)
