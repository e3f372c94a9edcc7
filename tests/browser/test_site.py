"""The site in a real browser at 360×740: looking a bolt up, reading on a phone, searching, and the policy."""

from __future__ import annotations

import contextlib
import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import expect

from decoder.quantities import QuantityError
from decoder.reference import Reference
from tests.browser.conftest import PHONE, Watched
from tests.plugins.projects import REPOSITORY
from tests.tools.page_kinds import PAGE_KINDS

pytestmark = pytest.mark.browser

_VEHICLE = "vehicles/pannier-utility/"

#: One page of every kind.
_PAGES = (
    "",
    "identify/",
    "sizes/",
    "sizes/5-16-24-unf/",
    "sizes/2-ba/",
    "head-marks/",
    "head-marks/radial-lines-3/",
    "spanners/",
    "spanners/1-2-af/",
    "strength/",
    "strength/sae-5/",
    "joint-kinds/",
    "joint-kinds/banjo-union/",
    "nuts/",
    "nuts/castellated/",
    "washers/plain/",
    "finishes/",
    "materials/",
    "look-alikes/",
    "sources/",
    "search/",
    "guides/measuring/",
    "safety/",
    "about/",
    "vehicles/",
    _VEHICLE,
    f"{_VEHICLE}engine-front/",
    f"{_VEHICLE}front-hub-and-brake/",
    f"{_VEHICLE}sizes/",
    f"{_VEHICLE}head-marks/",
    f"{_VEHICLE}spanners/",
    f"{_VEHICLE}kinds/",
)


def test_measured_bolt_is_looked_up_and_leads_to_a_joint(phone: Watched) -> None:
    """Typing 7.9 mm and 24 names the thread; three taps further stands a joint that it goes into."""
    page = phone.go("identify/")
    page.fill("#diameter", "7.9 mm")
    page.fill("#pitch", "24")
    first = page.locator("#candidates > li").first
    expect(first).to_contain_text("5/16-24 UNF")
    first.get_by_role("link", name="5/16-24 UNF", exact=True).click()
    expect(page.locator("h1")).to_have_text("5/16-24 UNF")
    page.locator("a[href*='vehicles/pannier-utility/sizes/']").first.click()
    expect(page).to_have_url(re.compile(r"/vehicles/pannier-utility/sizes/#5-16-24-unf$"))
    page.locator("section[aria-labelledby='5-16-24-unf'] a[href*='#']").first.click()
    # The page left behind has an anchor of its own.
    expect(page).not_to_have_url(re.compile(r"/sizes/"))
    anchor = page.evaluate("location.hash.slice(1)")
    joint = page.locator(f"article.joint[id='{anchor}']")
    expect(joint).to_be_in_viewport()
    expect(joint).to_contain_text("5/16-24 UNF")


def test_left_hand_thread_leads_to_a_page_that_is_there(phone: Watched) -> None:
    """What is found as left-hand leads to the page of that thread, which both hands share."""
    page = phone.go("identify/#diameter=15.8+mm&pitch=18+tpi&hand=left")
    page.get_by_role("link", name="5/8-18 UNF LH", exact=True).click()
    expect(page.locator("h1")).to_have_text("5/8-18 UNF")


def test_one_field_on_the_front_page_does_the_same(phone: Watched) -> None:
    """Everything at once: the front page hands what was typed to the identify page."""
    page = phone.go("")
    page.fill("input[name=q]", "7.9 mm 24")
    page.press("input[name=q]", "Enter")
    expect(page).to_have_url(re.compile(r"/identify/"))
    expect(page.locator("#candidates > li").first).to_contain_text("5/16-24 UNF")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_fit_a_phone_and_are_quiet(open_phone: Callable[..., Watched], scheme: str) -> None:
    """No sideways scrolling, no error, no request elsewhere, on a page of every kind, light and dark."""
    phone = open_phone(color_scheme=scheme)
    wide = {}
    for address in _PAGES:
        phone.go(address)
        if phone.overflow() > 0:
            wide[address] = phone.overflow()
        shade = phone.page.evaluate("getComputedStyle(document.body).backgroundColor.match(/\\d+/g).slice(0, 3)")
        assert (sum(map(int, shade)) < 300) is (scheme == "dark"), f"{address}: {shade}"
    assert not wide


#: Not the drawings, whose dots are beside a list of the same links, and not what lies over a link to be tapped.
_TOO_SMALL = """() => [...document.querySelectorAll("main *, footer *, header *")]
    .filter(one => one.matches("a, button, summary, select") && !one.closest("svg, .drawer, [hidden]"))
    .filter(one => getComputedStyle(one).display !== "inline" && one.getBoundingClientRect().width)
    .filter(one => Math.max(one.getBoundingClientRect().height,
        parseFloat(getComputedStyle(one, "::after").height) || 0) < 47.5)
    .map(one => `${one.tagName}.${one.className} ${one.textContent.trim().slice(0, 30)}`)"""


def test_the_narrowest_phone_the_largest_letters_and_thumbs(open_phone: Callable[..., Watched]) -> None:
    """No sideways scrolling at 320 px, nor with letters twice as large; what is tapped is 48 px high; no movement."""
    phone = open_phone(reduced_motion="reduce")
    wide: dict[str, tuple[int, int]] = {}
    small = {}
    moving = set()
    for address in PAGE_KINDS:
        page = phone.go(address)
        small[address] = page.evaluate(_TOO_SMALL)
        moving |= set(
            page.evaluate("[...document.querySelectorAll('*')].map(one => getComputedStyle(one).transitionDuration)")
        )
        page.set_viewport_size({"width": 320, "height": 640})
        if address == "gauge/":
            # What is drawn at its real size is as wide as the screen that it was drawn for.
            phone.go(address)
        page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
        narrow = phone.overflow()
        page.set_viewport_size(PHONE)
        page.evaluate("document.documentElement.style.fontSize = '250%'")
        page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
        if narrow > 0 or (phone.overflow() > 0 and address != "gauge/"):
            wide[address] = (narrow, phone.overflow())
    assert not wide
    assert not {address: found for address, found in small.items() if found}
    assert moving == {"0s"}


def test_pages_read_without_scripts(open_phone: Callable[..., Watched]) -> None:
    """What needs no computing is there with scripts off, and what needs it says so."""
    phone = open_phone(java_script_enabled=False)
    page = phone.go(f"{_VEHICLE}engine-front/")
    expect(page.locator("article.joint").first).to_be_visible()
    page = phone.go("identify/")
    expect(page.locator(".needs-script")).to_be_visible()
    page = phone.go("search/")
    expect(page.get_by_text("Search needs scripts")).to_be_visible()


def test_a_dot_of_an_overview_leads_to_its_card(phone: Watched) -> None:
    """By a press beside the dot too, where no other is nearer; and from the map of a vehicle to the assembly."""
    page = phone.go("vehicles/pannier-utility/")
    page.locator("svg.overview a[aria-label][href*='engine-front']").locator(".dot").click()
    expect(page.locator("h1")).to_have_text("Engine front")
    link = page.locator("svg.overview a[aria-label][href='#block-drain-tap']")
    page.locator("svg.overview").evaluate("drawing => drawing.scrollIntoView({block: 'center'})")
    box = link.locator(".dot").bounding_box()
    pressed = link.locator(".press").bounding_box()
    assert box is not None
    assert pressed is not None
    assert box["width"] >= 22
    assert pressed["width"] >= 44
    page.mouse.click(box["x"] + box["width"] + 6, box["y"] + box["height"] / 2)
    page.wait_for_url("**/engine-front/#block-drain-tap")
    card = page.locator("#block-drain-tap")
    expect(card).to_be_in_viewport()
    number = link.locator("text").text_content() or "none"
    assert card.locator("h2 .dot-number").inner_text() == number
    listed = page.locator(".assembly-joints a[href='#block-drain-tap']")
    assert listed.locator(".dot-number").inner_text() == number
    size = listed.bounding_box()
    assert size is not None
    assert size["height"] >= 48
    assert phone.overflow() == 0
    assert phone.troubles == []


def test_search_loads_nothing_before_someone_types(phone: Watched) -> None:
    """Opening a page, and opening the search on it, fetches no data; typing does."""
    page = phone.go("sizes/m8x1-25/")
    page.wait_for_load_state("networkidle")
    page.keyboard.press("/")
    expect(page.locator(".find-panel input")).to_be_focused()
    assert not [
        url for url in phone.requests if "/data/" in url or (url.endswith("search.js") and "/assets/" not in url)
    ]
    page.keyboard.type("8.8")
    expect(page.locator(".find-panel .find-results a").nth(1)).to_be_visible()
    # The vehicles' rows come after the others, which are shown at once.
    page.evaluate("decoderFind.load()")
    assert any(url.endswith("/data/search.js") for url in phone.requests)
    assert any(url.endswith(f"{_VEHICLE}search.js") for url in phone.requests)


#: What someone types, and the page that has to come first (after the offer to identify it).
_FINDS = (
    ("5/16 unf", "sizes/5-16-24-unf/"),
    ('5/16" UNF', "sizes/5-16-24-unf/"),
    ("5/16-24", "sizes/5-16-24-unf/"),
    ("m8", "sizes/m8x1-25/"),
    ("M8×1,25", "sizes/m8x1-25/"),
    ("m8 x 1", "sizes/m8x1/"),
    ("2ba", "sizes/2-ba/"),
    ("2 BA", "sizes/2-ba/"),
    ("¼ BSF", "sizes/1-4-26-bsf/"),
    ("1/4 whit", "sizes/1-4-20-bsw/"),
    ("3/8 CEI", "sizes/3-8-26-bsc/"),
    ("#10-32", "sizes/no-10-32-unf/"),
    ("No. 10-32", "sizes/no-10-32-unf/"),
    ("g1/8", "sizes/g-1-8/"),
    ("1 1/8 unf", "sizes/1-1-8-12-unf/"),
    ("3/8 20", "sizes/3-8-20-bsf/"),
    ("7.9 mm 24", "sizes/5-16-24-unf/"),
    ("1/2 AF", "spanners/1-2-af/"),
    ("13 mm", "spanners/13-mm/"),
    ("1/4W", "spanners/1-4w/"),
    ("3 radial lines", "head-marks/radial-lines-3/"),
    ("sae 5", "strength/sae-5/"),
    ("castle", "nuts/castellated/"),
    ("banjo union", "joint-kinds/banjo-union/"),
    ("measuring", "guides/measuring/"),
    ("pannier", _VEHICLE),
    ("engine front", f"{_VEHICLE}engine-front/"),
    ("camshaft thrust plate to block", f"{_VEHICLE}engine-front/#camshaft-plate"),
)


_ANSWERED = "text => document.querySelector('[data-find] .find-status').dataset.for === text"


def test_search_finds_what_is_meant_however_it_is_written(phone: Watched) -> None:
    """Sizes, spanners, marks, grades, kinds, guides, vehicles, assemblies and joints."""
    page = phone.go("search/")
    # What is found before the vehicles' rows have come is shown too, and is not yet what is to be found.
    page.evaluate("decoderFind.load()")
    wrong = {}
    for typed, wanted in _FINDS:
        page.fill("[data-find] input", typed)
        page.wait_for_function(_ANSWERED, arg=typed)
        links = page.eval_on_selector_all("[data-find] .find-results a", "links => links.map(link => link.href)")
        found = [link.removeprefix(phone.base) for link in links if "identify/?q=" not in link]
        if found[:1] != [wanted]:
            wrong[typed] = found[:3]
    assert not wrong


def test_search_reads_threads_as_everything_else_does(phone: Watched, reference: Reference) -> None:
    """Every way of writing a thread that the shared vectors hold leads to that thread, if one and only one is meant."""
    vectors = json.loads((REPOSITORY / "tests/vectors/designations.json").read_text(encoding="utf-8"))
    wanted = {}
    for vector in vectors:
        if vector.get("read") == "designation" and "value" in vector:
            with contextlib.suppress(QuantityError):
                wanted[vector["text"]] = f"sizes/{reference.threads.find(vector['text']).slug.removesuffix('-lh')}/"
    assert len(wanted) > 60
    page = phone.go("search/")
    found = page.evaluate(
        """async texts => {
            await decoderFind.load();
            return texts.map(text => decoderFind.find(text, 3).rows.map(row => row.address));
        }""",
        list(wanted),
    )
    # '1/4W' is the name of a spanner too, which then stands first.
    wrong = {text: rows for (text, address), rows in zip(wanted.items(), found, strict=True) if address not in rows[:2]}
    assert not wrong
    assert sum(rows[0] != address for rows, address in zip(found, wanted.values(), strict=True)) <= 2


#: Worried questions, and the page that answers each: among the first five found.
_ASKED = (
    ("wheel nut loose", "guides/wheels-and-hubs/"),
    ("brake pipe nut tight", "guides/brake-and-fuel-unions/"),
    ("stainless caliper", "joint-kinds/brake-caliper/"),
    ("split pin slot", "nuts/castellated/"),
    ("snapped stud", "guides/inserts-and-broken-bolts/"),
    ("how strong is a blank bolt", "guides/what-the-head-tells/"),
    ("U-bolts", "joint-kinds/spring-u-bolt/"),
)


def test_search_answers_questions_from_what_pages_say(phone: Watched) -> None:
    page = phone.go("search/")
    found = page.evaluate(
        """async texts => {
            await decoderFind.load();
            return texts.map(text => decoderFind.find(text, 5).rows.map(row => row.address));
        }""",
        [typed for typed, _ in _ASKED],
    )
    wrong = {
        typed: rows
        for (typed, wanted), rows in zip(_ASKED, found, strict=True)
        if not any(row.startswith(wanted) for row in rows)
    }
    assert not wrong


def test_search_says_when_nothing_has_every_word(phone: Watched) -> None:
    page = phone.go("search/")
    status = page.locator("[data-find] .find-status")
    page.fill("[data-find] input", "xyzzy")
    expect(status).to_have_text("Nothing found. Try fewer words, or other ones.")
    page.fill("[data-find] input", "xyzzy castellated")
    expect(status).to_have_text("Nothing has every word. Closest:")
    expect(page.locator("[data-find] .find-results a").first).to_contain_text("astellated")


def test_search_works_by_keyboard_alone(phone: Watched) -> None:
    """Slash opens, arrows walk, enter goes, escape closes."""
    page = phone.go("sources/")
    page.keyboard.press("/")
    page.keyboard.type("castellated")
    expect(page.locator(".find-panel .find-results a").first).to_be_visible()
    # The list is drawn anew when the vehicles' rows come.
    page.evaluate("decoderFind.load()")
    page.keyboard.press("ArrowDown")
    expect(page.locator(".find-panel .find-results a").first).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.locator(".find-panel")).to_be_hidden()
    page.keyboard.press("/")
    expect(page.locator(".find-panel input")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(r"/nuts/castellated/$"))


def test_policy_stops_what_is_not_ours(open_phone: Callable[..., Watched]) -> None:
    """An inline script, a style attribute and a script of another host are refused on every page."""
    phone = open_phone()
    page = phone.go("sizes/m8x1-25/")
    ran = page.evaluate(
        """async () => {
            const script = document.createElement("script");
            script.textContent = "window.intruded = true";
            document.body.append(script);
            const styled = document.createElement("p");
            styled.setAttribute("style", "position: fixed");
            document.body.append(styled);
            const foreign = document.createElement("script");
            foreign.src = "http://localhost:1/x.js";
            const refused = new Promise(done => { foreign.onerror = () => done("refused"); });
            document.body.append(foreign);
            return [window.intruded === true, getComputedStyle(styled).position, await refused];
        }"""
    )
    assert ran == [False, "static", "refused"]
    assert len([trouble for trouble in phone.troubles if "Content Security Policy" in trouble]) == 3
    phone.troubles.clear()


def test_site_works_from_a_stick(open_phone: Callable[..., Watched], real_site: Path) -> None:
    """Opened as files: the page, its look, the search and the identification work without a server."""
    phone = open_phone(base=real_site.as_uri() + "/")
    page = phone.go("identify/index.html")
    page.fill("#diameter", "7.9 mm")
    page.fill("#pitch", "24 tpi")
    expect(page.locator("#candidates > li").first).to_contain_text("5/16-24 UNF")
    page = phone.go("sizes/m8x1-25/index.html")
    page.keyboard.press("/")
    page.keyboard.type("castle")
    expect(page.locator(".find-panel .find-results a").first).to_contain_text("Castellated nut")
