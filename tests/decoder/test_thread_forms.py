"""Thread profiles: the geometry of each, and factors that others print."""

from __future__ import annotations

import math

import pytest

from decoder.thread_forms import (
    BA_47_5,
    CYCLE_60,
    ISO_METRIC_60,
    PIPE_PARALLEL_55,
    PIPE_TAPER_55,
    PIPE_TAPER_60,
    UNIFIED_60,
    WHITWORTH_55,
    ThreadForm,
)

FORMS = (
    UNIFIED_60,
    ISO_METRIC_60,
    WHITWORTH_55,
    BA_47_5,
    CYCLE_60,
    PIPE_PARALLEL_55,
    PIPE_TAPER_55,
    PIPE_TAPER_60,
)


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.name)
def test_a_profile_fits_into_its_sharp_triangle(form: ThreadForm) -> None:
    assert form.height_factor < form.sharp_height_factor
    assert form.pitch_diameter_factor < form.minor_internal_factor <= form.minor_external_factor
    assert form.minor_external_factor / 2 < form.sharp_height_factor
    assert form.pitch_diameter_factor < form.stress_factor < form.minor_external_factor
    assert form.source


@pytest.mark.parametrize("form", [form for form in FORMS if form.crest == "rounded"], ids=lambda form: form.name)
def test_a_rounded_profile_is_symmetrical_and_its_arc_touches_the_flank(form: ThreadForm) -> None:
    """The arc's centre lies a radius below the crest; the flank of the triangle is a radius away from it."""
    half_angle = math.radians(form.flank_angle_deg / 2)
    assert form.pitch_diameter_factor == pytest.approx(form.height_factor)
    assert form.minor_external_factor == pytest.approx(2 * form.height_factor)
    centre = form.height_factor / 2 - form.rounding_factor
    flank_half_width = 0.25 - centre * math.tan(half_angle)
    assert flank_half_width * math.cos(half_angle) == pytest.approx(form.rounding_factor, abs=0.0002)


@pytest.mark.parametrize(
    ("form", "field", "printed"),
    [
        pytest.param(WHITWORTH_55, "height_factor", 0.640327, id="Whitworth depth - boltscience page"),
        pytest.param(WHITWORTH_55, "rounding_factor", 0.137329, id="Whitworth radius - boltscience page"),
        pytest.param(WHITWORTH_55, "sharp_height_factor", 0.960491, id="Whitworth triangle - thread data sheet"),
        pytest.param(BA_47_5, "sharp_height_factor", 1.136336, id="BA triangle - thread data sheet"),
        pytest.param(BA_47_5, "rounding_factor", 0.1808346, id="BA radius - thread data sheet"),
        pytest.param(UNIFIED_60, "pitch_diameter_factor", 0.649519, id="Unified pitch diameter - Shigley table 8-2"),
        pytest.param(ISO_METRIC_60, "minor_internal_factor", 1.082532, id="metric bore - handbook 27th p. 1794"),
        pytest.param(ISO_METRIC_60, "sharp_height_factor", 0.866025, id="metric triangle - thread data sheet"),
        pytest.param(ISO_METRIC_60, "stress_factor", 0.938194, id="metric stress area - ISO 898-1 worked out"),
    ],
)
def test_factors_are_those_that_others_print(form: ThreadForm, field: str, printed: float) -> None:
    assert getattr(form, field) == pytest.approx(printed, abs=0.00005)


def test_unified_root_is_that_of_the_handbook_table() -> None:
    """Machinery's Handbook, 31st edition, p. 1978: 1/2-13 UNR root 0.4084 in, 1/4-20 0.1905 in."""
    assert 0.5 - UNIFIED_60.minor_external_factor / 13 == pytest.approx(0.4084, abs=0.00006)
    assert 0.25 - UNIFIED_60.minor_external_factor / 20 == pytest.approx(0.1905, abs=0.00006)
