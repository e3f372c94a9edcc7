"""Audits the built site with tools from outside: axe, the Nu HTML checker and Lighthouse. Not part of the tests.

    .venv/bin/python -m tests.tools.audit SITE [--only axe,nu,weight,lighthouse] [--runs 5] [--pages sizes/,identify/]

The tools are fetched into .cache/audit with npm, their versions printed. Exit status 1 where a figure is missed.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from tests.tools.audit import axe, lighthouse, nu, weight
from tests.tools.audit.served import serve

CACHE = Path(__file__).resolve().parents[3] / ".cache/audit"

#: Lighthouse 12 is the last that runs on Node 20.
_PACKAGES = {"axe-core": "4.14.1", "vnu-jar": "26.9.27", "lighthouse": "12.8.2"}

#: What each part needs beside Python and a browser.
_PARTS: dict[str, tuple[tuple[str, ...], Callable[..., list[str]]]] = {
    "axe": (("axe-core",), axe.audit),
    "nu": (("vnu-jar",), nu.audit),
    "weight": ((), weight.audit),
    "lighthouse": (("lighthouse",), lighthouse.audit),
}


def _fetch(packages: list[str]) -> None:
    """Install what is missing, in the wanted versions."""
    CACHE.mkdir(parents=True, exist_ok=True)
    wanted = {name: _PACKAGES[name] for name in packages}
    missing = [f"{name}@{version}" for name, version in wanted.items() if _version(name) != version]
    if not missing:
        return
    if not shutil.which("npm"):
        raise SystemExit("npm is needed to fetch " + ", ".join(missing) + ": install Node 20 or newer.")
    print("Fetching " + ", ".join(missing) + " …", flush=True)
    command = ["npm", "install", "--prefix", str(CACHE), "--no-fund", "--no-audit", "--silent", *missing]
    subprocess.run(command, check=True, env={**os.environ, "PUPPETEER_SKIP_DOWNLOAD": "1"})


def _version(name: str) -> str:
    path = CACHE / "node_modules" / name / "package.json"
    return str(json.loads(path.read_text(encoding="utf-8"))["version"]) if path.is_file() else ""


def main() -> int:
    """Run the parts that were asked for; every miss is one line."""
    parser = argparse.ArgumentParser(prog="python -m tests.tools.audit", description=__doc__.splitlines()[0])
    parser.add_argument("site", type=Path)
    parser.add_argument("--only", default=",".join(_PARTS), help="parts, separated by commas")
    parser.add_argument("--runs", type=int, default=5, help="Lighthouse runs of which the median counts")
    parser.add_argument("--pages", default="", help="addresses instead of one page of every kind")
    options = parser.parse_args()
    parts = [part for part in options.only.split(",") if part]
    if unknown := [part for part in parts if part not in _PARTS]:
        parser.error(f"no such part: {', '.join(unknown)}; there are {', '.join(_PARTS)}")
    _fetch([name for part in parts for name in _PARTS[part][0]])
    pages = tuple(options.pages.split(",")) if options.pages else ()
    missed: list[str] = []
    with serve(options.site.resolve()) as base:
        for part in parts:
            print(f"\n== {part} {' '.join(_version(name) for name in _PARTS[part][0])}".rstrip(), flush=True)
            missed += _PARTS[part][1](
                site=options.site.resolve(), base=base, tools=CACHE, runs=options.runs, pages=pages
            )
    print("\n" + (f"{len(missed)} missed:" if missed else "Nothing missed."))
    for line in missed:
        print(f"- {line}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
