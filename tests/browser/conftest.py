"""A real browser at the size of a phone, and the real site on a server of its own."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tests.plugins import projects
from tests.tools.find_browser import on_this_machine

#: The size that everything has to fit: a small phone.
PHONE = {"width": 360, "height": 740}

#: How long a page may take to show what is expected of it: only a failing test waits so long, a busy machine may.
_PATIENCE_MS = 20_000

#: No sandbox in a container, and nothing that the browser would fetch of its own accord.
_FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The browser of `$BROWSER` or of this machine; without one the tests fail where CI=true and else are skipped."""
    path = on_this_machine()
    if path is None:
        words = "NO BROWSER: set BROWSER to a Chromium, or run `make test`, which gets one"
        if os.environ.get("CI") == "true":
            pytest.fail(words)
        pytest.skip(words)
    expect.set_options(timeout=_PATIENCE_MS)
    with sync_playwright() as driver:
        launched = driver.chromium.launch(executable_path=path, args=list(_FLAGS))
        yield launched
        launched.close()


@pytest.fixture(scope="session")
def real_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The repository's own site, built once for all tests."""
    return projects.real_site(tmp_path_factory.getbasetemp() / "real-site" / "site")


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing on the terminal."""


@pytest.fixture(scope="session")
def served(real_site: Path) -> Iterator[str]:
    """The address of the site below a path of its own, as project pages have it."""
    handler = partial(_Quiet, directory=str(real_site.parent))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/{real_site.name}/"
        server.shutdown()
        thread.join()


@dataclass
class Watched:
    """A page and everything that went wrong on it."""

    page: Page
    base: str
    troubles: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    def go(self, address: str) -> Page:
        """Open a page of the site."""
        self.page.goto(self.base + address)
        return self.page

    def overflow(self) -> int:
        """How far the page can be scrolled sideways, [CSS pixels]."""
        return int(self.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


def watch(context: BrowserContext, base: str) -> Watched:
    """A page that notes console errors, policy violations, failed requests and requests to other places."""
    page = context.new_page()
    watched = Watched(page, base)
    page.on("console", lambda message: watched.troubles.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: watched.troubles.append(str(error)))
    page.on("requestfailed", lambda request: failed(request.url, request.failure or ""))

    def failed(url: str, why: str) -> None:
        # Going on to the next page breaks off what the last one was still fetching.
        if "ERR_ABORTED" not in why:
            watched.troubles.append(f"failed: {url}, {why}")

    def seen(url: str) -> None:
        watched.requests.append(url)
        if not url.startswith((base, "data:", "blob:")):
            watched.troubles.append(f"request to another place: {url}")

    page.on("request", lambda request: seen(request.url))
    return watched


@pytest.fixture
def open_phone(browser: Browser, served: str) -> Iterator[Callable[..., Watched]]:
    """Opens pages on a phone; settings of the browser's context may be given. Troubles fail the test at its end."""
    opened: list[Watched] = []

    def open_one(**settings: Any) -> Watched:
        base = settings.pop("base", served)
        context = browser.new_context(viewport=PHONE, **settings)  # type: ignore[arg-type]
        opened.append(watch(context, base))
        return opened[-1]

    yield open_one
    troubles = [trouble for watched in opened for trouble in watched.troubles]
    for watched in opened:
        watched.page.context.close()
    assert not troubles, troubles


@pytest.fixture
def phone(open_phone: Callable[..., Watched]) -> Watched:
    """A phone with the site at hand; any trouble on its pages fails the test."""
    return open_phone()
