"""What pages say, for the search: sections of hand-written pages, and the words in records of kinds.

They come as a part of their own after the first rows, because titles answer most questions and are a quarter as long.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Iterator
from typing import Any

from markdown.extensions.toc import slugify  # type: ignore[import-untyped]

from decoder.reference import Reference
from decoder_site.making import HandWritten

_HEADING = re.compile(r"^## +(.+?)(?: +\{[^}]*\})? *$", re.MULTILINE)
_NOT_PROSE = re.compile(r"\{=.*?=\}|<[^>]*>|\]\([^)]*\)", re.DOTALL)
_MARKING = re.compile(r"[*`_]")
_WORD = re.compile(r"[a-z]{3,}")

#: In every second sentence, and asked for by nobody.
_COMMON = frozenset(
    """
    about after all also and any are because been before but can does for from has have how into its less more most must
    not nothing one only other out over same says see should some than that the their them then there these they this
    two under until what when where which who why will with without you your
    """.split()  # noqa: SIM905 - a list of sixty quoted words is harder to read
)


def sections(pages: Iterable[HandWritten]) -> Iterator[tuple[str, str, str, str]]:
    """Each page, then each of its sections: heading, address, the words in it, and the page's title ('' for itself)."""
    for page in pages:
        title, markdown = page.title, page.markdown
        headings = list(_HEADING.finditer(markdown))
        starts = [*(heading.start() for heading in headings), len(markdown)]
        yield title, page.address, words_of(markdown), ""
        for heading, end in zip(headings, starts[1:], strict=True):
            text = _MARKING.sub("", heading[1])
            yield text, f"{page.address}#{slugify(text, '-')}", words_of(markdown[heading.start() : end]), title


def kinds(reference: Reference) -> Iterator[tuple[str, str]]:
    """Address and words of each kind of joint, nut, washer and of each head and drive."""
    folders: tuple[tuple[str, Iterable[Any]], ...] = (
        ("joint-kinds", reference.joint_kinds.values()),
        ("nuts", reference.nuts),
        ("washers", reference.washers),
        ("heads-and-drives", reference.heads),
    )
    for folder, records in folders:
        for record in records:
            yield f"{folder}/{record.id}/", words_of(" ".join(_texts(record)))


def words_of(text: str) -> str:
    """The different words of a text in order of the alphabet, without the commonest; figures are left out."""
    plain = _MARKING.sub("", _NOT_PROSE.sub(" ", text)).casefold()
    return " ".join(sorted(set(_WORD.findall(plain)) - _COMMON))


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from _texts(item)
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            if field.name not in ("source", "sources"):
                yield from _texts(getattr(value, field.name))
