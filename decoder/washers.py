"""Plain, spring, toothed and tab washers: dimensions by bolt size, standard by standard.

Dimensions alone: what each kind is for, and where it must not go, belongs to the washer kinds.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from decoder.measures import Measures, ThreadLike, Unit
from decoder.tables import Provenance, Row, gather, read_table

#: What a washer of the tables is; the names of the kinds a record may use are kept elsewhere.
KINDS = ("plain", "spring", "internal tooth", "external tooth", "tab")

_TABLES: tuple[tuple[str, Unit], ...] = (("washers_inch", "in"), ("washers_metric", "mm"))

#: Threads named by a number of their own: 2 BA is no No. 2, and no washer of these tables is made for it.
_NUMBERED_FAMILIES = ("BA",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Washer:
    """One washer of one standard in one size; lengths in mm, None where the source gives none.

    `size` is the bolt it is made for ('1/4', 'No. 10', 'M8'). `thickness_mm` is that of the metal, not the free
    height of a spring washer; `section_width_mm` is the radial width of a spring washer's wire. `tab_length_mm` runs
    from the middle of the hole to the end of the tab.
    """

    standard: str
    kind: str
    series: str
    size: str
    inside_mm: float | None
    inside_min_mm: float | None
    inside_max_mm: float | None
    outside_mm: float | None
    outside_min_mm: float | None
    outside_max_mm: float | None
    thickness_mm: float | None
    thickness_min_mm: float | None
    thickness_max_mm: float | None
    section_width_mm: float | None
    tab_width_mm: float | None
    tab_length_mm: float | None
    note: str | None
    provenance: Provenance


class Washers(tuple[Washer, ...]):
    """All rows, in table order."""

    __slots__ = ()

    def for_size(self, size: str, kind: str | None = None) -> tuple[Washer, ...]:
        """Washers made for a bolt of this size, optionally of one kind."""
        return tuple(row for row in self if row.size == size and kind in (None, row.kind))

    def for_thread(self, thread: ThreadLike, kind: str | None = None) -> tuple[Washer, ...]:
        """Washers made for a bolt with this thread; a washer goes by diameter, so 1/4 BSF and 1/4 UNF share theirs."""
        return () if thread.family in _NUMBERED_FAMILIES else self.for_size(thread.size, kind)


def load_washers(root: Path, documents: Collection[str]) -> Washers:
    """Read both washer tables below `root`, or raise `BadDataError` with all their mistakes."""
    rows: list[Washer] = []

    def read(name: str, unit: Unit) -> None:
        file = f"reference/{name}.csv"
        rows.extend(
            read_table(
                root / file,
                columns=("standard", "kind", "series", "size", *(f"{measure}_{unit}" for measure in _MEASURES), "note"),
                key=("standard", "kind", "series", "size"),
                make=partial(_washer, unit=unit),
                documents=documents,
                shown_as=f"{root.name}/{file}",
            )
        )

    gather(partial(read, name, unit) for name, unit in _TABLES)
    return Washers(rows)


_MEASURES = (
    "inside",
    "inside_min",
    "inside_max",
    "outside",
    "outside_min",
    "outside_max",
    "thickness",
    "thickness_min",
    "thickness_max",
    "section_width",
    "tab_width",
    "tab_length",
)


def _washer(row: Row, *, unit: Unit) -> Washer:
    measures = Measures(row, unit)
    inside, inside_min, inside_max = measures.with_limits("inside")
    outside, outside_min, outside_max = measures.with_limits("outside")
    thickness, thickness_min, thickness_max = measures.with_limits("thickness")
    widest_hole = measures.first_given("inside_max", "inside", "inside_min")
    narrowest_rim = measures.first_given("outside_min", "outside", "outside_max")
    thickest = measures.first_given("thickness_max", "thickness", "thickness_min")
    measures.check_below(widest_hole, narrowest_rim)
    measures.check_below(thickest, narrowest_rim)
    return Washer(
        standard=row.text("standard"),
        kind=row.choice("kind", KINDS),
        series=row.text("series"),
        size=row.text("size"),
        inside_mm=inside,
        inside_min_mm=inside_min,
        inside_max_mm=inside_max,
        outside_mm=outside,
        outside_min_mm=outside_min,
        outside_max_mm=outside_max,
        thickness_mm=thickness,
        thickness_min_mm=thickness_min,
        thickness_max_mm=thickness_max,
        section_width_mm=measures.optional("section_width"),
        tab_width_mm=measures.optional("tab_width"),
        tab_length_mm=measures.optional("tab_length"),
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )
