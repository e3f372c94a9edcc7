"""Fits the theme to what holds on every page: no request to another host, our own look, our own search."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files

from decoder_site.content import asset_files, content_root

#: Loaded on every page, in this order. What one page alone needs stands with that page.
STYLES = (
    "assets/styles/decoder.css",
    "assets/styles/shell.css",
    "assets/styles/search.css",
    "assets/styles/phone.css",
)
SCRIPTS = ("assets/scripts/shell.js",)

#: The theme's style sheets carry a hash in their names.
_THEME_STYLES = ("assets/stylesheets/main.*.min.css", "assets/stylesheets/palette.*.min.css")

#: The theme's scripts, which no page loads, and what only its developers read.
_UNUSED = re.compile(r"assets/(javascripts|images)/|\.map$")


def prepare(config: MkDocsConfig, *, keep_offline: bool) -> None:
    """Set the theme up; settings of the site's own file that would break a promise are overruled.

    `keep_offline` says whether pages may have themselves kept on a phone.
    """
    theme = content_root() / "theme"
    if str(theme) not in config.theme.dirs:
        # After the site's own `custom_dir`, which comes first, and before the theme.
        own = 1 if config.theme.custom_dir else 0
        config.theme.dirs.insert(own, str(theme))
    config.theme["font"] = False
    config.theme["theme_styles"] = _theme_styles(config.theme.dirs)
    config.theme["keep_offline"] = keep_offline
    for style in STYLES:
        if style not in config.extra_css:
            config.extra_css.append(style)
    for script in SCRIPTS:
        if script not in map(str, config.extra_javascript):
            config.extra_javascript.append(script)


def _theme_styles(folders: Iterable[str]) -> list[str]:
    found = []
    for pattern in _THEME_STYLES:
        matches = [(folder, path) for folder in folders for path in sorted(Path(folder).glob(pattern))]
        if not matches:
            raise PluginError(f"The theme has no style sheet {pattern}: this needs mkdocs-material 9.")
        folder, path = matches[0]
        found.append(path.relative_to(folder).as_posix())
    return found


def leave_out_unused(files: Files) -> None:
    """Keep the theme's unused files out of the site."""
    for file in list(files):
        if _UNUSED.search(file.src_uri):
            files.remove(file)


def add_assets(files: Files, config: MkDocsConfig) -> None:
    """Add the styles, scripts and icons that came with the package, unless the site has its own of the same name."""
    for address, path in asset_files():
        if files.get_file_from_path(address) is None:
            files.append(File.generated(config, address, abs_src_path=str(path)))


_EMPTY_LINES = re.compile(r"\n(?:[ \t]*\n)+")


def without_empty_lines(html: str) -> str:
    """The page without empty lines, of which the theme writes hundreds; pages with set-out text stay as they are."""
    return html if re.search(r"<(pre|textarea)\b", html) else _EMPTY_LINES.sub("\n", html)
