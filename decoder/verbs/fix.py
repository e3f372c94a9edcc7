"""`decoder fix`: puts right in record files what a machine can, and changes nothing that they say."""

from __future__ import annotations

import argparse
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from decoder.checks.cases import Lookup
from decoder.command import Data
from decoder.findings import BadDataError
from decoder.fixer import WouldChangeError, fix_record, is_assembly, record_paths, schema_line, show_change
from decoder.verbs._records_place import records_place

NAME = "fix"
HELP = "put right in records what a machine can: order of joints, spelling of names, blanks"
EXAMPLES = ("decoder fix", "decoder fix --dry-run")


def configure(parser: argparse.ArgumentParser) -> None:
    """Add where, and whether to show only."""
    parser.add_argument(
        "path",
        metavar="PATH",
        nargs="?",
        help="folder of records, or a folder or file below one (default: all records)",
    )
    parser.add_argument("--dry-run", action="store_true", help="write nothing; show what would change")


def answer(options: argparse.Namespace, data: Data) -> Mapping[str, Any]:
    """What was put right in which file, and which files were left alone and why."""
    place = records_place(options.path, data)
    lookup = _lookup(data)
    changed: list[dict[str, Any]] = []
    left: list[dict[str, str]] = []
    for path in record_paths(place.root):
        file = f"{place.shown}/{path.relative_to(place.root).as_posix()}"
        if not place.holds(file):
            continue
        try:
            text = path.read_bytes().decode("utf-8")
            assembly = is_assembly(path, place.root)
            fixed = fix_record(text, schema_line(path, place.root), sort=assembly, lookup=lookup if assembly else None)
        except (BadDataError, UnicodeDecodeError):
            left.append({"file": file, "why": "it cannot be read; `decoder check` says where"})
            continue
        except WouldChangeError as error:
            left.append({"file": file, "why": str(error)})
            continue
        if fixed.did:
            changed.append({"file": file, "did": list(fixed.did), "diff": show_change(text, fixed.text, file)})
            if not options.dry_run:
                _write(path, fixed.text)
    return {"changed": changed, "left": left, "written": not options.dry_run}


def words(result: Mapping[str, Any]) -> str:
    """One line a file; the lines that would change where nothing was written."""
    lines: list[str] = []
    for change in result["changed"]:
        lines.append(f"{change['file']}: {'; '.join(change['did'])}")
        if not result["written"]:
            lines.append(change["diff"].rstrip("\n"))
    lines += [f"{each['file']}: left alone, since {each['why']}" for each in result["left"]]
    return "\n".join(lines) or "Nothing to put right."


def _lookup(data: Data) -> Lookup | None:
    """What names are held against; without sound tables names are left as they are, and `check` says what is wrong."""
    try:
        return Lookup(data.reference)
    except BadDataError:
        return None


def _write(path: Path, text: str) -> None:
    """Replace a file whole: a run that is killed leaves the old one."""
    handle, name = tempfile.mkstemp(prefix=".fix-", dir=path.parent)
    with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
        stream.write(text)
    made = Path(name)
    made.chmod(path.stat().st_mode & 0o777)
    made.replace(path)
