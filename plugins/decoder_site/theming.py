"""Fits the theme to what holds on every page: no request to another host, our own look, our own search."""

from __future__ import annotations

import re

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from decoder_site.content import asset_files, content_root

#: Loaded on every page, in this order. What one page alone needs stands with that page.
STYLES = ("assets/styles/decoder.css", "assets/styles/search.css", "assets/styles/phone.css")
SCRIPTS = ("assets/scripts/search.js",)

#: Registers the worker; left out where nothing may be kept.
_OFFLINE_SCRIPT = "assets/scripts/offline.js"

#: Theme features that fetch more as the site grows, or write scripts that our policy would have to allow.
_UNWANTED_FEATURES = (
    "navigation.instant",
    "navigation.instant.prefetch",
    "navigation.instant.progress",
    "navigation.instant.preview",
    "announce.dismiss",
    "content.tabs.link",
)


def prepare(config: MkDocsConfig, *, keep_offline: bool) -> None:
    """Set the theme up; settings of the site's own file that would break a promise are overruled."""
    theme = content_root() / "theme"
    if str(theme) not in config.theme.dirs:
        # After the site's own `custom_dir`, which comes first, and before the theme.
        own = 1 if config.theme.custom_dir else 0
        config.theme.dirs.insert(own, str(theme))
    config.theme["font"] = False
    features = config.theme.get("features") or []
    config.theme["features"] = [name for name in features if name not in _UNWANTED_FEATURES]
    for style in STYLES:
        if style not in config.extra_css:
            config.extra_css.append(style)
    for script in (*SCRIPTS, _OFFLINE_SCRIPT) if keep_offline else SCRIPTS:
        if script not in map(str, config.extra_javascript):
            config.extra_javascript.append(script)


#: Parts of the theme that no page uses: its search and what only its developers read. They are a third of the site.
_UNUSED = re.compile(r"assets/javascripts/(lunr|workers)/|\.map$")


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
