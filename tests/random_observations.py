"""Observations at random and at the edges, to hold the two evaluators of the identification against each other.

They are not meant to be likely: contradictory, absurd and empty ones are where two programs part company.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from typing import Any

Given = dict[str, Any]


def observations_at_random(index: Mapping[str, Any], count: int, seed: int) -> list[Given]:
    """So many observations, the edges first; the same seed gives the same ones."""
    chance = random.Random(seed)
    edges = list(_edges(index))
    return [*edges, *(_one(index, chance) for _ in range(count - len(edges)))][:count]


def _edges(index: Mapping[str, Any]) -> Sequence[Given]:
    threads = index["threads"]
    return [
        {},
        {"has_thread": False},
        {"has_thread": True},
        *({"kind": kind} for kind in index["kinds"]),
        *({"diameter": {"mm": mm}} for mm in (0.1, 1.0, 6.35, 7.938, 8.0, 25.4, 99.9, 1000.0)),
        *({"diameter": {"mm": 8.0, "tolerance_mm": tolerance}} for tolerance in (0.0, 1e-6, 0.5, 100.0)),
        *({"pitch": {"mm": mm}} for mm in (0.05, 0.25, 1.0, 25.4 / 26, 6.0, 30.0)),
        *({"count": {"threads": n, "over_mm": over}} for n, over in ((2, 0.5), (10, 25.4), (1000, 1000.0))),
        *(
            {"trials": [{"with": designation, "outcome": outcome, "turns": turns}]}
            for designation in (threads["designation"][0], threads["designation"][-1], "M8x1")
            for outcome, turns in (("will not start", None), ("binds", 0.0), ("binds", 200.0), ("runs on", None))
        ),
        *({"head_marks": [mark]} for mark in index["marks"]),
        *({"spanner": {"jaw_mm": jaw, "marking": marking}} for marking, _, jaw, _ in index["spanners"]),
    ]


def _one(index: Mapping[str, Any], chance: random.Random) -> Given:
    threads = index["threads"]
    i = chance.randrange(len(threads["major"]))
    major = threads["major"][i]
    pitch = 25.4 / threads["tpi"][i] if threads["tpi"][i] else threads["pitch"][i]
    given: Given = {}

    def sometimes(share: float) -> bool:
        return chance.random() < share

    def measure(mm: float, spread: float) -> Given:
        part: Given = {"mm": max(mm + chance.gauss(0, spread), 0.2)}
        if sometimes(0.4):
            part["instrument"] = chance.choice(list(index["instruments"]))
        if sometimes(0.2):
            part["tolerance_mm"] = chance.choice([0.0, 0.02, 0.05, 0.1, 0.5])
        return part

    if sometimes(0.6):
        given["diameter"] = measure(major * 0.99, chance.choice([0.02, 0.1, 1.0]))
    if sometimes(0.2):
        given["minor_diameter"] = measure(major * 0.87, 0.1)
    if sometimes(0.6):
        near = chance.choice([pitch, pitch * 1.04, chance.choice(index["leaves"])])
        given["pitch"] = {"mm": near, "method": chance.choice(["leaf", "known bolt", "stated", None])}
        if sometimes(0.3):
            given["pitch"]["threads_per_inch"] = 25.4 / near
        if sometimes(0.2):
            given["pitch"]["tolerance_mm"] = chance.choice([0.0, 0.01, 0.05])
    if sometimes(0.2):
        over = chance.choice([10.0, 20.0, 25.4])
        given["count"] = {
            "threads": max(round(over / pitch), 2),
            "over_mm": over,
            "counted": chance.choice(["crests", "pitches", None]),
            "instrument": chance.choice(["rule", "digital calipers", None]),
        }
    if sometimes(0.25):
        given["trials"] = [_trial(index, major, chance) for _ in range(chance.choice([1, 1, 2]))]
    if sometimes(0.2):
        given["flank_angle"] = {"degrees": chance.choice([47.5, 55, 60, 52.0, 90.0])}
    if sometimes(0.2):
        given["crest"] = chance.choice(["flat", "rounded"])
    if sometimes(0.3):
        given["across_flats"] = measure(major * 1.6, 0.5)
    if sometimes(0.15):
        marking, _, jaw, _ = chance.choice(index["spanners"])
        given["spanner"] = {"jaw_mm": jaw, "marking": chance.choice([marking, ""])}
    if sometimes(0.15):
        given["head_height"] = measure(major * 0.65, 0.3)
    if sometimes(0.2):
        given["length"] = measure(chance.uniform(5, 80), 0.1)
    if sometimes(0.3):
        given["head_marks"] = chance.sample(["none", *index["marks"]], chance.choice([1, 1, 2]))
    if sometimes(0.1):
        given["nut_marks"] = [chance.choice(["none", *index["marks"]])]
    for key, table, share in (
        ("kind", "kinds", 0.5),
        ("head", "heads", 0.25),
        ("nut_top", "nut_tops", 0.15),
        ("drive", "drives", 0.2),
        ("material", "materials", 0.2),
        ("finish", "finishes", 0.2),
    ):
        if sometimes(share):
            given[key] = chance.choice(list(index[table]))
    if sometimes(0.1):
        given["hand"] = chance.choice(["left", "right"])
    if sometimes(0.2):
        given["condition"] = chance.choice([name for name in index["conditions"] if name != "unknown"])
    if sometimes(0.2):
        given["has"] = chance.sample(index["tools"], chance.randrange(len(index["tools"])))
    if sometimes(0.25):
        known = ("diameter", "minor_diameter", "pitch", "trials", "flank_angle", "crest", "across_flats", "spanner")
        given["cannot"] = chance.sample([*known, "head_marks"], chance.choice([1, 2, 3]))
    if sometimes(0.1):
        given["assembly"] = "timing-cover"
    return given


def _trial(index: Mapping[str, Any], major: float, chance: random.Random) -> Given:
    threads = index["threads"]
    near = [k for k, other in enumerate(threads["major"]) if abs(other - major) < 0.1 * major]
    outcome = chance.choice(["will not start", "binds", "runs on", "wobbles"])
    turns = chance.choice([None, 0.5, 2.0, 6.0, 11.0]) if outcome == "binds" else None
    return {"with": threads["designation"][chance.choice(near)], "outcome": outcome, "turns": turns}


def vehicle_at_random(index: Mapping[str, Any], seed: int) -> Given:
    """A vehicle's search part with forty joints."""
    chance = random.Random(seed)
    designations = index["threads"]["designation"]
    return {
        "vehicle": "test",
        "title": "A vehicle of the tests",
        "joints": [
            {
                "id": f"test/{assembly}/joint-{number}",
                "title": f"Joint {number}",
                "assembly": assembly,
                "threads": chance.sample(designations, chance.choice([1, 1, 2])) + chance.choice([[], ["M12x1.25 LH"]]),
                "count": chance.randrange(1, 12),
            }
            for number in range(40)
            for assembly in (chance.choice(["timing-cover", "hub"]),)
        ],
    }


def differences(ours: Any, theirs: Any, *, path: str = "", tolerance: float = 1e-9) -> list[str]:
    """Where two answers differ: numbers by more than the tolerance, everything else at all.

    Candidates (and next steps) whose numbers are closer than the tolerance may stand in either order.
    """
    if isinstance(ours, bool) or isinstance(theirs, bool) or ours is None or theirs is None:
        return [] if ours is theirs else [f"{path}: {ours!r} and {theirs!r}"]
    if isinstance(ours, (int, float)) and isinstance(theirs, (int, float)):
        return [] if abs(ours - theirs) <= tolerance else [f"{path}: {ours!r} and {theirs!r}"]
    if isinstance(ours, dict) and isinstance(theirs, dict):
        if list(ours) != list(theirs):
            return [f"{path}: keys {list(ours)} and {list(theirs)}"]
        return [line for key in ours for line in differences(ours[key], theirs[key], path=f"{path}.{key}")]
    if isinstance(ours, list) and isinstance(theirs, list):
        if len(ours) != len(theirs):
            return [f"{path}: {len(ours)} and {len(theirs)} entries"]
        return [
            line
            for place, (one, other) in enumerate(zip(ours, theirs, strict=True))
            for line in differences(one, other, path=f"{path}[{place}]")
        ]
    return [] if ours == theirs else [f"{path}: {ours!r} and {theirs!r}"]
