"""Parts as they lie in a tub: which thread, how it was made, what time did to it, which hexagon and mark it got."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tests.simulator.standards import Limits, limits_of_size


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread as a handbook lists it; `threads_per_inch` is 0 for metric and BA."""

    designation: str
    family: str
    major_mm: float
    pitch_mm: float
    threads_per_inch: float
    angle_deg: float
    limits: Limits
    #: Widths across flats of bolt heads and of nuts that standards give for it, as (from, to).
    heads: tuple[tuple[float, float], ...] = ()
    nuts: tuple[tuple[float, float], ...] = ()


def thread(
    designation: str,
    family: str,
    major_mm: float,
    pitch_mm: float,
    threads_per_inch: float,
    angle_deg: float,
    heads: Sequence[tuple[float, float]] = (),
    nuts: Sequence[tuple[float, float]] = (),
) -> Thread:
    """A thread with its limits worked out."""
    limits = limits_of_size(family, major_mm, pitch_mm, angle_deg)
    return Thread(
        designation, family, major_mm, pitch_mm, threads_per_inch, angle_deg, limits, tuple(heads), tuple(nuts)
    )


CONDITIONS = {"new": 0.15, "plated": 0.3, "worn": 0.25, "rusty": 0.2, "painted": 0.1}

#: What heads show, by origin of the thread: a strength number, radial lines, letters, nothing.
MARKS: Mapping[str, Mapping[str, float]] = {
    "metric": {"number": 0.55, "lines": 0.01, "letters": 0.04, "blank": 0.4},
    "unified": {"number": 0.02, "lines": 0.45, "letters": 0.08, "blank": 0.45},
    "british": {"number": 0.01, "lines": 0.01, "letters": 0.28, "blank": 0.7},
    "other": {"number": 0.01, "lines": 0.01, "letters": 0.03, "blank": 0.95},
}


def origin(family: str) -> str:
    """Where a family's marks come from."""
    if family == "M":
        return "metric"
    if family.startswith("UN"):
        return "unified"
    return "british" if family in ("BSW", "BSF") else "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """What is usual. `shares` and `nut_shares` say how often each thread is met; scales stretch errors and wear."""

    threads: tuple[Thread, ...]
    shares: tuple[float, ...]
    nut_shares: tuple[float, ...]
    #: Makers aim at the middle of the limits; where this is false they end up anywhere within them.
    aimed: bool = True
    error_scale: float = 1.0
    wear_scale: float = 1.0
    foreign_hexagons: float = 0.15
    #: How often the condition is told; else the tool does not know it.
    condition_told: float = 0.7
    name: str = "as assumed"

    def draw(self, chance: random.Random, *, is_nut: bool | None = None) -> Part:
        """One part out of the tub; one in five is a nut."""
        nut = chance.random() < 0.2 if is_nut is None else is_nut
        drawn = chance.choices(self.threads, self.nut_shares if nut else self.shares)[0]
        return make(drawn, nut, self, chance)


@dataclass(frozen=True, slots=True)
class Part:
    """One part: its thread, and what it measures in truth."""

    thread: Thread
    is_nut: bool
    condition: str
    condition_told: bool
    outside_mm: float
    bolt_pitch_mm: float
    nut_pitch_mm: float
    bore_mm: float
    thread_length_mm: float
    across_flats_mm: float
    mark: str


def make(drawn: Thread, is_nut: bool, world: World, chance: random.Random) -> Part:
    """Make a part of a thread and let it age."""
    limits = drawn.limits
    condition = chance.choices(list(CONDITIONS), list(CONDITIONS.values()))[0]
    return Part(
        thread=drawn,
        is_nut=is_nut,
        condition=condition,
        condition_told=chance.random() < world.condition_told,
        outside_mm=made(limits.outside, world, chance) + aged(condition, world.wear_scale, chance),
        bolt_pitch_mm=made(limits.bolt_pitch, world, chance),
        nut_pitch_mm=made(limits.nut_pitch, world, chance),
        bore_mm=made(limits.bore, world, chance),
        thread_length_mm=chance.uniform(7.0, 22.0),
        across_flats_mm=hexagon(drawn, is_nut, world, chance),
        mark="blank" if is_nut else drawn_mark(drawn.family, chance),
    )


def made(limits: tuple[float, float], world: World, chance: random.Random) -> float:
    """Makers aim at the middle and stay within the limits."""
    low, high = limits
    if not world.aimed:
        return chance.uniform(low, high)
    middle, spread = 0.5 * (low + high), (high - low) / 5
    for _ in range(20):
        size = chance.gauss(middle, spread)
        if low <= size <= high:
            return size
    return middle


def aged(condition: str, wear_scale: float, chance: random.Random) -> float:
    """What a condition adds to the outside diameter, mm: coats of 5 to 12 µm a side, crests worn or rusted, paint."""
    if condition == "plated":
        return chance.uniform(0.010, 0.024)
    if condition == "worn":
        return -wear_scale * chance.expovariate(1 / 0.05)
    if condition == "rusty":
        return -wear_scale * chance.expovariate(1 / 0.06) + chance.uniform(0.0, 0.04)
    if condition == "painted":
        return chance.lognormvariate(math.log(0.09), 0.5)
    return 0.0


def hexagon(drawn: Thread, is_nut: bool, world: World, chance: random.Random) -> float:
    """Across flats: a standard one for its thread, or a foreign one: the hexagon of another size or series."""
    own = drawn.nuts if is_nut else drawn.heads
    if not own or chance.random() < world.foreign_hexagons:
        return drawn.major_mm * math.exp(chance.gauss(math.log(1.55), 0.14))
    low, high = chance.choice(own)
    return chance.uniform(low, high) - chance.expovariate(1 / 0.03)


def drawn_mark(family: str, chance: random.Random) -> str:
    """What the head shows."""
    shown = MARKS[origin(family)]
    return chance.choices(list(shown), list(shown.values()))[0]
