"""The walker that makes typed records of text: every mistake with its line, and nothing guessed."""

# Messages stand on one line, as their reader sees them.
# ruff: noqa: E501

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

import pytest

from decoder.build import Origin, build, build_folder, choose_member, did_you_mean
from decoder.fields import RecordId, Text, doc
from decoder.findings import Finding
from decoder.quantities import Length, parse_length
from decoder.yaml_source import read_yaml

READERS: Mapping[Any, Any] = {Length: parse_length}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolt:
    """One of two kinds."""

    bolt: Literal["hexagon", "eye"] = field(metadata=doc("shape of the head"))
    length: Length = field(metadata=doc("under the head", example="1 in"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Nut:
    """The other; it has a field that is called like a kind."""

    nut: RecordId = field(metadata=doc("kind of nut"))
    bolt: Text | None = field(default=None, metadata=doc("what it goes on"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """A record with one of everything."""

    id: str = field(metadata=doc("the file's name", from_file_name=True))
    title: Text = field(metadata=doc("what it is called", example="A thing"))
    width: Length | None = field(default=None, metadata=doc("how wide", example="9 mm"))
    words: tuple[Text, ...] = field(default=(), metadata=doc("words"))
    parts: tuple[Bolt | Nut, ...] = field(default=(), metadata=doc("parts"))
    sizes: Length | Mapping[str, Length] | None = field(
        default=None, metadata=doc("one size, or named ones", keyed=True)
    )
    others: Mapping[str, Bolt] = field(default_factory=dict, metadata=doc("others", each_alone=True))
    whole: Mapping[str, Bolt] = field(default_factory=dict, metadata=doc("all or none"))
    first: Bolt | None = field(default=None, metadata=doc("the first bolt"))


def built(text: str) -> tuple[Thing | None, list[Finding]]:
    """A thing called `x` from YAML, and what is wrong with it."""
    findings: list[Finding] = []
    thing = build(Thing, read_yaml(text, "x.yml"), "x.yml", findings, readers=READERS, given={"id": "x"})
    return thing, findings


def told(text: str) -> str:
    """The one thing that is wrong."""
    _, (finding,) = built(text)
    return str(finding).removeprefix("x.yml:")


def test_a_whole_record_is_built() -> None:
    """Texts, quantities, lists, mappings and members of a list each come out typed."""
    thing, findings = built(
        "title: T\nwidth: 9 mm\nwords: [a, 8.80]\nparts:\n  - {bolt: eye, length: 1 in}\n  - {nut: plain, bolt: long}\n"
        "sizes: {upper: 3 mm}\nothers: {o: {bolt: eye, length: 2 in}}\nfirst: {bolt: hexagon, length: 3 in}\n"
    )
    assert findings == []
    assert thing is not None
    assert (thing.id, thing.title, thing.words) == ("x", "T", ("a", "8.80"))
    assert thing.width is not None
    assert thing.width.mm == 9
    assert [type(part) for part in thing.parts] == [Bolt, Nut]
    assert isinstance(thing.sizes, Mapping)
    assert thing.sizes["upper"].written == "3 mm"
    assert thing.others["o"].length.mm == pytest.approx(50.8)
    assert built("title: T\nsizes: 3 mm\n")[0] is not None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("titel: T\n", "1: titel: found 'titel', expected one of title, width, words, parts, sizes, others, whole, first. Fix: did you mean 'title'?"),
        ("width: 9 mm\n", "1: title: found nothing, expected what it is called, such as 'A thing'. Fix: add 'title: A thing'"),
        ("title: T\ncolour: red\n", "2: colour: found 'colour', expected one of title, width, words, parts, sizes, others, whole, first. Fix: remove it, or put what it says into a note"),
        ("title: T\nid: y\n", "2: id: found 'id', expected one of title, width, words, parts, sizes, others, whole, first. Fix: remove it, or put what it says into a note"),
        ("title:\n", "1: title: found nothing, expected what it is called, such as 'A thing'. Fix: write the value, or take the name out where nothing is known"),
        ("title: [T]\n", "1: title: found a list, expected what it is called, such as 'A thing'. Fix: write one text here"),
        ("title: {a: b}\n", "1: title: found a mapping, expected what it is called, such as 'A thing'. Fix: write one text here"),
        ("title: T\nwidth: 9\n", "2: width: found '9', expected how wide, such as '9 mm'. Fix: '9' has no unit: write 9 mm or 9 in for a measure, M9 for a thread size, 9 tpi for a pitch"),
        ("title: T\nwords: a\n", "2: words: found 'a', expected a list: words. Fix: write [a]"),
        ("title: T\nwords:\n", "2: words: found nothing, expected a list: words. Fix: start each entry with '- '"),
        ("title: T\nwords: {a: b}\n", "2: words: found a mapping, expected a list: words. Fix: start each entry with '- '"),
        ("title: T\nwords:\n  - a\n  - [b]\n", "4: words[1]: found a list, expected words. Fix: write one text here"),
        ("title: T\nparts:\n  - {bolt: hex, length: 1 in}\n", "3: parts[0].bolt: found 'hex', expected one of hexagon, eye. Fix: did you mean 'hexagon'?"),
        ("title: T\nparts:\n  - {bolt: eye}\n", "3: parts[0].length: found nothing, expected under the head, such as '1 in'. Fix: add 'length: 1 in'"),
        ("title: T\nparts:\n  - {blot: eye}\n", "3: parts[0]: found only blot, expected one of bolt, nut to say what it is. Fix: did you mean 'bolt' for 'blot'?"),
        ("title: T\nparts:\n  - {}\n", "3: parts[0]: found nothing inside, expected one of bolt, nut to say what it is. Fix: write what it is first: {bolt: …}"),
        ("title: T\nparts:\n  - bolt\n", "3: parts[0]: found 'bolt', expected one of bolt, nut to say what it is. Fix: write {bolt: …, …} with the kind first"),
        ("title: T\nsizes: [3 mm]\n", "2: sizes: found a list, expected names with values: one size, or named ones. Fix: write 'name: value' lines"),
        ("title: T\nsizes: {Upper left: 3 mm}\n", "2: sizes.Upper left: found the name 'Upper left', expected lower-case letters, digits and single dashes, such as 'cover-to-block'. Fix: write 'upper-left'"),
        ("title: T\nothers: {}\nfirst: eye\n", "3: first: found 'eye', expected a mapping with bolt, length. Fix: write {bolt: eye}"),
        ("title: T\nparts: [{bolt: eye, length:1 in}]\n", "2: parts[0].length:1 in: found 'length:1 in', expected one of bolt, length. Fix: put a blank after 'length:'"),
        ("- a\n", "1: file: found a list, expected a mapping with title. Fix: write 'name: value' lines"),
    ],
)  # fmt: skip
def test_each_mistake_of_shape_has_its_words(text: str, words: str) -> None:
    """Read as its author would: where, what was found, what was expected, what to do."""
    assert told(text) == words


def test_all_mistakes_are_told_together_in_order_of_the_record() -> None:
    """Reading never stops at the first."""
    _, findings = built("titel: T\nwidth: 9\nwords: a\nparts: [{blot: eye}, {bolt: hex, length: 1}]\n")
    assert [finding.line for finding in findings] == [1, 2, 3, 4, 4, 4]


def test_good_entries_survive_where_the_field_says_so() -> None:
    """The neighbours of an unreadable joint are checked in the same run."""
    thing, findings = built("title: T\nothers:\n  a: {bolt: eye, length: 1 in}\n  b: {bolt: eye}\n")
    assert thing is not None
    assert list(thing.others) == ["a"]
    assert [finding.line for finding in findings] == [4]
    assert built("title: T\nwhole:\n  a: {bolt: eye, length: 1 in}\n  b: {bolt: eye}\n")[0] is None


def test_a_kind_that_carries_anothers_name_is_itself() -> None:
    """A nut may say which bolt it goes on and stays a nut."""
    assert choose_member((Bolt, Nut), {"nut", "bolt"}) == [Nut]
    assert choose_member((Bolt, Nut), {"bolt"}) == [Bolt]
    assert choose_member((Bolt, Nut), {"length"}) == []


def test_a_type_that_nobody_can_read_is_a_mistake_of_the_program() -> None:
    """It must not pass as a mistake of a record."""
    with pytest.raises(TypeError, match="no way to read"):
        build(Thing, read_yaml("title: T\nwidth: 9 mm\n", "x"), "x", [], given={"id": "x"})


def test_suggestions_ignore_case_and_dashes() -> None:
    """People write what they say."""
    assert did_you_mean("Across Flats", ["across_flats", "length"]) == "did you mean 'across_flats'?"
    assert did_you_mean("zzz", ["across_flats"]) == "use one of these words"


def test_an_origin_knows_the_line_of_a_field() -> None:
    """Pages lead each fact to its line."""
    origin = Origin("x.yml", read_yaml("a:\n  b:\n    - c\n", "x.yml"))
    assert origin.line("a", "b", 0) == 3


def test_a_folder_holds_records_and_nothing_else(tmp_path: Path) -> None:
    """A misnamed file is not silently left out; an editor's dot files are."""
    (tmp_path / "good.yml").write_text("title: T\n")
    (tmp_path / "Bad Name.yml").write_text("title: T\n")
    (tmp_path / "other.yaml").write_text("title: T\n")
    (tmp_path / "inner").mkdir()
    (tmp_path / ".swap").write_text("")
    (tmp_path / "broken.yml").write_text("a: 1\na: 2\n")
    findings: list[Finding] = []
    records, origins = build_folder(Thing, tmp_path, "things", findings, readers=READERS)
    assert list(records) == ["good"]
    assert origins["good"].file == "things/good.yml"
    assert sorted((finding.file, finding.found) for finding in findings) == [
        ("things/Bad Name.yml", "the name 'Bad Name'"),
        ("things/broken.yml", "'a' again, first on line 1"),
        ("things/inner", "a folder"),
        ("things/other.yaml", "the ending '.yaml'"),
    ]


def test_a_missing_folder_is_said_so(tmp_path: Path) -> None:
    """And is not taken for an empty one."""
    findings: list[Finding] = []
    assert build_folder(Thing, tmp_path / "none", "none", findings) == ({}, {})
    assert [finding.found for finding in findings] == ["no such folder"]
