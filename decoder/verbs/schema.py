"""`decoder schema`: writes the schemas that editors complete and check records with, or says whether they are fresh."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from decoder.batches import UsageError
from decoder.command import Data
from decoder.schema import SCHEMAS, schema_text

NAME = "schema"
HELP = "write the schemas that editors complete and check records with"
EXAMPLES = ("decoder schema", "decoder schema --check")


def configure(parser: argparse.ArgumentParser) -> None:
    """Add whether to compare only."""
    parser.add_argument("--check", action="store_true", help="write nothing; say which schemas are out of date")


def answer(options: argparse.Namespace, data: Data) -> Mapping[str, Any]:
    """Each schema's file and whether it was fresh, was written, or is stale."""
    root = data.records_root
    if not options.check and root.name == "_data":
        raise UsageError("schema: there is no site_data/ here to write to: go to a checkout, or write --data FOLDER.")
    folder = root / "schema"
    states: list[dict[str, str]] = []
    for schema in SCHEMAS:
        path = folder / f"{schema.name}.schema.json"
        text = schema_text(schema, data.reference)
        states.append({"file": path.as_posix(), "state": _settle(path, text, write=not options.check)})
    wanted = {f"{schema.name}.schema.json" for schema in SCHEMAS}
    for path in sorted(folder.glob("*.schema.json")) if folder.is_dir() else ():
        if path.name not in wanted:
            states.append({"file": path.as_posix(), "state": "describes nothing; delete it"})
    return {"schemas": states}


def status(result: Mapping[str, Any]) -> int:
    """1 where a schema does not say what the records do."""
    return 1 if any(schema["state"] not in ("fresh", "written") for schema in result["schemas"]) else 0


def words(result: Mapping[str, Any]) -> str:
    """One line a schema that is not fresh, or that all are."""
    lines = [f"{schema['file']}: {schema['state']}" for schema in result["schemas"] if schema["state"] != "fresh"]
    if any(line.endswith(": stale") for line in lines):
        lines.append("Run `decoder schema` and commit what it writes.")
    return "\n".join(lines) or f"All {len(result['schemas'])} schemas are fresh."


def _settle(path: Path, text: str, *, write: bool) -> str:
    if path.is_file() and path.read_text(encoding="utf-8") == text:
        return "fresh"
    if not write:
        return "stale"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="\n")
    return "written"
