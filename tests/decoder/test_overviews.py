"""Overviews: layouts are read and checked with file, line and field, drawn with a link for each dot, and all there."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from itertools import combinations
from pathlib import Path

import pytest

from decoder.checks import check_fleet
from decoder.drawings.overview import Spot, draw_overview
from decoder.findings import Finding
from decoder.fleet import Fleet, load_fleet
from decoder.overview_geometry import both_sides, captions, coil_line, rounded
from decoder.overviews import Overview, Point, parse_point, parse_sheet_measure
from decoder.quantities import QuantityError
from decoder.reference import Reference
from tests.decoder.records_under_test import MAP, OVERVIEW, RECORD, VEHICLE, write_fleet

SVG = "{http://www.w3.org/2000/svg}"
ROOT = Path(__file__).parent.parent.parent / "site_data"


@pytest.fixture(scope="module")
def fleet() -> Fleet:
    """The records that come with the tables."""
    return load_fleet(ROOT)


def layouts(fleet: Fleet) -> Mapping[str, tuple[Overview | None, tuple[str, ...]]]:
    """Every layout of the fleet with the names that its dots may have."""
    found = {}
    for vehicle in fleet.vehicles.values():
        found[vehicle.slug] = (vehicle.record.map, tuple(vehicle.assemblies))
        for assembly in vehicle.assemblies.values():
            found[f"{vehicle.slug}/{assembly.slug}"] = (assembly.record.overview, tuple(assembly.joints))
    return found


def test_every_assembly_has_its_overview_and_every_vehicle_its_map(fleet: Fleet, reference: Reference) -> None:
    """With a dot for each joint or assembly, readable, and without a single finding."""
    found = [each for each in check_fleet(fleet, reference) if each.code.startswith(("overview-", "map-"))]
    assert [str(each) for each in found] == []
    for name, (overview, keys) in layouts(fleet).items():
        assert overview is not None, name
        assert set(overview.dots) == set(keys), name


def test_an_overview_is_a_drawing_and_no_row_of_dots(fleet: Fleet) -> None:
    """Several outlines, some of them named, and no two assemblies alike."""
    seen: dict[str, str] = {}
    for name, (overview, _) in layouts(fleet).items():
        assert overview is not None, name
        assert len(overview.outlines) >= 5, name
        assert len(list(captions(overview))) >= 2, name
        assert seen.setdefault(repr(overview.outlines), name) == name
        points = [point for points in overview.dots.values() for point in points]
        if len(points) > 3:
            assert len({point.across for point in points}) > 2, name
            assert len({point.down for point in points}) > 2, name


def check(folder: Path, reference: Reference, record: str, vehicle: str = VEHICLE + MAP) -> list[Finding]:
    """Findings about drawings alone."""
    root = write_fleet(folder, {"vehicle.yml": vehicle, "record.yml": record})
    return list(check_fleet(load_fleet(root), reference))


#: What is wrong: the text of the layout that is replaced, by what, and the finding.
MISTAKES = (
    ("cover-to-block: [50 15]", "cover-to-blok: [50 15]", "overview-unknown-joint", "dots.cover-to-blok", 18,
     "did you mean 'cover-to-block'?"),
    ("[50 15]", "[50 78]", "overview-outline", "dots.cover-to-block[0]", 18, "move the dot inwards"),
    ("circle: 50 40", "circle: 90 40", "overview-outline", "outlines[0]", 17, "make it smaller, or move it"),
    ("{circle: 50 40, radius: 30, part: cover}", "{bar: [50 40], width: 3}", "overview-outline", "outlines[0].bar", 17,
     "write [10 20, 30 20, …]"),
    ("[50 15]", "[50 15, 53 19]", "overview-crowded", "dots.cover-to-block[1]", 18, "move one of them"),
    ("[50 15]", "[54 40]", "overview-crowded", "outlines[0]", 17, "write 'at: 50 20'"),
    ("part: cover", "part: cover, at: 98 40", "overview-crowded", "outlines[0]", 17, "write 'at:', or fewer words"),
    ("part: cover}", "part: cover}, {words: covered, at: 53 41}", "overview-crowded", "outlines[1]", 17,
     "write 'at: 50 20' for one of them"),
    ("circle: 50 40", "circle: '50,40'", "value", "outlines[0].circle", 17, "write across and down with a blank"),
    ("radius: 30", "radius: 0", "value", "outlines[0].radius", 17, "write hundredths of the sheet's width"),
    ("radius: 30", "radius: 30, drawn: thick", "choice", "outlines[0].drawn", 17, "use one of these words"),
    ("part: cover", "label: cover", "unknown-field", "outlines[0].label", 17, "remove it"),
    ("circle: 50 40, radius: 30", "ring: 50 40", "member", "outlines[0]", 17, "write what it is first"),
    ("view: from the front", "height: 75", "missing-field", "view", 15, "add 'view: from the front'"),
)  # fmt: skip


@pytest.mark.parametrize(("good", "bad", "code", "field", "line", "fix"), MISTAKES, ids=[each[1] for each in MISTAKES])
def test_a_mistake_names_file_line_and_field(
    good: str, bad: str, code: str, field: str, line: int, fix: str, tmp_path: Path, reference: Reference
) -> None:
    """And only that one is told; the layout without it is fine."""
    assert check(tmp_path / "good", reference, RECORD + OVERVIEW) == []
    text = RECORD + OVERVIEW
    assert good in text
    found = check(tmp_path / "bad", reference, text.replace(good, bad))
    about = [each for each in found if each.code == code]
    assert [(each.file, each.line, each.field) for each in about] == [
        ("site_data/vehicles/test/record.yml", line, f"overview.{field}")
    ]
    assert fix in about[0].fix
    assert {each.code for each in found} <= {code, "overview-joint-without-dot", "map-unknown-assembly"}


def test_what_is_missing_is_a_warning(tmp_path: Path, reference: Reference) -> None:
    """Other people's records build without drawings, and are told what would help."""
    found = check(tmp_path / "1", reference, RECORD, VEHICLE)
    assert [(each.level, each.code, each.file.rsplit("/", 1)[1]) for each in found] == [
        ("warning", "overview-missing", "record.yml"),
        ("warning", "map-missing", "vehicle.yml"),
    ]
    other = MAP.replace("record: [50 30]", "recrod: [50 30]")
    found = check(tmp_path / "2", reference, RECORD + OVERVIEW, VEHICLE + other)
    assert sorted((each.level, each.code, each.field) for each in found) == [
        ("error", "map-unknown-assembly", "map.dots.recrod"),
        ("warning", "map-assembly-without-dot", "map.dots"),
    ]
    bare = OVERVIEW.replace("cover-to-block", "other")
    second = RECORD.partition("joints:\n")[2].replace("cover-to-block", "other").replace("Cover to", "Other to")
    found = check(tmp_path / "3", reference, RECORD + second + bare)
    assert [(each.level, each.code, each.found) for each in found] == [
        ("warning", "overview-joint-without-dot", "no dot for 'cover-to-block'")
    ]


@pytest.mark.parametrize("text", ["50 20", " 50  20 ", "0 0", "99.5 12.25"])
def test_points_are_read_as_people_write_them(text: str) -> None:
    """Across, then down."""
    across, down = map(float, text.split())
    assert parse_point(text) == Point(across, down)


@pytest.mark.parametrize("text", ["50", "50,20", "50 20 10", "-1 20", "50 1e1", "a b", "", "50 20mm", "1000 5"])
def test_other_points_are_refused(text: str) -> None:
    """In one sentence that says how to write one."""
    with pytest.raises(QuantityError, match=r"across and down .*50 20"):
        parse_point(text)


@pytest.mark.parametrize("text", ["0", "-3", "151", "3 mm", "", "1/2"])
def test_measures_of_the_sheet_are_bounded(text: str) -> None:
    """A sheet is a phone's screen, not a poster."""
    with pytest.raises(QuantityError, match="hundredths of the sheet's width"):
        parse_sheet_measure(text)


def test_a_bar_is_as_wide_as_it_says() -> None:
    """Straight, and round a right angle."""
    straight = both_sides((Point(10, 10), Point(30, 10)), 4)
    assert {(point.across, point.down) for point in straight} == {(10, 12), (30, 12), (30, 8), (10, 8)}
    bent = both_sides((Point(0, 0), Point(10, 0), Point(10, 10)), 2)
    assert any(math.isclose(p.across, 9) and math.isclose(p.down, 1) for p in bent)
    assert any(math.isclose(p.across, 11) and math.isclose(p.down, -1) for p in bent)


def test_rounded_lines_run_through_their_points_and_coils_between_their_ends() -> None:
    """So that what is written is where the drawing has it."""
    points = (Point(0, 0), Point(10, 5), Point(20, 0), Point(30, 20))
    assert set(points) <= set(rounded(points))
    assert set(points) <= set(rounded(points, closed=True))
    coil = coil_line((Point(50, 10), Point(50, 40)), 10)
    assert (coil[0], coil[-1]) == (Point(50, 10), Point(50, 40))
    assert {round(abs(point.across - 50), 6) for point in coil[1:-1]} == {5}


def test_each_dot_carries_its_number_and_leads_to_its_card(fleet: Fleet) -> None:
    """One link a joint, named for those who cannot see it; nothing but classes for looks."""
    for name, (overview, keys) in layouts(fleet).items():
        assert overview is not None, name
        spots = {key: Spot(number=n, title=f"joint {key}", link=f"#{key}") for n, key in enumerate(keys, start=1)}
        text = draw_overview(overview, spots, "Title <x>")
        svg = ET.fromstring(text)
        links = [link for link in svg.iter(f"{SVG}a") if "aria-hidden" not in link.attrib]
        others = [link for link in svg.iter(f"{SVG}a") if link not in links]
        assert [link.attrib["href"] for link in links] == [f"#{key}" for key in keys], name
        assert all(link.attrib["tabindex"] == "-1" for link in others)
        for number, (key, link) in enumerate(zip(keys, links, strict=True), start=1):
            assert link.attrib["aria-label"] == f"{number} joint {key}"
            assert [each.text for each in link.iter(f"{SVG}text")] == [str(number)]
            again = [other.findtext(f"{SVG}text") for other in others if other.attrib["href"] == f"#{key}"]
            assert again == [str(number)] * (len(overview.dots[key]) - 1)
        assert svg.findtext(f"{SVG}title") == f"Title <x>: {overview.view}; not to scale"
        assert f"{len(keys)} joint {keys[-1]}." in (svg.findtext(f"{SVG}desc") or "")
        assert " style=" not in text
        assert not re.search(r"\b(fill|stroke|font)[a-z-]*=", text)


def test_a_press_beside_a_dot_means_the_nearest(fleet: Fleet) -> None:
    """What takes a press is 48 across where there is room, never less than the dot, and never reaches into another."""
    for name, (overview, keys) in layouts(fleet).items():
        assert overview is not None, name
        spots = {key: Spot(number=n, title=key, link=f"#{key}") for n, key in enumerate(keys, start=1)}
        links = list(ET.fromstring(draw_overview(overview, spots, "x")).iter(f"{SVG}a"))
        circles = [
            (link.attrib["href"], *(float(each.attrib[side]) for side in ("cx", "cy", "r")))
            for link in links
            for each in link.iter(f"{SVG}circle")
            if each.attrib["class"] == "press"
        ]
        assert all(11.5 < radius <= 24 for *_, radius in circles), name
        for (one, x1, y1, r1), (two, x2, y2, r2) in combinations(circles, 2):
            if one != two:
                assert math.hypot(x1 - x2, y1 - y2) >= r1 + r2 - 0.6, name


def test_on_paper_there_is_nothing_to_press() -> None:
    """The same drawing without links."""
    overview = Overview(view="from above", outlines=(), dots={"a": (Point(20, 20),), "b": (Point(40, 20),)})  # type: ignore[arg-type]
    svg = ET.fromstring(draw_overview(overview, {"a": Spot(number=1, title="A")}, "Cover"))
    assert [list(svg.iter(f"{SVG}{name}")) for name in ("a",)] == [[]]
    assert [each.text for each in svg.iter(f"{SVG}text")] == ["1"]
    assert len(list(svg.iter(f"{SVG}circle"))) == 1
