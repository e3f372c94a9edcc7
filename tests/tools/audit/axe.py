"""axe on one page of every kind: light and dark, phone and desk, as it opens and with everything opened."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

from tests.tools.find_browser import on_this_machine
from tests.tools.page_kinds import PAGE_KINDS

_SCREENS = ((360, 740), (1280, 800))

#: WCAG to AA with all its versions, and what axe calls good practice; AAA contrast only where sun and grease are.
_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
_AAA = ("identify/",)


def audit(*, base: str, tools: Path, pages: tuple[str, ...], **_: Any) -> list[str]:
    """Every violation once, with the pages and states it was met in."""
    script = (tools / "node_modules/axe-core/axe.min.js").read_text(encoding="utf-8")
    met: dict[str, list[str]] = {}
    runs = 0
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=on_this_machine(), args=["--no-sandbox", "--disable-gpu"])
        for scheme in ("light", "dark"):
            for width, height in _SCREENS:
                context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme)
                page = context.new_page()
                for address in pages or PAGE_KINDS:
                    page.goto(base + address)
                    page.wait_for_timeout(150)
                    page.evaluate(script)
                    for state in ("as it opens", "all opened", "menu", "search"):
                        if not _bring(page, state, width):
                            continue
                        runs += 1
                        for found in _violations(page, address):
                            where = f"/{address} {scheme} {width} {state}"
                            met.setdefault(found, []).append(where)
                context.close()
        browser.close()
    print(f"{runs} states of {len(pages or PAGE_KINDS)} pages looked at, {len(met)} violations")
    return [f"axe: {what} ({len(where)}×, first {where[0]})" for what, where in met.items()]


def _bring(page: Page, state: str, width: int) -> bool:
    """Bring the page into a state; False where it has none such."""
    if state == "all opened":
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        if page.locator("input#diameter").count():
            page.evaluate("document.querySelectorAll('.sheet').forEach(one => { one.hidden = false; })")
            page.fill("#diameter", "7.9 mm")
            page.fill("#pitch", "24")
            page.wait_for_timeout(400)
    elif state == "menu":
        if width > 1000:
            return False
        page.evaluate("document.getElementById('__drawer').click()")
        page.wait_for_timeout(350)
    elif state == "search":
        page.evaluate("document.getElementById('__drawer').checked && document.getElementById('__drawer').click()")
        page.wait_for_timeout(300)
        page.evaluate("scrollTo(0, 0)")
        page.locator("[data-find-open]").click()
        page.keyboard.type("5/16")
        page.wait_for_timeout(400)
    return True


def _violations(page: Page, address: str) -> list[str]:
    rules = {"color-contrast-enhanced": {"enabled": address in _AAA}}
    found: list[dict[str, Any]] = page.evaluate(
        """([tags, rules]) => axe.run(document, {runOnly: {type: "tag", values: tags}, rules: rules})
            .then(result => result.violations)""",
        [_TAGS, rules],
    )
    return [
        f"{violation['id']}: {node['target'][-1]}: {_first(node)}"
        for violation in found
        for node in violation["nodes"][:4]
    ]


def _first(node: dict[str, Any]) -> str:
    checks = [*node["any"], *node["all"], *node["none"]]
    return str(checks[0]["message"]) if checks else ""
