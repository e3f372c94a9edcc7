"""Builds the site beside the old one, and puts it in the old one's place only when all went well.

The site generator empties its output folder before it builds. Here it is given a folder of its own instead, so that a
build that fails, is interrupted or is killed leaves the site as it was.
"""

from __future__ import annotations

import os
import shutil
import sys
import time
from pathlib import Path

_DAY_SECONDS = 24 * 60 * 60


class SwapError(OSError):
    """The new site is whole but could not be put in the old one's place; one sentence that says what to do."""


class Staging:
    """A folder beside `target` that one build writes into.

    `target` itself is not touched before `publish`, which renames. Left-overs of killed builds are removed when the
    next build starts; a folder that a running build holds is left alone.
    """

    def __init__(self, target: Path) -> None:
        self.target = target.absolute()
        _clear_left_overs(self.target)
        suffix = f"{os.getpid()}-{time.monotonic_ns()}"
        self.folder = self.target.with_name(f".{self.target.name}-build-{suffix}")
        self._old = self.target.with_name(f".{self.target.name}-old-{suffix}")
        self.folder.mkdir(parents=True)
        self._hold = _hold(self.folder)

    def publish(self) -> None:
        """Put the finished folder in the place of the target, which is removed.

        Names that begin with a dot stay, as the site generator keeps them too (`.nojekyll`, a checkout's `.git`).

        Raises
        ------
        SwapError
            Where the target cannot be renamed, a mount point say; the old site then stays.
        """
        try:
            if self.target.exists():
                self._keep_hidden()
                self.target.rename(self._old)
            try:
                self.folder.rename(self.target)
            except OSError:
                if self._old.exists():
                    self._old.rename(self.target)
                raise
        except OSError as error:
            self.discard()
            raise SwapError(
                f"The new site could not take the place of {self.target} ({error.strerror}); the old one is untouched. "
                "Build into a folder that may be renamed: with --site-dir, one below the mount point."
            ) from error
        self._release()
        shutil.rmtree(self._old, ignore_errors=True)

    def discard(self) -> None:
        """Remove the folder; the target stays as it is."""
        self._release()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _keep_hidden(self) -> None:
        for entry in self.target.iterdir():
            kept = self.folder / entry.name
            if entry.name.startswith(".") and not kept.exists():
                if entry.is_dir() and not entry.is_symlink():
                    shutil.copytree(entry, kept, symlinks=True)
                else:
                    shutil.copy2(entry, kept, follow_symlinks=False)

    def _release(self) -> None:
        if self._hold is not None:
            os.close(self._hold)
            self._hold = None


def _clear_left_overs(target: Path) -> None:
    """Remove what killed builds left beside `target`; where one died between its two renames, put the old site back."""
    name = target.name
    for left in sorted(target.parent.glob(f".{name}-build-*")):
        if not _is_held(left):
            shutil.rmtree(left, ignore_errors=True)
    for old in sorted(target.parent.glob(f".{name}-old-*")):
        if (target.parent / old.name.replace("-old-", "-build-")).exists():
            continue  # its build is running
        if target.exists():
            shutil.rmtree(old, ignore_errors=True)
        else:
            old.rename(target)


if sys.platform == "win32":

    def _hold(folder: Path) -> int | None:  # noqa: ARG001 - nothing to lock
        return None

    def _is_held(folder: Path) -> bool:
        """No lock on a folder here: what a day has passed over is left over."""
        return time.time() - folder.stat().st_mtime < _DAY_SECONDS

else:
    import fcntl

    def _hold(folder: Path) -> int | None:
        """Lock the folder for as long as this process lives; the system lets go even when it is killed."""
        descriptor = os.open(folder, os.O_RDONLY)
        fcntl.flock(descriptor, fcntl.LOCK_EX)
        return descriptor

    def _is_held(folder: Path) -> bool:
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return True
        finally:
            os.close(descriptor)
        return False
