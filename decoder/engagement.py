"""What a tapped material stands: tensile and shear stress, pressure under a head, and the thread that shops ask for.

A casting of a decades-old vehicle is of no known alloy, so the weakest figure that a document gives is taken, and each
says so.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path

from decoder.tables import CellError, Provenance, Row, read_table

#: What a row gives, with the only unit it may have and the span that is physical.
_WHATS: dict[str, tuple[str, float, float]] = {
    "tensile": ("MPa", 50, 1500),
    "shear share": ("of tensile", 0.4, 1.5),
    "bearing": ("MPa", 50, 1500),
    "engagement": ("diameters", 0.5, 3),
}
_COLUMNS = ("material", "what", "value", "unit", "note")


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialFigure:
    """One figure for one material, as one document gives it."""

    material: str
    what: str
    value: float
    note: str | None
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class TappedMaterial:
    """A material as a thread or a head finds it; None where no figure was found.

    `tensile_mpa` is the weakest that any row gives, `shear_mpa` that times its share, `bearing_mpa` the least
    pressure that a row allows, `engagement_diameters` the longest thread that a rule asks for.
    """

    id: str
    tensile_mpa: float | None
    shear_mpa: float | None
    bearing_mpa: float | None
    engagement_diameters: float | None
    figures: tuple[MaterialFigure, ...]


class TappedMaterials:
    """Materials that have figures, by the id of their record."""

    def __init__(self, figures: Collection[MaterialFigure]) -> None:
        by_material: dict[str, list[MaterialFigure]] = {}
        for figure in figures:
            by_material.setdefault(figure.material, []).append(figure)
        self._materials = {name: _material(name, rows) for name, rows in by_material.items()}

    def __iter__(self) -> Iterator[TappedMaterial]:
        return iter(self._materials.values())

    def __len__(self) -> int:
        return len(self._materials)

    def get(self, material: str) -> TappedMaterial | None:
        """The figures of a material, or None where the table has none."""
        return self._materials.get(material)


def _material(name: str, rows: list[MaterialFigure]) -> TappedMaterial:
    values = {what: [row.value for row in rows if row.what == what] for what in _WHATS}
    tensile = min(values["tensile"], default=None)
    share = min(values["shear share"], default=None)
    return TappedMaterial(
        id=name,
        tensile_mpa=tensile,
        shear_mpa=None if tensile is None or share is None else tensile * share,
        bearing_mpa=min(values["bearing"], default=None),
        engagement_diameters=max(values["engagement"], default=None),
        figures=tuple(rows),
    )


def load_tapped_materials(root: Path, documents: Collection[str]) -> TappedMaterials:
    """Read `root/reference/engagement_materials.csv`, or raise `BadDataError` with all mistakes in it."""
    return TappedMaterials(
        read_table(
            root / "reference" / "engagement_materials.csv",
            columns=_COLUMNS,
            key=("material", "what", "document", "where"),
            make=_figure,
            documents=documents,
            shown_as=f"{root.name}/reference/engagement_materials.csv",
        )
    )


def _figure(row: Row) -> MaterialFigure:
    what = row.choice("what", _WHATS)
    unit, low, high = _WHATS[what]
    row.choice("unit", (unit,))
    value = row.number("value")
    if not low <= value <= high:
        raise CellError("value", f"{value:g}", f"{low:g} to {high:g} {unit}", "compare it with the source")
    return MaterialFigure(
        material=row.text("material"),
        what=what,
        value=value,
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )
