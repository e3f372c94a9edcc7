"""Turns a tree of text into records, led by the type of each field.

Every mistake of a file is noted with its line; reading never stops at the first. A class of records needs nothing
beyond its frozen dataclass: field types say how text is read, `fields.doc` metadata says what to tell its author.
"""

from __future__ import annotations

import dataclasses
import difflib
import re
import types
import typing
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal, NewType, TypeVar, get_args, get_origin, get_type_hints

from decoder.fields import KEY_SHAPE, KEY_WORDS
from decoder.findings import BadDataError, Finding
from decoder.yaml_source import ListNode, MapNode, Node, PathPart, TextNode, line_of, path_text, read_yaml_file

T = TypeVar("T")

#: Reads one text; raises ValueError with one sentence that says what was found and how to write it.
TextReader = Callable[[str], Any]
FieldPath = tuple[PathPart, ...]

#: What a reader gives back where the text could not be used. Its finding is already noted.
_BAD: Any = object()


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a record was read: its file and the tree that knows the line of every field."""

    file: str
    root: Node

    def line(self, *path: PathPart) -> int:
        """Line of the field that `path` leads to, or of the nearest field around it."""
        return line_of(self.root, path)


def build(
    cls: type[T],
    node: Node,
    file: str,
    findings: list[Finding],
    *,
    readers: Mapping[Any, TextReader] | None = None,
    given: Mapping[str, object] | None = None,
) -> T | None:
    """Build one record, or note every mistake in it.

    Parameters
    ----------
    cls : type[T]
        A frozen dataclass. Its fields may be kinds of text, `Literal`, types named in `readers`, other such classes,
        tuples and mappings of these, and any of them or None.
    node : Node
        The tree of the file.
    file : str
        The path as messages name it.
    findings : list[Finding]
        Mistakes are added here.
    readers : Mapping, optional
        How the text of a type is read; each raises ValueError with one sentence.
    given : Mapping[str, object], optional
        Values of fields that do not stand in the file (an id from the file's name).

    Returns
    -------
    T | None
        None where a mistake leaves nothing to check further. A mapping whose field says `each_alone` keeps its good
        entries, so look at `findings` before trusting a record to be whole.
    """
    run = _Run(file, findings, dict(readers or {}))
    value = run.record(cls, node, (), node.line, given or {})
    return None if value is _BAD else value


def build_folder(
    cls: type[T],
    folder: Path,
    shown_as: str,
    findings: list[Finding],
    *,
    readers: Mapping[Any, TextReader] | None = None,
    id_field: str | None = "id",
) -> tuple[dict[str, T], dict[str, Origin]]:
    """Build every record of a folder: one `.yml` file each, the file's name without ending its id.

    Returns the records and their origins by id, in order of id. Anything else in the folder is a mistake, so that a
    misnamed file is not silently left out; names that start with a dot are left to the editor that made them.
    """
    records: dict[str, T] = {}
    origins: dict[str, Origin] = {}
    for path in record_files(folder, shown_as, findings):
        shown = f"{shown_as}/{path.name}"
        try:
            root = read_yaml_file(path, shown)
        except BadDataError as error:
            findings.extend(error.findings)
            continue
        given = {id_field: path.stem} if id_field else {}
        record = build(cls, root, shown, findings, readers=readers, given=given)
        if record is not None:
            records[path.stem] = record
            origins[path.stem] = Origin(shown, root)
    return records, origins


def record_files(folder: Path, shown_as: str, findings: list[Finding]) -> Iterable[Path]:
    """Record files of a folder in order of name; notes what is there but is no record file."""
    if not folder.is_dir():
        findings.append(_file_finding(shown_as, "no such folder", "a folder of .yml files", "restore the folder"))
        return ()
    good: list[Path] = []
    for path in sorted(folder.iterdir(), key=lambda path: path.name):
        if path.name.startswith("."):
            continue
        shown = f"{shown_as}/{path.name}"
        if not path.is_file():
            findings.append(_file_finding(shown, "a folder", "only .yml files", "move it elsewhere"))
        elif path.suffix != ".yml":
            findings.append(
                _file_finding(
                    shown, f"the ending '{path.suffix}'", "'.yml'", "give the file the ending .yml, or move it"
                )
            )
        elif not KEY_SHAPE.fullmatch(path.stem):
            findings.append(_file_finding(shown, f"the name '{path.stem}'", KEY_WORDS, "give the file such a name"))
        else:
            good.append(path)
    return good


@cache
def naming_key(cls: Any) -> str:
    """The field that names a class among others in one list: its first (`bolt`, `washer`, …)."""
    return dataclasses.fields(cls)[0].name


def choose_member(classes: Collection[Any], names: Collection[str]) -> list[Any]:
    """Classes whose naming key is among `names`.

    A key that names one class and is a plain field of another that is named too belongs to the other: an insert
    carries `tapped` for the material around it and is still no tapped hole.
    """
    named = [cls for cls in classes if naming_key(cls) in names]
    return [
        cls for cls in named if not any(other is not cls and naming_key(cls) in _field_names(other) for other in named)
    ]


@dataclass(frozen=True, slots=True)
class _Shape:
    """A field's type taken apart once: `choices` are those of a choice or of a mapping's names.

    A `leaf` is a type that only a reader can make; a record may have a reader too.
    """

    kind: Literal["text", "choice", "list", "mapping", "union", "record", "leaf"]
    hint: Any
    inner: tuple[_Shape, ...] = ()
    choices: tuple[str, ...] = ()


def _shape(hint: Any) -> _Shape:
    origin, inside = get_origin(hint), get_args(hint)
    if origin in (typing.Union, types.UnionType):
        kinds = tuple(_shape(kind) for kind in inside if kind is not type(None))
        return kinds[0] if len(kinds) == 1 else _Shape("union", hint, kinds)
    if origin is Literal:
        return _Shape("choice", hint, choices=inside)
    if origin is tuple:
        return _Shape("list", hint, (_shape(inside[0]),))
    if origin is Mapping:
        names = get_args(inside[0]) if get_origin(inside[0]) is Literal else ()
        return _Shape("mapping", hint, (_shape(inside[1]),), names)
    if isinstance(hint, NewType) or hint is str:
        return _Shape("text", hint)
    # A quantity is a dataclass too; without a reader it must not be taken for a record.
    is_record = dataclasses.is_dataclass(hint) and any(item.metadata for item in dataclasses.fields(hint))
    return _Shape("record" if is_record else "leaf", hint)


@dataclass(frozen=True, slots=True)
class _Field:
    """One field with what a message about it needs."""

    name: str
    shape: _Shape
    required: bool
    metadata: Mapping[str, Any]

    @property
    def expected(self) -> str:
        """What belongs here, in words."""
        words = self.metadata.get("doc") or _kind_words(self.shape)
        example = self.metadata.get("example")
        return f"{words}, such as '{example}'" if example else words


@cache
def _fields(cls: Any) -> tuple[_Field, ...]:
    hints = get_type_hints(cls)
    return tuple(
        _Field(
            item.name,
            _shape(hints[item.name]),
            item.default is dataclasses.MISSING and item.default_factory is dataclasses.MISSING,
            item.metadata,
        )
        for item in dataclasses.fields(cls)
    )


@cache
def _field_names(cls: Any) -> frozenset[str]:
    return frozenset(item.name for item in dataclasses.fields(cls))


class _Run:
    """One file being built: its name, its mistakes, and how its texts are read."""

    def __init__(self, file: str, findings: list[Finding], readers: dict[Any, TextReader]) -> None:
        self.file, self.findings, self.readers = file, findings, readers

    def note(self, code: str, node_line: int, path: FieldPath, found: str, expected: str, fix: str) -> Any:
        """Note a mistake and give back the mark of a bad value."""
        self.findings.append(
            Finding(
                level="error",
                code=code,
                file=self.file,
                line=node_line,
                field=path_text(path),
                found=found,
                expected=expected,
                fix=fix,
            )
        )
        return _BAD

    def record(self, cls: Any, node: Node, path: FieldPath, line: int, given: Mapping[str, object]) -> Any:
        if not isinstance(node, MapNode):
            return self._not_a_mapping(cls, node, path, line)
        values: dict[str, Any] = dict(given)
        known = [item for item in _fields(cls) if item.name not in given] if given else _fields(cls)
        strange = not node.entries.keys() <= _field_names(cls) or any(name in node.entries for name in given)
        meant = self._unknown_fields(node, path, [item.name for item in known]) if strange else None
        good = meant is None
        for item in known:
            child = node.entries.get(item.name)
            if child is None:
                if item.required:
                    good = False
                    if item.name not in (meant or ()):
                        self._missing(path, line, item)
                continue
            value = self.value(item.shape, child, (*path, item.name), item, node.key_lines[item.name])
            if value is _BAD:
                good = False
            else:
                values[item.name] = value
        return cls(**values) if good else _BAD

    def value(self, shape: _Shape, node: Node, path: FieldPath, item: _Field, line: int) -> Any:
        """Read one value; `item` is the field it belongs to, `line` where its name stands."""
        if shape.kind == "choice":
            return self._choice(shape.choices, node, path, item, line)
        if shape.kind == "list":
            return self._list(shape.inner[0], node, path, item, line)
        if shape.kind == "mapping":
            return self._mapping(shape, node, path, item, line)
        if shape.kind == "union":
            return self._union(shape.inner, node, path, item, line)
        reader = self.readers.get(shape.hint, str if shape.kind == "text" else None)
        if reader is not None:
            return self._read(reader, node, path, item, line)
        if shape.kind == "record":
            return self.record(shape.hint, node, path, line, {})
        raise TypeError(f"{path_text(path)}: no way to read {shape.hint!r}; add it to the readers")

    def _takes_text(self, shape: _Shape) -> bool:
        return shape.kind in ("text", "choice") or shape.hint in self.readers

    def _text(self, node: Node, path: FieldPath, item: _Field, line: int) -> str | None:
        if not isinstance(node, TextNode):
            what = "a list" if isinstance(node, ListNode) else "a mapping"
            self.note("shape", line, path, what, item.expected, "write one text here")
            return None
        text = node.text.strip()
        if not text:
            self.note(
                "shape",
                line,
                path,
                "nothing",
                item.expected,
                "write the value, or take the name out where nothing is known",
            )
            return None
        return text

    def _read(self, reader: TextReader, node: Node, path: FieldPath, item: _Field, line: int) -> Any:
        text = self._text(node, path, item, line)
        if text is None:
            return _BAD
        try:
            return reader(text)
        except ValueError as error:
            return self.note("value", line, path, f"'{text}'", item.expected, str(error).rstrip("."))

    def _choice(self, choices: tuple[str, ...], node: Node, path: FieldPath, item: _Field, line: int) -> Any:
        text = self._text(node, path, item, line)
        if text is None:
            return _BAD
        if text in choices:
            return text
        return self.note("choice", line, path, f"'{text}'", f"one of {', '.join(choices)}", did_you_mean(text, choices))

    def _list(self, inner: _Shape, node: Node, path: FieldPath, item: _Field, line: int) -> Any:
        if isinstance(node, TextNode) and node.text.strip() and self._takes_text(inner):
            return self.note(
                "shape", line, path, f"'{node.text}'", f"a list: {item.expected}", f"write [{node.text.strip()}]"
            )
        if not isinstance(node, ListNode):
            found = "nothing" if isinstance(node, TextNode) and not node.text.strip() else _node_words(node)
            return self.note("shape", line, path, found, f"a list: {item.expected}", "start each entry with '- '")
        if not node.items and item.required:
            return self.note("shape", line, path, "an empty list", f"a list: {item.expected}", "write at least one")
        values = [
            self.value(inner, child, (*path, number), item, child.line) for number, child in enumerate(node.items)
        ]
        return _BAD if any(value is _BAD for value in values) else tuple(values)

    def _mapping(self, shape: _Shape, node: Node, path: FieldPath, item: _Field, line: int) -> Any:
        if not isinstance(node, MapNode):
            found = "nothing" if isinstance(node, TextNode) and not node.text.strip() else _node_words(node)
            return self.note(
                "shape", line, path, found, f"names with values: {item.expected}", "write 'name: value' lines"
            )
        if not node.entries and item.required:
            return self.note("shape", line, path, "nothing inside", item.expected, "write at least one")
        values: dict[str, Any] = {}
        good = True
        for name, child in node.entries.items():
            here = (*path, name)
            at = node.key_lines[name]
            choices = shape.choices
            if choices and name not in choices:
                self.note("choice", at, here, f"'{name}'", f"one of {', '.join(choices)}", did_you_mean(name, choices))
                good = False
            if item.metadata.get("keyed") and not KEY_SHAPE.fullmatch(name):
                self.note("key-shape", at, here, f"the name '{name}'", KEY_WORDS, f"write '{_as_key(name)}'")
                good = False
            # The entry is not the field itself: its own words come from its class or kind.
            entry = dataclasses.replace(item, metadata={"doc": item.metadata.get("doc", "")})
            value = self.value(shape.inner[0], child, here, entry, at)
            if value is _BAD:
                good = good and bool(item.metadata.get("each_alone"))
            else:
                values[name] = value
        return types.MappingProxyType(values) if good else _BAD

    def _union(self, kinds: tuple[_Shape, ...], node: Node, path: FieldPath, item: _Field, line: int) -> Any:
        if all(kind.kind == "record" and kind.hint not in self.readers for kind in kinds):
            return self._member([kind.hint for kind in kinds], node, path, line)
        for kind in kinds:
            if self._takes_text(kind) == isinstance(node, TextNode):
                return self.value(kind, node, path, item, line)
        return self.note("shape", line, path, _node_words(node), item.expected, "write it in one of these ways")

    def _member(self, classes: list[Any], node: Node, path: FieldPath, line: int) -> Any:
        names = [naming_key(cls) for cls in classes]
        expected = f"one of {', '.join(names)} to say what it is"
        if not isinstance(node, MapNode):
            return self.note(
                "member", line, path, _node_words(node), expected, f"write {{{names[0]}: …, …}} with the kind first"
            )
        chosen = choose_member(classes, node.entries.keys())
        if len(chosen) == 1:
            return self.record(chosen[0], node, path, line, {})
        if chosen:
            both = " and ".join(naming_key(cls) for cls in chosen)
            return self.note("member", line, path, both, "one kind for each entry", "make it two entries of the list")
        found = f"only {', '.join(node.entries)}" if node.entries else "nothing inside"
        close = [(name, did) for name in node.entries if (did := _closest(name, names))]
        fix = (
            f"did you mean '{close[0][1]}' for '{close[0][0]}'?"
            if close
            else f"write what it is first: {{{names[0]}: …}}"
        )
        return self.note("member", line, path, found, expected, fix)

    def _not_a_mapping(self, cls: Any, node: Node, path: FieldPath, line: int) -> Any:
        items = [item for item in _fields(cls) if not item.metadata.get("from_file_name")]
        names = ", ".join(item.name for item in items if item.required) or ", ".join(item.name for item in items)
        text = node.text.strip() if isinstance(node, TextNode) else ""
        fix = f"write {{{items[0].name}: {text}}}" if text else "write 'name: value' lines"
        return self.note("shape", line, path, _node_words(node), f"a mapping with {names}", fix)

    def _unknown_fields(self, node: MapNode, path: FieldPath, known: list[str]) -> set[str] | None:
        """Note names that are no fields; None where there are none, else the fields that they are likely to mean."""
        strangers = [name for name in node.entries if name not in known]
        absent = [name for name in known if name not in node.entries]
        meant: set[str] = set()
        for name in strangers:
            close = _closest(name, absent)
            if close:
                meant.add(close)
            field, colon, _ = name.partition(":")
            fix = f"did you mean '{close}'?" if close else "remove it, or put what it says into a note"
            if colon and field in known:
                fix = f"put a blank after '{field}:'"
                meant.add(field)
            self.note(
                "unknown-field", node.key_lines[name], (*path, name), f"'{name}'", f"one of {', '.join(known)}", fix
            )
        return meant if strangers else None

    def _missing(self, path: FieldPath, line: int, item: _Field) -> None:
        value = item.metadata.get("example") or "…"
        self.note("missing-field", line, (*path, item.name), "nothing", item.expected, f"add '{item.name}: {value}'")


def did_you_mean(text: str, choices: Iterable[str]) -> str:
    """What to do about a word that is not among the choices."""
    close = _closest(text, choices)
    return f"did you mean '{close}'?" if close else "use one of these words"


def _closest(text: str, choices: Iterable[str]) -> str | None:
    known = {choice.lower().replace("_", " ").replace("-", " "): choice for choice in choices}
    asked = text.lower().replace("_", " ").replace("-", " ")
    close = difflib.get_close_matches(asked, known, n=1, cutoff=0.6)
    return known[close[0]] if close else None


def _as_key(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "a-name"


def _node_words(node: Node) -> str:
    if isinstance(node, TextNode):
        return f"'{node.text}'" if node.text.strip() else "nothing"
    return "a list" if isinstance(node, ListNode) else "a mapping"


def _kind_words(shape: _Shape) -> str:
    return f"one of {', '.join(shape.choices)}" if shape.kind == "choice" else "text"


def _file_finding(file: str, found: str, expected: str, fix: str) -> Finding:
    return Finding(
        level="error", code="file-name", file=file, line=1, field="file", found=found, expected=expected, fix=fix
    )
