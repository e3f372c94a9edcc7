"""`decoder check`: whether records and tables add up, every finding with its file and line and how to mend it."""

from __future__ import annotations

import argparse
import dataclasses
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from decoder.annotations import (
    ChangedLines,
    ChangeError,
    annotation,
    lines_changed_since,
    lines_of_diff,
    on_changed_lines,
)
from decoder.batches import UsageError, about_file
from decoder.checks import check_fleet
from decoder.command import Data
from decoder.findings import BadDataError, Finding
from decoder.fleet import Fleet, load_fleet
from decoder.paths import reference_root
from decoder.reference import load_reference
from decoder.verbs._records_place import RecordsPlace, records_place

NAME = "check"
HELP = "whether records and tables add up: every mistake with its file, line and mend"
EXAMPLES = (
    "decoder check",
    "decoder check site_data/vehicles/pannier-utility/engine-front.yml",
    "decoder check --format github --changed-since origin/main",
)

FORMATS = ("text", "json", "github")


def configure(parser: argparse.ArgumentParser) -> None:
    """Add what is checked, how it is printed, and which lines count."""
    parser.add_argument(
        "path",
        metavar="PATH",
        nargs="?",
        help="folder of records, or a folder or file below one (default: all records)",
    )
    parser.add_argument(
        "--format", choices=FORMATS, default="text", help="text for people, json, or github annotations"
    )
    parser.add_argument("--notes", action="store_true", help="show notes too: findings that are accepted or unchecked")
    parser.add_argument(
        "--changed-since",
        metavar="REV",
        help="put findings on lines changed since this revision first, and only annotate these",
    )
    parser.add_argument(
        "--diff", metavar="FILE", help="the same for the lines of a unified diff (- for standard input)"
    )


def answer(options: argparse.Namespace, data: Data) -> Mapping[str, Any]:
    """All findings below the path, and how much was read."""
    options.json = options.json or options.format == "json"
    place = records_place(options.path, data)
    of_tables, of_records, fleet = _check(place)
    # A broken table is everybody's: no record can be held against it.
    here = [*of_tables, *(finding for finding in of_records if place.holds(finding.file))]
    lines = _changed_lines(options, place)
    changed = on_changed_lines(here, lines) if lines is not None else frozenset()
    listed: list[dict[str, Any]] = []
    for finding in here:
        listed.append(dataclasses.asdict(finding))
        if lines is not None:
            listed[-1]["on_changed_line"] = finding in changed
    return {"findings": listed, "counts": _counts(fleet, place, here)}


def status(result: Mapping[str, Any]) -> int:
    """1 where there is an error, on whatever line."""
    return 1 if result["counts"]["errors"] else 0


def words(result: Mapping[str, Any]) -> str:
    """Errors, then warnings, each on one line, and what was read."""
    return "\n".join(_text(result["findings"], result["counts"], notes=False))


def render(result: Mapping[str, Any], options: argparse.Namespace) -> str:
    """The same as the format asks."""
    findings, counts = result["findings"], result["counts"]
    if options.format != "github":
        return "\n".join(_text(findings, counts, notes=options.notes))
    kept = [finding for finding in findings if finding["level"] != "note" or options.notes]
    beside = [finding for finding in kept if finding.get("on_changed_line", True)]
    others = [finding for finding in kept if not finding.get("on_changed_line", True)]
    lines = [annotation(_finding(finding)) for finding in beside]
    if others:
        lines += ["On lines that were not changed:", *map(_line, others)]
    return "\n".join([*lines, _summary(counts)])


def _check(place: RecordsPlace) -> tuple[list[Finding], list[Finding], Fleet]:
    """Findings of tables and of records. Where tables cannot be used, records are read but not held against them."""
    own = (place.root / "reference").is_dir()
    tables = place.root if own else reference_root()
    fleet = load_fleet(place.root, place.shown)
    try:
        reference = load_reference(tables)
    except BadDataError as error:
        shown_tables = place.shown if own else tables.name
        return [_moved(finding, tables, shown_tables) for finding in error.findings], [*fleet.findings], fleet
    return [], list(check_fleet(fleet, reference)), fleet


def _moved(finding: Finding, tables: Path, shown_as: str) -> Finding:
    """A finding of the tables, whose file begins with their folder or its name, as seen from the current folder."""
    for prefix in (f"{tables.as_posix()}/", f"{tables.name}/", "site_data/"):
        if finding.file.startswith(prefix):
            return dataclasses.replace(finding, file=f"{shown_as}/{finding.file.removeprefix(prefix)}")
    return finding


def _changed_lines(options: argparse.Namespace, place: RecordsPlace) -> ChangedLines | None:
    if options.changed_since and options.diff:
        raise UsageError("--changed-since and --diff both say what changed: write one of them.")
    try:
        if options.changed_since:
            return lines_changed_since(options.changed_since, place.root)
        if options.diff == "-":
            return lines_of_diff(sys.stdin.read())
        if options.diff:
            return lines_of_diff(Path(options.diff).read_text(encoding="utf-8", errors="replace"))
    except ChangeError as error:
        raise UsageError(str(error)) from error
    except OSError as error:
        raise UsageError(about_file(error)) from error
    return None


def _counts(fleet: Fleet, place: RecordsPlace, findings: Sequence[Finding]) -> dict[str, int]:
    assemblies = [
        assembly
        for vehicle in fleet.vehicles.values()
        for assembly in vehicle.assemblies.values()
        if place.holds(assembly.origin.file)
    ]
    return {
        "vehicles": len({assembly.vehicle for assembly in assemblies}),
        "assemblies": len(assemblies),
        "joints": sum(len(assembly.joints) for assembly in assemblies),
        "errors": sum(finding.level == "error" for finding in findings),
        "warnings": sum(finding.level == "warning" for finding in findings),
    }


def _text(findings: Sequence[Mapping[str, Any]], counts: Mapping[str, int], *, notes: bool) -> Iterator[str]:
    for level in ("error", "warning", "note"):
        if level == "note" and not notes:
            continue
        some = [finding for finding in findings if finding["level"] == level]
        # Changed lines first, where a change is given.
        for finding in sorted(some, key=lambda finding: not finding.get("on_changed_line", True)):
            yield _line(finding)
    hidden = 0 if notes else sum(finding["level"] == "note" for finding in findings)
    yield _summary(counts, hidden)


def _line(finding: Mapping[str, Any]) -> str:
    level = "" if finding["level"] == "error" else f"{finding['level']}: "
    return f"{_finding(finding)} [{level}{finding['code']}]"


def _finding(values: Mapping[str, Any]) -> Finding:
    return Finding(**{name: value for name, value in values.items() if name != "on_changed_line"})


def _summary(counts: Mapping[str, int], notes: int = 0) -> str:
    errors, warnings = (_count(counts[name], name[:-1]) for name in ("errors", "warnings"))
    read = ", ".join(_count(counts[name], one) for name, one in _THINGS)
    more = f" {_count(notes, 'note')} not shown; --notes shows them." if notes else ""
    return f"{errors}, {warnings} in {read}.{more}"


_THINGS = (("vehicles", "vehicle"), ("assemblies", "assembly"), ("joints", "joint"))


def _count(number: int, one: str) -> str:
    many = one[:-1] + "ies" if one.endswith("y") else one + "s"
    return f"{number or 'no'} {one if number == 1 else many}"
