"""Finds a browser for the tests, or gets one; prints its path, or nothing and exits 1.

Order: `$BROWSER`, the usual names on the path, Debian's package where this user may install one, and last the
browser driver's own download. What was found, and how, goes to stderr.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")


def on_this_machine() -> str | None:
    """A browser that is there already: `$BROWSER` first, then the usual names on the path."""
    for name in (os.environ.get("BROWSER", ""), *NAMES):
        if name and (found := shutil.which(name)):
            return found
    return None


def from_debian() -> str | None:
    """Debian's package, where this user may install one."""
    if not (shutil.which("apt-get") and os.geteuid() == 0):
        return None
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["apt-get", "update", "-qq"], ["apt-get", "install", "-y", "-qq", "chromium"]):
        if subprocess.run(command, env=environment, stdout=sys.stderr, check=False).returncode:
            return None
    return on_this_machine()


def from_driver() -> str | None:
    """The driver's own download; the driver knows where it put it."""
    command = [sys.executable, "-m", "playwright", "install", "chromium"]
    if subprocess.run(command, stdout=sys.stderr, check=False).returncode:
        return None
    return from_driver_cache()


def from_driver_cache() -> str | None:
    """A browser that the driver downloaded earlier."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        path = Path(driver.chromium.executable_path)
    return str(path) if path.is_file() else None


def ways() -> Iterator[tuple[str, Callable[[], str | None]]]:
    """Every way to a browser, cheapest first, with the words that say which it was."""
    yield "already on this machine", on_this_machine
    yield "downloaded by the driver earlier", from_driver_cache
    yield "installed from Debian", from_debian
    yield "downloaded by the driver", from_driver


def main() -> int:
    """Print the first browser found."""
    for words, way in ways():
        if found := way():
            print(f"Browser for the tests: {found} ({words})", file=sys.stderr)
            print(found)
            return 0
    print("No browser found, and none could be installed.", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main())
