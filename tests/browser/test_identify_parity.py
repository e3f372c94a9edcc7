"""The identification in a real browser against the Python one: two thousand observations, and a changed constant."""

from __future__ import annotations

import json
from typing import Any

import pytest
from playwright.sync_api import Browser

from decoder.identify import Index, build_index, build_index_script
from decoder.reference import Reference
from tests.identify_twins import CHANGES, RUNNER, SCRIPT, changed_script, disagreements, python_answers
from tests.random_observations import observations_at_random, vehicle_at_random

pytestmark = pytest.mark.browser

SEED = 20
MANY = 2200
SOME = 250


@pytest.fixture(scope="module")
def data(reference: Reference) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(build_index(reference))
    return read


def browser_answers(
    browser: Browser, index_script: bytes, engine: str, observations: list[Any], vehicle: Any
) -> list[Any]:
    """Answers from a page that has the index and the engine as scripts, as the site has."""
    page = browser.new_page()
    try:
        page.add_script_tag(content=index_script.decode("utf-8"))
        page.add_script_tag(content=engine)
        page.add_script_tag(content=RUNNER.read_text(encoding="utf-8"))
        text = page.evaluate(
            "([observations, vehicle]) => JSON.stringify(decoderAnswers(window.decoderIndex, observations, vehicle))",
            [observations, vehicle],
        )
    finally:
        page.close()
    read: list[Any] = json.loads(text)
    return read


def test_two_thousand_observations_agree(browser: Browser, reference: Reference, data: dict[str, Any]) -> None:
    """Same index bytes; probabilities and bits within 1e-9; order, words, warnings and reasons the same."""
    observations, vehicle = observations_at_random(data, MANY, SEED), vehicle_at_random(data, SEED)
    ours = python_answers(Index(data), observations, vehicle)
    theirs = browser_answers(
        browser, build_index_script(reference), SCRIPT.read_text(encoding="utf-8"), observations, vehicle
    )
    assert disagreements(observations, ours, theirs) == []


@pytest.mark.parametrize(("old", "new"), [CHANGES[0], CHANGES[4], CHANGES[10]], ids=["erf", "inch", "next"])
def test_a_changed_constant_is_noticed(
    browser: Browser, reference: Reference, data: dict[str, Any], old: str, new: str
) -> None:
    """The comparison can fail: one constant of the script changed in its last places is enough."""
    observations, vehicle = observations_at_random(data, SOME, SEED), vehicle_at_random(data, SEED)
    ours = python_answers(Index(data), observations, vehicle)
    theirs = browser_answers(browser, build_index_script(reference), changed_script(old, new), observations, vehicle)
    assert disagreements(observations, ours, theirs)
