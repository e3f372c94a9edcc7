"""Reads a record file: YAML to a tree of plain text that remembers the line of every field.

Nothing is guessed: `8.80` stays `8.80`, `no` stays `no`, `1:20` stays `1:20`. A key written twice, an anchor, an alias,
a tag or a merge key is a mistake and not a feature, and files made to exhaust memory or the stack are refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import yaml

from decoder.findings import BadDataError, Finding

#: A record is a page of text. Past these bounds a file is a mistake or an attack, and reading on helps nobody.
MAX_BYTES = 1_000_000
MAX_DEPTH = 16
MAX_NODES = 100_000

#: The compiled parser reads the same events more than ten times as fast; some builds of PyYAML come without it.
_LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

PathPart: TypeAlias = str | int


@dataclass(frozen=True, slots=True)
class TextNode:
    """A value as written, without its quotes."""

    text: str
    line: int


@dataclass(frozen=True, slots=True)
class ListNode:
    """Values in order."""

    items: tuple[Node, ...]
    line: int


@dataclass(frozen=True, slots=True)
class MapNode:
    """Named values in the order of the file; `key_lines` holds the line of each name."""

    entries: Mapping[str, Node]
    key_lines: Mapping[str, int]
    line: int


Node: TypeAlias = TextNode | ListNode | MapNode


def line_of(node: Node, path: tuple[PathPart, ...]) -> int:
    """Line of the field that `path` leads to, or of the last part of the way there that is written down."""
    line = node.line
    for part in path:
        if isinstance(node, MapNode) and isinstance(part, str) and part in node.entries:
            line, node = node.key_lines[part], node.entries[part]
        elif isinstance(node, ListNode) and isinstance(part, int) and part < len(node.items):
            node = node.items[part]
            line = node.line
        else:
            break
    return line


def path_text(path: tuple[PathPart, ...]) -> str:
    """A path as messages write it: `joints.cover-to-block.stack[0].length`."""
    words = ""
    for part in path:
        words += f"[{part}]" if isinstance(part, int) else f".{part}" if words else part
    return words or "file"


def read_yaml_file(path: Path, shown_as: str | None = None) -> Node:
    """Read one file; messages name it `shown_as`. Raises BadDataError."""
    shown = shown_as or path.as_posix()
    try:
        with path.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise BadDataError(
            [_finding(shown, 1, "yaml-file", reason.lower(), "a file that can be read", "restore the file")]
        ) from None
    if len(data) > MAX_BYTES:
        raise BadDataError([_too_big(shown)])
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"the byte 0x{data[error.start]:02X}, which is not UTF-8"
        raise BadDataError(
            [_finding(shown, line, "yaml-encoding", found, "text in UTF-8", "save the file as UTF-8")]
        ) from None
    return read_yaml(text, shown)


def read_yaml(text: str, file: str) -> Node:
    """Read the text of one file.

    Parameters
    ----------
    text : str
        YAML, one document. A byte order mark at its start and Windows line ends are fine.
    file : str
        The path as messages should name it.

    Returns
    -------
    Node
        Text, list or mapping; every scalar is text.

    Raises
    ------
    BadDataError
        With every repeated key, anchor, alias, tag and merge key, and the place where the text stops being YAML.
    """
    text = text.removeprefix("\ufeff")
    if len(text.encode("utf-8", "surrogatepass")) > MAX_BYTES:
        raise BadDataError([_too_big(file)])
    findings = list(_forbidden_characters(text, file))
    if findings:
        raise BadDataError(findings)
    reader = _Reader(text, file)
    try:
        root = reader.read()
    except yaml.MarkedYAMLError as error:
        reader.findings.append(_syntax_finding(error, text, file))
        raise BadDataError(reader.findings) from None
    except yaml.YAMLError as error:
        reader.findings.append(_finding(file, 1, "yaml-syntax", str(error).splitlines()[0], "YAML", "mend the text"))
        raise BadDataError(reader.findings) from None
    if reader.findings:
        raise BadDataError(reader.findings)
    if root is None:
        raise BadDataError(
            [_finding(file, 1, "yaml-syntax", "nothing but blanks and comments", "a record", "write it")]
        )
    return root


class _Open:
    """A list or mapping whose end has not come yet."""

    __slots__ = ("entries", "is_map", "items", "key", "key_end", "key_line", "key_lines", "line")

    def __init__(self, is_map: bool, line: int) -> None:
        self.is_map, self.line = is_map, line
        self.items: list[Node] = []
        self.entries: dict[str, Node] = {}
        self.key_lines: dict[str, int] = {}
        self.key: str | None = None
        self.key_line = 0
        self.key_end: Any = None


class _Stop(Exception):  # noqa: N818 - ends the reading of a file whose findings are already noted
    pass


_GLUED = re.compile(r"\s#\w")


class _Reader:
    """Builds the tree from the parser's events, so that nothing is built from a file that breaks a bound."""

    def __init__(self, text: str, file: str) -> None:
        self.text, self.file = text, file
        #: Lines with a number sign that YAML may drop, by their number; most files have none.
        self.glued = {number: line for number, line in enumerate(text.splitlines()) if _GLUED.search(line)}
        self.findings: list[Finding] = []
        self.open: list[_Open] = []
        self.root: Node | None = None
        self.nodes = 0

    def read(self) -> Node | None:
        documents = 0
        try:
            for event in yaml.parse(self.text, Loader=_LOADER):
                if isinstance(event, yaml.ScalarEvent):
                    self._scalar(event)
                elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
                    self._start(event)
                elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
                    self._end()
                elif isinstance(event, yaml.AliasEvent):
                    self._refuse(event, f"the alias *{event.anchor}", "the values themselves", "write the values out")
                    self._put(TextNode("", _line(event)), _line(event))
                elif isinstance(event, yaml.DocumentStartEvent):
                    documents += 1
                    self._document(event, documents)
        except _Stop:
            return None
        return self.root

    def _document(self, event: yaml.DocumentStartEvent, number: int) -> None:
        if event.version or event.tags:
            self._refuse(event, "a % line", "the record alone", "remove the % line")
        if number > 1:
            self._refuse(event, "a second document after ---", "one document a file", "make it a file of its own")
            raise _Stop

    def _scalar(self, event: yaml.ScalarEvent) -> None:
        line = _line(event)
        self._refuse_extras(event, tagged=event.tag is not None)
        top = self.open[-1] if self.open else None
        if top is not None and top.is_map and top.key is None:
            self._key(top, event.value, line)
            top.key_end = event.end_mark
            return
        if self.glued and not event.style:
            self._refuse_glued_comment(event)
        self._put(TextNode(event.value, line), line)

    def _key(self, top: _Open, key: str, line: int) -> None:
        top.key, top.key_line = key, line
        if key == "<<":
            found, expected, fix = "a merge key", "the values themselves", "write the values out"
            self._note(line, "yaml-feature", self._path((key,)), found, expected, fix)
        elif key in top.key_lines:
            self._note(
                line,
                "yaml-repeated-key",
                self._path((key,)),
                f"'{key}' again, first on line {top.key_lines[key]}",
                "each name once",
                "remove one of the two, or give it a name of its own",
            )
        elif not key:
            found, expected, fix = "a value without a name", "name: value", "write the name before ':'"
            self._note(line, "yaml-syntax", self._path((key,)), found, expected, fix)

    def _start(self, event: yaml.MappingStartEvent | yaml.SequenceStartEvent) -> None:
        line = _line(event)
        # The parser itself gives `!` for a bare exclamation mark; without one it gives no tag at all.
        self._refuse_extras(event, tagged=event.tag is not None)
        top = self.open[-1] if self.open else None
        if top is not None and top.is_map and top.key is None:
            self._note(
                line,
                "yaml-feature",
                self._path(),
                "a list or mapping as a name",
                "a name",
                "quote the name, or mend the braces",
            )
            raise _Stop
        if len(self.open) >= MAX_DEPTH:
            found, expected, fix = _TOO_DEEP
            self._note(line, "yaml-limit", self._path(), found, expected, fix)
            raise _Stop
        self.open.append(_Open(isinstance(event, yaml.MappingStartEvent), line))

    def _end(self) -> None:
        done = self.open.pop()
        node: Node
        if done.is_map:
            node = MapNode(done.entries, done.key_lines, done.line)
        else:
            node = ListNode(tuple(done.items), done.line)
        self._put(node, done.line)

    def _put(self, node: Node, line: int) -> None:
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self._note(line, "yaml-limit", "file", f"more than {MAX_NODES} values", "fewer", "make it several files")
            raise _Stop
        if not self.open:
            self.root = node
            return
        top = self.open[-1]
        if not top.is_map:
            top.items.append(node)
            return
        if top.key is None:
            # Only an alias comes here in the place of a name; it is already refused.
            top.key, top.key_line = "", line
            return
        # A repeated key keeps its first value: the second is already refused.
        if top.key not in top.entries:
            top.entries[top.key] = node
            top.key_lines[top.key] = top.key_line
        top.key = None

    def _refuse_extras(self, event: Any, *, tagged: bool) -> None:
        if event.anchor is not None:
            self._refuse(
                event, f"the anchor &{event.anchor}", "the value alone", "remove the anchor; quote a text with '&'"
            )
        if tagged:
            self._refuse(
                event, f"the tag {event.tag}", "the value alone", "remove the tag; quote a text that starts with '!'"
            )

    def _refuse(self, event: Any, found: str, expected: str, fix: str) -> None:
        self._note(_line(event), "yaml-feature", self._path(), found, expected, fix)

    def _refuse_glued_comment(self, event: Any) -> None:
        """`#10-24` after a blank is a comment to YAML and a screw to everybody else: refuse to drop it."""
        # An empty value has no place of its own: look behind the name.
        after_name = not event.value and self.open and self.open[-1].is_map
        mark = self.open[-1].key_end if after_name else event.end_mark
        if mark.line not in self.glued:
            return
        rest = self.glued[mark.line][mark.column :]
        glued = re.match(r":?\s*(#\w\S*)" if after_name else r"\s*(#\w\S*)", rest)
        if glued:
            self._note(
                mark.line + 1,
                "yaml-hash",
                self._path(),
                f"'{glued[1]}', which YAML reads as a comment and drops",
                "text in quotes, or a comment with a blank after its #",
                f"put the whole value in quotes: '{(event.value + ' ' + glued[1]).strip()}'",
            )

    def _path(self, extra: tuple[PathPart, ...] = ()) -> str:
        path: list[PathPart] = []
        for level in self.open[:-1] if extra else self.open:
            path.append(level.key or "" if level.is_map else len(level.items))
        return path_text((*path, *extra))

    def _note(self, line: int, code: str, field: str, found: str, expected: str, fix: str) -> None:
        self.findings.append(_finding(self.file, line, code, found, expected, fix, field))


def _line(event: Any) -> int:
    return int(event.start_mark.line) + 1


def _finding(file: str, line: int, code: str, found: str, expected: str, fix: str, field: str = "file") -> Finding:
    return Finding(level="error", code=code, file=file, line=line, field=field, found=found, expected=expected, fix=fix)


def _too_big(file: str) -> Finding:
    return _finding(file, 1, "yaml-limit", f"more than {MAX_BYTES} bytes", "a smaller file", "make it several files")


# Control characters, lone surrogates, line ends that only some programs see, marks that turn the reading direction
# round (they make a line look different from what it says) and a byte order mark inside the text.
_FORBIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff]"
)
_LONE_RETURN = re.compile("\r(?!\n)")


def _forbidden_characters(text: str, file: str) -> Iterator[Finding]:
    for pattern, what in ((_FORBIDDEN, "a character that cannot be seen"), (_LONE_RETURN, "a lone carriage return")):
        match = pattern.search(text)
        if match:
            yield _finding(
                file,
                text.count("\n", 0, match.start()) + 1,
                "yaml-character",
                f"{what}, U+{ord(match[0]):04X}",
                "text that can be seen",
                "delete the character",
            )


_TOO_DEEP = (f"more than {MAX_DEPTH} levels inside each other", "fewer", "mend the nesting")


def _syntax_finding(error: yaml.MarkedYAMLError, text: str, file: str) -> Finding:
    # The compiled parser has a bound of its own, and meets it while looking ahead.
    if "maximum nesting depth" in (error.problem or ""):
        return _finding(file, _syntax_line(error), "yaml-limit", *_TOO_DEEP)
    return _finding(file, _syntax_line(error), "yaml-syntax", *_syntax_words(error, text))


def _syntax_line(error: yaml.MarkedYAMLError) -> int:
    """Line of the mistake: where an unclosed quote or brace begins, not where the parser gave up on it."""
    context = error.context or ""
    opens = "quoted scalar" in context or "flow" in context
    mark = (error.context_mark if opens else error.problem_mark) or error.problem_mark or error.context_mark
    return mark.line + 1 if mark else 1


def _syntax_words(error: yaml.MarkedYAMLError, text: str) -> tuple[str, str, str]:
    """What was found, what was expected and the usual mend, in words for someone who does not know YAML."""
    problem = (error.problem or "text that is not YAML").strip()
    mark = error.problem_mark or error.context_mark
    lines = text.splitlines()
    number, column = (mark.line, mark.column) if mark else (0, 0)
    line = lines[number] if number < len(lines) else ""
    if "\t" in line[: len(line) - len(line.lstrip())] or "'\\t'" in problem or "\\t" in problem:
        return "a tab before the text", "blanks", "replace the tab with blanks"
    if "mapping values are not allowed" in problem:
        return "a second ': ' in one line", "one name and one value", "put the value in quotes"
    if "cannot start any token" in problem:
        return f"'{line[column : column + 1]}' at the start of a value", "text", "put the value in quotes"
    if "escape character" in problem:
        return "a backslash inside double quotes", "plain text", "use single quotes, which leave a backslash alone"
    if "quoted scalar" in (error.context or "") or "unexpected end of stream" in problem:
        return "a quote that is not closed", "a closing quote", "close the quote"
    if "sequence entries are not allowed" in problem:
        return "a '- ' on the line of its name", "each '- ' on a line of its own", "start a new line before the '-'"
    if "expected ',' or" in problem or "flow" in (error.context or ""):
        return (
            "braces or brackets that do not close as expected",
            "a comma between values and a closing brace",
            "count the braces; put a value that holds , : { } [ or ] in quotes",
        )
    if "block" in (error.context or "") or "could not find expected ':'" in problem:
        return (
            "a line that does not fit the ones above it",
            "name: value, in line with its neighbours",
            "put the same number of blanks before names of one level, and a blank after ':'",
        )
    return problem, "YAML", "mend the text; put a value with special characters in quotes"
