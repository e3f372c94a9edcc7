"""Marks: their records, what words find them, what they are confused with, and what is refused."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest

from decoder.command import run
from decoder.findings import BadDataError
from decoder.marks import Mark, Marks, load_marks
from decoder.paths import reference_root
from decoder.quantities import QuantityError
from decoder.sources import load_sources
from decoder.strength import load_strengths
from tests.published_values import FOLDER, known_documents

SOURCES = load_sources(reference_root())
STRENGTHS = load_strengths(reference_root(), SOURCES)
MARKS = load_marks(reference_root(), SOURCES, STRENGTHS)

COUNTED = re.compile(r"(radial-lines|bars|dash|nut-punch|nut-corner-marks)-(\d+)")


@pytest.mark.parametrize(
    ("words", "id"),
    [
        ("radial-lines-3", "radial-lines-3"),
        ("3 radial lines", "radial-lines-3"),
        ("3 lines", "radial-lines-3"),
        ("three ticks", "radial-lines-3"),
        ("three lines on one side", "radial-lines-3-one-side"),
        ("three radial lines around a ring", "radial-lines-3-ring"),
        ("3 lines and a ring", "radial-lines-3-ring"),
        ("6 lines", "radial-lines-6"),
        ("five dashes", "radial-lines-5"),
        ("8.8", "text-8-8"),
        ("8,8", "text-8-8"),
        ("08.8", "text-08-8"),
        ("underlined 10.9", "text-10-9-underlined"),
        ("A2-70", "text-a2-70"),
        ("a2 70", "text-a2-70"),
        ("T", "text-t"),
        ("letter R", "text-r"),
        ("7", "text-7"),
        ("none", "none-visible"),
        ("no mark", "none-visible"),
        ("unmarked", "none-visible"),
        ("unmarked nut", "nut-none-visible"),
        ("dot in the middle", "recess-centre"),
        ("recess", "recess-centre"),
        ("circles on a flat", "circles-row-flat"),
        ("3 bars", "bars-3"),
        ("arrow", "head-arrow"),
        ("8 on a nut", "nut-text-8"),
    ],
)
def test_plain_words_find_the_mark(words: str, id: str) -> None:
    assert MARKS.find(words).id == id


def test_the_part_that_carries_it_narrows_the_choice() -> None:
    assert MARKS.find("8", on="nut").id == "nut-text-8"
    assert MARKS.find("none", on="socket screw head").id == "socket-head-none"


@pytest.mark.parametrize("words", ["", "gibberish", "17 radial lines", "???"])
def test_words_that_fit_nothing_are_refused_with_an_example(words: str) -> None:
    with pytest.raises(QuantityError, match="say what you see"):
        MARKS.find(words)


def test_words_that_fit_several_name_them() -> None:
    with pytest.raises(QuantityError) as caught:
        MARKS.find("L")
    assert set(caught.value.choices) == {"nut-text-l", "stud-text-l"}


@pytest.mark.parametrize("mark", MARKS, ids=lambda mark: mark.id)
def test_every_mark_is_found_by_its_id_and_by_its_title(mark: Mark) -> None:
    assert MARKS.find(mark.id) is mark
    assert mark in MARKS.search(mark.title, on=mark.on)[:3]


@pytest.mark.parametrize("mark", MARKS, ids=lambda mark: mark.id)
def test_an_id_says_what_is_seen(mark: Mark) -> None:
    """A number in the id is the number of things seen, a text the text that is read; never a grade."""
    counted = COUNTED.match(mark.id)
    if counted:
        assert int(counted[2]) == mark.elements[0].count
    written = re.fullmatch(r"(?:nut-|socket-|stud-)?text-(.+?)(-underlined|-lines-3)?", mark.id)
    if written:
        (text,) = mark.texts
        assert re.sub(r"[^a-z0-9]", "-", text.lower()) == written[1]
    for grade in mark.grades:
        assert not re.search(rf"\b(grade|class|sae|iso|astm)-?{re.escape(grade.lower())}\b", mark.id)


@pytest.mark.parametrize("mark", [mark for mark in MARKS if mark.shows_nothing], ids=lambda mark: mark.id)
def test_a_part_without_a_mark_never_has_a_grade(mark: Mark) -> None:
    assert mark.grades == ()


@pytest.mark.parametrize("mark", MARKS, ids=lambda mark: mark.id)
def test_certainty_is_not_claimed_beyond_its_sources(mark: Mark) -> None:
    for meaning in mark.means:
        documents = [source.document for source in meaning.sources if source.is_cited]
        if meaning.certainty in ("well supported", "one source"):
            assert documents, meaning
        if meaning.certainty == "from memory":
            assert any(source.document == "from memory" for source in meaning.sources), meaning


def test_lines_without_a_makers_mark_are_called_a_claim() -> None:
    for mark in MARKS:
        if any(element.kind == "radial line" for element in mark.elements):
            assert any("claim" in caution for caution in mark.cautions), mark.id


def test_confusion_goes_both_ways() -> None:
    pairs = {(mark.id, other.id) for mark in MARKS for other in mark.confusable_with}
    assert pairs == {(b, a) for a, b in pairs}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        # Each pair stands in a public chart or manual under one heading, or differs by what wears off.
        ("radial-lines-3", "radial-lines-3-one-side"),
        ("radial-lines-6", "radial-lines-6-uneven"),
        ("radial-lines-5", "radial-lines-6"),
        ("radial-lines-3", "bars-3"),
        ("radial-lines-3", "radial-lines-3-ring"),
        ("text-8-8", "text-08-8"),
        ("text-10-9", "text-10-9-underlined"),
        ("text-8-8", "text-6-8"),
        ("text-6", "text-9"),
        ("text-x", "text-y"),
        ("text-a2", "text-a2-70"),
        ("cross-raised", "asterisk-raised"),
        ("none-visible", "recess-centre"),
        ("nut-clock-8", "nut-clock-10"),
        ("nut-clock-4", "nut-clock-8"),
    ],
)
def test_what_is_easily_confused_is_named(one: str, other: str) -> None:
    mark = MARKS.get(one)
    assert mark is not None
    assert other in {near.id for near in mark.confusable_with}


@pytest.mark.parametrize(("one", "other"), [("radial-lines-3", "radial-lines-6"), ("text-8-8", "text-12-9")])
def test_what_differs_plainly_is_not(one: str, other: str) -> None:
    mark = MARKS.get(one)
    assert mark is not None
    assert other not in {near.id for near in mark.confusable_with}


def test_one_picture_keeps_its_several_meanings() -> None:
    lines = MARKS.get("radial-lines-3")
    assert lines is not None
    assert {"SAE 5", "ASTM A449"} <= set(lines.grades)


def test_part_and_first_glance_leave_few_to_choose_from() -> None:
    """Three taps to any mark: the part, the look, the picture; a phone shows a few dozen pictures by scrolling."""
    groups: dict[tuple[str, str], list[str]] = {}
    for mark in MARKS:
        groups.setdefault((mark.on, mark.look), []).append(mark.id)
    assert max(map(len, groups.values())) <= 40
    assert groups["bolt head", "nothing"] == ["colour-lacquer", "none-bright", "none-visible"]
    assert "radial-lines-3" in groups["bolt head", "lines"]


def published() -> list[dict[str, str]]:
    with (FOLDER / "marks.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("value", published(), ids=lambda value: f"{value['item']}: {value['field']}")
def test_a_mark_means_what_others_print(value: dict[str, str]) -> None:
    mark = MARKS.find(value["item"])
    assert value["document"] in {*SOURCES, *known_documents()}
    assert value["document"] not in {source.document for source in mark.sources}
    if value["field"] == "id":
        assert mark.id == value["value"]
    elif value["value"]:
        assert value["value"] in mark.grades
    else:
        assert mark.grades == ()


GOOD = """\
title: Three radial lines
on: bolt head
elements:
  - {kind: radial line, count: 3, at: rim, angles: [0°, 120°, 240°]}
means:
  - about: strength
    grade: SAE 5
    standard: SAE J429
    origin: United States
    certainty: from memory
    says: grade 5
    sources:
      - {document: from memory}
does_not_tell:
  - who made it
"""


def load(tmp_path: Path, **records: str) -> Marks:
    folder = tmp_path / "marks"
    folder.mkdir()
    for id, text in records.items():
        (folder / f"{id.replace('_', '-')}.yml").write_text(text, encoding="utf-8")
    return load_marks(tmp_path, ["some-book"], STRENGTHS)


def test_a_good_record_is_read(tmp_path: Path) -> None:
    (mark,) = load(tmp_path, lines=GOOD)
    assert mark.elements[0].angles == (0, 120, 240)


@pytest.mark.parametrize(
    ("old", "new", "code", "field", "line"),
    [
        ("grade: SAE 5", "grade: SAE 55", "mark-strength", "means[0].grade", 7),
        ("grade: SAE 5", "grade: grade 5", "mark-strength", "means[0].grade", 7),
        ("grade: SAE 5", "grade: SAE nut 5", "mark-strength", "means[0].grade", 7),
        ("    says:", "    from_size: 2 mm\n    says:", "mark-strength", "means[0].from_size", 11),
        ("    says:", "    families: [UNFF]\n    says:", "mark-family", "means[0].families[0]", 11),
        ("count: 3", "count: 4", "mark-geometry", "elements[0].angles", 4),
        ("120°, 240°", "120°, 120°", "mark-geometry", "elements[0].angles", 4),
        ("240°", "400°", "value", "elements[0].angles[2]", 4),
        ("kind: radial line", "kind: radial lime", "choice", "elements[0].kind", 4),
        ("at: rim", "at: rim, text: A", "mark-geometry", "elements[0].text", 4),
        (
            "document: from memory",
            "document: some-bok, where: p. 1",
            "record-source",
            "means[0].sources[0].document",
            13,
        ),
        ("document: from memory", "document: some-book", "record-source", "means[0].sources[0]", 13),
        ("on: bolt head", "on: bold head", "choice", "on", 2),
        ("does_not_tell:\n  - who made it\n", "", "missing-field", "does_not_tell", 1),
        ("title:", "titel:", "unknown-field", "titel", 1),
    ],
)
def test_a_mistake_is_named_with_its_line(tmp_path: Path, old: str, new: str, code: str, field: str, line: int) -> None:
    assert old in GOOD
    with pytest.raises(BadDataError) as caught:
        load(tmp_path, lines=GOOD.replace(old, new))
    found = {(finding.code, finding.field, finding.line) for finding in caught.value.findings}
    assert (code, field, line) in found
    assert all(finding.file.endswith("/marks/lines.yml") and finding.fix for finding in caught.value.findings)


def test_a_grade_for_nothing_seen_is_refused(tmp_path: Path) -> None:
    text = GOOD.replace("elements:\n  - {kind: radial line, count: 3, at: rim, angles: [0°, 120°, 240°]}\n", "")
    with pytest.raises(BadDataError, match="no mark means no strength"):
        load(tmp_path, blank=text)


def test_a_second_record_of_one_picture_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadDataError, match="one record for each picture"):
        load(tmp_path, lines=GOOD, more_lines=GOOD)


def test_the_command_answers_with_the_promised_names() -> None:
    out, err = io.StringIO(), io.StringIO()
    assert run(["mark", "3 radial lines", "--json"], out, err) == 0
    result = json.loads(out.getvalue())
    assert {
        "id", "title", "on", "elements", "means", "does_not_tell", "confusable_with", "cautions", "sources",
    } <= set(result)  # fmt: skip
    assert {"standard", "grade", "origin", "certainty"} <= set(result["means"][0])


def test_the_command_lists_all_and_refuses_what_it_does_not_know() -> None:
    out, err = io.StringIO(), io.StringIO()
    assert run(["mark", "--json"], out, err) == 0
    assert len(json.loads(out.getvalue())["marks"]) == len(MARKS)
    assert run(["mark", "gibberish"], out, err) == 2
    assert "say what you see" in err.getvalue()


def test_the_command_says_that_no_strength_follows_from_a_blank_head() -> None:
    out = io.StringIO()
    assert run(["mark", "none"], out, io.StringIO()) == 0
    assert "No strength follows from it." in out.getvalue()
