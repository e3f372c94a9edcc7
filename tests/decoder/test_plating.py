"""Plating: what is hard, unknown or safety-critical stays out, and coats are as thick as standards print them."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from decoder.findings import BadDataError
from decoder.plating import coat_room_um, judge, thickest_coat_um
from decoder.plating_rules import load_plating
from decoder.quantities import parse_length
from decoder.records import Bolt, Consequence, Count, Joint, Layer, Member, Nut, Pin, Screw, Stud, ThreadedEnd, Washer
from decoder.reference import Reference


def joint(*stack: Member, kind: str = "bumper", consequence: Consequence = "ordinary", **more: Any) -> Joint:
    """A joint whose stack this is."""
    return Joint(
        title="A joint", kind=kind, duty="clamp", consequence=consequence, places=Count(1), stack=stack,
        source="invented", **more,
    )  # fmt: skip


def bolt(**more: Any) -> Bolt:
    return Bolt(**{"bolt": "hexagon", "thread": "3/8-16 UNC", "length": parse_length("1 in"), **more})


def decided(member: Member, reference: Reference, **more: Any) -> tuple[str, str]:
    whole = joint(member, bolt(), **more) if not isinstance(member, (Bolt, Screw)) else joint(member, **more)
    judged = judge(member, whole, reference)
    assert judged is not None
    return judged.verdict, judged.rule


@pytest.mark.parametrize(
    ("mark", "verdict", "rule"),
    [
        ("radial-lines-3", "may go", "known"),
        ("radial-lines-6", "stays out", "strong"),
        ("text-10-9", "stays out", "strong"),
        ("text-12-9", "stays out", "strong"),
        ("text-8-8", "may go", "known"),
        ("text-r", "may go", "known"),
        ("text-v", "stays out", "strong"),
        ("text-x", "stays out", "strong"),
        ("text-a2-70", "stays out", "not-steel"),
        ("none-visible", "plater who bakes", "unknown"),
        ("letters-maker", "plater who bakes", "unknown"),
        (None, "plater who bakes", "unknown"),
    ],
)
def test_a_bolt_goes_by_what_its_head_claims(reference: Reference, mark: str, verdict: str, rule: str) -> None:
    """10.9 and SAE 8 begin the danger (1000 MPa, ISO 9587 and ASTM B849); no mark does not mean soft."""
    assert decided(bolt(mark=mark), reference) == (verdict, rule)


def test_a_parts_list_makes_an_unmarked_bolt_no_softer(reference: Reference) -> None:
    """What is asked for is not what is in the hand; but if it asks for a hard one, the one in the hand may be it."""
    assert decided(bolt(strength="SAE 5"), reference) == ("plater who bakes", "unknown")
    assert decided(bolt(strength="SAE 8"), reference) == ("stays out", "strong")
    assert decided(bolt(mark="radial-lines-3", strength="SAE 8"), reference) == ("stays out", "strong")


def test_a_mark_of_several_meanings_is_as_hard_as_the_hardest(reference: Reference) -> None:
    """The mark '10' stands for a class near 1000 MPa; whatever may be that hard stays out."""
    grades = next(mark for mark in reference.marks if mark.id == "text-10").grades
    assert grades
    assert decided(bolt(mark="text-10", thread="M10"), reference)[0] != "may go"


@pytest.mark.parametrize(
    ("member", "rule"),
    [
        (bolt(mark="radial-lines-3", weak_on_purpose="shears first"), "weak"),
        (bolt(mark="radial-lines-3", shank_diameter=parse_length("10 mm")), "ground"),
        (bolt(mark="radial-lines-3", bolt="banjo"), "fluid"),
        (bolt(mark="radial-lines-3", material="brass"), "not-steel"),
        (Screw(screw="socket-cap", thread="M8", length=parse_length("20 mm"), mark="socket-text-8-8"), "socket"),
        (Screw(screw="grub", thread="M6", length=parse_length("8 mm")), "grub"),
        (Screw(screw="self-tapping", thread="M6", length=parse_length("8 mm")), "self-tapping"),
        (Washer(washer="helical-spring"), "spring"),
        (Washer(washer="toothed-external"), "spring"),
        (Washer(washer="hardened"), "hardened-washer"),
        (Washer(washer="tab"), "new"),
        (Nut(nut="nylon-insert"), "insert"),
        (Nut(nut="all-metal-top"), "grip"),
        (Nut(nut="wheel-taper"), "seat"),
        (Pin(pin="split", diameter=parse_length("2 mm")), "new"),
        (Pin(pin="dowel", diameter=parse_length("8 mm")), "ground"),
        (Pin(pin="roll", diameter=parse_length("8 mm")), "spring"),
    ],
)
def test_what_stays_out_for_what_it_is(reference: Reference, member: Member, rule: str) -> None:
    assert decided(member, reference) == ("stays out", rule)


def test_studs_stay_out_and_waisted_ones_for_their_waist(reference: Reference) -> None:
    ends = {"metal_end": ThreadedEnd(thread="3/8-16 UNC"), "nut_end": ThreadedEnd(thread="3/8-24 UNF")}
    for kind, rule in (("plain", "interference"), ("waisted", "ground")):
        stud = Stud(stud=kind, length=parse_length("1 in"), **ends)  # type: ignore[arg-type]
        assert decided(stud, reference) == ("stays out", rule)


@pytest.mark.parametrize("consequence", ["brake", "steering", "suspension", "wheel", "restraint", "lifting"])
def test_nothing_safety_critical_is_plated(reference: Reference, consequence: Consequence) -> None:
    assert decided(bolt(mark="radial-lines-3"), reference, consequence=consequence) == ("stays out", "safety")


def test_nothing_from_inside_an_engine_is_plated(reference: Reference) -> None:
    """Even where its mark would let it."""
    inside = joint(bolt(mark="radial-lines-3"), kind="main-and-big-end-cap")
    judged = judge(inside.stack[0], inside, reference)
    assert judged is not None
    assert (judged.verdict, judged.rule) == ("stays out", "engine-inside")


def test_plain_washers_may_go_and_layers_are_no_fasteners(reference: Reference) -> None:
    assert decided(Washer(washer="plain"), reference) == ("may go", "soft-washer")
    layer = Layer(layer="steel", thickness=parse_length("5 mm"))
    assert judge(layer, joint(layer, bolt()), reference) is None


def test_what_is_renewed_is_not_plated(reference: Reference) -> None:
    assert decided(bolt(mark="radial-lines-3"), reference, renew=("bolt",)) == ("stays out", "new")


def test_every_part_of_every_record_is_judged_by_a_rule_of_the_table(reference: Reference) -> None:
    """Baking is to be asked for with class 8.8 and SAE 5; a source stands behind or beside each rule."""
    judged = judge(bolt(mark="text-8-8", thread="M10"), joint(bolt()), reference)
    assert judged is not None
    assert judged.also == "bake-too"
    soft = judge(bolt(mark="text-4-6", thread="M10"), joint(bolt()), reference)
    assert soft is not None
    assert soft.also == ""


@pytest.mark.parametrize(
    ("thread", "coat_um"),
    [
        # ISO 4042:1999, thickest coating of a 6g thread, all lengths, as a stored page transcribes its table.
        ("M3", 5), ("M4", 5), ("M5x0.8", 5), ("M6", 5), ("M8", 5), ("M10", 8), ("M12", 8), ("M16", 8),
    ],
)  # fmt: skip
def test_metric_coats_are_those_of_iso_4042(reference: Reference, thread: str, coat_um: int) -> None:
    assert thickest_coat_um(reference.threads.find(thread)) == coat_um


@pytest.mark.parametrize(
    ("thread", "coat_in"),
    [
        # ASTM F1941 appendix X3, largest coating of class 2A, as a supplier transcribes it.
        ("1/4-20 UNC", 0.000275), ("5/16-18 UNC", 0.000300), ("3/8-16 UNC", 0.000325), ("7/16-14 UNC", 0.000350),
        ("1/2-13 UNC", 0.000375), ("9/16-12 UNC", 0.000400), ("3/4-10 UNC", 0.000450), ("1-8 UNC", 0.000500),
    ],
)  # fmt: skip
def test_inch_coats_are_those_of_astm_f1941(reference: Reference, thread: str, coat_in: float) -> None:
    room = coat_room_um(reference.threads.find(thread))
    assert room is not None
    assert room == pytest.approx(coat_in * 25400, abs=0.000025 * 25400)


def test_threads_without_allowance_have_no_room(reference: Reference) -> None:
    assert thickest_coat_um(reference.threads.find("G 1/8")) is None


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("grub,stays out", "grup,stays out", "table-cell"),
        ("strong,stays out,Baking is asked above", "strong,may go,Baking is asked above", "plating-two-verdicts"),
        ("weak,stays out", "new,stays out", "plating-rule-missing"),
        ("1000,MPa", "1000,", "table-cell"),
    ],
)
def test_a_broken_rule_is_told(tmp_path: Path, reference: Reference, old: str, new: str, code: str) -> None:
    root = tmp_path / "site_data"
    (root / "reference").mkdir(parents=True)
    path = Path(shutil.copy(reference.root / "reference" / "plating_rules.csv", root / "reference"))
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(BadDataError) as raised:
        load_plating(root, reference.sources)
    assert code in [finding.code for finding in raised.value.findings]
