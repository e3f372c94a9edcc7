"""Sites that the tests build: a small one of its own for each test that breaks it, and the real one, built once."""

from __future__ import annotations

import csv
import hashlib
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from decoder.findings import BadDataError
from decoder.reference import load_reference

REPOSITORY = Path(__file__).resolve().parents[2]

#: Enough threads, heads and spanners for every kind of page; with all of them a build takes several seconds.
_SIZES = {"1/4", "5/16", "3/8", "M8", "M10", "2", "1/8"}
_MARKINGS = {"1/2 AF", "9/16 AF", "7/16 AF", "13 mm", "17 mm", "1/4W", "5/16W", "2BA"}
_KEPT = {
    "marks": {"radial-lines-3", "none-visible", "text-8-8", "recess-centre", "radial-lines-6"},
    "joint-kinds": {"bumper", "banjo-union"},
    "nuts": {"plain", "castellated"},
    "washers": {"plain", "helical-spring"},
    "heads-and-drives": {"hexagon", "countersunk", "drive-slot"},
}
_FILTERED = {
    "threads_unified",
    "threads_metric",
    "threads_whitworth",
    "threads_ba",
    "threads_cycle_brass",
    "threads_pipe",
}

MKDOCS_YML = """\
site_name: Tiny site
theme: {name: material}
plugins: [decoder]
"""

VEHICLE_YML = """\
title: Test cart
invented: "yes"
summary: A cart that stands for nothing but a test.
era: 1960s
history: [It was never made.]
families: [UNF]
assemblies: [frame]
source: invented
"""

ASSEMBLY_YML = """\
title: Frame
summary: Two rails and what holds them.
joints:
  bracket:
    title: Bracket to rail
    kind: bumper
    duty: clamp
    consequence: ordinary
    places: 2
    stack:
      - {bolt: hexagon, thread: 5/16-24 UNF, length: 1-1/4 in, mark: radial-lines-3, strength: SAE 5}
      - {washer: plain, thickness: 1.6 mm}
      - {layer: steel, thickness: 6 mm, part: bracket}
      - {layer: steel, thickness: 5 mm, part: rail}
      - {nut: plain}
    tighten: {lubricant: none}
    stated: {across_flats: 1/2 in, spanner: 1/2 AF, torque: 18 lbf·ft}
    source: invented
"""


@dataclass(frozen=True)
class Project:
    """A folder with settings and records that can be built."""

    root: Path

    @property
    def site(self) -> Path:
        """Where the site comes to stand."""
        return self.root / "site"

    @property
    def frame(self) -> Path:
        """The one assembly's record."""
        return self.root / "site_data/vehicles/test-cart/frame.yml"

    def command(self, *arguments: str) -> list[str]:
        """A real process of the site generator."""
        return [sys.executable, "-m", "mkdocs", "build", *arguments]

    def environment(self, **more: str) -> dict[str, str]:
        """Variables for the process; its warnings are not ours to fail on."""
        kept = {name: value for name, value in os.environ.items() if not name.startswith("PYTHONWARN")}
        return {**kept, "NO_MKDOCS_2_WARNING": "1", "NO_COLOR": "1", **more}

    def build(self, *arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
        """Build and come back with exit status and words."""
        return subprocess.run(
            self.command(*arguments),
            cwd=self.root,
            env=self.environment(**environment),
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )

    def left_overs(self) -> list[str]:
        """Folders that builds put beside the site."""
        return sorted(path.name for path in self.root.glob(".site-*"))


def digest(folder: Path) -> dict[str, str]:
    """Every file below a folder with a hash of its bytes."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def _trim(path: Path, column: str, wanted: set[str]) -> None:
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
        names = list(rows[0])
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, names, lineterminator="\n")
        writer.writeheader()
        writer.writerows(row for row in rows if row[column] in wanted)


def _drop_strays(data: Path) -> None:
    """Remove rows of other tables that speak of what was trimmed away; the checks of the tables name them."""
    for _ in range(6):
        try:
            load_reference(data)
            return
        except BadDataError as error:
            lines: dict[str, set[int]] = {}
            for finding in error.findings:
                lines.setdefault(Path(finding.file).name, set()).add(finding.line)
        for name, strays in lines.items():
            path = data / "reference" / name
            kept = [text for at, text in enumerate(path.read_text("utf-8").splitlines(), start=1) if at not in strays]
            path.write_text("\n".join(kept) + "\n", encoding="utf-8")
    raise AssertionError("the trimmed tables do not load")


def make_tiny(root: Path) -> Project:
    """A small project with every kind of record in it."""
    data = root / "site_data"
    shutil.copytree(REPOSITORY / "site_data", data, ignore=shutil.ignore_patterns("vehicles"))
    for path in (data / "reference").glob("*.csv"):
        if path.stem in _FILTERED or path.stem.startswith("hexagons"):
            _trim(path, "size", _SIZES)
        elif path.stem.startswith("spanners"):
            _trim(path, "marking", _MARKINGS)
    for folder, kept in _KEPT.items():
        for path in (data / folder).glob("*.yml"):
            if path.stem not in kept:
                path.unlink()
    _drop_strays(data)
    (data / "vehicles/test-cart").mkdir(parents=True)
    (data / "vehicles/test-cart/vehicle.yml").write_text(VEHICLE_YML, encoding="utf-8")
    (data / "vehicles/test-cart/frame.yml").write_text(ASSEMBLY_YML, encoding="utf-8")
    (root / "docs").mkdir()
    (root / "mkdocs.yml").write_text(MKDOCS_YML, encoding="utf-8")
    return Project(root)


@cache
def _built_once(folder: Path) -> subprocess.CompletedProcess[str]:
    return Project(REPOSITORY).build("--strict", "--site-dir", str(folder), SOURCE_DATE_EPOCH="1700000000")


def real_site(folder: Path) -> Path:
    """The repository's own site, built once in strict mode into `folder`; a build that failed is not tried again."""
    built = _built_once(folder)
    assert built.returncode == 0, built.stdout + built.stderr
    return folder
