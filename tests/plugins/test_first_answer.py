"""How much has to come over a slow network before the site answers."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tools.first_answer import BEFORE_ANSWER_BYTES, FOR_WORDS, needed


@pytest.mark.parametrize(
    ("page", "also"),
    [
        ("", ()),
        ("identify/", ()),
        ("identify/", FOR_WORDS),
        ("torque/", ()),
        ("search/", ()),
        ("sizes/5-16-24-unf/", ()),
    ],
)
def test_first_answer_is_light(real_site: Path, page: str, also: tuple[str, ...]) -> None:
    """Page, styles and scripts as the page names them, and for the one field what reads words; not what comes after."""
    parts = needed(real_site, page, also)
    assert len(parts) >= 3, "a page with neither style nor script was not read right"
    assert sum(parts.values()) <= BEFORE_ANSWER_BYTES, parts


def test_late_parts_of_the_identify_page_are_late(real_site: Path) -> None:
    """The page does not name them, so the browser fetches them when a script says so; what they hold is not in it."""
    assert not {*FOR_WORDS, "identify/late.js"} & needed(real_site, "identify/").keys()
    page = (real_site / "identify/index.html").read_text(encoding="utf-8")
    late = (real_site / "identify/late.js").read_text(encoding="utf-8")
    for held in ("data-words=", "data-threads=", "Which washer?"):
        assert held not in page
        assert held.replace('"', '\\"') in late
