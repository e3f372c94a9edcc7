"""Writes a small fleet for a test and checks it against the real tables."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from decoder.checks import check_fleet
from decoder.findings import Finding
from decoder.fleet import load_fleet
from decoder.reference import Reference

VEHICLE = """\
title: Test vehicle
invented: yes
summary: A vehicle for tests.
assemblies: [record]
source: invented
"""

#: A joint without a fault. Tests take it apart.
RECORD = """\
title: Test cover
joints:
  cover-to-block:
    title: Cover to block
    kind: timing-cover
    duty: seal
    consequence: ordinary
    places: 4
    stack:
      - {bolt: hexagon, thread: 5/16-24 UNF, length: 1-1/4 in, mark: radial-lines-3, strength: SAE 5}
      - {washer: plain}
      - {layer: aluminium, thickness: 9 mm}
      - {tapped: cast-iron, depth: 25 mm}
    source: invented
"""

#: What makes such a record whole: added at its end, it moves no line.
OVERVIEW = """\
overview:
  view: from the front
  outlines: [{circle: 50 40, radius: 30, part: cover}]
  dots: {cover-to-block: [50 15]}
"""
MAP = """\
map:
  view: from the left
  outlines: [{box: [10 10, 90 60]}]
  dots: {record: [50 30]}
"""

SHOWN = "site_data/vehicles/test/record.yml"


def write_fleet(folder: Path, files: dict[str, str]) -> Path:
    """Write files below `folder/site_data/vehicles/test/` and return the records' folder."""
    root = folder / "site_data"
    vehicle = root / "vehicles" / "test"
    vehicle.mkdir(parents=True)
    for name, text in files.items():
        (vehicle / name).write_text(text, encoding="utf-8")
    return root


def findings_of(
    folder: Path, reference: Reference, record: str, vehicle: str = VEHICLE, **others: str
) -> tuple[Finding, ...]:
    """Every finding of one assembly in one vehicle; `others` are further files by their name without ending.

    That these small records have no drawings is no finding here; `test_overviews` is about that.
    """
    files = {"vehicle.yml": vehicle, "record.yml": record, **{f"{name}.yml": text for name, text in others.items()}}
    return but_for_drawings(check_fleet(load_fleet(write_fleet(folder, files)), reference))


def but_for_drawings(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings without those that only say that a drawing is missing."""
    return tuple(each for each in findings if each.code not in ("overview-missing", "map-missing"))
