"""The data of the page that works torques out: every table that `decoder torque` uses, in one script.

The page's script computes with these numbers and says these sentences, so that phone and command give one answer.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any, TypeAlias

from decoder.engagement import TappedMaterial
from decoder.joint_torque import kind_governs
from decoder.kinds import Finish, Material, plain_name
from decoder.loads import STEEL_SHEAR_SHARE, shear_areas
from decoder.nut_factors import LUBRICANTS, NOT_ON_THE_THREAD, WORDS, NutFactors
from decoder.reference import Reference
from decoder.strength import NO_MARK, Grade, StrengthRow, as_written
from decoder.tables import Provenance
from decoder.threads import LIKELIEST, SERIES_MEANT, Thread
from decoder.tightening import (
    CHART,
    DRAG,
    FAMILIES_OF,
    HOLE_SHARE,
    NO_TORQUE_FAMILIES,
    PRELOAD_SHARE,
    REUSED,
    SCATTER,
    SOFT,
    SOFT_METAL_SHARE,
    SOFT_METALS,
    STAINLESS,
    STRIPPING,
    WIDE_BAND,
    is_stainless,
)
from decoder.tightening_texts import TEXTS

Json: TypeAlias = dict[str, Any]


def build_torque_data(reference: Reference) -> bytes:
    """The data as UTF-8 JSON; the same tables always give the same bytes."""
    return json.dumps(_Data(reference).all(), ensure_ascii=False, separators=(",", ":")).encode()


def build_torque_script(reference: Reference) -> bytes:
    """The data as a classic script that sets `window.decoderTorqueData`, for pages opened as files."""
    return b"window.decoderTorqueData=" + build_torque_data(reference) + b";\n"


class _Data:
    """Gathers the tables; places where values were read lie in one list, named by their number."""

    def __init__(self, reference: Reference) -> None:
        self._reference = reference
        self._places: dict[tuple[str, str], int] = {}

    def all(self) -> Json:
        reference = self._reference
        tables = reference.joint_tables
        made: Json = {
            "format": 1,
            "preload_share": PRELOAD_SHARE,
            "hole_share": HOLE_SHARE,
            "soft_metal_share": SOFT_METAL_SHARE,
            "soft_metals": SOFT_METALS,
            "steel_shear_share": STEEL_SHEAR_SHARE,
            "wide_band": WIDE_BAND,
            "no_torque_families": NO_TORQUE_FAMILIES,
            "likeliest": LIKELIEST,
            "series_meant": SERIES_MEANT,
            "families_of": FAMILIES_OF,
            "no_mark": NO_MARK,
            "threads": self._threads(reference.threads),
            "grades": [self._grade(grade) for grade in reference.strengths],
            "lubricants": LUBRICANTS,
            "lubricant_words": WORDS,
            "not_on_the_thread": NOT_ON_THE_THREAD.pattern,
            "finishes": self._finishes(reference.finishes, tables.nut_factors),
            "materials": self._materials(reference.materials, tables.materials),
            "joints": [
                [kind.id, kind.title, kind_governs(kind.id, reference)] for kind in reference.joint_kinds.values()
            ],
            "chart": [self._place(place) for place in (CHART, SCATTER)],
            "reused": self._place(REUSED),
            "drag": self._place(DRAG),
            "soft": self._place(SOFT),
            "stripping": self._place(STRIPPING),
            "texts": TEXTS,
        }
        documents = dict.fromkeys(document for document, _ in self._places)
        made["places"] = [list(place) for place in self._places]
        made["documents"] = {
            document: reference.sources[document].full_title if document in reference.sources else None
            for document in documents
        }
        return made

    def _place(self, provenance: Provenance) -> int:
        return self._places.setdefault((provenance.document, provenance.where), len(self._places))

    def _threads(self, threads: Iterable[Thread]) -> Json:
        columns: Json = {name: [] for name in ("designation", "family", "size", "series", "tpi", "pitch", "major",
                                               "area", "external", "internal", "place")}  # fmt: skip
        for thread in threads:
            areas = None if thread.family in NO_TORQUE_FAMILIES else shear_areas(thread)
            row = (
                thread.designation, thread.family, thread.size, thread.series, thread.threads_per_inch,
                thread.pitch_mm, thread.major_mm, thread.stress_area_mm2, areas and areas.external,
                areas and areas.internal, self._place(thread.provenance),
            )  # fmt: skip
            for column, value in zip(columns.values(), row, strict=True):
                column.append(value)
        return columns

    def _grade(self, grade: Grade) -> Json:
        return {
            "name": grade.name,
            "part": grade.part,
            "standard": grade.standard,
            "stainless": is_stainless(grade),
            "writings": sorted({as_written(text) for text in (grade.name, *grade.also_written)}),
            "place": self._place(grade.provenance),
            "rows": [self._row(row) for row in grade.rows],
        }

    def _row(self, row: StrengthRow) -> Json:
        return {
            "from": row.size_min_mm,
            "to": row.size_max_mm,
            "proof": row.proof_mpa,
            "yield": row.yield_mpa,
            "tensile": row.tensile_mpa,
            "minimum": row.provenance.basis == "minimum",
            "place": self._place(row.provenance),
        }

    def _finishes(self, finishes: Iterable[Finish], factors: NutFactors) -> list[Json]:
        named = [(finish.id, str(finish.title), _names(finish)) for finish in finishes]
        # A material, and here what matters of it is how it rubs.
        named.append((STAINLESS, "Stainless steel", [STAINLESS, "stainless-steel"]))
        return [
            {"id": id_, "title": title_, "names": names, "factors": self._bands(id_, factors)}
            for id_, title_, names in named
        ]

    def _bands(self, finish: str, factors: NutFactors) -> Json:
        bands: Json = {}
        for lubricant in LUBRICANTS:
            band = factors.band(finish, lubricant)
            if band is not None:
                bands[lubricant] = {
                    "low": band.k_low,
                    "high": band.k_high,
                    "usual": band.k_usual,
                    "cited": band.is_cited,
                    "places": [self._place(row.provenance) for row in band.rows],
                }
        return bands

    def _materials(self, materials: Iterable[Material], figures: Iterable[TappedMaterial]) -> list[Json]:
        by_id = {figure.id: figure for figure in figures}
        made = []
        for material in materials:
            figure = by_id.get(material.id)
            made.append(
                {
                    "id": material.id,
                    "title": material.title,
                    "names": _names(material),
                    "known": figure is not None,
                    "shear": figure and figure.shear_mpa,
                    "diameters": figure and figure.engagement_diameters,
                    "places": [
                        self._place(each.provenance)
                        for each in (figure.figures if figure else ())
                        if each.what in ("tensile", "shear share")
                    ],
                }
            )
        return made


def _names(kind: Finish | Material) -> list[str]:
    return sorted({plain_name(name) for name in (kind.id, kind.title, *kind.also_called)})
