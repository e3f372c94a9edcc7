"""The variant for a stick, opened as files in a real browser: no server, no request, nothing missing."""

from __future__ import annotations

import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

import pytest
from decoder_site.stick import make_stick
from playwright.sync_api import expect

from tests.browser.conftest import Watched

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def stick(real_site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The real site's variant for a stick, in a folder with a blank and an umlaut in its name, as sticks have."""
    target = tmp_path_factory.mktemp("stick") / "Werkstatt für alle" / "stick"
    make_stick(real_site, target)
    return target


class _Targets(HTMLParser):
    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002 - as inherited
        """Note what the element leads to or loads."""
        self.found += [value for name, value in attrs if name in ("href", "src", "action") and value]


def test_every_link_names_a_file(stick: Path) -> None:
    """No link leads to a folder or to nothing, and nothing is left of what keeps the site on a phone."""
    wrong = []
    for page in stick.rglob("*.html"):
        for target in _Targets(page.read_text(encoding="utf-8")).found:
            path = unquote(re.split("[?#]", target)[0])
            if path and not path.startswith(("http:", "https:", "data:")) and not (page.parent / path).is_file():
                wrong.append((page.relative_to(stick).as_posix(), target))
    assert not wrong[:5], len(wrong)
    assert not (stick / "worker.js").exists()
    assert not (stick / "offline").exists()


def test_old_variant_stays_where_there_is_no_site(tmp_path: Path) -> None:
    """A mistaken folder is refused, and nothing is touched."""
    (tmp_path / "stick").mkdir()
    (tmp_path / "stick/index.html").write_text("old", encoding="utf-8")
    with pytest.raises(FileNotFoundError, match="make site"):
        make_stick(tmp_path / "nowhere", tmp_path / "stick")
    assert (tmp_path / "stick/index.html").read_text(encoding="utf-8") == "old"


def test_bolt_is_looked_up_and_leads_to_a_joint(open_phone: Callable[..., Watched], stick: Path) -> None:
    """From the front page through identify, a size and a vehicle's list to a joint, by taps alone."""
    phone = open_phone(base=stick.as_uri() + "/")
    page = phone.go("index.html")
    page.fill("input[name=q]", "7.9 mm 24")
    page.press("input[name=q]", "Enter")
    expect(page).to_have_url(re.compile(r"/identify/index\.html"))
    first = page.locator("#candidates > li").first
    expect(first).to_contain_text("5/16-24 UNF")
    first.get_by_role("link", name="5/16-24 UNF", exact=True).click()
    expect(page.locator("h1")).to_have_text("5/16-24 UNF")
    page.locator("a[href*='vehicles/pannier-utility/sizes/']").first.click()
    page.locator("section[aria-labelledby='5-16-24-unf'] a[href*='#']").first.click()
    # The page left behind has an anchor of its own.
    expect(page).not_to_have_url(re.compile(r"/sizes/"))
    anchor = page.evaluate("location.hash.slice(1)")
    expect(page.locator(f"article.joint[id='{anchor}']")).to_contain_text("5/16-24 UNF")


def test_search_finds_and_leads_there(open_phone: Callable[..., Watched], stick: Path) -> None:
    """The panel opens over a page; its links, which a script makes, name files too. Vehicles are searched as well."""
    phone = open_phone(base=stick.as_uri() + "/")
    page = phone.go("sizes/m8x1-25/index.html")
    page.keyboard.press("/")
    page.keyboard.type("thrust plate")
    expect(page.locator(".find-panel .find-results a").first).to_contain_text("thrust plate")
    page.locator(".find-panel input").fill("castle")
    expect(page.locator(".find-panel .find-results a").first).to_contain_text("Castellated nut")
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(r"/nuts/castellated/index\.html$"))
    expect(page.locator("h1")).to_have_text("Castellated nut")


def test_ticks_and_the_page_of_what_is_kept(open_phone: Callable[..., Watched], stick: Path) -> None:
    """Ticks stay, and the page says that there is nothing to keep."""
    phone = open_phone(base=stick.as_uri() + "/")
    page = phone.go("vehicles/pannier-utility/engine-front/index.html")
    page.locator("[data-ticks] input[name=in]").first.check()
    page.reload()
    expect(page.locator("[data-ticks] input[name=in]").first).to_be_checked()
    page.get_by_role("link", name="Kept on this phone").click()
    expect(page.locator("[data-state]")).to_contain_text("open as files")
    expect(page.locator("[data-mine]")).to_contain_text("Ticks, Pannier light utility")
