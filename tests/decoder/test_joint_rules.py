"""Rules about what a joint comes to, beyond their one bad record: where each speaks, and where it keeps silent."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import decoder.checks
from decoder.checks import joints, practice
from decoder.checks.rules import Rule
from decoder.findings import Finding
from decoder.reference import Reference
from decoder.tables import UNSOURCED
from tests.decoder.records_under_test import findings_of

BAD_RECORDS = Path(__file__).parent.parent / "bad_records"
OURS = {rule.code: rule for rule in (*joints.RULES, *practice.RULES)}
WITH_RECORD = sorted(code for code in OURS if (BAD_RECORDS / f"{code}.yml").exists())

JOINT = """\
title: Test joint
joints:
  joint:
    title: Joint
    kind: {kind}
    duty: {duty}
    consequence: {consequence}
    conditions: [{conditions}]
    places: 2
    stack:
{stack}
{rest}
    source: invented
"""


def told(
    tmp_path: Path,
    reference: Reference,
    *stack: str,
    kind: str = "frame-bracket",
    duty: str = "clamp",
    consequence: str = "ordinary",
    conditions: str = "dry",
    rest: str = "",
) -> list[Finding]:
    """Findings of these rules in a joint with these members; `rest` are further lines of the joint."""
    record = JOINT.format(
        kind=kind,
        duty=duty,
        consequence=consequence,
        conditions=conditions,
        stack="\n".join(f"      - {{{member}}}" for member in stack),
        rest="\n".join(f"    {line}" for line in rest.splitlines()),
    )
    return [finding for finding in findings_of(tmp_path, reference, record) if finding.code in OURS]


def codes(found: list[Finding]) -> list[str]:
    return [finding.code for finding in found]


@pytest.fixture(scope="module")
def as_they_stand(tmp_path_factory: pytest.TempPathFactory, reference: Reference) -> dict[str, list[str]]:
    """What the rules tell of each bad record as they stand."""
    return {code: _codes_of(code, tmp_path_factory.mktemp(code), reference) for code in WITH_RECORD}


def _codes_of(code: str, folder: Path, reference: Reference) -> list[str]:
    text = (BAD_RECORDS / f"{code}.yml").read_text(encoding="utf-8")
    return codes(list(findings_of(folder, reference, text)))


@pytest.mark.parametrize("code", WITH_RECORD)
def test_emptying_a_rule_silences_its_record_and_no_other(
    code: str,
    as_they_stand: dict[str, list[str]],
    tmp_path: Path,
    reference: Reference,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Each rule stands alone: no other tells what it tells."""
    emptied = tuple(
        replace(rule, problems=lambda _: iter(())) if rule.code == code else rule for rule in decoder.checks.JOINT_RULES
    )
    assert as_they_stand[code] == [code]
    monkeypatch.setattr(decoder.checks, "JOINT_RULES", emptied)
    for other in WITH_RECORD:
        folder = tmp_path / other
        folder.mkdir()
        assert _codes_of(other, folder, reference) == ([] if other == code else as_they_stand[other])


@pytest.mark.parametrize("rule", OURS.values(), ids=lambda rule: rule.code)
def test_a_rule_says_its_sentence_and_its_source(rule: Rule[object], reference: Reference) -> None:
    assert rule.says.endswith(".")
    assert rule.source in UNSOURCED or rule.source in reference.sources


def test_look_alikes_in_one_assembly_name_each_other(tmp_path: Path, reference: Reference) -> None:
    """5/16-24 UNF and M8x1 start on each other; 3/8-16 is no danger to either."""
    one = """\
title: Test assembly
joints:
  a-bracket:
    title: One bracket
    kind: frame-bracket
    duty: clamp
    consequence: ordinary
    places: 1
    stack:
      - {bolt: hexagon, thread: M8x1, length: 25 mm}
      - {layer: steel, thickness: 14 mm}
      - {nut: plain}
    source: invented
"""
    other = one.partition("joints:\n")[2].replace("a-bracket", "b-bracket").replace("One", "Another")
    swapped = other.replace("M8x1", "5/16-24 UNF")
    safe = other.replace("M8x1", "3/8-16 UNC")
    folders = [tmp_path / name for name in ("swapped", "safe", "same")]
    for folder in folders:
        folder.mkdir()
    found = [each for each in findings_of(folders[0], reference, one + swapped) if each.code in OURS]
    assert codes(found) == ["look-alike-in-assembly"] * 2
    assert "5/16-24 UNF at b-bracket" in found[0].found
    assert not [each for each in findings_of(folders[1], reference, one + safe) if each.code in OURS]
    assert not [each for each in findings_of(folders[2], reference, one + other) if each.code in OURS]


NUT = ("bolt: hexagon, thread: 3/8-24 UNF, length: 1 in, strength: SAE 8", "layer: steel, thickness: 12 mm")


def test_a_nut_that_is_weak_on_purpose_may_be(tmp_path: Path, reference: Reference) -> None:
    found = told(
        tmp_path, reference, *NUT, "nut: plain, strength: SAE nut 2, weak_on_purpose: the nut strips before the stud"
    )
    assert codes(found) == []


def test_a_thin_nut_that_locks_another_need_not_be_as_strong(tmp_path: Path, reference: Reference) -> None:
    """A nut alone has to carry; against another one it only locks."""
    metric = ("bolt: hexagon, thread: M8x1.25, length: 30 mm, strength: 4.8", "layer: steel, thickness: 12 mm")
    thin = "nut: thin, strength: nut class 05"
    both, alone = tmp_path / "both", tmp_path / "alone"
    both.mkdir()
    alone.mkdir()
    assert codes(told(both, reference, *metric, "nut: plain", thin)) == []
    assert codes(told(alone, reference, *metric, thin)) == ["nut-weaker-than-bolt"]


def test_a_nut_of_unknown_strength_is_not_called_weak(tmp_path: Path, reference: Reference) -> None:
    assert codes(told(tmp_path, reference, *NUT, "nut: plain")) == []


@pytest.mark.parametrize(
    ("duty", "expected"),
    [("clamp", ["shank-holds-nut-off"]), ("pivot", [])],
)
def test_a_shoulder_leaves_a_pivot_free(duty: str, expected: list[str], tmp_path: Path, reference: Reference) -> None:
    """On a pivot the nut bears on the shoulder so that what lies under it can turn."""
    found = told(
        tmp_path,
        reference,
        "bolt: hexagon, thread: 3/8-24 UNF, length: 1-1/4 in, shank: 1/2 in",
        "layer: steel, thickness: 12 mm",
        "nut: plain",
        duty=duty,
        rest="accepted: {duty-not-usual: a test}" if duty == "pivot" else "",
    )
    assert codes(found) == expected


@pytest.mark.parametrize(
    ("length", "expected"),
    [
        ("3/4 in", ["nut-not-full"]),
        ("7/8 in", ["length-under"]),
        ("1 in", []),
        ("1-1/2 in", []),
        ("2 in", ["length-over"]),
    ],
)
def test_length_through_a_nut(length: str, expected: list[str], tmp_path: Path, reference: Reference) -> None:
    """13.9 mm and a nut of 8.3 mm: 22.2 mm, so 3/4 in ends inside, 7/8 in (22.2) just, and 1 in stands out."""
    found = told(
        tmp_path,
        reference,
        f"bolt: hexagon, thread: 3/8-24 UNF, length: {length}",
        "layer: steel, thickness: 13.9 mm",
        "nut: plain",
    )
    assert codes(found) == expected


@pytest.mark.parametrize(
    ("material", "length", "expected"),
    [
        ("aluminium", "3/4 in", ["too-little-engagement"]),
        ("aluminium", "1 in", []),
        ("cast-iron", "3/4 in", []),
        ("steel", "3/4 in", []),
    ],
)
def test_engagement_depends_on_what_is_tapped(
    material: str, length: str, expected: list[str], tmp_path: Path, reference: Reference
) -> None:
    found = told(
        tmp_path,
        reference,
        f"bolt: hexagon, thread: 5/16-18 UNC, length: {length}, mark: radial-lines-3, strength: SAE 5",
        "layer: steel, thickness: 10 mm",
        f"tapped: {material}, depth: 20 mm",
    )
    assert codes(found) == expected


def test_a_screw_that_only_keeps_a_part_on_needs_a_diameter(tmp_path: Path, reference: Reference) -> None:
    """M5 with 6 mm in aluminium: enough for a clip that is kept on, not for what clamps."""
    stack = (
        "screw: pan, thread: M5x0.8, length: 10 mm",
        "layer: steel, thickness: 4 mm",
        "tapped: aluminium, depth: 12 mm",
    )
    kept, clamps = tmp_path / "kept", tmp_path / "clamps"
    kept.mkdir()
    clamps.mkdir()
    assert codes(told(kept, reference, *stack, duty="retain", rest="accepted: {duty-not-usual: a test}")) == []
    assert codes(told(clamps, reference, *stack)) == ["too-little-engagement"]
    for duty, expected in (("seal", []), ("retain", ["too-little-engagement"])):
        folder = tmp_path / f"fuel-{duty}"
        folder.mkdir()
        found = told(
            folder, reference, *stack, duty=duty, consequence="fuel", rest="accepted: {duty-not-usual: a test}"
        )
        assert codes(found) == expected


WHEEL = "stud: wheel, metal_end: {thread: 1/2-20 UNF, length: 5/8 in}, nut_end: {thread: 1/2-20 UNF}, length: 1-1/4 in"


@pytest.mark.parametrize(
    ("nut", "seat", "expected"),
    [
        ("wheel-taper", "wheel with a 60° seat", []),
        ("wheel-taper", "wheel with a ball seat", ["wheel-seat"]),
        ("wheel-ball", "wheel with a radiused seat", []),
        ("wheel-flat", "wheel with a conical seat", ["wheel-seat"]),
        ("wheel-ball", "wheel", []),
    ],
)
def test_seats_of_nut_and_wheel(nut: str, seat: str, expected: list[str], tmp_path: Path, reference: Reference) -> None:
    """Where the record says nothing of the wheel's seat nothing can be said of the nut."""
    found = told(
        tmp_path, reference, WHEEL, f"nut: {nut}", f"layer: steel, thickness: 5 mm, part: {seat}",
        "tapped: steel, depth: 16 mm", kind="wheel-nuts-cone", consequence="wheel",
    )  # fmt: skip
    assert codes(found) == expected


@pytest.mark.parametrize(
    ("diameter", "expected"), [("1/16 in", ["split-pin-size"]), ("1/8 in", []), ("1/4 in", ["split-pin-size"])]
)
def test_split_pins_of_a_half_inch_nut(
    diameter: str, expected: list[str], tmp_path: Path, reference: Reference
) -> None:
    """The slot of a 1/2 in nut is 0.15 to 0.18 in; an aircraft table names a 5/64 in pin for the bolt."""
    found = told(
        tmp_path,
        reference,
        "bolt: hexagon, thread: 1/2-20 UNF, length: 2 in, drilled: shank",
        "layer: steel, thickness: 30 mm",
        "nut: castellated",
        f"pin: split, diameter: {diameter}",
        kind="hub-nut-taper-rollers",
        duty="adjust",
        consequence="wheel",
        rest="renew: [split pin]\ntighten: {procedure: Backed off to a slot.}",
    )
    assert codes(found) == expected


def test_other_threads_do_not_anchor_belts(tmp_path: Path, reference: Reference) -> None:
    found = told(
        tmp_path,
        reference,
        "bolt: hexagon, thread: 3/8-24 UNF, length: 1 in, mark: radial-lines-3, strength: SAE 5",
        "layer: steel, thickness: 12 mm",
        "nut: plain",
        kind="belt-anchor",
        consequence="restraint",
    )
    assert codes(found) == ["belt-anchor-part"]


@pytest.mark.parametrize(
    ("lubricant", "expected"),
    [("none", ["steel-in-alloy-in-salt"]), ("grease", []), ("wax", []), ("grease after tightening", [])],
)
def test_what_keeps_salt_from_steel_in_alloy(
    lubricant: str, expected: list[str], tmp_path: Path, reference: Reference
) -> None:
    found = told(
        tmp_path,
        reference,
        "bolt: hexagon, thread: M8x1.25, length: 30 mm",
        "layer: steel, thickness: 10 mm",
        "tapped: aluminium, depth: 22 mm",
        conditions="road salt",
        rest=f"tighten: {{lubricant: {lubricant}}}",
    )
    assert codes(found) == expected


def test_heat_alone_asks_for_anti_seize_but_not_on_plugs(tmp_path: Path, reference: Reference) -> None:
    stack = ("bolt: hexagon, thread: M8x1.25, length: 25 mm", "layer: steel, thickness: 12 mm", "nut: plain")
    hot, brass = tmp_path / "hot", tmp_path / "brass"
    hot.mkdir()
    brass.mkdir()
    assert codes(told(hot, reference, *stack, conditions="heat 500 °C")) == ["exhaust-without-anti-seize"]
    assert codes(told(brass, reference, *stack[:2], "nut: exhaust-brass", conditions="heat 500 °C")) == []


def test_a_finding_that_is_right_is_accepted_and_one_not_needed_is_told(tmp_path: Path, reference: Reference) -> None:
    stack = ("bolt: hexagon, thread: 3/8-24 UNF, length: 2 in", "layer: steel, thickness: 12 mm", "nut: plain")
    record = JOINT.format(
        kind="frame-bracket", duty="clamp", consequence="ordinary", conditions="dry",
        stack="\n".join(f"      - {{{member}}}" for member in stack),
        rest="    accepted: {length-over: the lamp hangs there too, stainless-dry: never needed}",
    )  # fmt: skip
    found = findings_of(tmp_path, reference, record)
    assert [(each.level, each.code) for each in found] == [("note", "length-over"), ("error", "accepted-unneeded")]
