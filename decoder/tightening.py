"""The torque that a clamping bolt takes, T = K·d·F: a band, since nobody at a bench knows K.

The clamping force is a share of the proof load. The torque for it runs with K from the slipperiest to the roughest
that documents give for the finish and what is on the thread. A bolt tightened to the low end is never overstretched;
at the high end it is where thread and face are as slippery as the low end supposes. A manual's figure comes first.
"""

from __future__ import annotations

from dataclasses import dataclass

from decoder.engagement import TappedMaterial
from decoder.loads import engagement_needed, hole_strips_n, nut_load
from decoder.nut_factors import Friction, Lubricant
from decoder.quantities import NM_PER_LBF_FT, NM_PER_LBF_IN, format_mm
from decoder.reference import Reference
from decoder.strength import Grade, StrengthRow
from decoder.tables import Provenance
from decoder.threads import Thread
from decoder.writing import trimmed

#: Share of the proof load that charts are made with, and the most for bolts that have been tightened before.
PRELOAD_SHARE = 0.75

#: A tapped thread is not loaded above this share of what strips it: castings of old vehicles are worn and of unknown
#: alloy (common practice).
HOLE_SHARE = 0.5

#: What a US Army manual leaves of a torque where the screw goes into aluminium: 'reductions of 30 % or more'.
SOFT_METAL_SHARE = 0.7
SOFT_METALS = ("aluminium", "magnesium", "zinc-alloy")

#: Screws that are in no joint that stretches: pipe threads seal or wedge.
_NO_TORQUE_FAMILIES = ("G", "R", "NPT", "NPTF")

MANUAL_FIRST = "The workshop manual comes first: where it gives a figure, that figure goes."

_CHART = Provenance("nominal", "coarse-torque-chart", "notes under the chart")
_REUSED = Provenance("maximum", "bolt-torque-article", "share of proof load for bolts that are used again")
_SOFT = Provenance("maximum", "us-army-tm-5-3895-367", "H-2")
_DRAG = Provenance("nominal", "faa-ac-43-13-1b", "7-40")
_SCATTER = Provenance("nominal", "nasa-std-5020b", "table 3")
_STRIPPING = Provenance("by formula", "fed-std-h28-2b", "shear areas, length of engagement")


class NoTorqueError(ValueError):
    """Why no torque follows from a bolt, in one sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A low and a high end."""

    low: float
    high: float

    def times(self, factor: float) -> Band:
        """Both ends by a factor."""
        return Band(low=self.low * factor, high=self.high * factor)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tightening:
    """A computed torque. Loads in N, torques in N·m, K without a unit.

    `chart_nm` is the figure with the one K that charts are made with for this finish. `limited_by` says what holds
    the force below the usual share of the bolt's proof load, '' where nothing does.
    """

    thread: Thread
    grade: str
    stress_area_mm2: float
    proof_load_n: float
    preload_n: float
    k: Band
    torque_nm: Band
    chart_nm: float
    limited_by: str
    assumes: tuple[str, ...]
    cautions: tuple[str, ...]
    provenances: tuple[Provenance, ...]

    @property
    def torque_lbf_ft(self) -> Band:
        """The torque in lbf·ft."""
        return self.torque_nm.times(1 / NM_PER_LBF_FT)

    @property
    def torque_lbf_in(self) -> Band:
        """The torque in lbf·in."""
        return self.torque_nm.times(1 / NM_PER_LBF_IN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What a bolt is tightened with and into.

    `grips_mm` is the thread in a tapped hole of the material, None where it goes into a nut; `hole_thread` the thread
    there where it is another, at the metal end of a stud. `nut` None is a nut at
    least as strong as the bolt.
    """

    finish: str = "plain"
    lubricant: Lubricant = "none"
    nut: Grade | None = None
    reused: bool = False
    into: TappedMaterial | None = None
    grips_mm: float | None = None
    self_locking: bool = False
    hole_thread: Thread | None = None


def tighten(thread: Thread, grade: Grade, conditions: Conditions, reference: Reference) -> Tightening:
    """The torque for a bolt of a grade.

    Raises
    ------
    NoTorqueError
        Where none follows: no such grade in the size, no proof stress, no known friction, a thread that seals.
    """
    row = strength_for_torque(thread, grade)
    assert row.proof_mpa is not None
    friction = reference.joint_tables.nut_factors.band(conditions.finish, conditions.lubricant)
    if friction is None:
        raise NoTorqueError(
            f"no document gives a factor for {conditions.finish.replace('-', ' ')} with {_on_it(conditions.lubricant)}"
        )
    proof = row.proof_mpa * thread.stress_area_mm2
    preload, limited_by, limits = _preload(thread, proof, conditions)
    per_k = preload * thread.major_mm / 1000
    return Tightening(
        thread=thread,
        grade=grade.name,
        stress_area_mm2=thread.stress_area_mm2,
        proof_load_n=proof,
        preload_n=preload,
        k=Band(low=friction.k_low, high=friction.k_high),
        torque_nm=Band(low=friction.k_low * per_k, high=friction.k_high * per_k),
        chart_nm=friction.k_usual * per_k,
        limited_by=limited_by,
        assumes=(*_assumes(conditions, friction), *((limited_by,) if limited_by else ())),
        cautions=tuple(_cautions(thread, grade, row, conditions, friction)),
        provenances=(
            thread.provenance,
            grade.provenance,
            row.provenance,
            *(each.provenance for each in friction.rows),
            _CHART,
            _SCATTER,
            *((_REUSED,) if conditions.reused else ()),
            *((_DRAG,) if conditions.self_locking else ()),
            *limits,
        ),
    )


def strength_for_torque(thread: Thread, grade: Grade) -> StrengthRow:
    """The strength of a grade in a size that a torque can be worked out from; raises NoTorqueError."""
    if thread.family in _NO_TORQUE_FAMILIES:
        raise NoTorqueError(f"{thread.designation} is a pipe thread: it seals or wedges, and its bolt strength says "
                            "nothing about its torque")  # fmt: skip
    if grade.part != "bolt":
        raise NoTorqueError(f"{grade.name} is a grade of nut; the torque follows from the bolt's grade")
    row = grade.at(thread.major_mm)
    if row is None:
        raise NoTorqueError(f"the tables do not give {grade.name} in the size of {thread.designation}")
    if row.proof_mpa is None:
        raise NoTorqueError(
            f"no document gives a proof stress for {grade.name}, and it is not guessed from the tensile stress"
        )
    return row


def _preload(thread: Thread, proof: float, conditions: Conditions) -> tuple[float, str, tuple[Provenance, ...]]:
    """The clamping force, what holds it down, and who says so."""
    best, why = PRELOAD_SHARE * proof, ""
    by_nut = nut_load(thread, conditions.nut)
    if by_nut is not None and PRELOAD_SHARE * by_nut.load_n < best:
        best = PRELOAD_SHARE * by_nut.load_n
        why = f"Force held down to {_percent(PRELOAD_SHARE)} of the nut's proof load, which is under the bolt's."
    material = conditions.into
    if material is None:
        return best, why, ()
    used: list[Provenance] = []
    if material.id in SOFT_METALS and SOFT_METAL_SHARE * PRELOAD_SHARE * proof < best:
        best = SOFT_METAL_SHARE * PRELOAD_SHARE * proof
        why = f"Force taken down by 30 %: the thread is in {material.id.replace('-', ' ')}."
        used.append(_SOFT)
    strips = (
        hole_strips_n(conditions.hole_thread or thread, conditions.grips_mm, material)
        if conditions.grips_mm is not None
        else None
    )
    if strips is not None:
        used += [_STRIPPING, *(figure.provenance for figure in material.figures if figure.what in _TEARS)]
        if HOLE_SHARE * strips < best:
            best = HOLE_SHARE * strips
            why = (
                f"Force held down to half of what strips {format_mm(conditions.grips_mm or 0.0, 1)} of thread in the "
                f"weakest {material.id.replace('-', ' ')} of the table."
            )
    return best, why, tuple(used)


_TEARS = ("tensile", "shear share")


def _assumes(conditions: Conditions, friction: Friction) -> list[str]:
    finish = conditions.finish.replace("-", " ")
    cited = "" if friction.is_cited else "; no document was found, the figures are from memory"
    lines = [
        f"T = K·d·F with K {friction.k_low:g} to {friction.k_high:g}: {finish}, {_on_it(conditions.lubricant)}{cited}.",
        f"Clamping force F {_percent(PRELOAD_SHARE)} of the bolt's proof load"
        + (
            ", the most for a bolt that has been tightened before."
            if conditions.reused
            else ", as charts take for joints that come apart again."
        ),
        "Metal on metal under head and nut, no soft layer, clean sound threads, the nut or head turned.",
        "Drag of a self-locking nut is not in it: measure it while the nut runs on and add it."
        if conditions.self_locking
        else "No drag of a self-locking nut in it; where there is one, measure it and add it.",
    ]
    if conditions.nut is None and conditions.into is None:
        lines.append("A full nut at least as strong as the bolt.")
    return lines


def _cautions(thread: Thread, grade: Grade, row: StrengthRow, conditions: Conditions, friction: Friction) -> list[str]:
    lines = [MANUAL_FIRST]
    lines.append(
        "Start at the low end. By torque alone the same figure gives a force about a third up or down, so the band "
        "is no target to stop in at random."
    )
    lines.append("The grade is a claim of the mark on the head. A head without a mark has no grade and no such torque.")
    if conditions.reused:
        lines.append("Used again: only if the thread is not stretched, rusted or worn; run a new nut along it by hand.")
    if conditions.finish == "stainless":
        lines.append("Stainless on stainless galls and seizes: never dry; tighten slowly.")
    if conditions.lubricant != "none":
        lines.append("Only with this on thread and face. A dry figure used with it overstretches the bolt.")
    elif friction.k_high / friction.k_low > 1.5:
        lines.append("Documents differ widely on this finish; a drop of oil and the oiled figure is steadier.")
    if conditions.nut is not None and _is_weaker(thread, row, conditions.nut):
        lines.append(f"{conditions.nut.name} carries less than {grade.name} breaks at: the nut strips before the bolt "
                     "breaks, and nobody sees it.")  # fmt: skip
    if conditions.into is not None:
        needed = engagement_needed(conditions.hole_thread or thread, row, conditions.into)
        if needed is not None and conditions.grips_mm is not None and conditions.grips_mm < needed.mm:
            lines.append(
                f"{format_mm(conditions.grips_mm, 1)} of thread in {conditions.into.id.replace('-', ' ')} is short: "
                f"{format_mm(needed.mm, 1)} are wanted {needed.how}."
            )
    if row.provenance.basis != "minimum" and not row.provenance.is_cited:
        lines.append(f"The strength of {grade.name} is {row.provenance.document}: no document was read for it.")
    return lines


def _is_weaker(thread: Thread, row: StrengthRow, nut: Grade) -> bool:
    by_nut = nut_load(thread, nut)
    return (
        by_nut is not None and row.tensile_mpa is not None and by_nut.load_n < row.tensile_mpa * thread.stress_area_mm2
    )


def _on_it(lubricant: Lubricant) -> str:
    return "dry" if lubricant == "none" else f"{lubricant} on thread and face"


def _percent(share: float) -> str:
    return f"{trimmed(100 * share, 0)} %"
