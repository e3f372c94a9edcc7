"""Loads that bolt, nut and thread carry, against printed loads, printed shear areas and a handbook's example."""

from __future__ import annotations

import csv
from itertools import pairwise

import pytest

from decoder.loads import (
    STEEL_SHEAR_SHARE,
    bearing_mpa,
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
from tests.published_values import FOLDER, known_documents

NEWTONS = {"N": 1.0, "lbf": 4.4482216152605}


def published(table: str, *fields: str) -> list[dict[str, str]]:
    with (FOLDER / table).open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["field"] in fields]


def bolt(reference: Reference, grade: str, designation: str) -> tuple[Thread, StrengthRow]:
    """A thread and the strength of a grade in its size."""
    thread, found = reference.threads.find(designation), reference.strengths.get(grade)
    assert found is not None
    row = found.at(thread.major_mm)
    assert row is not None
    return thread, row


METRIC_LOADS = published("strength.csv", "proof_load", "tensile_load")


def test_there_are_enough_printed_loads() -> None:
    assert sum(row["field"] == "proof_load" for row in METRIC_LOADS) >= 40


@pytest.mark.parametrize("value", METRIC_LOADS, ids=lambda value: f"{value['item']} {value['field']}")
def test_a_metric_load_is_what_tables_print(reference: Reference, value: dict[str, str]) -> None:
    grade, size = value["item"].split(" | ")
    thread, row = bolt(reference, grade, size)
    load = proof_load_n(thread, row) if value["field"] == "proof_load" else tensile_load_n(thread, row)
    assert load is not None
    assert load / NEWTONS[value["unit"]] == pytest.approx(float(value["value"]), abs=float(value["tolerance"]))


#: A clamp load that does not fit its own chart: 5113 lbf is 117 ksi, its neighbours of the grade are 120.
SLIP = "5/16-24 UNF | SAE 8"


@pytest.mark.parametrize("value", published("proof_loads.csv", "clamp_load"), ids=lambda value: value["item"])
def test_three_quarters_of_an_inch_proof_load_is_the_charts_clamp_load(
    reference: Reference, value: dict[str, str]
) -> None:
    size, grade = value["item"].split(" | ")
    thread, row = bolt(reference, grade, size)
    assert value["document"] in known_documents()
    assert row.provenance.document != value["document"]
    load = proof_load_n(thread, row)
    assert load is not None
    off = 0.75 * load / NEWTONS["lbf"] - float(value["value"])
    assert off == pytest.approx(113 if value["item"] == SLIP else 0, abs=float(value["tolerance"]))


AREAS = published("engagement.csv", "external_shear_area_1d", "internal_shear_area_1d")


@pytest.mark.parametrize("value", AREAS, ids=lambda value: f"{value['item']} {value['field']}")
def test_a_shear_area_is_what_a_book_prints(reference: Reference, value: dict[str, str]) -> None:
    """Printed for 6H/6g at an engagement of one diameter; ours are worked out from the limits of size."""
    thread = reference.threads.find(value["item"])
    areas = shear_areas(thread)
    assert areas.classes == "6g and 6H"
    area = areas.external if value["field"].startswith("external") else areas.internal
    assert area * thread.major_mm == pytest.approx(float(value["value"]), abs=float(value["tolerance"]))


def test_a_handbook_example_of_engagement_in_aluminium() -> None:
    """M10x1.5, 69 600 N, 130 MPa in shear, 9.968 mm outside, 9.206 mm of pitch diameter: 21.6 mm.

    Worked example of a chapter on threaded fasteners (source engagement-textbook-example), with its own diameters.
    """
    area = shear_area(9.968, 9.968 - 9.206, 1.5)
    assert 69600 / (130 * area) == pytest.approx(21.6, abs=0.1)


def test_by_hand_a_bolt_in_weak_aluminium(reference: Reference) -> None:
    """5/16-18 UNC SAE 5, 2A and 2B, worked by hand from the limits that ASME B1.1 prints.

    At 0.0524 in², 120 ksi: 6288 lbf = 27 970 N. Ds min 0.3026, En max 0.2817 in:
    π·18·0.3026·(1/36 + 0.57735·0.0209) = 0.6819 in² an inch = 17.32 mm² a millimetre; in 117 MPa: 27 970/(17.32·117)
    = 13.8 mm.
    """
    thread, row = bolt(reference, "SAE 5", "5/16-18 UNC")
    material = reference.joint_tables.materials.get("aluminium")
    assert material is not None
    assert material.shear_mpa == pytest.approx(117)
    assert shear_areas(thread).internal == pytest.approx(17.32, rel=0.005)
    needed = engagement_needed(thread, row, material)
    assert needed is not None
    assert needed.computed
    assert needed.mm == pytest.approx(13.8, rel=0.01)
    strips = hole_strips_n(thread, needed.mm, material)
    assert strips == pytest.approx(27970, rel=0.01)


def test_a_hard_hole_still_wants_enough_thread_on_the_bolt(reference: Reference) -> None:
    thread, row = bolt(reference, "SAE 2", "5/16-18 UNC")
    material = reference.joint_tables.materials.get("stainless")
    assert material is not None
    needed = engagement_needed(thread, row, material)
    assert needed is not None
    least = thread.stress_area_mm2 / (shear_areas(thread).external * STEEL_SHEAR_SHARE)
    assert needed.mm == pytest.approx(least)


def test_without_a_grade_shops_rule_is_given_and_said(reference: Reference) -> None:
    thread = reference.threads.find("M8x1.25")
    needed = engagement_needed(thread, None, reference.joint_tables.materials.get("aluminium"))
    assert needed is not None
    assert not needed.computed
    assert needed.mm == pytest.approx(16)
    assert "2 diameters" in needed.how


def test_without_figures_nothing_is_needed(reference: Reference) -> None:
    assert engagement_needed(reference.threads.find("M8x1.25"), None, None) is None


def test_the_weakest_part_stands_first(reference: Reference) -> None:
    """6 mm of thread in aluminium strips long before an SAE 8 bolt breaks; 40 mm do not."""
    thread, row = bolt(reference, "SAE 8", "3/8-16 UNC")
    material = reference.joint_tables.materials.get("aluminium")
    short = ways_to_give(thread, row, engaged_mm=6, material=material)
    assert short[0].part == "hole"
    assert ways_to_give(thread, row, engaged_mm=40, material=material)[0].part == "bolt"
    assert all(a.load_n <= b.load_n for a, b in pairwise(short))


def test_a_nut_is_told_by_its_class_and_only_a_nut(reference: Reference) -> None:
    """SAE J995 grade 5 carries 120 ksi on 1/2-13: 0.1419 · 120 000 = 17 030 lbf."""
    thread = reference.threads.find("1/2-13 UNC")
    load = nut_load(thread, reference.strengths.get("SAE nut 5"))
    assert load is not None
    assert load.load_n / NEWTONS["lbf"] == pytest.approx(17030, rel=0.002)
    assert nut_load(thread, reference.strengths.get("SAE 5")) is None
    assert nut_load(thread, None) is None


def test_whitworth_flanks_shear_by_their_own_slope() -> None:
    """At 55° the tooth is slimmer at the same overlap: tan 27.5° against tan 30°."""
    assert shear_area(10, 1, 1.5, 55) < shear_area(10, 1, 1.5, 60)


def test_pressure_of_a_ring() -> None:
    """20 kN on a ring of 16 over 9 mm: 20 000 / (π/4 · 175) = 145.5 MPa."""
    assert bearing_mpa(20000, 16, 9) == pytest.approx(145.5, abs=0.1)
    with pytest.raises(ValueError, match="no area"):
        bearing_mpa(20000, 9, 9)
