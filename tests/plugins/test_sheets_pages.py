"""The pages that are for paper: what they say, where they lead, and what their codes hold."""

from __future__ import annotations

import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from decoder_site.loading import Loaded
from decoder_site.pages import site_pages
from decoder_site.records_place import RecordsPlace

from decoder.drawings.qr import qr_code
from decoder.fleet import load_fleet
from decoder.reference import load_reference
from tests.plugins.projects import REPOSITORY, Project

TAG = re.compile(r"<[^>]+>")


def words(html: str) -> str:
    """What a reader sees, blanks as one."""
    return " ".join(unescape(TAG.sub(" ", html)).split())


def page(site: Path, address: str) -> str:
    return (site / address / "index.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def loaded() -> Loaded:
    data = REPOSITORY / "site_data"
    return Loaded(
        reference=load_reference(),
        fleet=load_fleet(data),
        findings=(),
        place=RecordsPlace.of(data, root=REPOSITORY, repo_url=None, branch="main"),
        site_name="A site",
        as_files=False,
        watched=(),
    )


def made(loaded: Loaded, ending: str) -> dict[str, str]:
    return {page.address: page.fragment for page in site_pages(loaded) if page.address.endswith(ending)}


def test_every_assembly_has_a_sheet_and_labels_and_every_vehicle_a_list_for_the_plater(real_site: Path) -> None:
    fleet = load_fleet(REPOSITORY / "site_data")
    assert fleet.vehicles
    for vehicle in fleet.vehicles.values():
        plating = words(page(real_site, f"vehicles/{vehicle.slug}/plating"))
        for assembly in vehicle.assemblies.values():
            folder = f"vehicles/{vehicle.slug}/{assembly.slug}"
            sheet, labels = page(real_site, f"{folder}/sheet"), page(real_site, f"{folder}/labels")
            for joint in assembly.joints.values():
                assert joint.record.title in words(sheet)
                assert joint.record.title in words(plating) or not joint.record.stack
                assert joint.id in words(labels)
            assert labels.count('class="drawing qr"') == len(assembly.joints)


def test_pages_for_paper_are_found_from_where_people_look(real_site: Path) -> None:
    """The assembly leads to its sheet and labels, the vehicle to its list, sizes to combs, the guide to both gauges."""
    fleet = load_fleet(REPOSITORY / "site_data")
    vehicle = next(iter(fleet.vehicles.values()))
    assembly = next(iter(vehicle.assemblies))
    for start, targets in (
        (f"vehicles/{vehicle.slug}/{assembly}", ("sheet/", "labels/")),
        (f"vehicles/{vehicle.slug}", ("plating/",)),
        ("sizes", ("../sheets/", "../gauge/")),
        ("look-alikes", ("../sheets/pocket-cards/",)),
        ("sheets", ("../gauge/", "pitch-combs/", "diameters/", "flats-and-lengths/", "pocket-cards/")),
        ("gauge", ("../identify/", "../sheets/pitch-combs/")),
    ):
        links = re.findall(r'href="([^"#]*)', page(real_site, start))
        for target in targets:
            assert any(link.endswith(target) for link in links), (start, target)


def test_search_finds_the_sheets(real_site: Path) -> None:
    rows = (real_site / "data/search.js").read_text(encoding="utf-8")
    for address in ("sheets/pitch-combs/", "sheets/pocket-cards/", "gauge/"):
        assert f'"{address}"' in rows


def test_a_label_holds_the_joint_s_id_where_the_site_has_no_address(loaded: Loaded) -> None:
    for address, fragment in made(loaded, "/labels/").items():
        vehicle, assembly = address.split("/")[1:3]
        titles = re.findall(r"<title>QR code: ([^<]+)</title>", fragment)
        keys = loaded.fleet.vehicles[vehicle].assemblies[assembly].joints
        assert titles == [f"{vehicle}/{assembly}/{key}" for key in keys]


def test_a_label_holds_the_joint_s_address_where_the_site_knows_its_own(loaded: Loaded) -> None:
    """On a host's sub-path too, and by the file's name where no server answers for folders."""
    whole = replace(loaded, site_url="https://example.org/garage/")
    _, fragment = next(iter(made(whole, "/engine-front/labels/").items()))
    codes = re.findall(r"<title>QR code: ([^<]+)</title>", fragment)
    assert "https://example.org/garage/vehicles/pannier-utility/engine-front/#block-drain-tap" in codes
    _, fragment = next(iter(made(replace(whole, as_files=True), "/engine-front/labels/").items()))
    assert "engine-front/index.html#block-drain-tap" in fragment
    # The drawing is that of the address, not of its words alone.
    code = qr_code("https://example.org/garage/vehicles/pannier-utility/engine-front/index.html#block-drain-tap", 21)
    assert code in fragment


def test_labels_say_what_becomes_of_the_bag(loaded: Loaded) -> None:
    fragment = next(iter(made(loaded, "/front-hub-and-brake/labels/").values()))
    labels = [words(label) for label in fragment.split('<li class="bag-label')[1:]]
    brake = [label for label in labels if "brakes" in label]
    assert brake
    assert all("Nothing in this bag goes to plating." in label for label in brake)
    assert any("Tag this in metal if it goes to plating." in label for label in labels)


def test_the_plater_s_list_gives_every_part_a_reason_that_is_there(loaded: Loaded) -> None:
    for fragment in made(loaded, "/plating/").values():
        used = set(re.findall(r'href="#reason-(\d+)"', fragment))
        listed = set(re.findall(r'id="reason-(\d+)"', fragment))
        assert used == listed != set()
        text = words(fragment)
        assert "Acid and plating make hard steel brittle." in text
        assert "within 4 hours" in text
        for reason in re.findall(r"<dd>(.*?)</dd>", fragment, re.DOTALL):
            assert 'class="source"' in reason


def test_the_plater_s_list_counts_every_part_once(loaded: Loaded) -> None:
    fragment = next(iter(made(loaded, "/plating/").values()))
    totals = {sign: int(count) for sign, count in re.findall(r'verdict">(.)</span>[^:]+: (\d+) parts', fragment)}
    parts = re.findall(r'<span class="verdict" aria-label="[^"]+">(.)</span> (\d+) ×', fragment)
    for sign, total in totals.items():
        assert total == sum(int(count) for found, count in parts if found == sign)
    assert set(totals) == {"✓", "?", "✕"}


def test_a_hostile_title_stays_text_on_paper(tiny: Project) -> None:
    """Record text reaches labels, codes and sheets as it was typed."""
    text = tiny.frame.read_text(encoding="utf-8").replace("Bracket to rail", "<b>Bracket</b> & {{ rail }}")
    tiny.frame.write_text(text, encoding="utf-8")
    assert tiny.build().returncode == 0
    for name in ("frame/sheet", "frame/labels", "plating"):
        html = page(tiny.site, f"vehicles/test-cart/{name}")
        assert "&lt;b&gt;Bracket&lt;/b&gt; &amp; {{ rail }}" in html
        assert "<b>Bracket" not in html
