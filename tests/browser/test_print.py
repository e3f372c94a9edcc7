"""The sheets printed as PDF on A4 and Letter, and measured there: ruler, card, combs, one page each, nothing else."""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image, ImageFilter
from playwright.sync_api import Browser, Page

from decoder.drawings.qr import qr_code
from decoder.fleet import load_fleet
from tests.plugins.projects import REPOSITORY
from tests.tools.pdf_lines import Line, lines, page_count

pytestmark = pytest.mark.browser

SHEETS = ("pitch-combs", "diameters", "flats-and-lengths", "pocket-cards")
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}

#: How far a print may be off: two parts in a thousand.
SHARE = 0.002


def printed(browser: Browser, address: str, paper: str, **settings: object) -> bytes:
    """What the browser makes of 'print', at actual size with its own margins, on one paper."""
    page = browser.new_page()
    try:
        page.goto(address)
        return page.pdf(format=paper, **settings)  # type: ignore[arg-type]
    finally:
        page.close()


def rows_of(found: Iterable[Line]) -> list[list[float]]:
    """Where upright strokes stand that begin at one height, row by row, each place once."""
    rows: list[tuple[float, set[float]]] = []
    for line in sorted(found, key=lambda line: max(line.y1, line.y2)):
        top = max(line.y1, line.y2)
        if not rows or top - rows[-1][0] > 0.05:
            rows.append((top, set()))
        rows[-1][1].add(round(line.x1, 3))
    return [sorted(places) for _, places in rows]


def ruler_mm(found: list[Line]) -> tuple[int, float]:
    """How many marks the check ruler has, and what it measures from its first to its last.

    It is the longest row of upright strokes that begin at one height and stand about a millimetre apart.
    """
    best: list[float] = []
    for row in rows_of(line for line in found if line.is_upright):
        gaps = [b - a for a, b in pairwise(row)]
        if len(row) > 90 and max(gaps) - min(gaps) < 0.05 and min(gaps) > 0.8:
            best = max(best, row, key=len)
    return len(best), best[-1] - best[0] if best else 0.0


def card_mm(found: list[Line], corner: float = 3.18) -> tuple[float, float]:
    """Width and height of the card's outline: the uppermost round-cornered box, from its straight sides."""
    level = [line for line in found if line.is_level and 60 < abs(line.x1 - line.x2) < 110]
    top = max(level, key=lambda line: line.y1)
    sides = [
        line
        for line in found
        if line.is_upright and 30 < abs(line.y1 - line.y2) < 70 and abs(max(line.y1, line.y2) - top.y1) < 2 * corner
    ]
    xs = sorted(line.x1 for line in sides)
    bottom = min(min(line.y1, line.y2) for line in sides)
    below = max((line.y1 for line in level if line.y1 < bottom), default=0.0)
    return xs[-1] - xs[0], top.y1 - below


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("sheet", SHEETS)
def test_a_sheet_prints_at_actual_size(browser: Browser, served: str, sheet: str, paper: str) -> None:
    """The ruler's 100 mm and the card's 85.60 × 53.98 mm within 0.2 %, on one page, by the browser's own margins."""
    pdf = printed(browser, f"{served}sheets/{sheet}/", paper)
    assert page_count(pdf) == 1
    found = lines(pdf)
    marks, length = ruler_mm(found)
    assert marks == 101
    assert length == pytest.approx(100, rel=SHARE)
    assert card_mm(found) == pytest.approx((85.60, 53.98), rel=SHARE)


@pytest.mark.parametrize("paper", PAPERS)
def test_wide_margins_do_not_shrink_a_sheet(browser: Browser, served: str, paper: str) -> None:
    """Half an inch all round, the widest that browsers set by themselves, with header and footer."""
    margin = dict.fromkeys(("top", "bottom", "left", "right"), "12.7mm")
    pdf = printed(browser, f"{served}sheets/pitch-combs/", paper, margin=margin, display_header_footer=True)
    assert page_count(pdf) == 1
    assert ruler_mm(lines(pdf))[1] == pytest.approx(100, rel=SHARE)


@pytest.mark.parametrize("scale", [0.94, 0.98])
def test_a_scaled_print_is_found_out(browser: Browser, served: str, scale: float) -> None:
    """The measuring can fail: printed smaller, ruler and card come out smaller by as much."""
    pdf = printed(browser, f"{served}sheets/pitch-combs/", "A4", scale=scale)
    found = lines(pdf)
    assert ruler_mm(found)[1] == pytest.approx(100 * scale, rel=SHARE)
    assert card_mm(found)[0] == pytest.approx(85.60 * scale, rel=SHARE)


def test_combs_on_paper_slip_as_they_must(browser: Browser, served: str) -> None:
    """26 and 28 to the inch over 50 mm of print: their lines stand 25.4/26 and 25.4/28 mm apart."""
    found = lines(printed(browser, f"{served}sheets/pitch-combs/", "Letter"))
    comb_lines = [line for line in found if line.is_upright and abs(abs(line.y1 - line.y2) - 2.65) < 0.05]
    halves = ([line for line in comb_lines if (line.x1 > 107) is right] for right in (False, True))
    rows = [row for half in halves for row in rows_of(half) if len(row) > 12]
    measured = [(row[-1] - row[0]) / (len(row) - 1) for row in rows]
    for pitch in (25.4 / 26, 25.4 / 28, 25.4 / 24, 1.0, 1.25, 25.4 / 20):
        nearest = min(measured, key=lambda found: abs(found - pitch))
        assert nearest == pytest.approx(pitch, rel=SHARE)
    assert len(measured) > 40


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_leaves_the_paper(browser: Browser, served: str, paper: str) -> None:
    width, height = PAPERS[paper]
    found = lines(printed(browser, f"{served}sheets/flats-and-lengths/", paper))
    strokes = [line for line in found if abs(line.x1 - line.x2) < width - 1 and abs(line.y1 - line.y2) < height - 1]
    assert len(strokes) > 300
    for line in strokes:
        assert 5 < line.x1 < width - 5
        assert 5 < line.y1 < height - 5


def test_only_the_sheet_is_on_its_page(browser: Browser, served: str) -> None:
    """What stands around it on the screen could push it onto a second page."""
    page = browser.new_page()
    try:
        page.goto(f"{served}sheets/diameters/")
        page.emulate_media(media="print")
        shown = page.evaluate(
            "[...document.querySelectorAll('h1, p, nav, header, footer, a')]"
            ".filter(e => e.offsetParent).map(e => e.outerHTML)"
        )
        assert shown == []
    finally:
        page.close()


def print_view(browser: Browser, address: str) -> Page:
    page = browser.new_page(viewport={"width": 718, "height": 1000})
    page.goto(address)
    page.emulate_media(media="print")
    return page


def test_an_assembly_on_paper_has_boxes_torques_and_cautions(browser: Browser, served: str) -> None:
    page = print_view(browser, f"{served}vehicles/pannier-utility/front-hub-and-brake/sheet/")
    try:
        text = page.locator(".md-content").inner_text()
        for words in ("In", "Tightened", "Marked", "Safety-critical: brakes", "as stated", "see the workshop manual"):
            assert words in text
        joints = page.locator(".paper-joint")
        assert joints.count() == page.locator(".paper-joint .stamp").count() > 5
        assert page.locator(".paper-joint .box").count() >= 3 * joints.count()
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    finally:
        page.close()


@pytest.mark.parametrize("paper", PAPERS)
def test_an_assembly_page_itself_prints_on_few_sheets(browser: Browser, served: str, paper: str) -> None:
    """Thirteen joints with their drawings on at most eight, in two columns from edge to edge."""
    assert page_count(printed(browser, f"{served}vehicles/pannier-utility/engine-front/", paper)) <= 8


@pytest.mark.parametrize(
    "address", ["vehicles/pannier-utility/engine-front/", "vehicles/pannier-utility/engine-front/sheet/"]
)
def test_signs_of_warnings_are_printed_beside_their_words(browser: Browser, served: str, address: str) -> None:
    """The octagon and the triangle end before the text begins."""
    page = print_view(browser, f"{served}{address}")
    try:
        rooms = page.evaluate(
            """() => [...document.querySelectorAll('.caution, .danger, .notice')].filter(e => e.offsetParent).map(e => {
                const sign = getComputedStyle(e, '::before');
                const words = parseFloat(getComputedStyle(e).paddingLeft);
                return [e.textContent, words - parseFloat(sign.left) - parseFloat(sign.width)];
            })"""
        )
        assert len(rooms) > 3
        assert all(room > 2 for _, room in rooms), rooms
        content = page.locator(".md-content__inner").evaluate("e => e.getBoundingClientRect().width")
        assert content > 700, "the paper's width is used"
    finally:
        page.close()


def test_a_label_is_whole_and_its_code_large_enough_to_read(browser: Browser, served: str) -> None:
    """A phone reads modules of 0.4 mm and more; a label is never cut by the end of a page."""
    page = print_view(browser, f"{served}vehicles/pannier-utility/engine-front/labels/")
    try:
        label = page.locator(".bag-label").first
        assert "Tag this in metal if it goes to plating." in page.locator(".md-content").inner_text()
        assert label.evaluate("e => getComputedStyle(e).breakInside") == "avoid"
        code = label.locator("svg.qr")
        width_px = code.evaluate("e => e.getBoundingClientRect().width")
        modules = float(str(code.get_attribute("viewBox")).split()[2])
        assert width_px / 96 * 25.4 / modules >= 0.4
        right = label.locator("svg.qr").evaluate("e => e.getBoundingClientRect().right")
        assert right <= label.evaluate("e => e.getBoundingClientRect().right")
    finally:
        page.close()


@pytest.mark.parametrize(("paper", "wide_px"), [("A4", 718), ("Letter", 740)])
def test_every_label_s_code_is_read_off_the_print(browser: Browser, served: str, paper: str, wide_px: int) -> None:
    """Pictures of the page as it prints, sharp and then turned and out of focus, read by a decoder that is not ours."""
    page = browser.new_page(viewport={"width": wide_px, "height": 1000}, device_scale_factor=2)
    try:
        page.goto(f"{served}vehicles/pannier-utility/engine-front/labels/")
        page.emulate_media(media="print")
        ids = page.locator(".label-id").all_inner_texts()
        printed = _grey(page.screenshot(full_page=True))
    finally:
        page.close()
    assert len(ids) > 10
    assert _read(printed) == sorted(ids), paper
    held_badly = printed.rotate(8, fillcolor=255, expand=True).filter(ImageFilter.GaussianBlur(1.5))
    assert _read(held_badly) == sorted(ids), paper


def test_a_code_holds_a_joint_s_address(browser: Browser) -> None:
    """As labels draw it where the site knows its own address; the longest address of the fleet, at the label's size."""
    fleet = load_fleet(REPOSITORY / "site_data")
    address = max((f"https://example.org/garage/vehicles/{joint.id}" for joint in fleet.joints()), key=len)
    page = browser.new_page(device_scale_factor=2)
    try:
        page.set_content(qr_code(address, 21))
        assert _read(_grey(page.screenshot())) == [address]
    finally:
        page.close()


def _grey(screenshot: bytes) -> Image.Image:
    return Image.open(BytesIO(screenshot)).convert("L")


def _read(picture: Image.Image) -> list[str]:
    """What every QR code of a picture says."""
    found = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    return sorted(code.text for code in found)


def test_the_sheets_need_no_program_of_their_own(real_site: Path) -> None:
    """Every sheet is in the page itself."""
    for sheet in SHEETS:
        html = (real_site / "sheets" / sheet / "index.html").read_text(encoding="utf-8")
        assert html.count('class="drawing sheet"') == 1
        assert "@page{size" not in html
