"""The list of head marks as a picker: what it is on and how it looks, then the mark itself."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from decoder.mark_records import PARTS
from decoder.reference import Reference
from tests.browser.conftest import Watched

pytestmark = pytest.mark.browser

#: What a gloved finger hits.
_TARGET_PX = 48


def test_every_mark_is_two_taps_away(phone: Watched, reference: Reference) -> None:
    """Each first tap leads to a heading with its marks below it; together they hold every mark once."""
    page = phone.go("head-marks/")
    firsts = page.locator("ul.tiles.marks a[href^='#']")
    reached: list[str] = []
    for first in firsts.all():
        first.click()
        anchor = (first.get_attribute("href") or "").removeprefix("#")
        heading = page.locator(f"[id='{anchor}']")
        expect(heading).to_be_in_viewport()
        tiles = page.locator(f"section:has([id='{anchor}']) a[href]")
        boxes = [tile.bounding_box() for tile in tiles.all()]
        assert all(box and box["height"] >= _TARGET_PX and box["width"] >= _TARGET_PX for box in boxes)
        reached += [(tile.get_attribute("href") or "").rstrip("/").rpartition("/")[2] for tile in tiles.all()]
    assert sorted(reached) == [mark.id for mark in reference.marks]
    tiles.last.click()
    expect(page.locator("ul.claims").first).to_be_visible()


def test_each_step_is_chosen_by_a_drawing(phone: Watched) -> None:
    page = phone.go("head-marks/")
    tiles = page.locator("ul.tiles.marks a")
    assert tiles.count() > len(PARTS)
    assert page.locator("ul.tiles.marks a:has(svg)").count() == tiles.count()


def test_nothing_to_see_is_a_choice_of_its_own_and_never_leads_to_a_strength(phone: Watched) -> None:
    page = phone.go("head-marks/")
    page.get_by_role("link", name="Nothing stamped").first.click()
    page.locator("a[href$='none-visible/']").first.click()
    expect(page.locator(".danger").first).to_contain_text("does not tell the strength")
    expect(page.locator("ul.claims")).not_to_contain_text("MPa")
