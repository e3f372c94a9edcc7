"""The identify page as a tired person uses it: what is typed is understood or refused, what is dangerous is said."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from urllib.parse import quote

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Watched

pytestmark = pytest.mark.browser


def opened(phone: Watched, **state: str) -> Page:
    """The page with answers given, as a shared address carries them."""
    hash_ = "&".join(f"{key}={quote(value)}" for key, value in state.items())
    # A page that is already open would only be told that its hash changed.
    phone.page.goto("about:blank")
    return phone.go(f"identify/#{hash_}")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        pytest.param("3/8 20", "3/8 in across the thread at 20 tpi", id="size and pitch"),
        pytest.param("7,9 mm 24", "7.9 mm across the thread at 24 tpi", id="decimal comma"),
        pytest.param("13 spanner", "a spanner marked 13 mm", id="spanner"),
        pytest.param("3 lines", "the mark", id="mark"),
        pytest.param("1/2 AF", "spanner marked 1/2 AF", id="jaw"),
        pytest.param("8mm", "Which do you mean?", id="8mm is not M8"),
        pytest.param("5/16", "Which do you mean?", id="a fraction alone"),
        pytest.param("24", "Which do you mean?", id="a number alone"),
        pytest.param("2BA", "Page of 2 BA", id="BA"),
        pytest.param("¼ bsf", "Page of 1/4-26 BSF", id="one sign for a fraction"),
        pytest.param("5/16 unf", "Page of 5/16-24 UNF", id="thread without pitch"),
        pytest.param("M8", "Page of M8x1.25", id="metric"),
        pytest.param("qwerty", "write", id="nonsense is refused in a sentence"),
        pytest.param("1/0", "write", id="no size at all"),
    ],
)
def test_what_is_typed_is_understood_or_asked_back(phone: Watched, typed: str, said: str) -> None:
    page = phone.go("identify/")
    page.fill("#typed", typed)
    page.press("#typed", "Enter")
    expect(page.locator("#typed-read")).to_contain_text(said)


def test_a_choice_between_readings_takes_one_tap(phone: Watched) -> None:
    page = phone.go("identify/")
    page.fill("#typed", "8mm")
    page.press("#typed", "Enter")
    page.get_by_role("button", name="measure of 8 mm").click()
    expect(page.locator("#diameter")).to_have_value("8mm")
    expect(page.locator("#candidates")).to_contain_text("M8x1.25")


@pytest.mark.parametrize(
    ("typed", "read"),
    [("7,9", "7.9 mm"), (".3125", "5/16 in"), ("7.9 ±0.05", "±"), ("5/16", "5/16 in")],
)
def test_a_bare_number_is_read_where_one_unit_can_be_meant(phone: Watched, typed: str, read: str) -> None:
    page = phone.go("identify/")
    page.fill("#diameter", typed)
    if read == "±":
        expect(page.locator("#diameter-read")).to_have_class("read refused")
    else:
        expect(page.locator("#diameter-read")).to_contain_text(read)


def test_a_number_of_two_meanings_offers_both(phone: Watched) -> None:
    page = phone.go("identify/")
    page.fill("#pitch", "5")
    line = page.locator("#pitch-read")
    expect(line).to_contain_text("has no unit")
    assert line.locator("button").count() >= 2


def test_male_threads_measure_under_their_size(phone: Watched) -> None:
    """ASME B1.1: a 3/8-16 UNC bolt of class 2A measures 0.3643 to 0.3737 in, never 3/8."""
    page = opened(phone, diameter="9.3 mm", pitch="16 tpi")
    expect(page.locator("#candidates > li").first).to_contain_text("3/8-16")


def test_same_pitch_other_angle_is_told_as_undecided(phone: Watched) -> None:
    """BSW and UNC share 16 to the inch at 3/8; only the flanks (55° or 60°) part them (BS 84, ASME B1.1)."""
    page = opened(phone, diameter="9.4 mm", pitch="16 tpi")
    found = page.locator("#candidates")
    expect(found).to_contain_text("3/8-16 UNC")
    expect(found).to_contain_text("3/8-16 BSW")
    expect(page.locator("#warnings")).to_contain_text("55°")


def test_flats_alone_fix_no_thread(phone: Watched) -> None:
    """M10 alone occurs under 13, 14, 15, 16 and 17 mm (DIN, ISO, JIS): a width is weak evidence."""
    page = opened(phone, across_flats="13 mm")
    expect(page.locator("#verdict")).to_contain_text("Cannot tell")


def test_a_nut_is_measured_by_its_bore(phone: Watched) -> None:
    page = phone.go("identify/")
    page.get_by_role("button", name="Nut", exact=True).click()
    expect(page.locator("#diameter")).to_be_hidden()
    page.fill("#minor-diameter", "6.8 mm")
    page.fill("#pitch", "24 tpi")
    expect(page.locator("#candidates > li").first).to_contain_text("5/16-24 UNF")


def test_a_trial_fit_counts_and_can_be_taken_back(phone: Watched) -> None:
    page = opened(phone, diameter="7.9 mm")
    page.get_by_text("I tried a nut or bolt that I know").click()
    page.fill("#trial-with", "m8")
    page.get_by_role("button", name="Would not start").click()
    expect(page.locator("#tried")).to_contain_text("M8x1.25: will not start")
    expect(page.locator("#candidates > li").first).not_to_contain_text("M8x1.25")
    page.locator("#tried").get_by_role("button", name="Remove").click()
    expect(page.locator("#tried > li")).to_have_count(0)


def test_any_mark_is_three_taps_away(phone: Watched) -> None:
    page = phone.go("identify/")
    page.get_by_text("What stands on the head").click()
    page.locator("#looks").get_by_role("button", name="Lines").click()
    page.get_by_role("button", name="Three radial lines, evenly spaced").click()
    expect(page.locator("#verdict")).to_contain_text("claim")


def test_state_survives_a_reload_and_is_shared_by_address(phone: Watched) -> None:
    page = phone.go("identify/")
    page.fill("#diameter", "7.9 mm")
    page.fill("#pitch", "24")
    page.reload()
    expect(page.locator("#diameter")).to_have_value("7.9 mm")
    expect(page.locator("#candidates > li").first).to_contain_text("5/16-24 UNF")


# Five questions where a confident answer is dangerous.


def test_a_blank_head_has_no_strength(phone: Watched) -> None:
    page = opened(phone, diameter="7.9 mm", pitch="24 tpi", head_marks="none")
    expect(page.locator("#verdict")).to_contain_text("strength")
    text = page.locator("#verdict").inner_text().lower()
    assert "cannot tell" in text or "no strength" in text
    assert "mpa" not in text


def test_a_wheel_nut_that_runs_on_loosely_is_not_proven(phone: Watched) -> None:
    page = opened(phone, kind="wheel nut", trials="1/2-20 UNF;runs on;")
    expect(page.locator("#verdict")).not_to_contain_text("Almost certain")
    expect(page.locator("#warnings")).to_contain_text("proves nothing")


def test_a_brake_pipe_nut_tight_after_six_turns_is_stopped(phone: Watched) -> None:
    page = opened(phone, kind="union", diameter="9.5 mm", trials="M10x1;binds;6")
    expect(page.locator("#warnings")).to_contain_text("Never pull it up to seal")
    expect(page.locator("#candidates > li").first).to_contain_text("3/8-24 UNF")


def test_stainless_gets_no_blessing(phone: Watched) -> None:
    page = opened(phone, kind="bolt", diameter="9.9 mm", pitch="1.5 mm", material="stainless")
    text = page.locator("#verdict").inner_text().lower()
    assert "cannot tell" in text or "no mark" in text


def test_a_hub_slot_that_misses_its_pin_leads_to_the_procedure(phone: Watched) -> None:
    """Nothing on the page for a castellated hub nut says to turn on to the slot."""
    page = phone.go("joint-kinds/hub-nut-taper-rollers/")
    expect(page.locator("article")).to_contain_text("back")
    assert "tighten to the next slot" not in page.locator("article").inner_text().lower()


# The tub.


def test_the_tub_keeps_counts_and_comes_back_from_its_file(phone: Watched) -> None:
    page = opened(phone, diameter="7.9 mm", pitch="24 tpi", length="1-1/4 in")
    put = page.get_by_role("button", name="Put 5/16-24 UNF in the tub")
    put.click()
    put.click()
    expect(page.locator("#tub-list")).to_contain_text("2 × 5/16-24 UNF, 1-1/4 in long")
    page.get_by_role("button", name="Same again, other length").click()
    page.get_by_label("The other length of 5/16-24 UNF").fill("1 in")
    page.get_by_role("button", name="Put it in").click()
    expect(page.locator("#tub-list > li")).to_have_count(2)
    page.get_by_label("Note on 5/16-24 UNF, 1 in long").fill('bent, "maybe"')
    page.get_by_label("Note on 5/16-24 UNF, 1 in long").blur()
    with page.expect_download() as got:
        page.get_by_role("button", name="Export as CSV").click()
    text = got.value.path().read_text(encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [(row["designation"], row["length"], row["quantity"]) for row in rows] == [
        ("5/16-24 UNF", "1-1/4 in", "2"),
        ("5/16-24 UNF", "1 in", "1"),
    ]
    assert rows[1]["note"] == 'bent, "maybe"'
    page.reload()
    expect(page.locator("#tub-list > li")).to_have_count(2)
    page.set_input_files("#tub-import", files=[{"name": "tub.csv", "mimeType": "text/csv", "buffer": text.encode()}])
    expect(page.locator("#tub-list > li")).to_have_count(4)
    page.set_input_files("#tub-import", files=[{"name": "x.csv", "mimeType": "text/csv", "buffer": b"a,b\n1,2\n"}])
    expect(page.locator("#tub-read")).to_contain_text("Nothing was taken")


def test_a_phone_that_keeps_nothing_says_so(open_phone: Callable[..., Watched]) -> None:
    phone = open_phone()
    phone.page.add_init_script("Storage.prototype.setItem = () => { throw new Error('denied'); };")
    page = opened(phone, diameter="7.9 mm", pitch="24 tpi")
    page.get_by_role("button", name="Put 5/16-24 UNF in the tub").click()
    expect(page.locator("#tub-list > li")).to_have_count(1)


def test_the_keypad_types_into_the_field_on_a_touch_screen(open_phone: Callable[..., Watched]) -> None:
    phone = open_phone(has_touch=True, is_mobile=True)
    page = phone.go("identify/")
    page.locator("#diameter").tap()
    keypad = page.locator(".keypad")
    expect(keypad).to_be_visible()
    for key in ("5", "/", "1", "6", "in"):
        keypad.get_by_role("button", name=key, exact=True).tap()
    expect(page.locator("#diameter")).to_have_value("5/16 in")
    expect(page.locator("#diameter")).to_be_in_viewport()
    for button in keypad.get_by_role("button").all():
        box = button.bounding_box()
        assert box is not None
        assert box["height"] >= 48
        assert box["width"] >= 48
    keypad.get_by_role("button", name="Done").tap()
    expect(keypad).to_be_hidden()
