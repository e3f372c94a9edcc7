"""How probable each observation is for each thread of the index, and for a thread that is in no table.

Every observation has a share of outright mistakes, so nothing is excluded for good; across flats, spanner, marks and
the like only shift the odds. How large a person's errors are is not known either: what was measured is weighed for
every scale of errors, and the ranking adds up over scales, the same one for all measures of a part.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from decoder.identification.fit import chance, fit, unknown_chance
from decoder.identification.index import Index
from decoder.identification.numbers import normal_cdf
from decoder.identification.observations import BLANK, Count, Measure, Observations, Pitch, Trial

_SQRT_2PI = math.sqrt(2 * math.pi)


@dataclass(frozen=True, slots=True)
class Evidence:
    """One observation: logarithms of its likelihood for every thread, and for none of them. `key` names the
    observation.
    """

    key: str
    logs: list[float]
    none: float
    #: Which of several, as for trials and marks.
    item: int = 0
    #: For measures: the logarithm for a part in the middle of each thread's sizes, read without error.
    peaks: list[float] | None = None
    #: For what errors blur: logs and peaks for every scale of errors, which `logs` and `peaks` are the sums of.
    scaled: tuple[Scaled, ...] | None = None


@dataclass(frozen=True, slots=True)
class Scaled:
    """What an observation says if errors are as large as one scale; `peaks` equal `logs` where it has none."""

    logs: list[float]
    peaks: list[float]


def over_scales(rows: Sequence[Sequence[float]], index: Index) -> list[float]:
    """Logarithms for every scale of errors (rows), added up as often as the scales are met."""
    # Two at a time: this runs over every thread several times an answer.
    shares = [math.log(share) for share, _ in index.model["error_scales"]]
    weighed = [[share + log for log in row] for share, row in zip(shares, rows, strict=True)]
    whole = weighed[0]
    for row in weighed[1:]:
        whole = [
            one + math.log(1.0 + math.exp(other - one))
            if one >= other
            else other + math.log(1.0 + math.exp(one - other))
            for one, other in zip(whole, row, strict=True)
        ]
    return whole


def evidence(seen: Observations, index: Index) -> list[Evidence]:
    """All observations that say something about the thread, in a fixed order."""
    found: list[Evidence] = []
    bore = seen.minor_diameter
    outside = seen.diameter
    if seen.member == "internal" and outside is not None and bore is None:
        bore, outside = outside, None
    size_mm = _size(index, outside, bore)
    if outside is not None:
        found.append(_outside(outside, seen, index))
    if bore is not None:
        found.append(_bore(bore, index))
    if seen.pitch is not None:
        found.append(_pitch(seen.pitch, size_mm, index))
    if seen.count is not None:
        found.append(_count(seen.count, size_mm, index))
    for item, trial in enumerate(seen.trials):
        found.append(_trial(trial, seen.member, item, index))
    if seen.flank_angle is not None:
        found.append(_angle(*seen.flank_angle, index))
    if seen.crest is not None:
        found.append(_crest(seen.crest, index))
    part = part_of(seen, index)
    if seen.across_flats is not None:
        found.append(_flats("across_flats", seen.across_flats.mm, seen.across_flats.error_mm, part, size_mm, index))
    if seen.spanner is not None:
        jaw_mm = seen.spanner[0] - index.model["spanner_play_mm"]
        found.append(_flats("spanner", jaw_mm, index.model["spanner_error_mm"], part, size_mm, index))
    if seen.head_height is not None:
        found.append(_height(seen.head_height, part, size_mm, index))
    if seen.length is not None and seen.member == "external":
        found.append(_length(seen.length, index))
    found.extend(_groups(seen, index))
    return found


def part_of(seen: Observations, index: Index) -> str | None:
    """The part of the hexagon tables that is in the hand, as far as kind and shape tell."""
    part: str | None = "nut" if seen.member == "internal" else "bolt"
    if seen.kind is not None:
        part = index.data["kinds"][seen.kind]["part"]
    shape = index.data["heads"].get(seen.head) if part == "bolt" else None
    if part == "nut":
        shape = index.data["nut_tops"].get(seen.nut_top)
    own: str | None = shape["part"] if shape else None
    return own or part


def _size(index: Index, outside: Measure | None, bore: Measure | None) -> float | None:
    if outside is not None:
        return outside.mm
    return None if bore is None else float(bore.mm / index.model["none_bore_ratio"])


#: Sizes of the parts of one thread: (share, middle, spread) of normal distributions, mm.
Mixture: TypeAlias = list[tuple[float, float, float]]


def outside_sizes(i: int, seen: Observations, index: Index) -> Mixture:
    """What male threads measure outside, in the condition that was told, or else in whatever condition parts are in."""
    sizes = index.sizes[i]
    return _sizes(sizes.male_major_from, sizes.male_major_to, _condition(seen, index), index)


def bore_sizes(i: int, index: Index) -> Mixture:
    """What the bores of nuts measure."""
    sizes = index.sizes[i]
    return _sizes(sizes.female_minor_from, sizes.female_minor_to, index.model["bore"], index)


def _condition(seen: Observations, index: Index) -> Sequence[Sequence[float]]:
    told = seen.condition or (index.data["finishes"][seen.finish] if seen.finish else None)
    law: Sequence[Sequence[float]] = index.data["conditions"][told or "unknown"]
    return law


def _sizes(low: float, high: float, law: Sequence[Sequence[float]], index: Index) -> Mixture:
    made = index.model["made_spread"] * (high - low)
    middle = 0.5 * (low + high)
    return [(share, middle + shift, math.sqrt(made * made + spread * spread)) for share, shift, spread in law]


def _outside(measure: Measure, seen: Observations, index: Index) -> Evidence:
    reach = _reach(_condition(seen, index), measure.error_mm, index)
    # Taper threads spread widest about their nominal; a tenth of the size covers them.
    window = index.between(measure.mm / 1.1 - reach, measure.mm * 1.1 + reach)
    return _measured("diameter", measure, window, lambda i: outside_sizes(i, seen, index), index)


def _bore(measure: Measure, index: Index) -> Evidence:
    reach = _reach(index.model["bore"], measure.error_mm, index)
    window = index.between(measure.mm * 0.95 - reach, measure.mm * 1.6 + reach)
    return _measured("minor_diameter", measure, window, lambda i: bore_sizes(i, index), index)


def _reach(law: Sequence[Sequence[float]], error_mm: float, index: Index) -> float:
    """How far a reading can be from a size and still mean something, mm."""
    farthest = max(abs(shift) + 6.0 * spread for _, shift, spread in law)
    largest = max(scale for _, scale in index.model["error_scales"])
    return float(farthest + 8.0 * largest * error_mm)


def _measured(key: str, measure: Measure, window: range, sizes: Callable[[int], Mixture], index: Index) -> Evidence:
    """A size seen through the error of the reading, which is wide now and then."""
    m = index.model
    unknown = _unknown_size(measure.mm, index)
    floor = m["gross_share"] * unknown
    scaled = []
    for _, scale in m["error_scales"]:
        error = scale * measure.error_mm
        errors = (
            (1.0 - m["rough_share"], error * error),
            (m["rough_share"], (error * m["rough_factor"]) ** 2),
        )
        logs = [math.log(floor)] * len(index)
        peaks = [0.0] * len(index)
        for i in window:
            density, peak = _densities(measure.mm, sizes(i), errors)
            logs[i] = math.log((1.0 - m["gross_share"]) * density / _SQRT_2PI + floor)
            peaks[i] = math.log((1.0 - m["gross_share"]) * peak / _SQRT_2PI + floor)
        scaled.append(Scaled(logs, peaks))
    return Evidence(
        key,
        over_scales([row.logs for row in scaled], index),
        math.log(unknown),
        peaks=over_scales([row.peaks for row in scaled], index),
        scaled=tuple(scaled),
    )


def _densities(x: float, mixture: Mixture, errors: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Of reading x, and of reading the middle of the sizes, both times √2π; errors: (share, variance)."""
    density = peak = 0.0
    centre = mixture[0][1]
    for share, middle, spread in mixture:
        off, aside = x - middle, centre - middle
        for weight, variance in errors:
            whole = spread * spread + variance
            height = share * weight / math.sqrt(whole)
            density += height * math.exp(-0.5 * off * off / whole)
            peak += height * math.exp(-0.5 * aside * aside / whole)
    return density, peak


def _unknown_size(mm: float, index: Index) -> float:
    """Density of diameter for threads in no table; very small and very large ones are not ruled out."""
    m = index.model
    evenly = 1.0 / math.log(m["largest_mm"] / m["smallest_mm"])
    usual = _log_normal(math.log(mm), math.log(m["none_size_mm"]), m["none_size_spread"])
    return float((0.9 * usual + 0.1 * evenly) / mm)


def _log_normal(x: float, middle: float, spread: float) -> float:
    """Density of a normal distribution at x (of logarithms, most often)."""
    z = (x - middle) / spread
    return math.exp(-0.5 * z * z) / (spread * _SQRT_2PI)


def _unknown_pitch(log_pitch: float, size_mm: float | None, index: Index) -> float:
    """Density of the logarithm of pitch for threads in no table."""
    m = index.model
    if size_mm is None:
        return _log_normal(log_pitch, math.log(m["none_size_mm"]) + m["none_pitch_ratio"], m["none_alone_spread"])
    return _log_normal(log_pitch, math.log(size_mm) + m["none_pitch_ratio"], m["none_pitch_spread"])


def _pitch(pitch: Pitch, size_mm: float | None, index: Index) -> Evidence:
    log_seen = math.log(pitch.mm)
    none = max(_unknown_pitch(log_seen, size_mm, index), 1e-9)
    if pitch.error is None:
        none *= index.leaf_spacing
    return _by_pitch(
        "pitch",
        lambda log_pitch, _, scale: (
            _pitch_chance(log_seen, log_pitch, pitch, scale, index),
            _pitch_chance(log_pitch, log_pitch, pitch, scale, index),
        ),
        none,
        index,
    )


def _pitch_chance(log_seen: float, log_pitch: float, pitch: Pitch, scale: int, index: Index) -> float:
    if pitch.error is None:
        return leaf_chance(log_seen, log_pitch, scale, index)
    m = index.model
    error = pitch.error * m["error_scales"][scale][1]
    near = _log_normal(log_seen, log_pitch, error)
    far = _log_normal(log_seen, log_pitch, error * m["rough_factor"])
    return float((1.0 - m["rough_share"]) * near + m["rough_share"] * far)


def _by_pitch(
    key: str, chances: Callable[[float, float, int], tuple[float, float]], none: float, index: Index
) -> Evidence:
    """Evidence about the pitch alone.

    `chances` takes the logarithm of a pitch, the pitch and the place of a scale of errors, and gives the chance of what
    was seen and that of the best that could have been.
    """
    floor = index.model["leaf_gross_share"] * none
    known: list[list[float]] = []
    best: list[list[float]] = []
    for scale in range(len(index.model["error_scales"])):
        found = [chances(log_pitch, pitch, scale) for log_pitch, pitch in index.distinct_pitches]
        known.append([math.log(chance_of + floor) for chance_of, _ in found])
        best.append([math.log(most + floor) for _, most in found])

    def of_threads(row: list[float]) -> list[float]:
        return [row[place] for place in index.pitch_place]

    return Evidence(
        key,
        of_threads(over_scales(known, index)),
        math.log(none),
        peaks=of_threads(over_scales(best, index)),
        scaled=tuple(Scaled(of_threads(logs), of_threads(peaks)) for logs, peaks in zip(known, best, strict=True)),
    )


def leaf_chance(log_leaf: float, log_pitch: float, scale: int, index: Index) -> float:
    """Chance that a thread of this pitch is read as this leaf (logarithms of mm), for the errors of one scale."""
    m = index.model
    stretch, sharp, blurred = index.leaf_sums[log_pitch][scale]
    step = (log_leaf - log_pitch) / stretch
    near = math.exp(-0.5 * (step / m["leaf_error"]) ** 2) / sharp
    far = math.exp(-0.5 * (step / m["leaf_rough_error"]) ** 2) / blurred
    return float((1.0 - m["leaf_rough_share"]) * near + m["leaf_rough_share"] * far)


def _count(count: Count, size_mm: float | None, index: Index) -> Evidence:
    m = index.model
    crests = m["count_crests_share"]
    if count.counted is not None:
        crests = 1.0 if count.counted == "crests" else 0.0
    miscounted = m["count_miscounted"]
    ways: dict[float, float] = {}
    for share, spaces in ((crests, count.threads - 1), (1.0 - crests, count.threads)):
        for off, chance_of in ((-1, 0.5 * miscounted), (0, 1.0 - miscounted), (1, 0.5 * miscounted)):
            if share > 0 and spaces + off > 0:
                ways[spaces + off] = ways.get(spaces + off, 0.0) + share * chance_of
    over, error = count.over_mm, count.error_mm
    middle = count.threads - crests
    none = max(_unknown_pitch(math.log(over / max(middle, 0.5)), size_mm, index), 1e-9)
    commonest = max(ways, key=lambda spaces: ways[spaces])

    def chances(_: float, pitch: float, scale: int) -> tuple[float, float]:
        # Density over the logarithm of length, like that of the unknown thread.
        blur = error * m["error_scales"][scale][1]
        density = sum(share * _log_normal(over, spaces * pitch, blur) for spaces, share in ways.items())
        peak = sum(share * _log_normal(commonest * pitch, spaces * pitch, blur) for spaces, share in ways.items())
        return density * over, peak * over

    return _by_pitch("count", chances, none, index)


def _trial(trial: Trial, member: str, item: int, index: Index) -> Evidence:
    none = math.log(unknown_chance(index, trial.outcome, trial.turns))
    # A thread of quite another diameter neither enters nor touches.
    own = index.major[trial.number]
    mistaken = index.model["fit_mistaken"]
    too_large = (1.0 - mistaken) * (1.0 if trial.outcome == "will not start" else 0.0)
    too_small = (1.0 - mistaken) * (1.0 if trial.outcome == "wobbles" else 0.0) * 0.2
    if member == "internal":
        too_large, too_small = too_small, too_large
    floor = mistaken * unknown_chance(index, trial.outcome, trial.turns)
    large, small = math.log(too_large + floor), math.log(too_small + floor)
    near = index.between(own * 0.8, own * 1.25)
    logs = [small if major < own else large for major in index.major]
    for i in near:
        bolt, nut = (i, trial.number) if member == "external" else (trial.number, i)
        logs[i] = math.log(chance(index, fit(index, bolt, nut), trial.outcome, trial.turns))
    return Evidence("trials", logs, none, item)


def _angle(degrees: float, error: float, index: Index) -> Evidence:
    m = index.model
    guess = m["angle_guess_share"] / 60.0
    sure = 1.0 - m["angle_guess_share"]
    scaled = []
    for _, scale in m["error_scales"]:
        by_angle = {
            family.angle: math.log(sure * _log_normal(degrees, family.angle, scale * error) + guess)
            for family in index.families
        }
        logs = [by_angle[family.angle] for family in index.family]
        scaled.append(Scaled(logs, logs))
    logs = over_scales([row.logs for row in scaled], index)
    return Evidence("flank_angle", logs, math.log(1.0 / 40.0), scaled=tuple(scaled))


def _crest(crest: str, index: Index) -> Evidence:
    m = index.model
    rounded = {True: m["rounded_seen_rounded"], False: m["flat_seen_rounded"]}
    by_form = {
        form: math.log(chance_of if crest == "rounded" else 1.0 - chance_of) for form, chance_of in rounded.items()
    }
    return Evidence("crest", [by_form[family.rounded] for family in index.family], math.log(0.5))


def _flats(key: str, mm: float, error_mm: float, part: str | None, size_mm: float | None, index: Index) -> Evidence:
    m = index.model
    rows = index.parts.get(part or "", [])
    error = math.sqrt(error_mm * error_mm + m["hexagon_worn_mm"] * m["hexagon_worn_mm"])
    seen_row = [
        (normal_cdf((mm - row[0]) / error) - normal_cdf((mm - row[1]) / error)) / (row[1] - row[0])
        for row in index.hexagons
    ]
    return _listed(
        key, mm, seen_row, rows, m["hexagon_listed"], m["hexagon_ratio"], m["hexagon_spread"], size_mm, index
    )


def _height(measure: Measure, part: str | None, size_mm: float | None, index: Index) -> Evidence:
    m = index.model
    rows = index.parts.get(part or "", [])
    error = math.sqrt(measure.error_mm * measure.error_mm + m["hexagon_worn_mm"] * m["hexagon_worn_mm"])
    mm = measure.mm
    seen_row = [
        (normal_cdf((mm - row[2]) / error) - normal_cdf((mm - row[3]) / error)) / (row[3] - row[2])
        if row[3] > row[2]
        else 0.0
        for row in index.hexagons
    ]
    ratio = m["nut_height_ratio"] if part is not None and part.startswith("nut") else m["height_ratio"]
    return _listed("head_height", mm, seen_row, rows, m["height_listed"], ratio, m["height_spread"], size_mm, index)


def _listed(
    key: str,
    mm: float,
    seen_row: Sequence[float],
    rows: Sequence[Sequence[int]],
    listed: float,
    ratio: float,
    spread: float,
    size_mm: float | None,
    index: Index,
) -> Evidence:
    """Some share of the parts has a hexagon of a table row for its thread, each row as often; the others are near a
    usual ratio.
    """
    m = index.model
    log_mm = math.log(mm)
    anything = m["hexagon_anything"]
    evenly = anything / math.log(m["largest_mm"] / m["smallest_mm"])
    logs = []
    for i, major in enumerate(index.major):
        other = ((1.0 - anything) * _log_normal(log_mm - math.log(major), ratio, spread) + evenly) / mm
        own = rows[i] if rows else ()
        if own:
            known = sum(seen_row[number] for number in own) / len(own)
            other = listed * known + (1.0 - listed) * other
        logs.append(math.log(other))
    if size_mm is None:
        none = _log_normal(log_mm - math.log(m["none_size_mm"]), ratio, m["none_alone_spread"])
    else:
        none = _log_normal(log_mm - math.log(size_mm), ratio, spread)
    return Evidence(key, logs, math.log(((1.0 - anything) * none + evenly) / mm))


def _length(measure: Measure, index: Index) -> Evidence:
    """Lengths come in steps of 5 mm or 1/8 in: a little evidence for the system of units."""
    m = index.model
    error = math.sqrt(measure.error_mm * measure.error_mm + m["length_error_mm"] * m["length_error_mm"])
    ratio = {}
    for system, step in m["length_step_mm"].items():
        off = measure.mm - step * math.floor(measure.mm / step + 0.5)
        ratio[system] = math.log(
            m["length_keeps_step"] * _log_normal(off, 0.0, error) * step + 1.0 - m["length_keeps_step"]
        )
    logs = [ratio["inch"] if tpi else ratio["metric"] for tpi in index.tpi]
    return Evidence("length", logs, 0.0)


def _groups(seen: Observations, index: Index) -> list[Evidence]:
    """What only says something about groups of families: kind, shape, drive, material, marks."""
    data = index.data
    found = []
    # A socket head says that it has a socket: the drive is no second piece of evidence then.
    told = seen.head is not None and seen.drive == data["heads"][seen.head]["drive"]
    for key, table, name in (
        ("kind", "kinds", seen.kind),
        ("head", "heads", seen.head),
        ("nut_top", "nut_tops", seen.nut_top),
        ("drive", "drives", None if told else seen.drive),
        ("material", "materials", seen.material),
    ):
        if name is not None:
            entry = data[table][name]
            odds = entry["odds"] if table in ("kinds", "heads", "nut_tops") else entry
            if odds:
                found.append(_by_group(key, 0, odds, index))
    for key, marks in (("head_marks", seen.head_marks), ("nut_marks", seen.nut_marks)):
        for item, mark in enumerate(marks):
            odds = data["blank_odds"] if mark == BLANK else data["marks"][mark]["odds"]
            if odds and not (mark == BLANK and key == "nut_marks"):
                found.append(_by_group(key, item, odds, index))
    return found


def _by_group(key: str, item: int, odds: dict[str, float], index: Index) -> Evidence:
    by_group = {group: math.log(odds.get(group, 1.0)) for group in index.data["groups"]}
    return Evidence(key, [by_group[family.group] for family in index.family], 0.0, item)
