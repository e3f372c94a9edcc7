"""Circlips (retaining rings) for shafts and bores, crescents and E-clips, and the grooves they sit in.

A circlip is named by the shaft or bore it goes on, an E-clip by its groove. A loose ring measures neither: the
groove's diameter and width tell which ring goes in.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from pathlib import Path

from decoder.measures import Measures, Unit
from decoder.tables import CellError, Provenance, Row, gather, read_table

#: 'shaft' rings spring inward into a groove round a shaft, 'bore' rings outward into one in a housing, both over its
#: end; 'crescent' and 'E-clip' are pushed on from the side.
KINDS = ("shaft", "bore", "crescent", "E-clip")

_RINGS: tuple[tuple[str, Unit], ...] = (("circlips_inch", "in"), ("circlips_metric", "mm"))
_GROOVES: tuple[tuple[str, Unit], ...] = (("circlip_grooves_inch", "in"), ("circlip_grooves_metric", "mm"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove:
    """How wide a groove must at least be for rings of one thickness; lengths in mm."""

    standard: str
    thickness_mm: float
    width_mm: float
    note: str | None
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Circlip:
    """One ring of one standard; lengths in mm, None where the source gives none.

    `on_mm` is the shaft or bore, to `on_max_mm` where a ring serves a range. `free_mm` is the loose ring: inside
    diameter on a shaft, outside diameter in a bore. `outside_mm` is the room that a ring pushed on from the side takes
    once it is in its groove. `groove` is None where no width of groove could be read.
    """

    standard: str
    kind: str
    unit: Unit
    size: str
    on_mm: float
    on_max_mm: float | None
    thickness_mm: float
    free_mm: float | None
    outside_mm: float | None
    groove_mm: float
    groove: Groove | None
    note: str | None
    provenance: Provenance


@dataclass(frozen=True, slots=True)
class Circlips:
    """All rings and all grooves, in table order."""

    rings: tuple[Circlip, ...]
    grooves: tuple[Groove, ...]

    def in_groove(self, diameter_mm: float, width_mm: float, tolerance_mm: float) -> tuple[Circlip, ...]:
        """Rings for a groove of this diameter and width, [mm], each measured to within the tolerance, [mm].

        A groove may be wider than its ring asks for, but not by more than a quarter.
        """
        return tuple(
            ring
            for ring in self.rings
            if abs(ring.groove_mm - diameter_mm) <= tolerance_mm
            and ring.thickness_mm < width_mm + tolerance_mm
            and width_mm - tolerance_mm <= 1.25 * (ring.groove.width_mm if ring.groove else ring.thickness_mm)
        )


def load_circlips(root: Path, documents: Collection[str]) -> Circlips:
    """Read the tables of rings and of grooves below `root`, or raise `BadDataError` with all their mistakes."""
    rings: list[Circlip] = []
    grooves: list[Groove] = []

    def read_rings(name: str, unit: Unit) -> None:
        file = f"reference/{name}.csv"
        measures = ("on", "on_max", "thickness", "free", "outside", "groove")
        rings.extend(
            read_table(
                root / file,
                columns=("standard", "kind", "size", *(f"{measure}_{unit}" for measure in measures), "note"),
                key=("standard", "kind", "size", f"outside_{unit}"),
                make=partial(_ring, unit=unit),
                documents=documents,
                shown_as=f"{root.name}/{file}",
            )
        )

    def read_grooves(name: str, unit: Unit) -> None:
        file = f"reference/{name}.csv"
        grooves.extend(
            read_table(
                root / file,
                columns=("standard", f"thickness_{unit}", f"groove_width_{unit}", "note"),
                key=("standard", f"thickness_{unit}"),
                make=partial(_groove, unit=unit),
                documents=documents,
                shown_as=f"{root.name}/{file}",
            )
        )

    gather(
        [
            *(partial(read_grooves, name, unit) for name, unit in _GROOVES),
            *(partial(read_rings, name, unit) for name, unit in _RINGS),
        ]
    )
    widths: Mapping[tuple[str, float], Groove] = {(row.standard, row.thickness_mm): row for row in grooves}
    return Circlips(
        tuple(replace(ring, groove=widths.get((ring.standard, ring.thickness_mm))) for ring in rings), tuple(grooves)
    )


def _groove(row: Row, *, unit: Unit) -> Groove:
    measures = Measures(row, unit)
    measures.check_below("thickness", "groove_width")
    return Groove(
        standard=row.text("standard"),
        thickness_mm=measures.needed("thickness"),
        width_mm=measures.needed("groove_width"),
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )


def _ring(row: Row, *, unit: Unit) -> Circlip:
    measures = Measures(row, unit)
    kind = row.choice("kind", KINDS)
    # A loose ring is tighter than its groove, or it would not hold: smaller on a shaft, larger in a bore.
    order = ("on", "groove", "free") if kind == "bore" else ("free", "groove", "on", "outside")
    given = [measure for measure in order if measures.optional(measure) is not None]
    for lesser, greater in pairwise(given):
        measures.check_below(lesser, greater)
    measures.check_below("on", "on_max")
    on, groove, thickness = (measures.needed(measure) for measure in ("on", "groove", "thickness"))
    _check_size(row, kind, unit, groove if kind == "E-clip" and unit == "mm" else on)
    # Rings spring open over the shaft: one thicker than this against its size would stay bent.
    if not 0.02 <= thickness / on <= 1 / 3:
        raise measures.wrong("thickness", "between 1/50 and 1/3 of its shaft or bore", "correct it from the source")
    return Circlip(
        standard=row.text("standard"),
        kind=kind,
        unit=unit,
        size=row.text("size"),
        on_mm=on,
        on_max_mm=measures.optional("on_max"),
        thickness_mm=thickness,
        free_mm=measures.optional("free"),
        outside_mm=measures.optional("outside"),
        groove_mm=groove,
        groove=None,
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )


def _check_size(row: Row, kind: str, unit: Unit, named_mm: float) -> None:
    """A ring's size is the diameter it is named by, written as a number or as a fraction of an inch."""
    size = row.text("size")
    try:
        whole, _, rest = size.rpartition("-")
        top, _, bottom = rest.partition("/")
        value = (float(whole or 0) + float(top) / float(bottom or 1)) * (25.4 if unit == "in" else 1.0)
    except (ValueError, ZeroDivisionError):
        value = 0.0
    # The three printed decimals of a fraction of an inch are rounded or cut.
    if abs(value - named_mm) > (0.00095 * 25.4 if unit == "in" else 1e-9):
        by = "its groove" if kind == "E-clip" and unit == "mm" else "its shaft or bore"
        raise CellError("size", f"'{size}'", f"the diameter of {by}, {named_mm:g} mm", "correct one of the two")
