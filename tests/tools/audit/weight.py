"""What has to come over the network before the first answer, and how heavy the heaviest pages are."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

from tests.tools.find_browser import on_this_machine
from tests.tools.first_answer import BEFORE_ANSWER_BYTES, compressed_size
from tests.tools.page_kinds import PAGE_KINDS, VEHICLE, largest_assembly


def audit(*, site: Path, base: str, **_: Any) -> list[str]:
    """Front and identify against their budget; the rest is printed."""
    missed = []
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=on_this_machine(), args=["--no-sandbox", "--disable-gpu"])
        for address, act in (("", None), ("identify/", _answer)):
            page = browser.new_context(viewport={"width": 360, "height": 740}).new_page()
            requests = transferred(page, base + address, act)
            total = sum(requests.values())
            print(f"/{address}: {total / 1000:.1f} kB in {len(requests)} requests before the first answer")
            for url, size in sorted(requests.items(), key=lambda item: -item[1])[:6]:
                print(f"    {size / 1000:6.1f} kB  {url.removeprefix(base)}")
            if total > BEFORE_ANSWER_BYTES:
                missed.append(
                    f"weight: /{address} needs {total} bytes before the first answer, over {BEFORE_ANSWER_BYTES}"
                )
            page.context.close()
        browser.close()
    shown = dict.fromkeys((*PAGE_KINDS, largest_assembly(site), f"{VEHICLE}kinds/"))
    weights = {page: compressed_size(site / page / "index.html") for page in shown}
    print("Heaviest pages, HTML compressed:")
    for address, size in sorted(weights.items(), key=lambda item: -item[1])[:10]:
        print(f"    {size / 1000:6.1f} kB  /{address}")
    packs = sorted((site / "offline").glob("*.pack"))
    unasked = sum(path.stat().st_size for path in packs if not path.name.startswith("vehicle-"))
    print(f"Kept unasked: {unasked / 1000:.0f} kB; vehicles:")
    for path in packs:
        if path.name.startswith("vehicle-"):
            print(f"    {path.stat().st_size / 1000:6.1f} kB  {path.stem}")
    return missed


def transferred(page: Page, url: str, act: Any = None) -> dict[str, float]:
    """Bytes on the wire by address, until the page is loaded and `act`, if given, has its answer."""
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    names: dict[str, str] = {}
    sizes: dict[str, float] = {}
    session.on("Network.requestWillBeSent", lambda event: names.update({event["requestId"]: event["request"]["url"]}))
    session.on(
        "Network.loadingFinished",
        lambda event: sizes.update({names[event["requestId"]]: event["encodedDataLength"]}),
    )
    page.goto(url, wait_until="load")
    if act:
        act(page)
    page.wait_for_timeout(200)
    return sizes


def _answer(page: Page) -> None:
    page.fill("#diameter", "7.9 mm")
    page.locator("#candidates > li").first.wait_for()
