"""Where documents contradict each other: both values, which was taken, and why."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

from decoder.findings import BadDataError, Finding

COLUMNS = ("item", "field", "value_a", "source_a", "value_b", "source_b", "taken", "why")


@dataclass(frozen=True, slots=True)
class Disagreement:
    """One value on which two documents differ; sources are ids, or words where the document is no source of a row."""

    item: str
    field: str
    value_a: str
    source_a: str
    value_b: str
    source_b: str
    taken: str
    why: str


def load_disagreements(root: Path) -> tuple[Disagreement, ...]:
    """Read `root/reference/disagreements.csv`; a row without verdict or reason raises `BadDataError`."""
    path = root / "reference" / "disagreements.csv"
    shown = f"{root.name}/reference/{path.name}"
    findings: list[Finding] = []
    made: list[Disagreement] = []

    def refuse(line: int, field: str, found: str, expected: str, fix: str) -> None:
        findings.append(
            Finding(
                level="error",
                code="table-disagreement",
                file=shown,
                line=line,
                field=field,
                found=found,
                expected=expected,
                fix=fix,
            )
        )

    with path.open(encoding="utf-8", newline="") as text:
        reader = csv.reader(text, strict=True)
        header = tuple(next(reader, ()))
        if header != COLUMNS:
            refuse(1, "file", f"the header {','.join(header)}", ",".join(COLUMNS), "restore the header line")
        else:
            for cells in reader:
                if len(cells) != len(COLUMNS):
                    refuse(
                        reader.line_num,
                        "row",
                        f"{len(cells)} cells",
                        f"{len(COLUMNS)}",
                        "quote a cell that holds a comma",
                    )
                    continue
                for column, cell in zip(COLUMNS, cells, strict=True):
                    if not cell.strip():
                        refuse(
                            reader.line_num, column, "an empty cell", "a value", "say what was read, or remove the row"
                        )
                made.append(Disagreement(*cells))
    if findings:
        raise BadDataError(findings)
    return tuple(made)
