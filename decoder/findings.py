"""What is wrong with a file, worded for the person who will mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Level = Literal["error", "warning", "note"]

#: Findings of level error stop a build; the others show on the page and in `decoder check`.
LEVELS: tuple[Level, ...] = ("error", "warning", "note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One mistake: where it stands, what was found, what was expected, and how to mend it."""

    level: Level
    code: str
    file: str
    line: int
    field: str
    found: str
    expected: str
    fix: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.field}: found {self.found}, expected {self.expected}. Fix: {self.fix}"


class BadDataError(ValueError):
    """Raised when files cannot be used; carries every finding, not only the first."""

    def __init__(self, findings: Iterable[Finding]) -> None:
        self.findings = tuple(findings)
        count = len(self.findings)
        lines = "\n".join(str(finding) for finding in self.findings)
        super().__init__(f"{lines}\n{count} {'mistake' if count == 1 else 'mistakes'} in the records and tables")
