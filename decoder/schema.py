"""JSON Schema of every kind of record, made from the record types, so that an editor completes and checks while typing.

An editor sees YAML's own guesses (`8.8` is a number there), so every plain value may be text or number here: the
records' reader takes both as the text that was typed. What only tables know (threads, grades) is given as examples.
"""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any, Literal, NewType, get_args, get_origin, get_type_hints

from decoder.checks import JOINT_RULES
from decoder.fields import KEY_SHAPE
from decoder.head_kinds import HeadKind
from decoder.kinds import Finish, HardwareKind, Material
from decoder.mark_records import MarkRecord
from decoder.overviews import Point
from decoder.records import Assembly, Condition, ConditionName, Count, JointKind, Vehicle
from decoder.reference import Reference
from decoder.sources import Source

Schema = dict[str, Any]

_DRAFT = "https://json-schema.org/draft/2020-12/schema"
_PLAIN: Schema = {"type": ["string", "number"]}
_KEY = f"^{KEY_SHAPE.pattern}$"

#: Types whose text has a shape that an editor can be told.
_SHAPED: Mapping[Any, Schema] = {
    Count: {"anyOf": [{"type": "integer", "minimum": 1}, {"type": "string", "pattern": "[0-9]"}]},
    Point: {"type": "string", "pattern": "^ *[0-9.]+ +[0-9.]+ *$"},
    Condition: {
        "anyOf": [{"enum": list(get_args(ConditionName))}, {"type": "string", "pattern": "^heat .*[0-9].*[A-Za-z]"}]
    },
}


@dataclass(frozen=True, slots=True)
class SchemaFile:
    """One schema: the name of its file, the record class it describes, and where such records lie."""

    name: str
    record: type[Any]
    places: tuple[str, ...]


#: Every kind of record. `places` are patterns below the records' folder; the first that fits a file is its own.
SCHEMAS: tuple[SchemaFile, ...] = (
    SchemaFile("vehicle", Vehicle, ("vehicles/*/vehicle.yml",)),
    SchemaFile("assembly", Assembly, ("vehicles/*/*.yml",)),
    SchemaFile("joint-kind", JointKind, ("joint-kinds/*.yml",)),
    SchemaFile("mark", MarkRecord, ("marks/*.yml",)),
    SchemaFile("source", Source, ("sources/*.yml",)),
    SchemaFile("nut-or-washer", HardwareKind, ("nuts/*.yml", "washers/*.yml")),
    SchemaFile("finish", Finish, ("finishes/*.yml",)),
    SchemaFile("material", Material, ("materials/*.yml",)),
    SchemaFile("head-or-drive", HeadKind, ("heads-and-drives/*.yml",)),
)


def schema_text(file: SchemaFile, reference: Reference) -> str:
    """The schema of one kind of record, as its file holds it."""
    return (
        json.dumps(schema_of(file.record, reference, f"{file.name}.schema.json"), indent=1, ensure_ascii=False) + "\n"
    )


def schema_of(record: type[Any], reference: Reference, name: str) -> Schema:
    """JSON Schema (draft 2020-12) of a record class; ids of other records are those of `reference`."""
    maker = _Maker(reference)
    body = maker.record(record)
    return {"$schema": _DRAFT, "$id": name, "title": record.__name__, **body, "$defs": dict(sorted(maker.defs.items()))}


class _Maker:
    """Turns record classes into schemas; classes met on the way become definitions."""

    def __init__(self, reference: Reference) -> None:
        self._ids = _ids(reference)
        self.defs: dict[str, Schema] = {}

    def record(self, record: Any) -> Schema:
        hints = get_type_hints(record)
        fields = [item for item in dataclasses.fields(record) if not item.metadata.get("from_file_name")]
        required = [
            item.name
            for item in fields
            if item.default is dataclasses.MISSING and item.default_factory is dataclasses.MISSING
        ]
        return {
            "description": _first_paragraph(record.__doc__ or ""),
            "type": "object",
            "properties": {item.name: self._field(item, hints[item.name]) for item in fields},
            **({"required": required} if required else {}),
            "additionalProperties": False,
        }

    def _field(self, item: dataclasses.Field[Any], hint: Any) -> Schema:
        words: Schema = {}
        if item.metadata.get("doc"):
            words["description"] = item.metadata["doc"]
        body = self._value(hint, item.metadata)
        example = item.metadata.get("example")
        if example and "enum" not in body:
            words["examples"] = [[example] if body.get("type") == "array" else example]
        return {**words, **body}

    def _value(self, hint: Any, metadata: Mapping[str, Any]) -> Schema:
        if hint in _SHAPED:
            return dict(_SHAPED[hint])
        origin = get_origin(hint)
        if origin in (typing.Union, types.UnionType):
            kinds = [kind for kind in get_args(hint) if kind is not type(None)]
            options = [self._value(kind, metadata) for kind in kinds]
            return options[0] if len(options) == 1 else {"anyOf": options}
        if origin is Literal:
            # Two types with the same words in another order are one type to Python: whichever came first.
            return {"enum": sorted(get_args(hint))}
        if origin is tuple:
            return {"type": "array", "items": self._value(get_args(hint)[0], metadata)}
        if origin is Mapping:
            key, inner = get_args(hint)
            return self._mapping(key, inner, metadata)
        if dataclasses.is_dataclass(hint) and any(item.metadata for item in dataclasses.fields(hint)):
            return self._reference(hint)
        refers = metadata.get("refers", "") if isinstance(hint, NewType) else ""
        return self._id(refers) if refers in self._ids else dict(_PLAIN)

    def _mapping(self, key: Any, inner: Any, metadata: Mapping[str, Any]) -> Schema:
        values = self._value(inner, {})
        if get_origin(key) is Literal:
            return {
                "type": "object",
                "properties": dict.fromkeys(sorted(get_args(key)), values),
                "additionalProperties": False,
            }
        names: Schema = {}
        if metadata.get("keyed"):
            names = {"propertyNames": {"pattern": _KEY}}
        elif metadata.get("refers"):
            names = {"propertyNames": self._id(metadata["refers"])}
        return {"type": "object", "additionalProperties": values, **names}

    def _id(self, refers: str) -> Schema:
        name = f"{refers.replace(' ', '-')}-id"
        self.defs.setdefault(name, {"enum": self._ids[refers]})
        return {"$ref": f"#/$defs/{name}"}

    def _reference(self, record: Any) -> Schema:
        name = record.__name__
        if name not in self.defs:
            self.defs[name] = {}
            self.defs[name] = self.record(record)
        return {"$ref": f"#/$defs/{name}"}


def _ids(reference: Reference) -> Mapping[str, list[str]]:
    """Ids that a field may take, by the words of `doc(refers=…)`. Documents are too many to be worth completing."""
    kinds: Mapping[str, Collection[Any]] = {
        "mark": list(reference.marks),
        "nut": list(reference.nuts),
        "washer": list(reference.washers),
        "finish": list(reference.finishes),
        "material": list(reference.materials),
        "joint kind": list(reference.joint_kinds.values()),
    }
    ids = {name: sorted(record.id for record in records) for name, records in kinds.items()}
    return {**ids, "rule": sorted(rule.code for rule in JOINT_RULES if rule.acceptable)}


def _first_paragraph(text: str) -> str:
    return " ".join(text.strip().split("\n\n")[0].split())
