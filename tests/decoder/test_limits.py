"""Limits of size against the limits and tolerances that others print."""

from __future__ import annotations

import pytest

from decoder.limits import Limits, limits
from decoder.reference import Reference
from decoder.threads import Threads
from tests.decoder.test_threads import _FACTOR, published, row_id


@pytest.fixture(scope="module")
def threads(reference: Reference) -> Threads:
    """The threads that come with the package."""
    return reference.threads


def limits_of(threads: Threads, item: str) -> Limits:
    """The class that a published item names: 'M8x1.25 | 6g'."""
    designation, thread_class = item.split(" | ")
    return next(each for each in limits(threads.find(designation)) if each.thread_class == thread_class)


def value_of(each: Limits, field: str) -> float:
    """One diameter or tolerance of a class, [mm]."""
    if field == "pitch_diameter_tolerance":
        return each.pitch_diameter_max_mm - each.pitch_diameter_min_mm
    if field == "major_tolerance":
        assert each.major_max_mm is not None
        assert each.major_min_mm is not None
        return each.major_max_mm - each.major_min_mm
    found = getattr(each, f"{field}_mm")
    assert isinstance(found, float)
    return found


@pytest.mark.parametrize("row", published("threads_limits.csv"), ids=row_id)
def test_limits_are_those_that_others_print(row: dict[str, str], threads: Threads) -> None:
    found = value_of(limits_of(threads, row["item"]), row["field"]) / _FACTOR[row["unit"]]
    assert found == pytest.approx(float(row["value"]), abs=float(row["tolerance"]) + 1e-9)


def test_a_genuine_bolt_measures_at_or_under_its_nominal_and_a_nut_at_or_over(threads: Threads) -> None:
    for thread in threads:
        for each in limits(thread):
            if each.member == "external":
                assert each.major_min_mm is not None
                assert each.major_max_mm is not None
                assert each.major_min_mm < each.major_max_mm <= thread.major_mm + 0.0013, (thread.designation, each)
                assert each.pitch_diameter_max_mm <= thread.pitch_diameter_mm + 0.0013
            else:
                assert each.minor_min_mm is not None
                assert each.minor_max_mm is not None
                assert thread.minor_internal_mm - 0.013 <= each.minor_min_mm < each.minor_max_mm < thread.major_mm
                assert each.pitch_diameter_min_mm >= thread.pitch_diameter_mm - 0.0013
            assert each.pitch_diameter_min_mm < each.pitch_diameter_max_mm


def test_bolt_and_nut_of_the_usual_classes_always_go_together(threads: Threads) -> None:
    for thread in threads:
        given = limits(thread)
        bolts = [each for each in given if each.member == "external"]
        nuts = [each for each in given if each.member == "internal"]
        for bolt in bolts:
            for nut in nuts:
                assert bolt.pitch_diameter_max_mm <= nut.pitch_diameter_min_mm + 0.0026, thread.designation


def test_known_cases_of_bolts_under_their_nominal(threads: Threads) -> None:
    """3/8-16 class 2A lies within 0.3643 and 0.3737 in, M10 6g within 9.732 and 9.968 mm."""
    inch = limits_of(threads, "3/8-16 UNC | 2A")
    assert (inch.major_min_mm, inch.major_max_mm) == pytest.approx((0.3643 * 25.4, 0.3737 * 25.4), abs=0.0015)
    metric = limits_of(threads, "M10x1.5 | 6g")
    assert (metric.major_min_mm, metric.major_max_mm) == pytest.approx((9.732, 9.968), abs=0.0005)


def test_free_threads_are_looser_than_medium_and_medium_than_close(threads: Threads) -> None:
    for designation in ("5/16-18 BSW", "3/8-20 BSF"):
        widths = {
            each.thread_class: each.pitch_diameter_max_mm - each.pitch_diameter_min_mm
            for each in limits(threads.get(designation))
            if each.member == "external"
        }
        assert widths["close"] < widths["medium"] < widths["free"]
        assert widths["free"] == pytest.approx(1.5 * widths["medium"])


def test_whitworth_allowance_ends_at_three_quarters_of_an_inch(threads: Threads) -> None:
    allowed = limits_of(threads, "3/4-10 BSW | medium")
    none = limits_of(threads, "7/8-9 BSW | medium")
    assert allowed.major_max_mm is not None
    assert allowed.major_max_mm < threads.get("3/4-10 BSW").major_mm
    assert none.major_max_mm == pytest.approx(threads.get("7/8-9 BSW").major_mm)


def test_ba_normal_class_follows_its_formulas(threads: Threads) -> None:
    """BS 93:1951, Machinery's Handbook p. 2115: allowance 0.025, tolerances 0.2 p, 0.1 p + 0.025, 0.2 p + 0.05 mm."""
    bolt = limits_of(threads, "2 BA | normal")
    assert bolt.member == "external"
    assert (bolt.major_max_mm, bolt.major_min_mm) == pytest.approx((4.675, 4.675 - 0.162))
    assert (bolt.pitch_diameter_max_mm, bolt.pitch_diameter_min_mm) == pytest.approx((4.19, 4.19 - 0.106))
    small = limits_of(threads, "12 BA | normal")
    assert small.major_max_mm == pytest.approx(1.3)
    assert small.major_min_mm == pytest.approx(1.3 - 0.25 * 0.28)


def test_families_without_known_limits_say_nothing(threads: Threads) -> None:
    for thread in threads:
        if thread.family in ("BSC", "R", "NPT", "NPTF"):
            assert limits(thread) == ()
        else:
            assert limits(thread), thread.designation
            assert all(each.by for each in limits(thread))


def test_hand_makes_no_difference_to_limits(threads: Threads) -> None:
    right = threads.get("1/2-20 UNF")
    assert limits(right.as_left_hand()) == limits(right)
