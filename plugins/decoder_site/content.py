"""Where styles, scripts, icons and theme partials lie: in a checkout, or carried inside an installed package."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def content_root() -> Path:
    """Folder that holds `assets/` and `theme/`."""
    carried = _PACKAGE / "_content"
    return carried if carried.is_dir() else _PACKAGE.parents[1] / "content"


def asset_files() -> Iterator[tuple[str, Path]]:
    """Every file below `assets/` with its address on the site, in order of address."""
    root = content_root()
    for path in sorted((root / "assets").rglob("*")):
        if path.is_file() and not path.name.startswith("."):
            yield path.relative_to(root).as_posix(), path
