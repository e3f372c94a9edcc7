"""What a thread carries: bolt in tension, threads in shear, nut by its class, pressure under a head.

Shear areas and lengths of engagement follow FED-STD-H28/2B as public engineering pages quote it; the standard itself
was not read. Its formulas are for 60° threads; here the slope is that of the thread's own flanks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from decoder.engagement import TappedMaterial
from decoder.limits import Limits
from decoder.strength import Grade, StrengthRow
from decoder.threads import Thread, limits
from decoder.tightening_texts import TEXTS

#: Steel shears at this share of its tensile stress; half, as the standard's formula for the length takes it.
STEEL_SHEAR_SHARE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class ShearAreas:
    """Area in shear for a millimetre of engaged thread, [mm²/mm], with every size at its least favourable limit.

    `external` is torn where the bolt's thread strips, `internal` where that of the nut or hole does. `classes` are
    the classes of thread whose limits were taken, '' where the basic sizes had to do.
    """

    external: float
    internal: float
    classes: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A load at which one part gives way, [N]; `part` is 'bolt', 'bolt thread', 'hole' or 'nut'."""

    part: str
    load_n: float
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Engagement:
    """The length of thread that a hole must carry, [mm], and how it was found."""

    mm: float
    how: str
    computed: bool


def proof_load_n(thread: Thread, row: StrengthRow) -> float | None:
    """Load that a bolt or nut bears without setting, [N]; None where its grade has no proof stress."""
    return None if row.proof_mpa is None else row.proof_mpa * thread.stress_area_mm2


def tensile_load_n(thread: Thread, row: StrengthRow) -> float | None:
    """Load that breaks a bolt, [N]; None where its grade has no tensile stress."""
    return None if row.tensile_mpa is None else row.tensile_mpa * thread.stress_area_mm2


def shear_areas(thread: Thread) -> ShearAreas:
    """Areas in shear of bolt and hole, by the limits of the usual classes, else by the basic profile.

    AS_s = π·K·(1/2 + (E_s − K)·tan α/p) and AS_n = π·D·(1/2 + (D − E_n)·tan α/p), for each millimetre, with K the
    largest bore of the nut, E_s the least pitch diameter of the bolt, D its least outside diameter and E_n the
    largest pitch diameter of the nut; α is half the angle of the flanks.
    """
    outside, inside = _usual(limits(thread), "external"), _usual(limits(thread), "internal")
    major = (outside and outside.major_min_mm) or thread.major_mm
    pitch_external = (outside and outside.pitch_diameter_min_mm) or thread.pitch_diameter_mm
    pitch_internal = (inside and inside.pitch_diameter_max_mm) or thread.pitch_diameter_mm
    bore = (inside and inside.minor_max_mm) or thread.minor_internal_mm
    angle = thread.form.flank_angle_deg
    classes = f"{outside.thread_class} and {inside.thread_class}" if outside and inside else ""
    return ShearAreas(
        external=shear_area(bore, pitch_external - bore, thread.pitch_mm, angle),
        internal=shear_area(major, major - pitch_internal, thread.pitch_mm, angle),
        classes=classes,
    )


def shear_area(diameter_mm: float, overlap_mm: float, pitch_mm: float, flank_angle_deg: float = 60.0) -> float:
    """Area in shear at a diameter for each millimetre of thread, [mm²/mm].

    Parameters
    ----------
    diameter_mm : float
        Where the thread is sheared: the bore of the nut, or the outside of the bolt, [mm].
    overlap_mm : float
        From there to the other thread's pitch diameter, as a difference of diameters, [mm].
    pitch_mm : float
    flank_angle_deg : float
        Both flanks together, [deg].
    """
    slope = math.tan(math.radians(flank_angle_deg / 2))
    return math.pi * diameter_mm * (0.5 + overlap_mm * slope / pitch_mm)


def _usual(found: Sequence[Limits], member: str) -> Limits | None:
    """The first class of a table, which is the usual one; 2A and 2B, 6g and 6H, medium."""
    return next((each for each in found if each.member == member and each.pitch_diameter_min_mm is not None), None)


def bolt_thread_strips_n(thread: Thread, engaged_mm: float, row: StrengthRow) -> float | None:
    """Load at which the bolt's own thread strips, [N]."""
    if row.tensile_mpa is None:
        return None
    return shear_areas(thread).external * engaged_mm * row.tensile_mpa * STEEL_SHEAR_SHARE


def hole_strips_n(thread: Thread, engaged_mm: float, material: TappedMaterial) -> float | None:
    """Load at which the thread of a tapped hole strips, [N], at the weakest that the material may be."""
    if material.shear_mpa is None:
        return None
    return shear_areas(thread).internal * engaged_mm * material.shear_mpa


def engagement_needed(
    thread: Thread, row: StrengthRow | None, material: TappedMaterial | None, *, taps_same_size: bool = True
) -> Engagement | None:
    """Thread that a hole must carry so that the bolt breaks before it strips, else what shops ask for.

    Parameters
    ----------
    thread : Thread
    row : StrengthRow or None
        Strength of the bolt, None where it is not known.
    material : TappedMaterial or None
        What the hole is in, None where no figures were found.
    taps_same_size : bool
        False in an insert, whose outer thread is larger: the computation then says nothing.

    Returns
    -------
    Engagement or None
        None where neither can be said.
    """
    tensile = tensile_load_n(thread, row) if row else None
    if tensile is not None and material is not None and material.shear_mpa is not None and taps_same_size:
        areas = shear_areas(thread)
        # 2·At/AS_s is the least length for the bolt's own thread; a weaker hole needs J times as much.
        own = thread.stress_area_mm2 / (areas.external * STEEL_SHEAR_SHARE)
        hole = tensile / (areas.internal * material.shear_mpa)
        return Engagement(
            mm=max(own, hole),
            how=TEXTS["needed_by_strength"].format(material=material.id.replace("-", " ")),
            computed=True,
        )
    if material is not None and material.engagement_diameters is not None:
        return Engagement(
            mm=material.engagement_diameters * thread.major_mm,
            how=TEXTS["needed_by_rule"].format(
                diameters=f"{material.engagement_diameters:g}", material=material.id.replace("-", " ")
            ),
            computed=False,
        )
    return None


def nut_load(thread: Thread, grade: Grade | None) -> Load | None:
    """The proof load of a nut by its class; None where class or figure is not known."""
    row = grade.at(thread.major_mm) if grade is not None and grade.part == "nut" else None
    load = proof_load_n(thread, row) if row else None
    if load is None or grade is None:
        return None
    return Load(part="nut", load_n=load, how=f"proof load of {grade.name}")


def ways_to_give(
    thread: Thread,
    row: StrengthRow,
    *,
    engaged_mm: float | None = None,
    material: TappedMaterial | None = None,
    nut: Grade | None = None,
    hole_thread: Thread | None = None,
) -> tuple[Load, ...]:
    """Each part with the load at which it gives way, the weakest first.

    `hole_thread` is the thread in the hole where it is another, at the metal end of a stud. A nut of the standard's
    height is left to its proof load, which was measured on nuts; stripping is worked out only in holes.
    """
    loads: list[Load] = []
    tensile = tensile_load_n(thread, row)
    if tensile is not None:
        loads.append(Load(part="bolt", load_n=tensile, how=f"tensile load of {row.grade} in this size"))
    by_class = nut_load(thread, nut)
    if by_class is not None:
        loads.append(by_class)
    if engaged_mm is not None and material is not None:
        hole = hole_strips_n(hole_thread or thread, engaged_mm, material)
        own = bolt_thread_strips_n(hole_thread or thread, engaged_mm, row)
        name = material.id.replace("-", " ")
        if hole is not None:
            loads.append(Load(part="hole", load_n=hole, how=f"the thread in the weakest {name} of the table strips"))
        if own is not None:
            loads.append(Load(part="bolt thread", load_n=own, how="the thread of the bolt strips"))
    return tuple(sorted(loads, key=lambda load: load.load_n))


def bearing_mpa(load_n: float, outside_mm: float, hole_mm: float) -> float:
    """Pressure of a ring-shaped face on what it bears on, [MPa].

    Raises
    ------
    ValueError
        Where the ring has no width.
    """
    area = math.pi / 4 * (outside_mm**2 - hole_mm**2)
    if area <= 0:
        raise ValueError(f"a face of {outside_mm:g} mm over a hole of {hole_mm:g} mm has no area")
    return load_n / area
