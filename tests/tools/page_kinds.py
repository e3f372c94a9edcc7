"""One page of every kind, for whatever looks at the whole site."""

from __future__ import annotations

from pathlib import Path

VEHICLE = "vehicles/pannier-utility/"

PAGE_KINDS = (
    "",
    "identify/",
    "sizes/",
    "sizes/5-16-24-unf/",
    "sizes/2-ba/",
    "sizes/g-1-8/",
    "head-marks/",
    "head-marks/radial-lines-3/",
    "spanners/",
    "spanners/1-2-af/",
    "strength/",
    "strength/sae-5/",
    "joint-kinds/",
    "joint-kinds/banjo-union/",
    "nuts/",
    "nuts/castellated/",
    "washers/",
    "washers/plain/",
    "circlips/",
    "finishes/",
    "materials/",
    "how-good/",
    "look-alikes/",
    "sources/",
    "search/",
    "guides/measuring/",
    "guides/tightening/",
    "safety/",
    "about/",
    "kept/",
    "not-kept/",
    "sheets/",
    "gauge/",
    "vehicles/",
    VEHICLE,
    f"{VEHICLE}engine-front/",
    f"{VEHICLE}front-hub-and-brake/",
    f"{VEHICLE}engine-front/sheet/",
    f"{VEHICLE}engine-front/labels/",
    f"{VEHICLE}plating/",
    f"{VEHICLE}sizes/",
    f"{VEHICLE}head-marks/",
    f"{VEHICLE}spanners/",
    f"{VEHICLE}kinds/",
)


def largest_assembly(site: Path) -> str:
    """The address of the assembly page with the most bytes, which is the slowest to show."""
    pages = [
        path for path in site.glob("vehicles/*/*/index.html") if 'class="joint' in path.read_text(encoding="utf-8")
    ]
    largest = max(pages, key=lambda path: path.stat().st_size)
    return largest.parent.relative_to(site).as_posix() + "/"
