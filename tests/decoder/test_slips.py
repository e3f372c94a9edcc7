"""Single wrong digits in the thread tables are caught by loading or by the published values."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

from decoder.drills import read_drills
from decoder.findings import BadDataError
from decoder.limits import limits
from decoder.paths import reference_root
from decoder.quantities import QuantityError
from decoder.reference import Reference
from decoder.thread_uses import load_thread_uses
from decoder.threads import Threads, load_threads
from tests.decoder.test_limits import value_of
from tests.decoder.test_threads import _FACTOR, _FIELD, published
from tests.tools.audit_mutations import WANTED, apply, slips


def agrees_with_print(threads: Threads) -> bool:
    """False where a published value of sizes, limits or drills no longer fits."""
    for name in ("basic", "limits", "drills"):
        for row in published(f"threads_{name}.csv"):
            designation, _, thread_class = row["item"].partition(" | ")
            try:
                thread = threads.find(designation)
            except QuantityError:
                return False
            if name == "basic":
                found = _FIELD[row["field"]](thread)
            elif name == "limits":
                found = value_of(
                    next(each for each in limits(thread) if each.thread_class == thread_class), row["field"]
                )
            elif row["field"] == "tap_drill":
                found = thread.tap_drill_mm
            elif row["field"] == "tap_drill_name":
                if thread.tap_drill is None or thread.tap_drill.name != row["value"]:
                    return False
                continue
            else:
                holes = thread.clearance_holes
                if holes is None:
                    return False
                found = getattr(holes, row["field"].replace("_hole", "_mm"))
            if abs(found / _FACTOR[row["unit"]] - float(row["value"])) > float(row["tolerance"]) + 1e-9:
                return False
    return True


def drills_agree_with_print(drills: Mapping[str, float]) -> bool:
    """False where a number or letter drill no longer has its published diameter."""
    return all(
        abs(drills[row["item"]] / 25.4 - float(row["value"])) < float(row["tolerance"])
        for row in published("drill_sizes.csv")
    )


@pytest.mark.parametrize("seed", [1, 2])
def test_nine_of_ten_single_digit_slips_are_caught(seed: int, tmp_path: Path, reference: Reference) -> None:
    assert agrees_with_print(reference.threads)
    survivors = []
    chosen = list(slips(reference_root() / "reference", "threads_", 25, seed))
    for number, slip in enumerate(chosen):
        root = tmp_path / str(number)
        (root / "reference").mkdir(parents=True)
        for path in (reference_root() / "reference").glob("threads_*.csv"):
            shutil.copy(path, root / "reference")
        apply(slip, root / "reference")
        try:
            threads = load_threads(root, reference.sources)
            load_thread_uses(root, reference.sources, threads)
        except BadDataError:
            continue
        if agrees_with_print(threads) and drills_agree_with_print(read_drills(root, reference.sources)):
            survivors.append(str(slip))
    assert len(survivors) <= (1 - WANTED) * len(chosen), "\n".join(survivors)
