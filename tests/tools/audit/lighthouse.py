"""Lighthouse as on a slow phone: the median of several runs on the pages opened first, and on the heaviest one."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import tempfile
from pathlib import Path
from typing import Any

from tests.tools.find_browser import on_this_machine
from tests.tools.page_kinds import largest_assembly

_CATEGORIES = ("performance", "accessibility", "best-practices", "seo")
_SECONDS = {
    "first-contentful-paint": "first paint",
    "largest-contentful-paint": "largest paint",
    "interactive": "interactive",
}

#: The identify page with a diameter and a pitch in its address, so that it opens with its first answer.
_ANSWERED = "identify/#diameter=7.9+mm&pitch=24+tpi"

#: The latest that the keypad takes input, and that the first answer is on screen [s].
_LATEST_S = {"identify/": 2.0, _ANSWERED: 2.5}


def audit(*, site: Path, base: str, tools: Path, runs: int, pages: tuple[str, ...], **_: Any) -> list[str]:
    """What is worse than wanted: performance 99 (96 on the largest assembly and identify), 100 in all else, times."""
    assembly = largest_assembly(site)
    wanted = {
        "": 99,
        "identify/": 96,
        _ANSWERED: 96,
        "sizes/": 99,
        "sizes/5-16-24-unf/": 99,
        "spanners/1-2-af/": 99,
        assembly: 96,
    }
    if pages:
        wanted = {page: wanted.get(page, 96) for page in pages}
    missed = []
    for address, performance in wanted.items():
        reports = [_run(base + address, tools) for _ in range(runs)]
        scores = {
            name: statistics.median(100 * (report["categories"][name]["score"] or 0) for report in reports)
            for name in _CATEGORIES
        }
        times = {
            words: statistics.median(report["audits"][name]["numericValue"] / 1000 for report in reports)
            for name, words in _SECONDS.items()
        }
        print(
            f"/{address}: {' / '.join(f'{scores[name]:.0f}' for name in _CATEGORIES)}; "
            + ", ".join(f"{words} {seconds:.1f} s" for words, seconds in times.items()),
            flush=True,
        )
        for name, score in scores.items():
            least = performance if name == "performance" else 100
            if score < least:
                missed.append(f"lighthouse: /{address} {name} {score:.0f}, wanted {least}{_why(reports[0], name)}")
        latest = max(times["interactive"], times["largest paint"])
        if latest > _LATEST_S.get(address, latest):
            missed.append(f"lighthouse: /{address} is ready after {latest:.2f} s, wanted {_LATEST_S[address]}")
    return missed


def _run(url: str, tools: Path) -> dict[str, Any]:
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "report.json"
        command = [
            str(tools / "node_modules/.bin/lighthouse"), url, "--quiet", "--output=json", f"--output-path={out}",
            "--chrome-flags=--headless=new --no-sandbox --disable-gpu", f"--only-categories={','.join(_CATEGORIES)}",
        ]  # fmt: skip
        environment = {**os.environ, "CHROME_PATH": on_this_machine() or ""}
        subprocess.run(command, check=True, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        report: dict[str, Any] = json.loads(out.read_text(encoding="utf-8"))
        return report


def _why(report: dict[str, Any], category: str) -> str:
    failed = [
        report["audits"][reference["id"]]["title"]
        for reference in report["categories"][category]["auditRefs"]
        if reference["weight"] and (report["audits"][reference["id"]]["score"] or 0) < 0.9
    ]
    return f" ({'; '.join(failed[:4])})" if failed else ""
