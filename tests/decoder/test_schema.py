"""The schemas are sound, fresh, take every record there is, and refuse what the records' reader refuses by shape."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from decoder.command import run
from decoder.reference import Reference
from decoder.schema import SCHEMAS, SchemaFile, schema_of, schema_text
from decoder.yaml_source import ListNode, Node, TextNode, read_yaml_file

ROOT = Path(__file__).parent.parent.parent
SITE_DATA = ROOT / "site_data"
BAD_RECORDS = ROOT / "tests" / "bad_records"


def records() -> list[tuple[SchemaFile, Path]]:
    """Every record file with its schema."""
    found: dict[Path, SchemaFile] = {}
    for schema in SCHEMAS:
        for place in schema.places:
            for path in SITE_DATA.glob(place):
                found.setdefault(path, schema)
    return [(schema, path) for path, schema in sorted(found.items())]


def as_text(node: Node) -> Any:
    """The record as our own reader sees it: every value text."""
    if isinstance(node, TextNode):
        return node.text
    if isinstance(node, ListNode):
        return [as_text(item) for item in node.items]
    return {name: as_text(child) for name, child in node.entries.items()}


class _EditorLoader(yaml.SafeLoader):
    """YAML as editors read it: version 1.2, where `no` is text and `1:20` is no number."""


_EditorLoader.yaml_implicit_resolvers = {
    first: [pair for pair in pairs if pair[0] in ("tag:yaml.org,2002:int", "tag:yaml.org,2002:float")]
    for first, pairs in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def as_editor(path: Path) -> Any:
    """The record as an editor sees it: plain numbers are numbers."""
    return yaml.load(path.read_text(encoding="utf-8"), Loader=_EditorLoader)


@pytest.fixture(scope="module")
def validators(reference: Reference) -> dict[str, Draft202012Validator]:
    """A validator for each kind of record."""
    return {
        file.name: Draft202012Validator(schema_of(file.record, reference, f"{file.name}.schema.json"))
        for file in SCHEMAS
    }


@pytest.mark.parametrize("file", SCHEMAS, ids=lambda file: file.name)
def test_schemas_are_sound(file: SchemaFile, reference: Reference) -> None:
    """Valid by the draft's own schema, and every definition is used."""
    schema = schema_of(file.record, reference, "x")
    Draft202012Validator.check_schema(schema)
    text = json.dumps(schema)
    assert all(f'"#/$defs/{name}"' in text for name in schema["$defs"])


@pytest.mark.parametrize("file", SCHEMAS, ids=lambda file: file.name)
def test_committed_schemas_are_fresh(file: SchemaFile, reference: Reference) -> None:
    """`decoder schema` writes them anew after a field or a kind was added."""
    path = SITE_DATA / "schema" / f"{file.name}.schema.json"
    assert path.read_text(encoding="utf-8") == schema_text(file, reference), "run `decoder schema`"


@pytest.mark.parametrize(("file", "path"), records(), ids=lambda value: getattr(value, "stem", ""))
def test_every_record_fits_its_schema(
    file: SchemaFile, path: Path, validators: dict[str, Draft202012Validator]
) -> None:
    """Both as our reader sees it and as an editor does; a schema that refuses good records is worse than none."""
    validator = validators[file.name]
    for instance in (as_text(read_yaml_file(path)), as_editor(path)):
        assert [f"{error.json_path}: {error.message}" for error in validator.iter_errors(instance)] == []


@pytest.mark.parametrize(
    "name",
    [
        "unknown-field",
        "unknown-field-misspelt",
        "missing-field",
        "shape-list-for-text",
        "shape-text-for-list",
        "choice-duty",
        "choice-head",
        "value-count",
        "value-temperature",
        "member-misspelt",
        "member-two-kinds",
        "key-shape",
        "unknown-reference-mark",
        "unknown-reference-kind",
        "unknown-reference-material",
        "accepted-unknown",
        "accepted-refused",
    ],
)
def test_bad_records_are_refused_while_typing(name: str, validators: dict[str, Draft202012Validator]) -> None:
    """What the editor can know it says before anything is sent."""
    assert not validators["assembly"].is_valid(as_editor(BAD_RECORDS / f"{name}.yml"))


def test_fields_carry_the_words_of_the_record_types(reference: Reference) -> None:
    """An editor shows them beside the field."""
    schema = schema_of(SCHEMAS[1].record, reference, "x")
    length = schema["$defs"]["Bolt"]["properties"]["length"]
    assert length["description"] == "under the head to the tip"
    assert length["examples"] == ["1-1/4 in"]
    assert "radial-lines-3" in schema["$defs"]["mark-id"]["enum"]


def test_the_command_writes_and_compares(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Written once, fresh after; a changed file is stale, and one that describes nothing is named."""
    (tmp_path / "vehicles").mkdir()
    at = ["--data", str(tmp_path)]
    assert run(["schema", "--check", *at]) == 1
    assert "assembly.schema.json: stale" in capsys.readouterr().out
    assert run(["schema", *at]) == 0
    assert run(["schema", "--check", *at]) == 0
    assert "All 9 schemas are fresh." in capsys.readouterr().out
    (tmp_path / "schema" / "mark.schema.json").write_text("{}")
    (tmp_path / "schema" / "bolt.schema.json").write_text("{}")
    assert run(["schema", "--check", "--json", *at]) == 1
    states = {Path(each["file"]).name: each["state"] for each in json.loads(capsys.readouterr().out)["schemas"]}
    assert states["mark.schema.json"] == "stale"
    assert states["bolt.schema.json"] == "describes nothing; delete it"
    assert states["assembly.schema.json"] == "fresh"
