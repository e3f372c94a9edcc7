"""Limits of size: between which diameters a genuine bolt or nut of a class may lie.

Nothing here is copied from a table of limits. Each family is worked out as its standard prescribes, from basic
diameter, pitch and the standard's tolerance formulas (for metric threads, the standard's own table of tolerances),
and then held in the tests against limits that others print. Where each formula was read stands beside it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from decoder.threads import Thread

Member = Literal["external", "internal"]

_INCH_MM = 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The limits of one class, [mm]; None where the class sets no limit of that diameter.

    `by` says which formulas gave them. External minor diameters are references for the form of the root, not
    diameters that anyone inspects with a caliper.
    """

    thread_class: str
    member: Member
    major_min_mm: float | None
    major_max_mm: float | None
    pitch_diameter_min_mm: float
    pitch_diameter_max_mm: float
    minor_min_mm: float | None
    minor_max_mm: float | None
    by: str


def limits(thread: Thread) -> tuple[Limits, ...]:
    """The classes of a thread's family, the usual ones first; empty where no formula was found (Cycle, taper pipe).

    Left-hand threads have the limits of right-hand ones.
    """
    worked_out = _FAMILIES.get(thread.family)
    return tuple(worked_out(thread)) if worked_out else ()


# Unified threads. The formulas of ASME B1.1-2003, read in a published program that names the clause of each; they give
# inches, each tolerance rounded to 0.0001 before it is added, as the standard's tables are. One in fifty printed limits
# still differs by 0.0001 in from what the formulas give.

_BY_UNIFIED = "formulas of ASME B1.1-2003"

#: Series whose normal length of engagement is one diameter; the others are toleranced for nine pitches.
_ONE_DIAMETER_LONG = ("UNC", "UNF")


def _unified(thread: Thread) -> Iterator[Limits]:
    for number in (2, 3):
        yield _unified_external(thread, number)
        yield _unified_internal(thread, number)


def _unified_tolerance_in(thread: Thread) -> float:
    """Pitch diameter tolerance of class 2A, [in], to the six places the other tolerances are worked out from."""
    diameter, pitch = thread.major_mm / _INCH_MM, thread.pitch_mm / _INCH_MM
    one_diameter = thread.family in _ONE_DIAMETER_LONG or (thread.family == "UN" and thread.threads_per_inch == 8)
    engagement = diameter if one_diameter else 9 * pitch
    return float(round(0.0015 * (math.cbrt(diameter) + math.sqrt(engagement) + 10 * pitch ** (2 / 3)), 6))


def _unified_external(thread: Thread, number: int) -> Limits:
    pitch = thread.pitch_mm / _INCH_MM
    tolerance_2a = _unified_tolerance_in(thread)
    allowance = round(0.3 * tolerance_2a, 4) if number == 2 else 0.0
    pitch_tolerance = round(tolerance_2a * (1.0 if number == 2 else 0.75), 4)
    major_max = round(thread.major_mm / _INCH_MM, 4) - allowance
    pitch_max = round(thread.pitch_diameter_mm / _INCH_MM, 4) - allowance
    pitch_min = pitch_max - pitch_tolerance
    return _from_inches(
        f"{number}A",
        "external",
        _BY_UNIFIED,
        major=(major_max - round(0.06 * pitch ** (2 / 3), 4), major_max),
        pitch_diameter=(pitch_min, pitch_max),
        minor=(round(pitch_min - 0.64951905 * pitch, 4), round(major_max - 1.08253175 * pitch, 4)),
    )


def _unified_internal(thread: Thread, number: int) -> Limits:
    diameter, pitch = thread.major_mm / _INCH_MM, thread.pitch_mm / _INCH_MM
    share = 1.3 if number == 2 else 0.975
    pitch_min = round(thread.pitch_diameter_mm / _INCH_MM, 4)
    minor_min = thread.minor_internal_mm / _INCH_MM
    tolerance = _unified_minor_tolerance_in(diameter, pitch, number)
    low, high = round(minor_min, 4), round(minor_min, 4) + round(tolerance, 4)
    # From No. 6 (0.138 in) up the tables give bores to three places, but the greatest of class 3B to four.
    if diameter >= 0.138:
        low, high = _to_three_places(low), _to_three_places(high) if number == 2 else high
    minor = (low, high)
    return _from_inches(
        f"{number}B",
        "internal",
        _BY_UNIFIED,
        major=(round(diameter, 4), None),
        pitch_diameter=(pitch_min, pitch_min + round(share * _unified_tolerance_in(thread), 4)),
        minor=minor,
    )


def _to_three_places(inches: float) -> float:
    """Four places rounded once more, a half upward, as the tables have it; 0.1555 is a little less as a float."""
    return math.floor(inches * 1000 + 0.5 + 1e-6) / 1000


def _unified_minor_tolerance_in(diameter: float, pitch: float, number: int) -> float:
    coarse = 0.25 * pitch - 0.4 * pitch**2
    if number == 2 and diameter >= 0.25:
        return coarse
    by_diameter = float(min(0.05 * pitch ** (2 / 3) + 0.03 * pitch / diameter - 0.002, 0.394 * pitch))
    if number == 2:
        return max(by_diameter, coarse)
    return max(by_diameter, 0.12 * pitch if pitch >= 1 / 12.5 else 0.23 * pitch - 1.5 * pitch**2)


def _from_inches(
    thread_class: str,
    member: Member,
    by: str,
    *,
    major: tuple[float | None, float | None],
    pitch_diameter: tuple[float, float],
    minor: tuple[float | None, float | None],
) -> Limits:
    return Limits(
        thread_class=thread_class,
        member=member,
        major_min_mm=_to_mm(major[0]),
        major_max_mm=_to_mm(major[1]),
        pitch_diameter_min_mm=pitch_diameter[0] * _INCH_MM,
        pitch_diameter_max_mm=pitch_diameter[1] * _INCH_MM,
        minor_min_mm=_to_mm(minor[0]),
        minor_max_mm=_to_mm(minor[1]),
        by=by,
    )


def _to_mm(inches: float | None) -> float | None:
    return None if inches is None else inches * _INCH_MM


# ISO metric threads. The tolerances of ISO 965-1, tables 1 to 6, in micrometres, as transcribed in a published program
# (grade 6 of table 6 read besides in Machinery's Handbook, 31st edition, p. 2025). The standard's formulas, rounded to
# preferred numbers, give all but a dozen of them; the printed ones are taken.

_BY_METRIC = "tolerances of ISO 965-1"

#: By pitch: deviation of positions g and e, tolerance of the bolt's major diameter in grades 6 and 4, of the nut's
#: bore in grade 6.
_BY_PITCH: dict[float, tuple[int, int | None, int, int, int | None]] = {
    0.2: (17, None, 56, 36, None),
    0.25: (18, None, 67, 42, None),
    0.3: (18, None, 75, 48, 85),
    0.35: (19, None, 85, 53, 100),
    0.4: (19, None, 95, 60, 112),
    0.45: (20, None, 100, 63, 125),
    0.5: (20, 50, 106, 67, 140),
    0.6: (21, 53, 125, 80, 160),
    0.7: (22, 56, 140, 90, 180),
    0.75: (22, 56, 140, 90, 190),
    0.8: (24, 60, 150, 95, 200),
    1.0: (26, 60, 180, 112, 236),
    1.25: (28, 63, 212, 132, 265),
    1.5: (32, 67, 236, 150, 300),
    1.75: (34, 71, 265, 170, 335),
    2.0: (38, 71, 280, 180, 375),
    2.5: (42, 80, 335, 212, 450),
    3.0: (48, 85, 375, 236, 500),
    3.5: (53, 90, 425, 265, 560),
    4.0: (60, 95, 475, 300, 600),
}

#: Upper ends of the diameter ranges, [mm]; a range includes its upper end.
_RANGES_MM = (1.4, 2.8, 5.6, 11.2, 22.4, 45.0)
_RANGE_START_MM = 0.99

#: By range and pitch: tolerance of the pitch diameter, bolt grade 6, bolt grade 4, nut grade 6.
_PITCH_DIAMETER: dict[tuple[int, float], tuple[int, int, int | None]] = {
    (0, 0.2): (48, 30, None),
    (0, 0.25): (53, 34, None),
    (0, 0.3): (56, 36, 75),
    (1, 0.2): (50, 32, None),
    (1, 0.25): (56, 36, None),
    (1, 0.35): (63, 40, 85),
    (1, 0.4): (67, 42, 90),
    (1, 0.45): (71, 45, 95),
    (2, 0.35): (67, 42, 90),
    (2, 0.5): (75, 48, 100),
    (2, 0.6): (85, 53, 112),
    (2, 0.7): (90, 56, 118),
    (2, 0.75): (90, 56, 118),
    (2, 0.8): (95, 60, 125),
    (3, 0.75): (100, 63, 132),
    (3, 1.0): (112, 71, 150),
    (3, 1.25): (118, 75, 160),
    (3, 1.5): (132, 85, 180),
    (4, 1.0): (118, 75, 160),
    (4, 1.25): (132, 85, 180),
    (4, 1.5): (140, 90, 190),
    (4, 1.75): (150, 95, 200),
    (4, 2.0): (160, 100, 212),
    (4, 2.5): (170, 106, 224),
    (5, 1.0): (125, 80, 170),
    (5, 1.5): (150, 95, 200),
    (5, 2.0): (170, 106, 224),
    (5, 3.0): (200, 125, 265),
    (5, 3.5): (212, 132, 280),
    (5, 4.0): (224, 140, 300),
}


def _metric(thread: Thread) -> Iterator[Limits]:
    g, e, major_6, major_4, bore_6 = _BY_PITCH.get(round(thread.pitch_mm, 4)) or _by_pitch_formulas(thread.pitch_mm)
    bolt_6, bolt_4, nut_6 = _pitch_diameter_tolerances(thread)
    yield _metric_external(thread, "6g", g, major_6, bolt_6)
    if nut_6 is not None and bore_6 is not None:
        yield _metric_internal(thread, "6H", bore_6, nut_6)
    yield _metric_external(thread, "6h", 0, major_6, bolt_6)
    if e is not None:
        yield _metric_external(thread, "6e", e, major_6, bolt_6)
    yield _metric_external(thread, "4h", 0, major_4, bolt_4)


def _by_pitch_formulas(pitch: float) -> tuple[int, int | None, int, int, int | None]:
    """A pitch the standard's table leaves out (0.9 mm, from before ISO), by the standard's formulas."""
    major_6 = 180 * pitch ** (2 / 3) - 3.15 / math.sqrt(pitch)
    bore_6 = 230 * pitch**0.7 if pitch >= 1 else 433 * pitch - 190 * pitch**1.22
    return (
        round(15 + 11 * pitch),
        round(50 + 11 * pitch),
        round(major_6),
        round(0.63 * major_6),
        round(bore_6),
    )


def _pitch_diameter_tolerances(thread: Thread) -> tuple[float, float, float | None]:
    place = next(index for index, upper in enumerate(_RANGES_MM) if thread.major_mm <= upper)
    printed = _PITCH_DIAMETER.get((place, round(thread.pitch_mm, 4)))
    if printed is not None:
        return printed
    # A combination the standard's table leaves out: its formula, with the geometric middle of the range.
    lower = _RANGES_MM[place - 1] if place else _RANGE_START_MM
    middle = math.sqrt(lower * _RANGES_MM[place])
    grade_6 = 90 * thread.pitch_mm**0.4 * middle**0.1
    return grade_6, 0.63 * grade_6, 1.32 * grade_6


def _metric_external(
    thread: Thread, thread_class: str, deviation: int, major_tolerance: float, pitch_tolerance: float
) -> Limits:
    major_max = thread.major_mm - deviation / 1000
    pitch_max = thread.pitch_diameter_mm - deviation / 1000
    pitch_min = pitch_max - pitch_tolerance / 1000
    return Limits(
        thread_class=thread_class,
        member="external",
        major_min_mm=major_max - major_tolerance / 1000,
        major_max_mm=major_max,
        pitch_diameter_min_mm=pitch_min,
        pitch_diameter_max_mm=pitch_max,
        minor_min_mm=pitch_min - 0.61602541 * thread.pitch_mm,
        minor_max_mm=pitch_max - 0.4330127 * thread.pitch_mm,
        by=_BY_METRIC,
    )


def _metric_internal(thread: Thread, thread_class: str, bore_tolerance: float, pitch_tolerance: float) -> Limits:
    return Limits(
        thread_class=thread_class,
        member="internal",
        major_min_mm=thread.major_mm,
        major_max_mm=None,
        pitch_diameter_min_mm=thread.pitch_diameter_mm,
        pitch_diameter_max_mm=thread.pitch_diameter_mm + pitch_tolerance / 1000,
        minor_min_mm=thread.minor_internal_mm,
        minor_max_mm=thread.minor_internal_mm + bore_tolerance / 1000,
        by=_BY_METRIC,
    )


# Whitworth threads. The formulas of BS 84:2007 as a published summary of it gives them (it names Machinery's Handbook
# besides). The allowance of medium and free bolts is from memory of Machinery's Handbook: 30 % of the medium
# tolerance, that of 1/4 in below 1/4 in, none above 3/4 in.

_BY_WHITWORTH = "formulas of BS 84:2007; allowance of bolts from memory"


def ordinary_tolerance_mm(thread: Thread) -> float:
    """Pitch diameter tolerance that stands in where a family's own was not found, [mm]: BS 84, medium class."""
    return _whitworth_tolerance_in(thread.major_mm / _INCH_MM, thread.pitch_mm / _INCH_MM) * _INCH_MM


def _whitworth(thread: Thread) -> Iterator[Limits]:
    tolerance = _whitworth_tolerance_in(thread.major_mm / _INCH_MM, thread.pitch_mm / _INCH_MM)
    allowance = _whitworth_allowance_in(thread, tolerance)
    yield _whitworth_external(thread, "medium", tolerance, 0.02, allowance)
    yield _whitworth_internal(thread, "medium", tolerance)
    yield _whitworth_external(thread, "free", 1.5 * tolerance, 0.02, allowance)
    yield _whitworth_internal(thread, "normal", 1.5 * tolerance)
    yield _whitworth_external(thread, "close", 2 / 3 * tolerance, 0.013, 0.0)


def _whitworth_tolerance_in(diameter: float, pitch: float) -> float:
    """T of BS 84 for a length of engagement of one diameter, [in]."""
    return 0.002 * math.cbrt(diameter) + 0.003 * math.sqrt(diameter) + 0.005 * math.sqrt(pitch)


#: Pitch of 1/4 in, whose allowance also holds for smaller threads of the same series, by family.
_QUARTER_INCH_PITCH_IN = {"BSW": 1 / 20, "BSF": 1 / 26, "BSB": 1 / 26}


def _whitworth_allowance_in(thread: Thread, tolerance: float) -> float:
    diameter = thread.major_mm / _INCH_MM
    if diameter > 0.75:
        return 0.0
    if diameter < 0.25:
        return 0.3 * _whitworth_tolerance_in(0.25, _QUARTER_INCH_PITCH_IN[thread.family])
    return 0.3 * tolerance


def _whitworth_external(
    thread: Thread, thread_class: str, tolerance: float, minor_share: float, allowance: float
) -> Limits:
    root_of_pitch = math.sqrt(thread.pitch_mm / _INCH_MM)
    major_max, pitch_max, minor_max = (
        diameter / _INCH_MM - allowance
        for diameter in (thread.major_mm, thread.pitch_diameter_mm, thread.minor_external_mm)
    )
    return _from_inches(
        thread_class,
        "external",
        _BY_WHITWORTH,
        major=(major_max - tolerance - 0.01 * root_of_pitch, major_max),
        pitch_diameter=(pitch_max - tolerance, pitch_max),
        minor=(minor_max - tolerance - minor_share * root_of_pitch, minor_max),
    )


def _whitworth_internal(thread: Thread, thread_class: str, tolerance: float) -> Limits:
    pitch = thread.pitch_mm / _INCH_MM
    pitch_min = thread.pitch_diameter_mm / _INCH_MM
    minor_min = thread.minor_internal_mm / _INCH_MM
    if pitch <= 1 / 26 + 1e-9:
        fixed = 0.004
    elif pitch <= 1 / 22 + 1e-9:
        fixed = 0.005
    else:
        fixed = 0.007
    return _from_inches(
        thread_class,
        "internal",
        "formulas of BS 84:2007",
        major=(thread.major_mm / _INCH_MM, None),
        pitch_diameter=(pitch_min, pitch_min + tolerance),
        minor=(minor_min, minor_min + 0.2 * pitch + fixed),
    )


# British Association threads. The formulas of BS 93:1951 in Machinery's Handbook, 31st edition, p. 2115; an excerpt of
# BS 93:2008 gives the same.

_BY_BA = "formulas of BS 93:1951"


def _ba(thread: Thread) -> Iterator[Limits]:
    pitch = thread.pitch_mm
    small = int(thread.size) > 10
    allowance = 0.0 if small else 0.025
    major, effective, minor = (
        (0.25 if small else 0.2) * pitch,
        0.1 * pitch + 0.025,
        0.2 * pitch + 0.05,
    )
    yield _ba_external(thread, "normal", allowance, major, effective, minor)
    yield Limits(
        thread_class="normal",
        member="internal",
        major_min_mm=thread.major_mm,
        major_max_mm=None,
        pitch_diameter_min_mm=thread.pitch_diameter_mm,
        pitch_diameter_max_mm=thread.pitch_diameter_mm + 0.12 * pitch + 0.03,
        minor_min_mm=thread.minor_internal_mm,
        minor_max_mm=thread.minor_internal_mm + 0.375 * pitch,
        by=_BY_BA,
    )
    if not small:
        yield _ba_external(thread, "close", 0.0, 0.15 * pitch, 0.08 * pitch + 0.02, 0.16 * pitch + 0.04)


def _ba_external(
    thread: Thread, thread_class: str, allowance: float, major: float, effective: float, minor: float
) -> Limits:
    major_max, pitch_max, minor_max = (
        diameter - allowance for diameter in (thread.major_mm, thread.pitch_diameter_mm, thread.minor_external_mm)
    )
    return Limits(
        thread_class=thread_class,
        member="external",
        major_min_mm=major_max - major,
        major_max_mm=major_max,
        pitch_diameter_min_mm=pitch_max - effective,
        pitch_diameter_max_mm=pitch_max,
        minor_min_mm=minor_max - minor,
        minor_max_mm=minor_max,
        by=_BY_BA,
    )


# Parallel pipe threads. The tolerances of ISO 228-1 as a reference library's table gives them, by threads per inch:
# pitch diameter (class A; class B is twice that), bore, major diameter, [mm].

_BY_PIPE = "tolerances of ISO 228-1"

_PIPE: dict[int, tuple[float, float, float]] = {
    28: (0.107, 0.282, 0.214),
    19: (0.125, 0.445, 0.250),
    14: (0.142, 0.541, 0.284),
    11: (0.180, 0.640, 0.360),
}


def _parallel_pipe(thread: Thread) -> Iterator[Limits]:
    tolerance, bore, major = _PIPE[round(_INCH_MM / thread.pitch_mm)]
    for thread_class, factor in (("A", 1), ("B", 2)):
        yield Limits(
            thread_class=thread_class,
            member="external",
            major_min_mm=thread.major_mm - major,
            major_max_mm=thread.major_mm,
            pitch_diameter_min_mm=thread.pitch_diameter_mm - factor * tolerance,
            pitch_diameter_max_mm=thread.pitch_diameter_mm,
            minor_min_mm=None,
            minor_max_mm=thread.minor_external_mm,
            by=_BY_PIPE,
        )
    yield Limits(
        thread_class="internal",
        member="internal",
        major_min_mm=thread.major_mm,
        major_max_mm=None,
        pitch_diameter_min_mm=thread.pitch_diameter_mm,
        pitch_diameter_max_mm=thread.pitch_diameter_mm + tolerance,
        minor_min_mm=thread.minor_internal_mm,
        minor_max_mm=thread.minor_internal_mm + bore,
        by=_BY_PIPE,
    )


_FAMILIES: dict[str, Callable[[Thread], Iterator[Limits]]] = {
    "UNC": _unified,
    "UNF": _unified,
    "UNEF": _unified,
    "UN": _unified,
    "UNS": _unified,
    "M": _metric,
    "BSW": _whitworth,
    "BSF": _whitworth,
    "BSB": _whitworth,
    "BA": _ba,
    "G": _parallel_pipe,
}
