"""Record files are read as text with lines, and files made to mislead or to exhaust are refused."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from decoder import yaml_source
from decoder.findings import BadDataError, Finding
from decoder.yaml_source import ListNode, Node, TextNode, line_of, path_text, read_yaml, read_yaml_file


@pytest.fixture(params=["compiled", "pure"], autouse=True)
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Every test runs with both parsers: a machine without the compiled one must say the same."""
    if request.param == "pure":
        monkeypatch.setattr(yaml_source, "_LOADER", yaml.BaseLoader)
    else:
        assert hasattr(yaml, "CBaseLoader"), "PyYAML here lacks its compiled parser, which builds rely on for speed"
    return


def plain(node: Node) -> object:
    """The tree without its lines."""
    if isinstance(node, TextNode):
        return node.text
    if isinstance(node, ListNode):
        return [plain(item) for item in node.items]
    return {name: plain(child) for name, child in node.entries.items()}


def refusals(text: str) -> list[Finding]:
    """What a text is refused for."""
    with pytest.raises(BadDataError) as raised:
        read_yaml(text, "r.yml")
    return list(raised.value.findings)


@pytest.mark.parametrize(
    "word", ["8.80", "no", "1:20", "010", "~", "null", "0x1F", "2021-01-01", "1_000", ".inf", "<b>"]
)
def test_words_stay_as_written(word: str) -> None:
    """YAML's guesses (no is false, 1:20 is 80) would change what a record says."""
    assert plain(read_yaml(f"a: {word}\n", "r.yml")) == {"a": word}


def test_every_field_knows_its_line() -> None:
    """A field's line is the one its name stands on; an entry of a list has its own."""
    root = read_yaml("a: 1\nb:\n  c: x\n  d:\n    - {e: y}\n    - z\n", "r.yml")
    assert line_of(root, ("a",)) == 1
    assert line_of(root, ("b", "c")) == 3
    assert line_of(root, ("b", "d")) == 4
    assert line_of(root, ("b", "d", 0, "e")) == 5
    assert line_of(root, ("b", "d", 1)) == 6


def test_the_line_of_what_is_not_written_is_that_of_what_holds_it() -> None:
    """A missing field is reported where it would go."""
    root = read_yaml("a: 1\nb:\n  c: x\n", "r.yml")
    assert line_of(root, ("b", "missing", 3)) == 2


def test_paths_read_as_people_point_at_fields() -> None:
    """Names with dots between, places in lists in brackets."""
    assert path_text(("joints", "cover-to-block", "stack", 0, "length")) == "joints.cover-to-block.stack[0].length"
    assert path_text(()) == "file"


def test_windows_line_ends_and_a_byte_order_mark_are_fine() -> None:
    """Editors add both without being asked."""
    root = read_yaml("\ufeffa: 1\r\nb: 2\r\n", "r.yml")
    assert plain(root) == {"a": "1", "b": "2"}
    assert line_of(root, ("b",)) == 2


def test_comments_are_left_alone() -> None:
    """A comment has a blank after its #, or stands on a line of its own."""
    assert plain(read_yaml("#no blank\na: 1 # why\nb: 'x' #quoted\n# end\n", "r.yml")) == {"a": "1", "b": "x"}


def test_a_repeated_name_is_refused_with_both_lines() -> None:
    """Stock YAML keeps the last value and says nothing."""
    (finding,) = refusals("a: 1\nb: 2\na: 3\n")
    assert str(finding) == (
        "r.yml:3: a: found 'a' again, first on line 1, expected each name once. "
        "Fix: remove one of the two, or give it a name of its own"
    )


@pytest.mark.parametrize(
    ("text", "line", "found"),
    [
        ("a: &x 1\n", 1, "the anchor &x"),
        ("a: [&x 1]\n", 1, "the anchor &x"),
        ("a: &x {b: 1}\n", 1, "the anchor &x"),
        ("a: 1\nb: *x\n", 2, "the alias *x"),
        ("a: !!int 3\n", 1, "the tag tag:yaml.org,2002:int"),
        ("a: !!python/object/apply:os.system [ls]\n", 1, "the tag tag:yaml.org,2002:python/object/apply:os.system"),
        ("a: ! 3\n", 1, "the tag !"),
        ("<<: {b: 1}\n", 1, "a merge key"),
        ("%YAML 1.1\n---\na: 1\n", 1, "a % line"),
        ("%TAG ! tag:x,2000:\n---\na: 1\n", 1, "a % line"),
        ("a: 1\n---\nb: 2\n", 2, "a second document after ---"),
        ("? {a: b}\n: c\n", 1, "a list or mapping as a name"),
        ("? [a, b]\n: c\n", 1, "a list or mapping as a name"),
        ("'': c\n", 1, "a value without a name"),
    ],
)
def test_clever_yaml_is_refused(text: str, line: int, found: str) -> None:
    """A record is read by people in a browser's editor; nothing in it may stand for something else."""
    findings = refusals(text)
    assert (findings[0].line, findings[0].found) == (line, found)


def test_all_clever_yaml_of_a_file_is_reported_together() -> None:
    """One error a run sends people round in circles."""
    findings = refusals("a: &x 1\nb: *x\nc: !!int 3\nc: 4\n")
    assert [finding.line for finding in findings] == [1, 2, 3, 4]


@pytest.mark.parametrize(
    ("text", "line", "whole"),
    [
        ("thread: #10-24\n", 1, "#10-24"),
        ("title: Cover #2\n", 1, "Cover #2"),
        ("a: 1\nb: {thread: #10-24\n  }\n", 2, "#10-24"),
        ("- No. 5 #x\n", 1, "No. 5 #x"),
    ],
)
def test_a_number_sign_that_yaml_would_drop_is_refused(text: str, line: int, whole: str) -> None:
    """`#10-24` after a blank is a comment to YAML and a screw to everybody else."""
    (finding,) = refusals(text)
    assert (finding.line, finding.code) == (line, "yaml-hash")
    assert finding.fix == f"put the whole value in quotes: '{whole}'"


def test_a_number_sign_inside_a_word_or_a_block_stays() -> None:
    """Only a blank before it makes YAML drop it."""
    assert plain(read_yaml("a: x#1\nb: |\n  see #2\n", "r.yml")) == {"a": "x#1", "b": "see #2\n"}


@pytest.mark.parametrize(
    ("text", "line", "found", "fix"),
    [
        ("a:\n\tb: 1\n", 2, "a tab before the text", "replace the tab with blanks"),
        ("a: b: c\n", 1, "a second ': ' in one line", "put the value in quotes"),
        ("x: 1\na: 'y\nb: 2\n", 2, "a quote that is not closed", "close the quote"),
        ("x: 1\na: {b: 1\nc: 2\n", 2, "braces or brackets that do not close as expected", "count the braces"),
        ("- a\nb: 1\n", 2, "a line that does not fit the ones above it", "put the same number of blanks"),
        ("a: @x\n", 1, "'@' at the start of a value", "put the value in quotes"),
        ("a: `x`\n", 1, "'`' at the start of a value", "put the value in quotes"),
        ("a: - b\n", 1, "a '- ' on the line of its name", "start a new line"),
        ('a: "\\q"\n', 1, "a backslash inside double quotes", "use single quotes"),
        ("", 1, "nothing but blanks and comments", "write it"),
        ("# only this\n", 1, "nothing but blanks and comments", "write it"),
    ],
)
def test_text_that_is_no_yaml_is_refused_in_plain_words(text: str, line: int, found: str, fix: str) -> None:
    """The parser's own words ('expected <block end>') help nobody mend a record."""
    (finding,) = refusals(text)
    assert (finding.line, finding.found) == (line, found)
    assert finding.fix.startswith(fix)


@pytest.mark.parametrize(
    ("character", "name"),
    [
        ("\0", "U+0000"),
        ("\x1b", "U+001B"),
        ("\x85", "U+0085"),
        ("\u2028", "U+2028"),
        ("\u202e", "U+202E"),
        ("\u2066", "U+2066"),
        ("\ufeff", "U+FEFF"),
        ("\ud800", "U+D800"),
        ("\r", "U+000D"),
    ],
)
def test_characters_that_cannot_be_seen_are_refused(character: str, name: str) -> None:
    """They make a line look different from what it says, or end a line that does not look ended."""
    (finding,) = refusals(f"a: 1\nb: x{character}y\n")
    assert (finding.line, finding.code) == (2, "yaml-character")
    assert finding.found.endswith(name)


def test_a_laughing_file_is_refused_at_its_first_anchor() -> None:
    """Aliases of aliases grow a page of text to gigabytes."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 10)]
    findings = refusals("\n".join(lines))
    assert findings[0].found == "the anchor &a0"
    assert {finding.code for finding in findings} == {"yaml-feature"}


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_bottomless_nesting_is_refused(opening: str) -> None:
    """Deep nesting would exhaust the stack of whatever walks the tree."""
    findings = refusals(opening * 5000)
    assert findings[0].code == "yaml-limit"
    assert findings[0].found == "more than 16 levels inside each other"


def test_too_many_values_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """The bound is far above any record; here it is lowered to keep the test quick."""
    monkeypatch.setattr(yaml_source, "MAX_NODES", 100)
    assert refusals("- x\n" * 101)[0].found == "more than 100 values"
    read_yaml("- x\n" * 99, "r.yml")


def test_too_many_bytes_are_refused(tmp_path: Path) -> None:
    """Neither a file nor a text past the bound is parsed at all; the file is not even read to its end."""
    big = "a: " + "x" * yaml_source.MAX_BYTES
    assert refusals(big)[0].found == "more than 1000000 bytes"
    path = tmp_path / "big.yml"
    path.write_text(big)
    with pytest.raises(BadDataError, match="more than 1000000 bytes"):
        read_yaml_file(path)


def test_a_file_that_is_not_utf_8_names_the_line(tmp_path: Path) -> None:
    """Old editors save in other encodings."""
    path = tmp_path / "latin.yml"
    path.write_bytes("a: 1\nb: 5 °C\n".encode("latin-1"))
    with pytest.raises(BadDataError) as raised:
        read_yaml_file(path, "site_data/latin.yml")
    assert str(raised.value.findings[0]) == (
        "site_data/latin.yml:2: file: found the byte 0xB0, which is not UTF-8, expected text in UTF-8. "
        "Fix: save the file as UTF-8"
    )


def test_a_file_that_is_not_there_is_said_so(tmp_path: Path) -> None:
    """A folder in place of a file, or nothing at all."""
    for path in (tmp_path, tmp_path / "none.yml"):
        with pytest.raises(BadDataError) as raised:
            read_yaml_file(path, "x.yml")
        assert raised.value.findings[0].fix == "restore the file"


SCALARS = st.text(st.characters(exclude_categories=["C"], exclude_characters="\u2028\u2029\ufeff"), max_size=30)


@given(st.dictionaries(SCALARS.filter(lambda name: name not in ("", "<<")), SCALARS, min_size=1, max_size=5))
def test_what_is_written_in_quotes_comes_back(values: dict[str, str]) -> None:
    """Whatever people type, in quotes it is read as typed."""
    text = yaml.safe_dump(values, default_style="'", allow_unicode=True, width=10**6)
    assert plain(read_yaml(text, "r.yml")) == values


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No input ends in anything but a tree or findings that name a line of it."""
    findings: tuple[Finding, ...] = ()
    try:
        read_yaml(text, "r.yml")
    except BadDataError as error:
        findings = error.findings
    assert all(1 <= finding.line <= text.count("\n") + text.count("\r") + 2 for finding in findings)
