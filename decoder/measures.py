"""Reads measures from tables that print inches or millimetres, and holds their limits in order.

A table keeps the unit its document prints, in the column's name (`jaw_in`, `jaw_mm`), so that a reader can lay page
and row side by side; everything computed from it is in mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from decoder.quantities import MM_PER_INCH
from decoder.tables import CellError, Row

Unit = Literal["in", "mm"]


class ThreadLike(Protocol):
    """What tables of parts need to know of a thread."""

    @property
    def size(self) -> str:
        """'5/16', 'M8', 'No. 10'."""

    @property
    def family(self) -> str:
        """'UNF', 'M', 'BA'."""

    @property
    def pitch_mm(self) -> float:
        """Pitch, [mm]."""


#: Documents print a basic 9/16 in beside a maximum of 0.562: the third decimal of an inch is rounding, not order.
ROUNDING_MM: dict[Unit, float] = {"in": 0.0006 * MM_PER_INCH, "mm": 1e-9}


@dataclass(frozen=True, slots=True)
class Measures:
    """One row's measures, asked for without their unit, answered in mm."""

    row: Row
    unit: Unit

    @property
    def factor(self) -> float:
        """Millimetres per printed unit."""
        return MM_PER_INCH if self.unit == "in" else 1.0

    def needed(self, measure: str) -> float:
        """A measure that must be there, [mm]."""
        value = self.row.number(f"{measure}_{self.unit}")
        return round(value * MM_PER_INCH, 4) if self.unit == "in" else value

    def optional(self, measure: str) -> float | None:
        """A measure, [mm], or None where the source gives none or the table has no such column."""
        return self.needed(measure) if self.row.cells.get(f"{measure}_{self.unit}") else None

    def with_limits(self, measure: str) -> tuple[float | None, float | None, float | None]:
        """A measure and its `…_min` and `…_max`, [mm], None where the source gives none.

        Raises
        ------
        CellError
            When the three are not in order, naming the smaller of two cells that disagree.
        """
        low, nominal, high = self.optional(f"{measure}_min"), self.optional(measure), self.optional(f"{measure}_max")
        if nominal is None:
            self._check_pair(f"{measure}_min", low, f"{measure}_max", high)
        else:
            self._check_pair(f"{measure}_min", low, measure, nominal)
            self._check_pair(measure, nominal, f"{measure}_max", high)
        return nominal, low, high

    def _check_pair(self, lesser: str, small: float | None, greater: str, large: float | None) -> None:
        if small is not None and large is not None and small > large + ROUNDING_MM[self.unit]:
            raise self.wrong(
                lesser,
                f"no more than {greater}_{self.unit}, {self.printed(greater)}",
                "correct one of the two from the source",
            )

    def first_given(self, *measures: str) -> str:
        """The first of these measures whose cell is filled; the last where none is."""
        return next((measure for measure in measures if self.row.cells.get(f"{measure}_{self.unit}")), measures[-1])

    def check_below(self, lesser: str, greater: str) -> None:
        """Refuse a row in which one measure is not smaller than another, where both are given."""
        small, large = self.optional(lesser), self.optional(greater)
        if small is not None and large is not None and not small < large:
            raise self.wrong(
                lesser,
                f"less than {greater}_{self.unit}, {self.printed(greater)}",
                "correct one of the two from the source",
            )

    def printed(self, measure: str) -> str:
        """The cell as the table has it."""
        return self.row.cells[f"{measure}_{self.unit}"]

    def wrong(self, measure: str, expected: str, fix: str) -> CellError:
        """A mistake in this measure's cell."""
        return CellError(f"{measure}_{self.unit}", f"'{self.printed(measure)}'", expected, fix)
