"""How hard a self-locking nut must be to turn before it clamps, by size, with every authority beside the others."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from decoder.quantities import MM_PER_INCH, NM_PER_LBF_IN, parse_length
from decoder.tables import CellError, Provenance, Row, read_table

#: Which nuts a figure is for, as its document says.
DragKind = Literal["any self-locking", "all-metal", "nylon-insert", "class 5 to 8", "class 10 to 12"]

#: What the figure limits.
DragWhat = Literal[
    "least before it is used again", "least on removal", "least on fifth removal", "most on first fitting"
]

_NM_PER_UNIT = {"N·m": 1.0, "lbf·in": NM_PER_LBF_IN}
_COLUMNS = ("kind", "size", "what", "torque", "unit", "note")

#: Numbered inch sizes go up from No. 0 in even steps (ASME B1.1).
_NUMBER_0_IN = 0.060
_NUMBER_STEP_IN = 0.013

#: Words of a metric coarse size, and of an inch size without its thread.
_METRIC = re.compile(r"M\d+(\.\d+)?")
_INCH = re.compile(r"(?P<size>\d[\d/-]*) in")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drag:
    """One printed figure. `size` is a designation, or 'M10' or '1/2 in' for any thread of that size."""

    kind: DragKind
    size: str
    what: DragWhat
    torque_nm: float
    printed: str
    note: str | None
    provenance: Provenance

    @property
    def major_mm(self) -> float:
        """Nominal size, in mm, for putting sizes in order."""
        if number := re.match(r"No\. (\d+)-", self.size):
            return (_NUMBER_0_IN + _NUMBER_STEP_IN * int(number[1])) * MM_PER_INCH
        if _METRIC.fullmatch(self.size):
            return float(self.size[1:])
        inch = _INCH.fullmatch(self.size)
        size = inch["size"] if inch else self.size.rpartition("-")[0]
        return parse_length(f"{size} in").mm

    @property
    def is_floor(self) -> bool:
        """True for the smallest drag that is still good, False for the largest that is still right."""
        return self.what != "most on first fitting"


class Drags:
    """All figures, in the order of the table."""

    def __init__(self, rows: Collection[Drag]) -> None:
        self._rows = tuple(rows)

    def __iter__(self) -> Iterator[Drag]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)

    def for_size(self, designation: str, nut: str | None = None) -> tuple[Drag, ...]:
        """Figures that cover a thread and a kind of nut.

        Parameters
        ----------
        designation : str
            A canonical designation such as '1/2-20 UNF' or 'M10x1.5'.
        nut : str, optional
            Id of the kind of nut; without it figures of every kind are given.
        """
        return tuple(row for row in self._rows if _covers(row.size, designation) and _is_for(row.kind, nut))

    def for_kind(self, nut: str) -> tuple[Drag, ...]:
        """Figures for a kind of nut by its id, smallest size first; empty for one that does not grip its thread."""
        return tuple(sorted((row for row in self._rows if _is_for(row.kind, nut)), key=lambda row: row.major_mm))

    def strictest_floor_nm(self, designation: str, nut: str | None = None) -> float | None:
        """The largest of the smallest drags that a document gives, in N·m: below it some authority says scrap.

        Figures that no document carries do not count. None where nothing was found.
        """
        floors = [row.torque_nm for row in self.for_size(designation, nut) if row.is_floor and row.provenance.is_cited]
        return max(floors, default=None)


def load_nut_drags(root: Path, documents: Collection[str]) -> Drags:
    """Read `root/reference/nut_drag.csv`, or raise with all mistakes in it."""
    return Drags(
        read_table(
            root / "reference" / "nut_drag.csv",
            columns=_COLUMNS,
            key=("kind", "size", "what", "document"),
            make=_drag,
            documents=documents,
            shown_as=f"{root.name}/reference/nut_drag.csv",
        )
    )


def _drag(row: Row) -> Drag:
    unit = row.choice("unit", _NM_PER_UNIT)
    size = row.text("size")
    if not (_METRIC.fullmatch(size) or _INCH.fullmatch(size) or re.search(r"\d-\d+ UN", size)):
        raise CellError("size", f"'{size}'", "a thread such as '1/2-20 UNF', 'M10', or '1/2 in'", "write it so")
    kinds, whats = get_args(DragKind), get_args(DragWhat)
    torque = row.number("torque")
    return Drag(
        kind=kinds[kinds.index(row.choice("kind", kinds))],
        size=size,
        what=whats[whats.index(row.choice("what", whats))],
        torque_nm=torque * _NM_PER_UNIT[unit],
        printed=f"{torque:g} {unit}",
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )


def _covers(size: str, designation: str) -> bool:
    if size == designation:
        return True
    if _METRIC.fullmatch(size):
        return designation.split("x")[0] == size
    inch = _INCH.fullmatch(size)
    # '1/2 in' covers 1/2-13 UNC and 1/2-20 UNF, not 1-1/2-6 UNC.
    return inch is not None and re.fullmatch(rf"{re.escape(inch['size'])}-\d+ .+", designation) is not None


def _is_for(kind: DragKind, nut: str | None) -> bool:
    if nut is None or kind in ("any self-locking", "class 5 to 8", "class 10 to 12"):
        return nut in (None, "nylon-insert", "fibre-insert", "all-metal-top", "all-metal-centre", "slotted-collar")
    return nut.startswith("all-metal") if kind == "all-metal" else nut == "nylon-insert"
