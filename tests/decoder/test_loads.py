"""What threads carry: proof loads, shear areas and lengths of engagement against printed ones, and what gives first."""

from __future__ import annotations

import csv

import pytest

from decoder.loads import (
    bearing_mpa,
    bolt_thread_strips_n,
    engagement_needed,
    hole_strips_n,
    nut_load,
    proof_load_n,
    shear_area,
    shear_areas,
    tensile_load_n,
    ways_to_give,
)
from decoder.reference import Reference
from decoder.strength import StrengthRow
from decoder.threads import Thread
from decoder.tightening import PRELOAD_SHARE
from tests.published_values import FOLDER, known_documents

N_PER_LBF = 4.4482216152605


def published(table: str, field: str | None = None) -> list[dict[str, str]]:
    with (FOLDER / table).open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if field in (None, row["field"])]


def name(value: dict[str, str]) -> str:
    return f"{value['item']} {value['field']} ({value['document']})"


def bolt(reference: Reference, designation: str, grade: str) -> tuple[Thread, StrengthRow]:
    thread = reference.threads.find(designation)
    row = reference.strengths.find(grade).at(thread.major_mm)
    assert row is not None
    return thread, row


def test_enough_proof_loads_are_compared() -> None:
    assert len(published("proof_loads.csv", "proof_load")) >= 40


@pytest.mark.parametrize("value", published("proof_loads.csv", "proof_load"), ids=name)
def test_a_proof_load_is_what_the_standard_prints(value: dict[str, str], reference: Reference) -> None:
    """Proof stress on the stress area, to 1 %: the standard rounds both and then the load."""
    designation, grade = value["item"].split(" | ")
    thread, row = bolt(reference, designation, grade)
    assert value["document"] != row.provenance.document
    assert value["document"] in {*reference.sources, *known_documents()}
    assert proof_load_n(thread, row) == pytest.approx(float(value["value"]), rel=0.01)


@pytest.mark.parametrize("value", published("proof_loads.csv", "clamp_load"), ids=name)
def test_charts_clamp_with_three_quarters_of_the_proof_load(value: dict[str, str], reference: Reference) -> None:
    designation, grade = value["item"].split(" | ")
    thread, row = bolt(reference, designation, grade)
    assert value["document"] in {*reference.sources, *known_documents()}
    proof = proof_load_n(thread, row)
    assert proof is not None
    assert PRELOAD_SHARE * proof / N_PER_LBF == pytest.approx(float(value["value"]), abs=float(value["tolerance"]))


@pytest.mark.parametrize(
    "value", [row for row in published("engagement.csv") if row["unit"] == "mm2"], ids=name
)  # fmt: skip
def test_shear_areas_are_what_a_book_prints(value: dict[str, str], reference: Reference) -> None:
    """6H/6g at an engagement of one diameter: limits and form together, to half a percent."""
    thread = reference.threads.get(value["item"])
    areas = shear_areas(thread)
    assert value["document"] in known_documents()
    found = areas.external if value["field"].startswith("external") else areas.internal
    assert found * thread.major_mm == pytest.approx(float(value["value"]), rel=0.005)


def test_engagement_is_what_a_worked_example_comes_to() -> None:
    """M10x1.5 of class 10.9 in aluminium of 130 MPa shear: 21.6 mm, with the diameters that the example prints."""
    (value,) = published("engagement.csv", "engagement")
    _, load, shear, major, pitch_diameter = value["item"].split(" | ")
    outside, other = float(major.split()[0]), float(pitch_diameter.split()[0])
    for_a_millimetre = shear_area(outside, outside - other, 1.5) * float(shear.split()[0])
    assert float(load.split()[0]) / for_a_millimetre == pytest.approx(float(value["value"]), abs=0.05)


def test_a_slope_follows_the_flanks() -> None:
    """tan 27.5° = 0.5206, tan 30° = 0.5774: the same overlap makes a longer step on the steeper form."""
    ratio = (shear_area(8, 0.5, 1.0, 55) - shear_area(8, 0, 1.0, 55)) / (
        shear_area(8, 0.5, 1.0, 60) - shear_area(8, 0, 1.0, 60)
    )
    assert ratio == pytest.approx(0.5206 / 0.5774, rel=1e-3)


def test_engagement_in_steel_is_less_than_a_nut_and_in_aluminium_about_two_diameters(reference: Reference) -> None:
    """The trade's rules: a diameter in steel, a little more in iron, two in aluminium."""
    thread, row = bolt(reference, "5/16-18 UNC", "SAE 5")
    wanted = {}
    for material in ("steel", "cast-iron", "aluminium"):
        found = engagement_needed(thread, row, reference.joint_tables.materials.get(material))
        assert found is not None
        assert found.computed
        wanted[material] = found.mm / thread.major_mm
    assert wanted["steel"] < 1
    assert 0.8 < wanted["cast-iron"] < 1.3
    assert 1.5 < wanted["aluminium"] < 2.1


def test_without_a_grade_the_rule_of_shops_speaks(reference: Reference) -> None:
    thread = reference.threads.find("M8")
    found = engagement_needed(thread, None, reference.joint_tables.materials.get("aluminium"))
    assert found is not None
    assert not found.computed
    assert found.mm == pytest.approx(2 * 8)
    assert engagement_needed(thread, None, None) is None


def test_what_gives_way_first_is_named_with_its_load(reference: Reference) -> None:
    """M8 8.8 in 8 mm of the weakest aluminium: the bolt stands 36.6 · 800 = 29.3 kN, the thread far less."""
    thread, row = bolt(reference, "M8x1.25", "8.8")
    material = reference.joint_tables.materials.get("aluminium")
    loads = ways_to_give(thread, row, engaged_mm=8, material=material)
    assert loads[0].part == "hole"
    assert next(load.load_n for load in loads if load.part == "bolt") == pytest.approx(29_300, rel=0.01)
    deeper = ways_to_give(thread, row, engaged_mm=24, material=material)
    assert deeper[0].part == "bolt"


def test_a_thread_that_carries_needs_length_in_proportion(reference: Reference) -> None:
    thread, row = bolt(reference, "M8x1.25", "8.8")
    material = reference.joint_tables.materials.get("steel")
    assert material is not None
    one, two = (hole_strips_n(thread, mm, material) for mm in (5.0, 10.0))
    assert one is not None
    assert two == pytest.approx(2 * one)
    assert bolt_thread_strips_n(thread, 10, row) == pytest.approx(2 * (bolt_thread_strips_n(thread, 5, row) or 0))


def test_a_nut_carries_its_own_proof_load(reference: Reference) -> None:
    """A class 8 nut of M10 is proved with 50500 N, as a table of ISO 898-2 loads on another page prints."""
    thread = reference.threads.find("M10")
    found = nut_load(thread, reference.strengths.find("nut class 8"))
    assert found is not None
    assert found.load_n == pytest.approx(50_500, rel=0.01)
    assert nut_load(thread, reference.strengths.find("8.8")) is None


def test_what_no_document_gives_stays_unknown(reference: Reference) -> None:
    thread, row = bolt(reference, "1/4-26 BSF", "BS R")
    assert proof_load_n(thread, row) is None
    assert tensile_load_n(thread, row) is not None


def test_pressure_under_a_head_is_load_on_a_ring() -> None:
    """10 kN on 13 mm over 8.8 mm: 10000 / 71.9 mm² = 139 MPa."""
    assert bearing_mpa(10_000, 13, 8.8) == pytest.approx(139, abs=0.5)
    with pytest.raises(ValueError, match="no area"):
        bearing_mpa(1, 8, 9)


def test_a_thread_without_limits_takes_its_basic_sizes(reference: Reference) -> None:
    areas = shear_areas(reference.threads.find("3/8-26 BSC"))
    assert areas.classes == ""
    assert areas.internal > 0
