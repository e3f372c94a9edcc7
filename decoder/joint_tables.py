"""Tables that joints are worked out with: friction, tapped materials, stock lengths, nuts for bolts, who governs."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from decoder.engagement import TappedMaterials, load_tapped_materials
from decoder.nut_factors import NutFactors, load_nut_factors
from decoder.quantities import QuantityError, System, parse_length
from decoder.tables import CellError, Provenance, Row, gather, read_table

_SYSTEMS: tuple[System, ...] = ("inch", "metric")

#: Lengths are sums of rounded thicknesses; a hair over a stock length is that length, [mm].
_SAME_MM = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLength:
    """A length that shops keep, [mm]; `written` as people ask for it."""

    system: System
    length_mm: float
    written: str
    note: str | None
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class NutForBolt:
    """The weakest grade of nut that a grade of bolt takes."""

    bolt: str
    nut: str
    note: str | None
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Governed:
    """A kind of joint whose torque no bolt gives, and why."""

    joint_kind: str
    because: str
    provenance: Provenance


@dataclass(frozen=True, slots=True)
class JointTables:
    """Everything that joints are worked out with, beside threads, parts and strengths."""

    nut_factors: NutFactors
    materials: TappedMaterials
    stock_lengths: tuple[StockLength, ...]
    nuts_for_bolts: tuple[NutForBolt, ...]
    governed: tuple[Governed, ...]

    def stock(self, system: System) -> tuple[StockLength, ...]:
        """Lengths kept in one system, shortest first."""
        return tuple(each for each in self.stock_lengths if each.system == system)

    def next_stock(self, needed_mm: float, system: System, longest_mm: float | None = None) -> StockLength | None:
        """The shortest length kept that is no shorter than needed and no longer than there is room for, or None."""
        for each in self.stock(system):
            if each.length_mm >= needed_mm - _SAME_MM:
                return each if longest_mm is None or each.length_mm <= longest_mm + _SAME_MM else None
        return None

    def nut_for(self, bolt: str) -> NutForBolt | None:
        """The weakest nut for a grade of bolt, or None where no rule was found."""
        return next((each for each in self.nuts_for_bolts if each.bolt == bolt), None)

    def governing(self, joint_kind: str) -> Governed | None:
        """Why a manual alone gives the torque of a kind of joint, or None where it does not."""
        return next((each for each in self.governed if each.joint_kind == joint_kind), None)


def load_joint_tables(root: Path, documents: Collection[str]) -> JointTables:
    """Read these tables below `root/reference/`, or raise `BadDataError` with all mistakes in them."""
    factors: list[NutFactors] = []
    materials: list[TappedMaterials] = []
    lengths: list[StockLength] = []
    pairs: list[NutForBolt] = []
    governed: list[Governed] = []
    gather(
        [
            lambda: factors.append(load_nut_factors(root, documents)),
            lambda: materials.append(load_tapped_materials(root, documents)),
            lambda: lengths.extend(
                read_table(
                    root / "reference" / "stock_lengths.csv",
                    columns=("system", "length", "note"),
                    key=("system", "length"),
                    make=_stock,
                    documents=documents,
                    shown_as=f"{root.name}/reference/stock_lengths.csv",
                )
            ),
            lambda: pairs.extend(
                read_table(
                    root / "reference" / "nut_for_bolt.csv",
                    columns=("bolt", "nut", "note"),
                    key=("bolt",),
                    make=lambda row: NutForBolt(
                        bolt=row.text("bolt"),
                        nut=row.text("nut"),
                        note=row.optional_text("note"),
                        provenance=row.provenance(),
                    ),
                    documents=documents,
                    shown_as=f"{root.name}/reference/nut_for_bolt.csv",
                )
            ),
            lambda: governed.extend(
                read_table(
                    root / "reference" / "torque_governed.csv",
                    columns=("joint_kind", "because"),
                    key=("joint_kind",),
                    make=lambda row: Governed(
                        joint_kind=row.text("joint_kind"), because=row.text("because"), provenance=row.provenance()
                    ),
                    documents=documents,
                    shown_as=f"{root.name}/reference/torque_governed.csv",
                )
            ),
        ]
    )
    return JointTables(factors[0], materials[0], tuple(sorted(lengths, key=_by_length)), tuple(pairs), tuple(governed))


def _by_length(each: StockLength) -> tuple[int, float]:
    return _SYSTEMS.index(each.system), each.length_mm


def _stock(row: Row) -> StockLength:
    system: Literal["inch", "metric"] = "inch" if row.choice("system", _SYSTEMS) == "inch" else "metric"
    written = row.text("length")
    try:
        length = parse_length(written)
    except QuantityError as error:
        raise CellError("length", f"'{written}'", "a length such as '1-1/4 in' or '30 mm'", f"{error}") from None
    if length.system != system:
        raise CellError("length", f"'{written}'", f"a length in the {system} system", "mend the length or the system")
    return StockLength(
        system=system,
        length_mm=length.mm,
        written=written,
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )
