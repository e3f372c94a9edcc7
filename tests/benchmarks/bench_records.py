"""How long 2000 joints take to read and to check: the demo's vehicle, copied as often as it takes.

Processor time, since machines are noisy; compare figures of one run with each other, not with those of another day.
"""

from __future__ import annotations

import shutil
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from decoder.checks import check_fleet
from decoder.fleet import load_fleet
from decoder.reference import load_reference
from decoder.yaml_source import read_yaml_file

JOINTS = 2000
VEHICLES = Path(__file__).parent.parent.parent / "site_data" / "vehicles"

T = TypeVar("T")


def timed(what: str, joints: int, work: Callable[[], T]) -> T:
    """Do it once, print how long it took, give back what it gave."""
    start = time.process_time()
    result = work()
    seconds = time.process_time() - start
    print(f"{what:<28} {seconds:6.2f} s  {seconds / joints * 1e6:6.0f} µs a joint")
    return result


def main() -> None:
    """Measure and print."""
    reference = load_reference()
    vehicle = next(path for path in sorted(VEHICLES.iterdir()) if path.is_dir())
    copies = -(-JOINTS // len(list(load_fleet(VEHICLES.parent).vehicles[vehicle.name].joints())))
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "site_data"
        for number in range(copies):
            shutil.copytree(vehicle, root / "vehicles" / f"copy-{number}")
        joints = len(list(load_fleet(root).joints()))
        files = sorted(root.rglob("*.yml"))
        print(f"{joints} joints in {len(files)} files")
        timed("YAML to text with lines", joints, lambda: [read_yaml_file(path) for path in files])
        fleet = timed("read and typed", joints, lambda: load_fleet(root))
        findings = timed("checked against the tables", joints, lambda: check_fleet(fleet, reference))
        print(f"{len(findings)} findings")


if __name__ == "__main__":
    main()
