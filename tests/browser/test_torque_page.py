"""The torque page as someone at the bench uses it: typed, tapped, without a network and from a stick."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from decoder.command import run
from tests.browser.conftest import PHONE, Watched, watch

pytestmark = pytest.mark.browser


def verdict(page: Page) -> str:
    return page.locator("#torque-verdict").inner_text()


def command(*arguments: str) -> str:
    out = io.StringIO()
    run(("torque", *arguments), out, io.StringIO())
    return out.getvalue()


def test_what_is_typed_and_tapped_gives_the_commands_figure(phone: Watched) -> None:
    page = phone.go("torque/")
    page.fill("#torque-size", "3/8 UNF")
    page.fill("#torque-strength", "grade 5")
    page.get_by_role("button", name="Oil").click()
    page.get_by_role("button", name="Used").click()
    said = command("3/8 UNF", "--strength", "SAE 5", "--lubricant", "oil", "--reused")
    figure = re.search(r"torque +(\S+ N·m) \((\S+ lbf·ft)\)", said)
    assert figure is not None
    shown = verdict(page)
    assert figure[1] in shown
    assert figure[2] in shown
    assert "workshop manual comes first" in shown
    assert "3/8-24 UNF" in page.locator("#torque-size-read").inner_text()
    whole = " ".join(page.locator("#torque").inner_text().split())
    for line in said.split("It assumes")[1].split("Sources")[0].splitlines():
        assert " ".join(line.split()) in whole or line.strip() in ("", "Beware")
    assert "K" in page.locator("#torque-figures").inner_text()
    assert phone.overflow() == 0
    # With the fields in sight the figure is in sight too.
    start = figure[1].partition("-")[0]
    assert page.locator("#torque-verdict .big").first.inner_text() == f"{start} N·m"
    assert start in page.locator("#torque-short").inner_text()
    page.evaluate("window.scrollTo(0, 0)")
    below = page.locator("#torque-short").evaluate("e => e.getBoundingClientRect().bottom")
    assert below <= page.locator(".quickbar").evaluate("e => e.getBoundingClientRect().top") + 1


def test_used_says_why_the_figure_stays(phone: Watched) -> None:
    """A button that changes nothing must say so."""
    page = phone.go("torque/#size=M10x1.5&strength=8.8")
    verdict = page.locator("#torque-verdict")
    expect(verdict).to_contain_text("N·m")
    new = verdict.inner_text()
    page.get_by_role("button", name="Used").click()
    expect(verdict).to_contain_text("Used: the same figure.")
    assert verdict.inner_text().splitlines()[0] == new.splitlines()[0]


def test_a_head_without_a_mark_has_no_figure(phone: Watched) -> None:
    page = phone.go("torque/?size=M10")
    page.get_by_role("button", name="No mark").click()
    assert "No figure" in verdict(page)
    assert "says nothing about strength" in page.locator("#torque-strength-read").inner_text()
    assert page.locator("#torque-figures").is_hidden()


def test_what_may_be_several_threads_is_asked_back(phone: Watched) -> None:
    page = phone.go("torque/")
    page.fill("#torque-size", "5/16-18")
    page.fill("#torque-strength", "8.8")
    page.locator("#torque-size-read").get_by_role("button", name="5/16-18 BSW").click()
    assert "N·m" in verdict(page)
    assert page.input_value("#torque-size") == "5/16-18 BSW"


def test_a_joint_that_a_manual_governs_has_no_figure(phone: Watched) -> None:
    page = phone.go("torque/#size=M10&strength=10.9")
    assert "N·m" in verdict(page)
    page.select_option("#torque-joint", "cylinder-head")
    assert "No figure" in verdict(page)
    assert "maker gives" in verdict(page)
    assert "workshop manual comes first" in page.locator("#torque-cautions").inner_text()


def test_a_tapped_hole_asks_what_it_is_in_and_how_deep(phone: Watched) -> None:
    page = phone.go("torque/#size=5/16 UNC&strength=SAE 5")
    page.get_by_role("button", name="Hole").click()
    assert "what the hole is in" in verdict(page)
    page.select_option("#torque-into", "aluminium")
    page.fill("#torque-engagement", "8 mm")
    assert "half of what strips" in page.locator("#torque-assumes").inner_text()
    address = page.url
    page.reload()
    assert page.url == address
    assert page.input_value("#torque-engagement") == "8 mm"


def test_everything_to_tap_is_large_and_pressed_says_so(phone: Watched) -> None:
    page = phone.go("torque/#size=M8&strength=8.8&goes=hole")
    small = page.locator("#torque button:visible, #torque input:visible, #torque select:visible").evaluate_all(
        "all => all.filter(e => e.getBoundingClientRect().height < 48 || e.getBoundingClientRect().width < 48)"
        ".map(e => e.outerHTML)"
    )
    assert small == []
    assert page.get_by_role("button", name="8.8").get_attribute("aria-pressed") == "true"


def test_a_sizes_page_and_a_grades_page_lead_here_with_what_they_know(phone: Watched) -> None:
    page = phone.go("sizes/m8x1-25/")
    page.get_by_role("link", name="How tight?").click()
    expect(page.locator("#torque-size")).to_have_value("M8x1.25")
    page = phone.go("strength/sae-5/")
    page.get_by_role("link", name="How tight?").click()
    expect(page.locator("#torque-strength")).to_have_value("SAE 5")
    assert "Write the size" in verdict(page)


def test_it_works_from_a_stick(browser: Browser, real_site: Path) -> None:
    """Opened as a file, without a server: same answer, nothing fetched from elsewhere."""
    base = real_site.as_uri() + "/"
    context = browser.new_context(viewport=PHONE)  # type: ignore[arg-type]
    watched = watch(context, base)
    try:
        page = watched.go("torque/index.html#size=1/2-13&strength=SAE 5")
        assert "lbf·ft" in verdict(page)
        assert watched.troubles == []
    finally:
        context.close()


def test_without_scripts_it_says_so(open_phone: Callable[..., Watched]) -> None:
    page = open_phone(java_script_enabled=False).go("torque/")
    assert page.locator(".needs-script").is_visible()
    assert page.locator("#torque-work").is_hidden()
