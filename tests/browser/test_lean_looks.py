"""Leaving rules out of the theme's style sheet changes nothing that a browser computes."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import material
import pytest
from decoder_site import theming
from playwright.sync_api import Route

from tests.browser.conftest import Watched
from tests.plugins.projects import REPOSITORY
from tests.tools.page_kinds import VEHICLE

pytestmark = pytest.mark.browser

_PAGES = (
    "",
    "identify/",
    "sizes/m8x1-25/",
    "head-marks/",
    "guides/measuring/",
    "kept/",
    "gauge/",
    "sheets/",
    f"{VEHICLE}engine-front/",
    f"{VEHICLE}engine-front/sheet/",
)

_COMPUTED = """() => [...document.querySelectorAll("body, body *")].filter(one => !one.closest("svg")).map(one => [
    one.tagName + "." + one.className,
    ...["", "::before", "::after"].map(part => getComputedStyle(one, part).cssText),
])"""


def _whole_styles() -> dict[str, str]:
    """What a bundle would hold if nothing were left out, by the bundle's name."""
    folder = Path(material.__file__).parent / "templates"
    theme = {path.relative_to(folder).as_posix(): path for name in theming._THEME_STYLES for path in folder.glob(name)}
    own = REPOSITORY / "content"
    rest = [
        path.relative_to(own).as_posix()
        for path in sorted((own / "assets/styles").glob("*.css"))
        if path.relative_to(own).as_posix() not in theming.STYLES
    ]
    bundles = {}
    for count in range(3):
        for more in combinations(rest, count):
            parts = (*theme, *theming.STYLES, *more)
            name = hashlib.sha256("\n".join(parts).encode()).hexdigest()[:8]
            bundles[name] = "\n".join((theme.get(part) or own / part).read_text(encoding="utf-8") for part in parts)
    return bundles


@pytest.mark.parametrize(("media", "scheme"), [("screen", "light"), ("screen", "dark"), ("print", "light")])
def test_pages_look_the_same_with_the_whole_style_sheets(
    open_phone: Callable[..., Watched], media: str, scheme: str
) -> None:
    """Every element's computed style, with what stands before and after it, on screen and on paper."""
    whole = _whole_styles()
    # What comes in its own time would come to one page and not yet to the other.
    lean, full = (open_phone(color_scheme=scheme) for _ in range(2))
    for phone in (lean, full):
        for name in ("search", "offline"):
            phone.page.route(f"**/assets/scripts/{name}.js", lambda route: route.fulfill(body=""))

    def answer(route: Route) -> None:
        name = route.request.url.rpartition("/")[2].partition(".")[0]
        route.fulfill(body=whole[name], content_type="text/css")

    full.page.route("**/assets/bundles/*.css", answer)
    for address in _PAGES:
        computed = []
        for phone in (lean, full):
            page = phone.go(address)
            page.emulate_media(media=media)  # type: ignore[arg-type]
            # Drawings that wait for the page, and what its scripts fill in, are to be on both.
            page.wait_for_load_state("networkidle")
            page.evaluate("window.decoderWhole && window.decoderWhole()")
            computed.append(page.evaluate(_COMPUTED))
        assert len(computed[0]) == len(computed[1]), f"{address}: one page has elements that the other has not"
        differ = [one[0] for one, other in zip(*computed, strict=True) if one != other]
        assert not differ, f"{address}: {len(differ)} elements, first {differ[:3]}"
