"""Rules that nut and washer records carry, held against joints."""

from __future__ import annotations

from pathlib import Path

import pytest

from decoder.findings import Finding
from decoder.reference import Reference
from tests.decoder.records_under_test import findings_of

JOINT = """\
title: Test joint
joints:
  joint:
    title: Joint
    kind: bumper
    duty: clamp
    consequence: {consequence}
    conditions: [{conditions}]
    places: 2
    stack:
      - {{bolt: hexagon, thread: 3/8-24 UNF, length: 1-1/2 in, strength: {strength}}}
      - {{layer: steel, thickness: 12 mm}}
{stack}
    renew: [{renew}]
    source: invented
"""

OURS = {"kind-not-allowed", "kind-doubtful", "kind-disputed", "nothing-locks-it"}


def told(
    tmp_path: Path,
    reference: Reference,
    *stack: str,
    consequence: str = "ordinary",
    conditions: str = "dry",
    strength: str = "SAE 5",
    renew: str = "gasket",
) -> list[Finding]:
    """Findings about kinds in a joint with these members after the bolt."""
    record = JOINT.format(
        consequence=consequence,
        conditions=conditions,
        strength=strength,
        stack="\n".join(f"      - {{{member}}}" for member in stack),
        renew=renew,
    )
    return [finding for finding in findings_of(tmp_path, reference, record) if finding.code in OURS]


def codes(found: list[Finding]) -> list[tuple[str, str]]:
    return [(finding.level, finding.code) for finding in found]


@pytest.mark.parametrize(
    ("conditions", "expected"),
    [
        ("heat 110 °C", []),
        ("heat 250 °F", [("error", "kind-not-allowed")]),
        ("heat 400 °C", [("error", "kind-not-allowed")]),
    ],
)
def test_a_plastic_ring_stands_heat_up_to_its_limit(
    tmp_path: Path, reference: Reference, conditions: str, expected: list[tuple[str, str]]
) -> None:
    assert codes(told(tmp_path, reference, "nut: nylon-insert", conditions=conditions)) == expected


def test_a_plastic_ring_nut_is_new_where_a_failure_can_hurt(tmp_path: Path, reference: Reference) -> None:
    found = told(tmp_path, reference, "nut: nylon-insert", consequence="brake")
    assert codes(found) == [("error", "kind-not-allowed")]
    assert "navedtra-14014" in found[0].fix


def test_and_says_nothing_once_it_is_renewed(tmp_path: Path, reference: Reference) -> None:
    assert told(tmp_path, reference, "nut: nylon-insert", consequence="brake", renew="lock nut") == []


def test_brass_is_doubted_on_a_strong_stud_and_not_on_a_weak_one(tmp_path: Path, reference: Reference) -> None:
    assert codes(told(tmp_path / "a", reference, "nut: exhaust-brass")) == [("warning", "kind-doubtful")]
    assert told(tmp_path / "b", reference, "nut: exhaust-brass", strength="SAE 1") == []


def test_brass_that_is_weak_on_purpose_is_left_alone(tmp_path: Path, reference: Reference) -> None:
    assert told(tmp_path, reference, "nut: exhaust-brass, weak_on_purpose: the nut gives before the stud") == []


def test_the_specified_spring_washer_gets_a_note_and_counts_as_a_lock(tmp_path: Path, reference: Reference) -> None:
    found = told(tmp_path, reference, "washer: helical-spring", "nut: plain", conditions="vibration")
    assert codes(found) == [("note", "kind-disputed")]


def test_a_joint_that_vibrates_wants_a_lock(tmp_path: Path, reference: Reference) -> None:
    assert codes(told(tmp_path, reference, "nut: plain", conditions="vibration")) == [("warning", "nothing-locks-it")]


@pytest.mark.parametrize(
    "stack",
    [
        ("nut: nylon-insert",),
        ("nut: all-metal-top",),
        ("washer: tab", "nut: plain"),
        ("nut: plain", "nut: thin"),
        ("nut: castellated", "pin: split, diameter: 3/32 in"),
    ],
)
def test_whatever_locks_is_enough(tmp_path: Path, reference: Reference, stack: tuple[str, ...]) -> None:
    renew = "split pin" if "castellated" in stack[0] else "gasket"
    found = told(tmp_path, reference, *stack, conditions="vibration", renew=renew)
    assert "nothing-locks-it" not in {finding.code for finding in found}


def test_a_thin_nut_is_right_beside_a_full_one_and_doubtful_alone(tmp_path: Path, reference: Reference) -> None:
    assert told(tmp_path / "a", reference, "nut: plain", "nut: thin") == []
    assert codes(told(tmp_path / "b", reference, "nut: thin")) == [("warning", "kind-doubtful")]


def test_a_spring_washer_on_soft_metal_wants_a_plain_one_below(tmp_path: Path, reference: Reference) -> None:
    alone = told(tmp_path / "a", reference, "washer: helical-spring", "nut: plain", conditions="soft metal")
    assert codes(alone) == [("warning", "kind-doubtful")]
    assert told(
        tmp_path / "b", reference, "washer: plain", "washer: helical-spring", "nut: plain", conditions="soft metal"
    ) == []  # fmt: skip
