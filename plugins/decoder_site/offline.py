"""What lets the site be kept on a phone: packs of its files, a worker that serves them, and a manifest.

Everything that depends on no vehicle is kept at once, in packs by subject; each vehicle is a pack of its own, kept when
it is opened or asked for. The worker's script carries the list of packs with their hashes, so any change of the site
changes the script, and the phone fetches the packs that changed and no other.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from decoder_site.packing import pack, portions

#: The most that may be kept without being asked, compressed [bytes].
KEPT_AT_ONCE_BYTES = 1_500_000

#: What one pack unpacks to, about [bytes]: small enough that an old phone opens it between tap and page.
_PORTION_BYTES = 600_000

#: Subjects with packs of their own: name, title, folders. Everything else goes with the start.
_SUBJECTS = (
    ("sizes", "Thread sizes", ("sizes",)),
    ("head-marks", "Head marks", ("head-marks",)),
    ("spanners", "Spanners", ("spanners",)),
    (
        "kinds",
        "Joints, nuts, washers, heads, strength",
        ("joint-kinds", "nuts", "washers", "circlips", "heads-and-drives", "strength"),
    ),
    (
        "guides",
        "Guides, look-alikes, sources",
        ("guides", "look-alikes", "sources", "finishes", "materials", "how-good"),
    ),
)
_START = ("start", "Identify, torque, search, and how it looks")

#: Data that a page's script asks for; the other files below `data/` are for programs and need a network.
_DATA = ("data/identify-index.js", "data/search.js", "data/search-words.js", "data/torque.js")

#: Beside pages: what they are drawn with. JSON and site maps are for programs.
_SUFFIXES = (".html", ".css", ".js", ".svg", ".png", ".jpg", ".webp", ".ico", ".woff2")

#: A file's name where a page links to it, and where a script or a style has it in quotes or brackets.
_LINKED = re.compile(rb'(?:src|href)="(?:[^"]*/)?([^"/]+\.\w+)"')
_QUOTED = re.compile(rb"""["'(/]([\w.-]+\.\w+)["')]""")

_WORKER = "worker.js"
_FOLDER = "offline"
_OWN = Path(__file__).parent / "worker"


@dataclass(frozen=True, slots=True)
class Pack:
    """One pack as the worker's list has it.

    It holds what lies below `holds` (names at the site's root, or `vehicles/<slug>`); of several packs of one subject
    an address is in the last whose `first` is not after it.
    """

    name: str
    title: str
    vehicle: str
    holds: tuple[str, ...]
    first: str
    content: bytes

    @property
    def listed(self) -> dict[str, Any]:
        """The entry of the list; the hash is written as browsers check it."""
        return {
            "name": self.name,
            "title": self.title,
            "vehicle": self.vehicle,
            "holds": self.holds,
            "first": self.first,
            "file": f"{_FOLDER}/{self.name}.pack",
            "bytes": len(self.content),
            "integrity": f"sha256-{base64.b64encode(hashlib.sha256(self.content).digest()).decode()}",
        }


def packs(files: Mapping[str, bytes], vehicles: Mapping[str, str]) -> Iterator[Pack]:
    """The packs of a site's files. `vehicles` are titles by slug."""
    groups: dict[tuple[str, str, str], dict[str, bytes]] = {(*_START, ""): {}}
    for address, content in files.items():
        if _is_kept(address):
            groups.setdefault(_group(address, vehicles), {})[address] = content
    for (name, title, vehicle), members in groups.items():
        holds = (f"vehicles/{vehicle}",) if vehicle else tuple(sorted({_top(address) for address in members}))
        parts = list(portions(members, _PORTION_BYTES))
        for number, part in enumerate(parts, start=1):
            yield Pack(
                name=name if len(parts) == 1 else f"{name}-{number}",
                title=title,
                vehicle=vehicle,
                holds=holds,
                first="" if number == 1 else min(part),
                content=pack(part),
            )


def write(site: Path, vehicles: Mapping[str, str]) -> None:
    """Write packs and worker into a finished site."""
    made = list(packs(_files(site), vehicles))
    folder = site / _FOLDER
    folder.mkdir(exist_ok=True)
    for one in made:
        (folder / f"{one.name}.pack").write_bytes(one.content)
    (site / _WORKER).write_bytes(worker(made, vehicles))


def worker(made: Iterable[Pack], vehicles: Mapping[str, str]) -> bytes:
    """The worker's script with the list of packs in it."""
    listed = [one.listed for one in made]
    names = json.dumps([listed, sorted(vehicles.items())], sort_keys=True)
    version = hashlib.sha256(names.encode() + _script("keep.js")).hexdigest()[:12]
    entries = json.dumps({"version": version, "packs": listed, "vehicles": dict(vehicles)}, ensure_ascii=False)
    return f"const LIST = {entries};\n".encode() + _script("keep.js")


def remove_worker(site: Path) -> None:
    """Write a worker that deletes what an earlier one kept and unregisters itself: keeping is off for good."""
    (site / _WORKER).write_bytes(_script("remove.js"))


def manifest(name: str) -> bytes:
    """What a phone reads to put the site among its apps. Without `id`: a fixed one would clash on a shared host."""
    icons = [
        {"src": "assets/icons/decoder.svg", "sizes": "any", "type": "image/svg+xml"},
        {"src": "assets/icons/decoder-192.png", "sizes": "192x192", "type": "image/png"},
        {"src": "assets/icons/decoder-512.png", "sizes": "512x512", "type": "image/png"},
        {"src": "assets/icons/decoder-maskable.png", "sizes": "512x512", "type": "image/png", "purpose": "maskable"},
    ]
    values = {
        "name": name,
        "short_name": "Decoder",
        "start_url": "./",
        "scope": "./",
        "display": "standalone",
        "background_color": "#fffdf8",
        "theme_color": "#0a3029",
        "icons": icons,
    }
    return (json.dumps(values, ensure_ascii=False, indent=1) + "\n").encode()


def _files(site: Path) -> dict[str, bytes]:
    files = {
        path.relative_to(site).as_posix(): path.read_bytes()
        for path in sorted(site.rglob("*"))
        if path.is_file() and _is_kept(path.relative_to(site).as_posix())
    }
    asked = _asked_for(files)
    return {
        address: content
        for address, content in files.items()
        if not address.startswith(("assets/", "data/")) or address.rpartition("/")[2] in asked
    }


def _asked_for(files: Mapping[str, bytes]) -> set[str]:
    """Names of files that a page links to or a script or style has in quotes; nobody asks for what lies in a bundle."""
    return {
        name.decode()
        for address, content in files.items()
        for name in (_LINKED if address.endswith(".html") else _QUOTED).findall(content)
    }


def _is_kept(address: str) -> bool:
    if address == _WORKER or address.startswith((f"{_FOLDER}/", "assets/images/", ".")) or address.endswith("/data.js"):
        return False
    if address.startswith("data/"):
        return address in _DATA
    # The phone takes its icons from the manifest, while it has a network.
    return address.endswith(_SUFFIXES) and not address.startswith("assets/icons/decoder-")


def _group(address: str, vehicles: Mapping[str, str]) -> tuple[str, str, str]:
    parts = address.split("/")
    if parts[0] == "vehicles" and len(parts) > 2 and parts[1] in vehicles:
        return f"vehicle-{parts[1]}", vehicles[parts[1]], parts[1]
    for name, title, folders in _SUBJECTS:
        if parts[0] in folders:
            return name, title, ""
    return (*_START, "")


def _top(address: str) -> str:
    return address.partition("/")[0]


def _script(name: str) -> bytes:
    return (_OWN / name).read_bytes()
