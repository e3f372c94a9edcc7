"""What is done at the bench: bolts pushed through to see their lengths, slots of castellated nuts, drag of nuts."""

from __future__ import annotations

import pytest

from decoder.fleet import load_fleet
from decoder.joint_spanners import joint_tools
from decoder.joints import figures
from decoder.paths import reference_root
from decoder.quantities import NM_PER_LBF_IN
from decoder.reference import Reference
from tests.decoder.test_joints import CLAMP, joint, worked

CASTLE = CLAMP.replace("{nut: plain}", "{nut: castellated}\n    {pin: split, diameter: 3/32 in}")


def test_a_castellated_nut_has_six_slots_a_sixth_of_a_pitch_apart(reference: Reference) -> None:
    slots = worked(reference, CASTLE).slots
    assert slots is not None
    assert (slots.count, slots.turn_deg) == (6, 60)
    assert slots.advance_mm == pytest.approx(25.4 / 24 / 6)
    assert "From the low end of the torque" in slots.words
    bare = worked(reference, CASTLE.replace(", mark: radial-lines-3, strength: SAE 5", "")).slots
    assert bare is not None
    assert bare.words.endswith("On to the next slot, never back."), "no low end of a torque that nobody gives"
    adjusts = worked(reference, CASTLE, duty="adjust").slots
    assert adjusts is not None
    assert "Backed off to a slot" in adjusts.words
    assert worked(reference, CLAMP).slots is None


def test_a_self_locking_nut_is_held_to_the_strictest_drag(reference: Reference) -> None:
    """AC 43.13-1B asks 3/8-24 for 9.5 lbf·in; where another document asks for more, the more is said."""
    drag = worked(reference, CLAMP.replace("{nut: plain}", "{nut: nylon-insert}")).drag
    assert drag is not None
    assert drag.least_nm >= 9.5 * NM_PER_LBF_IN - 1e-6
    assert "on top of a torque" in drag.words
    assert drag.provenances
    assert worked(reference, CLAMP).drag is None


def test_bolts_of_one_length_stand_out_alike(reference: Reference) -> None:
    stack = """
    {bolt: hexagon, thread: 5/16-18 UNC, length: 1 in, strength: SAE 5}
    {layer: aluminium, thickness: 9 mm}
    {tapped: cast-iron, depth: 20 mm, hole: blind}
    """
    said = worked(reference, stack, places="6").bench_check
    assert said.startswith("Push all 6 through on the bench: each should stand out equally")
    assert "(16.4 mm)" in said
    assert worked(reference, stack, places="1").bench_check == ""
    assert worked(reference, CLAMP, places="6").bench_check == ""


def test_bolts_of_named_places_are_told_apart(reference: Reference) -> None:
    joints = {each.id: each for each in load_fleet(reference_root()).joints()}
    cover = joints["pannier-utility/engine-front/timing-cover-bolts"]
    said = figures(cover.id, cover.record, reference).bench_check
    assert said.startswith("Push all through on the bench, each in its own hole:")
    assert not isinstance(cover.record.places, int)
    assert all(name in said for name in cover.record.places)


@pytest.mark.parametrize(
    ("stack", "tools"),
    [
        ("{screw: cheese, thread: 2 BA, length: 1/2 in, drive: slot}", ("screwdriver as wide as the slot",)),
        ("{screw: socket-cap, thread: M6x1, length: 20 mm}", ("hexagon key",)),
        ("{bolt: hexagon, thread: M6x1, length: 20 mm}\n{nut: wing}", ("fingers",)),
        ("{bolt: hexagon, thread: M6x1, length: 20 mm}\n{nut: plain}", ()),
        ("{pin: clevis, diameter: 1/4 in}\n{pin: split, diameter: 1/16 in}", ("pliers for the split pin",)),
        ("{pin: dowel, diameter: 8 mm}", ("soft drift for the dowel",)),
        ("{bolt: plug, thread: R 1/2, length: 5/8 in, drive: square}", ("square key or spanner",)),
    ],
)
def test_what_no_spanner_turns_has_a_tool(stack: str, tools: tuple[str, ...]) -> None:
    assert joint_tools(joint(stack, kind="frame-bracket")) == tools


def test_a_u_bolt_takes_its_nuts_and_washers_twice(reference: Reference) -> None:
    """Two legs: who counts one nut a bolt is short of half of them."""
    stack = """
        {bolt: u-bolt, thread: 1/2-20 UNF, length: 6 in}
        {layer: steel, thickness: 60 mm}
        {washer: hardened}
        {nut: plain}
        """
    found = worked(reference, stack, kind="spring-u-bolt", consequence="suspension", places="4")
    assert {part.what: part.per_place for part in found.stack} == {"bolt": 1, "layer": 1, "washer": 2, "nut": 2}
    assert "plain full nuts, one on each leg" in found.sentence
