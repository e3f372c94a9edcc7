"""'May I use this instead?': sizes, grades and lengths refused or allowed, each for the reason that a fitter gives."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest

from decoder.command import run
from decoder.fleet import load_fleet
from decoder.joint_words import HITS
from decoder.joints import figures
from decoder.paths import reference_root
from decoder.quantities import parse_length
from decoder.records import SAFETY_CRITICAL, Consequence
from decoder.reference import Reference
from decoder.substitutes import Answer, Offer, instead, specified_only, substitutes
from tests.decoder.test_joints import CLAMP, joint

IN_ALLOY = """
    {bolt: hexagon, thread: 5/16-18 UNC, length: 1 in, strength: SAE 5}
    {washer: plain, thickness: 1.65 mm}
    {layer: aluminium, thickness: 9 mm}
    {tapped: aluminium, depth: 20 mm, hole: blind}
    """

#: Teeth on a duct of plastic, as someone put them there.
ON_PLASTIC = """
    {bolt: hexagon, thread: M6x1, length: 16 mm}
    {washer: toothed-external, thickness: 0.7 mm}
    {layer: plastic, thickness: 3 mm}
    {layer: steel, thickness: 2 mm}
    {nut: plain}
    """

OLD_PITCH = """
    {bolt: hexagon, thread: M5x0.9, length: 16 mm}
    {layer: steel, thickness: 5 mm}
    {nut: plain}
    """


def asked(
    reference: Reference,
    stack: str,
    *,
    thread: str = "",
    grade: str = "",
    length: str = "",
    parts: dict[str, str] | None = None,
    **more: str,
) -> Answer:
    kinds = {"nut": reference.nuts, "washer": reference.washers, "finish": reference.finishes,
             "material": reference.materials}  # fmt: skip
    named: dict[str, Any] = {what: kinds[what].find(name) for what, name in (parts or {}).items()}  # type: ignore[attr-defined]
    offer = Offer(
        thread=reference.threads.find(thread) if thread else None,
        grade=reference.strengths.find(grade, "bolt") if grade else None,
        length=parse_length(length) if length else None,
        written=thread,
        **named,
    )
    return instead(joint(stack, **more), reference, offer)


@pytest.mark.parametrize("name", ["3/8 SAE", "3/8-24 NF", "3/8-24 ANF", "3/8 SAE fine"])
def test_old_names_of_unf_are_the_same_thread(reference: Reference, name: str) -> None:
    found = asked(reference, CLAMP, thread=name)
    assert found.verdict == "allowed"
    assert f"'{name}' is another name for it" in found.reasons[0]
    assert found.what == "3/8-24 UNF"


@pytest.mark.parametrize("thread", ["3/8-16 UNC", "3/8-20 BSF", "M10x1.5", "M10x1.25", "3/8-24 UNF LH"])
def test_another_thread_is_refused_with_what_would_happen(reference: Reference, thread: str) -> None:
    found = asked(reference, CLAMP, thread=thread)
    assert found.verdict == "refused"
    assert found.reasons[0].startswith(f"{thread} bolt in 3/8-24 UNF nut:") or "opposite hand" in found.reasons[0]


def test_whitworth_in_unc_is_refused_although_it_runs_on(reference: Reference) -> None:
    found = asked(reference, IN_ALLOY, thread="5/16-18 BSW")
    assert found.verdict == "refused"
    assert "cannot be told by feel" in found.reasons[0]


def test_a_pair_through_holes_is_said_with_its_share(reference: Reference) -> None:
    """3/8-16 UNC has 0.0775 in2 of stress area, 3/8-24 UNF 0.0878: 88 %."""
    through = asked(reference, CLAMP, thread="3/8-16 UNC")
    assert any("nut of its own" in reason and "88 %" in reason for reason in through.reasons)
    assert not any("nut of its own" in reason for reason in asked(reference, IN_ALLOY, thread="5/16-24 UNF").reasons)


@pytest.mark.parametrize(
    ("grade", "verdict", "word"),
    [
        ("SAE 5", "allowed", "As strong"),
        ("8.8", "allowed", "As strong"),
        ("SAE 8", "allowed", "Stronger"),
        ("SAE 2", "refused", "Weaker"),
        ("A2-70", "refused", "Weaker"),
        ("4.8", "refused", "Weaker"),
    ],
)
def test_weaker_is_refused_and_stronger_allowed(reference: Reference, grade: str, verdict: str, word: str) -> None:
    found = asked(reference, CLAMP, grade=grade)
    assert found.verdict == verdict
    assert found.reasons[0].startswith(word)


def test_a_stronger_bolt_wants_a_nut_as_strong(reference: Reference) -> None:
    """J995: a nut of grade 5 carries 120 ksi, one of grade 8 150 ksi."""
    with_five = CLAMP.replace("{nut: plain}", "{nut: plain, strength: SAE nut 5}")
    found = asked(reference, with_five, grade="SAE 8")
    assert found.verdict == "refused"
    assert "only with SAE nut 8" in found.reasons[0]
    with_eight = CLAMP.replace("{nut: plain}", "{nut: plain, strength: SAE nut 8}")
    assert asked(reference, with_eight, grade="SAE 8").verdict == "allowed"
    unknown = asked(reference, CLAMP, grade="SAE 8")
    assert any("SAE nut 8 or better" in reason for reason in unknown.reasons)


def test_a_stronger_bolt_in_alloy_is_told_what_gives_way_then(reference: Reference) -> None:
    """14.75 mm engage; an SAE 5 bolt of this size needs 13.8 mm of the weakest alloy, SAE 8 a quarter more."""
    found = asked(reference, IN_ALLOY, grade="SAE 8")
    assert found.verdict == "allowed"
    assert any("the hole then gives way first" in reason for reason in found.reasons)
    assert any("never pickled or plated" in reason for reason in found.reasons)


def test_nothing_stronger_where_a_part_is_weak_on_purpose(reference: Reference) -> None:
    weak = CLAMP.replace("strength: SAE 5", "strength: SAE 5, weak_on_purpose: shears before the pump does")
    assert asked(reference, weak, grade="SAE 8").verdict == "refused"
    assert "shears before the pump does" in asked(reference, weak, grade="SAE 8").reasons[0]
    assert asked(reference, weak, grade="SAE 5").verdict == "allowed"
    unmarked = weak.replace("mark: radial-lines-3, strength: SAE 5", "mark: none-visible")
    assert asked(reference, unmarked, grade="SAE 2").verdict == "refused"


def test_without_a_recorded_grade_nobody_can_say(reference: Reference) -> None:
    unmarked = CLAMP.replace(", mark: radial-lines-3, strength: SAE 5", "")
    found = asked(reference, unmarked, grade="SAE 8")
    assert found.verdict == "not known"
    assert "names no grade" in found.reasons[0]


def test_stainless_is_told_to_be_greased_and_kept_out_of_salted_alloy(reference: Reference) -> None:
    soft = IN_ALLOY.replace("SAE 5", "SAE 2")
    found = asked(reference, soft, grade="A2-70")
    assert found.verdict == "allowed"
    assert any("galls" in reason for reason in found.reasons)
    salted = asked(reference, soft, grade="A2-70", more="conditions: [road salt]")
    assert salted.verdict == "refused"
    assert "eats the alloy" in salted.reasons[0]


@pytest.mark.parametrize(
    ("length", "verdict", "word"),
    [
        # 16 + 1.65 mm of grip; the 3/8 UNF nut is 21/64 in, 8.3 mm; a pitch and the chamfer are 1.7 mm.
        ("1-1/2 in", "allowed", "is the length of this joint"),
        ("1-1/4 in", "allowed", "stands"),
        ("1 in", "refused", "Too short: it ends"),
        ("1-1/16 in", "refused", "Too short: it stands"),
        ("2-1/2 in", "refused", "runs out of thread before it bears"),
    ],
)
def test_lengths_through_a_nut(reference: Reference, length: str, verdict: str, word: str) -> None:
    found = asked(reference, CLAMP, length=length)
    assert (found.verdict, [word in reason for reason in found.reasons][:1]) == (verdict, [True]), found


@pytest.mark.parametrize(
    ("length", "verdict", "word"),
    [
        ("1-1/8 in", "allowed", "of thread engage"),
        ("1-1/4 in", "refused", "bottoms"),  # 31.75 against 10.65 + 20 mm
        ("5/8 in", "refused", "Too short"),
    ],
)
def test_lengths_into_a_blind_hole(reference: Reference, length: str, verdict: str, word: str) -> None:
    found = asked(reference, IN_ALLOY, length=length)
    assert found.verdict == verdict
    assert word in found.reasons[0]


def test_a_longer_one_waits_for_a_rod_where_the_hole_is_not_known_to_be_blind(reference: Reference) -> None:
    found = asked(reference, IN_ALLOY.replace(", hole: blind", ""), length="1-1/8 in")
    assert found.verdict == "not known"
    assert any("put a rod down it" in reason for reason in found.reasons)


def test_places_of_different_lengths_take_no_one_length(reference: Reference) -> None:
    places = "{long: {count: 1, length: 1-1/4 in}, rest: {count: 3}}"
    found = asked(reference, IN_ALLOY, length="1-1/8 in", places=places)
    assert found.verdict == "refused"
    assert "each bolt for its hole" in found.reasons[0]


@pytest.mark.parametrize("consequence", SAFETY_CRITICAL)
def test_where_a_failure_can_hurt_only_the_specified_part(reference: Reference, consequence: Consequence) -> None:
    for offer in ({"grade": "SAE 8"}, {"length": "1-1/4 in"}, {"thread": "M10x1.25"}):
        found = asked(reference, CLAMP, consequence=consequence, **offer)
        assert found.verdict == "refused"
        assert found.reasons[0].startswith(f"No: a failure here hits {HITS[consequence]}")
    same = asked(reference, CLAMP, consequence=consequence, grade="SAE 5", length="1-1/2 in", thread="3/8-24 UNF")
    assert same.verdict == "allowed"
    assert any("part number" in reason for reason in same.reasons)


def test_where_a_manual_alone_governs_only_its_part(reference: Reference) -> None:
    found = asked(reference, CLAMP, kind="clutch-cover", grade="SAE 8")
    assert found.verdict == "refused"
    assert "The manual alone governs" in found.reasons[0]
    assert not specified_only(joint(CLAMP), reference)


def test_what_is_offered_unasked_has_sister_sizes_grades_and_lengths(reference: Reference) -> None:
    found = {each.what: each.verdict for each in substitutes(joint(CLAMP), reference)}
    assert {"3/8-16 UNC", "3/8-20 BSF", "M10x1.25", "SAE 2", "SAE 8"} <= set(found)
    assert "3/8-24 UNF" not in found
    assert "SAE 5" not in found
    assert sum(each.about == "length" for each in substitutes(joint(CLAMP), reference)) == 2


def test_every_joint_of_the_fleet_gets_answers_with_reasons(reference: Reference) -> None:
    """Each is allowed or refused for a reason; nothing but the specified part where someone can be hurt."""
    count = 0
    for each in load_fleet(reference_root()).joints():
        for found in substitutes(each.record, reference):
            count += 1
            assert found.reasons, (each.id, found)
            assert all(reason.endswith((".", "!")) for reason in found.reasons), (each.id, found)
            if each.record.consequence in SAFETY_CRITICAL:
                assert found.verdict == "refused", (each.id, found)
    assert count > 1000


def test_the_command_answers_what_is_asked() -> None:
    out, err = io.StringIO(), io.StringIO()
    place = "pannier-utility/engine-front/camshaft-plate"
    assert run(("joint", place, "--instead", "5/16 UNF", "--instead-strength", "SAE 8", "--json"), out, err) == 0
    found = json.loads(out.getvalue())["instead"]
    assert (found["about"], found["verdict"]) == ("all", "refused")
    out, err = io.StringIO(), io.StringIO()
    assert run(("joint", place), out, err) == 0
    assert "allowed   SAE 8" in out.getvalue()
    out, err = io.StringIO(), io.StringIO()
    assert run(("joint", place, "--instead", "5/16"), out, err) == 2
    assert "may be" in err.getvalue()


def test_tensile_strength_alone_never_allows(reference: Reference) -> None:
    """British grades have no proof stress in the tables: stainless may break later and still stretch sooner."""
    found = asked(reference, CLAMP.replace("SAE 5", "BS R"), grade="A2-70")
    assert found.verdict == "not known"
    assert "proof stress" in found.reasons[0]


def test_a_fitted_bolt_has_no_stand_in(reference: Reference) -> None:
    stack = CLAMP.replace("strength: SAE 5", "strength: SAE 5, shank: 1/2 in, shank_diameter: 0.374 in")
    assert "shank_diameter" in stack
    assert "fitted" in specified_only(joint(stack), reference)
    assert asked(reference, stack, grade="SAE 8").verdict == "refused"


PINNED = """
    {bolt: hexagon, thread: 3/8-24 UNF, length: 1-1/2 in, strength: SAE 5, drilled: shank}
    {layer: steel, thickness: 16 mm}
    {nut: castellated}
    {pin: split, diameter: 3/32 in}
    """
SPRUNG = """
    {bolt: hexagon, thread: 3/8-24 UNF, length: 1-3/8 in, strength: SAE 5, finish: zinc}
    {layer: steel, thickness: 16 mm}
    {washer: helical-spring, thickness: 2.4 mm}
    {nut: plain, strength: SAE nut 5}
    """
HARD = SPRUNG.replace("helical-spring", "hardened")
EARTH = SPRUNG.replace("helical-spring", "toothed-external")
SEALED = """
    {bolt: plug, thread: M14x1.5, length: 12 mm}
    {washer: copper-crush, thickness: 1.5 mm}
    {tapped: aluminium, depth: 14 mm, part: sump}
    """
SEATED = """
    {nut: wheel-taper, thread: 1/2-20 UNF}
    {layer: steel, thickness: 4 mm, part: wheel}
    """
WEAK = """
    {stud: plain, metal_end: {thread: 3/8-16 UNC}, nut_end: {thread: 3/8-24 UNF}, length: 1 in}
    {nut: exhaust-brass, weak_on_purpose: It gives way before the stud does.}
    {layer: cast iron, thickness: 10 mm}
    {tapped: cast iron, depth: 15 mm}
    """
BRASS = """
    {screw: cheese, thread: 2 BA, length: 1/2 in, material: brass}
    {layer: brass, thickness: 2 mm}
    {tapped: brass, depth: 6 mm}
    """


@pytest.mark.parametrize(
    ("stack", "parts", "more", "verdict", "word"),
    [
        pytest.param(SPRUNG, {"nut": "plain"}, {}, "allowed", "is the nut of this joint", id="same nut"),
        pytest.param(SPRUNG, {"nut": "thin"}, {}, "refused", "only locks another", id="thin nut"),
        pytest.param(SPRUNG, {"nut": "castellated"}, {}, "refused", "Nothing is drilled", id="crown without pin"),
        pytest.param(PINNED, {"nut": "plain"}, {}, "refused", "goes through nothing", id="pin without slots"),
        pytest.param(SPRUNG, {"nut": "nylon-insert"}, {"more": "conditions: [heat 200 °C]"}, "refused", "softens",
                     id="heat"),
        pytest.param(SEATED, {"nut": "plain"}, {"kind": "spare-wheel"}, "refused", "seat", id="seat"),
        pytest.param(WEAK, {"nut": "plain"}, {"kind": "manifold"}, "refused", "give way first", id="weak nut"),
        pytest.param(IN_ALLOY, {"nut": "plain"}, {}, "refused", "No nut belongs here", id="no nut"),
        pytest.param(SPRUNG, {"washer": "helical-spring"}, {}, "allowed", "is a washer of", id="same washer"),
        pytest.param(SPRUNG, {"washer": "plain"}, {}, "refused", "Nothing would lock it", id="lock lost"),
        pytest.param(HARD, {"washer": "plain"}, {}, "refused", "sinks in", id="soft for hardened"),
        pytest.param(EARTH, {"washer": "plain"}, {"more": "conditions: [earth]"}, "refused", "no earth", id="earth"),
        pytest.param(SEALED, {"washer": "bonded"}, {"duty": "seal"}, "refused", "squeezed", id="sealing washer"),
        pytest.param(PINNED, {"washer": "plain"}, {}, "refused", "No washer belongs here", id="no washer"),
        pytest.param(IN_ALLOY, {"washer": "penny"}, {}, "allowed", "same thickness", id="wider washer"),
        pytest.param(ON_PLASTIC, {"washer": "plain"}, {}, "allowed", "a flat washer belongs", id="flat on plastic"),
        pytest.param(ON_PLASTIC, {"washer": "penny"}, {}, "allowed", "a flat washer belongs", id="wide on plastic"),
        pytest.param(ON_PLASTIC, {"washer": "helical-spring"}, {}, "refused", "cut into it", id="edge on plastic"),
        pytest.param(OLD_PITCH, {"nut": "nylon-insert"}, {}, "refused", "none is to be had", id="lock nut of no pitch"),
        pytest.param(SPRUNG, {"finish": "zinc"}, {}, "allowed", "is the finish of this joint", id="same finish"),
        pytest.param(SPRUNG, {"finish": "hot-dip"}, {}, "refused", "too thick", id="hot-dip"),
        pytest.param(SPRUNG, {"finish": "plain"}, {"more": "conditions: [weather]"}, "refused", "rusts",
                     id="bare outside"),
        pytest.param(SPRUNG, {"finish": "plain"}, {}, "allowed", "rubs otherwise", id="bare under cover"),
        pytest.param(SPRUNG, {"finish": "chrome"}, {}, "refused", "for looks only", id="chrome"),
        pytest.param(SPRUNG, {"finish": "cadmium"}, {"more": "conditions: [heat 300 °C]"}, "refused", "cracks",
                     id="cadmium hot"),
        pytest.param(IN_ALLOY, {"finish": "zinc"}, {}, "not known", "names no finish", id="finish not recorded"),
        pytest.param(SPRUNG, {"material": "steel"}, {}, "allowed", "is the material", id="same material"),
        pytest.param(SPRUNG, {"material": "stainless"}, {}, "not known", "ask with its class", id="stainless"),
        pytest.param(IN_ALLOY, {"material": "stainless"}, {"more": "conditions: [road salt]"}, "refused", "eats",
                     id="salt"),
        pytest.param(SPRUNG, {"material": "brass"}, {}, "refused", "far less", id="brass for steel"),
        pytest.param(BRASS, {"material": "steel"}, {"duty": "retain", "more": "conditions: [electrical]"}, "refused",
                     "current", id="steel for brass"),
    ],
)  # fmt: skip
def test_what_goes_with_the_bolt_is_judged_for_its_reason(
    reference: Reference, stack: str, parts: dict[str, str], more: dict[str, str], verdict: str, word: str
) -> None:
    found = asked(reference, stack, parts=parts, **more)
    assert (found.verdict, any(word in reason for reason in found.reasons)) == (verdict, True), found


@pytest.mark.parametrize("consequence", SAFETY_CRITICAL)
def test_where_it_can_hurt_no_other_part_goes_in(reference: Reference, consequence: str) -> None:
    """Not a nut, washer, finish or material either, whatever else there is to say of it."""
    for parts in ({"nut": "nylon-insert"}, {"washer": "plain"}, {"finish": "plain"}, {"material": "stainless"}):
        found = asked(reference, SPRUNG, parts=parts, consequence=consequence)
        assert found.verdict == "refused"
        assert "specified part only" in found.reasons[0]


def test_a_hard_bolt_is_not_plated_in_a_workshop(reference: Reference) -> None:
    """SAE 8 breaks at 150 ksi, 1034 MPa: over the 1000 MPa from which plating asks for baking."""
    hard = SPRUNG.replace("SAE 5, finish: zinc", "SAE 8, finish: plain").replace("SAE nut 5", "SAE nut 8")
    found = asked(reference, hard, parts={"finish": "zinc"})
    assert any("Only as its maker sells it" in reason for reason in found.reasons)


def test_the_tub_offers_nuts_washers_and_finishes_too(reference: Reference) -> None:
    about = {each.about for each in substitutes(joint(SPRUNG), reference)}
    assert {"thread", "grade", "length", "nut", "washer", "finish"} <= about


def test_the_command_asks_for_parts() -> None:
    out = io.StringIO()
    run(("joint", "pannier-utility/engine-front/timing-cover-bolts", "--instead-nut", "dome nut", "--json"), out, out)
    assert json.loads(out.getvalue())["instead"]["verdict"] == "refused"


def test_a_length_below_what_is_needed_is_refused_by_the_same_sum(reference: Reference) -> None:
    """1.6 + 1 mm clamped, 2 x 6.35 in aluminium and a chamfer: 15.3 mm and it; 5/8 in is 15.875.

    Down to the bottom it is 22.6 mm, less a turn: 7/8 in, 22.2 mm, is too long.
    """
    stack = """
        {bolt: hexagon, thread: 1/4-20 UNC, length: 3/4 in}
        {washer: helical-spring, thickness: 1.6 mm}
        {layer: steel, thickness: 1 mm}
        {tapped: aluminium, depth: 20 mm, hole: blind}
        """
    record = joint(stack, duty="retain", kind="light-cover")
    found = figures("test/record/joint", record, reference)
    assert found.length_needed_mm == pytest.approx(15.3 + 0.76, abs=0.05)
    assert found.length_longest_mm == pytest.approx(22.6 - 25.4 / 20)
    for length, verdict in (("1/2 in", "refused"), ("5/8 in", "refused"), ("3/4 in", "allowed"), ("7/8 in", "refused")):
        mm = parse_length(length).mm
        assert (found.length_needed_mm <= mm <= found.length_longest_mm) == (verdict == "allowed")
        assert asked(reference, stack, length=length, duty="retain", kind="light-cover").verdict == verdict


def test_a_length_of_one_place_is_for_that_place_alone(reference: Reference) -> None:
    places = "{upper: {count: 2}, lower: {count: 2, length: 7/8 in}}"
    found = asked(reference, IN_ALLOY, length="7/8 in", places=places)
    assert (found.verdict, "length of lower, and goes in there alone" in found.reasons[0]) == ("allowed", True)
    assert asked(reference, IN_ALLOY, length="1-1/4 in", places=places).verdict == "refused"
