"""`decoder check` as people and machines call it."""

from __future__ import annotations

import io
import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from decoder.command import run
from decoder.paths import reference_root
from tests.decoder.records_under_test import MAP, OVERVIEW, RECORD, VEHICLE, write_fleet

BAD = RECORD.replace("length: 1-1/4 in", "length: 9 mm").replace("duty: seal", "duty: clamp")


@pytest.fixture
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a good and a bad assembly; we stand beside it."""
    monkeypatch.chdir(tmp_path)
    vehicle = VEHICLE.replace("[record]", "[record, good]") + MAP.replace("[50 30]", "[50 30], good: [60 30]")
    return write_fleet(tmp_path, {"vehicle.yml": vehicle, "record.yml": BAD + OVERVIEW, "good.yml": RECORD + OVERVIEW})


def told(capsys: pytest.CaptureFixture[str]) -> list[str]:
    """Lines printed."""
    return capsys.readouterr().out.splitlines()


def test_people_read_a_line_for_each_finding(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Errors first, then warnings, each with the code that an exception would name; then what was read."""
    assert run(["check"]) == 1
    assert told(capsys) == [
        "site_data/vehicles/test/record.yml:10: joints.cover-to-block.stack[0].length: found 9 mm, expected more than "
        "9 mm (0.354 in), the layers and washers it goes through. Fix: measure the length and the layers again; one of "
        "them is wrong [does-not-reach]",
        "site_data/vehicles/test/record.yml:6: joints.cover-to-block.duty: found 'clamp', expected 'seal', as in the "
        "kind 'timing-cover'. Fix: mend the duty or the kind, or say under accepted why this joint differs "
        "[warning: duty-not-usual]",
        "1 error, 1 warning in 1 vehicle, 2 assemblies, 2 joints.",
    ]
    assert records.name == "site_data"


def test_machines_read_findings_and_counts(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`--json` and `--format json` are the same bytes."""
    assert run(["check", str(records), "--json"]) == 1
    out = capsys.readouterr().out
    assert run(["check", str(records), "--format", "json"]) == 1
    assert capsys.readouterr().out == out
    result = json.loads(out)
    assert set(result) == {"findings", "counts"}
    assert result["counts"] == {"vehicles": 1, "assemblies": 2, "joints": 2, "errors": 1, "warnings": 1}
    keys = {"level", "code", "file", "line", "field", "found", "expected", "fix"}
    assert all(set(finding) == keys for finding in result["findings"])


def test_a_path_narrows_what_is_told(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One file is checked in its place: the rest is read, and not told."""
    folder = records / "vehicles" / "test"
    assert run(["check", str(folder / "good.yml")]) == 0
    assert told(capsys) == ["no errors, no warnings in 1 vehicle, 1 assembly, 1 joint."]
    assert run(["check", "site_data/vehicles/test"]) == 1


@pytest.mark.parametrize("path", ["nowhere", "."])
def test_a_path_without_records_is_refused(path: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Unusable input is status 2 and one line."""
    monkeypatch.chdir(tmp_path)
    err = io.StringIO()
    assert run(["check", path], err=err) == 2
    assert err.getvalue().count("\n") == 1


def test_notes_are_counted_and_shown_when_asked(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An accepted finding stays in sight."""
    path = records / "vehicles" / "test" / "record.yml"
    path.write_text(
        BAD.replace(
            "    source:", "    accepted: {does-not-reach: short on purpose, duty-not-usual: soft}\n    source:"
        )
    )
    assert run(["check"]) == 0
    assert told(capsys)[-1].endswith(" 2 notes not shown; --notes shows them.")
    assert run(["check", "--notes"]) == 0
    assert sum("accepted: short on purpose" in line for line in told(capsys)) == 1


def test_only_changed_lines_are_annotated_and_the_rest_is_told(
    records: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """An error elsewhere still fails, and is not hidden."""
    file = "site_data/vehicles/test/record.yml"
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"--- a/{file}\n+++ b/{file}\n@@ -6 +6 @@\n-a\n+b\n"))
    assert run(["check", "--format", "github", "--diff", "-"]) == 1
    lines = told(capsys)
    assert lines[0].startswith(f"::warning file={file},line=6,title=Fix%3A mend the duty")
    assert lines[1] == "On lines that were not changed:"
    assert lines[2].startswith(f"{file}:10: ")
    assert len(lines) == 4
    assert records.is_dir()


def test_changes_since_a_revision_come_from_git(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As the pull request's check calls it; a revision that is not there is unusable input."""
    for arguments in (
        ["init", "-q", "-b", "main"],
        ["add", "."],
        ["-c", "user.name=n", "-c", "user.email=n@example.org", "commit", "-q", "-m", "m"],
    ):
        subprocess.run(["git", *arguments], check=True, capture_output=True)
    path = records / "vehicles" / "test" / "record.yml"
    path.write_text(BAD.replace("9 mm, mark", "8 mm, mark"))
    assert run(["check", "--format", "github", "--changed-since", "main"]) == 1
    lines = told(capsys)
    assert lines[0].startswith("::error file=site_data/vehicles/test/record.yml,line=10,")
    assert lines[1] == "On lines that were not changed:"
    assert run(["check", "--changed-since", "nowhere"], err=io.StringIO()) == 2
    assert run(["check", "--changed-since", "main", "--diff", "-"], err=io.StringIO()) == 2


def test_broken_tables_and_broken_records_are_told_together(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two broken tables, a broken mark and a broken record in one run; the tables are everybody's."""
    monkeypatch.chdir(tmp_path)
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": RECORD.replace("seal", "seel"), "b.yml": "x\n"})
    shutil.copytree(reference_root(), root, dirs_exist_ok=True, ignore=shutil.ignore_patterns("vehicles"))
    for name in ("spanners_metric", "threads_ba"):
        table = root / "reference" / f"{name}.csv"
        lines = table.read_text().splitlines()
        table.write_text("\n".join([lines[0], "nonsense", *lines[2:]]) + "\n")
    (root / "marks" / "radial-lines-3.yml").write_text("title: x\ntitle: y\n")
    assert run(["check", "--json", "site_data/vehicles/test/record.yml"]) == 1
    found = json.loads(capsys.readouterr().out)["findings"]
    files = [finding["file"] for finding in found]
    assert {
        "site_data/reference/spanners_metric.csv",
        "site_data/reference/threads_ba.csv",
        "site_data/marks/radial-lines-3.yml",
        "site_data/vehicles/test/record.yml",
    } == set(files)


def test_a_stranger_breaks_a_torque_reads_the_message_and_mends_it(
    records: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The whole way, with nothing but the message to go by."""
    path = records / "vehicles" / "test" / "good.yml"
    good = RECORD.replace("    source:", "    stated: {torque: 12 lbf·ft}\n    source:")
    path.write_text(good)
    assert run(["check", str(path)]) == 0
    capsys.readouterr()
    path.write_text(good.replace("12 lbf·ft", "12"))
    assert run(["check", str(path)]) == 1
    line = told(capsys)[0]
    assert line == (
        "site_data/vehicles/test/good.yml:14: joints.cover-to-block.stated.torque: found '12', expected tightening "
        "torque, such as '12 lbf·ft'. Fix: '12' has no unit: write 12 N·m or 12 lbf·ft [value]"
    )
    number = int(line.split(":")[1])
    lines = path.read_text().splitlines()
    lines[number - 1] = lines[number - 1].replace("12", line.split(" or ")[-1].removesuffix(" [value]"))
    path.write_text("\n".join(lines) + "\n")
    assert path.read_text() == good
    assert run(["check", str(path)]) == 0
