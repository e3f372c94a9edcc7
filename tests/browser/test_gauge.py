"""The gauge on the screen: nothing before a card was laid on, right to scale after, honest in what it hands on."""

from __future__ import annotations

import re
from urllib.parse import parse_qs

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Watched

pytestmark = pytest.mark.browser

#: A screen whose card is 302.5 px wide: 5.604 px a millimetre.
CARD_PX = 302.5
PX_PER_MM = CARD_PX / 53.98


def set_by_card(page: Page, width_px: float = CARD_PX) -> None:
    page.locator("#set-width").fill(str(width_px))
    page.click("#set-done")


def between(page: Page, drawing: str, *, upright: bool = False) -> float:
    """The room between the two bars of a drawing, as they are painted, in pixels of the page."""
    low, high = ("y", "height") if upright else ("x", "width")
    bars = page.locator(f"{drawing} .bar")
    assert bars.count() == 2
    assert bars.first.evaluate("e => getComputedStyle(e).stroke") == "none"
    boxes = bars.evaluate_all("all => all.map(e => e.getBoundingClientRect().toJSON())")
    return float(boxes[1][low] - boxes[0][low] - boxes[0][high])


def opened(phone: Watched) -> Page:
    page = phone.go("gauge/")
    set_by_card(page)
    return page


def test_nothing_is_measured_before_a_card_was_laid_on(phone: Watched) -> None:
    page = phone.go("gauge/")
    expect(page.locator("#set-state")).to_contain_text("Not set yet")
    for part in ("#pitch", "#size", "#readings"):
        expect(page.locator(part)).to_be_hidden()
    expect(page.locator(".md-content")).to_contain_text("scratches glass")


def test_the_lines_are_as_far_apart_as_the_page_says(phone: Watched) -> None:
    page = phone.go("gauge/")
    page.locator("#set-width").fill("280")
    assert between(page, "#set-screen") == pytest.approx(280, abs=0.01)
    page.click("#set-more")
    assert between(page, "#set-screen") == pytest.approx(280.5, abs=0.01)


@pytest.mark.parametrize("pitch", ["26 tpi", "1.25 mm", "18 tpi"])
def test_combs_have_their_pitch_on_this_screen(phone: Watched, pitch: str) -> None:
    """Measured in pixels of the page, over the whole comb, of 15 mm and more."""
    page = opened(phone)
    page.select_option("#pitch-choice", pitch)
    combs = page.locator("#pitch-screen path")
    assert combs.count() >= 3
    for place in range(combs.count()):
        comb = combs.nth(place)
        mm = float(str(comb.get_attribute("data-pitch")))
        points = [float(x) for x, _ in re.findall(r"L(-?[\d.]+) (-?[\d.]+)", str(comb.get_attribute("d")))]
        # Four corners a tooth; the second and third are its tip. The last two points close the body.
        tips = [(a + b) / 2 for a, b in zip(points[1:-2:4], points[2:-2:4], strict=True)]
        assert tips[-1] - tips[0] == pytest.approx(mm * (len(tips) - 1), abs=0.002)
        assert tips[-1] - tips[0] >= 15
        scale = comb.evaluate("e => e.getScreenCTM().a")
        assert scale == pytest.approx(PX_PER_MM, rel=1e-4)


def test_the_chosen_pitch_stands_between_its_lookalikes(phone: Watched) -> None:
    page = opened(phone)
    page.select_option("#pitch-choice", "26 tpi")
    names = page.locator("#pitch-screen .comb-name").evaluate_all("all => all.map(e => e.textContent)")
    assert names == ["28 tpi", "27 tpi", "26 tpi", "1 mm", "24 tpi"]
    page.select_option("#pitch-choice", "28 tpi")
    expect(page.locator("#pitch-read")).to_contain_text("No screen tells it from 0.9 mm")


def test_a_reading_says_what_it_may_be_off_by(phone: Watched) -> None:
    """Edges to 0.3 mm each way, and as much again of the card: 0.56 % of the length."""
    page = opened(phone)
    page.locator("#size-width").fill("7.9")
    expect(page.locator("#size-read")).to_contain_text("7.9 mm ±0.3 mm")
    assert between(page, "#size-screen") / PX_PER_MM == pytest.approx(7.9, abs=0.01)
    page.click("button[data-key=length]")
    page.locator("#size-width").fill("60")
    expect(page.locator("#size-read")).to_contain_text("60.0 mm ±0.4 mm")
    assert between(page, "#size-screen", upright=True) / PX_PER_MM == pytest.approx(60, abs=0.01)


def test_readings_go_into_identify(phone: Watched) -> None:
    page = opened(phone)
    page.locator("#size-width").fill("7.8")
    page.click("#size-take")
    page.select_option("#pitch-choice", "24 tpi")
    page.click("button[data-mm='25']")
    page.click("#pitch-take")
    page.click("button[data-key=across_flats]")
    page.locator("#size-width").fill("12.7")
    page.click("#size-take")
    handed = parse_qs(str(page.get_attribute("#readings-go", "href")).partition("#")[2])
    assert handed["diameter"] == ["7.8 mm ±0.3 mm"]
    assert handed["across_flats"] == ["12.7 mm ±0.3 mm"]
    assert re.fullmatch(r"24 tpi ±0\.[2-6]\d tpi", handed["pitch"][0])
    page.click("#readings-go")
    page.wait_for_url("**/identify/**")
    expect(page.locator("#candidates li").first).to_contain_text("5/16-24 UNF")
    expect(page.locator("#diameter")).to_have_value("7.8 mm ±0.3 mm")


def test_a_longer_thread_makes_a_surer_pitch(phone: Watched) -> None:
    page = opened(phone)
    offs = []
    for length in ("10", "25"):
        page.click(f"button[data-mm='{length}']")
        page.click("#pitch-take")
        offs.append(float(re.findall(r"±([\d.]+)", page.locator("#readings-list").inner_text())[0]))
    assert offs[1] < offs[0]


def test_too_short_a_thread_gives_no_reading(phone: Watched) -> None:
    page = opened(phone)
    page.click("button[data-mm='8']")
    page.click("#pitch-take")
    expect(page.locator("#pitch-read")).to_contain_text("too short")
    expect(page.locator("#readings-go")).to_be_hidden()


def test_the_setting_is_kept_for_this_screen(phone: Watched) -> None:
    page = opened(phone)
    page.reload()
    expect(page.locator("#pitch")).to_be_visible()
    expect(page.locator("#set-state")).to_contain_text("5.60 px")
    page.click("#set-again")
    expect(page.locator("#pitch")).to_be_hidden()


def test_a_changed_zoom_asks_for_the_card_again(phone: Watched) -> None:
    """Zooming the page changes how many device pixels a pixel of the page has."""
    page = opened(phone)
    session = page.context.new_cdp_session(page)
    session.send(
        "Emulation.setDeviceMetricsOverride",
        {"width": 300, "height": 616, "deviceScaleFactor": 1.2, "mobile": False},
    )
    expect(page.locator("#set-state")).to_contain_text("Lay the card")
    expect(page.locator("#pitch")).to_be_hidden()
    set_by_card(page, 250)
    expect(page.locator("#pitch")).to_be_visible()


def test_a_spread_page_shows_no_gauge(phone: Watched) -> None:
    page = opened(phone)
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setPageScaleFactor", {"pageScaleFactor": 2})
    expect(page.locator("#set-state")).to_contain_text("spread by fingers")
    expect(page.locator("#size")).to_be_hidden()
    session.send("Emulation.setPageScaleFactor", {"pageScaleFactor": 1})
    expect(page.locator("#size")).to_be_visible()


@pytest.mark.parametrize("stored", ["", "{", '{"pxPerMm": 0}', '{"pxPerMm": "x"}', "null"])
def test_a_spoilt_setting_is_no_setting(phone: Watched, stored: str) -> None:
    page = phone.go("gauge/")
    page.evaluate("text => localStorage.setItem('decoder-gauge', text)", stored)
    page.reload()
    expect(page.locator("#set-state")).to_contain_text("Not set yet")


def test_the_gauge_fits_a_phone(phone: Watched) -> None:
    page = opened(phone)
    assert phone.overflow() == 0
    small = page.locator("#gauge button:visible, #gauge select:visible, #gauge a.button:visible").evaluate_all(
        "all => all.map(e => [e.textContent, e.getBoundingClientRect().height]).filter(([, high]) => high < 48)"
    )
    assert small == []


def test_without_scripts_it_says_so(open_phone: object) -> None:
    watched: Watched = open_phone(java_script_enabled=False)  # type: ignore[operator]
    page = watched.go("gauge/")
    expect(page.locator(".needs-script")).to_be_visible()
    expect(page.locator("#set")).to_be_hidden()
