"""Packs: many text files of the site in one small file, for keeping on a phone.

A pack is gzip-compressed JSON: `{"pieces": [text, …], "files": {address: [piece number, …] or base64 text}}`. A text
file is its pieces, cut after every tag and line and stored once however many pages have them, so that the part of the
theme that all pages share costs nothing; put together they are the file again, byte for byte. (400 pages of sizes: 8 MB
of pieces and 0.75 MB compressed when cut by lines, 4 and 0.43 when cut by tags.) What is no text is kept as base64.
"""

from __future__ import annotations

import base64
import gzip
import json
import re
from collections.abc import Iterable, Iterator, Mapping

#: Files with these endings are text, the rest is kept as base64.
_TEXT = (".html", ".css", ".js", ".svg", ".txt")

_PIECE = re.compile(r"[^\n>]*(?:>\n?|\n)|[^\n>]+")


def pack(files: Mapping[str, bytes]) -> bytes:
    """One pack of files by address. The same files give the same bytes."""
    numbers: dict[str, int] = {}
    packed: dict[str, list[int] | str] = {}
    for address, content in sorted(files.items()):
        if address.endswith(_TEXT):
            packed[address] = [numbers.setdefault(piece, len(numbers)) for piece in _PIECE.findall(content.decode())]
        else:
            packed[address] = base64.b64encode(content).decode()
    text = json.dumps({"pieces": list(numbers), "files": packed}, ensure_ascii=False, separators=(",", ":"))
    return gzip.compress(text.encode(), 9, mtime=0)


def unpack(content: bytes) -> dict[str, bytes]:
    """The files of a pack, as the worker reads them."""
    read = json.loads(gzip.decompress(content))
    return {
        address: base64.b64decode(file) if isinstance(file, str) else "".join(read["pieces"][n] for n in file).encode()
        for address, file in read["files"].items()
    }


def portions(files: Mapping[str, bytes], limit_bytes: int) -> Iterator[dict[str, bytes]]:
    """The files in order of address, in portions whose pieces hold about `limit_bytes`: a phone opens one at a time."""
    portion: dict[str, bytes] = {}
    seen: set[str] = set()
    size = 0
    for address, content in sorted(files.items()):
        pieces = _pieces(address, content)
        added = _bytes(pieces - seen)
        if portion and size + added > limit_bytes:
            yield portion
            portion, seen, size, added = {}, set(), 0, _bytes(pieces)
        portion[address] = content
        seen |= pieces
        size += added
    if portion:
        yield portion


def _pieces(address: str, content: bytes) -> set[str]:
    return set(_PIECE.findall(content.decode())) if address.endswith(_TEXT) else {content.hex()}


def _bytes(pieces: Iterable[str]) -> int:
    return sum(len(piece) + 3 for piece in pieces)
