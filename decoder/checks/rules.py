"""What a rule is, and how its problems become findings with file, line, code and level."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Generic, TypeAlias, TypeVar

from decoder.build import Origin
from decoder.findings import Finding, Level
from decoder.yaml_source import PathPart, path_text

Case = TypeVar("Case")
FieldPath: TypeAlias = tuple[PathPart, ...]

#: Rules that follow from what the records' format says of itself, not from a document about fasteners.
RECORD_FORMAT = "the record format"


@dataclass(frozen=True, slots=True)
class Problem:
    """What a rule found wrong in one field. `path` starts at the thing checked: a joint, an assembly, a vehicle."""

    path: FieldPath
    found: str
    expected: str
    fix: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule(Generic[Case]):
    """One rule about records.

    `source` is a source id, 'common practice' or `RECORD_FORMAT`. `acceptable` is True where a record may say in
    `accepted` why the finding is right to live with: never where a record could not be read, and never where taking
    the finding lightly could hurt someone.
    """

    code: str
    level: Level
    source: str
    acceptable: bool
    says: str
    problems: Callable[[Case], Iterator[Problem]]


def rule(
    code: str, level: Level, *, source: str, acceptable: bool = False
) -> Callable[[Callable[[Any], Iterator[Problem]]], Rule[Any]]:
    """Make a rule of a function that yields problems; the function's docstring says the rule in one sentence."""

    def make(problems: Callable[[Any], Iterator[Problem]]) -> Rule[Any]:
        says = " ".join((problems.__doc__ or "").split())
        return Rule(code=code, level=level, source=source, acceptable=acceptable, says=says, problems=problems)

    return make


def finding(
    made_by: Rule[Any], problem: Problem, origin: Origin, start: FieldPath, level: Level | None = None
) -> Finding:
    """The finding of a problem; `start` leads from the top of the file to the thing checked."""
    path = (*start, *problem.path)
    return Finding(
        level=level or made_by.level,
        code=made_by.code,
        file=origin.file,
        line=origin.line(*path),
        field=path_text(path),
        found=problem.found,
        expected=problem.expected,
        fix=problem.fix,
    )


def one_of(names: Iterable[object], most: int = 12) -> str:
    """Names for an `expected`: 'a, b or c', the last ones counted where there are many."""
    listed = [str(name) for name in names]
    if not listed:
        return "none"
    if len(listed) > most:
        return f"{', '.join(listed[:most])} and {len(listed) - most} more"
    return f"{', '.join(listed[:-1])} or {listed[-1]}" if len(listed) > 1 else listed[0]
