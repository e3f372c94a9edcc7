"""Writes a small fleet for a test and checks it against the real tables."""

from __future__ import annotations

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
    """Every finding of one assembly in one vehicle; `others` are further files by their name without ending."""
    files = {"vehicle.yml": vehicle, "record.yml": record, **{f"{name}.yml": text for name, text in others.items()}}
    return check_fleet(load_fleet(write_fleet(folder, files)), reference)
