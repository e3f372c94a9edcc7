"""Turns a finished fragment into a page of the site generator.

This is the second of two steps and knows nothing of fasteners; the first (`pages`) makes the fragment. The fragment
never goes through Markdown, so a record's text reaches the page as it was typed, whatever it looks like.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from html import escape

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, TableOfContents
from mkdocs.utils import get_markdown_title
from mkdocs.utils.meta import get_data

_ID = re.compile(r'\sid="([^"]+)"')
_HEADING = re.compile(r'<h([23])\b[^>]*\sid="([^"]+)"[^>]*>(.*?)</h\1>', re.DOTALL)
_TAG = re.compile(r"<[^>]+>")


@dataclass(frozen=True, slots=True, kw_only=True)
class MadePage:
    """A page whose fragment is finished.

    `address` is relative to the site and ends with a slash ('' is the front page); `label` is what the navigation
    calls it; `edit_path` is the file a correction goes to, from the root of the repository; `styles` and `scripts`
    are files of the site that only this page needs.
    """

    address: str
    title: str
    label: str
    description: str
    fragment: str
    edit_path: str | None = None
    styles: tuple[str, ...] = ()
    scripts: tuple[str, ...] = ()
    in_nav: bool = False
    hide: tuple[str, ...] = field(default=())


class FragmentPage(Page):
    """A page whose content is ready: there is no source to read and nothing to render."""

    def __init__(self, made: MadePage, file: File, config: MkDocsConfig) -> None:
        # The theme prints titles and descriptions as they are, so they are escaped here.
        super().__init__(escape(made.label), file, config)
        self._made = made

    def read_source(self, config: MkDocsConfig) -> None:  # noqa: ARG002 - the generator's signature
        """Set the metadata that the theme reads; there is no Markdown."""
        self.markdown = ""
        self.meta = {
            "title": escape(self._made.title),
            "description": escape(self._made.description),
            "styles": self._made.styles,
            "scripts": self._made.scripts,
            "hide": self._made.hide,
        }

    def render(self, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002 - the generator's signature
        """Hand over the fragment as it is, with its anchors, so that hand-written pages can link to them."""
        self.content = self._made.fragment
        self.toc = _table_of_contents(self._made.fragment)
        self.present_anchor_ids = set(_ID.findall(self._made.fragment))


def add_pages(pages: Iterable[MadePage], files: Files, config: MkDocsConfig) -> None:
    """Put every page among the site's files; pages outside the navigation are kept out of its list and warnings.

    A hand-written page of the same address stands in for a generated one.
    """
    written = {file.dest_uri for file in files}
    for made in pages:
        if f"{made.address}index.html" in written:
            continue
        inclusion = InclusionLevel.INCLUDED if made.in_nav else InclusionLevel.NOT_IN_NAV
        file = File.generated(config, f"{made.address}index.md", content="", inclusion=inclusion)
        if made.edit_path is not None:
            file.edit_uri = f"../{made.edit_path}"  # `edit_uri` of the site ends in the folder of hand-written pages
        files.append(file)
        FragmentPage(made, file, config)


@dataclass(frozen=True, slots=True, kw_only=True)
class HandWritten:
    """A page that someone wrote: `markdown` is its text without the head that holds title and description."""

    title: str
    address: str
    description: str
    markdown: str


def hand_written(files: Files) -> list[HandWritten]:
    """Every hand-written page but the front page, for the search."""
    pages = []
    for file in files.documentation_pages():
        markdown, meta = get_data(file.content_string)
        title = meta.get("title") or get_markdown_title(markdown)
        if title and file.url not in (".", "./", ""):
            description = str(meta.get("description", ""))
            pages.append(HandWritten(title=str(title), address=file.url, description=description, markdown=markdown))
    return pages


def add_file(address: str, content: bytes, files: Files, config: MkDocsConfig) -> None:
    """Put a finished file (JSON, a script) among the site's files, in place of a hand-written one of the same name."""
    if (there := files.get_file_from_path(address)) is not None:
        files.remove(there)
    files.append(File.generated(config, address, content=content))


def _table_of_contents(fragment: str) -> TableOfContents:
    entries: list[AnchorLink] = []
    for level, anchor, text in _HEADING.findall(fragment):
        if "--" in anchor:
            # The parts of a card: every card of the page has the same ones.
            continue
        entry = AnchorLink(" ".join(_TAG.sub("", text).split()), anchor, int(level))
        if level == "3" and entries:
            entries[-1].children.append(entry)
        else:
            entries.append(entry)
    return TableOfContents(entries)
