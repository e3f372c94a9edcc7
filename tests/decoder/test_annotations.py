"""Findings beside the lines of a pull request."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from decoder.annotations import ChangeError, annotation, lines_changed_since, lines_of_diff, on_changed_lines
from decoder.findings import Finding

FINDING = Finding(
    level="error",
    code="stated-across-flats",
    file="site_data/vehicles/test/record.yml",
    line=7,
    field="joints.a.stated.across_flats",
    found="9/16 in",
    expected="1/2 in",
    fix="measure again",
)


def with_values(**values: object) -> Finding:
    """The finding with some of it changed."""
    return Finding(**{**{name: getattr(FINDING, name) for name in FINDING.__slots__}, **values})  # type: ignore[arg-type]


def test_an_annotation_has_the_mend_as_its_title() -> None:
    """The title is what the author sees first."""
    assert annotation(FINDING) == (
        "::error file=site_data/vehicles/test/record.yml,line=7,title=Fix%3A measure again::"
        "joints.a.stated.across_flats: found 9/16 in, expected 1/2 in (stated-across-flats)"
    )
    assert annotation(with_values(level="warning")).startswith("::warning ")
    assert annotation(with_values(level="note")).startswith("::notice ")


def test_text_cannot_begin_a_command_or_a_property_of_its_own() -> None:
    """Escaped as the host's workflow commands ask: percent, line ends, and in properties colon and comma."""
    told = annotation(with_values(found="a\n::error::b\r%0A", fix="x,line=1:y\n%"))
    assert "\n" not in told
    assert "\r" not in told
    assert told.startswith("::error file=site_data/vehicles/test/record.yml,line=7,title=Fix%3A x%2Cline=1%3Ay%0A%25::")
    assert "found a%0A::error::b%0D%250A, expected" in told


DIFF = """\
diff --git a/site_data/a.yml b/site_data/a.yml
index 1..2 100644
--- a/site_data/a.yml
+++ b/site_data/a.yml
@@ -3 +3,2 @@ joints:
-old
+new
+++ not a header but a line that begins with plus signs
@@ -10,2 +11,0 @@
-gone
--- gone too
diff --git a/site_data/b.yml b/site_data/b.yml
--- /dev/null
+++ b/site_data/b.yml
@@ -0,0 +1,3 @@
+1
+2
+3
diff --git a/c.yml b/c.yml
--- a/c.yml
+++ /dev/null
@@ -1 +0,0 @@
-gone
"""


def test_changed_lines_are_read_from_a_diff() -> None:
    """New lines by their new number; beside what was taken out, the lines on either side."""
    lines = lines_of_diff(DIFF)
    assert lines["site_data/a.yml"] == {3, 4, 11, 12}
    assert lines["site_data/b.yml"] == {1, 2, 3}
    assert "c.yml" not in lines


def test_context_lines_are_not_changed_lines() -> None:
    """A diff with context, as people paste it."""
    replaced = "--- a/x.yml\n+++ b/x.yml\n@@ -1,5 +1,5 @@\n one\n two\n-three\n+drei\n four\n\n"
    assert lines_of_diff(replaced) == {"x.yml": {3}}
    taken_out = "--- a/x.yml\n+++ b/x.yml\n@@ -1,4 +1,3 @@\n one\n two\n-three\n four\n"
    assert lines_of_diff(taken_out) == {"x.yml": {2, 3}}
    at_the_end = "--- a/x.yml\n+++ b/x.yml\n@@ -1,2 +1 @@\n one\n-two\n"
    assert lines_of_diff(at_the_end) == {"x.yml": {1, 2}}


def test_findings_on_changed_lines_are_picked() -> None:
    """By file and line."""
    other = with_values(line=8)
    lines = {FINDING.file: frozenset({7})}
    assert on_changed_lines([FINDING, other], lines) == {FINDING}


@pytest.fixture
def checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small repository, and we are in it."""
    monkeypatch.chdir(tmp_path)
    for name in ("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE"):
        monkeypatch.delenv(name, raising=False)
    git("init", "-q", "-b", "main")
    (tmp_path / "site_data").mkdir()
    (tmp_path / "site_data" / "a.yml").write_text("1\n2\n3\n")
    git("add", ".")
    commit()
    return tmp_path


def git(*arguments: str) -> None:
    """Run git here."""
    subprocess.run(["git", *arguments], check=True, capture_output=True)


def commit() -> None:
    """Commit as nobody."""
    git("-c", "user.name=n", "-c", "user.email=n@example.org", "commit", "-q", "-m", "m")


def test_changes_since_a_revision_are_found(checkout: Path) -> None:
    """Committed and uncommitted ones, and every line of files that git does not know yet."""
    git("checkout", "-q", "-b", "work")
    (checkout / "site_data" / "a.yml").write_text("1\ntwo\n3\n")
    git("add", ".")
    commit()
    (checkout / "site_data" / "a.yml").write_text("1\ntwo\n3\n4\n")
    (checkout / "site_data" / "new.yml").write_text("1\n2\n")
    lines = lines_changed_since("main", Path("site_data"))
    assert lines["site_data/a.yml"] == {2, 4}
    assert lines["site_data/new.yml"] == {1, 2}


def test_what_others_changed_meanwhile_is_not_ours(checkout: Path) -> None:
    """Compared with where the branch began, not with where its target is now."""
    git("checkout", "-q", "-b", "work")
    git("checkout", "-q", "main")
    (checkout / "site_data" / "a.yml").write_text("one\n2\n3\n")
    git("add", ".")
    commit()
    git("checkout", "-q", "work")
    assert lines_changed_since("main", Path("site_data")) == {}


@pytest.mark.parametrize("revision", ["nowhere", "--output=x", "-h"])
def test_a_revision_that_is_none_is_refused(revision: str, checkout: Path) -> None:
    """In one sentence, and never handed to git as an option."""
    with pytest.raises(ChangeError) as raised:
        lines_changed_since(revision, checkout / "site_data")
    assert str(raised.value).count("\n") == 0
    assert not (checkout / "x").exists()
