"""Limits of size by the formulae of the standards; lengths in mm.

Written apart from the product's own limits, from the same standards: ASME B1.1 class 2A and 2B, ISO 965 6g and 6H,
BS 84 medium, BS 93 normal. Where no formula is known (Cycle, brass, pipe) the nearest British one stands in.
"""

from __future__ import annotations

from dataclasses import dataclass

INCH = 25.4


@dataclass(frozen=True, slots=True)
class Limits:
    """Diameters between which a new part lies: bolt outside and at the pitch line, nut at the pitch line and bore."""

    outside: tuple[float, float]
    bolt_pitch: tuple[float, float]
    nut_pitch: tuple[float, float]
    bore: tuple[float, float]


#: Twice the distance from crest to pitch line, and from crest to the bore of the nut, over the pitch.
_PITCH_LINE = {60.0: 0.6495, 55.0: 0.6403, 47.5: 0.6}
_BORE = {60.0: 1.0825, 55.0: 1.2807, 47.5: 1.2}


def limits_of_size(family: str, major_mm: float, pitch_mm: float, angle_deg: float) -> Limits:
    """The limits of the class that ordinary parts of a family are made to."""
    pitch_line = major_mm - _PITCH_LINE[angle_deg] * pitch_mm
    bore = major_mm - _BORE[angle_deg] * pitch_mm
    if family == "BSC":
        # Cycle threads are shallow: 0.5327 of the pitch.
        pitch_line, bore = major_mm - 0.5327 * pitch_mm, major_mm - 1.0654 * pitch_mm
    if family in ("NPT", "NPTF"):
        # Cut deeper than other 60° threads: 0.8 of the pitch.
        pitch_line, bore = major_mm - 0.8 * pitch_mm, major_mm - 1.6 * pitch_mm
    allowance, outside, on_bolt, on_nut, on_bore = _tolerances(family, major_mm, pitch_mm)
    taper = 3 * pitch_mm / 16 if family in ("R", "NPT", "NPTF") else 0.0
    return Limits(
        outside=(major_mm - allowance - outside - taper, major_mm - allowance + taper),
        bolt_pitch=(pitch_line - allowance - on_bolt - taper, pitch_line - allowance + taper),
        nut_pitch=(pitch_line - taper, pitch_line + on_nut + taper),
        bore=(bore - taper, bore + on_bore + taper),
    )


def _tolerances(family: str, major_mm: float, pitch_mm: float) -> tuple[float, float, float, float, float]:
    """Allowance; tolerances of the bolt outside and at the pitch line, of the nut at the pitch line and in its bore."""
    if family == "M":
        outside = (180 * pitch_mm ** (2 / 3) - 3.15 / pitch_mm**0.5) / 1000
        on_bolt = 90 * pitch_mm**0.4 * major_mm**0.1 / 1000
        bore = (433 * pitch_mm - 190 * pitch_mm**1.22) if pitch_mm < 1 else 230 * pitch_mm**0.7
        return (15 + 11 * pitch_mm) / 1000, outside, on_bolt, 1.32 * on_bolt, bore / 1000
    if family.startswith("UN"):
        diameter, pitch = major_mm / INCH, pitch_mm / INCH
        engaged = diameter if family in ("UNC", "UNF") else 9 * pitch
        on_bolt = 0.0015 * diameter ** (1 / 3) + 0.0015 * engaged**0.5 + 0.015 * pitch ** (2 / 3)
        bore = 0.25 * pitch - 0.4 * pitch**2
        return (
            0.3 * on_bolt * INCH,
            0.06 * pitch ** (2 / 3) * INCH,
            on_bolt * INCH,
            1.3 * on_bolt * INCH,
            bore * INCH,
        )
    if family == "BA":
        # Down to 10 BA, of 0.35 mm pitch, bolts are made a little under.
        return (
            0.025 if pitch_mm >= 0.35 else 0.0,
            0.2 * pitch_mm,
            0.1 * pitch_mm + 0.025,
            0.1 * pitch_mm + 0.025,
            0.375 * pitch_mm,
        )
    diameter, pitch = major_mm / INCH, pitch_mm / INCH
    on_bolt = 0.002 * diameter ** (1 / 3) + 0.003 * diameter**0.5 + 0.005 * pitch**0.5
    # BS 84: bolts up to 3/4 in are made 0.3 of the tolerance under; bores are wider the coarser the thread.
    allowance = 0.3 * on_bolt if diameter < 0.751 else 0.0
    bore = 0.2 * pitch + (0.007 if pitch > 1 / 21 else 0.005 if pitch > 1 / 25 else 0.004)
    return (
        allowance * INCH,
        (on_bolt + 0.01 * pitch**0.5) * INCH,
        on_bolt * INCH,
        on_bolt * INCH,
        bore * INCH,
    )
