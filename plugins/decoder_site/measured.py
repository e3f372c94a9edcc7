"""The figures that `make bench-identify` wrote: read, checked for shape, never made up."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from decoder.findings import BadDataError, Finding

FILE = "benchmarks/identification.json"

_KEYS = (
    "measured_on", "seed", "tuned_on_seeds", "parts", "state", "worlds", "strangers", "next", "time", "index",
)  # fmt: skip
_NEXT = (
    "parts", "measures_following_advice", "right_following_advice", "decided_following_advice", "best_fixed_order",
    "measures_best_fixed_order", "right_best_fixed_order", "decided_best_fixed_order", "more_than_best_fixed_order",
    "more_standard_error",
)  # fmt: skip
_WORLD = (
    "world", "parts", "right", "best_possible", "ratio", "usual_practice", "calibration_error", "sure",
    "sure_and_right", "look_alikes", "sure_and_wrong_among_look_alikes",
    "best_possible_sure_and_wrong_among_look_alikes", "none_of_these_said", "reliability",
)  # fmt: skip


def read_measured(folder: Path) -> Mapping[str, Any] | None:
    """The figures, or None where none were measured.

    Raises
    ------
    BadDataError
        Where the file is not what the benchmark writes.
    """
    file = folder / FILE
    if not file.is_file():
        return None
    try:
        read = json.loads(file.read_text(encoding="utf-8"))
    except ValueError as error:
        raise _bad("the file", f"no JSON ({error})", "what the benchmark writes") from error
    if not isinstance(read, dict):
        raise _bad("the file", f"a {type(read).__name__}", "an object")
    _check(read, _KEYS, "the file")
    _check(read["next"], _NEXT, "next")
    for number, world in enumerate(read["worlds"]):
        _check(world, _WORLD, f"worlds[{number}]")
    return read


def _check(part: Mapping[str, Any], keys: tuple[str, ...], field: str) -> None:
    missing = [key for key in keys if key not in part]
    if missing:
        raise _bad(field, f"no {', '.join(missing)}", f"keys {', '.join(keys)}")


def _bad(field: str, found: str, expected: str) -> BadDataError:
    finding = Finding(
        level="error",
        code="benchmark",
        file=f"site_data/{FILE}",
        line=1,
        field=field,
        found=found,
        expected=expected,
        fix="run make bench-identify again; it writes the whole file",
    )
    return BadDataError([finding])
