"""Puts right in record files what a machine can: order of joints, spelling of names, blanks, the line for editors.

Lines are moved and words replaced in the text itself, so comments and layout stay. Every result is read again and
compared with what stood there before; a file whose meaning would change is left as it is.
"""

from __future__ import annotations

import difflib
import itertools
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from decoder.build import build
from decoder.checks.cases import Lookup
from decoder.checks.walking import names
from decoder.fields import GradeName, RecordId, ThreadName
from decoder.findings import Finding
from decoder.records import READERS, Assembly, Nut
from decoder.schema import SCHEMAS, SchemaFile
from decoder.strength import Grade
from decoder.threads import Thread
from decoder.yaml_source import ListNode, MapNode, Node, PathPart, TextNode, line_of, read_yaml

FieldPath = tuple[PathPart, ...]

_EDITOR_LINE = re.compile(r"#\s*yaml-language-server:.*")


@dataclass(frozen=True, slots=True)
class Fixed:
    """The text of a file put right, and what was done to it, in words. No words: nothing was."""

    text: str
    did: tuple[str, ...]


class WouldChangeError(ValueError):
    """Putting a file right would change what it says, so it is left alone; the message says where."""


def fix_record(text: str, schema_line: str | None, *, sort: bool, lookup: Lookup | None) -> Fixed:
    """Put one record file right.

    Parameters
    ----------
    text : str
        The file as it is.
    schema_line : str or None
        Its first line, which tells editors the schema; None leaves the first line alone.
    sort : bool
        True for an assembly, whose joints stand in the order of their names.
    lookup : Lookup or None
        With it, threads, grades and ids of an assembly are written as they are printed.

    Raises
    ------
    BadDataError
        Where the text cannot be read.
    WouldChangeError
        Where the result would say something else.
    """
    before = read_yaml(text, "record")
    did: list[str] = []
    steps: list[tuple[str, Callable[[str], str]]] = [("tidied line ends and blanks", _tidy)]
    if schema_line is not None:
        steps.append(("wrote the line that tells editors the schema", lambda old: _with_first_line(old, schema_line)))
    for words, step in steps:
        new = step(text)
        if new != text:
            did.append(words)
            text = new
    expected = _plain(before)
    if lookup is not None:
        for change in _rename(text, lookup):
            did.append(f"wrote '{change.old}' as '{change.new}'")
            text = change.text
            expected = _replaced(expected, change.path, change.new)
    if sort:
        ordered = _sort_joints(text)
        if ordered != text:
            did.append("sorted the joints by name")
            text = ordered
    after = read_yaml(text, "record")
    if _plain(after) != expected:
        raise WouldChangeError("it would no longer say the same; put its joints in order by hand")
    return Fixed(text, tuple(dict.fromkeys(did)))


def schema_line(path: Path, root: Path) -> str | None:
    """The first line of a record file below `root`, None where it has no schema there."""
    schema = schema_for(path, root)
    if schema is None or not (root / "schema" / f"{schema.name}.schema.json").is_file():
        return None
    up = "../" * (len(path.relative_to(root).parts) - 1)
    return f"# yaml-language-server: $schema={up}schema/{schema.name}.schema.json"


def schema_for(path: Path, root: Path) -> SchemaFile | None:
    """The kind of record that a file below `root` holds."""
    place = path.relative_to(root)
    return next((file for file in SCHEMAS for pattern in file.places if place.match(pattern)), None)


def record_paths(root: Path) -> Iterator[Path]:
    """Every record file below `root`, in order of path."""
    paths = {path for file in SCHEMAS for pattern in file.places for path in root.glob(pattern)}
    yield from sorted(path for path in paths if path.is_file() and not path.name.startswith("."))


def is_assembly(path: Path, root: Path) -> bool:
    """Whether a file below `root` holds an assembly."""
    file = schema_for(path, root)
    return file is not None and file.record is Assembly


# Blanks and first line.


def _tidy(text: str) -> str:
    """Line feeds alone, no byte order mark, one line end at the end, no blanks at line ends that mean nothing."""
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n")
    plain = plain.rstrip("\n") + "\n"
    stripped = "\n".join(line.rstrip(" \t") for line in plain.split("\n"))
    return stripped if _plain(read_yaml(stripped, "record")) == _plain(read_yaml(plain, "record")) else plain


def _with_first_line(text: str, line: str) -> str:
    first, _, rest = text.partition("\n")
    return f"{line}\n{rest}" if _EDITOR_LINE.fullmatch(first) else f"{line}\n{text}"


# Names as they are printed.


@dataclass(frozen=True, slots=True)
class _Change:
    path: FieldPath
    old: str
    new: str
    text: str


def _rename(text: str, lookup: Lookup) -> Iterator[_Change]:
    """Names that are written otherwise than printed, one at a time, each with the text after it was changed."""
    root = read_yaml(text, "record")
    mistakes: list[Finding] = []
    record = build(Assembly, root, "record", mistakes, readers=READERS)
    if record is None:
        return
    for named in names(record):
        new = _printed(named.kind, named.holder, named.text, lookup)
        old = _text_at(root, named.path)
        if new is None or old is None or old == new:
            continue
        changed = _replace_on_line(text, line_of(root, named.path), old, new)
        if changed is not None:
            text = changed
            yield _Change(named.path, old, new, text)


def _printed(kind: Any, holder: Any, text: str, lookup: Lookup) -> str | None:
    """The one way a name is printed, None where it is not known which."""
    if kind is ThreadName:
        thread = lookup.thread_or_reason(text)
        return thread.designation if isinstance(thread, Thread) else None
    if kind is GradeName:
        grade = lookup.grade_or_reason(text, "nut" if isinstance(holder, Nut) else "bolt")
        return grade.name if isinstance(grade, Grade) else None
    return text if kind is RecordId else None


def _replace_on_line(text: str, number: int, old: str, new: str) -> str | None:
    """The text with one value replaced, None where the line does not show which of its words that value is."""
    lines = text.split("\n")
    value = re.compile(rf"(:\s+[\"']?){re.escape(old)}(?=[\"']?\s*(?:[,}}#]|$))")
    if len(value.findall(lines[number - 1])) != 1 or not _is_plain(new):
        return None
    lines[number - 1] = value.sub(lambda match: match[1] + new, lines[number - 1])
    return "\n".join(lines)


def _is_plain(new: str) -> bool:
    """Whether a name needs no quotes anywhere in YAML."""
    return re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9 ./-]*", new) is not None


# Joints.


def _sort_joints(text: str) -> str:
    """Joints in order of name: each with the comments above it; empty lines stay where they separate."""
    root = read_yaml(text, "record")
    joints = root.entries.get("joints") if isinstance(root, MapNode) else None
    if not isinstance(joints, MapNode) or list(joints.entries) == sorted(joints.entries):
        return text
    lines = text.split("\n")
    starts = [joints.key_lines[name] - 1 for name in joints.entries]
    if not _stands_in_lines(lines, starts):
        return text
    end = _end_of_joints(lines, starts)
    first = _with_comments(lines, starts[0], root.key_lines["joints"] if isinstance(root, MapNode) else 0)
    begins = [
        first,
        *(_with_comments(lines, start, before + 1) for before, start in itertools.pairwise(starts)),
    ]
    blocks: dict[str, list[str]] = {}
    gaps: list[list[str]] = []
    for name, begin, until in zip(joints.entries, begins, [*begins[1:], end], strict=True):
        block = lines[begin:until]
        blank = next((number for number, line in enumerate(reversed(block)) if line.strip()), 0)
        gaps.append(block[len(block) - blank :])
        blocks[name] = block[: len(block) - blank]
    sorted_lines: list[str] = []
    for name, gap in zip(sorted(blocks), gaps, strict=True):
        sorted_lines += [*blocks[name], *gap]
    return "\n".join([*lines[:first], *sorted_lines, *lines[end:]])


def _stands_in_lines(lines: list[str], starts: list[int]) -> bool:
    """Whether each joint begins a line of its own, at one depth (and not all inside braces)."""
    indents = {len(lines[start]) - len(lines[start].lstrip(" ")) for start in starts}
    return len(set(starts)) == len(starts) and len(indents) == 1 and indents != {0}


def _end_of_joints(lines: list[str], starts: list[int]) -> int:
    """First line after the last joint: the next name or comment at the left margin, or the file's end."""
    indent = len(lines[starts[0]]) - len(lines[starts[0]].lstrip(" "))
    number = starts[-1] + 1
    last = number
    while number < len(lines):
        line = lines[number]
        depth = len(line) - len(line.lstrip(" "))
        if line.strip() and depth < indent:
            break
        if line.strip():
            last = number + 1
        number += 1
    return last


def _with_comments(lines: list[str], start: int, least: int) -> int:
    """First line of the comments directly above a joint, which go with it."""
    indent = len(lines[start]) - len(lines[start].lstrip(" "))
    begin = start
    while begin > least:
        line = lines[begin - 1]
        if not line.lstrip(" ").startswith("#") or len(line) - len(line.lstrip(" ")) > indent:
            break
        begin -= 1
    return begin


# Comparing.


def _plain(node: Node) -> Any:
    """The tree without lines; mappings compare without regard to order."""
    if isinstance(node, TextNode):
        return node.text
    if isinstance(node, ListNode):
        return [_plain(item) for item in node.items]
    return {name: _plain(child) for name, child in node.entries.items()}


def _replaced(plain: Any, path: FieldPath, new: str) -> Any:
    """The plain tree with one value replaced."""
    if not path:
        return new
    copy: Any = dict(plain) if isinstance(plain, dict) else list(plain)
    copy[path[0]] = _replaced(plain[path[0]], path[1:], new)
    return copy


def _text_at(node: Node, path: FieldPath) -> str | None:
    for part in path:
        if isinstance(node, MapNode) and isinstance(part, str) and part in node.entries:
            node = node.entries[part]
        elif isinstance(node, ListNode) and isinstance(part, int) and part < len(node.items):
            node = node.items[part]
        else:
            return None
    return node.text.strip() if isinstance(node, TextNode) else None


def show_change(old: str, new: str, file: str) -> str:
    """A unified diff, for a look before anything is written."""
    return "".join(difflib.unified_diff(old.splitlines(True), new.splitlines(True), file, file, n=1))
