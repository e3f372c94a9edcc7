"""What a record may say: every field read, shown and carried on as typed, hostile text among it."""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Literal, NewType, get_args, get_origin, get_type_hints

import pytest
import yaml
from decoder_site.export import plain

from decoder.build import build, naming_key
from decoder.checks import check_fleet
from decoder.checks.cases import Lookup
from decoder.checks.walking import names
from decoder.command import run
from decoder.fields import GradeName, ThreadName
from decoder.findings import Finding
from decoder.fleet import load_fleet
from decoder.quantities import QuantityError
from decoder.records import (
    READERS,
    Assembly,
    Condition,
    Joint,
    JointKind,
    Member,
    Nut,
    Stated,
    Temperature,
    ThreadedEnd,
    Vehicle,
    parse_condition,
    parse_record_id,
)
from decoder.reference import Reference
from decoder.yaml_source import PathPart, read_yaml
from tests.decoder.records_under_test import MAP, OVERVIEW, RECORD, VEHICLE, write_fleet

#: Text that would run, fill in or lead away if anything took it for more than text.
HOSTILE = '<b onclick="x">&amp;</b> {{ 7*7 }} {% raw %} [a](javascript:alert(1)) \' " # \\ `x` <script>'


def whole(hint: Any, metadata: Mapping[str, Any]) -> Any:
    """A value for a field with everything in it that the type allows, as YAML would hold it."""
    if hint in READERS and hint not in _EXAMPLES:
        raise AssertionError(f"no example for {hint}")
    if hint in _EXAMPLES:
        return _EXAMPLES[hint]
    if isinstance(hint, NewType):
        return metadata.get("example") or "some words"
    origin, inside = get_origin(hint), get_args(hint)
    if origin in (typing.Union, types.UnionType):
        kinds = [kind for kind in inside if kind is not type(None)]
        # Of a number and a mapping the mapping holds more.
        return whole(kinds[-1], metadata)
    if origin is Literal:
        return inside[0]
    if origin is tuple:
        inner = inside[0]
        members = get_args(inner) if get_origin(inner) in (typing.Union, types.UnionType) else (inner,)
        return [whole(member, metadata) for member in members]
    if origin is Mapping:
        names = get_args(inside[0]) if get_origin(inside[0]) is Literal else ("a-name",)
        return {names[0]: whole(inside[1], metadata)}
    return whole_record(hint)


def whole_record(cls: Any) -> dict[str, Any]:
    """A record with every field filled in."""
    hints = get_type_hints(cls)
    return {
        item.name: whole(hints[item.name], item.metadata)
        for item in dataclasses.fields(cls)
        if not item.metadata.get("from_file_name")
    }


_EXAMPLES: Mapping[Any, str] = dict(
    zip(READERS, ("9 mm", "24 tpi", "12 N·m", "120 °C", "90°", "4", "heat 120 °C", "an-id", "50 20", "12"), strict=True)
)


def free_texts(value: Any, hint: Any, path: tuple[PathPart, ...] = ()) -> Iterator[tuple[PathPart, ...]]:
    """Paths of all fields of a whole record whose text is free."""
    origin, inside = get_origin(hint), get_args(hint)
    if origin in (typing.Union, types.UnionType):
        kinds = [kind for kind in inside if kind is not type(None)]
        if isinstance(value, dict) and all(dataclasses.is_dataclass(kind) for kind in kinds):
            kinds = [kind for kind in kinds if next(iter(value)) == naming_key(kind)]
        yield from free_texts(value, kinds[-1], path)
    elif isinstance(hint, NewType):
        if hint not in READERS:
            yield path
    elif origin is tuple:
        for number, item in enumerate(value):
            yield from free_texts(item, inside[0], (*path, number))
    elif origin is Mapping:
        for name, item in value.items():
            yield from free_texts(item, inside[1], (*path, name))
    elif dataclasses.is_dataclass(hint) and hint not in READERS:
        hints = get_type_hints(hint)
        for name, item in value.items():
            yield from free_texts(item, hints[name], (*path, name))


def with_text(value: Any, path: tuple[PathPart, ...], text: str) -> Any:
    """A copy with one text replaced."""
    if not path:
        return text
    copy = dict(value) if isinstance(value, dict) else list(value)
    copy[path[0]] = with_text(copy[path[0]], path[1:], text)
    return copy


def at(value: Any, path: tuple[PathPart, ...]) -> Any:
    """What stands at a path of a record or of its JSON."""
    for part in path:
        value = getattr(value, part) if isinstance(part, str) and not isinstance(value, Mapping) else value[part]
    return value


def read(cls: Any, value: Any) -> tuple[Any, list[Finding]]:
    """The record that YAML of a value makes."""
    text = yaml.safe_dump(value, allow_unicode=True, default_style="'", sort_keys=False, width=10**6)
    findings: list[Finding] = []
    record = build(cls, read_yaml(text, "r.yml"), "r.yml", findings, readers=READERS, given=_GIVEN.get(cls))
    return record, findings


_GIVEN: Mapping[Any, Mapping[str, object]] = {JointKind: {"id": "a-kind"}}
KINDS = (Assembly, Vehicle, JointKind)
FREE = [(cls, path) for cls in KINDS for path in free_texts(whole_record(cls), cls)]


@pytest.mark.parametrize("cls", KINDS, ids=lambda cls: cls.__name__)
def test_a_record_with_every_field_is_read(cls: Any) -> None:
    """Every field of the format is there from the start and comes out of reading filled."""
    record, findings = read(cls, whole_record(cls))
    assert findings == []
    assert list(_empty(record)) == []


def _empty(value: Any, path: str = "") -> Iterator[str]:
    if value is None or value == () or value == {}:
        # A length that was written without ± has no tolerance, a pitch in mm no threads an inch.
        if not path.endswith(("tolerance_mm", "threads_per_inch")):
            yield path
    elif isinstance(value, tuple):
        for number, item in enumerate(value):
            yield from _empty(item, f"{path}[{number}]")
    elif isinstance(value, Mapping):
        for name, item in value.items():
            yield from _empty(item, f"{path}.{name}")
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from _empty(getattr(value, field.name), f"{path}.{field.name}")


def test_free_texts_are_found_in_every_kind_of_part() -> None:
    """The list that the next test walks is not short by mistake: each member of a stack has its note."""
    notes = {path for cls, path in FREE if cls is Assembly and path[-1] == "note" and path[2] == "stack"}
    assert len(notes) == len(get_args(Member))
    assert len(FREE) > 80


@pytest.mark.parametrize(
    ("cls", "path"), FREE, ids=lambda value: value.__name__ if isinstance(value, type) else ".".join(map(str, value))
)
def test_hostile_text_is_carried_as_typed(cls: Any, path: tuple[PathPart, ...]) -> None:
    """Through reading, typing and JSON, in every free text of every kind of record."""
    record, findings = read(cls, with_text(whole_record(cls), path, HOSTILE))
    assert findings == []
    assert at(record, path) == HOSTILE
    assert at(json.loads(json.dumps(plain(record))), path) == HOSTILE


def test_hostile_text_is_carried_through_findings(
    tmp_path: Path, reference: Reference, capsys: pytest.CaptureFixture[str]
) -> None:
    """In words, in JSON and as an annotation, where it must not begin a command of its own."""
    bad = HOSTILE.replace("'", "''") + " ::error::x%0A"
    record = RECORD.replace("mark: radial-lines-3", f"mark: '{bad}'").replace("kind: timing-cover", f"kind: '{bad}'")
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE + MAP, "record.yml": record + OVERVIEW})
    found = check_fleet(load_fleet(root), reference)
    assert [finding.code for finding in found] == ["unknown-reference"] * 2
    assert run(["check", str(root), "--json"]) == 1
    listed = json.loads(capsys.readouterr().out)["findings"]
    assert [each["found"] for each in listed] == [finding.found for finding in found]
    assert run(["check", str(root), "--format", "github"]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert [line.split(" ")[0] for line in lines[:2]] == ["::error", "::error"]
    assert len(lines) == 3
    assert "%250A" in lines[0]


@pytest.mark.parametrize(
    ("text", "condition"),
    [
        ("oil", Condition(name="oil")),
        ("heat", Condition(name="heat")),
        ("heat 120 °C", Condition(name="heat", temperature=Temperature(120.0))),
        ("heat 250 °F", Condition(name="heat", temperature=Temperature((250 - 32) / 1.8))),
        ("brake fluid", Condition(name="brake fluid")),
    ],
)
def test_conditions_are_read(text: str, condition: Condition) -> None:
    """A name, and for heat its temperature."""
    read_back = parse_condition(text)
    assert read_back.name == condition.name
    assert read_back.temperature == (None if condition.temperature is None else pytest.approx(condition.temperature))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("oill", "did you mean 'oil'; heat alone takes a temperature, such as heat 120 °C."),
        ("oil 120 °C", "write one of dry, oil, water,"),
        ("heat 120", "'120' has no scale: write 120 °C or 120 °F."),
        ("heat hot", "'hot' is not a temperature"),
    ],
)
def test_conditions_that_say_nothing_are_refused(text: str, words: str) -> None:
    """In one sentence that says how to write it."""
    with pytest.raises(QuantityError) as raised:
        parse_condition(text)
    assert str(raised.value).startswith(words)


def test_ids_may_be_written_as_people_say_them() -> None:
    """The file is called cast-iron."""
    assert parse_record_id("Cast iron") == "cast-iron"
    assert parse_record_id("cast-iron") == "cast-iron"
    assert parse_record_id("Cast/iron!") == "Cast/iron!", "what is no id is shown as it was typed"


def test_every_field_says_what_it_holds() -> None:
    """The words stand in the editor, in messages and on the page of the format."""
    seen: set[Any] = set()

    def visit(hint: Any) -> None:
        for inner in get_args(hint):
            visit(inner)
        if dataclasses.is_dataclass(hint) and hint not in READERS and hint not in seen:
            seen.add(hint)
            for name, inner in get_type_hints(hint).items():
                field = next(item for item in dataclasses.fields(hint) if item.name == name)
                assert field.metadata.get("doc"), f"{hint.__name__}.{name}"
                visit(inner)

    for cls in KINDS:
        visit(cls)
    assert len(seen) > 15


def test_examples_can_be_written_as_they_stand(reference: Reference) -> None:
    """A message that says `add 'kind: …'` must not lead into the next mistake."""
    lookup = Lookup(reference)
    tried = 0
    for cls in (Joint, Stated, ThreadedEnd, *get_args(Member)):
        for named in names(cls(**_examples(cls))):
            tried += 1
            if named.kind is ThreadName:
                assert lookup.thread(named.text), named
            elif named.kind is GradeName:
                assert lookup.grade(named.text, "nut" if cls is Nut else "bolt"), named
            else:
                assert parse_record_id(named.text) in lookup.ids(named.refers), named
    assert tried >= 15


def _examples(cls: Any) -> dict[str, Any]:
    """Every field of a class with its example as text, None without one."""
    return {item.name: item.metadata.get("example") or None for item in dataclasses.fields(cls)}


def test_the_members_of_a_stack_are_told_apart_by_their_first_field() -> None:
    """`bolt:` makes a bolt: each class is named by its own first field."""
    assert [naming_key(cls) for cls in get_args(Member)] == [cls.__name__.lower() for cls in get_args(Member)]
