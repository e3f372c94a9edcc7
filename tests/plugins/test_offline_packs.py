"""What a phone keeps: how much, of what, and that every page of the site is in exactly one pack."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import struct
from pathlib import Path
from posixpath import normpath
from typing import Any

import pytest
from decoder_site import offline
from decoder_site.packing import unpack

from tests.plugins import projects
from tests.plugins.projects import REPOSITORY

#: Styles and scripts of a page; the page for a wrong address has the host's path before them.
_LINKED = re.compile(r'<(?:link rel="stylesheet" href|script src)="/?([^"]+)"')


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The repository's own site, built once for all tests."""
    return projects.real_site(tmp_path_factory.getbasetemp() / "real-site" / "site")


def _listed(site: Path) -> dict[str, Any]:
    first = (site / "worker.js").read_text(encoding="utf-8").partition("\n")[0]
    listed: dict[str, Any] = json.loads(first.removeprefix("const LIST = ").removesuffix(";"))
    return listed


def test_what_is_kept_unasked_stays_small(site: Path) -> None:
    """At most 1.5 MB, compressed, goes over the network before anyone asks for a vehicle."""
    packs = _listed(site)["packs"]
    assert sum(pack["bytes"] for pack in packs if not pack["vehicle"]) <= offline.KEPT_AT_ONCE_BYTES
    assert max(pack["bytes"] for pack in packs) < 250_000


def test_every_page_is_in_one_pack_as_it_is_served(site: Path) -> None:
    """Byte for byte, vehicles in packs of their own, and what pages are drawn with beside them."""
    held: dict[str, bytes] = {}
    for pack in _listed(site)["packs"]:
        content = (site / pack["file"]).read_bytes()
        assert pack["bytes"] == len(content)
        assert pack["integrity"] == f"sha256-{base64.b64encode(hashlib.sha256(content).digest()).decode()}"
        files = unpack(content)
        assert not held.keys() & files.keys()
        assert all(address.startswith(f"vehicles/{pack['vehicle']}/") for address in files) or not pack["vehicle"]
        held |= files
    pages = {path.relative_to(site).as_posix() for path in site.rglob("*.html")}
    assert pages <= held.keys()
    asked_by_scripts = {
        "data/search.js",
        "data/search-words.js",
        "identify/late.js",
        "assets/scripts/identify-told.js",
        "assets/scripts/offline.js",
        "assets/scripts/search.js",
        "assets/scripts/tub.js",
    }
    assert asked_by_scripts <= held.keys()
    for page in pages:
        linked = _LINKED.findall((site / page).read_text(encoding="utf-8"))
        files = {normpath(f"{page.rpartition('/')[0]}/{link}").lstrip("/") for link in linked if ":" not in link}
        assert files <= held.keys(), page
    assert all((site / address).read_bytes() == content for address, content in held.items())


def test_what_lies_in_bundles_is_not_kept_a_second_time(site: Path) -> None:
    """Parts that no page and no script asks for by their own names stay on the server."""
    held = {address for pack in _listed(site)["packs"] for address in unpack((site / pack["file"]).read_bytes())}
    assert (site / "data/identify-index.js").is_file()
    assert not held & {
        "data/identify-index.js",
        "data/torque.js",
        "assets/scripts/torque-page.js",
        "assets/styles/torque.css",
    }


def test_list_leads_to_the_pack_that_holds_an_address(site: Path) -> None:
    """By the rule that the worker goes by: the place, then the last pack that does not begin after the address."""
    packs = _listed(site)["packs"]
    vehicles = _listed(site)["vehicles"]
    for pack in packs:
        for address in unpack((site / pack["file"]).read_bytes()):
            parts = address.split("/")
            place = f"vehicles/{parts[1]}" if parts[0] == "vehicles" and parts[1] in vehicles else parts[0]
            assert [one for one in packs if place in one["holds"] and one["first"] <= address][-1] is pack, address


def test_any_change_of_a_page_changes_the_worker(tmp_path: Path) -> None:
    """Or phones would not notice; the same site gives the same worker."""
    (tmp_path / "index.html").write_text("<p>one</p>", encoding="utf-8")
    offline.write(tmp_path, {})
    first = (tmp_path / "worker.js").read_bytes()
    offline.write(tmp_path, {})
    assert (tmp_path / "worker.js").read_bytes() == first
    (tmp_path / "index.html").write_text("<p>two</p>", encoding="utf-8")
    offline.write(tmp_path, {})
    assert (tmp_path / "worker.js").read_bytes() != first


def test_keeping_can_be_switched_off_for_a_site(tmp_path: Path) -> None:
    """Then no page registers a worker, and the worker of earlier visits removes itself."""
    project = projects.make_tiny(tmp_path)
    settings = project.root / "mkdocs.yml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("[decoder]", "[{decoder: {keep_offline: false}}]"),
        encoding="utf-8",
    )
    built = project.build("--strict", "-q")
    assert built.returncode == 0, built.stdout + built.stderr
    assert "unregister" in (project.site / "worker.js").read_text(encoding="utf-8")
    assert not list(project.site.rglob("*.pack"))
    assert "offline.js" not in (project.site / "index.html").read_text(encoding="utf-8")


def test_manifest_has_no_fixed_id_and_its_icons_are_there(site: Path) -> None:
    """A fixed id would clash between sites of one host; each icon has the size that the manifest says."""
    manifest = json.loads((site / "site.webmanifest").read_bytes())
    assert "id" not in manifest
    assert manifest["start_url"] == manifest["scope"] == "./"
    assert any(icon.get("purpose") == "maskable" for icon in manifest["icons"])
    for icon in manifest["icons"]:
        content = (site / icon["src"]).read_bytes()
        if icon["type"] == "image/png":
            width, height = struct.unpack(">II", content[16:24])
            assert f"{width}x{height}" == icon["sizes"]
    page = (site / "sizes/m8x1-25/index.html").read_text(encoding="utf-8")
    assert '<link rel="manifest" href="../../site.webmanifest">' in page
    assert '<link rel="apple-touch-icon" href="../../assets/icons/decoder-180.png">' in page


def test_worker_is_our_own_and_small() -> None:
    """It is read in one sitting, and nothing is generated but its list."""
    assert len((REPOSITORY / "plugins/decoder_site/worker/keep.js").read_bytes()) < 9_000
