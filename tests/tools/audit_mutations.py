"""Changes single digits in the reference tables, one at a time, and says which slips go unseen.

A slip counts as caught when the tables no longer load, or when a test of the tables fails on them. Run as
`python tests/tools/audit_mutations.py [--tables threads_] [--count 50] [--seed 1]`; prints the survivors and exits 1
when more than a tenth survive. The small audit of the thread tables among the tests uses the same slips.
"""

from __future__ import annotations

import argparse
import csv
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

#: The tests that hold tables against print and physics, by how a table's name begins. Slips are held against the tests
#: of their own table alone, which is quicker and can only miss more.
TESTS: Mapping[str, tuple[str, ...]] = {
    "threads_": ("threads", "limits", "drills", "lookalikes"),
    "hexagons_": ("hexagons", "spanners"),
    "spanners_": ("spanners",),
    "strength_": ("strength",),
    "washers_": ("washers",),
    "split_pins_": ("split_pins",),
    "circlip": ("circlips",),
    "nut_drag": ("nut_drag",),
    "nut_factors": ("tightening", "loads"),
    "nut_for_bolt": ("strength", "tightening"),
    "engagement_": ("loads",),
    "torque_": ("tightening", "torque_verb"),
    "plating_": ("plating",),
    "stock_lengths": ("joints",),
}

#: Share of the slips that must be caught.
WANTED = 0.9

#: Columns that say something about a row, or name its standard, instead of giving a value.
_ABOUT = ("note", "basis", "document", "where", "detail", "why", "standard", "edition", "era")

#: Tables that are shown as they are and feed nothing.
_NOT_READ = ("disagreements",)


@dataclass(frozen=True)
class Slip:
    """One digit of one cell read or typed wrongly."""

    table: str
    line: int
    column: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"{self.table}.csv:{self.line}: {self.column}: {self.before} -> {self.after}"


def slips(reference: Path, prefix: str, count: int, seed: int) -> Iterator[Slip]:
    """Slips spread over every cell that holds a digit, the same ones for the same seed."""
    places: list[tuple[str, int, str, str]] = []
    for path in sorted(reference.glob(f"{prefix}*.csv")):
        if path.stem in _NOT_READ:
            continue
        with path.open(encoding="utf-8", newline="") as file:
            for number, row in enumerate(csv.DictReader(file), start=2):
                places.extend(
                    (path.stem, number, column, value)
                    for column, value in row.items()
                    if column not in _ABOUT and any(character.isdigit() for character in value)
                )
    chance = random.Random(seed)
    for table, line, column, value in chance.sample(places, min(count, len(places))):
        at = chance.choice([index for index, character in enumerate(value) if character.isdigit()])
        digit = chance.choice([digit for digit in "0123456789" if digit != value[at]])
        yield Slip(table, line, column, value, value[:at] + digit + value[at + 1 :])


def apply(slip: Slip, reference: Path) -> None:
    """Write the slip into the table that lies in this folder."""
    path = reference / f"{slip.table}.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    row, column = rows[slip.line - 1], rows[0].index(slip.column)
    if row[column] != slip.before:
        raise ValueError(f"{slip} does not stand there")
    row[column] = slip.after
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)


# Loads the changed tables, then lets the tests run on them in place of the real ones.
_RUN = """
import sys
from pathlib import Path
import decoder.paths, decoder.reference
root = Path(sys.argv[1])
decoder.paths.reference_root = decoder.reference.reference_root = lambda: root
from decoder.findings import BadDataError
try:
    decoder.reference.load_reference()
except BadDataError as error:
    print("loading: " + str(error).splitlines()[0])
    sys.exit(9)
import pytest
sys.exit(pytest.main(["-x", "-q", "-p", "no:cacheprovider", "--no-header", *sys.argv[2:]]))
"""


def tests_of(table: str) -> tuple[str, ...]:
    """The files of tests that look at a table."""
    return tuple(
        f"tests/decoder/test_{name}.py" for prefix, names in TESTS.items() if table.startswith(prefix) for name in names
    )


def caught_by(root: Path, tests: tuple[str, ...]) -> str | None:
    """What refuses the tables below this folder: a finding or a failing test; None where nothing does."""
    run = subprocess.run(
        [sys.executable, "-c", _RUN, str(root), *tests], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if run.returncode == 0:
        return None
    lines = [line for line in run.stdout.splitlines() if line.startswith(("loading: ", "FAILED ", "ERROR "))]
    return lines[0] if lines else f"the run ended with {run.returncode}: {run.stderr.strip().splitlines()[-1:]}"


def main() -> int:
    """Audit the tables; 0 when enough slips are caught."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--tables", default="", help="only tables whose name begins so")
    options.add_argument("--count", type=int, default=50)
    options.add_argument("--seed", type=int, default=1)
    chosen = options.parse_args()
    data = ROOT / "site_data"
    with tempfile.TemporaryDirectory() as folder:
        pristine = Path(folder) / "pristine"
        shutil.copytree(data, pristine)
        chosen_slips = list(slips(data / "reference", chosen.tables, chosen.count, chosen.seed))
        needed = {test for slip in chosen_slips for test in tests_of(slip.table)}
        refused = caught_by(pristine, tuple(sorted(needed)))
        if refused is not None:
            print(f"The tables do not pass as they are: {refused}", file=sys.stderr)
            return 2
        tried, survivors = 0, []
        for number, slip in enumerate(chosen_slips):
            root = Path(folder) / str(number)
            shutil.copytree(data, root)
            apply(slip, root / "reference")
            caught = caught_by(root, tests_of(slip.table))
            tried += 1
            print(f"{'caught' if caught else 'MISSED'}  {slip}{f'   {caught[:110]}' if caught else ''}", flush=True)
            if caught is None:
                survivors.append(slip)
            shutil.rmtree(root)
    print(f"\n{tried - len(survivors)} of {tried} slips caught; survivors:")
    for slip in survivors:
        print(f"  {slip}")
    return 0 if tried and len(survivors) <= (1 - WANTED) * tried else 1


if __name__ == "__main__":
    sys.exit(main())
