"""What must hold of identification whatever is observed."""

from __future__ import annotations

import contextlib
import math
import random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from decoder.identification.index import Index, build_index
from decoder.identification.likelihoods import Evidence, evidence
from decoder.identification.next_step import information
from decoder.identification.observations import read_observations
from decoder.identify import ObservationError, identify
from decoder.reference import load_reference
from tests.random_observations import observations_at_random

INDEX = Index.load(build_index(load_reference()))
SEEDS = st.integers(min_value=0, max_value=10**6)
LEAN = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def _one(seed: int) -> dict[str, Any]:
    """Observations drawn at random, past the written edges."""
    return observations_at_random(INDEX.data, 200, seed)[-1]


@LEAN
@given(SEEDS)
def test_nothing_crashes_and_everything_adds_up(seed: int) -> None:
    answer = identify(_one(seed), INDEX)
    shares = [entry["probability"] for entry in answer.candidates]
    assert all(0.0 <= share <= 1.0 for share in shares)
    assert shares == sorted(shares, reverse=True)
    assert 0.0 <= answer.none_of_these <= 1.0
    assert sum(shares) + answer.none_of_these <= 1.0 + 1e-9
    assert all(math.isfinite(step["bits"]) and step["bits"] >= 0 for step in answer.next)
    assert answer.strength_text


@LEAN
@given(SEEDS, st.randoms(use_true_random=False))
def test_order_does_not_matter(seed: int, shuffle: random.Random) -> None:
    observed = _one(seed)
    keys = list(observed)
    shuffle.shuffle(keys)
    other = identify({key: observed[key] for key in keys}, INDEX).as_json()
    assert other == identify(observed, INDEX).as_json()


@LEAN
@given(st.floats(min_value=1.2, max_value=60.0), st.integers(min_value=4, max_value=80))
def test_units_do_not_matter(mm: float, per_inch: int) -> None:
    """Inches are millimetres by 25.4 before they get here; how a pitch was written changes words only."""
    inch = {"diameter": {"mm": (mm / 25.4) * 25.4}, "pitch": {"mm": 25.4 / per_inch, "threads_per_inch": per_inch}}
    metric = {"diameter": {"mm": mm}, "pitch": {"mm": 25.4 / per_inch}}
    one, other = identify(inch, INDEX, with_next=False), identify(metric, INDEX, with_next=False)
    assert [entry["designation"] for entry in one.candidates] == [entry["designation"] for entry in other.candidates]
    for mine, theirs in zip(one.candidates, other.candidates, strict=True):
        assert mine["probability"] == pytest.approx(theirs["probability"], abs=1e-9)


@LEAN
@given(SEEDS, st.sampled_from(("left", "right")))
def test_the_hand_changes_no_odds(seed: int, hand: str) -> None:
    observed = {key: value for key, value in _one(seed).items() if key != "hand"}
    plain, handed = identify(observed, INDEX, with_next=False), identify({**observed, "hand": hand}, INDEX)
    assert [entry["probability"] for entry in plain.candidates] == [entry["probability"] for entry in handed.candidates]


def _expected_true_share(chances: list[list[float]], shares: list[float]) -> float:
    """Mean probability of the true thread after an observation, over threads and outcomes."""
    expected = 0.0
    for outcome in range(len(chances[0])):
        whole = sum(share * row[outcome] for share, row in zip(shares, chances, strict=True))
        if whole > 0:
            expected += sum((share * row[outcome]) ** 2 for share, row in zip(shares, chances, strict=True)) / whole
    return expected


@LEAN
@given(st.lists(st.lists(st.floats(0.01, 1.0), min_size=4, max_size=4), min_size=2, max_size=6), SEEDS)
def test_observing_never_lowers_the_true_ones_expected_share(rows: list[list[float]], seed: int) -> None:
    """And its information is never below zero, nor above what there is to know."""
    chances = [[value / sum(row) for value in row] for row in rows]
    weights = [random.Random(seed + k).uniform(0.05, 1.0) for k in range(len(rows))]
    shares = [weight / sum(weights) for weight in weights]
    assert _expected_true_share(chances, shares) >= sum(share * share for share in shares) - 1e-12
    bits = information(shares, chances)
    assert -1e-12 <= bits <= -sum(share * math.log2(share) for share in shares) + 1e-9


@pytest.mark.parametrize("designation", ["5/16-24 UNF", "M8x1", "2 BA", "3/8-16 BSW", "M10x1.25"])
def test_true_readings_raise_the_true_thread_on_average(designation: str) -> None:
    """Leaves read with the chances the model gives them, diameters spread over the limits."""
    chance = random.Random(3)
    number = INDEX.number[designation]
    sizes = INDEX.sizes[number]
    before = after = 0.0
    for _ in range(60):
        mm = chance.uniform(sizes.male_major_from, sizes.male_major_to) + chance.gauss(0, 0.03)
        one = {"diameter": {"mm": mm}}
        two = {**one, "pitch": {"mm": INDEX.pitch[number] * math.exp(chance.gauss(0, 0.01))}}
        before += _share(identify(one, INDEX, with_next=False), designation)
        after += _share(identify(two, INDEX, with_next=False), designation)
    assert after > before


def _share(answer: Any, designation: str) -> float:
    return sum(entry["probability"] for entry in answer.candidates if entry["designation"] == designation)


@LEAN
@given(SEEDS)
def test_weak_evidence_excludes_nothing(seed: int) -> None:
    """Flats, spanner, height, length, drive, material, marks and kind shift odds by less than 1 in 20,000."""
    weak = ("across_flats", "spanner", "head_height", "length", "drive", "material", "head_marks", "nut_marks", "kind")
    seen = read_observations(_one(seed), INDEX)
    for item in evidence(seen, INDEX):
        if item.key in weak:
            assert _ratio(item) < 20_000, item.key


def _ratio(item: Evidence) -> float:
    return math.exp(max(item.logs) - min(item.logs))


JUNK = st.recursive(
    st.none() | st.booleans() | st.floats() | st.text(max_size=5) | st.integers(-5, 5),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=6), inner, max_size=2),
    max_leaves=4,
)


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(sorted(("diameter", "pitch", "count", "trials", "kind", "head_marks", "hand", "has"))), JUNK)
def test_junk_is_refused_or_read_but_never_breaks(key: str, value: Any) -> None:
    with contextlib.suppress(ObservationError):
        identify({key: value}, INDEX, with_next=False)
