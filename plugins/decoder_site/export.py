"""The same facts as JSON: one file a table below `data/`, one a vehicle in its folder, each with its schema beside it.

Both are made from the types of the records and tables, so that neither can lag behind. A length is an object with its
millimetres and what was written; units stand in the names. No line numbers: they change with every edit.
"""

from __future__ import annotations

import dataclasses
import json
import types
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, NewType, Union, get_args, get_origin, get_type_hints

from decoder.circlips import Circlip
from decoder.disagreements import Disagreement
from decoder.fleet import FleetVehicle
from decoder.head_kinds import HeadKind
from decoder.hexagons import Hexagon
from decoder.kinds import Finish, HardwareKind, Material
from decoder.mark_records import MarkRecord
from decoder.nut_drag import Drag
from decoder.records import FORMAT_VERSION, Assembly, JointKind, Vehicle
from decoder.reference import Reference
from decoder.sources import Source
from decoder.spanners import Spanner
from decoder.split_pins import PinHole, SplitPin
from decoder.strength import Grade
from decoder.tables import Provenance
from decoder.thread_uses import ThreadUse
from decoder.threads import Limits, Thread, limits
from decoder.washers import Washer

#: Where a record stands is for the people who mend it; the data is for those who use it.
_LEFT_OUT: Mapping[Any, tuple[str, ...]] = {Provenance: ("file", "line")}

_SIMPLE: Mapping[Any, str] = {str: "string", float: "number", int: "integer", bool: "boolean"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadFacts:
    """A thread with what follows from it; lengths in mm, the stress area in mm²."""

    designation: str
    slug: str
    family: str
    series: str
    size: str
    form: str
    flank_angle_deg: float
    crest: str
    major_mm: float
    pitch_mm: float
    threads_per_inch: float | None
    pitch_diameter_mm: float
    minor_external_mm: float
    minor_internal_mm: float
    stress_area_mm2: float
    stress_area_formula: str
    lead_angle_deg: float
    tap_drill_mm: float | None
    tap_drill_from: str | None
    limits: tuple[Limits, ...]
    note: str
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadUseFacts:
    """Where a vehicle meets a thread."""

    use: str
    designation: str
    detail: str
    note: str
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class VehicleFacts:
    """A vehicle with its assemblies, by the names in their addresses."""

    format: int
    vehicle: Vehicle
    assemblies: Mapping[str, Assembly]


def data_files(reference: Reference) -> Iterator[tuple[str, bytes]]:
    """Every table and kind of record, with its schema, and a list of them all."""
    tables: tuple[tuple[str, Any, Iterable[Any]], ...] = (
        ("threads", ThreadFacts, map(_thread_facts, reference.threads)),
        ("hexagons", Hexagon, reference.hexagons),
        ("spanners", Spanner, reference.spanners),
        ("strengths", Grade, reference.strengths),
        ("marks", MarkRecord, (mark.record for mark in reference.marks)),
        ("nuts", HardwareKind, reference.nuts),
        ("washers", HardwareKind, reference.washers),
        ("heads-and-drives", HeadKind, reference.heads),
        ("finishes", Finish, reference.finishes),
        ("materials", Material, reference.materials),
        ("joint-kinds", JointKind, reference.joint_kinds.values()),
        ("thread-uses", ThreadUseFacts, map(_thread_use_facts, reference.thread_uses)),
        ("nut-drags", Drag, reference.nut_drags),
        ("washer-sizes", Washer, reference.washer_sizes),
        ("split-pins", SplitPin, reference.split_pins.pins),
        ("split-pin-holes", PinHole, reference.split_pins.holes),
        ("circlips", Circlip, reference.circlips.rings),
        ("disagreements", Disagreement, reference.disagreements),
        ("sources", Source, reference.sources.values()),
    )
    listed = []
    for name, cls, rows in tables:
        values = [plain(row) for row in rows]
        listed.append({"name": name, "data": f"{name}.json", "schema": f"{name}.schema.json", "count": len(values)})
        yield f"data/{name}.json", to_bytes(values)
        yield f"data/{name}.schema.json", to_bytes(schema_of_list(cls))
    yield "data/vehicle.schema.json", to_bytes(schema_of(VehicleFacts))
    yield "data/index.json", to_bytes({"licence": "CC0-1.0", "tables": listed})


def vehicle_file(vehicle: FleetVehicle) -> bytes:
    """All records of one vehicle."""
    facts = VehicleFacts(
        format=FORMAT_VERSION,
        vehicle=vehicle.record,
        assemblies={slug: assembly.record for slug, assembly in vehicle.assemblies.items()},
    )
    return to_bytes(plain(facts))


def to_bytes(value: Any) -> bytes:
    """JSON that reads well in a diff."""
    return (json.dumps(value, ensure_ascii=False, indent=1) + "\n").encode()


def plain(value: Any) -> Any:
    """A record or row as JSON takes it."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {item.name: plain(getattr(value, item.name)) for item in _fields(type(value))}
    if isinstance(value, Mapping):
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, tuple):
        return [plain(one) for one in value]
    return value


def schema_of_list(cls: Any) -> dict[str, Any]:
    """The schema of a list of records."""
    definitions: dict[str, Any] = {}
    items = _schema(cls, definitions)
    return {"$schema": _DRAFT, "type": "array", "items": items, "$defs": definitions}


def schema_of(cls: Any) -> dict[str, Any]:
    """The schema of one record."""
    definitions: dict[str, Any] = {}
    return {"$schema": _DRAFT, **_schema(cls, definitions), "$defs": definitions}


_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def _fields(cls: Any) -> Iterator[dataclasses.Field[Any]]:
    return (item for item in dataclasses.fields(cls) if item.name not in _LEFT_OUT.get(cls, ()))


def _schema(hint: Any, definitions: dict[str, Any]) -> dict[str, Any]:
    if isinstance(hint, NewType):
        return _schema(hint.__supertype__, definitions)
    if hint in _SIMPLE:
        return {"type": _SIMPLE[hint]}
    if hint is type(None):
        return {"type": "null"}
    origin, inside = get_origin(hint), get_args(hint)
    if origin is Literal:
        return {"enum": list(inside)}
    if origin in (Union, types.UnionType):
        return {"anyOf": [_schema(one, definitions) for one in inside]}
    if origin is tuple:
        return {"type": "array", "items": _schema(inside[0], definitions)}
    if origin is not None and issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": _schema(inside[1], definitions)}
    if not dataclasses.is_dataclass(hint):
        raise TypeError(f"no schema for {hint!r}")
    name = getattr(hint, "__name__", "")
    if name not in definitions:
        definitions[name] = {}  # a place for records that hold their own kind
        definitions[name] = _record_schema(hint, definitions)
    return {"$ref": f"#/$defs/{name}"}


def _record_schema(cls: Any, definitions: dict[str, Any]) -> dict[str, Any]:
    hints = get_type_hints(cls)
    properties = {}
    for item in _fields(cls):
        words = item.metadata.get("doc")
        properties[item.name] = {**_schema(hints[item.name], definitions), **({"description": words} if words else {})}
    about = " ".join((cls.__doc__ or "").split("\n\n")[0].split())
    return {
        "type": "object",
        "description": about,
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _thread_use_facts(use: ThreadUse) -> ThreadUseFacts:
    return ThreadUseFacts(
        use=use.use,
        designation=use.thread.designation,
        detail=use.detail,
        note=use.note,
        provenance=use.provenance,
    )


def _thread_facts(thread: Thread) -> ThreadFacts:
    return ThreadFacts(
        designation=thread.designation,
        slug=thread.slug,
        family=thread.family,
        series=thread.series,
        size=thread.size,
        form=thread.form.name,
        flank_angle_deg=thread.form.flank_angle_deg,
        crest=thread.form.crest,
        major_mm=thread.major_mm,
        pitch_mm=thread.pitch_mm,
        threads_per_inch=thread.threads_per_inch,
        pitch_diameter_mm=thread.pitch_diameter_mm,
        minor_external_mm=thread.minor_external_mm,
        minor_internal_mm=thread.minor_internal_mm,
        stress_area_mm2=thread.stress_area_mm2,
        stress_area_formula=thread.stress_area_formula,
        lead_angle_deg=thread.lead_angle_deg,
        tap_drill_mm=thread.tap_drill_mm,
        tap_drill_from=thread.tap_drill_from,
        limits=limits(thread),
        note=thread.note,
        provenance=thread.provenance,
    )
