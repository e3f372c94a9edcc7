"""Makes the variant of a finished site that works from a USB stick, opened as files without any server.

A server answers an address that ends in a slash with the folder's `index.html`; a browser that opens files lists the
folder. So every link names its file here. What keeps the site on a phone is left out: it is of no use there.
"""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

from decoder_site.staging import Staging, SwapError

_LINK = re.compile(r'(<(?:a|form|link)\b[^>]*?\s(?:href|action)=")([^"#?:]*)(?=[#?"])')
_LEFT_OUT = ("worker.js", "offline", "site.webmanifest", "sitemap.xml", "sitemap.xml.gz", "404.html")
_MANIFEST = re.compile(r'[ \t]*<link rel="manifest"[^>]*>\n?')
_KEEP = re.compile(r"(<html\b[^>]*?) data-keep(?=[ >])")
_FIRST = re.compile(r'<script src="((?:\.\./)*)assets/scripts/first\.js"></script>')
_STICK = r'\g<0>\n    <script src="\1assets/scripts/stick.js"></script>'


def make_stick(site: Path, target: Path) -> None:
    """Write the variant of `site` to `target`, in place of what is there.

    Raises
    ------
    FileNotFoundError
        Where `site` holds no site.
    SwapError
        Where `target` cannot be replaced; it then stays as it was.
    """
    if not (site / "index.html").is_file():
        raise FileNotFoundError(f"No site in {site}: build it first, with `make site`.")
    staging = Staging(target)
    try:
        shutil.copytree(site, staging.folder, dirs_exist_ok=True, ignore=_ignored(site))
        for page in staging.folder.rglob("*.html"):
            page.write_text(_as_file(page.read_text(encoding="utf-8"), page.parent), encoding="utf-8", newline="")
    except BaseException:
        staging.discard()
        raise
    staging.publish()


def _as_file(html: str, folder: Path) -> str:
    """A page as it reads when opened as a file that lies in `folder`."""

    def named(link: re.Match[str]) -> str:
        path = link[2]
        is_folder = path.endswith("/") or path.rpartition("/")[2] in (".", "..")
        if not is_folder or not (folder / path / "index.html").is_file():
            return link[0]
        return f"{link[1]}{path}{'' if path.endswith('/') else '/'}index.html"

    linked = _MANIFEST.sub("", _LINK.sub(named, html))
    return _FIRST.sub(_STICK, _KEEP.sub(r"\1", linked))


def _ignored(site: Path) -> Callable[[str, list[str]], set[str]]:
    def ignored(folder: str, names: list[str]) -> set[str]:
        return {name for name in names if name.startswith(".") or (Path(folder) == site and name in _LEFT_OUT)}

    return ignored


def main() -> int:
    """`python -m decoder_site.stick SITE TARGET`."""
    if len(sys.argv) != 3:
        print("usage: python -m decoder_site.stick SITE TARGET", file=sys.stderr)
        return 2
    try:
        make_stick(Path(sys.argv[1]), Path(sys.argv[2]))
    except (FileNotFoundError, SwapError) as error:
        print(error, file=sys.stderr)
        return 1
    print(f"{sys.argv[2]}/ can be copied to a stick as it is: open {sys.argv[2]}/index.html in a browser.")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
