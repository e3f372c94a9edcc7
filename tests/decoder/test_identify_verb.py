"""`decoder identify` as people type it."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest

import decoder.command
from decoder.command import Data, run
from decoder.identify import vehicle_part
from decoder.reference import Reference

KEYS = {
    "candidates",
    "none_of_these",
    "certainty",
    "strength",
    "strength_text",
    "warnings",
    "next",
    "contradiction",
}
CANDIDATE_KEYS = {"designation", "family", "probability", "major_mm", "pitch_mm", "for", "against", "joints"}


@pytest.fixture(autouse=True)
def _tables_read_once(reference: Reference, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decoder.command, "load_reference", lambda _: reference)


def command(*arguments: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    return run(["identify", *arguments], out, err), out.getvalue(), err.getvalue()


def answer(*arguments: str) -> dict[str, Any]:
    status, out, err = command(*arguments, "--json")
    assert (status, err) == (0, "")
    read: dict[str, Any] = json.loads(out)
    return read


def first(found: dict[str, Any]) -> str:
    return str(found["candidates"][0]["designation"])


def test_the_keys_that_stay() -> None:
    found = answer("--diameter", "7.9 mm ±0.05 mm", "--pitch", "24 tpi")
    assert set(found) == KEYS
    assert set(found["candidates"][0]) >= CANDIDATE_KEYS
    assert first(found) == "5/16-24 UNF"
    assert found["strength"] is None
    assert found["contradiction"] is None
    assert all({"code", "text"} <= set(warning) for warning in found["warnings"])
    assert all({"observe", "bits", "how"} <= set(step) for step in found["next"])
    assert any("M8x1" in warning["text"] for warning in found["warnings"])


@pytest.mark.parametrize(
    "arguments",
    [
        ("--diameter", "5/16", "--pitch", "24tpi"),
        ("--diameter=7,9 mm", "--pitch=24 threads per inch"),
        ("--diameter", "0.311 in", "--threads", "10", "--over", "3/8 in", "--counted", "crests", "--spanner", "1/2 AF"),
        ("--diameter", "7.9mm", "--pitch", "24 tpi", "--pitch-with", "thread gauge", "--measured-with", "vernier"),
        ("--diameter", "7.9mm", "--trial", "5/16-24 UNF: runs on", "--trial", "M8: will not start"),
    ],
)
def test_quantities_as_people_write_them(arguments: tuple[str, ...]) -> None:
    assert first(answer(*arguments)) == "5/16-24 UNF"


@pytest.mark.parametrize(
    ("said", "outcome"),
    [
        ("binds 6", "binds"),
        ("binds after about 6 turns", "binds"),
        ("tight after six turns", "binds"),
        ("won't start", "will not start"),
        ("does not start", "will not start"),
        ("runs on freely", "runs on"),
        ("wobbles half-way", "wobbles"),
    ],
)
def test_trials_as_people_tell_them(said: str, outcome: str) -> None:
    found = answer("--diameter", "9.4 mm", "--trial", f"M10x1.25: {said}")
    wanted = {"binds": "do-not-force", "will not start": "do-not-force"}.get(outcome, "loose-fit-proves-nothing")
    assert wanted in {warning["code"] for warning in found["warnings"]}


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("--kind", "castle nut"), "castellated-nut"),
        (("--kind", "brake pipe nut", "--trial", "M10x1: binds 6"), "brake-pipe"),
        (("--kind", "lug nut", "--trial", "1/2-20 UNF: wobbles"), "loose-wheel-nut"),
        (("--material", "stainless steel"), "stainless"),
        (("--head-mark", "none", "--diameter", "7.9 mm"), "no-mark-no-strength"),
        (("--finish", "zinc plated", "--diameter", "7.9 mm"), "colour-is-not-grade"),
        (("--hand", "left-hand", "--diameter", "7.9 mm"), "left-hand"),
    ],
)
def test_words_of_the_trade(arguments: tuple[str, ...], code: str) -> None:
    assert code in {warning["code"] for warning in answer(*arguments)["warnings"]}


def test_marks_in_plain_words() -> None:
    lines, number = answer("--head-mark", "3 radial lines"), answer("--head-mark", "8.8")
    assert "SAE 5" in lines["strength"]["claim"]
    assert number["strength"]["claim"] == "8.8"
    assert number["candidates"][0]["family"] == "M"


def test_a_part_without_a_thread_has_no_answer() -> None:
    status, out, _ = command("--kind", "washer", "--json")
    assert status == 1
    assert json.loads(out)["candidates"] == []


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--diameter", "7.9"), "has no unit"),
        (("--diameter", "M8"), "M8"),
        (("--pitch", "24"), "24 tpi"),
        (("--kind", "boltt"), "write bolt"),
        (("--drive", "torques"), "--drive 'torques' is not known"),
        (("--trial", "M10x1 binds"), "has no colon"),
        (("--trial", "M10x1: happily"), "has no outcome"),
        (("--trial", "M10x77: binds 3"), "M10"),
        (("--threads", "10"), "--threads and --over go together"),
        (("--pitch-with", "leaf"), "without --pitch"),
        (("--assembly", "engine"), "without --vehicle"),
        (("--vehicle", "no-such-vehicle"), "is not in the records"),
        (("--spanner", "13 furlongs"), "spanner"),
        (("--head-mark", "a picture of a cat"), "cat"),
        (("--diameter", "0.01 mm"), "diameter"),
    ],
)
def test_unusable_input_is_refused_in_one_line(arguments: tuple[str, ...], said: str) -> None:
    status, out, err = command(*arguments)
    assert status == 2
    assert out == ""
    assert err.count("\n") == 1
    assert said in err


def test_a_batch_answers_line_by_line(tmp_path: Path) -> None:
    lines = [
        '{"diameter": "7.9 mm ±0.05 mm", "pitch": "24 tpi", "head_mark": ["3 radial lines"]}',
        '{"diameter": "7.9"}',
        '{"kind": "nut", "minor_diameter": "6.8 mm", "trial": ["M8: runs on"]}',
    ]
    file = tmp_path / "lines.txt"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    status, out, _ = command("--batch", str(file))
    found = [json.loads(line) for line in out.splitlines()]
    assert status == 1
    assert first(found[0]) == "5/16-24 UNF"
    assert "has no unit" in found[1]["error"]
    assert first(found[2]) == "M8x1.25"


def test_words_for_a_person() -> None:
    status, out, _ = command("--diameter", "7.9 mm ±0.05 mm", "--pitch", "24 tpi")
    assert status == 0
    assert out.startswith("Almost certainly 5/16-24 UNF.")
    assert "none of these" in out
    assert "Strength: No mark was given" in out
    assert "Next: " in out


def test_a_vehicle_shows_where_it_goes() -> None:
    """The invented vehicle of the records."""
    data = Data()
    vehicle = next(iter(data.fleet.vehicles.values()))
    joint = next(joint for joint in vehicle_part(vehicle, data.reference.threads)["joints"] if joint["threads"])
    thread = data.reference.threads.get(joint["threads"][0])
    found = answer(
        "--vehicle", vehicle.slug, "--assembly", joint["assembly"],
        "--diameter", f"{thread.major_mm * 0.99:.2f} mm", "--pitch", f"{thread.pitch_mm:.4f} mm",
    )  # fmt: skip
    listed = {entry["designation"]: entry["joints"] for entry in found["candidates"]}
    assert joint["id"] in listed[thread.designation]


@pytest.mark.parametrize(("mark", "claim"), [("SAE 5", "SAE 5"), ("grade 5", "SAE 5"), ("grade 8", "SAE 8")])
def test_a_grade_by_its_name_is_the_mark_that_claims_it(mark: str, claim: str) -> None:
    """Three lines are SAE 5 and six SAE 8 (SAE J429): the figure is no count of lines."""
    status, out, _ = command("--diameter", "9.5 mm", "--head-mark", mark)
    assert status == 0
    assert f"The mark claims {claim}" in out


def test_grade_2_has_a_blank_head() -> None:
    _, out, _ = command("--diameter", "9.5 mm", "--head-mark", "grade 2")
    assert "A blank head says nothing about strength" in out
