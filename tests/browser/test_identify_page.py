"""The identify page as a tired person uses it, on a phone: one hand, a greasy thumb, half a measurement.

What is typed is understood, or asked back; what is dangerous is said; nothing is guessed in silence.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Watched

pytestmark = pytest.mark.browser

_VEHICLE = "pannier-utility"


def opened(phone: Watched, **state: str) -> Page:
    """The page with answers given, as a shared address carries them."""
    # A page that is already open would only be told that its hash changed.
    phone.page.goto("about:blank")
    return phone.go(f"identify/#{urlencode(state)}")


def row(page: Page, question: str) -> None:
    """Tap a row open that is not typed into."""
    page.locator(f"[data-question={question}] button.line").click()


def first(page: Page) -> Locator:
    """The best candidate's designation."""
    return page.locator("#candidates > li .candidate-head a").first


@pytest.fixture
def thumb(open_phone: Callable[..., Watched]) -> Watched:
    """A phone with a touch screen, which gets the keypad."""
    return open_phone(has_touch=True, is_mobile=True)


def press(page: Page, *keys: str) -> None:
    """Keys of the page's own keypad."""
    for key in keys:
        page.locator(".keypad").get_by_role("button", name=key, exact=True).tap()


# ---- one field for everything ---------------------------------------------------------------------------------------

_TYPED = [
    ("7,9", "Read as 7.9 mm across the thread. No: 7.9 mm across the flats"),
    ("3/8 20", "Read as 3/8 in across the thread at 20 tpi"),
    ("7.9 mm 24", "Read as 7.9 mm across the thread at 24 tpi"),
    ("13 spanner", "Read as spanner 13 mm"),
    ("3 lines", "marks are like that: tap the one you see"),
    ("head with three lines", "marks are like that: tap the one you see"),
    ("nut bore 6.8 mm", "Read as a nut with a bore of 6.8 mm"),
    ("nut 6,8", "Read as a nut with a bore of 6.8 mm"),
    ("brake pipe nut M10x1 tight after 6 turns", "Read as tried in M10x1, tight after 6 turns"),
    ("a2-70", "Read as mark A2-70"),
    ("sae 5", "What SAE 5 claims"),
    ("blank", "Read as a head without a mark"),
    ("washer", "Read as washer"),
    ("split pin", "Read as pin"),
    ("5/16", "Which do you mean? 5/16 in across the thread thread named 5/16 spanner 5/16 AF spanner 5/16W"),
    ("¼", "Which do you mean? 1/4 in across the thread thread named 1/4"),
    ("8mm", "Which do you mean? 8 mm across the thread spanner 8 mm thread named M8"),
    ("24", "Which do you mean?"),
    ("8.8", "Which do you mean? mark 8.8 8.8 mm across the thread"),
    # Every bolt in a shop is called by its size and grade, or its size and spanner.
    ("M10 8.8", "Read as thread named M10, mark 8.8"),
    ("13 spanner 8mm", "Read as spanner 13, 8 mm across the thread"),
    ("9.5 mm 14 spanner", "Read as 9.5 mm across the thread, spanner 14"),
    ("3/8-24 14 spanner", "Read as thread named 3/8-24, spanner 14"),
    ("rusty old wheel nut", "Read as wheel nut, rusty. ‘old’ was left out"),
    ("stainless", "Read as stainless"),
    ("8mm bolt not metric", "write what you have"),
    ("5/16-18 grade 5", "Read as thread named 5/16-18, the strength grade SAE 5"),
    ("grade 4", "The tables know no mark for SAE 4"),
    ("1/4 26", "By its name: 1/4-26"),
    ("2BA", "Which do you mean? thread named 2 BA spanner 2BA"),
    ("1/4W", "Which do you mean? thread named 1/4 BSW spanner 1/4W"),
    ("7/16 nut", "Read as thread named 7/16. Page of 7/16-20 UNF"),
    ("m10 fine", "Read as thread named M10 fine. Page of M10x1.25 Page of M10x1"),
    (
        "5/16 unf",
        "Read as thread named 5/16 UNF. Page of 5/16-24 UNF Where does it go? Say which vehicle I tried one on "
        "Put it in the tub",
    ),
    ("qwerty", "write what you have"),
    ("stud 9.4 24", "Read as stud: 9.4 mm across the thread at 24 tpi"),
    ("left hand 12.6 20", "Read as left hand: 12.6 mm across the thread at 20 tpi"),
    ("10 threads over 9/16", "Read as 10 threads over 9/16 in"),
    ("nut 9.9 20tpi 11/16", "‘11/16’ was not read"),
    ("csk screw", "Read as csk head, screw"),
    ("half inch whit", "Which do you mean? thread named 1/2 BSW spanner 1/2W"),
    ("m10x1 nut wobbles", "Read as M10x1 ran on and wobbled"),
    ("08.8", "Read as mark 08.8"),
    ("1-14 unf", "1-14 UNS"),
    # Words left over may turn the meaning round: better asked again than half read.
    ("5/16 24 in m8 nut binds", "write what you have"),
    ("1/0", "divides by zero"),
    ("-", "write what you have"),
]


def test_what_is_typed_is_read_aloud_or_asked_back(phone: Watched) -> None:
    """Never a silent guess: each says how it was read, or offers what it may be."""
    page = phone.go("identify/")
    wrong = {}
    for typed, said in _TYPED:
        page.fill("#typed", typed)
        page.press("#typed", "Enter")
        line = page.locator("#typed-read")
        # The reader of words comes late, and until then the line is empty or as it was left.
        expect(line).to_have_text(re.compile(r"^(?!\s*Cleared\.)\s*\S"))
        pieces = line.evaluate(
            "line => Array.from(line.querySelectorAll('p, span, a, button')).map(part => part.textContent).join(' ')"
            " || line.textContent"
        )
        if said not in re.sub(r"\s+", " ", pieces):
            wrong[typed] = pieces
        page.click("#clear")
        expect(line).to_contain_text("Cleared.")
    assert not wrong


def test_what_is_typed_speaks_of_what_lies_there(phone: Watched) -> None:
    """Of a nut a diameter is its bore; what has a pitch has a thread."""
    page = opened(phone, kind="nut")
    page.fill("#typed", "6.8 mm 24")
    page.press("#typed", "Enter")
    expect(page.locator("#minor-diameter")).to_have_value("6.8 mm")
    expect(first(page)).to_have_text("5/16-24 UNF")
    page = opened(phone, kind="washer")
    page.fill("#typed", "3/8 20")
    page.press("#typed", "Enter")
    expect(page.locator("#unthreaded")).to_be_hidden()
    expect(page.locator("#candidates")).to_contain_text("3/8-20 BSF")


def test_an_offer_takes_one_tap(phone: Watched) -> None:
    page = phone.go("identify/?q=8mm")
    page.get_by_role("button", name="8 mm across the thread").click()
    expect(page.locator("#diameter")).to_have_value("8mm")
    expect(page.locator("#candidates")).to_contain_text("M8x1.25")


def test_a_measure_taken_for_the_wrong_one_moves_in_one_tap(phone: Watched) -> None:
    page = phone.go("identify/?q=12,7+mm")
    expect(page.locator("#diameter")).to_have_value("12,7 mm")
    page.get_by_role("button", name="No: 12.7 mm across the flats").click()
    expect(page.locator("#diameter")).to_have_value("")
    expect(page.locator("#across-flats")).to_have_value("12,7 mm")
    expect(page.locator("#verdict")).to_contain_text("Cannot tell")


def test_a_name_leads_to_its_page_or_to_a_trial_fit(phone: Watched) -> None:
    page = phone.go("identify/?q=5/16+unf")
    page.get_by_role("button", name="I tried one on").click()
    expect(page.locator("#trial-with")).to_have_value("5/16-24 UNF")
    page.get_by_role("link", name="Page of 5/16-24 UNF").click()
    expect(page.locator("h1")).to_have_text("5/16-24 UNF")


@pytest.mark.parametrize(
    ("typed", "mark", "strength"),
    [
        # SAE J429: three lines, six lines, and none on grade 2; two lines are no grade 2, five no grade 5.
        ("SAE 5", "radial-lines-3", "The mark claims SAE 5"),
        ("grade 5", "radial-lines-3", "The mark claims SAE 5"),
        ("grade 8", "radial-lines-6", "The mark claims SAE 8"),
        ("SAE 8", "radial-lines-6", "The mark claims SAE 8"),
        ("grade 7", "radial-lines-5", "The mark claims SAE 7"),
        ("grade 2", "none", "cannot tell"),
        ("SAE 1", "none", "cannot tell"),
    ],
)
def test_the_figure_of_a_grade_is_no_count_of_lines(phone: Watched, typed: str, mark: str, strength: str) -> None:
    page = phone.go("identify/")
    page.fill("#typed", typed)
    page.press("#typed", "Enter")
    chosen = page.locator('#marks > button[aria-pressed="true"]')
    expect(chosen).to_have_count(1)
    expect(chosen).to_have_attribute("data-value", mark)
    expect(page.locator("#strength")).to_contain_text(strength)


def test_a_class_is_looked_for_among_the_marks(phone: Watched) -> None:
    """`08.8` is not `8.8`: both are shown, and the eye decides (ISO 898-1, reduced loadability)."""
    page = phone.go("identify/?q=8.8")
    page.get_by_role("button", name="mark 8.8").click()
    shown = page.locator("#marks > button:visible")
    expect(shown.filter(has_text="08.8")).to_have_count(1)
    page.locator("#marks [data-value='text-08-8']").click()
    expect(page.locator("#strength")).to_contain_text("cannot tell")
    expect(page.locator("#strength").get_by_role("link")).to_have_attribute("href", re.compile("head-marks/text-08-8/"))


def test_a_bare_number_is_read_where_one_unit_can_be_meant(phone: Watched) -> None:
    page = phone.go("identify/")
    for field, typed, read in (
        ("diameter", "7,9", "= 7.9 mm"),
        ("diameter", ".3125", "= 5/16 in"),
        ("diameter", "7.9±0.05mm", "= 7.9 mm (0.311 in) ±0.05 mm"),
        ("pitch", "24", "= 24 tpi"),
        ("pitch", "1.25", "= 1.25 mm"),
        ("spanner", "5/16 bs", "= 1/4W"),
        ("spanner", "13", "= 13 mm"),
    ):
        page.fill(f"#{field}", typed)
        expect(page.locator(f"#{field}-read")).to_contain_text(read)


def test_a_number_of_two_meanings_offers_both(phone: Watched) -> None:
    page = phone.go("identify/")
    for field, typed, choice in (("pitch", "5", "5 tpi"), ("spanner", "1/2", "1/2 AF"), ("diameter", "2", "2 mm")):
        page.fill(f"#{field}", typed)
        line = page.locator(f"#{field}-read")
        expect(line).to_have_class("read refused")
        expect(page.locator(f"#{field}")).to_have_attribute("aria-invalid", "true")
        assert line.get_by_role("button").count() >= 2
        line.get_by_role("button", name=choice, exact=True).click()
        expect(line).to_have_class("read")
        expect(page.locator(f"#{field}")).to_be_focused()


def test_what_could_not_be_read_is_said_beside_the_answer(phone: Watched) -> None:
    """An answer without one of the measures must not look like an answer with it."""
    page = opened(phone, diameter="7.9 mm", pitch="twenty-four")
    wrong = page.locator("#from").get_by_role("button", name="‘twenty-four’ not read")
    wrong.click()
    expect(page.locator("#pitch")).to_be_focused()


# ---- traps of the trade, each with where it was read ----------------------------------------------------------------

#: State of the page, then (place, text, whether it stands there). `first` is the best candidate.
_TRAPS: list[tuple[str, dict[str, str], list[tuple[str, str, bool]]]] = [
    (
        "a real male thread measures under its name: 3/8-16 of class 2A is 0.3643 to 0.3737 in (ASME B1.1)",
        {"diameter": "0.368 in", "pitch": "16 tpi"},
        [("first", "3/8-16", True), ("#warnings", "55°", True)],
    ),
    ("M6 is never 6.3 mm: 6g ends at 5.974 (ISO 965-2)", {"diameter": "6.3 mm"}, [("#candidates", "M6", False)]),
    (
        "5/16 and M8 overlap; only pitch parts them (ASME B1.1, ISO 965-2)",
        {"diameter": "7.9 mm"},
        [("#verdict", "Cannot tell", True), ("#candidates", "M8x1.25", True), ("#candidates", "5/16-24 UNF", True)],
    ),
    (
        "M10 occurs under 13, 14, 15, 16 and 17 mm: a width fixes no thread (ISO 4014, DIN 931, JIS B 1180)",
        {"across_flats": "16 mm"},
        [("#verdict", "Cannot tell", True), ("#warnings", "never fixes a thread", True)],
    ),
    (
        "a 7/16 nut is 11/16 across flats where its bolt is 5/8 (ASME B18.2.1, B18.2.2)",
        {"kind": "nut", "minor_diameter": "9.9 mm", "pitch": "20 tpi", "across_flats": "11/16 in"},
        [
            ("first", "7/16-20", True),
            ("#candidates > li:first-child .for", "17.46 mm (0.688 in) across flats is usual", True),
        ],
    ),
    (
        "1/2 in is 12 threads in Whitworth, 13 in Unified (BS 84, ASME B1.1)",
        {"diameter": "12.6 mm", "pitch": "13 tpi"},
        [("first", "1/2-13 UNC", True), ("#stop", "Whitworth has 12", True)],
    ),
    (
        "at 9/16 both are 12 to the inch (BS 84, ASME B1.1)",
        {"diameter": "14.2 mm", "pitch": "12 tpi"},
        [("#verdict", "9/16-12 UNC or 9/16-12 BSW", True), ("#verdict", "not tell them apart", True)],
    ),
    (
        "1/4 in fine is 26 or 28, and a gauge confuses them (BS 84, BS 811, ASME B1.1)",
        {"diameter": "6.3 mm", "pitch": "26 tpi"},
        [("#warnings", "26 threads to the inch", True)],
    ),
    (
        "2 BA among M5, 3/16-32 and No. 10-32 (BS 93, ASME B1.1)",
        {"diameter": "4.7 mm", "pitch": "0.8 mm"},
        [("#verdict", "Almost certain", False), ("#candidates", "2 BA", True), ("#candidates", "No. 10-32 UNF", True)],
    ),
    (
        "5/16-24 starts in M8x1 and binds after about two turns (by both threads' limits)",
        {"diameter": "7.9 mm", "pitch": "24 tpi"},
        [("first", "5/16-24 UNF", True), ("#warnings .lookalike", "binds after about 2 turns", True)],
    ),
    (
        "1 in fine is 12 in UNF; 1-14 is UNS (ASME B1.1)",
        {"diameter": "25.3 mm", "pitch": "14 tpi"},
        [("first", "1-14 UNS", True), ("#warnings", "filed under UNS", True)],
    ),
    (
        "three lines are a claim, and of several grades (SAE J429, ASTM A449)",
        {"head_marks": "radial-lines-3"},
        [("#strength", "claim", True), ("#strength", "SAE 5", True), ("#candidates", "UN", False)],
    ),
    (
        "ten crests span nine pitches (count)",
        {"diameter": "9.4 mm", "threads": "10", "over": "9/16 in"},
        [("#warnings", "ten crests span nine", True)],
    ),
    (
        "said to be crests, ten over 9/16 in are 16 to the inch",
        {"diameter": "9.4 mm", "threads": "10", "over": "9/16 in", "counted": "crests"},
        [("first", "3/8-16", True), ("#warnings", "ten crests span nine", False)],
    ),
    (
        "a castellated nut: it depends on the duty of the joint",
        {"kind": "castellated nut", "minor_diameter": "17.5 mm", "pitch": "16 tpi"},
        [("#stop", "never tighten on to reach a slot", True), ("#stop", "never slacken to fit the pin", True)],
    ),
    (
        "a stud has two ends, often of two threads",
        {"kind": "stud", "diameter": "9.4 mm", "pitch": "24 tpi"},
        [("#warnings", "two ends", True), ("#length-hint", "Without the end that goes into the metal", True)],
    ),
    (
        "a countersunk screw is measured over all (ISO 2009)",
        {"kind": "screw", "head": "countersunk", "length": "1 in"},
        [("#length-hint", "over all", True)],
    ),
    (
        "hand is read from the thread, never derived from the side",
        {"diameter": "12.6 mm", "pitch": "20 tpi", "hand": "left"},
        [("first", "1/2-20 UNF LH", True), ("#warnings", "never derived from the side", True)],
    ),
    (
        "W and BS spanners name a bolt, not a jaw (BS 192)",
        {"spanner": "1/4W"},
        [("#warnings", "not with their opening", True), ("#verdict", "Cannot tell", True)],
    ),
    (
        "pipe threads are named by a bore: 1/8 measures nearly 10 mm (ISO 228-1: 9.728)",
        {"diameter": "9.7 mm", "pitch": "28 tpi"},
        [("first", "G 1/8", True), ("#warnings", "named by the bore", True)],
    ),
    (
        "colour is no grade",
        {"diameter": "7.9 mm", "pitch": "24 tpi", "finish": "zinc"},
        [("#warnings", "nothing about strength", True), ("#strength", "cannot tell", True)],
    ),
    (
        "replated 2 BA can measure over its 4.7 mm (BS 93), and stays in the list",
        {"diameter": "4.72 mm", "pitch": "0.81 mm", "condition": "plated"},
        [("#candidates", "2 BA", True), ("#verdict", "Almost certain", False)],
    ),
]


def test_no_trap_of_the_trade_is_walked_into(phone: Watched) -> None:
    page = phone.go("identify/")
    wrong = []
    for about, state, wanted in _TRAPS:
        page.evaluate(
            """state => new Promise(done => {
                addEventListener("hashchange", done, {once: true});
                location.hash = state;
            })""",
            urlencode(state),
        )
        for place, text, stands in wanted:
            shown = first(page).inner_text() if place == "first" else " ".join(page.locator(place).all_text_contents())
            if (text in shown) is not stands:
                wrong.append((about, place, text, shown))
    assert not wrong


def test_readings_that_contradict_are_said_to_and_lead_back(phone: Watched) -> None:
    """No thread of 5/16 in or 8 mm has 13 to the inch."""
    page = opened(phone, diameter="7.9 mm", pitch="13 tpi", trials="5/16-24 UNF;runs on;")
    odd = page.locator("#odd")
    expect(odd).to_contain_text("contradict")
    expect(page.locator("#verdict")).to_have_class(re.compile("unsure"))
    odd.get_by_role("button", name="Look at it again").click()
    expect(page.locator("#pitch")).to_be_focused()


# ---- five questions where a confident answer is dangerous ------------------------------------------------------------


def test_a_blank_head_has_no_strength(phone: Watched) -> None:
    page = opened(phone, diameter="7.9 mm", pitch="24 tpi")
    row(page, "marks")
    page.locator("#looks").get_by_role("button", name="Nothing").click()
    page.get_by_role("button", name="Looked, and it is blank").click()
    expect(page.locator("#strength")).to_contain_text("cannot tell")
    expect(page.locator("#strength")).not_to_contain_text("MPa")
    expect(page.locator("#warnings")).to_contain_text("No mark: no strength can be named")


#: What a worried person types where a sure answer would be dangerous, and what must stand right under it.
_WORRIED = [
    ("blank head how strong", "no strength can be named"),
    ("no mark is it hard", "no strength can be named"),
    ("wheel nut runs on loose", "must not be used"),
    ("lug nuts wobble on stud", "must not be used"),
    ("brake pipe nut tight after 6 turns", "Never pull it up to seal"),
    ("is stainless fine on the caliper", "Stainless is no upgrade"),
    ("hub nut slot misses the pin", "never tighten on to reach a slot"),
    ("castle nut wont line up with split pin", "never slacken to fit the pin"),
    ("yellow zinc 8.8", "colour say nothing about strength"),
]


def test_dangerous_questions_typed_in_words_get_the_caution(phone: Watched) -> None:
    """Right under the field, and without a thread or a strength being named."""
    wrong = []
    for text, caution in _WORRIED:
        phone.page.goto("about:blank")
        page = phone.go(f"identify/?{urlencode({'q': text})}")
        # The reader of words comes late.
        expect(page.locator("#typed-read")).not_to_be_empty()
        said = page.locator("#typed-read .danger").all_text_contents()
        if not any(caution in each for each in said):
            wrong.append((text, said))
        if page.locator("#results").is_visible():
            expect(page.locator("#strength")).to_contain_text(re.compile("cannot tell", re.IGNORECASE))
            expect(page.locator("#candidates")).to_be_hidden()
    assert not wrong


def test_a_named_thread_leads_to_its_joints_on_the_vehicle(phone: Watched) -> None:
    page = phone.go("identify/?q=m8x1.25")
    page.locator("#typed-read").get_by_role("button", name="Where does it go? Say which vehicle").click()
    expect(page.locator("#vehicle")).to_be_focused()
    page.select_option("#vehicle", _VEHICLE)
    where = page.locator("#typed-read .where")
    expect(where).to_contain_text("Where it goes on")
    expect(where).to_be_in_viewport()
    where.get_by_role("link").first.click()
    expect(page).to_have_url(re.compile(f"vehicles/{_VEHICLE}/"))


def test_shapes_of_head_and_nut_are_weighed(phone: Watched) -> None:
    """10 mm under a flange is M8 (ISO 4162), without one M6 (ISO 4017)."""
    page = opened(phone, kind="bolt", across_flats="10 mm", head="hexagon-flange")
    expect(page.locator("#candidates .candidate-head a").first).to_have_text("M8x1.25")
    page = opened(phone, kind="bolt", across_flats="10 mm", head="hexagon")
    expect(page.locator("#candidates .candidate-head a").first).to_have_text("M6x1")


def test_what_needs_a_tool_that_is_not_there_is_not_asked_for(phone: Watched) -> None:
    page = opened(phone, kind="bolt", diameter="9.4 mm", pitch="16 tpi")
    expect(page.locator("#next .do")).to_contain_text("leaves of this pitch from each set")
    page.locator("#next").get_by_role("button", name=re.compile("cannot", re.IGNORECASE)).click()
    expect(page.locator("#next .do")).not_to_contain_text("leaves")


def test_a_wheel_nut_that_runs_on_loosely_is_not_proven(phone: Watched) -> None:
    page = opened(phone, kind="wheel nut")
    row(page, "trials")
    page.fill("#trial-with", "1/2-20 unf")
    page.get_by_role("button", name="Ran on and wobbled").click()
    expect(page.locator("#verdict")).not_to_contain_text("Almost certain")
    expect(page.locator("#stop .danger").first).to_contain_text("must not be used")
    expect(page.locator("#stop")).to_contain_text("proves nothing")


def test_a_brake_pipe_nut_tight_after_six_turns_is_stopped(phone: Watched) -> None:
    """3/8-24 starts in M10x1 and binds after about six turns (by both threads' limits)."""
    page = opened(phone, kind="union", diameter="9.5 mm")
    row(page, "trials")
    page.fill("#trial-with", "m10x1")
    page.get_by_role("button", name="Went tight after 6 turns").click()
    expect(page.locator("#stop")).to_contain_text("Never pull it up to seal")
    expect(page.locator("#stop")).to_contain_text("someone who does this for a living")
    expect(first(page)).to_have_text("3/8-24 UNF")


def test_stainless_gets_no_blessing(phone: Watched) -> None:
    page = opened(phone, kind="bolt", diameter="9.9 mm", pitch="1.5 mm", material="stainless")
    expect(page.locator("#stop")).to_contain_text("no upgrade")
    expect(page.locator("#stop")).to_contain_text("only the specified part")
    expect(page.locator("#strength")).to_contain_text("cannot tell")


def test_a_hub_slot_that_misses_its_pin_leads_to_the_procedure(phone: Watched) -> None:
    page = phone.go("identify/")
    page.get_by_role("button", name="Yes", exact=True).click()
    page.get_by_role("button", name="Castellated nut", exact=True).click()
    stop = page.locator("#stop")
    expect(stop).to_contain_text("never tighten on to reach a slot")
    expect(stop).to_contain_text("as the manual says")


# ---- fewest taps ----------------------------------------------------------------------------------------------------


def test_a_bolt_is_found_with_the_thumb_and_leads_to_its_joint(thumb: Watched) -> None:
    """Thread, kind, diameter, leaf: ten taps to the name, and from there its joint is in sight."""
    page = thumb.go("identify/")
    expect(page.locator("#sheet fieldset").first).to_contain_text("Has it a thread?")
    page.get_by_role("button", name="Yes", exact=True).tap()
    page.get_by_role("button", name="Bolt", exact=True).tap()
    press(page, "7", ".", "9", "Next")
    expect(page.locator("#pitch")).to_be_focused()
    press(page, "24 tpi", "Next")
    expect(page.locator("#verdict")).to_be_in_viewport()
    expect(page.locator("#verdict")).to_contain_text("5/16-24 UNF")
    page.locator("#rest > summary").tap()
    page.select_option("#vehicle", _VEHICLE)
    where = page.locator("#candidates > li").first.locator(".where")
    expect(where).to_contain_text("invented")
    where.get_by_role("link").first.click()
    # The page left behind has an anchor too.
    expect(page).not_to_have_url(re.compile("/identify/"))
    joint = page.locator("article.joint:target, article.joint[id='" + page.url.split("#")[1] + "']").first
    expect(joint).to_contain_text("5/16-24 UNF")


#: The shortest side of any key, [CSS pixels].
_LEAST_KEY = """pad => Math.min(...Array.from(pad.querySelectorAll(".keys button, .ready button"))
    .flatMap(key => [key.offsetWidth, key.offsetHeight]).filter(side => side > 0))"""


def test_the_keypad_hides_neither_field_nor_answer(thumb: Watched) -> None:
    page = thumb.go("identify/")
    keypad = page.locator(".keypad")
    hidden = []
    for field in ("typed", "diameter", "pitch", "spanner", "across-flats"):
        page.locator(f"#{field}").tap()
        expect(keypad).to_be_visible()
        entry, pad = page.locator(f"#{field}").bounding_box(), keypad.bounding_box()
        assert entry is not None
        assert pad is not None
        if not (entry["y"] >= 48 and entry["y"] + entry["height"] <= pad["y"]):
            hidden.append((field, entry, pad))
        assert keypad.evaluate(_LEAST_KEY) >= 48
    assert not hidden
    page.locator("#diameter").tap()
    press(page, "5", "/", "1", "6", "in")
    expect(page.locator("#diameter")).to_have_value("5/16 in")
    expect(keypad.locator(".answer-line")).to_have_text("Cannot tell yet")
    press(page, "mm")
    expect(page.locator("#diameter")).to_have_value("5/16 mm")
    press(page, "Delete the last sign", "Delete the last sign")
    expect(page.locator("#diameter")).to_have_value("5/1")
    press(page, "6", "in")
    # A tap elsewhere puts it away, and the best answer stays in sight.
    page.locator("h1").tap()
    expect(keypad).to_be_hidden()
    expect(page.locator("#strip")).to_be_in_viewport()


def test_a_fraction_is_taken_off_a_rule_and_says_so(phone: Watched) -> None:
    """Calipers show decimals; a fraction was read off a rule, half a millimetre either way."""
    page = phone.go("identify/")
    page.fill("#diameter", "5/16 in")
    expect(page.locator("[data-choice=diameter_with] .assumed")).to_have_text("Rule")
    expect(page.locator("#from")).to_contain_text("taken as off a rule")
    page.fill("#diameter", "7.94 mm")
    expect(page.locator("[data-choice=diameter_with] .assumed")).to_have_text("Digital calipers")
    page.locator("[data-choice=diameter_with]").get_by_role("button", name="Vernier calipers").click()
    expect(page.locator("#from")).to_contain_text("vernier calipers")
    # Whoever has a vernier in the hand keeps it in the hand.
    page.fill("#across-flats", "12.6 mm")
    expect(page.locator("#from")).to_contain_text("12.6 mm across flats, vernier calipers")


def test_a_nut_is_measured_by_its_bore(phone: Watched) -> None:
    page = phone.go("identify/")
    page.fill("#diameter", "6.8 mm")
    row(page, "kind")
    page.get_by_role("button", name="Nut", exact=True).click()
    expect(page.locator("#diameter")).to_be_hidden()
    expect(page.locator("#minor-diameter")).to_have_value("6.8 mm")
    page.fill("#pitch", "24 tpi")
    expect(first(page)).to_have_text("5/16-24 UNF")
    page.locator("#rest > summary").click()
    row(page, "nut_kind")
    page.get_by_role("button", name="Nylon-insert nut").click()
    expect(page.locator("#nut-kind-link a")).to_have_attribute("href", re.compile("nuts/nylon-insert/"))


def test_trial_fits_count_one_by_one_and_can_be_taken_back(phone: Watched) -> None:
    page = opened(phone, diameter="7.9 mm")
    expect(page.locator("#next")).to_be_visible()
    row(page, "trials")
    page.get_by_role("button", name="Would not start").click()
    expect(page.locator("#trial-with-read")).to_contain_text("First say which thread")
    page.locator("#trial-known").get_by_role("button", name="M8x1.25", exact=True).click()
    page.get_by_role("button", name="Would not start").click()
    page.fill("#trial-with", "5/16-24 unf")
    page.get_by_role("button", name="Ran right on").click()
    expect(page.locator("#tried > li")).to_have_text(
        [re.compile("M8x1.25 would not start"), re.compile("5/16-24 UNF ran right on")]
    )
    expect(first(page)).to_have_text("5/16-24 UNF")
    page.locator("#tried").get_by_role("button").last.click()
    expect(page.locator("#tried > li")).to_have_count(1)


def test_any_mark_is_three_taps_away(phone: Watched) -> None:
    """Open, say what kind of mark, tap it: for each of the marks of heads, nuts and studs."""
    wrong = {}
    for kind, group in (("bolt", "head"), ("nut", "nut"), ("stud", "stud")):
        page = opened(phone, kind=kind)
        row(page, "marks")
        # The pictures come late, and none of none would be as many as there are.
        expect(page.locator("#marks > button").first).to_be_attached()
        assert page.locator("#looks button").count() > 1
        for look in page.locator("#looks button").all():
            look.click()
            name = look.get_attribute("data-look")
            want = page.locator(f"#marks [data-group~={group}][data-look='{name}']").count()
            seen = page.locator("#marks > button:visible").count()
            if want != seen:
                wrong[kind, name] = (want, seen)
            look.click()
    assert not wrong


def test_words_show_as_many_marks_as_they_say_whatever_was_chosen_before(phone: Watched) -> None:
    page = phone.go("identify/?q=A2-70")
    expect(page.locator("#marks > button[aria-pressed=true]")).to_have_attribute("data-value", "text-a2-70")
    page.fill("#typed", "3 lines")
    page.keyboard.press("Enter")
    expect(page.locator("#typed-read")).to_contain_text("marks are like that")
    shown = page.locator("#marks > button:visible")
    expect(page.locator("#typed-read")).to_contain_text(f"{shown.count()} marks are like that")
    expect(page.locator("#marks > button[data-value=text-a2-70]")).to_be_hidden()


def test_without_a_thread_it_leads_to_washers_and_pins(phone: Watched) -> None:
    page = phone.go("identify/")
    page.get_by_role("button", name="No", exact=True).click()
    expect(page.locator("#unthreaded")).to_contain_text("no thread size to name")
    expect(page.locator("#diameter")).to_be_hidden()
    expect(page.locator("#unthreaded a[href*='washers/tab/']")).to_be_visible()
    page.locator("#panel-kind").get_by_role("button", name="Pin", exact=True).click()
    expect(page.locator("#unthreaded")).to_contain_text("Split pins: named by the hole")
    expect(page.locator("#unthreaded a[href*='washers/tab/']")).to_be_hidden()


def test_i_cannot_is_always_an_answer(phone: Watched) -> None:
    """Every question can be given up, one after another, and the page then says that nothing more would tell."""
    page = opened(phone, diameter="7.9 mm")
    given_up = []
    following = page.locator("#next")
    for _ in range(12):
        expect(following).not_to_be_empty()
        now = following.get_by_role("button", name="I cannot")
        if not now.is_visible():
            break
        given_up.append(following.locator(".do").inner_text())
        now.click()
        page.wait_for_function(
            "before => (document.querySelector('#next .do') || {}).innerText !== before", arg=given_up[-1]
        )
    assert len(given_up) == len(set(given_up)) >= 4
    expect(following).to_contain_text("nothing more tells these apart")
    expect(page.locator("#verdict")).to_contain_text("Cannot tell")
    page.locator("#pitch").focus()
    cannot = page.locator("[data-question=pitch]").get_by_role("button", name="I cannot")
    expect(cannot).to_have_attribute("aria-pressed", "true")
    cannot.click()
    expect(following).to_contain_text("leaves of a thread gauge")


def test_next_opens_the_field_it_speaks_of(phone: Watched) -> None:
    page = opened(phone, diameter="7.9 mm", kind="bolt")
    page.locator("#next").get_by_role("button", name="Do that now").click()
    expect(page.locator("#pitch")).to_be_focused()
    page.locator("#leaves").get_by_role("button", name="24 tpi").click()
    expect(page.locator("#verdict")).to_contain_text("5/16-24 UNF")
    # Sure enough now: whatever follows is for those who want to be surer.
    expect(page.locator("#next h3")).to_have_text("To be surer")
    page.locator("#next").get_by_role("button", name="Do that now").click()
    expect(page.locator("#trial-with")).to_have_value("5/16-24 UNF")


def test_words_first_and_numbers_one_tap_away(phone: Watched) -> None:
    page = opened(phone, diameter="7.9 mm")
    results = page.locator("#results")
    expect(page.locator("#next")).to_be_visible()
    assert "%" not in results.inner_text()
    assert "bit" not in results.inner_text()
    page.get_by_role("button", name="Show the numbers").click()
    expect(page.locator("#candidates > li").first).to_contain_text("%")
    expect(page.locator("#next")).to_contain_text("bit")
    fold = page.locator("#candidates > li").first.locator("details.why")
    fold.locator("summary").click()
    expect(fold).to_contain_text("7.90 mm")


# ---- address, reload, phone -----------------------------------------------------------------------------------------


def test_state_survives_a_reload_and_the_way_back(phone: Watched) -> None:
    page = phone.go("")
    page.fill("input[name=q]", "7.9 mm 24")
    page.press("input[name=q]", "Enter")
    expect(page.locator("#verdict")).to_contain_text("5/16-24 UNF")
    row(page, "kind")
    page.get_by_role("button", name="Bolt", exact=True).click()
    page.reload()
    expect(page.locator("#diameter")).to_have_value("7.9 mm")
    expect(page.locator("[data-question=kind] .said")).to_have_text("bolt")
    expect(page.locator("#verdict")).to_contain_text("5/16-24 UNF")
    page.locator("#candidates a").first.click()
    expect(page.locator("h1")).to_have_text("5/16-24 UNF")
    page.go_back()
    expect(page.locator("#verdict")).to_contain_text("5/16-24 UNF")
    page.go_back()
    expect(page.locator("h1")).to_contain_text("Which bolt is this?")


def test_a_slip_of_the_thumb_is_undone(phone: Watched) -> None:
    page = opened(phone, diameter="7.9 mm", pitch="24 tpi")
    page.get_by_role("button", name="Clear all").click()
    expect(page.locator("#results")).to_be_hidden()
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#verdict")).to_contain_text("5/16-24 UNF")
    expect(page).to_have_url(re.compile("diameter=7.9"))


def test_what_was_found_can_be_shared(open_phone: Callable[..., Watched]) -> None:
    page = opened(open_phone(permissions=["clipboard-read", "clipboard-write"]), diameter="7.9 mm", pitch="24 tpi")
    page.get_by_role("button", name="Share this").click()
    expect(page.locator("#share-read")).to_contain_text("copied")
    assert page.evaluate("navigator.clipboard.readText()") == page.url


def test_an_address_with_what_the_page_does_not_know_says_so(phone: Watched) -> None:
    page = opened(phone, kind="sprocket", diameter="7.9 mm", head_marks="no-such-mark", colour="red")
    line = page.locator("#share-read")
    for key in ("kind", "head_marks", "colour"):
        expect(line).to_contain_text(key)
    expect(page.locator("#candidates")).to_contain_text("5/16-24 UNF")


def test_a_link_within_the_page_is_no_state(phone: Watched) -> None:
    page = opened(phone, diameter="7.9 mm", pitch="24 tpi")
    page.evaluate(
        """() => new Promise(done => {
            addEventListener("hashchange", done, {once: true});
            location.hash = "#identify";
        })"""
    )
    expect(page.locator("#diameter")).to_have_value("7.9 mm")


def test_the_vehicle_is_remembered_and_can_be_forgotten(phone: Watched) -> None:
    page = phone.go("identify/")
    page.fill("#diameter", "7.9 mm")
    page.fill("#pitch", "24")
    page.get_by_role("button", name="Where does it go? Say which vehicle").click()
    expect(page.locator("#vehicle")).to_be_focused()
    page.select_option("#vehicle", _VEHICLE)
    expect(page.locator("#assembly")).to_be_visible()
    page = phone.go("identify/?q=7.9+mm+24")
    expect(page.locator("#candidates .where").first).to_contain_text("Where it goes on")
    expect(page.locator("#from")).to_contain_text("on Pannier light utility")
    page.locator("#from").get_by_role("button", name="Pannier").click()
    page.select_option("#vehicle", "")
    page = phone.go("identify/?q=7.9+mm+24")
    expect(page.locator("#candidates")).to_contain_text("5/16-24 UNF")
    expect(page.locator(".where")).to_have_count(0)


def test_sorts_of_joint_are_named_and_lead_on(phone: Watched) -> None:
    """A banjo of M10x1 is what the joints' own records call usual."""
    page = opened(phone, kind="banjo bolt", diameter="9.9 mm", pitch="1 mm")
    fold = page.locator("#candidates > li").first.locator("details.sorts")
    fold.locator("summary").click()
    expect(fold.locator("a[href*='joint-kinds/']").first).to_be_visible()


def test_a_union_is_led_to_unions(phone: Watched) -> None:
    """Who said that it is a union looks for no flywheel bolt; the brake pipe is named before the fold is opened."""
    page = opened(phone, kind="union", diameter="9.9 mm", pitch="1 mm")
    summary = page.locator("#candidates > li").first.locator("details.sorts > summary")
    expect(summary).to_contain_text("Brake pipe union")
    expect(summary).not_to_contain_text("Flywheel")


def test_scripts_off_it_says_so_and_leads_to_the_lists(open_phone: Callable[..., Watched]) -> None:
    page = open_phone(java_script_enabled=False).go("identify/")
    expect(page.locator(".needs-script")).to_contain_text("scripts are off")
    for place in ("sizes", "look-alikes", "head-marks", "spanners", "nuts", "washers"):
        expect(page.locator(f".needs-script a[href*='{place}/']")).to_be_visible()
    expect(page.locator("#diameter")).to_be_hidden()
    expect(page.locator("#tub")).to_be_hidden()


# ---- for everyone ---------------------------------------------------------------------------------------------------


def test_it_is_said_once_when_the_typing_stops(phone: Watched) -> None:
    """The live region gets the verdict after a pause, not one a keystroke; a refusal is read out with it."""
    page = phone.go("identify/")
    page.evaluate(
        """() => {
            window.told = [];
            const aloud = document.getElementById("aloud");
            new MutationObserver(() => window.told.push(aloud.textContent)).observe(aloud, {childList: true});
        }"""
    )
    # Typed within one task of the browser, so that no pause comes between two keys, however busy the machine is.
    told = page.evaluate(
        """() => {
            for (const [id, text] of [["diameter", "7.9 mm"], ["pitch", "24 tpi"]]) {
                const input = document.getElementById(id);
                for (let end = 1; end <= text.length; end += 1) {
                    input.value = text.slice(0, end);
                    input.dispatchEvent(new Event("input", {bubbles: true}));
                }
            }
            return window.told;
        }"""
    )
    assert told == []
    expect(page.locator("#aloud")).to_have_text("Almost certainly 5/16-24 UNF.")
    # Longer than the pause after which it is said: a second sentence would have come by then.
    page.wait_for_timeout(1_500)
    assert page.evaluate("window.told") == ["Almost certainly 5/16-24 UNF."]
    live = page.locator("#identify [aria-live], #identify [role=status]")
    assert {each.get_attribute("id") for each in live.all()} == {"aloud", "share-read", "tub-read", "typed-read"}


def test_it_works_from_the_keyboard_alone(phone: Watched) -> None:
    page = phone.go("identify/")
    page.locator("[data-choice=has_thread] button").first.focus()
    page.keyboard.press("Enter")
    expect(page.locator("[data-question=kind] button.line")).to_be_focused()
    page.keyboard.press("Tab")
    expect(page.locator("#panel-kind").get_by_role("button", name="Bolt", exact=True)).to_be_focused()
    page.keyboard.press("Space")
    expect(page.locator("#diameter")).to_be_focused()
    page.keyboard.type("7.9 mm")
    page.keyboard.press("Enter")
    expect(page.locator("#pitch")).to_be_focused()
    page.keyboard.type("24")
    page.keyboard.press("Escape")
    expect(page.locator("[data-question=pitch] .panel")).to_be_hidden()
    expect(page.locator("#verdict")).to_contain_text("5/16-24 UNF")
    nameless = page.evaluate(
        """() => Array.from(document.querySelectorAll("#identify :is(button, input, select, a)"))
            .filter(each => each.checkVisibility())
            .filter(each => !(each.textContent.trim() || each.ariaLabel || (each.labels && each.labels.length)))
            .map(each => each.outerHTML)"""
    )
    assert not nameless


#: Everything in it unfolded: rows one after another, reasons, warnings, the tub.
_FULL = {
    "kind": "bolt",
    "diameter": "7.9 mm",
    "pitch": "24 tpi",
    "trials": "M8x1;binds;2",
    "head_marks": "radial-lines-3",
    "numbers": "1",
    "across_flats": "nonsense",
}

_LUMINANCE = """() => {
    const channel = value => (value /= 255) <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
    const rgb = text => text.match(/[\\d.]+/g).map(Number);
    const light = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
    const under = node => {
        for (; node; node = node.parentElement) {
            const colour = rgb(getComputedStyle(node).backgroundColor);
            if (colour.length < 4 || colour[3] > 0) return colour;
        }
        return [255, 255, 255];
    };
    const low = new Map();
    const walker = document.createTreeWalker(document.getElementById("identify"), NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const node = walker.currentNode.parentElement;
        if (!walker.currentNode.textContent.trim() || !node.checkVisibility()) continue;
        if (node.closest("svg, :disabled")) continue;
        const style = getComputedStyle(node);
        const [a, b] = [light(rgb(style.color)), light(under(node))];
        const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
        const size = parseFloat(style.fontSize);
        const isLarge = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
        if (ratio < (isLarge ? 4.5 : 7)) low.set(`${node.className} ${node.textContent.trim().slice(0, 40)}`, ratio);
    }
    return Object.fromEntries(low);
}"""

_SMALL = """() => Array.from(document.querySelectorAll("#identify :is(button, input, select, summary, a, .button)"))
    .filter(each => each.checkVisibility() && !each.classList.contains("unseen") && !each.closest("p, td, th"))
    .map(each => [each.getBoundingClientRect(), each])
    .filter(([box]) => box.height < 47.5 || box.width < 47.5)
    .map(([box, each]) => `${each.tagName} ${each.textContent.trim().slice(0, 30)} ${box.width}x${box.height}`)"""


def states(page: Page) -> Iterator[str]:
    """One after another, the rows open and the page without a thread."""
    page.locator("#rest > summary").click()
    for question in ("kind", "count", "trials", "marks", "head", "flank_angle", "condition"):
        row(page, question)
        if question == "marks":
            page.locator("#looks").get_by_role("button", name="A number", exact=True).click()
        yield question
    page.locator("#pitch").focus()
    yield "pitch"
    page.get_by_role("button", name="No", exact=True).click()
    yield "no thread"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_reads_in_bad_light_and_fits_the_smallest_phone(open_phone: Callable[..., Watched], scheme: str) -> None:
    """Contrast 7 to 1 (4.5 for large letters), 48 px targets, and no sideways scroll at 320 px, in every state."""
    phone = open_phone(color_scheme=scheme)
    page = opened(phone, **_FULL)
    page.get_by_role("button", name="Put 5/16-24 UNF in the tub").click()
    expect(page.locator("#to-tub")).to_contain_text("In the tub: ")
    page.set_viewport_size({"width": 320, "height": 640})
    wrong = {}
    for state in states(page):
        found = (page.evaluate(_LUMINANCE), page.evaluate(_SMALL), phone.overflow())
        if any(found):
            wrong[state] = found
    assert not wrong


def test_forced_colours_still_tell_what_is_chosen(open_phone: Callable[..., Watched]) -> None:
    page = opened(open_phone(forced_colors="active"), kind="bolt", diameter="7.9 mm", pitch="24 tpi")
    row(page, "kind")
    chosen = page.locator("#panel-kind [aria-pressed=true]")
    assert chosen.evaluate("each => getComputedStyle(each).outlineStyle") == "solid"
    filled = page.locator("#verdict .level i.on").first
    assert filled.evaluate("each => parseFloat(getComputedStyle(each).borderTopWidth)") > 4


def test_both_ends_of_a_stud_are_kept_together(phone: Watched) -> None:
    """One tap keeps the first end and asks for the other; both go into the tub as one stud, also after a reload."""
    page = phone.go("identify/#kind=stud&has_thread=yes&diameter=12.6+mm&pitch=13+tpi&condition=new")
    page.get_by_role("button", name="Keep this end, measure the other one").click()
    expect(page.locator("#stud-ends")).to_contain_text("First end: 1/2-13 UNC")
    expect(page.locator("#stud-ends")).to_contain_text("Now measure the other end")
    expect(page.locator("#diameter")).to_have_value("")
    page.fill("#diameter", "12.6 mm")
    page.fill("#pitch", "20 tpi")
    expect(page.locator("#stud-ends")).to_contain_text("1/2-20 UNF")
    page.reload()
    expect(page.locator("#stud-ends")).to_contain_text("First end: 1/2-13 UNC")
    page.locator("#to-tub").get_by_role("button", name="Put 1/2-13 UNC / 1/2-20 UNF in the tub").click()
    expect(page.locator("#tub-list")).to_contain_text("1/2-13 UNC / 1/2-20 UNF")
    expect(page.locator("#tub-list")).to_contain_text("stud, two ends")
    page.get_by_role("button", name="Forget the first end").click()
    expect(page.locator("#stud-ends")).to_contain_text("Keep this end")


def test_what_is_no_stud_forgets_an_end_that_was_kept(phone: Watched) -> None:
    """A typing slip in the address is said and left out; a bolt has one end."""
    page = phone.go("identify/#kind=stud&has_thread=yes&diameter=12.6+mm&pitch=13+tpi&first_end=nonsense%7C%7C")
    expect(page.locator("#share-read")).to_contain_text("first_end")
    expect(page.locator("#stud-ends")).to_contain_text("Keep this end")


def test_a_tap_beside_the_keypad_reaches_what_it_is_on(thumb: Watched) -> None:
    """Putting the keypad away moves the page: not before the finger's tap has arrived."""
    page = thumb.go("identify/#kind=bolt&has_thread=yes&diameter=9.4+mm&pitch=24+tpi")
    page.locator("#pitch").tap()
    expect(page.locator(".keypad")).to_be_visible()
    put = page.locator("#to-tub").get_by_role("button", name="Put 3/8-24 UNF in the tub")
    put.evaluate("button => button.scrollIntoView({block: 'start'})")
    page.evaluate("scrollBy(0, -120)")
    put.tap()
    expect(page.locator("#to-tub")).to_contain_text("In the tub: 3/8-24 UNF")
    expect(page.locator(".keypad")).to_be_hidden()


def test_a_fraction_with_a_count_is_a_name_until_a_rule_is_named(phone: Watched) -> None:
    """Whoever types 3/8 20 means the thread so called; the metric one that measures alike comes second."""
    page = phone.go("identify/")
    page.fill("#typed", "3/8 20")
    page.press("#typed", "Enter")
    expect(page.locator("#verdict")).to_contain_text("Likely 3/8-20 BSF; it could still be M10x1.25")
    expect(page.locator("#from")).to_contain_text("taken as its name")
    page.goto(page.url + "&diameter_with=rule")
    page.reload()
    expect(page.locator("#from")).to_contain_text("3/8 in across the thread, rule")
    expect(page.locator("#verdict")).not_to_contain_text("Likely 3/8-20 BSF")


def test_a_spanner_alone_leads_to_its_page(phone: Watched) -> None:
    """What any mechanic would say of it, and the page of that spanner, before anything else."""
    page = phone.go("identify/#spanner=13+mm")
    expect(page.locator("#stop")).to_contain_text("A 13 mm spanner by itself says M8x1.25 first")
    expect(page.locator("#stop").get_by_role("link")).to_have_attribute("href", re.compile("spanners/13-mm/$"))
