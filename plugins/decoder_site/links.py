"""Addresses as one page writes them: relative, so that the site works below any path and from a stick."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote


@dataclass(frozen=True, slots=True)
class Links:
    """Links as the page at `address` writes them.

    `address` is relative to the site and ends with a slash, or is '' for the front page. With `as_files` a link names
    the file (`sizes/m8x1-25/index.html`), which is what a browser needs when no server answers for folders.
    """

    address: str
    as_files: bool = False

    def to(self, address: str, anchor: str = "") -> str:
        """The link to another page, or to a file, of the site.

        >>> Links("sizes/m8x1-25/").to("spanners/13-mm/", "heads")
        '../../spanners/13-mm/#heads'
        >>> Links("").to("")
        './'
        """
        up = "../" * self.address.count("/")
        path = quote(address)
        if self.as_files and (not path or path.endswith("/")):
            path += "index.html"
        fragment = f"#{quote(anchor)}" if anchor else ""
        return f"{up}{path}{fragment}" or "./"
