"""How long the reference tables take to load: the median of many runs in this process, table by table.

Machines are noisy: compare figures of one run with each other, not with those of another day.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

from decoder.circlips import load_circlips
from decoder.hexagons import load_hexagons
from decoder.paths import reference_root
from decoder.reference import load_reference
from decoder.sources import load_sources
from decoder.spanners import load_spanners
from decoder.split_pins import load_split_pins
from decoder.strength import load_strengths
from decoder.threads import load_threads
from decoder.washers import load_washers

RUNS = 15


def median_ms(work: Callable[[], object]) -> float:
    """Median time of one call, [ms]."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times)


def main() -> None:
    """Print a line a table, and the sum."""
    root = reference_root()
    sources = load_sources(root)
    tables = (load_threads, load_hexagons, load_spanners, load_strengths, load_washers, load_split_pins, load_circlips)
    total = 0.0
    for load in tables:
        took = median_ms(lambda load=load: load(root, sources))  # type: ignore[misc]
        total += took
        print(f"{load.__name__:<20} {took:7.1f} ms")
    print(f"{'all tables':<20} {total:7.1f} ms")
    print(f"{'with all records':<20} {median_ms(load_reference):7.1f} ms")


if __name__ == "__main__":
    main()
