"""While working: ticks, a screen that stays on, the order of units, and taking one's own data out and in."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Watched

pytestmark = pytest.mark.browser

_ASSEMBLY = "vehicles/pannier-utility/engine-front/"
_KEY = "decoder.ticks.pannier-utility"


def _box(page: Page, joint: str, step: str) -> None:
    page.locator(f"[data-ticks={joint}] input[name={step}]").check()


def _joints(page: Page) -> list[str]:
    found: list[str] = page.eval_on_selector_all("[data-ticks]", "cards => cards.map(card => card.dataset.ticks)")
    return found


def test_ticks_stay_per_joint_and_are_summed_up(phone: Watched) -> None:
    """Ticked, counted, there again after a reload, on the vehicle's page, and gone when cleared."""
    page = phone.go(_ASSEMBLY)
    first, second = _joints(page)[:2]
    _box(page, first, "in")
    _box(page, first, "tightened")
    _box(page, second, "in")
    progress = page.locator("[data-progress]")
    expect(progress).to_contain_text("2 in, 1 tightened, 0 marked")
    page.reload()
    expect(progress).to_contain_text("2 in, 1 tightened, 0 marked")
    expect(page.locator(f"[data-ticks={second}] input[name=in]")).to_be_checked()
    expect(page.locator(f"[data-ticks={second}] input[name=marked]")).not_to_be_checked()
    phone.go("vehicles/pannier-utility/")
    expect(page.locator(".working li:visible")).to_have_count(1)
    expect(page.locator(".working li:visible")).to_contain_text("2 in, 1 tightened, 0 marked")
    phone.go(_ASSEMBLY)
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Clear these ticks").click()
    expect(progress).to_contain_text("0 in, 0 tightened, 0 marked")
    assert page.evaluate(f"localStorage.getItem('{_KEY}')") is None


def test_tick_made_against_another_record_says_so(phone: Watched) -> None:
    """A torque put right after the joint was ticked must not hide behind the tick."""
    page = phone.go(_ASSEMBLY)
    joint = _joints(page)[0]
    _box(page, joint, "tightened")
    page.evaluate(
        """([key, id]) => {
            const ticks = JSON.parse(localStorage.getItem(key));
            ticks[id].record = "another";
            localStorage.setItem(key, JSON.stringify(ticks));
        }""",
        [_KEY, f"engine-front/{joint}"],
    )
    page.reload()
    card = page.locator(f"[data-ticks={joint}]")
    expect(card).to_contain_text("The record has changed since this was ticked")
    card.get_by_role("button", name="I have read it").click()
    expect(card.locator(".changed")).to_have_count(0)
    page.reload()
    expect(card.locator(".changed")).to_have_count(0)


def test_ticks_work_where_storage_is_refused(open_phone: Callable[..., Watched]) -> None:
    """They last as long as the page, and that is said."""
    phone = open_phone()
    phone.page.add_init_script(
        "Storage.prototype.setItem = () => { throw new DOMException('refused', 'SecurityError'); }"
    )
    page = phone.go(_ASSEMBLY)
    _box(page, _joints(page)[0], "in")
    expect(page.locator("[data-progress]")).to_contain_text("1 in")
    expect(page.locator("[data-progress]")).to_contain_text("This phone keeps nothing")
    phone.troubles[:] = [trouble for trouble in phone.troubles if "refused" not in trouble]


def test_screen_stays_on_while_an_assembly_is_open(open_phone: Callable[..., Watched]) -> None:
    """Asked for where the browser can, let go of when the box is cleared, and not asked for again then."""
    phone = open_phone()
    phone.page.add_init_script(
        """window.wakes = [];
        Object.defineProperty(navigator, "wakeLock", {value: {request: kind => {
            wakes.push(kind);
            const lock = new EventTarget();
            lock.release = () => { wakes.push("released"); lock.dispatchEvent(new Event("release")); };
            return Promise.resolve(lock);
        }}});"""
    )
    page = phone.go(_ASSEMBLY)
    box = page.locator("[data-awake]")
    expect(box).to_be_checked()
    page.wait_for_function("wakes.length === 1")
    box.uncheck()
    page.wait_for_function("wakes.length > 1")
    assert page.evaluate("wakes") == ["screen", "released"]
    page.reload()
    expect(box).not_to_be_checked()
    assert page.evaluate("wakes") == []


def test_unit_order_is_remembered(phone: Watched) -> None:
    """Inch first turns every measure round, on the next page too, and parentheses go round the second."""
    page = phone.go("sizes/m8x1-25/")
    measure = page.locator("dl.facts .measure.metric").first
    assert _order(page) == ["one", "other"]
    page.get_by_role("button", name="inch", exact=True).click()
    assert _order(page) == ["other", "one"]
    expect(measure.locator(".paren").first).to_be_hidden()
    phone.go("sizes/5-16-24-unf/")
    assert page.evaluate("document.documentElement.classList.contains('inch-first')")
    page.get_by_role("button", name="mm", exact=True).click()
    assert _order(page, "inch") == ["other", "one"]
    page.get_by_role("button", name="inch alone").click()
    assert _order(page, "inch") == ["one"]
    phone.go("sizes/m8x1-25/")
    expect(page.locator("dl.facts .measure.metric .one").first).to_be_hidden()
    expect(page.locator("dl.facts .measure.metric .other").first).to_be_visible()
    page.emulate_media(media="print")
    expect(page.locator("dl.facts .measure.metric .one").first).to_be_visible()
    page.emulate_media(media="screen")
    phone.go("sizes/5-16-24-unf/")
    page.get_by_role("button", name="as standard").click()
    assert _order(page, "inch") == ["one", "other"]
    assert page.evaluate("localStorage.getItem('decoder.units')") is None


def _order(page: Page, system: str = "metric") -> list[str]:
    """The two halves of the first measure from left to right."""
    found: list[str] = page.evaluate(
        """system => [...document.querySelector(`dl.facts .measure.${system}`).querySelectorAll(".one, .other")]
            .filter(part => part.getClientRects().length)
            .map(part => [part.getBoundingClientRect().left + 1e4 * part.getBoundingClientRect().top, part.className])
            .sort((a, b) => a[0] - b[0]).map(pair => pair[1])""",
        system,
    )
    return found


def test_own_data_goes_out_and_comes_in(open_phone: Callable[..., Watched], tmp_path: Path) -> None:
    """One file from one phone, added to what another has; what is in no file yet is nagged about."""
    one = open_phone()
    page = one.go(_ASSEMBLY)
    first, second = _joints(page)[:2]
    _box(page, first, "in")
    _box(page, first, "marked")
    expect(page.locator("[data-nag]")).to_be_visible()
    row = {"designation": "5/16-24 UNF", "kind": "bolt", "length": "1 in", "marks": "", "quantity": 3, "note": "=2 <b>"}
    page.evaluate("rows => localStorage.setItem('decoder.tub', JSON.stringify(rows))", [row])
    one.go("kept/")
    expect(page.locator("[data-nag]")).to_be_visible()
    with page.expect_download() as download:
        page.get_by_role("button", name="Export").click()
    expect(page.locator("[data-nag]")).to_be_hidden()
    file = tmp_path / "my-data.json"
    download.value.save_as(file)
    written = json.loads(file.read_text(encoding="utf-8"))
    assert written["format"] == "decoder my data 1"
    assert sorted(written["kept"]) == [_KEY, "decoder.tub"]

    other = open_phone()
    page = other.go(_ASSEMBLY)
    _box(page, second, "in")
    other.go("kept/")
    page.set_input_files("#my-data-file", file)
    expect(page.locator("[data-mine-said]")).to_contain_text("2 ticks and 1 row of the tub were added")
    page.set_input_files("#my-data-file", file)
    expect(page.locator("[data-mine-said]")).to_contain_text("0 ticks and 0 rows of the tub were added")
    other.go(_ASSEMBLY)
    expect(page.locator("[data-progress]")).to_contain_text("2 in, 0 tightened, 1 marked")
    other.go("kept/")
    page.evaluate(
        """() => {
            localStorage.setItem("decoder.vehicle", "pannier-utility");
            localStorage.setItem("decoder.units", "inch");
            localStorage.setItem("decoder.ticks.damaged", "{");
            localStorage.setItem("decoder.offline", "off");
        }"""
    )
    page.reload()
    expect(page.locator("[data-mine]")).to_contain_text("Vehicle to identify for")
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Delete", exact=True).click()
    expect(page.locator("[data-mine]")).to_contain_text("Nothing yet")
    left = page.evaluate("Object.keys(localStorage).filter(key => key.startsWith('decoder.'))")
    assert left == ["decoder.offline"], "the switch for keeping pages is nothing that was typed"


def _file(key: str, value: str) -> str:
    return f'{{"format": "decoder my data 1", "kept": {{"{key}": {value}}}}}'


#: A file that is not one of ours, and what has to be said about it.
_REFUSED = (
    ("no json", "That is no file of this kind"),
    ('{"format": "something else", "kept": {}}', "That is no file of this kind"),
    (_file("decoder.offline", '"off"'), "‘decoder.offline’, which is not known here"),
    (_file("decoder.tub", '[{"designation": 8}]'), "‘decoder.tub’ in the file is damaged"),
    (_file("decoder.ticks.x", '{"a/b": {"in": {"deep": 1}}}'), "‘decoder.ticks.x’ in the file is damaged"),
)


def test_file_that_is_not_ours_is_refused_whole(phone: Watched, tmp_path: Path) -> None:
    """In one sentence, and nothing of it is taken."""
    page = phone.go("kept/")
    file = tmp_path / "file.json"
    for text, words in _REFUSED:
        file.write_text(text, encoding="utf-8")
        page.set_input_files("#my-data-file", file)
        expect(page.locator("[data-mine-said]")).to_contain_text(words)
        expect(page.locator("[data-mine-said]")).to_contain_text("Nothing was taken")
    assert page.evaluate("Object.keys(localStorage).filter(key => key.startsWith('decoder.'))") == []
