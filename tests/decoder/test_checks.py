"""Each rule's words for a record that breaks it, and its silence for one that does not.

`tests/bad_records/` holds one mistake a file. The line with the mistake ends in a comment that gives the good line
(`# good: nothing` where it should not be there), and the expected words stand beside it in a `.txt` file.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import decoder.checks
from decoder.checks import JOINT_RULES, RULES, check_fleet, load_checked_fleet
from decoder.findings import BadDataError
from decoder.fleet import load_fleet
from decoder.reference import Reference
from decoder.tables import UNSOURCED
from tests.decoder.records_under_test import RECORD, SHOWN, VEHICLE, but_for_drawings, findings_of, write_fleet

BAD_RECORDS = Path(__file__).parent.parent / "bad_records"
NAMES = sorted(path.stem for path in BAD_RECORDS.glob("*.yml"))


def mended(text: str) -> str:
    """The record with its bad line replaced by the good one."""
    lines: list[str] = []
    for line in text.splitlines():
        bad, mark, good = line.partition("# good: ")
        if mark and good == "nothing":
            continue
        indent = bad[: len(bad) - len(bad.lstrip())].replace("\t", "    ")
        lines.append(indent + good if mark else line)
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("name", NAMES)
def test_a_bad_record_gets_its_words_and_no_others(name: str, tmp_path: Path, reference: Reference) -> None:
    """One mistake, one finding, in the words that its author will read."""
    found = findings_of(tmp_path, reference, (BAD_RECORDS / f"{name}.yml").read_text(encoding="utf-8"))
    told = [f"{each.level} {each.code}\n{each}\n".replace(SHOWN, "record.yml") for each in found]
    assert told == [(BAD_RECORDS / f"{name}.txt").read_text(encoding="utf-8")]


@pytest.mark.parametrize("name", NAMES)
def test_the_mended_record_is_silent(name: str, tmp_path: Path, reference: Reference) -> None:
    """The same record with the one line put right has nothing wrong with it."""
    text = (BAD_RECORDS / f"{name}.yml").read_text(encoding="utf-8")
    assert text.count("# good: ") == 1
    assert findings_of(tmp_path, reference, mended(text)) == ()


@pytest.mark.parametrize("name", NAMES)
def test_the_finding_stands_on_the_bad_line(name: str, tmp_path: Path, reference: Reference) -> None:
    """Or, where a line was left out, on the line that holds it."""
    text = (BAD_RECORDS / f"{name}.yml").read_text(encoding="utf-8")
    (finding,) = findings_of(tmp_path, reference, text)
    lines = text.splitlines()
    bad = next(number for number, line in enumerate(lines, start=1) if "# good: " in line)
    left_out = lines[bad - 1].strip().startswith("#")
    elsewhere = {"used-pin-again": 13, "stack-order": 15, "split-pin-holds-nothing": 13}
    if not left_out:
        assert finding.line == elsewhere.get(name, bad)


def test_every_joint_rule_has_a_bad_record() -> None:
    """A rule that nobody has seen fail may not be able to. Vehicles and order are tested below."""
    shown = {(BAD_RECORDS / f"{name}.txt").read_text(encoding="utf-8").split()[1] for name in NAMES}
    other_tests = {"stated-not-in-tables", "mark-against-hand", "invented-source", "look-alike-in-assembly"}
    assert {rule.code for rule in JOINT_RULES} - shown == other_tests


def test_rules_say_what_they_ask_and_where_it_comes_from(reference: Reference) -> None:
    """Codes are unique, since records name them; each rule says itself in a sentence and names its source."""
    codes = [rule.code for rule in RULES]
    assert len(set(codes)) == len(codes)
    for rule in RULES:
        assert rule.says.endswith("."), rule.code
        assert rule.source in ("the record format", *UNSOURCED, *reference.sources), rule.code


def test_what_can_hurt_someone_cannot_be_accepted() -> None:
    """An exception is never an answer to a part of unknown strength or a pin used again."""
    never = {rule.code for rule in RULES if not rule.acceptable}
    assert {"strength-without-mark", "used-pin-again", "thread-mismatch", "hand-mismatch"} <= never


def test_a_good_record_has_no_findings(tmp_path: Path, reference: Reference) -> None:
    """The record that the tests below take apart."""
    assert findings_of(tmp_path, reference, RECORD) == ()


def changed(old: str, new: str) -> str:
    """The good record with one part replaced."""
    assert RECORD.count(old) == 1
    return RECORD.replace(old, new)


def codes(found: object) -> list[tuple[str, str, int]]:
    """Level, code and line of findings."""
    return [(each.level, each.code, each.line) for each in found]  # type: ignore[attr-defined]


def test_ten_broken_records_tell_all_ten_lines(tmp_path: Path, reference: Reference) -> None:
    """Shape, names and facts of ten files together, in order of file."""
    names = [name for name in NAMES if name not in ("duty-not-usual",)][::6][:10]
    files = {f"{name}.yml": (BAD_RECORDS / f"{name}.yml").read_text(encoding="utf-8") for name in names}
    listed = ", ".join(names)
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE.replace("[record]", f"[{listed}]"), **files})
    found = but_for_drawings(check_fleet(load_fleet(root), reference))
    assert [each.file.rsplit("/", 1)[1] for each in found] == [f"{name}.yml" for name in sorted(names)]
    for name, each in zip(sorted(names), found, strict=True):
        expected = (BAD_RECORDS / f"{name}.txt").read_text(encoding="utf-8").splitlines()[1]
        assert str(each) == expected.replace("record.yml", f"site_data/vehicles/test/{name}.yml")


def test_a_bad_joint_does_not_hide_the_mistakes_of_its_neighbours(tmp_path: Path, reference: Reference) -> None:
    """One joint cannot be read, the next names no mark: both are told in one run."""
    bad = RECORD.partition("joints:\n")[2].replace("cover-to-block", "another").replace("Cover to block", "Another")
    text = changed("duty: seal", "duty: seel") + bad.replace("radial-lines-3", "radial-lines-33")
    found = findings_of(tmp_path, reference, text)
    assert codes(found) == [
        ("error", "choice", 6),
        ("error", "joints-out-of-order", 15),
        ("error", "unknown-reference", 22),
    ]


def test_joints_stand_in_the_order_of_their_names(tmp_path: Path, reference: Reference) -> None:
    """Two people's new joints merge when both are put where their name belongs."""
    second = RECORD.partition("joints:\n")[2].replace("cover-to-block", "a-cover").replace("Cover to block", "A cover")
    (finding,) = findings_of(tmp_path, reference, RECORD + second)
    assert (finding.code, finding.line) == ("joints-out-of-order", 15)
    assert finding.fix == "run `decoder fix`, or move it up"


def test_two_joints_do_not_share_a_title(tmp_path: Path, reference: Reference) -> None:
    """Nobody could tell them apart on a page."""
    second = RECORD.partition("joints:\n")[2].replace("cover-to-block", "cover-to-sump")
    (finding,) = findings_of(tmp_path, reference, RECORD + second)
    assert (finding.code, finding.line) == ("duplicate-title", 16)
    assert finding.found == "'Cover to block', which 'cover-to-block' has too"


@pytest.mark.parametrize(
    ("listed", "files", "code", "found"),
    [
        ("[record]", ["other"], "assembly-not-listed", "no 'other', though other.yml is there"),
        ("[record, recrod]", [], "assembly-not-there", "'recrod', and no file recrod.yml"),
        ("[record, record]", [], "assembly-not-there", "'record' again"),
        ("[record, sizes]", ["sizes"], "reserved-name", "the name 'sizes'"),
    ],
)
def test_files_and_list_agree(
    listed: str, files: list[str], code: str, found: str, tmp_path: Path, reference: Reference
) -> None:
    """The list puts assemblies in reading order, so it must name each file once and nothing else."""
    vehicle = VEHICLE.replace("[record]", listed)
    others = dict.fromkeys(files, RECORD)
    (finding,) = findings_of(tmp_path, reference, RECORD, vehicle, **others)
    assert (finding.code, finding.found) == (code, found)


def test_invented_joints_stay_in_invented_vehicles(tmp_path: Path, reference: Reference) -> None:
    """Somebody may have a real one of these in the garage."""
    (finding,) = findings_of(tmp_path, reference, RECORD, VEHICLE.replace("invented: yes", "invented: no"))
    assert (finding.level, finding.code, finding.line) == ("error", "invented-source", 14)
    named = RECORD.replace("source: invented", "source: measured on the machine in 2026")
    assert findings_of(tmp_path / "real", reference, named, VEHICLE.replace("invented: yes", "invented: no")) == ()


def test_an_accepted_finding_is_a_note_with_its_reason(tmp_path: Path, reference: Reference) -> None:
    """It stays visible, and says why it is right to live with."""
    text = changed(
        "    source:",
        "    stated: {across_flats: 7/16 in}\n    accepted: {stated-across-flats: small head}\n    source:",
    )
    (finding,) = findings_of(tmp_path, reference, text)
    assert (finding.level, finding.code) == ("note", "stated-across-flats")
    assert finding.fix == "none needed; accepted: small head"


def test_an_exception_is_not_called_needless_while_names_are_unknown(tmp_path: Path, reference: Reference) -> None:
    """With the thread misspelt nobody can tell whether the flats are right."""
    text = changed(
        "    source:",
        "    stated: {across_flats: 7/16 in}\n    accepted: {stated-across-flats: small head}\n    source:",
    )
    found = findings_of(tmp_path, reference, text.replace("5/16-24 UNF", "5/16-25 UNF"))
    assert codes(found) == [("error", "unknown-thread", 10)]


def test_what_was_found_wrong_on_a_vehicle_is_a_warning(tmp_path: Path, reference: Reference) -> None:
    """The record of a wrong nut is right; the same nut in today's stack is an error."""
    stack = """stack: [{bolt: hexagon, thread: 5/16-24 UNF, length: 1 in}, {nut: plain, thread: 5/16-18 UNC}]"""
    found = changed("    source:", f"    versions:\n      as found:\n        {stack}\n    source:")
    fitted = found.replace("as found", "as to be fitted")
    assert codes(findings_of(tmp_path / "1", reference, found)) == [("warning", "thread-mismatch", 16)]
    assert codes(findings_of(tmp_path / "2", reference, fitted)) == [("error", "thread-mismatch", 16)]


def test_a_version_is_checked_as_strictly_for_its_names(tmp_path: Path, reference: Reference) -> None:
    """A thread that is in no table cannot have been found."""
    stack = "stack: [{bolt: hexagon, thread: 5/16-25 UNF, length: 1 in}, {nut: plain}]"
    text = changed("    source:", f"    versions:\n      as found:\n        {stack}\n    source:")
    assert codes(findings_of(tmp_path, reference, text)) == [("error", "unknown-thread", 16)]


def test_a_stated_width_without_a_table_is_kept_and_says_so(tmp_path: Path, reference: Reference) -> None:
    """A banjo's hexagon follows no bolt standard."""
    text = changed("bolt: hexagon", "bolt: banjo").replace(
        "    source:", "    stated: {across_flats: 17 mm}\n    source:"
    )
    (finding,) = findings_of(tmp_path, reference, text)
    assert (finding.level, finding.code) == ("note", "stated-not-in-tables")
    assert finding.found == "17 mm for the banjo head on 5/16-24 UNF, which no table gives"


def test_a_tolerance_widens_what_is_compared(tmp_path: Path, reference: Reference) -> None:
    """A rough measure of a rusty head is no mistake."""
    line = "    stated: {across_flats: 12.0 mm ±0.5 mm}\n    source:"
    assert findings_of(tmp_path / "1", reference, changed("    source:", line)) == ()
    narrow = line.replace(" ±0.5 mm", " ±0.05 mm")
    assert len(findings_of(tmp_path / "2", reference, changed("    source:", narrow))) == 1


def test_a_mark_for_left_hand_threads_wants_one(tmp_path: Path, reference: Reference) -> None:
    """Whoever turns it the usual way shears it."""
    left = [
        mark.id
        for mark in reference.marks
        if mark.on == "bolt head" and {meaning.hand for meaning in mark.means if meaning.about == "hand"} == {"left"}
    ]
    if not left:
        pytest.fail("no mark of the records means a left-hand bolt, so this rule is never seen")
    text = changed("mark: radial-lines-3, strength: SAE 5", f"mark: {left[0]}")
    assert codes(findings_of(tmp_path / "1", reference, text)) == [("warning", "mark-against-hand", 10)]
    assert findings_of(tmp_path / "2", reference, text.replace("5/16-24 UNF", "5/16-24 UNF LH")) == ()


@pytest.mark.parametrize(
    ("seen", "asked", "wrong"),
    [
        ("none-visible", "SAE 5", True),
        ("none-visible", "8.8", True),
        ("radial-lines-3", "SAE 5", False),
        ("radial-lines-3", "8.8", True),
        ("radial-lines-6", "SAE 8", False),
        ("text-8-8", "8.8", False),
        ("text-8-8", "10.9", True),
    ],
)
def test_marks_and_grades(seen: str, asked: str, wrong: bool, tmp_path: Path, reference: Reference) -> None:
    """Three lines for grade 5 and six for grade 8: SAE J429 as transcribed by suppliers, and every mechanic's chart."""
    text = changed("mark: radial-lines-3, strength: SAE 5", f"mark: {seen}, strength: {asked}")
    assert bool(findings_of(tmp_path, reference, text)) == wrong


def test_a_checked_fleet_is_refused_with_all_its_errors(tmp_path: Path, reference: Reference) -> None:
    """The build stops; warnings do not stop it."""
    bad = changed("duty: seal", "duty: clamp").replace("radial-lines-3", "radial-lines-33")
    root = write_fleet(tmp_path / "1", {"vehicle.yml": VEHICLE, "record.yml": bad})
    with pytest.raises(BadDataError) as raised:
        load_checked_fleet(root, reference)
    assert [each.code for each in raised.value.findings] == ["unknown-reference"]
    warned = changed("duty: seal", "duty: clamp")
    root = write_fleet(tmp_path / "2", {"vehicle.yml": VEHICLE, "record.yml": warned})
    fleet, found = load_checked_fleet(root, reference)
    assert len(list(fleet.joints())) == 1
    assert codes(but_for_drawings(found)) == [("warning", "duty-not-usual", 6)]


def test_the_fleet_that_comes_with_the_tables_has_no_errors(reference: Reference) -> None:
    """What is shown to the world first must add up."""
    root = Path(__file__).parent.parent.parent / "site_data"
    assert [each for each in check_fleet(load_fleet(root), reference) if each.level == "error"] == []


def code_of(name: str) -> str:
    return (BAD_RECORDS / f"{name}.txt").read_text(encoding="utf-8").split()[1]


@pytest.mark.parametrize("name", [name for name in NAMES if code_of(name) in {rule.code for rule in JOINT_RULES}])
def test_a_rule_that_is_emptied_silences_its_records(
    name: str, tmp_path: Path, reference: Reference, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a bad record gets told comes from the body of the one rule that is named, and from nothing else."""
    code = code_of(name)
    emptied = tuple(replace(rule, problems=lambda _: iter(())) if rule.code == code else rule for rule in JOINT_RULES)
    monkeypatch.setattr(decoder.checks, "JOINT_RULES", emptied)
    assert findings_of(tmp_path, reference, (BAD_RECORDS / f"{name}.yml").read_text(encoding="utf-8")) == ()
