"""Findings as notes beside the lines of a pull request, and which lines a change touched."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterable, Mapping
from pathlib import Path

from decoder.findings import Finding, Level

#: Lines that a change touched, by the path of the file as the change names it.
ChangedLines = Mapping[str, frozenset[int]]

_COMMANDS: Mapping[Level, str] = {"error": "error", "warning": "warning", "note": "notice"}
_HUNK = re.compile(r"@@ -\d+(?:,(\d+))? \+(\d+)(?:,(\d+))? @@")


class ChangeError(ValueError):
    """Changed lines cannot be found; one sentence that says why and what to write."""


def annotation(finding: Finding) -> str:
    """One workflow command: a note on the finding's line with the mend as its title."""
    properties = f"file={_property(finding.file)},line={finding.line},title={_property(f'Fix: {finding.fix}')}"
    message = f"{finding.field}: found {finding.found}, expected {finding.expected} ({finding.code})"
    return f"::{_COMMANDS[finding.level]} {properties}::{_message(message)}"


def lines_of_diff(diff: str) -> ChangedLines:
    """Lines that a unified diff adds or changes, by the new name of their file.

    Where lines were only taken out, their neighbours count: a mistake made by leaving something out shows there.
    """
    lines: dict[str, set[int]] = {}
    touched: set[int] = set()
    number = old_left = new_left = 0
    gap = False
    for line in diff.splitlines():
        sign = line[:1] or " "
        if old_left > 0 or new_left > 0:
            # Inside a hunk a line may begin with anything, `+++` and `---` too.
            if sign == "+":
                touched.add(number)
                gap = False
            elif sign == "-":
                gap = True
            elif gap:
                touched.update((max(number - 1, 1), number))
                gap = False
            old_left -= sign in " -"
            new_left -= sign in " +"
            number += sign in " +"
            if gap and old_left <= 0 and new_left <= 0:
                touched.update((max(number - 1, 1), number))
        elif line.startswith("+++ "):
            touched = lines.setdefault(line[4:].split("\t")[0].removeprefix("b/"), set())
        elif hunk := _HUNK.match(line):
            old_left, new_left = int(hunk[1] or 1), int(hunk[3] or 1)
            # A hunk without new lines names the line before it.
            number = int(hunk[2]) + (new_left == 0)
            gap = False
    return {name: frozenset(touched) for name, touched in lines.items() if name != "/dev/null"}


def lines_changed_since(revision: str, folder: Path) -> ChangedLines:
    """Lines below `folder` that differ from where a revision branched off, files that git does not know among them.

    Paths are as seen from the current folder.

    Raises
    ------
    ChangeError
        Where git or the revision is not there.
    """
    if revision.startswith("-"):
        raise ChangeError(f"'{revision}' is no revision: write a branch, tag or commit such as origin/main.")
    base = _git("merge-base", revision, "HEAD", about=revision).strip()
    diff = _git(
        "-c", "core.quotepath=off", "diff", "--no-color", "--no-ext-diff", "--unified=0", "--relative", base,
        "--", str(folder), about=revision,
    )  # fmt: skip
    lines = dict(lines_of_diff(diff))
    for name in _git("ls-files", "--others", "--exclude-standard", "--", str(folder), about=revision).splitlines():
        lines[name] = frozenset(range(1, len(Path(name).read_bytes().splitlines()) + 1))
    return lines


def on_changed_lines(findings: Iterable[Finding], lines: ChangedLines) -> frozenset[Finding]:
    """Findings whose line a change touched."""
    return frozenset(finding for finding in findings if finding.line in lines.get(finding.file, ()))


def _git(*arguments: str, about: str) -> str:
    try:
        done = subprocess.run(["git", *arguments], capture_output=True, check=False, timeout=60)
    except (OSError, subprocess.TimeoutExpired):
        raise ChangeError("git is not there to ask what changed: leave --changed-since out.") from None
    if done.returncode:
        reason = (done.stderr.decode("utf-8", "replace").strip().splitlines() or ["it has no common ancestor"])[-1]
        raise ChangeError(f"git does not know what changed since '{about}' ({reason}): fetch it, or write another.")
    return done.stdout.decode("utf-8", "replace")


def _message(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _message(text).replace(":", "%3A").replace(",", "%2C")
