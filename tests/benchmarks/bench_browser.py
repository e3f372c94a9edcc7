"""How quick the identify page is on a slow phone: a real browser at a quarter of this machine's speed.

    python tests/benchmarks/bench_browser.py site

Medians of one answer, of what to observe next, and of a keystroke with all that it draws. Wanted: 8 ms, 50 ms, 50 ms.
Machines are noisy: compare figures of one run with each other, not with those of another day.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.tools.audit.served import serve
from tests.tools.find_browser import on_this_machine

SLOWER = 4

_TIMED = """() => {
    const engine = window.decoderIdentify;
    const input = document.getElementById("diameter");
    const median = times => times.sort((a, b) => a - b)[times.length >> 1];
    const timed = run => { const from = performance.now(); run(); return performance.now() - from; };
    const taken = {answer: [], next: [], key: []};
    for (let step = 0; step < 60; step += 1) {
        const mm = 5 + step / 10;
        const seen = {diameter: {mm: mm}, pitch: {mm: 1.058, threads_per_inch: 24}, across_flats: {mm: 12.6}};
        const answer = timed(() => engine.identify(seen, {next: false}));
        const next = timed(() => engine.next(seen));
        input.value = mm.toFixed(1) + " mm";
        const key = timed(() => input.dispatchEvent(new Event("input", {bubbles: true})));
        // The first ones warm the program up.
        if (step >= 10) { taken.answer.push(answer); taken.next.push(next); taken.key.push(key); }
    }
    return Object.fromEntries(Object.entries(taken).map(([name, times]) => [name, median(times)]));
}"""


def main() -> int:
    """Print the medians, [ms]."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("site", type=Path, help="the built site")
    options = parser.parse_args()
    path = on_this_machine()
    if not path:
        print("No browser was found: set BROWSER=/path/to/chromium.", file=sys.stderr)
        return 2
    with serve(options.site.resolve()) as base, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 360, "height": 740})
        page.goto(f"{base}identify/")
        page.wait_for_load_state("networkidle")
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        for name, wanted_ms in (("answer", 8), ("next", 50), ("key", 50)):
            took = page.evaluate(_TIMED)[name]
            print(f"{name:<8}{took:8.2f} ms  wanted {wanted_ms}")
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
