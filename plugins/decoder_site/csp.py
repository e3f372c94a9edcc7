"""A Content-Security-Policy for every page: nothing from elsewhere, no inline script but the theme's own.

The theme writes a few scripts into each page, and one of them differs by the page's depth, so the hashes are taken
from the finished page. Our own scripts and styles are files, and no `style=` attribute is written anywhere.
"""

from __future__ import annotations

import base64
import hashlib
import re

_INLINE_SCRIPT = re.compile(r"<script(?P<attributes>[^>]*)>(?P<text>.*?)</script>", re.DOTALL | re.IGNORECASE)
_CHARSET = '<meta charset="utf-8">'

#: `data:` pictures are the theme's icons, which its style sheet carries along.
_POLICY = (
    ("default-src", "'none'"),
    ("script-src", "'self'"),
    ("style-src", "'self'"),
    ("img-src", "'self' data: blob:"),
    ("font-src", "'self'"),
    ("connect-src", "'self'"),
    ("manifest-src", "'self'"),
    ("worker-src", "'self'"),
    ("base-uri", "'none'"),
    ("form-action", "'self'"),
)


def protect(html: str) -> str:
    """The page with its policy as the first thing after the character set; a page without a head stays as it is."""
    head, charset, rest = html.partition(_CHARSET)
    if not charset:
        return html
    hashes = " ".join(dict.fromkeys(f"'sha256-{_digest(text)}'" for text in inline_scripts(html)))
    policy = "; ".join(
        f"{name} {value} {hashes}".rstrip() if name == "script-src" else f"{name} {value}" for name, value in _POLICY
    )
    return f'{head}{charset}\n      <meta http-equiv="Content-Security-Policy" content="{policy}">{rest}'


def inline_scripts(html: str) -> list[str]:
    """The text of every script that stands in the page itself and is run (not data, not a file)."""
    return [
        match["text"]
        for match in _INLINE_SCRIPT.finditer(html)
        if not re.search(r"\bsrc=|\btype=[\"']?application/(ld\+)?json", match["attributes"])
    ]


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
