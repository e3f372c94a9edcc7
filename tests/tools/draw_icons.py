"""Draws the icons that phones ask for as PNG from `decoder.svg`. Run it when the sign changes; needs a browser.

.venv/bin/python -m tests.tools.draw_icons
"""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.tools.find_browser import on_this_machine

ICONS = Path(__file__).resolve().parents[2] / "content/assets/icons"

#: File, size [px], the sign's share of it, colour behind it. A maskable icon may be cut to a circle of 80 % of it.
_WANTED = (
    ("decoder-180.png", 180, 0.78, "#0a3029"),
    ("decoder-192.png", 192, 1.0, "transparent"),
    ("decoder-512.png", 512, 1.0, "transparent"),
    ("decoder-maskable.png", 512, 0.62, "#0a3029"),
)


def main() -> None:
    """Write every icon."""
    sign = (ICONS / "decoder.svg").read_text(encoding="utf-8")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=on_this_machine(), args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page()
        for name, size, share, behind in _WANTED:
            page.set_viewport_size({"width": size, "height": size})
            page.set_content(
                f"<style>html, body {{margin: 0; background: {behind}; height: 100%}} body {{display: grid; "
                f"place-items: center}} svg {{width: {share:.0%}; height: {share:.0%}}}</style>{sign}"
            )
            page.screenshot(path=ICONS / name, omit_background=True)
        browser.close()


if __name__ == "__main__":
    main()
