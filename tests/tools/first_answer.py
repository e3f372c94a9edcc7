"""What a first answer takes over the network, by the files that a page names: no browser, no time, no luck."""

from __future__ import annotations

import gzip
import re
from pathlib import Path
from posixpath import normpath

#: The most that may come before the first answer, compressed, headers included [bytes].
BEFORE_ANSWER_BYTES = 120_000

#: About what the headers of one answer take on the wire [bytes].
HEADER_BYTES = 250

#: What the one field needs beside what the identify page names: who reads its words.
FOR_WORDS = ("assets/scripts/identify-told.js",)

_NEEDED = re.compile(r'<link rel="stylesheet" href="([^"]+)"|<script src="([^"]+)"')


def compressed_size(path: Path) -> int:
    """How long a file is when it is sent compressed [bytes]."""
    return len(gzip.compress(path.read_bytes(), 9, mtime=0))


def needed(site: Path, page: str, also: tuple[str, ...] = ()) -> dict[str, int]:
    """Bytes on the wire by address: a page ('' or 'identify/'), its styles and scripts, and what comes `also`."""
    html = (site / page / "index.html").read_text(encoding="utf-8")
    linked = (normpath(f"{page}{style or script}") for style, script in _NEEDED.findall(html))
    addresses = (f"{page}index.html", *linked, *also)
    return {address: compressed_size(site / address) + HEADER_BYTES for address in addresses}
