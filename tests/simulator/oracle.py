"""The best answer anyone could give: Bayes' rule with the world's own chances, found by brute force.

Nothing here is a formula of how likely a reading is. Parts are made and read many times over for every thread, and
the readings counted; only the last step, from the true size to the reading, uses the world's error as it stands.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Sequence
from functools import cache

from tests.simulator import people
from tests.simulator.people import CALIPERS_MM, RULE_MM, VERNIER_MM, Reading
from tests.simulator.world import CONDITIONS, MARKS, Part, Thread, World, aged, made, origin

_CELL_MM = 0.01
_DRAWS = 1000
_PICKS = 1500
_MEETINGS = 150


class Oracle:
    """Knows one world; `posterior` gives the share of every thread after readings of a part."""

    def __init__(self, world: World, seed: int = 1) -> None:
        self.world = world
        self._chance = random.Random(seed)
        self._outside = cache(self._outside_sizes)
        self._bores = cache(self._bore_sizes)
        self._flats = cache(self._flat_sizes)
        self._leaves = cache(self._leaf_picks)
        self._meetings = cache(self._meeting_outcomes)

    def posterior(self, part: Part, readings: Sequence[Reading]) -> list[float]:
        """Share of every thread of the world, in its order."""
        shares = self.world.nut_shares if part.is_nut else self.world.shares
        logs = []
        for thread, share in zip(self.world.threads, shares, strict=True):
            log = math.log(share)
            for reading in readings:
                log += math.log(self._chance_of(reading, thread, part) + 1e-12)
                if log < -60.0:
                    break
            logs.append(log)
        top = max(logs)
        weights = [math.exp(log - top) for log in logs]
        total = sum(weights)
        return [weight / total for weight in weights]

    def _chance_of(self, reading: Reading, thread: Thread, part: Part) -> float:
        value = reading.value
        if reading.key == "diameter":
            instrument = {"digital calipers": CALIPERS_MM, "vernier calipers": VERNIER_MM, "rule": RULE_MM}
            return self._seen_outside(value["mm"], instrument[value["instrument"]], thread, part)
        if reading.key == "minor_diameter":
            if abs(value["mm"] - thread.limits.bore[0]) > 3.0:
                return 0.0
            return self._seen(value["mm"], self._bores(thread), VERNIER_MM)
        if reading.key == "pitch":
            return self._leaves(thread.pitch_mm).get(value["mm"], 1e-7)
        if reading.key == "count":
            return self._counted(value["threads"], value["over_mm"], thread.pitch_mm)
        if reading.key == "flank_angle":
            return self._angled(value["degrees"], thread.angle_deg)
        if reading.key == "across_flats":
            return self._seen_flats(value["mm"], thread, part.is_nut)
        if reading.key == "head_marks":
            return MARKS[origin(thread.family)][part.mark]
        return self._tried(value, thread, part.is_nut)

    # Sizes, as cells of a hundredth of a millimetre with their shares.

    def _seen(self, mm: float, cells: tuple[tuple[float, float], ...], usual_mm: float) -> float:
        error = usual_mm * self.world.error_scale
        total = 0.0
        for size, share in cells:
            z = (mm - size) / error
            if -10 < z < 10:
                total += share * (0.95 * math.exp(-0.5 * z * z) + 0.05 / 3 * math.exp(-z * z / 18)) / error
        return total / math.sqrt(2 * math.pi)

    def _seen_outside(self, mm: float, usual_mm: float, thread: Thread, part: Part) -> float:
        if abs(mm - thread.major_mm) > 2.0 + 10 * usual_mm * self.world.error_scale:
            return 0.0
        if part.condition_told:
            return self._seen(mm, self._outside(thread, part.condition), usual_mm)
        return sum(
            share * self._seen(mm, self._outside(thread, condition), usual_mm)
            for condition, share in CONDITIONS.items()
        )

    def _outside_sizes(self, thread: Thread, condition: str) -> tuple[tuple[float, float], ...]:
        return _cells(
            made(thread.limits.outside, self.world, self._chance) + aged(condition, self.world.wear_scale, self._chance)
            for _ in range(_DRAWS)
        )

    def _bore_sizes(self, thread: Thread) -> tuple[tuple[float, float], ...]:
        return _cells(made(thread.limits.bore, self.world, self._chance) for _ in range(_DRAWS))

    def _seen_flats(self, mm: float, thread: Thread, is_nut: bool) -> float:
        rows = thread.nuts if is_nut else thread.heads
        foreign = self.world.foreign_hexagons if rows else 1.0
        z = (math.log(mm / thread.major_mm) - math.log(1.55)) / 0.14
        strange = math.exp(-0.5 * z * z) / (0.14 * math.sqrt(2 * math.pi) * mm)
        if not rows:
            return strange
        near = [row for row in rows if row[0] - 1.0 < mm < row[1] + 1.0]
        own = sum(self._seen(mm, self._flats(row), CALIPERS_MM) for row in near) / len(rows)
        return foreign * strange + (1 - foreign) * own

    def _flat_sizes(self, row: tuple[float, float]) -> tuple[tuple[float, float], ...]:
        return _cells(self._chance.uniform(*row) - self._chance.expovariate(1 / 0.03) for _ in range(_DRAWS))

    # Pitch.

    def _leaf_picks(self, pitch_mm: float) -> dict[float, float]:
        picks = Counter(
            people.picked_leaf(pitch_mm, self._chance.uniform(7.0, 22.0), self.world, self._chance)
            for _ in range(_PICKS)
        )
        return {leaf: (times + 0.02) / (_PICKS + 1) for leaf, times in picks.items()}

    def _counted(self, spaces: float, over_mm: float, pitch_mm: float) -> float:
        error = RULE_MM * self.world.error_scale
        total = 0.0
        for true, share in ((spaces, 0.95), (spaces - 1, 0.025), (spaces + 1, 0.025)):
            if true < 3:
                continue
            z = (over_mm - true * pitch_mm) / error
            seen = 0.95 * math.exp(-0.5 * z * z) + 0.05 / 3 * math.exp(-z * z / 18)
            total += share * _chance_of_spaces(true, pitch_mm) * seen / error
        return total

    # The rest.

    def _angled(self, degrees: float, angle_deg: float) -> float:
        z = (degrees - angle_deg) / (3.0 * self.world.error_scale)
        seen = 0.85 * 0.1 * math.exp(-0.5 * z * z) / (3.0 * self.world.error_scale * math.sqrt(2 * math.pi))
        return seen + (0.05 if degrees in (47.5, 55.0, 60.0) else 0.0)

    def _tried(self, value: dict[str, object], thread: Thread, is_nut: bool) -> float:
        known = next(other for other in self.world.threads if other.designation == value["with"])
        if abs(known.major_mm - thread.major_mm) > 0.25 * known.major_mm:
            grows = thread.major_mm > known.major_mm
            outcome = "will not start" if grows is not is_nut else "wobbles"
            return 1.0 if value["outcome"] == outcome else 1e-6
        outcomes = self._meetings(thread.designation, known.designation, is_nut)
        if value["outcome"] != "binds":
            return (sum(1 for outcome, _ in outcomes if outcome == value["outcome"]) + 0.1) / (_MEETINGS + 1)
        turns = value["turns"]
        assert isinstance(turns, float)
        near = 0.0
        for outcome, other in outcomes:
            if outcome == "binds" and other is not None:
                z = math.log(turns / other) / 0.15
                near += math.exp(-0.5 * z * z) / (0.15 * math.sqrt(2 * math.pi) * turns)
        return (near + 0.01) / (_MEETINGS + 1)

    def _meeting_outcomes(self, thread: str, known: str, is_nut: bool) -> list[tuple[str, float | None]]:
        by_name = {other.designation: other for other in self.world.threads}
        own, other = by_name[thread], by_name[known]
        limits, chance = own.limits, self._chance

        def size(between: tuple[float, float]) -> float:
            return made(between, self.world, chance)

        if is_nut:
            return [
                people.trial_of_nut(own, size(limits.nut_pitch), size(limits.bore), other, chance)
                for _ in range(_MEETINGS)
            ]
        return [
            people.trial_of_bolt(own, size(limits.outside), size(limits.bolt_pitch), other, chance)
            for _ in range(_MEETINGS)
        ]


def _chance_of_spaces(spaces: float, pitch_mm: float) -> float:
    """Chance that a thread of a random length of 7 to 22 mm invites counting so many spaces."""
    low = 7.0 if spaces <= 3 else max(spaces * pitch_mm / 0.9, 7.0)
    high = min((spaces + 1) * pitch_mm / 0.9, 22.0)
    if spaces <= 3:
        high = max(high, min(4 * pitch_mm / 0.9, 22.0))
    return max(high - low, 0.0) / 15.0


def _cells(sizes: object) -> tuple[tuple[float, float], ...]:
    counted = Counter(round(size / _CELL_MM) for size in sizes)  # type: ignore[attr-defined]
    total = sum(counted.values())
    return tuple((cell * _CELL_MM, times / total) for cell, times in sorted(counted.items()))
