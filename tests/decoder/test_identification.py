"""The parts of the identification, each held against something from outside it."""

from __future__ import annotations

import ast
import math
from pathlib import Path

import pytest

from decoder.identification.fit import chance, fit
from decoder.identification.index import Index, build_index
from decoder.identification.likelihoods import leaf_chance
from decoder.identification.model import MODEL
from decoder.identification.numbers import erf, fixed, normal_cdf, short
from decoder.lookalikes import all_lookalikes
from decoder.reference import Reference
from tests.simulator.standards import limits_of_size

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def index(reference: Reference) -> Index:
    return Index.load(build_index(reference))


def test_the_error_function_is_one() -> None:
    """Against the C library's; 1.5e-7 is what Abramowitz and Stegun promise for formula 7.1.26."""
    worst = max(abs(erf(step / 100) - math.erf(step / 100)) for step in range(-600, 601))
    assert worst < 1.5e-7
    assert normal_cdf(0.0) == pytest.approx(0.5, abs=1e-8)
    assert normal_cdf(1.959964) == pytest.approx(0.975, abs=2e-7)


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (7.905, 2, "7.91"),
        (0.125, 2, "0.13"),
        (-0.004, 2, "0.00"),
        (-1.5, 0, "-2"),
        (12.0, 3, "12.000"),
        (0.05, 1, "0.1"),
    ],
)
def test_numbers_are_printed_with_halves_away_from_zero(value: float, places: int, text: str) -> None:
    assert fixed(value, places) == text


def test_short_numbers_lose_their_noughts() -> None:
    assert [short(value, 3) for value in (1.25, 8.0, 0.5, 100.0)] == ["1.25", "8", "0.5", "100"]


def test_chances_of_leaves_add_up(index: Index) -> None:
    """For every pitch and scale of errors, over all leaves."""
    for log_pitch, _ in index.distinct_pitches:
        for scale in range(len(index.model["error_scales"])):
            chances = [leaf_chance(leaf, log_pitch, scale, index) for leaf in index.log_leaves]
            assert sum(chances) == pytest.approx(1.0, abs=1e-9)


def test_chances_of_a_trial_add_up(index: Index) -> None:
    for bolt, nut in (("5/16-24 UNF", "M8x1"), ("3/8-24 UNF", "M10x1"), ("M8x1.25", "M8x1.25")):
        steps = fit(index, index.number[bolt], index.number[nut])
        outcomes = ("will not start", "binds", "runs on", "wobbles")
        assert sum(chance(index, steps, outcome, None) for outcome in outcomes) == pytest.approx(1.0, abs=1e-9)


def test_a_thread_fits_its_own_nut(index: Index) -> None:
    """All but pipe threads, whose taper is another matter."""
    for i, designation in enumerate(index.designation):
        if index.family[i].group == "pipe":
            continue
        steps = fit(index, i, i)
        goes = chance(index, steps, "runs on", None) + chance(index, steps, "wobbles", None)
        assert goes > 0.55, designation


def test_turns_agree_with_the_comparison_of_look_alikes(reference: Reference, index: Index) -> None:
    """Two models of the same play, made apart: turns to binding agree within half for nearly all pairs."""
    agree = pairs = 0
    for pair in all_lookalikes(reference.threads):
        for meeting, bolt, nut in (
            (pair.this_in_that, pair.this, pair.that),
            (pair.that_in_this, pair.that, pair.this),
        ):
            if meeting.verdict == "binds" and meeting.turns is not None and meeting.turns >= 2 and "pipe" not in (
                bolt.series, nut.series
            ):  # fmt: skip
                steps = fit(index, index.number[bolt.designation], index.number[nut.designation])
                turns = sum(step.share * step.turns for step in steps)
                pairs += 1
                agree += 0.5 < turns / meeting.turns < 1.6
    assert pairs > 50
    assert agree / pairs > 0.9


def test_sizes_agree_with_limits_worked_out_apart(index: Index) -> None:
    """The simulator's limits are its own: outside diameters agree to a tenth of the tolerance, but for Cycle and
    pipe.
    """
    for i, designation in enumerate(index.designation):
        family = index.family[i]
        if family.group in ("pipe", "cycle"):
            continue
        apart = limits_of_size(family.name, index.major[i], index.pitch[i], family.angle)
        sizes = index.sizes[i]
        tolerance = apart.outside[1] - apart.outside[0]
        assert sizes.male_major_to == pytest.approx(apart.outside[1], abs=0.1 * tolerance + 0.005), designation
        assert sizes.male_major_from == pytest.approx(apart.outside[0], abs=0.25 * tolerance + 0.005), designation


def test_the_simulator_knows_nothing_of_the_identification() -> None:
    for path in (ROOT / "tests" / "simulator").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            assert not any("identif" in name for name in names), path.name


def test_no_assumption_is_left_over() -> None:
    """Every number of the model is used by both evaluators."""
    python = "".join(
        path.read_text(encoding="utf-8")
        for path in (ROOT / "decoder" / "identification").glob("*.py")
        if path.name not in ("model.py", "texts.py")
    )
    script = (ROOT / "content/assets/scripts/identify.js").read_text(encoding="utf-8")
    for name in MODEL:
        assert f'"{name}"' in python, name
        assert f".{name}" in script, name
