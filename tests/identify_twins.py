"""Holds the JavaScript evaluator of the identification against the Python one."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from decoder.identify import Index, identify
from tests.random_observations import differences

ROOT = Path(__file__).parents[1]
SCRIPT = ROOT / "content" / "assets" / "scripts" / "identify.js"
RUNNER = ROOT / "tests" / "vectors" / "run_identify.js"
VECTORS = ROOT / "tests" / "vectors" / "identify.json"

#: One constant each, as it stands in the script and changed in its last places: every one must be noticed.
CHANGES = (
    ("0.3275911", "0.3275922"),
    ("1.061405429", "1.061405529"),
    ("0.254829592", "0.254829692"),
    ("Math.sqrt(0.5)", "Math.sqrt(0.50001)"),
    ("25.4 / tpi", "25.4001 / tpi"),
    ("0.3 * pitch * Math.abs", "0.3001 * pitch * Math.abs"),
    ("tolerance * tolerance / 12.0", "tolerance * tolerance / 12.001"),
    ("[0.5, 3 / 9]", "[0.5001, 3 / 9]"),
    ("(high - low);\n    var middle = 0.5", "(high - low);\n    var middle = 0.50001"),
    ("0.9 * usual", "0.90001 * usual"),
    ("[-1.2, -0.4, 0.4, 1.2]", "[-1.2001, -0.4, 0.4, 1.2]"),
    ("guess, 55.0, 17.0", "guess, 55.0, 17.001"),
    ("concat([0.5]);\n      chances", "concat([0.5001]);\n      chances"),
    ("hexagon_worn_mm;\n    var mixture = [[1.0 - share", "hexagon_worn_mm;\n    var mixture = [[1.0001 - share"),
    ("2.0 * Math.max(read", "2.0001 * Math.max(read"),
    ("scale[1] * measure.error", "1.0001 * scale[1] * measure.error"),
)


def changed_script(old: str, new: str) -> str:
    """The script with one constant changed, which must stand there once."""
    text = SCRIPT.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in identify.js"
    return text.replace(old, new)


def python_answers(index: Index, observations: Sequence[Any], vehicle: Any) -> list[Any]:
    """What the Python evaluator says, every third time with the vehicle, as JSON has it."""
    answers = [
        identify(given, index, vehicle=vehicle if number % 3 == 0 else None).as_json()
        for number, given in enumerate(observations)
    ]
    read: list[Any] = json.loads(json.dumps(answers))
    return read


def disagreements(observations: Sequence[Any], ours: Sequence[Any], theirs: Sequence[Any]) -> list[str]:
    """A line for every observation on which the two differ."""
    assert len(observations) == len(ours) == len(theirs)
    lines = []
    for given, one, other in zip(observations, ours, theirs, strict=True):
        found = differences(one, other)
        if found:
            lines.append(f"{json.dumps(given)}: {found[0]}")
    return lines
