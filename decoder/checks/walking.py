"""Finds the fields of a record that name something elsewhere: a thread, a grade, a record of another kind."""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, NewType, get_args, get_origin, get_type_hints

from decoder.checks.rules import FieldPath
from decoder.fields import GradeName, RecordId, ThreadName

_NAMES: tuple[Any, ...] = (ThreadName, GradeName, RecordId)


@dataclass(frozen=True, slots=True)
class Named:
    """One field's text: what kind of name it is, to which kind of record it refers, and the record it stands in."""

    path: FieldPath
    kind: NewType
    refers: str
    text: str
    holder: Any


def names(record: Any, path: FieldPath = ()) -> Iterator[Named]:
    """Every name in a record and in the records inside it."""
    for field, kind, refers in _plan(record.__class__):
        value = getattr(record, field)
        if value is None:
            continue
        here = (*path, field)
        if kind is not None:
            yield Named(here, kind, refers, value, record)
        else:
            yield from _inside(value, here)


def _inside(value: Any, path: FieldPath) -> Iterator[Named]:
    if isinstance(value, tuple):
        for number, item in enumerate(value):
            yield from _inside(item, (*path, number))
    elif isinstance(value, Mapping):
        for name, item in value.items():
            yield from _inside(item, (*path, name))
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        yield from names(value, path)


@cache
def _plan(cls: Any) -> tuple[tuple[str, Any, str], ...]:
    """Fields worth looking into: the kind of name each holds, None for those that may hold records."""
    hints = get_type_hints(cls)
    plan: list[tuple[str, Any, str]] = []
    for item in dataclasses.fields(cls):
        kinds = _alternatives(hints[item.name])
        kind = next((kind for kind in kinds if kind in _NAMES), None)
        if kind is not None:
            plan.append((item.name, kind, item.metadata.get("refers", "")))
        elif any(get_origin(kind) in (tuple, Mapping) or _is_record(kind) for kind in kinds):
            plan.append((item.name, None, ""))
    return tuple(plan)


def _alternatives(hint: Any) -> tuple[Any, ...]:
    return get_args(hint) if get_origin(hint) in (typing.Union, types.UnionType) else (hint,)


def _is_record(hint: Any) -> bool:
    return dataclasses.is_dataclass(hint) and any(
        # Quantities are dataclasses too, without anything to say about their fields.
        item.metadata
        for item in dataclasses.fields(hint)
    )
