"""Reads `tests/published/*.csv`: values printed outside, to hold our tables against."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

FOLDER = Path(__file__).parent / "published"

MM_PER_UNIT: Mapping[str, float] = {"mm": 1.0, "in": 25.4}


@dataclass(frozen=True)
class Published:
    """One printed value: what it is of, and where it stands."""

    item: tuple[str, ...]
    field: str
    value_mm: float
    tolerance_mm: float
    document: str
    where: str

    def __str__(self) -> str:
        return f"{' '.join(self.item)}: {self.field}"


def published_lengths(table: str) -> tuple[Published, ...]:
    """The rows of one file, lengths in mm; an item's parts are divided by ` | `."""
    with (FOLDER / table).open(encoding="utf-8", newline="") as file:
        return tuple(
            Published(
                item=tuple(row["item"].split(" | ")),
                field=row["field"],
                value_mm=float(row["value"]) * MM_PER_UNIT[row["unit"]],
                tolerance_mm=float(row["tolerance"]) * MM_PER_UNIT[row["unit"]],
                document=row["document"],
                where=row["where"],
            )
            for row in csv.DictReader(file)
        )


def known_documents() -> frozenset[str]:
    """Documents that only tests use."""
    with (FOLDER / "SOURCES.csv").open(encoding="utf-8", newline="") as file:
        return frozenset(row["id"] for row in csv.DictReader(file))
