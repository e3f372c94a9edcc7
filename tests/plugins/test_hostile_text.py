"""Record text is data: whatever is typed into any text field of any record is shown as it was typed.

The fields are enumerated from the record types, so that a field added to the format is tried without a change here.
"""

from __future__ import annotations

import dataclasses
import json
import re
import types
import typing
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from html.parser import HTMLParser
from itertools import count
from pathlib import Path
from typing import Any, Literal, NewType, get_args, get_origin, get_type_hints

import pytest
from decoder_site.files import site_files
from decoder_site.loading import Loaded
from decoder_site.making import FragmentPage, HandWritten, MadePage, add_pages
from decoder_site.pages import site_pages
from decoder_site.records_place import RecordsPlace
from mkdocs.config import load_config
from mkdocs.structure.files import Files

from decoder.build import Origin
from decoder.fields import GradeName, RecordId, Span, Text, ThreadName
from decoder.findings import Finding
from decoder.fleet import Fleet, FleetAssembly, FleetJoint, FleetVehicle
from decoder.kinds import Finish, HardwareKind, Kinds, Material
from decoder.mark_records import Mark, MarkRecord
from decoder.marks import Marks
from decoder.overviews import Point
from decoder.quantities import Length, Pitch, Torque, parse_length, parse_pitch, parse_torque
from decoder.records import Assembly, Joint, JointKind, Vehicle
from decoder.reference import Reference
from decoder.sources import Source
from decoder.strength import Strengths
from decoder.yaml_source import MapNode
from tests.plugins.projects import Project

#: Attempts at markup, templates, Markdown, attributes, entities and scripts, each told apart by its number.
_ATTEMPT = "<b>n{0}</b> {{{{ n{0} }}}} {{% if %}} [x](javascript:alert({0})) \"q' onload=n &amp; </script><!-- `n` *n*"


#: What loading holds against a list, so that nothing hostile gets past it; and a kind of mark that reads something.
_LISTED = {"Meaning.families": ("UNF",), "Element.kind": "letters"}


@dataclass
class Sample:
    """Makes records with every field filled, and remembers each hostile text with the field that it went into."""

    numbers: Iterator[int] = field(default_factory=count)
    typed: dict[str, str] = field(default_factory=dict)

    def text(self, where: str) -> str:
        """A hostile text of its own."""
        text = _ATTEMPT.format(next(self.numbers))
        self.typed[text] = where
        return text

    def record(self, cls: Any, **given: Any) -> Any:
        """A record of a class with every field filled."""
        hints = get_type_hints(cls)
        values = {
            item.name: given[item.name]
            if item.name in given
            else self.value(hints[item.name], f"{cls.__name__}.{item.name}", item.metadata.get("refers", ""))
            for item in dataclasses.fields(cls)
        }
        return cls(**values)

    def value(self, hint: Any, where: str, refers: str) -> Any:
        """A value of a type."""
        if where in _LISTED:
            return _LISTED[where]
        origin, inside = get_origin(hint), get_args(hint)
        if origin in (typing.Union, types.UnionType):
            options = [one for one in inside if one is not type(None) and get_origin(one) is not Literal]
            options = options or [one for one in inside if one is not type(None)]
            # Of several kinds of value the fullest: named places before a number, statements before 'none found'.
            best = max(options, key=lambda one: get_origin(one) in (tuple, Mapping) or dataclasses.is_dataclass(one))
            return self.value(best, where, refers)
        if origin is tuple:
            inner = inside[0]
            members = get_args(inner) if get_origin(inner) in (typing.Union, types.UnionType) else (inner,)
            return tuple(self.value(one, where, refers) for one in members)
        if isinstance(origin, type) and issubclass(origin, Mapping):
            key = get_args(inside[0])[0] if get_origin(inside[0]) is Literal else "as-named"
            return {key: self.value(inside[1], where, refers)}
        return self._simple(hint, where, refers)

    def _simple(self, hint: Any, where: str, refers: str) -> Any:
        if get_origin(hint) is Literal:
            return get_args(hint)[0]
        if dataclasses.is_dataclass(hint) and hint not in (Length, Pitch, Torque, Point):
            return self.record(hint)
        fixed = {
            ThreadName: "5/16-24 UNF",
            GradeName: "SAE 5",
            Length: parse_length("1/2 in"),
            Pitch: parse_pitch("24 tpi"),
            Torque: parse_torque("12 lbf·ft"),
            Point: Point(50, 20),
        }
        if hint in fixed:
            return fixed[hint]
        if hint is RecordId:
            return {"source": "sae-j429"}.get(refers, "sample")
        if hint in (Text, Span):
            return self.text(where)
        if isinstance(hint, NewType):
            numbers = {int: 2, float: 30.0}
            return numbers[hint.__supertype__] if hint.__supertype__ in numbers else self.text(where)
        if hint is str:
            return "sample"
        raise AssertionError(f"{where}: no sample for {hint!r}")


class _Words(HTMLParser):
    """The text of a fragment as a reader sees it, and every element and attribute in it."""

    def __init__(self, fragment: str) -> None:
        super().__init__(convert_charrefs=True)
        self.text = ""
        self.elements: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.comments: list[str] = []
        self.feed(fragment)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        self.attributes += attrs

    def handle_data(self, data: str) -> None:
        self.text += data

    def handle_comment(self, data: str) -> None:
        self.comments.append(data)


@pytest.fixture(scope="module")
def sample() -> Sample:
    """One memory of hostile texts for all records."""
    return Sample()


@pytest.fixture(scope="module")
def loaded(sample: Sample, reference: Reference) -> Loaded:
    """Facts in which every record is a sample; the tables stay, cut to one thread."""
    grade = reference.strengths.find("SAE 5")
    row = dataclasses.replace(
        grade.rows[0],
        condition=sample.text("strength table"),
        note=sample.text("strength table"),
        hardness=sample.text("t"),
    )
    mark = Mark(record=sample.record(MarkRecord, id="sample"), file="site_data/marks/sample.yml")
    thread = dataclasses.replace(reference.threads.find("5/16-24 UNF"), note=sample.text("thread table"))
    hexagons = tuple(
        dataclasses.replace(row, note=sample.text("hexagon table"), era=sample.text("hexagon table"))
        for row in reference.hexagons.for_thread(thread)[:2]
    )
    spanner = dataclasses.replace(reference.spanners.find("1/2 AF"), note=sample.text("spanner table"))
    spanner = dataclasses.replace(spanner, names=(sample.text("spanner table"),))
    faked = dataclasses.replace(
        reference,
        sources={
            **dict.fromkeys(reference.sources, sample.record(Source, id="other")),
            "sae-j429": sample.record(Source, id="sae-j429"),
        },
        threads=type(reference.threads)([thread]),
        hexagons=type(reference.hexagons)(hexagons),
        spanners=type(reference.spanners)([spanner]),
        strengths=Strengths([dataclasses.replace(grade, note=sample.text("grade"), rows=(row,))]),
        marks=Marks([mark]),
        nuts=Kinds("nut", {"sample": sample.record(HardwareKind, id="sample")}),
        washers=Kinds("washer", {"sample": sample.record(HardwareKind, id="sample")}),
        finishes=Kinds("finish", {"sample": sample.record(Finish, id="sample")}),
        materials=Kinds("material", {"sample": sample.record(Material, id="sample")}),
        joint_kinds={"sample": sample.record(JointKind, id="sample")},
    )
    return Loaded(
        reference=faked,
        fleet=_fleet(sample),
        findings=tuple(_findings(sample)),
        place=RecordsPlace("site_data", "https://example.org/records/blob/main/"),
        site_name="Sample",
        as_files=False,
        watched=(),
    )


def _fleet(sample: Sample) -> Fleet:
    origin = Origin("site_data/vehicles/sample/frame.yml", MapNode({}, {}, 1))
    joint: Joint = sample.record(Joint)
    plain_places: Joint = sample.record(Joint, places=2)
    assembly: Assembly = sample.record(Assembly, joints={"sample": joint, "second": plain_places})
    made = FleetAssembly(
        vehicle="sample",
        slug="frame",
        record=assembly,
        origin=origin,
        written=tuple(assembly.joints),
        joints={
            key: FleetJoint(vehicle="sample", assembly="frame", key=key, record=one, origin=origin)
            for key, one in assembly.joints.items()
        },
    )
    # Names of files, checked while loading, and shown as the titles of these.
    record: Vehicle = sample.record(Vehicle, assemblies=("frame",), invented="yes")
    vehicle = FleetVehicle(slug="sample", record=record, origin=origin, assemblies={"frame": made}, files=("frame",))
    return Fleet(vehicles={"sample": vehicle})


def _findings(sample: Sample) -> Iterator[Finding]:
    for level in ("warning", "note"):
        yield Finding(
            level=level,
            code="sample",
            file="site_data/vehicles/sample/frame.yml",
            line=1,
            field="joints.sample.title",
            found=sample.text("Finding.found"),
            # A note tells what is and why; there is nothing to mend, so a page leaves out what a rule expects.
            expected=sample.text("Finding.expected") if level == "warning" else "nothing",
            fix=sample.text("Finding.fix"),
        )


@pytest.fixture(scope="module")
def made(loaded: Loaded) -> list[MadePage]:
    """Every page of the sample facts."""
    return list(site_pages(loaded))


def test_every_text_field_of_every_record_is_shown_as_typed(made: list[MadePage], sample: Sample) -> None:
    """No field is left out, none is changed: the attempt stands on some page letter for letter."""
    seen = "\n".join(_Words(page.fragment).text for page in made)
    missing = sorted({where for text, where in sample.typed.items() if text not in seen})
    assert len(sample.typed) > 150
    assert missing == []


def test_no_attempt_becomes_markup(made: list[MadePage]) -> None:
    """No element, attribute, comment or template of the attempts comes alive, in any fragment."""
    for page in made:
        words = _Words(page.fragment)
        assert "b" not in words.elements, page.address
        assert "script" not in words.elements, page.address
        assert not words.comments, page.address
        for name, value in words.attributes:
            assert name in _ATTRIBUTES or name.startswith(("aria-", "data-")), f"{page.address}: {name}"
            assert not (name == "href" and (value or "").lower().startswith("javascript:")), page.address


_ATTRIBUTES = {
    "max", "min", "selected", "step",
    "id", "class", "href", "scope", "role", "tabindex", "for", "type", "value", "placeholder", "autocomplete",
    "accept", "autocapitalize", "disabled", "spellcheck", "hidden", "inputmode", "name", "open",
    # drawings
    "viewbox", "xmlns", "d", "x", "y", "x1", "x2", "y1", "y2", "cx", "cy", "r", "rx", "ry", "width", "height",
    "points", "text-anchor", "transform", "textlength", "lengthadjust", "font-size", "dominant-baseline",
}  # fmt: skip


def test_titles_and_descriptions_are_escaped_for_the_theme(made: list[MadePage], tmp_path: Path) -> None:
    """The theme prints both as they are, so the page hands them over escaped."""
    (tmp_path / "docs").mkdir()
    (tmp_path / "mkdocs.yml").write_text("site_name: x\nplugins: []\n", encoding="utf-8")
    config = load_config(str(tmp_path / "mkdocs.yml"))
    config.plugins._current_plugin = "decoder"
    files = Files([])
    add_pages(made, files, config)
    hostile = 0
    for file in files.documentation_pages():
        page = file.page
        assert isinstance(page, FragmentPage)
        page.read_source(config)
        page.render(config, files)
        for text in (page.title, page.meta["title"], page.meta["description"], *(one.title for one in page.toc.items)):
            assert "<" not in str(text)
            assert '"' not in str(text)
            hostile += "&lt;b&gt;n" in str(text)
    assert hostile > 10


def test_scripts_carry_text_as_data(loaded: Loaded) -> None:
    """In files that a browser runs, record text stands inside one JSON value and nowhere else."""
    text = f"# {_ATTEMPT.format(2)}\n\n## {_ATTEMPT.format(3)}\n\n{_ATTEMPT.format(4)}\n"
    guides = [HandWritten(title=_ATTEMPT.format(0), address="guide/", description=_ATTEMPT.format(1), markdown=text)]
    for address, content in site_files(loaded, guides):
        text = content.decode()
        if address.endswith(".js"):
            start, end = text.index('{"'), text.rindex("}") + 1
            json.loads(text[start:end])
            assert "n" not in re.sub(r"window\.\w+(\.take)?|sample|search", "", text[:start]), address
            assert text[end:] in (");\n", ";\n"), address
        else:
            json.loads(text)


def test_finished_page_holds_the_fragment_untouched(tiny: Project) -> None:
    """A real build: Markdown, the theme and the policy leave a hostile title and note as the fragment has them."""
    note = _ATTEMPT.format(7)
    record = tiny.frame.read_text(encoding="utf-8")
    record = record.replace("title: Bracket to rail", f"title: {json.dumps(_ATTEMPT.format(8))}")
    record = record.replace("    source: invented", f"    note: {json.dumps(note)}\n    source: invented")
    tiny.frame.write_text(record, encoding="utf-8")
    result = tiny.build("--strict")
    assert result.returncode == 0, result.stdout + result.stderr
    page = _Words((tiny.site / "vehicles/test-cart/frame/index.html").read_text(encoding="utf-8"))
    assert note in page.text
    assert _ATTEMPT.format(8) in page.text
    assert "b" not in page.elements
