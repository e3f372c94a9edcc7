"""How far a bolt goes into a nut, by hand: computed from both threads' limits, never looked up.

Two threads of different pitch get out of step by the difference once a turn. They turn until the play between the
flanks is used up, or until the nut is through. Play that is large for the pitch is felt as rocking; a nut that runs
on proves nothing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from decoder.identification.index import Index
from decoder.identification.numbers import normal_cdf

#: Play of a random pair between the tightest and the loosest the limits allow: five steps of a triangle.
_STEPS = ((0.1, 1 / 9), (0.3, 2 / 9), (0.5, 3 / 9), (0.7, 2 / 9), (0.9, 1 / 9))


@dataclass(frozen=True, slots=True)
class Step:
    """One possible play. Chances that it starts, that it binds once started, that it rocks; turns to binding."""

    share: float
    starts: float
    binds: float
    rocks: float
    turns: float


def fit(index: Index, bolt: int, nut: int) -> tuple[Step, ...]:
    """The fits of a bolt in a nut, both given by their place in the index."""
    m = index.model
    male, female = index.sizes[bolt], index.sizes[nut]
    pitch = index.pitch[nut]
    out_of_step = abs(index.pitch[bolt] - pitch)
    half_bolt = math.tan(math.radians(index.family[bolt].angle / 2))
    half_nut = math.tan(math.radians(index.family[nut].angle / 2))
    slope = 0.5 * (half_bolt + half_nut)
    # Flanks of unlike angle touch at one end of their depth, about 0.6 of the pitch.
    lost = 0.3 * pitch * abs(half_bolt - half_nut)
    # Crests of the one against roots of the other; roots of nuts are cut a little deeper than the basic profile.
    crest_room = female.female_major_from + m["fit_root_clearance"] * pitch
    crest_room -= 0.5 * (male.male_major_from + male.male_major_to)
    root_room = 0.5 * (female.female_minor_from + female.female_minor_to) - male.male_minor_to
    enters = _passes(crest_room, male.male_major_to - male.male_major_from, m) * _passes(
        root_room, female.female_minor_to - female.female_minor_from, m
    )
    nut_turns = m["fit_nut_height"] * index.major[nut] / pitch
    tightest = female.female_pitch_from - male.male_pitch_to
    loosest = female.female_pitch_to - male.male_pitch_from
    steps = []
    for place, share in _STEPS:
        play = tightest + place * (loosest - tightest)
        along = play * slope - lost
        starts = enters * normal_cdf(
            (along + m["fit_start_mm"] - m["fit_start_turns"] * out_of_step) / m["fit_start_spread_mm"]
        )
        turns = max(along, m["fit_start_turns"] * out_of_step, 1e-6) / max(out_of_step, 1e-6)
        binds = normal_cdf(math.log(nut_turns / turns) / m["fit_turn_spread"])
        rocks = normal_cdf((play / pitch - m["fit_rocks_from"]) / m["fit_rocks_spread"])
        steps.append(Step(share, starts, binds, rocks, turns))
    return tuple(steps)


def _passes(room_mm: float, tolerance_mm: float, m: Mapping[str, Any]) -> float:
    """Chance that two diameters clear each other, given their usual difference and the wider one's tolerance."""
    spread = math.sqrt(m["fit_start_spread_mm"] * m["fit_start_spread_mm"] + tolerance_mm * tolerance_mm / 12.0)
    return normal_cdf((room_mm + m["fit_start_mm"]) / spread)


def chance(index: Index, steps: tuple[Step, ...], outcome: str, turns: float | None) -> float:
    """Probability of an outcome; for 'binds' with turns, probability a turn."""
    m = index.model
    total = 0.0
    for step in steps:
        if outcome == "will not start":
            total += step.share * (1.0 - step.starts)
        elif outcome == "binds":
            seen = 1.0 if turns is None else _turns_density(turns, step.turns, m["fit_turn_spread"])
            total += step.share * step.starts * step.binds * seen
        elif outcome == "runs on":
            total += step.share * step.starts * (1.0 - step.binds) * (1.0 - step.rocks)
        else:
            total += step.share * step.starts * (1.0 - step.binds) * step.rocks
    mistaken = m["fit_mistaken"]
    return float((1.0 - mistaken) * total + mistaken * unknown_chance(index, outcome, turns))


def unknown_chance(index: Index, outcome: str, turns: float | None) -> float:
    """The same for a part of no known thread."""
    m = index.model
    share = m["none_trial"][outcome]
    if outcome == "binds" and turns is not None:
        share /= max(turns, 0.5) * math.log(2.0 * m["none_trial_turns"])
    return float(share)


def _turns_density(seen: float, expected: float, spread: float) -> float:
    seen = max(seen, 0.5)
    z = math.log(seen / expected) / spread
    return math.exp(-0.5 * z * z) / (spread * math.sqrt(2 * math.pi) * seen)
