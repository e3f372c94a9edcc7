"""Where the reference data lies: in a checkout, or carried inside an installed package."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def reference_root() -> Path:
    """Folder that holds `reference/`, `sources/`, `marks/` and the kinds.

    An installed copy carries the folder inside the package; in a checkout it is `site_data/` beside the package.
    """
    carried = _PACKAGE / "_data"
    return carried if carried.is_dir() else _PACKAGE.parent / "site_data"
