"""Identification in a small simulated world: enough to notice a model gone wrong; the benchmark gives the figures."""

from __future__ import annotations

import random

import pytest

from decoder.identify import Index, build_index, identify
from decoder.reference import Reference
from tests.benchmarks.bench_identify import nearest_row, session, shares_of, simulated_threads
from tests.simulator import people
from tests.simulator.oracle import Oracle
from tests.simulator.world import World, make, thread


@pytest.fixture(scope="module")
def index(reference: Reference) -> Index:
    return Index.load(build_index(reference))


@pytest.fixture(scope="module")
def world(reference: Reference, index: Index) -> World:
    return World(
        threads=simulated_threads(reference, index),
        shares=shares_of("bolt", index),
        nut_shares=shares_of("nut", index),
    )


def test_it_is_right_more_often_than_usual_practice_and_knows_when(world: World, index: Index) -> None:
    """With 250 parts the share right is known to about 3 %."""
    chance = random.Random(4)
    parts = 250
    right = usual = said = sure_wrong = 0.0
    for _ in range(parts):
        part = world.draw(chance)
        given = people.together(session(part, world, chance), part)
        answer = identify(given, index, with_next=False)
        top = answer.candidates[0]
        correct = top["designation"] == part.thread.designation
        right += correct
        said += top["probability"]
        sure_wrong += top["probability"] > 0.9 and not correct
        usual += nearest_row(given, world.threads) == part.thread.designation
    assert right / parts > 0.72
    assert right / parts > usual / parts + 0.15
    assert abs(right - said) / parts < 0.09, "calibrated on the whole"
    assert sure_wrong / parts < 0.04


def test_strangers_are_called_so(world: World, index: Index) -> None:
    """9.1 mm by 1.35 mm lies between all rows, three errors away and more."""
    chance = random.Random(5)
    strange = thread("strange", "UNS", 9.1, 1.35, 0, 60.0)
    found = 0
    for _ in range(60):
        part = make(strange, False, world, chance)
        readings = [people.diameter(part, world, chance), people.measured_pitch(part, world, chance)]
        answer = identify(people.together(readings, part), index, with_next=False)
        found += answer.none_of_these > answer.candidates[0]["probability"]
    assert found / 60 > 0.5


def test_the_oracle_is_no_worse_than_guessing_by_shares(world: World) -> None:
    """The yardstick itself: with good readings it names the thread nearly always."""
    chance = random.Random(6)
    oracle = Oracle(world)
    right = 0
    for _ in range(15):
        part = world.draw(chance, is_nut=False)
        readings = [people.diameter(part, world, chance), people.flats(part, world, chance)]
        shares = oracle.posterior(part, readings)
        assert sum(shares) == pytest.approx(1.0)
        place = world.threads.index(part.thread)
        right += sorted(shares, reverse=True).index(shares[place]) < 5
    assert right >= 12
