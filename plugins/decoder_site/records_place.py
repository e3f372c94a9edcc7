"""Where a record can be read and mended: at its line in the repository, or in words where none is named."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Place:
    """A line of a record: its address in the repository, or None, and its place in words."""

    url: str | None
    words: str


@dataclass(frozen=True, slots=True)
class RecordsPlace:
    """The folder of the records as the repository names it."""

    folder: str
    view_url: str | None

    @classmethod
    def of(cls, site_data: Path, *, root: Path, repo_url: str | None, branch: str) -> RecordsPlace:
        """The place of `site_data` in the checkout `root`, whose repository has the address `repo_url`."""
        inside = site_data.resolve()
        base = root.resolve()
        folder = inside.relative_to(base).as_posix() if inside.is_relative_to(base) else inside.name
        return cls(folder, f"{repo_url.rstrip('/')}/blob/{branch}/" if repo_url else None)

    def path(self, file: str) -> str:
        """A file below the records' folder, from the root of the repository."""
        return f"{self.folder}/{file}"

    def at(self, file: str, line: int = 0) -> Place:
        """A line of a file below the records' folder. File views honour a line, editors of hosts do not."""
        path = self.path(file)
        words = f"{path}, line {line}" if line else path
        if self.view_url is None:
            return Place(None, words)
        return Place(f"{self.view_url}{path}" + (f"#L{line}" if line else ""), words)

    def of_record(self, shown: str, line: int) -> Place:
        """A line of a file as messages name it: its first folder stands for the records' folder."""
        return self.at(shown.partition("/")[2], line)
