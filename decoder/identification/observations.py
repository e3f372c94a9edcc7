"""What may be observed of a fastener, checked before anything is computed.

Observations come as plain mappings (from the command line, a batch file, a page's address). The keys and their units
are those at the top of `identify.js`; every one may be missing or None, since 'I cannot tell' is always an answer.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from decoder.identification.index import Index

OUTCOMES = ("will not start", "binds", "runs on", "wobbles")
COUNTED = ("crests", "pitches")
HANDS = ("left", "right")
CRESTS = ("flat", "rounded")
PITCH_METHODS = ("leaf", "known bolt", "stated")

#: The look-over of a head or nut that bears no mark at all.
BLANK = "none"


class ObservationError(ValueError):
    """An observation that cannot be used; one sentence that says what was found and what is expected."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A length with the standard error of its reading, mm."""

    mm: float
    error_mm: float


@dataclass(frozen=True, slots=True)
class Pitch:
    """A pitch in mm; `error` is the standard error as a share of the pitch, None for a leaf, which confuses
    neighbours.
    """

    mm: float
    error: float | None
    threads_per_inch: float | None


@dataclass(frozen=True, slots=True)
class Count:
    """So many threads over a length in mm; `counted` is None where nobody asked whether crests or spaces."""

    threads: float
    over_mm: float
    error_mm: float
    counted: str | None


@dataclass(frozen=True, slots=True)
class Trial:
    """A part of known thread tried on. `number` is its place in the index."""

    designation: str
    number: int
    outcome: str
    turns: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Observations:
    """Everything observed; None and empty mean 'not looked at, or cannot tell'."""

    has_thread: bool | None = None
    kind: str | None = None
    diameter: Measure | None = None
    minor_diameter: Measure | None = None
    pitch: Pitch | None = None
    count: Count | None = None
    trials: tuple[Trial, ...] = ()
    flank_angle: tuple[float, float] | None = None
    crest: str | None = None
    across_flats: Measure | None = None
    spanner: tuple[float, str] | None = None
    head_height: Measure | None = None
    length: Measure | None = None
    head: str | None = None
    nut_top: str | None = None
    drive: str | None = None
    head_marks: tuple[str, ...] = ()
    nut_marks: tuple[str, ...] = ()
    material: str | None = None
    finish: str | None = None
    hand: str | None = None
    condition: str | None = None
    vehicle: str | None = None
    assembly: str | None = None
    has: tuple[str, ...] | None = None
    cannot: tuple[str, ...] = ()
    #: 'external' for male threads, 'internal' for nuts and holes.
    member: str = field(default="external")


KEYS = tuple(name for name in Observations.__dataclass_fields__ if name != "member")


def read_observations(given: Mapping[str, Any], index: Index) -> Observations:
    """Check plain observations against the index.

    Parameters
    ----------
    given : Mapping[str, Any]
        Keys as at the top of `identify.js`; lengths in mm.
    index : Index
        Names of kinds, instruments, marks … that are known.

    Raises
    ------
    ObservationError
        One sentence, at the first observation that cannot be used.
    """
    for key in given:
        if key not in KEYS:
            raise ObservationError(f"'{key}' is no observation; known are {', '.join(KEYS)}.")
    data = index.data
    kind = _choice(given, "kind", list(data["kinds"]))
    internal = kind is not None and data["kinds"][kind]["member"] == "internal"
    diameter = _measure(given, "diameter", index)
    minor = _measure(given, "minor_diameter", index)
    nut_top = _choice(given, "nut_top", list(data["nut_tops"]))
    if kind is None and ((diameter is None and minor is not None) or nut_top is not None):
        internal = True
    return Observations(
        has_thread=_truth(given, "has_thread"),
        kind=kind,
        diameter=diameter,
        minor_diameter=minor,
        pitch=_pitch(given, index),
        count=_count(given, index),
        trials=_trials(given, index),
        flank_angle=_angle(given, index),
        crest=_choice(given, "crest", CRESTS),
        across_flats=_measure(given, "across_flats", index),
        spanner=_spanner(given),
        head_height=_measure(given, "head_height", index),
        length=_measure(given, "length", index),
        head=_choice(given, "head", list(data["heads"])),
        nut_top=nut_top,
        drive=_choice(given, "drive", list(data["drives"])),
        head_marks=_choices(given, "head_marks", [BLANK, *data["marks"]]),
        nut_marks=_choices(given, "nut_marks", [BLANK, *data["marks"]]),
        material=_choice(given, "material", list(data["materials"])),
        finish=_choice(given, "finish", list(data["finishes"])),
        hand=_choice(given, "hand", HANDS),
        condition=_choice(given, "condition", [name for name in data["conditions"] if name != "unknown"]),
        vehicle=_text(given, "vehicle"),
        assembly=_text(given, "assembly"),
        has=None if given.get("has") is None else _choices(given, "has", data["tools"]),
        cannot=_choices(given, "cannot", KEYS),
        member="internal" if internal else "external",
    )


def _choice(given: Mapping[str, Any], key: str, allowed: Sequence[str]) -> str | None:
    value = given.get(key)
    if value is None:
        return None
    if value not in allowed:
        raise ObservationError(f"{key} is '{value}'; known are {', '.join(allowed)}.")
    return str(value)


def _choices(given: Mapping[str, Any], key: str, allowed: Sequence[str]) -> tuple[str, ...]:
    values = given.get(key)
    if values is None:
        return ()
    if not isinstance(values, (list, tuple)):
        raise ObservationError(f"{key} is '{values}'; expected a list.")
    for value in values:
        if value not in allowed:
            raise ObservationError(f"{key} has '{value}'; known are {', '.join(allowed)}.")
    return tuple(dict.fromkeys(values))


def _text(given: Mapping[str, Any], key: str) -> str | None:
    value = given.get(key)
    if value is not None and not isinstance(value, str):
        raise ObservationError(f"{key} is '{value}'; expected its name.")
    return value


def _truth(given: Mapping[str, Any], key: str) -> bool | None:
    value = given.get(key)
    if value is not None and not isinstance(value, bool):
        raise ObservationError(f"{key} is '{value}'; expected true or false.")
    return value


#: What a measure may say. The system of units is for whoever shows it; lengths are millimetres.
_MEASURE = ("mm", "tolerance_mm", "instrument", "system")
_PITCH = ("mm", "tolerance_mm", "method", "threads_per_inch", "system")
_COUNT = ("threads", "over_mm", "tolerance_mm", "instrument", "counted", "system")


def _part(given: Mapping[str, Any], key: str, known: Sequence[str]) -> Mapping[str, Any] | None:
    value = given.get(key)
    if value is None:
        return None
    return _object(value, key, known)


def _object(value: Any, key: str, known: Sequence[str]) -> Mapping[str, Any]:
    if not isinstance(value, Mapping):
        raise ObservationError(f"{key} is '{value}'; expected an object with {', '.join(known)}.")
    for name in value:
        if name not in known:
            raise ObservationError(f"{key} has '{name}'; known are {', '.join(known)}.")
    return value


def _number(part: Mapping[str, Any], key: str, name: str, least: float, most: float) -> float:
    value = part.get(name)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise ObservationError(f"{key}.{name} is '{value}'; expected a number.")
    if not least <= value <= most:
        raise ObservationError(f"{key}.{name} is {value:g}; expected {least:g} to {most:g}.")
    return float(value)


def _optional(part: Mapping[str, Any], key: str, name: str, least: float, most: float) -> float | None:
    return None if part.get(name) is None else _number(part, key, name, least, most)


def _measure(given: Mapping[str, Any], key: str, index: Index) -> Measure | None:
    part = _part(given, key, _MEASURE)
    if part is None:
        return None
    instrument = _choice(part, "instrument", list(index.data["instruments"])) or "digital calipers"
    tolerance = _optional(part, key, "tolerance_mm", 0.0, 100.0)
    error = index.data["instruments"][instrument]
    if tolerance is not None:
        # A ± of nothing, or finer than any tool, is a slip of the pen and would make one entry certain.
        error = max(tolerance / index.model["tolerance_sigmas"], index.model["least_error_mm"])
    return Measure(_number(part, key, "mm", 0.1, 1000.0), error)


def _pitch(given: Mapping[str, Any], index: Index) -> Pitch | None:
    part = _part(given, "pitch", _PITCH)
    if part is None:
        return None
    mm = _number(part, "pitch", "mm", 0.05, 30.0)
    tolerance = _optional(part, "pitch", "tolerance_mm", 0.0, 10.0)
    method = _choice(part, "method", PITCH_METHODS) or ("leaf" if tolerance is None else "stated")
    error: float | None = None
    if tolerance is not None:
        error = max(tolerance / index.model["tolerance_sigmas"] / mm, index.model["least_pitch_error"])
    elif method == "known bolt":
        error = index.model["compare_error"]
    elif method == "stated":
        error = index.model["leaf_error"]
    return Pitch(mm, error, _optional(part, "pitch", "threads_per_inch", 0.5, 1000.0))


def _count(given: Mapping[str, Any], index: Index) -> Count | None:
    part = _part(given, "count", _COUNT)
    if part is None:
        return None
    instrument = _choice(part, "instrument", list(index.data["instruments"])) or "rule"
    tolerance = _optional(part, "count", "tolerance_mm", 0.0, 100.0)
    error = index.model["count_rule_mm"] if instrument in ("rule", "eye") else index.model["count_calipers_mm"]
    if tolerance is not None:
        error = max(tolerance / index.model["tolerance_sigmas"], index.model["least_error_mm"])
    threads = _number(part, "count", "threads", 2.0, 1000.0)
    over = _number(part, "count", "over_mm", 0.5, 1000.0)
    return Count(threads, over, error, _choice(part, "counted", COUNTED))


def _trials(given: Mapping[str, Any], index: Index) -> tuple[Trial, ...]:
    values = given.get("trials")
    if values is None:
        return ()
    if not isinstance(values, (list, tuple)):
        raise ObservationError(f"trials is '{values}'; expected a list.")
    trials = []
    for part in values:
        if not isinstance(part, Mapping):
            raise ObservationError(f'trials has \'{part}\'; expected an object such as {{"with": "M8x1.25"}}.')
        designation = part.get("with")
        if designation not in index.number:
            raise ObservationError(f"trials.with is '{designation}'; expected a thread of the tables, such as M8x1.25.")
        outcome = _choice(part, "outcome", OUTCOMES)
        if outcome is None:
            raise ObservationError(f"trials.outcome is missing; known are {', '.join(OUTCOMES)}.")
        turns = _optional(part, "trials", "turns", 0.0, 200.0)
        trials.append(Trial(str(designation), index.number[str(designation)], outcome, turns))
    return tuple(trials)


def _angle(given: Mapping[str, Any], index: Index) -> tuple[float, float] | None:
    part = _part(given, "flank_angle", ("degrees", "tolerance_degrees"))
    if part is None:
        return None
    tolerance = _optional(part, "flank_angle", "tolerance_degrees", 0.0, 60.0)
    error = index.model["angle_error_deg"]
    if tolerance is not None:
        error = max(tolerance / index.model["tolerance_sigmas"], index.model["least_angle_deg"])
    return _number(part, "flank_angle", "degrees", 20.0, 120.0), error


def _spanner(given: Mapping[str, Any]) -> tuple[float, str] | None:
    part = _part(given, "spanner", ("jaw_mm", "marking"))
    if part is None:
        return None
    return _number(part, "spanner", "jaw_mm", 1.0, 200.0), str(part.get("marking") or "")
