"""Which records a command is asked about: a folder of records, or something below one."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from decoder.batches import UsageError
from decoder.command import Data
from decoder.writing import shown


@dataclass(frozen=True, slots=True)
class RecordsPlace:
    """Where records lie, and which of them are asked for. `shown` is what messages call `root`."""

    root: Path
    shown: str
    asked: Path

    def holds(self, file: str) -> bool:
        """Whether a record's file, as messages name it, is asked for."""
        if self.asked == self.root:
            return True
        path = self.root / Path(file).relative_to(self.shown) if Path(file).is_relative_to(self.shown) else Path(file)
        return path.is_relative_to(self.asked)


def records_place(path: str | None, data: Data) -> RecordsPlace:
    """The records that a PATH argument means, all of them without one; raises UsageError."""
    asked = Path(path) if path else data.records_root
    if not asked.exists():
        raise UsageError(f"'{shown(str(path))}' is not there: write a folder of records, or a file below one.")
    absolute = asked.resolve()
    root = next((folder for folder in (absolute, *absolute.parents) if (folder / "vehicles").is_dir()), None)
    if root is None:
        if path:
            raise UsageError(
                f"'{shown(path)}' is not below a folder that holds vehicles/: write such a folder, or a file in it."
            )
        root = absolute
    return RecordsPlace(root, _shown(root), absolute)


def _shown(root: Path) -> str:
    """The root from the current folder, as an editor or a host can open it."""
    here = Path.cwd().resolve()
    return root.relative_to(here).as_posix() if root.is_relative_to(here) and root != here else os.path.relpath(root)
