"""What joints come to: ten worked by hand, the duty that decides first, and the words that say it."""

from __future__ import annotations

import json
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest

from decoder.build import build
from decoder.findings import Finding
from decoder.fleet import load_fleet
from decoder.joint_spanners import joint_spanners
from decoder.joints import JointFigures, figures
from decoder.paths import reference_root
from decoder.records import READERS, Joint
from decoder.reference import Reference
from decoder.yaml_source import read_yaml
from tests.decoder.records_under_test import RECORD, VEHICLE, write_fleet

JOINT = """
title: A joint
kind: {kind}
duty: {duty}
consequence: {consequence}
places: {places}
stack:
{stack}
{more}
source: invented
"""

CLAMP = """
    {bolt: hexagon, thread: 3/8-24 UNF, length: 1-1/2 in, mark: radial-lines-3, strength: SAE 5}
    {layer: steel, thickness: 16 mm}
    {washer: plain, thickness: 1.65 mm}
    {nut: plain}
    """


def joint(
    stack: str,
    *,
    kind: str = "frame-bracket",
    duty: str = "clamp",
    consequence: str = "ordinary",
    places: str = "1",
    more: str = "",
) -> Joint:
    lines = "\n".join(
        f"  - {line.strip()}" if line.strip().startswith("{") else f"    {line.strip()}"
        for line in stack.strip().splitlines()
    )
    text = JOINT.format(kind=kind, duty=duty, consequence=consequence, places=places, stack=lines, more=more)
    findings: list[Finding] = []
    made = build(Joint, read_yaml(text, "test.yml"), "test.yml", findings, readers=READERS)
    assert not findings, findings
    assert made is not None
    return made


def worked(reference: Reference, stack: str, **settings: str) -> JointFigures:
    return figures("test/record/joint", joint(stack, **settings), reference)


#: Stack; then grip, least length, thread engaged, what stands out, clamping force [N], each worked by hand from what
#: the standards print. Chamfer: half of diameter less root (ISO 68-1, ASME B1.1: root = d - 1.2269 p).
BY_HAND = [
    pytest.param(
        """
        {bolt: hexagon, thread: M8x1.25, length: 30 mm, mark: text-8-8, strength: "8.8"}
        {washer: plain}
        {layer: steel, thickness: 12 mm}
        {washer: plain}
        {nut: plain}
        """,
        # ISO 7089: 1.6; ISO 4032: 6.8. 15.2 + 6.8 + 1.25 + 0.77; 30 - 22. 36.6 mm² · 580 MPa · 0.75.
        (15.2, 24.02, None, 8.0, 15921),
        id="M8 8.8 with plain washers",
    ),
    pytest.param(
        """
        {bolt: hexagon, thread: M10x1.5, length: 45 mm, mark: text-10-9, strength: "10.9"}
        {layer: steel, thickness: 28 mm}
        {nut: nylon-insert}
        """,
        # ISO 7040: 11.9. 28 + 11.9 + 1.5 + 0.92; 45 - 39.9. 58.0 · 830 · 0.75.
        (28, 42.32, None, 5.1, 36105),
        id="M10 10.9 with a locking nut",
    ),
    pytest.param(
        """
        {bolt: hexagon, thread: M6x1, length: 20 mm, mark: text-8-8, strength: "8.8"}
        {washer: helical-spring}
        {layer: steel, thickness: 6 mm}
        {tapped: cast-iron, depth: 14 mm}
        """,
        # DIN 127: 1.6; 20 - 7.6 = 12.4. 16 100 N in iron at 195 MPa: π·5.794·(0.5 + 0.57735·0.294) = 12.19 mm² a mm:
        # 6.77; 7.6 + 6.77 + 0.61. 20.1 · 580 · 0.75.
        (7.6, 14.98, 12.4, None, 8744),
        id="M6 8.8 into iron",
    ),
    pytest.param(
        """
        {bolt: hexagon, thread: 1/2-13 UNC, length: 2 in, mark: radial-lines-3, strength: SAE 5}
        {layer: steel, thickness: 1 in}
        {nut: plain, strength: SAE nut 5}
        """,
        # ASME B18.2.2: 7/16 in. 25.4 + 11.11 + 1.954 + 1.20; 50.8 - 36.51. 0.1419 in² · 85 ksi · 0.75 = 9046 lbf.
        (25.4, 39.66, None, 14.29, 40240),
        id="1/2 in SAE 5 and its nut",
    ),
    pytest.param(
        """
        {bolt: hexagon, thread: 3/8-24 UNF, length: 1-1/2 in, mark: radial-lines-6, strength: SAE 8}
        {layer: steel, thickness: 16 mm}
        {nut: plain, strength: SAE nut 2}
        """,
        # 21/64 in = 8.334. 16 + 8.334 + 1.058 + 0.65; 38.1 - 24.33. The nut: 0.0878 in² · 90 ksi · 0.75 = 5927 lbf.
        (16, 26.04, None, 13.77, 26362),
        id="3/8 in SAE 8 and a weaker nut",
    ),
    pytest.param(
        """
        {bolt: hexagon, thread: 5/16-18 UNC, length: 1-1/4 in, mark: radial-lines-3, strength: SAE 5}
        {washer: plain}
        {layer: aluminium, thickness: 9 mm}
        {tapped: aluminium, depth: 20 mm}
        """,
        # ASME B18.21.1: 0.065 in. 31.75 - 10.65 = 21.1, of which 20 are tapped. 13.8 by the form of FED-STD-H28/2B
        # (see the test of loads); 10.65 + 13.8 + 0.84. 0.0524 · 85 ksi · 0.75 · 0.7 = 2338 lbf.
        (10.65, 25.29, 20.0, None, 10401),
        id="5/16 in SAE 5 into aluminium",
    ),
    pytest.param(
        """
        {stud: plain, metal_end: {thread: 3/8-16 UNC, length: 3/4 in}, nut_end: {thread: 3/8-24 UNF}, length: 38.1 mm,
          strength: SAE 5}
        {nut: plain}
        {washer: plain}
        {layer: cast-iron, thickness: 22 mm}
        {tapped: cast-iron, depth: 22 mm}
        """,
        # 1.65 + 22; 38.1 - 23.65 - 8.334; 23.65 + 8.334 + 1.058 + 0.65; 3/4 in. 0.0878 · 85 ksi · 0.75 = 5597 lbf.
        (23.65, 33.69, 19.05, 6.11, 24898),
        id="a stud with two threads",
    ),
    pytest.param(
        """
        {bolt: hexagon, thread: 1/4-26 BSF, length: 1 in, mark: text-r, strength: BS R}
        {layer: steel, thickness: 12 mm}
        {nut: plain}
        """,
        # BS 1083: 0.200 in at most. 12 + 5.08 + 0.977 + 0.626; 25.4 - 17.08. No proof stress for R: no force.
        (12, 18.68, None, 8.32, None),
        id="1/4 BSF, whose grade has no proof stress",
    ),
    pytest.param(
        """
        {bolt: hexagon, thread: M12x1.75, length: 60 mm, mark: text-8-8, strength: "8.8"}
        {washer: plain}
        {layer: steel, thickness: 30 mm}
        {nut: plain}
        {nut: thin}
        """,
        # ISO 7089: 2.5; ISO 4032: 10.8; ISO 4035: 6. 32.5 + 16.8 + 1.75 + 1.07; 60 - 49.3. 84.3 · 580 · 0.75.
        (32.5, 52.12, None, 10.7, 36671),
        id="M12 with a second nut",
    ),
    pytest.param(
        """
        {bolt: hexagon, thread: 1/2-13 UNC, length: 2-1/4 in, mark: radial-lines-3, strength: SAE 5, drilled: shank}
        {layer: steel, thickness: 40 mm}
        {nut: castellated}
        {pin: split, diameter: 1/8 in}
        """,
        # The crown may stand above the end: 40 + 11.11; 57.15 - 51.11. Force as above.
        (40, 51.11, None, 6.04, 40240),
        id="a castellated nut that clamps",
    ),
]


@pytest.mark.parametrize(("stack", "expected"), BY_HAND)
def test_ten_joints_agree_with_hand_work(reference: Reference, stack: str, expected: tuple[float | None, ...]) -> None:
    found = worked(reference, stack)
    got = (found.grip_mm, found.length_needed_mm, found.engagement_mm, found.protrusion_mm, found.preload_n)
    for name, ours, by_hand in zip(("grip", "needs", "engages", "stands out", "force"), got, expected, strict=True):
        if by_hand is None:
            assert ours is None, name
        else:
            assert ours == pytest.approx(by_hand, rel=0.01), name


@pytest.mark.parametrize(
    ("settings", "why"),
    [
        ({"duty": "adjust"}, "its lock nut or bolt is then tightened"),
        ({"duty": "pivot"}, "turns on it"),
        ({"duty": "locate"}, "says where"),
        ({"duty": "seal"}, "nipped"),
        ({"duty": "retain"}, "coming off"),
        ({"duty": "pinch"}, "squeezes"),
        ({"consequence": "brake"}, "brake"),
        ({"consequence": "wheel"}, "wheel"),
        ({"kind": "cylinder-head"}, "asket"),
        ({"more": "tighten: {lubricant: moose fat}"}, "moose fat"),
        ({"more": "tighten: {threadlock: medium}"}, "compound"),
    ],
)
def test_the_duty_and_the_manual_come_before_any_torque(
    reference: Reference, settings: dict[str, str], why: str
) -> None:
    """The same sound stack: computed only where it clamps and nothing else governs."""
    assert worked(reference, CLAMP).torque_from == "computed"
    found = worked(reference, CLAMP, **settings)
    assert found.torque_nm is None
    assert found.torque_from == "manual"
    assert found.preload_n is None
    assert why in found.torque_why
    assert found.procedure
    assert "torque_nm" in found.unknown


@pytest.mark.parametrize(
    ("stack", "why"),
    [
        (CLAMP.replace("steel, thickness: 16 mm", "rubber, thickness: 16 mm"), "not rigid"),
        (CLAMP.replace("washer: plain", "washer: copper-crush"), "not rigid"),
        (CLAMP.replace(", strength: SAE 5", ""), "not known"),
        (CLAMP.replace("nut: plain", "nut: wing"), "wing nut"),
        (CLAMP.replace("{nut: plain}", "{captive: cage, height: 8 mm}"), "captive"),
        (CLAMP.replace("bolt: hexagon", "bolt: u-bolt"), "figure of its own"),
        (CLAMP.replace("bolt: hexagon", "screw: pan"), "screwdriver"),
        (CLAMP.replace("strength: SAE 5", "strength: SAE 5, weak_on_purpose: shears first"), "give way first"),
        (CLAMP.replace("strength: SAE 5", "strength: SAE 5, material: brass"), "brass"),
    ],
)
def test_what_gives_or_is_unknown_has_no_torque(reference: Reference, stack: str, why: str) -> None:
    found = worked(reference, stack)
    assert found.torque_nm is None
    assert why in found.torque_why


def test_a_stated_torque_goes_first_and_is_compared(reference: Reference) -> None:
    calm = worked(reference, CLAMP, more="stated: {torque: 35 lbf·ft}")
    assert calm.torque_from == "stated"
    assert calm.torque_nm is not None
    assert calm.torque_nm.low == pytest.approx(47.45, abs=0.02)
    assert calm.tightening is not None
    assert not any("stated torque" in line for line in calm.cautions)
    # Ten times too much, as a slip from lbf·in would be.
    wild = worked(reference, CLAMP, more="stated: {torque: 350 lbf·ft}")
    assert any("above" in line and "350 lbf·ft" in line for line in wild.cautions)


def test_an_adjusting_joint_shows_no_torque_though_one_is_stated(reference: Reference) -> None:
    found = worked(reference, CLAMP, duty="adjust", more="stated: {torque: 35 lbf·ft}")
    assert found.torque_nm is None


def test_castellated_nuts_go_by_the_duty(reference: Reference) -> None:
    stack = CLAMP.replace("nut: plain", "nut: castellated") + "    {pin: split, diameter: 3/32 in}\n"
    clamp, adjust = worked(reference, stack), worked(reference, stack, duty="adjust")
    assert any("never slackened" in line for line in clamp.cautions)
    assert not any("backed off" in line for line in clamp.cautions)
    assert any("backed off to a slot" in line for line in adjust.cautions)
    assert not any("never slackened" in line for line in adjust.cautions)
    assert "split pin" in clamp.renew


def test_short_thread_bottoming_and_short_ends_are_said(reference: Reference) -> None:
    into = """
        {{bolt: hexagon, thread: M8x1.25, length: {length} mm}}
        {{layer: steel, thickness: 10 mm}}
        {{tapped: aluminium, depth: 20 mm, hole: blind}}
        """
    assert any("bottoms" in line for line in worked(reference, into.format(length=35)).cautions)
    assert any("are wanted" in line for line in worked(reference, into.format(length=20)).cautions)
    right = worked(reference, into.format(length=28))
    assert not any("bottoms" in line or "are wanted" in line for line in right.cautions)
    short = """
        {bolt: hexagon, thread: M8x1.25, length: 20 mm}
        {layer: steel, thickness: 13 mm}
        {nut: plain}
        """
    assert any("stands" in line for line in worked(reference, short).cautions)


def test_soft_thread_is_named_the_weakest_and_so_is_intent(reference: Reference) -> None:
    stack = """
        {bolt: hexagon, thread: M8x1.25, length: 20 mm, mark: text-8-8, strength: "8.8"}
        {layer: steel, thickness: 12 mm}
        {tapped: aluminium, depth: 20 mm}
        """
    found = worked(reference, stack)
    assert found.weakest is not None
    assert found.weakest.part == "hole"
    assert any("Not the bolt but the hole" in line for line in found.cautions)
    meant = worked(reference, CLAMP.replace("SAE 5}", "SAE 5, weak_on_purpose: shears before the shaft}"))
    assert meant.weakest is not None
    assert meant.weakest.on_purpose == "shears before the shaft"


def test_the_nut_that_belongs_on_a_bolt_is_named_where_none_is_recorded(reference: Reference) -> None:
    found = worked(reference, CLAMP.replace("SAE 5", "SAE 8").replace("radial-lines-3", "radial-lines-6"))
    assert any("SAE nut 8" in line for line in found.cautions)
    told = worked(reference, CLAMP.replace("{nut: plain}", "{nut: plain, strength: SAE nut 5}"))
    assert not any("belongs on" in line for line in told.cautions)


def test_a_head_straight_on_soft_metal_wants_a_washer(reference: Reference) -> None:
    """3/8 SAE 5: 24.9 kN on 14.29 mm across flats less a hole of 10.5: about 337 MPa, where aluminium stands 220."""
    bare = CLAMP.replace("steel, thickness: 16 mm", "aluminium, thickness: 16 mm")
    assert any("a washer belongs under it" in line for line in worked(reference, bare).cautions)
    washed = bare.replace("{layer", "{washer: plain, thickness: 1.65 mm}\n    {layer")
    assert not any("a washer belongs under it" in line for line in worked(reference, washed).cautions)
    assert not any("a washer belongs under it" in line for line in worked(reference, CLAMP).cautions)


def test_next_stock_length_is_long_enough_and_does_not_bottom(reference: Reference) -> None:
    """15.2 + 6.8 + 2.02 = 24.02 mm: 25 mm is kept."""
    found = worked(reference, BY_HAND[0].values[0])  # type: ignore[arg-type]
    assert found.stock_length == "25 mm"


def test_places_have_their_own_length_and_thread(reference: Reference) -> None:
    stack = """
        {bolt: hexagon, thread: 5/16-18 UNC, length: 1 in}
        {layer: aluminium, thickness: 9 mm}
        {tapped: cast-iron, depth: 30 mm, part: block}
        """
    places = "{upper: {count: 4}, lower-left: {length: 1-3/4 in, into: water}}"
    found = worked(reference, stack, kind="timing-cover", duty="seal", places=places)
    by_name = {place.name: place for place in found.places}
    assert by_name["upper"].engagement_mm == pytest.approx(25.4 - 9)
    assert by_name["lower-left"].engagement_mm == pytest.approx(30)
    assert by_name["lower-left"].into == "water"
    assert "1 in (4) and 1-3/4 in (1)" in found.sentence


def test_the_sentence_is_what_a_mate_would_say(reference: Reference) -> None:
    stack = """
        {bolt: hexagon, thread: 5/16-24 UNF, length: 1-1/4 in}
        {washer: plain}
        {layer: aluminium, thickness: 9 mm, part: cover}
        {layer: paper gasket, thickness: 0.5 mm}
        {tapped: cast iron, depth: 20 mm, part: block}
        """
    found = worked(reference, stack, kind="timing-cover", duty="seal", places="4")
    assert found.sentence == (
        "4 off 5/16-24 UNF x 1-1/4 in hexagon bolts, plain washer under each head, "
        "9 mm aluminium cover on a paper gasket, into block"
    )


def test_one_right_spanner_for_head_and_nut(reference: Reference) -> None:
    """7/16 UNF: a 5/8 head and an 11/16 nut."""
    stack = CLAMP.replace("3/8-24 UNF", "7/16-20 UNF")
    found = worked(reference, stack)
    assert [(each.role, each.marking) for each in found.spanners] == [("head", "5/8 AF"), ("nut", "11/16 AF")]
    assert "ASME B18.2.1" in found.spanners[0].why
    stated = worked(reference, stack, more="stated: {spanner: 16 mm}")
    assert stated.spanners[0].marking == "16 mm"
    british = worked(reference, CLAMP.replace("3/8-24 UNF", "1/4-26 BSF").replace(", strength: SAE 5", ""))
    assert {reference.spanners.find(each.marking).system for each in british.spanners} == {"Whitworth"}


def test_every_joint_of_the_fleet_has_figures_or_reasons(reference: Reference) -> None:
    """No figure that is missing goes without a reason, and none is made where the duty forbids."""
    joints = list(load_fleet(reference_root()).joints())
    assert len(joints) > 100
    for each in joints:
        found = figures(each.id, each.record, reference)
        assert found.sentence, each.id
        for name in ("grip_mm", "length_needed_mm", "engagement_mm", "engagement_needed_mm", "protrusion_mm",
                     "torque_nm", "weakest"):  # fmt: skip
            if getattr(found, name) is None:
                assert found.unknown.get(name), (each.id, name)
        if found.torque_from == "computed":
            assert each.record.duty == "clamp"
            assert not found.safety_critical
        if each.record.duty == "adjust":
            assert found.torque_nm is None


KEYS = {
    "duty", "stack", "grip_mm", "length_needed_mm", "engagement_mm", "engagement_needed_mm", "protrusion_mm",
    "preload_n", "torque_nm", "torque_lbf_ft", "torque_from", "spanners", "weakest", "renew", "cautions", "findings",
    "sources",
}  # fmt: skip


def test_the_command_answers_with_the_keys_that_stay(tmp_path: Path) -> None:
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": RECORD})
    ran = subprocess.run(
        [sys.executable, "-m", "decoder", "joint", "test/record/cover-to-block", "--json", "--data", str(root)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    result = json.loads(ran.stdout)
    assert set(result) >= KEYS
    assert result["torque_nm"] is None
    assert result["torque_lbf_ft"] is None
    assert result["torque_from"] == "manual"


def test_the_command_hands_on_what_the_checks_found(tmp_path: Path) -> None:
    record = RECORD.replace("length: 1-1/4 in", "length: 1/4 in")
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": record})
    ran = subprocess.run(
        [sys.executable, "-m", "decoder", "joint", "test/record/cover-to-block", "--json", "--data", str(root)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert "does-not-reach" in {each["code"] for each in json.loads(ran.stdout)["findings"]}


def test_the_command_names_the_nearest_joint(tmp_path: Path) -> None:
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": RECORD})
    ran = subprocess.run(
        [sys.executable, "-m", "decoder", "joint", "cover-to-block", "--data", str(root)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode == 2
    assert "test/record/cover-to-block" in ran.stderr


def test_the_fleet_shows_a_torque_of_each_origin(reference: Reference) -> None:
    """Worked out, stated by the record, and left to the manual: each has its joint, and its reason or rest."""
    found = [figures(each.id, each.record, reference) for each in load_fleet(reference_root()).joints()]
    assert {each.torque_from for each in found} == {"computed", "stated", "manual"}
    for each in found:
        assert (each.torque_nm is None) == (each.torque_from == "manual")
        assert (each.tightening is None) == (not each.assumes)
        assert each.torque_why or each.torque_from == "computed"


def test_fuel_that_runs_out_is_told_on_the_card(reference: Reference) -> None:
    """The fire warning of the assembly does not travel with a printed card."""
    fleet = load_fleet(reference_root())
    for joint_id, warned in (
        ("hamper-van/carburation-and-petrol/jet-plug", True),
        ("pannier-utility/exhaust-and-fuel/tank-drain", True),
        ("hamper-van/wheels/wheel-nuts-off-side", False),
    ):
        found = figures(joint_id, fleet.joint(joint_id).record, reference)
        assert any("no flame" in line for line in found.cautions) is warned, joint_id


def test_one_width_has_one_spanner(reference: Reference) -> None:
    """3/4 AF and 19 mm are the same flats; a joint on an inch thread names the inch one."""
    fleet = load_fleet(reference_root())
    for joint in fleet.joints():
        for role in ("head", "nut"):
            widths = sorted(each.size_mm for each in joint_spanners(joint.record, reference) if each.role == role)
            assert all(after - before > 0.1 for before, after in pairwise(widths)), joint.id
    pin = fleet.joint("hamper-van/brakes/shoe-anchors").record
    assert [each.marking for each in joint_spanners(pin, reference) if each.role == "head"] == ["7/16W"]


def test_a_pin_is_not_tightened(reference: Reference) -> None:
    """No word of bolts where a clevis pin and its split pin are all there is."""
    stack = """
        {pin: clevis, diameter: 6 mm, length: 32 mm}
        {layer: steel, thickness: 24 mm}
        {pin: split, diameter: 1.6 mm, length: 16 mm}
        """
    found = figures("test/record/joint", joint(stack, duty="pivot", kind="pedal-clevis"), reference)
    assert found.torque_nm is None
    assert "nothing is tightened here" in found.torque_why
