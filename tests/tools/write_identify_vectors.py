"""Writes tests/vectors/identify.json anew: a small index and answers on it, for the two evaluators of the
identification.

    python tests/tools/write_identify_vectors.py

Run it when the rules of the identification change on purpose, and read what changed. Tables may change as they like:
the file carries an index of its own. That the answers are right is for other tests to say; these keep them alike.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from decoder.identify import Index, build_index, identify
from decoder.reference import load_reference
from tests.random_observations import observations_at_random, vehicle_at_random

FILE = Path(__file__).resolve().parents[1] / "vectors" / "identify.json"

KEPT = (
    "2 BA", "0 BA", "No. 10-32 UNF", "3/16-32 BSF", "M5x0.8", "M6x1", "1/4-20 UNC", "1/4-20 BSW", "1/4-28 UNF",
    "1/4-26 BSF", "1/4-26 BSB", "1/4-26 BSC", "5/16-18 UNC", "5/16-18 BSW", "5/16-24 UNF", "5/16-22 BSF",
    "M8x1.25", "M8x1", "3/8-24 UNF", "3/8-20 BSF", "M10x1.5", "M10x1.25", "M10x1", "1/2-13 UNC", "1/2-12 BSW",
    "G 1/8", "1/8-27 NPT",
)  # fmt: skip

#: Seen and measured as people do; the others are drawn at random.
WRITTEN: tuple[dict[str, Any], ...] = (
    {},
    {"diameter": {"mm": 7.9, "tolerance_mm": 0.05}, "pitch": {"mm": 25.4 / 24, "threads_per_inch": 24}},
    {"diameter": {"mm": 9.4, "instrument": "rule"}, "trials": [{"with": "M10x1", "outcome": "binds", "turns": 6.0}]},
    {"kind": "nut", "minor_diameter": {"mm": 5.1}, "pitch": {"mm": 1.0}, "across_flats": {"mm": 9.9}},
    {"kind": "washer", "finish": "zinc"},
    {"kind": "union", "diameter": {"mm": 9.7}},
    {"diameter": {"mm": 11.5}, "pitch": {"mm": 25.4 / 24}, "flank_angle": {"degrees": 55}},
    {"count": {"threads": 12, "over_mm": 25.4}, "diameter": {"mm": 12.6}, "head_marks": ["radial-lines-3"]},
    {"spanner": {"jaw_mm": 13.34, "marking": "1/4W"}, "head_marks": ["none-visible"]},
    {"kind": "wheel nut", "trials": [{"with": "M10x1.25", "outcome": "wobbles"}], "hand": "left"},
    {"diameter": {"mm": 6.2}, "crest": "rounded", "condition": "rusty", "length": {"mm": 25.4}, "has": ["rule"]},
)
RANDOM = 20


def small_index() -> dict[str, Any]:
    """The index with few threads and marks."""
    data: dict[str, Any] = json.loads(build_index(load_reference()))
    threads = data["threads"]
    places = [threads["designation"].index(name) for name in KEPT if name in threads["designation"]]
    places.sort()
    data["threads"] = {name: [column[place] for place in places] for name, column in threads.items()}
    data["parts"] = {part: [rows[place] for place in places] for part, rows in data["parts"].items()}
    used = sorted({row for rows in data["parts"].values() for own in rows for row in own})
    data["parts"] = {part: [[used.index(row) for row in own] for own in rows] for part, rows in data["parts"].items()}
    data["hexagons"] = [data["hexagons"][row] for row in used]
    pairs = data["pairs"]
    both = [k for k, pair in enumerate(zip(pairs["one"], pairs["other"], strict=True)) if set(pair) <= set(places)]
    data["pairs"] = {name: [column[k] for k in both] for name, column in pairs.items()}
    for name in ("one", "other"):
        data["pairs"][name] = [places.index(place) for place in data["pairs"][name]]
    data["uses"] = {kind: [places.index(k) for k in own if k in places] for kind, own in data["uses"].items()}
    data["marks"] = {
        mark: data["marks"][mark] for mark in ("none-visible", "radial-lines-3", "text-8-8", "recess-centre")
    }
    data["spanners"] = [row for row in data["spanners"] if row[0] in ("13 mm", "1/2 AF", "1/4W", "2BA")]
    return data


def main() -> None:
    data = small_index()
    index = Index(data)
    at_random = observations_at_random(data, 400, seed=5)[-RANDOM:]
    vehicle = vehicle_at_random(data, seed=5)
    cases = [
        {
            "observations": given,
            "answer": identify(given, index, vehicle=vehicle if number % 3 == 0 else None).as_json(),
        }
        for number, given in enumerate([*WRITTEN, *at_random])
    ]

    def line(value: Any) -> str:
        return json.dumps(value, ensure_ascii=False, separators=(",", ":"))

    rows = ",\n".join(line(case) for case in cases)
    FILE.write_text(f'{{"index":{line(data)},\n"vehicle":{line(vehicle)},\n"cases":[\n{rows}\n]}}\n', encoding="utf-8")


if __name__ == "__main__":
    main()
