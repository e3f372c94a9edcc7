"""What a person reads off a part: every reading is what the tool is given, never the truth."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tests.simulator.world import Part, Thread, World

#: Usual error of one reading, mm.
CALIPERS_MM = 0.03
VERNIER_MM = 0.05
RULE_MM = 0.35

#: Usual error of a length over crests, mm: where a crest ends is harder to see than where a jaw touches.
COUNTED_MM = {"rule": 0.35, "digital calipers": 0.2}

#: Leaves of the common sets: Unified and Whitworth, metric, BA is read on the metric ones.
LEAVES_TPI = (
    4, 4.5, 5, 6, 7, 8, 9, 10, 11, 11.5, 12, 13, 14, 16, 18, 19, 20, 22, 24, 25, 26, 27, 28, 30, 32, 36, 40, 42, 44, 48,
    56, 64, 72, 80,
)  # fmt: skip
LEAVES_MM = (
    0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 0.9, 1.0, 1.1, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 3.0, 3.5, 4.0,
    4.5, 5.0, 5.5, 6.0,
)  # fmt: skip
LEAVES = tuple(sorted([*(25.4 / tpi for tpi in LEAVES_TPI), *LEAVES_MM]))


@dataclass(frozen=True, slots=True)
class Reading:
    """One observation: under which key the tool takes it, and what was read."""

    key: str
    value: Any


def error_mm(usual: float, world: World, chance: random.Random) -> float:
    """Most readings are good; one in twenty is taken over dirt, a burr or askew."""
    scale = 3.0 if chance.random() < 0.05 else 1.0
    return chance.gauss(0.0, usual * scale * world.error_scale)


def diameter(part: Part, world: World, chance: random.Random, instrument: str = "digital calipers") -> Reading:
    """The outside of the thread."""
    usual = {"digital calipers": CALIPERS_MM, "vernier calipers": VERNIER_MM, "rule": RULE_MM}[instrument]
    read = round(part.outside_mm + error_mm(usual, world, chance), 2)
    return Reading("diameter", {"mm": max(read, 0.5), "instrument": instrument})


def bore(part: Part, world: World, chance: random.Random) -> Reading:
    """The bore of a nut, with the inside jaws."""
    read = round(part.bore_mm + error_mm(VERNIER_MM, world, chance), 2)
    return Reading("minor_diameter", {"mm": max(read, 0.5), "instrument": "vernier calipers"})


def leaf(part: Part, world: World, chance: random.Random) -> Reading:
    """The leaf that fits best: the eye sees how far leaf and thread are out of step where they meet."""
    picked = picked_leaf(part.thread.pitch_mm, part.thread_length_mm, world, chance)
    return Reading("pitch", {"mm": picked, "method": "leaf"})


#: How well out-of-step is seen against the light, mm: a pitch gauge does not tell 2 BA from 32 threads to the inch,
#: which part by two tenths over ten millimetres.
STEP_SEEN_MM = 0.14


def picked_leaf(pitch_mm: float, length_mm: float, world: World, chance: random.Random) -> float:
    """Every leaf within reach is tried; the one least out of step over the length is taken."""
    length = min(max(length_mm, 4 * pitch_mm), 14.0)
    best, least = LEAVES[0], math.inf
    for candidate in LEAVES:
        off = length * (candidate - pitch_mm) / pitch_mm
        if abs(off) > 1.5:
            continue
        seen = abs(off + chance.gauss(0.0, STEP_SEEN_MM * world.error_scale))
        if seen < least:
            best, least = candidate, seen
    if least == math.inf:
        return min(LEAVES, key=lambda candidate: abs(math.log(candidate / pitch_mm)))
    return best


def count(part: Part, world: World, chance: random.Random, instrument: str = "rule") -> Reading:
    """Spaces between crests, counted over most of the thread and measured with a rule or calipers."""
    spaces = max(int(0.9 * part.thread_length_mm / part.thread.pitch_mm), 3)
    over = spaces * part.thread.pitch_mm + error_mm(COUNTED_MM[instrument], world, chance)
    if chance.random() < 0.05:
        spaces += chance.choice((-1, 1))
    value = {"threads": max(spaces, 2), "over_mm": max(round(over, 1), 1.0), "counted": "pitches"}
    return Reading("count", {**value, "instrument": instrument})


def measured_pitch(part: Part, world: World, chance: random.Random) -> Reading:
    """As many pitches as the thread has, counted twice and measured with calipers: told with its ± (two errors)."""
    spaces = max(int(0.9 * part.thread_length_mm / part.thread.pitch_mm), 3)
    usual = COUNTED_MM["digital calipers"]
    over = spaces * part.thread.pitch_mm + error_mm(usual, world, chance)
    return Reading("pitch", {"mm": over / spaces, "tolerance_mm": 2 * usual / spaces, "method": "stated"})


def angle(part: Part, world: World, chance: random.Random) -> Reading:
    """The flank angle against leaves of known angle, under a magnifier."""
    if chance.random() < 0.15:
        return Reading("flank_angle", {"degrees": chance.choice((47.5, 55.0, 60.0))})
    read = chance.gauss(part.thread.angle_deg, 3.0 * world.error_scale)
    return Reading("flank_angle", {"degrees": min(max(round(read, 1), 30.0), 90.0)})


#: How often crests are taken for rounded: where the standard rounds them (Whitworth, BA and their kin), and on flat
#: ones, which rolling, wear and coats round off too.
ROUNDED_SEEN, FLAT_SEEN_ROUNDED = 0.85, 0.3


def crest(part: Part, chance: random.Random) -> Reading:
    """Whether the crests look rounded or flat, in the same look as the flanks."""
    rounds = ROUNDED_SEEN if part.thread.angle_deg < 60.0 else FLAT_SEEN_ROUNDED
    return Reading("crest", "rounded" if chance.random() < rounds else "flat")


def flats(part: Part, world: World, chance: random.Random) -> Reading:
    """Across the flats, with calipers."""
    read = round(part.across_flats_mm + error_mm(CALIPERS_MM, world, chance), 2)
    return Reading("across_flats", {"mm": max(read, 1.0)})


def trial(part: Part, known: Thread, chance: random.Random) -> Reading:
    """A known nut tried on (or a known bolt, in a nut): two parts meet, with the diameters they happen to have."""
    if part.is_nut:
        outcome, turns = trial_of_nut(part.thread, part.nut_pitch_mm, part.bore_mm, known, chance)
    else:
        outcome, turns = trial_of_bolt(part.thread, part.outside_mm, part.bolt_pitch_mm, known, chance)
    return Reading("trials", {"with": known.designation, "outcome": outcome, "turns": turns})


def trial_of_bolt(
    bolt: Thread, outside: float, on_bolt: float, known: Thread, chance: random.Random
) -> tuple[str, float | None]:
    """A bolt in some nut of a known thread."""
    on_nut, nut_bore = _middling(known.limits.nut_pitch, chance), _middling(known.limits.bore, chance)
    return meet(bolt, known, outside, on_bolt, on_nut, nut_bore, chance)


def trial_of_nut(
    nut: Thread, on_nut: float, nut_bore: float, known: Thread, chance: random.Random
) -> tuple[str, float | None]:
    """A nut on some bolt of a known thread."""
    outside, on_bolt = _middling(known.limits.outside, chance), _middling(known.limits.bolt_pitch, chance)
    return meet(known, nut, outside, on_bolt, on_nut, nut_bore, chance)


def _middling(limits: tuple[float, float], chance: random.Random) -> float:
    return chance.triangular(*limits)


def meet(
    bolt: Thread,
    nut: Thread,
    outside: float,
    on_bolt: float,
    on_nut: float,
    nut_bore: float,
    chance: random.Random,
) -> tuple[str, float | None]:
    """What fingers feel. Play between the flanks is used up by the difference of the pitches, turn by turn."""
    root = bolt.major_mm - 1.2 * bolt.pitch_mm * (0.9 if bolt.family == "BSC" else 1.0)
    if outside > nut.major_mm + 0.05 * nut.pitch_mm or root > nut_bore + 0.03:
        return "will not start", None
    if outside < nut_bore:
        return "wobbles", None
    slope = math.tan(math.radians((bolt.angle_deg + nut.angle_deg) / 4))
    bite = (
        0.3 * nut.pitch_mm * abs(math.tan(math.radians(bolt.angle_deg / 2)) - math.tan(math.radians(nut.angle_deg / 2)))
    )
    play = (on_nut - on_bolt) * slope - bite + chance.gauss(0.01, 0.02)
    step = abs(bolt.pitch_mm - nut.pitch_mm)
    if play < 0.4 * step or play < -0.01:
        return "will not start", None
    turns_in_nut = 0.8 * nut.major_mm / nut.pitch_mm
    turns = max(play, 1e-3) / max(step, 1e-6)
    if turns < turns_in_nut:
        return "binds", max(round(turns * math.exp(chance.gauss(0.0, 0.25)), 1), 0.5)
    slack = (on_nut - on_bolt) / nut.pitch_mm
    return ("wobbles" if slack > 0.3 + chance.gauss(0.0, 0.04) else "runs on"), None


def together(readings: Sequence[Reading], part: Part) -> dict[str, Any]:
    """Readings as one set of observations."""
    given: dict[str, Any] = {"kind": "nut" if part.is_nut else "bolt"}
    if part.condition_told:
        given["condition"] = part.condition
    for reading in readings:
        if reading.key == "trials":
            given.setdefault("trials", []).append(reading.value)
        else:
            given[reading.key] = reading.value
    return given
