"""Profiles of screw threads: what a flank angle and a crest shape make of a diameter and a pitch.

Every factor is a multiple of the pitch, so a form serves inch and millimetre threads alike.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Crest = Literal["flat", "rounded"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadForm:
    """The profile of a thread, as multiples of its pitch.

    Attributes
    ----------
    name : str
        How people name the profile.
    flank_angle_deg : float
        Angle between the two flanks, [deg].
    crest : 'flat' or 'rounded'
        What a magnifying glass shows on top of a thread as the standard draws it.
    height_factor : float
        Height of the basic profile over the pitch: what male and female share in a full thread, [-].
    pitch_diameter_factor : float
        Major less pitch diameter, over the pitch, [-].
    minor_external_factor : float
        Major diameter less the root diameter of a bolt, over the pitch, [-].
    minor_internal_factor : float
        Major diameter less the bore of a nut, over the pitch, [-].
    stress_factor : float
        Major diameter less the diameter of the stress area, over the pitch, [-].
    stress_formula : str
        The stress area in words, naming where the formula comes from.
    full_depth_factor : float
        The depth, twice over, that the trade calls 100 % thread for tapping, over the pitch, [-].
    rounding_factor : float
        Radius of crest and root over the pitch, 0 where they are flat, [-].
    taper : float
        Growth of diameter over length; 1/16 for taper pipe threads, [-].
    source : str
        Where the factors were read.
    """

    name: str
    flank_angle_deg: float
    crest: Crest
    height_factor: float
    pitch_diameter_factor: float
    minor_external_factor: float
    minor_internal_factor: float
    stress_factor: float
    stress_formula: str
    full_depth_factor: float
    source: str
    rounding_factor: float = 0.0
    taper: float = 0.0

    @property
    def sharp_height_factor(self) -> float:
        """Height of the fundamental triangle over the pitch, [-]."""
        return 0.5 / math.tan(math.radians(self.flank_angle_deg / 2))


_H60 = math.sqrt(3) / 2
_WHITWORTH_DEPTH = 0.640327
_WHITWORTH_ROUNDING = 0.137329

UNIFIED_60 = ThreadForm(
    name="Unified, 60°",
    flank_angle_deg=60,
    crest="flat",
    height_factor=0.625 * _H60,
    pitch_diameter_factor=0.75 * _H60,
    minor_external_factor=1.1907856,
    minor_internal_factor=1.25 * _H60,
    stress_factor=0.9743,
    stress_formula="π/4 · (D − 0.9743 p)², as Machinery's Handbook gives it for Unified threads",
    full_depth_factor=1.5 * _H60,
    source="Machinery's Handbook, Unified thread form; minor diameter of bolts with rounded (UNR) root",
)

ISO_METRIC_60 = ThreadForm(
    name="ISO metric, 60°",
    flank_angle_deg=60,
    crest="flat",
    height_factor=0.625 * _H60,
    pitch_diameter_factor=0.75 * _H60,
    minor_external_factor=17 / 12 * _H60,
    minor_internal_factor=1.25 * _H60,
    stress_factor=(0.75 + 17 / 12) / 2 * _H60,
    stress_formula="π/4 · ((d2 + d3)/2)² with d3 = d − 1.22687 P, as ISO 898-1 gives it",
    full_depth_factor=1.5 * _H60,
    source="Machinery's Handbook, M profile; ISO 898-1 for d3",
)

WHITWORTH_55 = ThreadForm(
    name="Whitworth, 55°",
    flank_angle_deg=55,
    crest="rounded",
    height_factor=_WHITWORTH_DEPTH,
    pitch_diameter_factor=_WHITWORTH_DEPTH,
    minor_external_factor=2 * _WHITWORTH_DEPTH,
    minor_internal_factor=2 * _WHITWORTH_DEPTH,
    stress_factor=1.5 * _WHITWORTH_DEPTH,
    stress_formula="π/4 · ((effective + minor)/2)², common practice: no Whitworth standard that we read gives one",
    full_depth_factor=2 * _WHITWORTH_DEPTH,
    rounding_factor=_WHITWORTH_ROUNDING,
    source="Machinery's Handbook, Whitworth threads (BS 84:1956)",
)

BA_47_5 = ThreadForm(
    name="British Association, 47½°",
    flank_angle_deg=47.5,
    crest="rounded",
    height_factor=0.6,
    pitch_diameter_factor=0.6,
    minor_external_factor=1.2,
    minor_internal_factor=1.2,
    stress_factor=0.9,
    stress_formula="π/4 · ((effective + minor)/2)², common practice: BS 93 gives none that we read",
    full_depth_factor=1.2,
    rounding_factor=0.1808,
    source="Machinery's Handbook 31st edition p. 2115 (BS 93:1951)",
)

CYCLE_60 = ThreadForm(
    name="Cycle, 60° rounded",
    flank_angle_deg=60,
    crest="rounded",
    height_factor=0.5327,
    pitch_diameter_factor=0.5327,
    minor_external_factor=1.0654,
    minor_internal_factor=1.0654,
    stress_factor=0.79905,
    stress_formula="π/4 · ((effective + minor)/2)², common practice: BS 811 gives none that we read",
    full_depth_factor=1.0654,
    rounding_factor=1 / 6,
    source="a published summary of BS 811:1950: depth 0.5327 p, crest and root radius p/6",
)

#: British parallel pipe: the Whitworth profile on its own diameters.
PIPE_PARALLEL_55 = ThreadForm(
    name="British parallel pipe, 55°",
    flank_angle_deg=55,
    crest="rounded",
    height_factor=_WHITWORTH_DEPTH,
    pitch_diameter_factor=_WHITWORTH_DEPTH,
    minor_external_factor=2 * _WHITWORTH_DEPTH,
    minor_internal_factor=2 * _WHITWORTH_DEPTH,
    stress_factor=1.5 * _WHITWORTH_DEPTH,
    stress_formula="π/4 · ((pitch + minor)/2)², common practice; a pipe thread is not tightened by its stress area",
    full_depth_factor=2 * _WHITWORTH_DEPTH,
    rounding_factor=_WHITWORTH_ROUNDING,
    source="a published summary of ISO 228-1; the profile is that of Whitworth",
)

PIPE_TAPER_55 = ThreadForm(
    name="British taper pipe, 55°, taper 1 in 16",
    flank_angle_deg=55,
    crest="rounded",
    height_factor=_WHITWORTH_DEPTH,
    pitch_diameter_factor=_WHITWORTH_DEPTH,
    minor_external_factor=2 * _WHITWORTH_DEPTH,
    minor_internal_factor=2 * _WHITWORTH_DEPTH,
    stress_factor=1.5 * _WHITWORTH_DEPTH,
    stress_formula="π/4 · ((pitch + minor)/2)² at the gauge plane, common practice; not used for tightening",
    full_depth_factor=2 * _WHITWORTH_DEPTH,
    rounding_factor=_WHITWORTH_ROUNDING,
    source="ISO 7-1, from memory; diameters stand at the gauge plane",
    taper=1 / 16,
)

PIPE_TAPER_60 = ThreadForm(
    name="American taper pipe, 60°, taper 1 in 16",
    flank_angle_deg=60,
    crest="flat",
    height_factor=0.8,
    pitch_diameter_factor=0.8,
    minor_external_factor=1.6,
    minor_internal_factor=1.6,
    stress_factor=1.2,
    stress_formula="π/4 · ((pitch + minor)/2)² at the gauge plane, common practice; not used for tightening",
    full_depth_factor=1.6,
    source="ASME B1.20.1 as two published charts transcribe it: height 0.8 p",
    taper=1 / 16,
)
