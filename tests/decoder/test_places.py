"""Named places whose layers, hole or thread differ: each is laid out as it is there."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import pytest

from decoder.command import run
from decoder.drawings.face import FacePlace, draw_face
from decoder.fleet import load_fleet
from decoder.joints import JointFigures, figures
from decoder.places import stack_at
from decoder.quantities import parse_length
from decoder.records import Layer, Place, Tapped
from decoder.reference import Reference
from tests.decoder.records_under_test import RECORD, VEHICLE, findings_of, write_fleet
from tests.decoder.test_joints import joint

#: A cover that is thicker over the pump: longer bolts there, all of which stand out alike.
STACK = """
    {bolt: hexagon, thread: M8x1.25, length: 25 mm, mark: text-8-8, strength: 8.8}
    {washer: plain, thickness: 1.6 mm}
    {layer: aluminium, thickness: 8 mm, part: cover}
    {layer: paper gasket, thickness: 0.4 mm}
    {tapped: cast iron, depth: 20 mm, hole: blind}
    """


def cover(reference: Reference, upper: str, duty: str = "seal") -> JointFigures:
    places = f"{{lower: {{count: 4}}, upper: {{count: 2, {upper}}}}}"
    record = joint(STACK, kind="timing-cover", duty=duty, places=places)
    return figures("test/record/joint", record, reference)


def test_each_place_has_its_own_grip_and_engagement(reference: Reference) -> None:
    """25 - 1.6 - 8 - 0.4 = 15 mm of thread; with 18 mm of cover and 35 mm of bolt it is 15 mm again, with 40 mm 20."""
    for length, engaged in (("35 mm", 15), ("30 mm", 10)):
        lower, upper = cover(reference, f"length: {length}, thickness: {{cover: 18 mm}}").places
        assert lower.grip_mm == pytest.approx(10)
        assert lower.engagement_mm == pytest.approx(15)
        assert upper.grip_mm == pytest.approx(20)
        assert upper.engagement_mm == pytest.approx(engaged)


def test_bolts_of_several_lengths_stand_out_alike_where_the_face_is_thicker(reference: Reference) -> None:
    """The check at the bench follows from what each bolt goes through, not from its length."""
    alike = cover(reference, "length: 35 mm, thickness: {cover: 18 mm}").bench_check
    assert "each should stand out equally" in alike
    assert "15 mm" in alike
    assert "each in its own hole" in cover(reference, "length: 35 mm, thickness: {cover: 12 mm}").bench_check


def test_a_layer_is_named_by_its_part_or_its_material() -> None:
    record = joint(STACK, kind="timing-cover", duty="seal")
    by_part = stack_at(record.stack, Place(thickness={"cover": parse_length("18 mm")}))
    by_material = stack_at(record.stack, Place(thickness={"paper gasket": parse_length("0.8 mm")}))
    assert [layer.thickness.mm for layer in by_part if isinstance(layer, Layer)] == [18, 0.4]
    assert [layer.thickness.mm for layer in by_material if isinstance(layer, Layer)] == [8, 0.8]
    deeper = stack_at(record.stack, Place(depth=parse_length("30 mm")))
    assert [hole.depth.mm for hole in deeper if isinstance(hole, Tapped)] == [30]


def test_the_shallowest_hole_holds_the_torque_down(reference: Reference) -> None:
    """One torque for all places: the hole that holds least says how much."""
    stack = STACK.replace("{layer: paper gasket, thickness: 0.4 mm}\n", "")

    def most(upper: str) -> float:
        record = joint(stack, kind="pump-bracket", places=f"{{lower: {{count: 4}}, upper: {{count: 2, {upper}}}}}")
        found = figures("test/record/joint", record, reference)
        assert found.torque_nm is not None, found.torque_why
        return found.torque_nm.high

    assert most("thickness: {cover: 16 mm}") < most("thickness: {cover: 9 mm}")


def test_a_bolt_too_short_for_a_thicker_layer_is_told_at_its_place(tmp_path: Path, reference: Reference) -> None:
    record = RECORD.replace(
        "places: 4", "places: {lower: {count: 2}, upper: {count: 2, thickness: {aluminium: 40 mm}}}"
    )
    (finding,) = findings_of(tmp_path, reference, record)
    assert finding.code == "does-not-reach"
    assert finding.field.endswith("places.upper")


def test_the_face_says_what_differs_beside_the_length() -> None:
    svg = draw_face(
        [
            FacePlace(name="lower", count=4, length="25 mm"),
            FacePlace(name="upper", count=2, length="35 mm", differs="cover 18 mm thick"),
        ]
    )
    assert "cover 18 mm thick" in svg
    assert len(re.findall("place-label", svg)) == 6


def test_the_command_shows_places_of_pins_and_nuts_without_a_length(tmp_path: Path) -> None:
    """A nut on a stud that is pressed in has no length of its own: the line says how many, and ends there."""
    record = RECORD.replace("places: 4", "places: {near-side: {count: 1}, off-side: {count: 3, note: hidden}}")
    record = re.sub(r"    stack:\n.*?    source", STUDLESS, record, flags=re.DOTALL)
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": record})
    assert load_fleet(root).joint("test/record/cover-to-block")
    out = io.StringIO()
    assert run(("joint", "test/record/cover-to-block", "--data", str(root)), out, io.StringIO()) in (0, 1)
    lines = [line.strip() for line in out.getvalue().splitlines()]
    assert "near-side         1" in lines
    assert not [line for line in lines if line.endswith(" of")]


STUDLESS = """    stack:
      - {nut: plain, thread: 5/16-24 UNF}
      - {washer: plain}
      - {layer: aluminium, thickness: 9 mm}
    source"""


def test_the_commands_json_has_each_places_figures(tmp_path: Path) -> None:
    record = RECORD.replace("places: 4", "places: {lower: {count: 2}, upper: {count: 2, depth: 22 mm}}")
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": record})
    out = io.StringIO()
    run(("joint", "test/record/cover-to-block", "--data", str(root), "--json"), out, io.StringIO())
    lower, upper = json.loads(out.getvalue())["places"]
    assert (lower["differs"], upper["differs"]) == ("", "thread 22 mm deep")
    assert {"grip_mm", "engagement_mm", "protrusion_mm"} <= set(upper)


def test_the_command_says_what_the_record_says_in_words(tmp_path: Path) -> None:
    """What can hurt often stands in a note: none of a record's words is left out, as words or as JSON."""
    record = RECORD.replace("places: 4", "places: {lower: {count: 2, note: Into water.}, upper: {count: 2}}")
    record = record.replace(
        "- {layer: aluminium, thickness: 9 mm}", "- {layer: aluminium, thickness: 9 mm, note: It cracks.}"
    )
    record = record.replace(
        "    source: invented",
        "    direction: from below\n"
        "    tighten: {order: cross, when: engine cold, lubricant: light oil, sealant: paste, threadlock: soft sort,\n"
        "              again: after 50 miles}\n"
        "    note: One inch longer meets the coil.\n"
        "    source: invented",
    )
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": record})
    texts = []
    for options in ((), ("--json",)):
        out = io.StringIO()
        assert run(("joint", "test/record/cover-to-block", "--data", str(root), *options), out, io.StringIO()) in (0, 1)
        texts.append(out.getvalue())
    said = ("Into water.", "It cracks.", "from below", "cross", "engine cold", "light oil", "paste", "soft sort",
            "after 50 miles", "One inch longer meets the coil.")  # fmt: skip
    assert [(word, text) for text in texts for word in said if word not in text] == []
    assert json.loads(texts[1])["tighten"]["when"] == "engine cold"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("5/16-24 UNF", "5/16-24 UNF LH"), "Left-hand thread"),
        (
            ("places: 4", "places: {near: {count: 2, thread: 5/16-24 UNF LH}, off: {count: 2}}"),
            "Left-hand thread: near",
        ),
        (("    source", "    tighten: {direction: left}\n    source"), "Left-hand thread"),
        (("    source", "    tighten: {direction: right}\n    source"), ""),
    ],
)
def test_the_command_says_first_what_is_left_hand(tmp_path: Path, change: tuple[str, str], words: str) -> None:
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": RECORD.replace(*change)})
    out = io.StringIO()
    assert run(("joint", "test/record/cover-to-block", "--data", str(root)), out, io.StringIO()) in (0, 1)
    second = out.getvalue().splitlines()[1]
    assert second.startswith(f"  {words.upper()}: it tightens anticlockwise") if words else "LEFT" not in second


def test_the_command_says_what_a_lock_nut_leaves_and_what_stays_open(tmp_path: Path) -> None:
    """A 30 mm plug under a nut of 15 mm (ISO 4035, M30): 15 mm for the hole. Ears 2 mm apart: said beside the grip."""
    plug = """    stack:
      - {screw: grub, thread: M30x1.5, length: 30 mm}
      - {nut: thin}
      - {tapped: aluminium, depth: 18 mm, hole: through}
    source"""
    ears = """    stack:
      - {bolt: hexagon, thread: 3/8-24 UNF, length: 2 in}
      - {layer: steel, thickness: 18 mm, gap: 2 mm}
      - {layer: steel, thickness: 18 mm}
      - {nut: plain}
    source"""
    for number, (stack, duty, said) in enumerate(
        ((plug, "adjust", "15 mm (0.591 in) (its lock nut takes 15 mm"), (ears, "pinch", "a gap of 2 mm"))
    ):
        record = re.sub(r"    stack:\n.*?    source", stack, RECORD, flags=re.DOTALL).replace(
            "duty: seal", f"duty: {duty}"
        )
        root = write_fleet(tmp_path / str(number), {"vehicle.yml": VEHICLE, "record.yml": record})
        out = io.StringIO()
        assert run(("joint", "test/record/cover-to-block", "--data", str(root)), out, io.StringIO()) in (0, 1)
        assert said in out.getvalue()
