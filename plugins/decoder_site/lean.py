"""Makes a finished site lighter for slow phones, without changing what it shows or does.

Every page loads its styles as one file and its scripts as one file instead of a dozen each; comments and indentation
stay in the repository; of the styles only the rules remain that some page with the same styles can use. The files under
their own names stay where they are.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Collection
from pathlib import Path
from posixpath import normpath, relpath

from decoder_site.stylesheets import only_used, stripped_style

_FOLDER = "assets/bundles"
_STYLES = re.compile(r'(?:[ \t]*<link rel="stylesheet" href="[^":]*">\s*?\n){2,}')
_SCRIPTS = re.compile(r'(?:[ \t]*<script src="[^":]*" defer></script>\s*?\n){2,}')
_LATE = "late.js"
_MARKED = re.compile(r"(<div\b[^>]*?) data-late(?=[ >])(.*?</div>)", re.DOTALL)
_PART = re.compile(r"<(\w+)\b(?P<before>[^>]*?) data-late-part(?P<after>[^>]*)>(?P<inside>.*?)</\1>", re.DOTALL)
_ID = re.compile(r'\bid="([^"]+)"')
_DRAWING = re.compile(r'<span aria-hidden="true">(<svg\b.*?</svg>)</span>', re.DOTALL)
_ADDRESS = re.compile(r'(?:href|src)="([^"]*)"')
_NAMES = re.compile(r'<([a-z][a-z0-9]*)|\b(?:class|dir|type|role|data-md-[\w-]+)="([^"]*)"')
_STRING = re.compile(r'"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'')
_WORD = re.compile(r"[A-Za-z][\w-]*")


def make_lean(site: Path) -> None:
    """Rewrite the pages of a finished site."""
    pages = {path: path.read_text(encoding="utf-8") for path in sorted(site.rglob("*.html"))}
    scripts = {path: path.read_text(encoding="utf-8") for path in sorted((site / "assets").rglob("*.js"))}
    own = {path: stripped_style(path.read_text(encoding="utf-8")) for path in _styles(site / "assets/styles")}
    theme = {path: path.read_text(encoding="utf-8") for path in _styles(site / "assets/stylesheets")}
    said = {word for text in scripts.values() for word in _WORD.findall(text)}
    everywhere = said.union(*map(_names, pages.values()))
    for path, text in theme.items():
        others = (other for at, other in (own | theme).items() if at != path)
        _write(path, only_used(text, everywhere, "".join(others)))
    for path, text in own.items():
        _write(path, text)
    for path, text in scripts.items():
        _write(path, stripped_script(text))
    bundles = _Bundles(site)
    for path, html in pages.items():
        bundles.note(html, path.parent.relative_to(site).as_posix(), said | _names(html))
    for path, html in pages.items():
        lighter, parts = without_late_parts(html)
        lighter, drawings = without_late_drawings(lighter)
        if drawings or parts:
            late = ", ".join(json.dumps(each, ensure_ascii=False) for each in (drawings, parts))
            _write(path.with_name(_LATE), f"window.decoderLate({late});\n")
        _write(path, bundles.rewrite(lighter, path.parent.relative_to(site).as_posix()))


def without_late_drawings(html: str) -> tuple[str, list[str]]:
    """A page without the drawings in elements marked `data-late`, and these drawings in the order of their places.

    What opens only on a tap need not come before the page is on screen: a script (shell.js) fetches `late.js` beside
    the page and puts the drawings into the empty places, in their order. Marked elements hold no `div`.
    """
    drawings: list[str] = []

    def place(drawing: re.Match[str]) -> str:
        drawings.append(drawing[1])
        return '<span aria-hidden="true"></span>'

    def marked(element: re.Match[str]) -> str:
        lighter = _DRAWING.sub(place, element[2])
        return f'{element[1]} data-late="{_LATE}"{lighter}'

    return _MARKED.sub(marked, html), drawings


def without_late_parts(html: str) -> tuple[str, dict[str, str]]:
    """A page whose elements marked `data-late-part` are empty, and what stood in each, by its id.

    For what shows only after an answer or a tap; it comes with the late drawings. A marked element has an id and holds
    no other element of its own name.
    """
    parts: dict[str, str] = {}

    def emptied(element: re.Match[str]) -> str:
        name, before, after = element[1], element["before"], element["after"]
        [found] = _ID.findall(before + after)
        parts[found] = element["inside"]
        return f'<{name}{before} data-late-part="{_LATE}"{after}></{name}>'

    return _PART.sub(emptied, html), parts


def stripped_script(text: str) -> str:
    """A script without indentation and without comments that have lines of their own.

    One with a template literal stays as it is: what stands in it may look like either.
    """
    without_blocks = re.sub(r"^[ \t]*/\*.*?\*/[ \t]*\n", "", text, flags=re.DOTALL | re.MULTILINE)
    lines = (line.strip() for line in without_blocks.split("\n"))
    stripped = "\n".join(line for line in lines if line and not line.startswith("//")) + "\n"
    return text if "`" in _STRING.sub("", stripped) else stripped


class _Bundles:
    """Files put together, by the list of what is in them, so that an address does not change with the content."""

    def __init__(self, site: Path) -> None:
        self._site = site
        self._made: dict[tuple[str, ...], str] = {}
        self._names: dict[tuple[str, ...], set[str]] = {}

    def note(self, html: str, folder: str, names: Collection[str]) -> None:
        """Take note of a page that lies in `folder` and of what its styles may be asked for; every page comes first."""
        for run in _STYLES.finditer(html):
            self._names.setdefault(self._parts(run[0], folder)[0], set()).update(names)

    def rewrite(self, html: str, folder: str) -> str:
        """A page that lies in `folder`, with each run of styles and of scripts as one."""
        html = _STYLES.sub(self._one(folder, "css", '<link rel="stylesheet" href="{}">\n'), html)
        return _SCRIPTS.sub(self._one(folder, "js", '<script src="{}" defer></script>\n'), html)

    def _one(self, folder: str, suffix: str, element: str) -> Callable[[re.Match[str]], str]:
        def one(run: re.Match[str]) -> str:
            parts, root = self._parts(run[0], folder)
            address = self._bundle(parts, suffix)
            return element.format(root + address if root else relpath(address, folder))

        return one

    @staticmethod
    def _parts(run: str, folder: str) -> tuple[tuple[str, ...], str]:
        """The files of a run from the site's folder on, and the host's path to it where the links begin there."""
        links = _ADDRESS.findall(run)
        # The page for a wrong address may be shown anywhere, so its links begin at the host's root.
        root = links[0][: links[0].index("assets/")] if links[0].startswith("/") else ""
        return tuple(link[len(root) :] if root else normpath(f"{folder}/{link}") for link in links), root

    def _bundle(self, parts: tuple[str, ...], suffix: str) -> str:
        if parts not in self._made:
            name = hashlib.sha256("\n".join(parts).encode()).hexdigest()[:8]
            address = f"{_FOLDER}/{name}.{suffix}"
            (self._site / _FOLDER).mkdir(parents=True, exist_ok=True)
            texts = [(self._site / part).read_text(encoding="utf-8") for part in parts]
            text = "\n".join(texts)
            _write(self._site / address, only_used(text, self._names[parts]) if suffix == "css" else text)
            self._made[parts] = address
        return self._made[parts]


def _styles(folder: Path) -> list[Path]:
    return sorted(folder.glob("*.css"))


def _names(html: str) -> set[str]:
    """Every class and element of a page. What a script may make comes on top: any word of a script counts."""
    found = {"html", "body", "ltr"}
    for element, value in _NAMES.findall(html):
        found.update(value.split() if value else (element,))
    return found


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="")
