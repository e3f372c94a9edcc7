"""What the identification stands on, in short: to tell whether figures measured once still speak of it."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

#: Parts of the index that are tables; marks, spanners and texts change no figure that is measured.
_TABLES = ("families", "threads", "hexagons", "parts", "pairs", "leaves", "uses")
_MODEL = (
    "groups", "kinds", "heads", "nut_tops", "instruments", "conditions", "finishes", "materials", "drives",
    "blank_odds", "model",
)  # fmt: skip
_PROGRAM = ("numbers.py", "observations.py", "fit.py", "likelihoods.py", "ranking.py", "next_step.py")


def state_of(index: bytes) -> dict[str, str]:
    """Short digests of `tables`, `model` and `program`, of an index that `build_index` wrote and of this program."""
    data = json.loads(index)
    program = hashlib.sha256()
    for name in _PROGRAM:
        program.update((Path(__file__).parent / name).read_bytes())
    return {
        "tables": _digest({key: data[key] for key in _TABLES}),
        "model": _digest({key: data[key] for key in _MODEL}),
        "program": program.hexdigest()[:12],
    }


def _digest(part: object) -> str:
    return hashlib.sha256(json.dumps(part, sort_keys=True).encode()).hexdigest()[:12]
