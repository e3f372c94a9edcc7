"""The page of how good the identification is: it shows what the file says, and says when that is old."""

from __future__ import annotations

import datetime
import html
import json
import re
from pathlib import Path
from typing import Any

import pytest
from decoder_site.links import Links
from decoder_site.measured import FILE, read_measured
from decoder_site.templating import Templates
from decoder_site.views.how_good import how_good_view

from decoder.findings import BadDataError
from decoder.identify import build_index, state_of
from decoder.reference import Reference
from tests.plugins.projects import REPOSITORY

_DAY = datetime.date(2030, 1, 31)


@pytest.fixture(scope="module")
def figures() -> dict[str, Any]:
    read = read_measured(REPOSITORY / "site_data")
    assert read is not None, "make bench-identify writes it"
    return json.loads(json.dumps(read))  # type: ignore[no-any-return]


@pytest.fixture(scope="module")
def state(reference: Reference) -> dict[str, str]:
    return state_of(build_index(reference))


def page_of(figures: dict[str, Any] | None, state: dict[str, str], day: datetime.date = _DAY) -> str:
    """The page's text, without tags."""
    view = how_good_view(figures, state, day)
    fragment = str(Templates().fragment("how_good", Links("how-good/", False), view=view))
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", fragment)))


def test_the_page_of_the_site_shows_what_the_file_says(real_site: Path, figures: dict[str, Any]) -> None:
    page = (real_site / "how-good" / "index.html").read_text(encoding="utf-8")
    text = re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", page)))
    assert f"Measured on {figures['measured_on']}" in text
    assert f"seed {figures['seed']}" in text
    for digest in figures["state"].values():
        assert digest in text
    for world in figures["worlds"]:
        assert f"{world['ratio']:.3f}" in text
        assert f"{world['calibration_error']:.3f}" in text
        assert f"{100 * world['sure_and_wrong_among_look_alikes']:.2f} %" in text
        assert f"{100 * world['usual_practice']:.1f} %" in text
    assert f"{100 * figures['strangers']['recall_from_3_sigma']:.1f} %" in text
    assert f"{figures['next']['measures_best_fixed_order']:.2f}" in text
    assert page.count('class="drawing chart"') == len(figures["worlds"]) + 1


@pytest.mark.parametrize(
    ("place", "target"), [("identify", "../how-good/"), ("about", "../how-good/"), ("safety", "../how-good/")]
)
def test_it_is_reached_from_where_people_trust(real_site: Path, place: str, target: str) -> None:
    assert f'href="{target}"' in (real_site / place / "index.html").read_text(encoding="utf-8")


def test_a_missed_target_is_called_missed(figures: dict[str, Any], state: dict[str, str]) -> None:
    worse = json.loads(json.dumps(figures))
    worse["worlds"][0]["ratio"] = 0.5
    worse["worlds"][1]["sure_and_wrong_among_look_alikes"] = 0.2
    before, after = how_good_view(figures, state, _DAY), how_good_view(worse, state, _DAY)
    assert before
    assert after
    assert after.missed > before.missed
    assert "0.500 (≥ 0.98) missed" in page_of(worse, state)
    assert re.search(r"20\.00 % ± \d\.\d\d \(≤ 1 %\) missed", page_of(worse, state))


@pytest.mark.parametrize(
    ("part", "words"),
    [("tables", "the tables"), ("model", "what the model assumes"), ("program", "the program")],
)
def test_figures_of_an_older_state_say_so(
    figures: dict[str, Any], state: dict[str, str], part: str, words: str
) -> None:
    fresh = {**figures, "state": dict(state)}
    assert "have not changed since" in page_of(fresh, state)
    old = {**figures, "state": {**state, part: "0" * 12}}
    assert f"Out of date: since then {words} changed" in page_of(old, state)


def test_the_age_is_told_and_not_made_up(figures: dict[str, Any], state: dict[str, str]) -> None:
    dated = {**figures, "measured_on": "2030-01-21"}
    assert "10 days before this page was made" in page_of(dated, state)
    assert "before this page was made" not in page_of(dated, state, datetime.date(2029, 1, 1))


def test_nothing_measured_is_said_so(state: dict[str, str]) -> None:
    assert "Nothing was measured for this site" in page_of(None, state)


@pytest.mark.parametrize(
    ("content", "found"), [("{", "no JSON"), ("[]", "a list"), ('{"worlds": []}', "no measured_on"), ("{}", "no ")]
)
def test_a_broken_file_is_refused_with_what_to_do(tmp_path: Path, content: str, found: str) -> None:
    (tmp_path / FILE).parent.mkdir()
    (tmp_path / FILE).write_text(content, encoding="utf-8")
    with pytest.raises(BadDataError, match="make bench-identify") as refused:
        read_measured(tmp_path)
    assert found in str(refused.value)


def test_texts_change_no_state_and_numbers_do(reference: Reference) -> None:
    """What is worded otherwise was not measured otherwise; a changed table or assumption was."""
    content = build_index(reference)
    data = json.loads(content)
    now = state_of(content)
    data["texts"]["words"]["likely"] = "quite likely"
    assert state_of(json.dumps(data).encode()) == now
    data["model"]["made_spread"] = 0.3
    changed = state_of(json.dumps(data).encode())
    assert (changed["model"] != now["model"], changed["tables"] == now["tables"]) == (True, True)
    data["threads"]["major"][0] += 0.001
    assert state_of(json.dumps(data).encode())["tables"] != now["tables"]
