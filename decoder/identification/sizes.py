"""The diameters of real parts that identification needs of a thread, from the limits of its usual class.

Where the standard gives a class no limit of some diameter (the root of a bolt, a taper pipe thread), usual practice
stands in; it is only used to weigh what was measured, never shown as a limit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from decoder.limits import Limits, limits
from decoder.threads import Thread


@dataclass(frozen=True, slots=True)
class Sizes:
    """Diameters in mm: of male threads (`male_…`) and of female ones."""

    male_major_from: float
    male_major_to: float
    male_pitch_from: float
    male_pitch_to: float
    male_minor_to: float
    female_major_from: float
    female_pitch_from: float
    female_pitch_to: float
    female_minor_from: float
    female_minor_to: float


def sizes_of(thread: Thread) -> Sizes:
    """The diameters to expect of parts with this thread."""
    given = limits(thread)
    male = _usual(given, "external")
    female = _usual(given, "internal")
    tolerance = _usual_tolerance_mm(thread)
    taper = thread.form.taper * 3 * thread.pitch_mm
    major, pitch_diameter = thread.major_mm, thread.pitch_diameter_mm
    return Sizes(
        male_major_from=_or(male.major_min_mm if male else None, major - 1.6 * tolerance) - taper,
        male_major_to=_or(male.major_max_mm if male else None, major) + taper,
        male_pitch_from=_or(male.pitch_diameter_min_mm if male else None, pitch_diameter - tolerance) - taper,
        male_pitch_to=_or(male.pitch_diameter_max_mm if male else None, pitch_diameter) + taper,
        # Not the limit: that is where a gauge passes. Roots of real bolts are rounded, and deeper.
        male_minor_to=thread.minor_external_mm + taper,
        female_major_from=_or(female.major_min_mm if female else None, major) - taper,
        female_pitch_from=_or(female.pitch_diameter_min_mm if female else None, pitch_diameter) - taper,
        female_pitch_to=_or(female.pitch_diameter_max_mm if female else None, pitch_diameter + 1.3 * tolerance) + taper,
        female_minor_from=_or(female.minor_min_mm if female else None, thread.minor_internal_mm) - taper,
        female_minor_to=_or(female.minor_max_mm if female else None, thread.minor_internal_mm + 2 * tolerance) + taper,
    )


def _or(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


def _usual(given: Sequence[Limits], member: str) -> Limits | None:
    """The class most parts are made to, which the tables give first."""
    return next((entry for entry in given if entry.member == member), None)


def _usual_tolerance_mm(thread: Thread) -> float:
    """Tolerance of the pitch diameter as ISO 965 grade 6 computes it: 90 P^0.4 d^0.1 micrometres."""
    return float(0.09 * thread.pitch_mm**0.4 * thread.major_mm**0.1)
