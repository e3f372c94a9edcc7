"""Bolt heads, nuts, plugs and other wrenched shapes: flats, corners and heights, standard by standard.

Across flats never fix a thread: limits of neighbouring widths overlap, one thread comes with several widths, and a
bolt and its own nut often differ. So a row is one product of one standard in one size, and nothing is derived
from another row.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path

from decoder.measures import ROUNDING_MM, Measures, ThreadLike, Unit
from decoder.tables import Provenance, Row, gather, read_table

#: What carries the hexagon or square.
PARTS = ("bolt", "nut", "plug", "bleed screw", "union nut", "spark plug")

#: Outline of the wrenched part, and its width across corners for flats of one.
CORNERS_PER_FLATS: Mapping[str, float] = {"hexagon": 2 / math.sqrt(3), "square": math.sqrt(2)}

#: Where a table gives no minimum: real parts are under nominal by about this share of the flats (common practice).
USUAL_UNDERSIZE = 0.03

_INCH_TABLES = ("hexagons_asme", "hexagons_british", "hexagons_fittings_inch")
_METRIC_TABLES = ("hexagons_iso", "hexagons_din", "hexagons_japanese", "hexagons_fittings_metric")

#: Metric fittings come in one pitch of a size, whatever bolts have, [mm] (common practice; DIN 910 for plugs).
_FITTING_PITCHES: Mapping[str, Mapping[str, float]] = {
    "spark plug": {"M10": 1.0, "M12": 1.25, "M14": 1.25, "M18": 1.5},
    "pipe nut": {"M10": 1.0, "M12": 1.0},
    "bleed screw": {"M6": 1.0, "M7": 1.0, "M8": 1.25, "M10": 1.0},
    "hexagon-head plug": {
        "M10": 1.0,
        **{f"M{size}": 1.5 for size in (12, 14, 16, 18, 20, 22, 24, 26, 30, 36)},
    },
}

_COLUMNS = ("standard", "product", "part", "outline", "size", "families")
_MEASURES = (
    "across_flats",
    "across_flats_min",
    "across_flats_max",
    "across_corners_min",
    "across_corners_max",
    "height",
    "height_min",
    "height_max",
)

#: The widest tolerance of the tables, that of small flange bolts, is a twentieth.
_FLATS_LEAST_SHARE = 0.94

#: Sharp corners cannot exceed the flats' share; standards print corners rounded to two or three places.
_CORNERS_ROUNDING_MM = 0.2

#: A head or nut less than this share of its flats was rounded or chamfered away; standards ask for about 1.12 to 1.14.
_CORNERS_LEAST_PER_FLATS = {"hexagon": 1.07, "square": 1.2}


_PLAIN_PRODUCTS = frozenset({"hexagon bolt", "hexagon screw threaded to the head", "hexagon cap screw", "hexagon nut"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Hexagon:
    """One wrenched part of one standard in one size; lengths in mm, None where the source gives none.

    `across_flats_mm` stands as `provenance.basis` says (a nominal or basic width, or the maximum where a standard
    prints limits alone). `height_mm` is the head height of a bolt, the thickness of a nut.
    """

    standard: str
    product: str
    part: str
    outline: str
    size: str
    families: tuple[str, ...]
    across_flats_mm: float
    across_flats_min_mm: float | None
    across_flats_max_mm: float | None
    across_corners_min_mm: float | None
    across_corners_max_mm: float | None
    height_mm: float | None
    height_min_mm: float | None
    height_max_mm: float | None
    era: str | None
    note: str | None
    provenance: Provenance

    def is_met_on(self, thread: ThreadLike) -> bool:
        """Whether this part comes with that thread: of its family and size, and for metric fittings of their pitch."""
        pitch = _FITTING_PITCHES.get(self.product, {}).get(self.size)
        return (
            self.size == thread.size
            and thread.family in self.families
            and (pitch is None or math.isclose(pitch, thread.pitch_mm))
        )

    @property
    def is_plain(self) -> bool:
        """Whether this is an ordinary head or nut, which is met before flanged, thin, heavy and other ones."""
        return self.product in _PLAIN_PRODUCTS

    @property
    def smallest_mm(self) -> float:
        """Least width across flats to expect of a new part, [mm]; usual practice where the table has no minimum."""
        return self.across_flats_min_mm or self.across_flats_mm * (1 - USUAL_UNDERSIZE)

    @property
    def largest_mm(self) -> float:
        """Greatest width across flats to expect of a new part, [mm]."""
        return max(self.across_flats_max_mm or 0.0, self.across_flats_mm)

    @property
    def sharp_corners_mm(self) -> float:
        """Width across corners if none were rounded, [mm]: flats × 2/√3, or × √2 for a square."""
        return self.largest_mm * CORNERS_PER_FLATS[self.outline]


class Hexagons(tuple[Hexagon, ...]):
    """All rows, in table order."""

    @cached_property
    def _found(self) -> dict[tuple[str, str, float, str | None], tuple[Hexagon, ...]]:
        """Answers by size, family, pitch and part: the same few threads are asked for in every joint."""
        return {}

    def for_thread(self, thread: ThreadLike, part: str | None = None) -> tuple[Hexagon, ...]:
        """Rows met on a thread of this family and size, optionally of one part ('bolt', 'nut', …).

        The width of a bolt is never the width of its nut, so ask for the part that is in the hand.
        """
        key = (thread.size, thread.family, thread.pitch_mm, part)
        if key not in self._found:
            self._found[key] = tuple(row for row in self if row.is_met_on(thread) and part in (None, row.part))
        return self._found[key]

    def at(self, across_flats_mm: float, tolerance_mm: float = 0.0, *, outline: str = "hexagon") -> tuple[Hexagon, ...]:
        """Every row whose limits come within `tolerance_mm` of a measured width, nearest nominal first.

        It narrows, it never decides: several threads answer to nearly every width.
        """
        reached = (
            row
            for row in self
            if row.outline == outline
            and row.smallest_mm - tolerance_mm <= across_flats_mm <= row.largest_mm + tolerance_mm
        )
        return tuple(sorted(reached, key=lambda row: abs(row.across_flats_mm - across_flats_mm)))


def load_hexagons(root: Path, documents: Collection[str]) -> Hexagons:
    """Read every hexagon table below `root`, or raise `BadDataError` with all their mistakes.

    Parameters
    ----------
    root : Path
        Folder that holds `reference/`.
    documents : Collection[str]
        Known source ids.
    """
    rows: list[Hexagon] = []

    def read(name: str, unit: Unit) -> None:
        file = f"reference/{name}.csv"
        rows.extend(
            read_table(
                root / file,
                columns=(*_COLUMNS, *(f"{measure}_{unit}" for measure in _MEASURES), "era", "note"),
                key=("standard", "product", "size", "families", f"across_flats_{unit}"),
                make=partial(_hexagon, unit=unit),
                documents=documents,
                shown_as=f"{root.name}/{file}",
            )
        )

    gather(
        [
            *(partial(read, name, "in") for name in _INCH_TABLES),
            *(partial(read, name, "mm") for name in _METRIC_TABLES),
        ]
    )
    return Hexagons(rows)


def _hexagon(row: Row, *, unit: Unit) -> Hexagon:
    measures = Measures(row, unit)
    across_flats = measures.needed("across_flats")
    _, flats_min, flats_max = measures.with_limits("across_flats")
    _, corners_min, corners_max = measures.with_limits("across_corners")
    height, height_min, height_max = measures.with_limits("height")
    hexagon = Hexagon(
        standard=row.text("standard"),
        product=row.text("product"),
        part=row.choice("part", PARTS),
        outline=row.choice("outline", CORNERS_PER_FLATS),
        size=row.text("size"),
        families=tuple(row.text("families").split()),
        across_flats_mm=across_flats,
        across_flats_min_mm=flats_min,
        across_flats_max_mm=flats_max,
        across_corners_min_mm=corners_min,
        across_corners_max_mm=corners_max,
        height_mm=height,
        height_min_mm=height_min,
        height_max_mm=height_max,
        era=row.optional_text("era"),
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )
    _check_flats(hexagon, measures)
    _check_corners(hexagon, measures)
    return hexagon


def _check_flats(hexagon: Hexagon, measures: Measures) -> None:
    """Every standard here makes its heads to the nominal width and under, never over, and not far under."""
    nominal, low, high = hexagon.across_flats_mm, hexagon.across_flats_min_mm, hexagon.across_flats_max_mm
    if high is not None and not math.isclose(high, nominal, abs_tol=ROUNDING_MM[measures.unit]):
        raise measures.wrong(
            "across_flats_max",
            f"the nominal width, {measures.printed('across_flats')}, which is also the greatest",
            "compare both with the source; one of them is wrong",
        )
    if low is not None and low < nominal * _FLATS_LEAST_SHARE:
        raise measures.wrong(
            "across_flats_min",
            f"at least {nominal * _FLATS_LEAST_SHARE / measures.factor:.3f}, since heads are not made so far under",
            "compare it with the source",
        )


def _check_corners(hexagon: Hexagon, measures: Measures) -> None:
    """Corners lie between a well-rounded and a sharp one of the flats they belong to."""
    sharp = CORNERS_PER_FLATS[hexagon.outline]
    least = _CORNERS_LEAST_PER_FLATS[hexagon.outline]
    for measure, corners, flats in (
        ("across_corners_max", hexagon.across_corners_max_mm, hexagon.largest_mm),
        ("across_corners_min", hexagon.across_corners_min_mm, hexagon.smallest_mm),
    ):
        low, high = flats * least, flats * sharp + _CORNERS_ROUNDING_MM
        if corners is not None and not low <= corners <= high:
            raise measures.wrong(
                measure,
                f"{low / measures.factor:.3f} to {high / measures.factor:.3f}, which its flats allow",
                "compare corners and flats with the source; one of them is wrong",
            )
