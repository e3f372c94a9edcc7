"""A site on a server that a test can stop, break, and give a new version: what happens to a phone in a garage."""

from __future__ import annotations

import os
import shutil
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from playwright.sync_api import Page


@dataclass
class Served:
    """A served folder. `broken` are endings of addresses whose connection is cut half-way."""

    folder: Path
    server: ThreadingHTTPServer
    asked: list[str] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)
    is_stopped: bool = False

    @property
    def base(self) -> str:
        """The site's address, below a path of its own as project pages have it."""
        return f"http://127.0.0.1:{self.server.server_port}/site/"

    def stop(self) -> None:
        """From now on nobody answers; the connection is refused."""
        if not self.is_stopped:
            self.is_stopped = True
            self.server.shutdown()
            self.server.server_close()


class _Handler(SimpleHTTPRequestHandler):
    def __init__(self, *arguments: Any, served: list[Served], **named: Any) -> None:
        self._served = served
        super().__init__(*arguments, **named)

    def do_GET(self) -> None:
        """Answer, or send half of it and hang up."""
        served = self._served[0]
        address = self.path.partition("?")[0]
        served.asked.append(address.removeprefix("/site/"))
        if any(address.endswith(ending) for ending in served.broken):
            body = Path(self.translate_path(self.path)).read_bytes()
            self.send_response(200)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body[: len(body) // 2])
            self.close_connection = True
            return
        super().do_GET()

    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing on the terminal."""


@contextmanager
def serve(site: Path) -> Iterator[Served]:
    """Serve `site` (a folder named `site`) on a port of its own, so that no test meets what another one kept."""
    holder: list[Served] = []
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Handler, served=holder, directory=str(site.parent)))
    holder.append(Served(site, server))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield holder[0]
    finally:
        holder[0].stop()
        thread.join()


def linked_copy(site: Path, folder: Path) -> Path:
    """The site again, sharing its files; replace a file, never write into it."""
    return Path(shutil.copytree(site, folder / "site", copy_function=os.link))


def replace(path: Path, content: str) -> None:
    """Give one file of a linked copy another content."""
    path.unlink()
    path.write_text(content, encoding="utf-8")


def wait_until_kept(page: Page) -> dict[str, Any]:
    """Wait until the worker has everything that is kept at once; its status."""
    load_keeping(page)
    kept: dict[str, Any] = page.evaluate(
        """async () => {
            const registration = await decoderOffline.start();
            await navigator.serviceWorker.ready;
            return decoderOffline.ask({ask: "mend"});
        }"""
    )
    assert all(pack["kept"] for pack in kept["packs"] if not pack["vehicle"]), kept
    return kept


def load_keeping(page: Page) -> None:
    """Load the script that has the site kept now, instead of when the page has been on screen for a while."""
    page.evaluate(
        """() => window.decoderOffline || new Promise(done => {
            const script = document.createElement("script");
            const root = document.querySelector("script[src*='assets/']").src.split("assets/")[0];
            script.src = root + "assets/scripts/offline.js";
            script.onload = done;
            document.head.append(script);
        })"""
    )


def clear_http_cache(page: Page) -> None:
    """Leave the browser nothing but what the worker keeps."""
    session = page.context.new_cdp_session(page)
    session.send("Network.clearBrowserCache")
    session.detach()


def until(page: Page, promised: str, seconds: float = 30) -> None:
    """Wait until an expression that may be a promise comes out true."""
    end = time.monotonic() + seconds
    while not page.evaluate(promised):
        assert time.monotonic() < end, f"not within {seconds} s: {promised}"
        page.wait_for_timeout(50)
