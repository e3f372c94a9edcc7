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
from decoder_site.views.facts import Facts
from decoder_site.views.measures import Citations
from decoder_site.views.sheets import labels
from decoder_site.views.vehicles import Vehicles

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


@pytest.fixture(scope="module")
def fragments(loaded: Loaded) -> dict[str, str]:
    """Every page's fragment by its address, made once."""
    return {page.address: page.fragment for page in site_pages(loaded)}


def ending(fragments: dict[str, str], end: str) -> dict[str, str]:
    found = {address: fragment for address, fragment in fragments.items() if address.endswith(end)}
    assert found
    return found


def codes(loaded: Loaded, vehicle: str, assembly: str) -> list[str]:
    """What the labels of an assembly hold, as their codes are drawn."""
    views = Vehicles(loaded.reference, Facts(loaded.reference, Citations({}, loaded.place), {}), loaded.place, {})
    record = loaded.fleet.vehicles[vehicle].assemblies[assembly]
    return [str(label.qr) for label in labels(record, views.assembly(record).joints, loaded)]


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


def test_what_is_left_hand_stands_out_on_paper_too(real_site: Path) -> None:
    """By a place of its own, and by the whole joint; a right-hand assembly says nothing of hands."""
    for kind in ("sheet", "labels"):
        said = words(page(real_site, f"vehicles/pannier-utility/bed-crane/{kind}"))
        assert said.count("Left-hand thread") == 2
        assert "Left-hand thread: lower" in said
        assert "Left-hand" not in words(page(real_site, f"vehicles/pannier-utility/cooling/{kind}"))


def test_search_finds_the_sheets(real_site: Path) -> None:
    rows = (real_site / "data/search.js").read_text(encoding="utf-8")
    for address in ("sheets/pitch-combs/", "sheets/pocket-cards/", "gauge/"):
        assert f'"{address}"' in rows


def test_a_label_holds_the_joint_s_id_where_the_site_has_no_address(loaded: Loaded, fragments: dict[str, str]) -> None:
    for address, fragment in ending(fragments, "/labels/").items():
        vehicle, assembly = address.split("/")[1:3]
        titles = re.findall(r"<title>QR code: ([^<]+)</title>", fragment)
        keys = loaded.fleet.vehicles[vehicle].assemblies[assembly].joints
        assert titles == [f"{vehicle}/{assembly}/{key}" for key in keys]


@pytest.mark.parametrize(
    ("as_files", "address"),
    [
        (False, "https://example.org/garage/vehicles/pannier-utility/engine-front/#block-drain-tap"),
        (True, "https://example.org/garage/vehicles/pannier-utility/engine-front/index.html#block-drain-tap"),
    ],
)
def test_a_label_holds_the_joint_s_address_where_the_site_knows_its_own(
    loaded: Loaded, as_files: bool, address: str
) -> None:
    """On a host's sub-path too, and by the file's name where no server answers for folders."""
    whole = replace(loaded, site_url="https://example.org/garage/", as_files=as_files)
    assert codes(whole, "pannier-utility", "engine-front")[0] == qr_code(address, 21)


def test_labels_say_what_becomes_of_the_bag(fragments: dict[str, str]) -> None:
    fragment = next(iter(ending(fragments, "/front-hub-and-brake/labels/").values()))
    labels = [words(label) for label in fragment.split('<li class="bag-label')[1:]]
    brake = [label for label in labels if "brakes" in label]
    assert brake
    assert all("Nothing in this bag goes to plating." in label for label in brake)
    assert any("Tag this in metal if it goes to plating." in label for label in labels)


def test_a_sheet_shows_which_length_goes_where(loaded: Loaded, fragments: dict[str, str]) -> None:
    """A face for every joint whose places differ in length or in what they break into, and the order of tightening."""
    shown = 0
    for address, fragment in ending(fragments, "/sheet/").items():
        vehicle, assembly = address.split("/")[1:3]
        for key, joint in loaded.fleet.vehicles[vehicle].assemblies[assembly].joints.items():
            section = fragment.partition(f'aria-labelledby="{key}">')[2].partition("</section>")[0]
            places = joint.record.places
            if not isinstance(places, int) and len({place.length for place in places.values()}) > 1:
                shown += 1
                assert "Which length goes where" in section, joint.id
                for place in places.values():
                    assert place.length is None or place.length.written in words(section)
            if joint.record.tighten and joint.record.tighten.order == "cross" and places == 4:
                assert "Order of tightening, cross" in section, joint.id
    assert shown


def test_the_plater_s_list_gives_every_part_a_reason_that_is_there(fragments: dict[str, str]) -> None:
    for fragment in ending(fragments, "/plating/").values():
        used = set(re.findall(r'href="#reason-(\d+)"', fragment))
        listed = set(re.findall(r'id="reason-(\d+)"', fragment))
        assert used == listed != set()
        text = words(fragment)
        assert "Acid and plating make hard steel brittle." in text
        assert "within 4 hours" in text
        for reason in re.findall(r"<dd>(.*?)</dd>", fragment, re.DOTALL):
            assert 'class="source"' in reason


def test_the_plater_s_list_counts_every_part_once(fragments: dict[str, str]) -> None:
    fragment = next(iter(ending(fragments, "/plating/").values()))
    totals = {sign: int(count) for sign, count in re.findall(r'verdict">(.)</span>[^:]+: (\d+) parts', fragment)}
    parts = re.findall(r'<span class="verdict" role="img" aria-label="[^"]+">(.)</span> (\d+) ×', fragment)
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
