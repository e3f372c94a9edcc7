"""What a machine puts right keeps comments and meaning, and is done once."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decoder.checks import check_fleet
from decoder.checks.cases import Lookup
from decoder.command import run
from decoder.fixer import Fixed, WouldChangeError, fix_record, record_paths, schema_for, schema_line
from decoder.fleet import load_fleet
from decoder.reference import Reference
from decoder.yaml_source import MapNode, read_yaml
from tests.decoder.records_under_test import RECORD, VEHICLE, but_for_drawings, findings_of, write_fleet

LINE = "# yaml-language-server: $schema=../../schema/assembly.schema.json"
SITE_DATA = Path(__file__).parent.parent.parent / "site_data"

UNSORTED = """\
title: Test cover
# about all joints
joints:
  # goes with b
  b:  # said of b
    title: B

    # inside b
    note: |
      first
        second

  a:
    title: A
    # last of a


  # goes with c
  c: {title: C}
# at the margin
summary: after the joints
"""

SORTED = """\
title: Test cover
# about all joints
joints:
  a:
    title: A
    # last of a

  # goes with b
  b:  # said of b
    title: B

    # inside b
    note: |
      first
        second


  # goes with c
  c: {title: C}
# at the margin
summary: after the joints
"""


def fixed(text: str, lookup: Lookup | None = None) -> Fixed:
    """The text put right as an assembly, without a line for editors."""
    return fix_record(text, None, sort=True, lookup=lookup)


def test_joints_are_sorted_with_their_comments() -> None:
    """Comments above a joint go with it; empty lines stay where they separate."""
    result = fixed(UNSORTED)
    assert result.text == SORTED
    assert result.did == ("sorted the joints by name",)


def test_what_is_right_is_left_alone() -> None:
    """Done twice is done once."""
    assert fixed(SORTED) == Fixed(SORTED, ())
    assert fixed(RECORD) == Fixed(RECORD, ())


def test_joints_inside_braces_are_left_for_a_person() -> None:
    """Lines cannot be moved there; `check` still says that they are out of order."""
    text = "title: x\njoints: {b: {title: B}, a: {title: A}}\n"
    assert fixed(text) == Fixed(text, ())


def test_a_file_whose_meaning_would_change_is_refused() -> None:
    """A comment at the margin in the middle of the last joint looks like the end of the joints."""
    text = "joints:\n  b:\n    title: B\n  a:\n    title: A\n# margin\n    note: n\n"
    with pytest.raises(WouldChangeError, match="by hand"):
        fixed(text)


def test_line_ends_and_blanks_are_tidied() -> None:
    """But not the blanks of a block, which are part of its text."""
    result = fixed("\ufefftitle: x  \r\nsummary: y\t\r\n\r\n\r\n")
    assert result == Fixed("title: x\nsummary: y\n", ("tidied line ends and blanks",))
    block = "note: |\n  kept  \n  blank\ntitle: x\n"
    assert fixed(block) == Fixed(block, ())


def test_the_line_for_editors_is_written_or_put_right() -> None:
    """It stays the first line; another comment there moves down."""
    for old in ("title: x\n", f"{LINE}\ntitle: x\n", "# yaml-language-server: $schema=wrong.json\ntitle: x\n"):
        assert fix_record(old, LINE, sort=False, lookup=None).text == f"{LINE}\ntitle: x\n"
    assert fix_record("# ours\ntitle: x\n", LINE, sort=False, lookup=None).text == f"{LINE}\n# ours\ntitle: x\n"


def test_each_kind_of_record_has_its_line(tmp_path: Path) -> None:
    """Only where the schema is there to be found."""
    (tmp_path / "schema").mkdir()
    (tmp_path / "schema" / "assembly.schema.json").write_text("{}")
    assert schema_line(tmp_path / "vehicles" / "v" / "engine.yml", tmp_path) == LINE
    assert schema_line(tmp_path / "vehicles" / "v" / "vehicle.yml", tmp_path) is None
    vehicle = schema_for(tmp_path / "vehicles" / "v" / "vehicle.yml", tmp_path)
    assert vehicle is not None
    assert vehicle.name == "vehicle"


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("thread: 5/16 UNF", "thread: 5/16-24 UNF"),
        ("thread: 5/16unf", "thread: 5/16-24 UNF"),
        ('thread: "5/16-24 unf"', 'thread: "5/16-24 UNF"'),
        ("strength: grade 5", "strength: SAE 5"),
        ("washer: Plain", "washer: plain"),
        ("layer: Cast iron", "layer: cast-iron"),
    ],
)
def test_names_are_written_as_printed(written: str, printed: str, tmp_path: Path, reference: Reference) -> None:
    """One search then finds every joint with that thread; what the checks say stays the same."""
    old = {"thread": "thread: 5/16-24 UNF", "strength": "strength: SAE 5", "washer": "washer: plain"}
    text = RECORD.replace(old.get(written.split(":")[0], "layer: aluminium"), written)
    result = fixed(text, Lookup(reference))
    assert printed in result.text
    assert len(result.did) == 1
    assert fixed(result.text, Lookup(reference)).did == ()
    assert findings_of(tmp_path, reference, result.text) == ()


def test_names_that_mean_two_things_are_left(reference: Reference) -> None:
    """`5/16` may be ten threads; the check names them."""
    text = RECORD.replace("5/16-24 UNF", "5/16")
    assert fixed(text, Lookup(reference)).text == text


def test_a_line_with_the_same_word_twice_is_left(reference: Reference) -> None:
    """Which of the two is the value cannot be seen from the text alone."""
    stack = "- {stud: plain, metal_end: {thread: 5/16 UNF}, nut_end: {thread: 5/16 UNF}, length: 1 in}"
    text = RECORD.replace("- {washer: plain}", stack)
    assert fixed(text, Lookup(reference)).text == text


KEYS = st.text("abcdefgh", min_size=1, max_size=4)
CONTENT = st.sampled_from(
    ["title: T", "# c", "", "note: |\n      deep\n      # no comment", "tighten: {order: any}  # why"]
)


@given(
    st.lists(st.tuples(KEYS, st.lists(CONTENT, max_size=4)), min_size=1, max_size=6, unique_by=lambda joint: joint[0])
)
@settings(deadline=None)
def test_sorting_never_changes_what_is_said(joints: list[tuple[str, list[str]]]) -> None:
    """Whatever stands between the joints: the tree is the same but for order, and every line is still there."""
    lines = ["joints:"]
    for key, content in joints:
        lines += [f"  {key}:", "    kind: k"]
        seen: set[str] = set()
        for line in content:
            name = line.split(":")[0]
            if name in seen and ":" in line:
                continue
            seen.add(name)
            lines.append(f"    {line}" if line else "")
    text = "\n".join(lines) + "\n"
    result = fixed(text)
    before, after = read_yaml(text, "r"), read_yaml(result.text, "r")
    assert isinstance(before, MapNode)
    assert isinstance(after, MapNode)
    names = after.entries["joints"]
    assert isinstance(names, MapNode)
    assert list(names.entries) == sorted(key for key, _ in joints)
    assert sorted(filter(None, result.text.split("\n"))) == sorted(filter(None, text.split("\n")))
    assert fixed(result.text).text == result.text


def test_the_command_writes_once_and_says_what_it_did(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file that cannot be read is named and left."""
    record = RECORD.replace("5/16-24 UNF", "5/16 UNF")
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": record, "broken.yml": "a: 1\na: 2\n"})
    path = root / "vehicles" / "test" / "record.yml"
    assert run(["fix", str(root), "--dry-run"]) == 0
    assert "+      - {bolt: hexagon, thread: 5/16-24 UNF" in capsys.readouterr().out
    assert path.read_text() == record
    assert run(["fix", str(root), "--json"]) == 0
    result = json.loads(capsys.readouterr().out)
    assert [change["did"] for change in result["changed"]] == [["wrote '5/16 UNF' as '5/16-24 UNF'"]]
    assert [each["why"] for each in result["left"]] == ["it cannot be read; `decoder check` says where"]
    assert path.read_text() == RECORD
    assert run(["fix", str(path)]) == 0
    assert capsys.readouterr().out == "Nothing to put right.\n"
    assert not list(path.parent.glob(".fix-*"))


def test_records_here_need_no_fixing(reference: Reference) -> None:
    """`decoder fix` was run on what is in the tree."""
    lookup = Lookup(reference)
    unfixed: dict[str, tuple[str, ...]] = {}
    for path in record_paths(SITE_DATA):
        assembly = path.parent.parent.name == "vehicles" and path.stem != "vehicle"
        result = fix_record(
            path.read_text(encoding="utf-8"),
            schema_line(path, SITE_DATA),
            sort=assembly,
            lookup=lookup if assembly else None,
        )
        if result.did:
            unfixed[path.relative_to(SITE_DATA).as_posix()] = result.did
    assert unfixed == {}, "run `decoder fix`"


def test_fixing_changes_no_finding(tmp_path: Path, reference: Reference) -> None:
    """The same fleet before and after, findings and all, but for order and lines."""
    record = RECORD.replace("5/16-24 UNF", "5/16 unf").replace("SAE 5", "SAE 8")
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": record})
    before = but_for_drawings(check_fleet(load_fleet(root), reference))
    assert run(["fix", str(root)]) == 0
    after = but_for_drawings(check_fleet(load_fleet(root), reference))
    assert [(each.code, each.found) for each in before] == [(each.code, each.found) for each in after]
    assert len(after) == 1
