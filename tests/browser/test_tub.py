"""The tub: what was identified, kept on the phone, counted, written to a file and read back."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Watched

pytestmark = pytest.mark.browser

_COLUMNS = ["designation", "kind", "length", "marks", "quantity", "note"]


def opened(phone: Watched, **state: str) -> Page:
    """The identify page with answers given."""
    phone.page.goto("about:blank")
    return phone.go(f"identify/#{urlencode(state)}")


def put(phone: Watched, **state: str) -> Page:
    """One 5/16-24 UNF in the tub."""
    page = opened(phone, diameter="7.9 mm", pitch="24 tpi", **state)
    page.get_by_role("button", name="Put 5/16-24 UNF in the tub").click()
    # The tub's script comes late; what it has not said to be in may be lost with the page.
    expect(page.locator("#to-tub")).to_contain_text("In the tub: ")
    return page


def exported(page: Page) -> str:
    """The text of the file."""
    with page.expect_download() as got:
        page.get_by_role("button", name="Export as CSV").click()
    assert got.value.suggested_filename == "tub.csv"
    return got.value.path().read_bytes().decode()


def give(page: Page, text: str) -> None:
    """Hand a file back in."""
    expect(page.locator("#tub")).to_be_visible()
    page.set_input_files("#tub-import", files=[{"name": "tub.csv", "mimeType": "text/csv", "buffer": text.encode()}])


def test_the_tub_counts_keeps_and_comes_back_from_its_file(phone: Watched) -> None:
    page = put(phone, kind="bolt", head="hexagon", length="1-1/4 in", head_marks="radial-lines-3")
    expect(page.locator("#to-tub")).to_contain_text("1 piece in all")
    page.get_by_role("button", name="Put 5/16-24 UNF in the tub").click()
    item = page.locator("#tub-list > li").first
    expect(item).to_contain_text("hexagon bolt, 1-1/4 in long, Three radial lines, evenly spaced")
    expect(item.locator("output")).to_have_text("2")
    item.get_by_role("button", name="One more").click()
    expect(page.locator("#tub-list .more-of")).to_be_focused()
    page.get_by_role("button", name="Same again, other length").click()
    page.get_by_label("The other length").fill("1 in")
    page.keyboard.press("Enter")
    expect(page.locator("#tub-list > li")).to_have_count(2)
    note = page.get_by_label("Note on 5/16-24 UNF, hexagon bolt, 1 in long")
    note.fill('=bent, "maybe"; -1')
    note.blur()
    page.reload()
    expect(page.locator("#tub-count")).to_have_text("4 pieces")
    text = exported(page)
    rows = list(csv.DictReader(io.StringIO(text)))
    assert list(rows[0]) == _COLUMNS
    assert [(row["length"], row["quantity"]) for row in rows] == [("1-1/4 in", "3"), ("1 in", "1")]
    assert rows[0]["marks"] == "radial-lines-3"
    # A spreadsheet would run a cell that begins like a formula.
    assert rows[1]["note"] == '\'=bent, "maybe"; -1'
    page.get_by_role("button", name="Empty the tub").click()
    expect(page.locator("#tub-list > li")).to_have_count(0)
    give(page, text)
    expect(page.locator("#tub-read")).to_contain_text("2 rows taken in")
    assert exported(page) == text
    give(page, text)
    expect(page.locator("#tub-read")).to_contain_text("0 rows taken in, 2 were here already")


def test_what_was_removed_can_be_had_back(phone: Watched) -> None:
    page = put(phone)
    page.get_by_role("button", name="Remove 5/16-24 UNF").click()
    expect(page.locator("#tub-list > li")).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#tub-list > li")).to_have_count(1)


def test_the_next_one_begins_clean_but_on_the_same_vehicle(phone: Watched) -> None:
    page = put(phone, vehicle="pannier-utility", kind="bolt")
    page.get_by_role("button", name="Next one: clear the page").click()
    expect(page.locator("#diameter")).to_have_value("")
    expect(page.locator("#results")).to_be_hidden()
    expect(page.locator("#tub-count")).to_have_text("1 piece")
    expect(page).to_have_url(re.compile("#vehicle=pannier-utility$"))


def test_what_is_not_sure_goes_in_as_not_sure(phone: Watched) -> None:
    """A tub that is sorted later must not take a guess for a fact."""
    page = opened(phone, diameter="7.9 mm")
    page.get_by_role("button", name="Put it in the tub, name still open").click()
    # The tub's script comes late; what it has not said to be in may be lost with the page.
    expect(page.locator("#to-tub")).to_contain_text("In the tub: not known")
    page = opened(phone, diameter="14.2 mm", pitch="12 tpi")
    page.get_by_role("button", name="Put 9/16-12 BSW in the tub").click()
    expect(page.locator("#to-tub")).to_contain_text("2 pieces in all")
    rows = list(csv.DictReader(io.StringIO(exported(page))))
    assert rows[0]["designation"] == "not known"
    assert "7.9 mm" in rows[0]["note"]
    assert rows[1]["designation"] == "9/16-12 BSW"
    assert "9/16-12 UNC" in rows[1]["note"]


@pytest.mark.parametrize(
    ("text", "said", "count"),
    [
        pytest.param("a,b\n1,2\n", "the first line of the file lacks designation", 0, id="other file"),
        pytest.param("", "Nothing was taken", 0, id="empty"),
        pytest.param(
            "\ufeffnote;quantity;marks;length;kind;designation\r\n;2;;30 mm;bolt;M8x1.25\r\n", "1 row taken in", 1,
            id="a spreadsheet's own order and semicolons",
        ),
        pytest.param(
            "designation,kind,length,marks,quantity,note\nM8x1.25,bolt,,,2,\n,bolt,,,1,\nM6x1,,,,many,\nM6x1,,,,1.5,\n",
            "1 row taken in. Not taken, lines 3, 4, 5: each needs a designation and a whole quantity", 1,
            id="lines that cannot be used are named",
        ),
    ],
)  # fmt: skip
def test_a_file_is_taken_or_its_faults_are_named(phone: Watched, text: str, said: str, count: int) -> None:
    page = phone.go("identify/")
    give(page, text)
    expect(page.locator("#tub-read")).to_contain_text(said)
    expect(page.locator("#tub-list > li")).to_have_count(count)


def test_a_phone_that_keeps_nothing_says_so(open_phone: Callable[..., Watched]) -> None:
    phone = open_phone()
    # Of ours alone: the theme's own script does not reckon with a refusal.
    phone.page.add_init_script(
        """for (const name of ["getItem", "setItem", "removeItem"]) {
            const kept = Storage.prototype[name];
            Storage.prototype[name] = function (key, ...rest) {
                if (key.startsWith("decoder.")) throw new DOMException("denied", "SecurityError");
                return kept.call(this, key, ...rest);
            };
        }"""
    )
    page = put(phone)
    expect(page.locator("#tub-list > li")).to_have_count(1)
    expect(page.locator("#tub-lost")).to_contain_text("refuses to keep")
    assert "5/16-24 UNF" in exported(page)


def test_the_other_length_is_typed_on_the_keypad(open_phone: Callable[..., Watched]) -> None:
    page = put(open_phone(has_touch=True, is_mobile=True), length="1-1/4 in")
    page.get_by_role("button", name="Same again, other length").tap()
    for key in ("1", "in", "Next"):
        page.locator(".keypad").get_by_role("button", name=key, exact=True).tap()
    expect(page.locator("#tub-list > li").last).to_contain_text("1 in long")


def test_damaged_storage_does_no_harm(phone: Watched) -> None:
    page = phone.go("identify/")
    page.evaluate(
        'localStorage.setItem(\'decoder.tub\', \'[{"quantity": 3}, 7, {"designation": "M6x1", "quantity": 2}]\')'
    )
    page.reload()
    expect(page.locator("#tub-list > li")).to_have_count(1)
    page.evaluate("localStorage.setItem('decoder.tub', 'nonsense')")
    page.reload()
    expect(page.locator("#tub-count")).to_have_text("empty")
