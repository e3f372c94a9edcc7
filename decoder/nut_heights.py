"""Heights of nuts that no table of hexagons holds, and how deep a closed one is threaded, standard by standard."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from decoder.measures import ThreadLike
from decoder.quantities import MM_PER_INCH
from decoder.tables import CellError, Provenance, Row, read_table

_COLUMNS = (
    "nut", "standard", "product", "size", "families", "pitches_mm", "unit", "height_min", "height_max",
    "thread_depth_min", "note",
)  # fmt: skip

_MM_PER = {"mm": 1.0, "in": MM_PER_INCH}

#: Nuts are between a third and twice their thread's diameter high; anything else is a slip of the unit.
_LEAST_MM, _MOST_MM = 2.0, 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class NutHeight:
    """One kind of nut in one size, [mm]; `nut` is the id of its kind.

    `thread_depth_min_mm` is the least depth of thread in a closed nut, None in an open one. `pitches_mm` are those
    that the document names, empty where it names none.
    """

    nut: str
    standard: str
    product: str
    size: str
    families: tuple[str, ...]
    pitches_mm: tuple[float, ...]
    height_min_mm: float
    height_max_mm: float
    thread_depth_min_mm: float | None
    note: str | None
    provenance: Provenance

    def is_met_on(self, thread: ThreadLike) -> bool:
        """Whether the nut comes with that thread: its size, its family, and a pitch that the document names."""
        pitches = self.pitches_mm
        return (
            self.size == thread.size
            and thread.family in self.families
            and (not pitches or any(math.isclose(each, thread.pitch_mm) for each in pitches))
        )


class NutHeights(tuple[NutHeight, ...]):
    """All rows, in table order."""

    __slots__ = ()

    def find(self, nut: str, thread: ThreadLike) -> NutHeight | None:
        """The first row for a kind of nut on a thread, or None where no table that was read has one."""
        return next((row for row in self if row.nut == nut and row.is_met_on(thread)), None)


def load_nut_heights(root: Path, documents: Collection[str]) -> NutHeights:
    """Read `root/reference/nut_heights.csv`, or raise `BadDataError` with all mistakes in it."""
    return NutHeights(
        read_table(
            root / "reference" / "nut_heights.csv",
            columns=_COLUMNS,
            key=("nut", "standard", "size", "families"),
            make=_row,
            documents=documents,
            shown_as=f"{root.name}/reference/nut_heights.csv",
        )
    )


def _row(row: Row) -> NutHeight:
    factor = _MM_PER[row.choice("unit", tuple(_MM_PER))]
    low, high = (round(row.number(name) * factor, 4) for name in ("height_min", "height_max"))
    depth = round(row.number("thread_depth_min") * factor, 4) if row.optional_text("thread_depth_min") else None
    if not _LEAST_MM <= low <= high <= _MOST_MM:
        raise CellError("height_min", f"{low:g} to {high:g} mm", "a lower and an upper limit of a nut's height",
                        "compare both, and the unit, with the source")  # fmt: skip
    if depth is not None and depth >= high:
        raise CellError("thread_depth_min", f"{depth:g} mm", f"less than the nut's height, {high:g} mm",
                        "compare both with the source")  # fmt: skip
    return NutHeight(
        nut=row.text("nut"),
        standard=row.text("standard"),
        product=row.text("product"),
        size=row.text("size"),
        families=tuple(row.text("families").split()),
        pitches_mm=tuple(float(each) for each in (row.optional_text("pitches_mm") or "").split()),
        height_min_mm=low,
        height_max_mm=high,
        thread_depth_min_mm=depth,
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )
