"""Tap drills and clearance holes against other lists."""

from __future__ import annotations

import csv
import shutil
from itertools import pairwise
from pathlib import Path

import pytest

from decoder.drills import read_drills
from decoder.findings import BadDataError
from decoder.paths import reference_root
from decoder.reference import Reference
from decoder.threads import Threads
from tests.decoder.test_threads import published, row_id


def _rows(table: str) -> list[dict[str, str]]:
    with (reference_root() / "reference" / table).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def threads(reference: Reference) -> Threads:
    """The threads that come with the package."""
    return reference.threads


@pytest.mark.parametrize("row", published("threads_drills.csv"), ids=row_id)
def test_drills_and_holes_are_those_of_other_lists(row: dict[str, str], threads: Threads) -> None:
    thread = threads.find(row["item"])
    if row["unit"] == "name":
        assert thread.tap_drill is not None
        assert thread.tap_drill.name == row["value"]
        return
    if row["field"] == "tap_drill":
        found = thread.tap_drill_mm
    else:
        holes = thread.clearance_holes
        assert holes is not None
        found = {"close_hole": holes.close_mm, "medium_hole": holes.medium_mm, "free_hole": holes.free_mm}[row["field"]]
    assert found == pytest.approx(float(row["value"]), abs=float(row["tolerance"]) + 1e-9)


def test_number_and_letter_drills_are_those_of_the_trade(reference: Reference) -> None:
    """Decimal sizes from a tapping chart in a public repository of bolt data (0-80 to 3-48)."""
    drills = read_drills(reference.root, reference.sources)
    for name, inches in (
        ("No. 55", 0.0520),
        ("No. 53", 0.0595),
        ("No. 52", 0.0635),
        ("No. 50", 0.0700),
        ("No. 49", 0.0730),
        ("No. 48", 0.0760),
        ("No. 46", 0.0810),
        ("No. 43", 0.0890),
        ("No. 41", 0.0960),
    ):
        assert drills[name] == pytest.approx(inches * 25.4, abs=0.002)
    assert len(drills) == 80 + 26


@pytest.mark.parametrize("row", published("drill_sizes.csv"), ids=row_id)
def test_each_drill_has_the_diameter_that_another_list_gives(row: dict[str, str], reference: Reference) -> None:
    drills = read_drills(reference.root, reference.sources)
    assert drills[row["item"]] == pytest.approx(float(row["value"]) * 25.4, abs=float(row["tolerance"]) * 25.4)
    own = next(each for each in _rows("threads_drills.csv") if each["name"] == row["item"])
    assert own["document"] != row["document"]


def test_letter_drills_fill_the_gaps_between_sixty_fourths(reference: Reference) -> None:
    """The letters step by less than fractions do (common practice)."""
    drills = read_drills(reference.root, reference.sources)
    letters = [drills[name] / 25.4 for name in drills if len(name) == 1]
    assert all(0 < later - former < 1 / 64 for former, later in pairwise(letters))


def test_a_drill_out_of_order_is_refused(tmp_path: Path, reference: Reference) -> None:
    root = tmp_path / "site_data"
    shutil.copytree(reference_root() / "reference", root / "reference")
    path = root / "reference" / "threads_drills.csv"
    text = path.read_text(encoding="utf-8")
    assert text.count("No. 7,0.2010") == 1
    path.write_text(text.replace("No. 7,0.2010", "No. 7,0.2310"), encoding="utf-8")
    with pytest.raises(BadDataError, match=r"threads_drills.csv:\d+: diameter_in: found '0.2310' after .* for No. 6"):
        read_drills(root, reference.sources)


def test_every_tapping_hole_leaves_a_thread_that_holds(threads: Threads) -> None:
    for thread in threads:
        if not thread.form.taper:
            assert 55 <= thread.thread_percent(thread.tap_drill_mm) <= 100, thread.designation


def test_thread_percent_counts_from_the_old_full_depth(threads: Threads) -> None:
    """A 27/64 in drill for 1/2-13 is the trade's 78 % hole (1/2 - 0.4219 over 1.299/13)."""
    thread = threads.get("1/2-13 UNC")
    assert thread.thread_percent(27 / 64 * 25.4) == pytest.approx(78.2, abs=0.1)
    assert thread.thread_percent(thread.minor_internal_mm) == pytest.approx(83.3, abs=0.1)


def test_a_taper_thread_is_drilled_for_its_narrow_end(reference: Reference) -> None:
    """Worked out as for a parallel thread, the hole would leave a pipe to leak."""
    for thread in reference.threads:
        if thread.form.taper:
            assert thread.tap_drill is not None, thread.designation
            assert thread.tap_drill_mm < thread.minor_internal_mm, thread.designation
