"""The torque that a clamping bolt takes, T = K·d·F: a band, since nobody at a bench knows K.

The clamping force is a share of the proof load. The torque for it runs with K from the slipperiest to the roughest
that documents give for the finish and what is on the thread. A bolt tightened to the low end is never overstretched;
at the high end it is where thread and face are as slippery as the low end supposes. A manual's figure comes first.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass

from decoder.designations import UNIFIED
from decoder.engagement import TappedMaterial
from decoder.loads import engagement_needed, hole_strips_n, nut_load
from decoder.nut_factors import Friction, Lubricant
from decoder.quantities import NM_PER_LBF_FT, NM_PER_LBF_IN, format_mm
from decoder.reference import Reference
from decoder.strength import Grade, StrengthRow
from decoder.tables import Provenance
from decoder.threads import Thread
from decoder.tightening_texts import TEXTS
from decoder.writing import trimmed

#: Share of the proof load that charts are made with, and the most for bolts that have been tightened before.
PRELOAD_SHARE = 0.75

#: A tapped thread is not loaded above this share of what strips it: castings of old vehicles are worn and of unknown
#: alloy (common practice).
HOLE_SHARE = 0.5

#: What a US Army manual leaves of a torque where the screw goes into aluminium: 'reductions of 30 % or more'.
SOFT_METAL_SHARE = 0.7
SOFT_METALS = ("aluminium", "magnesium", "zinc-alloy")

#: A finish for the friction alone: the material is what matters.
STAINLESS = "stainless"

#: Grades of this standard are of stainless steel, whatever finish was named; so is the older name of the commonest.
STAINLESS_STANDARD = "ISO 3506"
STAINLESS_NAMES = ("18-8",)

#: Screws that are in no joint that stretches: pipe threads seal or wedge.
NO_TORQUE_FAMILIES = ("G", "R", "NPT", "NPTF")

#: Threads that a standard of strengths is for, where one size is several threads.
FAMILIES_OF = (("SAE", UNIFIED), ("ASTM", UNIFIED), ("ASME", UNIFIED))

#: A band of K wider than this is worth a word.
WIDE_BAND = 1.5

MANUAL_FIRST = TEXTS["manual_first"]

CHART = Provenance("nominal", "coarse-torque-chart", "notes under the chart")
REUSED = Provenance("maximum", "bolt-torque-article", "share of proof load for bolts that are used again")
SOFT = Provenance("maximum", "us-army-tm-5-3895-367", "H-2")
DRAG = Provenance("nominal", "faa-ac-43-13-1b", "7-40")
SCATTER = Provenance("nominal", "nasa-std-5020b", "table 3")
STRIPPING = Provenance("by formula", "fed-std-h28-2b", "shear areas, length of engagement")


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
    working: tuple[str, ...]
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
        Where none follows: no such grade in the size, no proof stress, no known friction, a thread that seals,
        stainless that is dry, less thread in soft metal than the bolt is thick.
    """
    row = strength_for_torque(thread, grade)
    assert row.proof_mpa is not None
    conditions = dataclasses.replace(conditions, finish=finish_of(grade, conditions.finish))
    if conditions.finish == STAINLESS and conditions.lubricant == "none":
        raise NoTorqueError(TEXTS["stainless_dry"])
    if is_too_short(thread, conditions):
        assert conditions.into is not None
        raise NoTorqueError(
            TEXTS["too_short"].format(
                engaged=format_mm(conditions.grips_mm or 0.0, 1), material=plain_name(conditions.into.id)
            )
        )
    friction = reference.joint_tables.nut_factors.band(conditions.finish, conditions.lubricant)
    if friction is None:
        raise NoTorqueError(
            TEXTS["no_factor"].format(finish=plain_name(conditions.finish), on_it=_on_it(conditions.lubricant))
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
        working=tuple(_working(thread, row.proof_mpa, preload, limited_by, friction)),
        assumes=(*_assumes(conditions, friction), *((limited_by,) if limited_by else ())),
        cautions=tuple(_cautions(thread, grade, row, conditions, friction)),
        provenances=(
            thread.provenance,
            grade.provenance,
            row.provenance,
            *(each.provenance for each in friction.rows),
            CHART,
            SCATTER,
            *((REUSED,) if conditions.reused else ()),
            *((DRAG,) if conditions.self_locking else ()),
            *limits,
        ),
    )


def is_stainless(grade: Grade) -> bool:
    """True for a grade of stainless steel."""
    return grade.standard.startswith(STAINLESS_STANDARD) or grade.name in STAINLESS_NAMES


def finish_of(grade: Grade, finish: str) -> str:
    """The finish whose friction counts: a stainless bolt that nothing was said of is no plain one."""
    return STAINLESS if is_stainless(grade) and finish == "plain" else finish


def is_too_short(thread: Thread, conditions: Conditions) -> bool:
    """True where less thread than one diameter holds in soft metal (common practice: a repair and no torque)."""
    return (
        conditions.into is not None
        and conditions.into.id in SOFT_METALS
        and conditions.grips_mm is not None
        and conditions.grips_mm < thread.major_mm
    )


def strength_for_torque(thread: Thread, grade: Grade) -> StrengthRow:
    """The strength of a grade in a size that a torque can be worked out from; raises NoTorqueError."""
    if thread.family in NO_TORQUE_FAMILIES:
        raise NoTorqueError(TEXTS["pipe_thread"].format(thread=thread.designation))
    if grade.part != "bolt":
        raise NoTorqueError(TEXTS["grade_of_nut"].format(grade=grade.name))
    row = grade.at(thread.major_mm)
    if row is None:
        raise NoTorqueError(TEXTS["not_in_size"].format(grade=grade.name, thread=thread.designation))
    if row.proof_mpa is None:
        raise NoTorqueError(TEXTS["no_proof"].format(grade=grade.name, has=what_it_has(row)))
    return row


def what_it_has(row: StrengthRow) -> str:
    """What a grade without a proof stress does have, and whose word that is."""
    stresses = " and ".join(
        TEXTS[name].format(mpa=trimmed(mpa, 0))
        for name, mpa in (("has_yield", row.yield_mpa), ("has_tensile", row.tensile_mpa))
        if mpa is not None
    )
    return TEXTS["has" if row.provenance.is_cited else "has_uncited"].format(
        stresses=stresses, document=row.provenance.document
    )


def _preload(thread: Thread, proof: float, conditions: Conditions) -> tuple[float, str, tuple[Provenance, ...]]:
    """The clamping force, what holds it down, and who says so."""
    best, why = PRELOAD_SHARE * proof, ""
    by_nut = nut_load(thread, conditions.nut)
    if by_nut is not None and PRELOAD_SHARE * by_nut.load_n < best:
        best = PRELOAD_SHARE * by_nut.load_n
        why = TEXTS["held_by_nut"].format(share=percent(PRELOAD_SHARE))
    material = conditions.into
    if material is None:
        return best, why, ()
    used: list[Provenance] = []
    if material.id in SOFT_METALS and SOFT_METAL_SHARE * PRELOAD_SHARE * proof < best:
        best = SOFT_METAL_SHARE * PRELOAD_SHARE * proof
        why = TEXTS["held_by_soft_metal"].format(material=plain_name(material.id))
        used.append(SOFT)
    strips = (
        hole_strips_n(conditions.hole_thread or thread, conditions.grips_mm, material)
        if conditions.grips_mm is not None
        else None
    )
    if strips is not None:
        used += [STRIPPING, *(figure.provenance for figure in material.figures if figure.what in _TEARS)]
        if HOLE_SHARE * strips < best:
            best = HOLE_SHARE * strips
            why = TEXTS["held_by_hole"].format(
                engaged=format_mm(conditions.grips_mm or 0.0, 1), material=plain_name(material.id)
            )
    return best, why, tuple(used)


_TEARS = ("tensile", "shear share")


def _working(thread: Thread, proof_mpa: float, preload_n: float, limited_by: str, friction: Friction) -> Iterator[str]:
    """The computation in figures, step by step, as someone can follow it with a pencil."""
    area, force_kn = thread.stress_area_mm2, trimmed(preload_n / 1000, 2)
    yield TEXTS["working_proof"].format(
        area=trimmed(area, 2), proof_mpa=trimmed(proof_mpa, 0), proof_kn=trimmed(proof_mpa * area / 1000, 2)
    )
    yield TEXTS["working_held" if limited_by else "working_force"].format(
        force_kn=force_kn, share=percent(PRELOAD_SHARE)
    )
    per_k = preload_n * thread.major_mm / 1000
    yield TEXTS["working_torque"].format(
        low=f"{friction.k_low:g}",
        high=f"{friction.k_high:g}",
        major=format_mm(thread.major_mm),
        force_kn=force_kn,
        torque_low=trimmed(friction.k_low * per_k, 1),
        torque_high=trimmed(friction.k_high * per_k, 1),
    )


def _assumes(conditions: Conditions, friction: Friction) -> list[str]:
    lines = [
        TEXTS["formula" if friction.is_cited else "formula_uncited"].format(
            low=f"{friction.k_low:g}",
            high=f"{friction.k_high:g}",
            finish=plain_name(conditions.finish),
            on_it=_on_it(conditions.lubricant),
        ),
        TEXTS["force_reused" if conditions.reused else "force"].format(share=percent(PRELOAD_SHARE)),
        TEXTS["rigid"],
        TEXTS["drag_of_this_nut" if conditions.self_locking else "drag"],
    ]
    if conditions.nut is None and conditions.into is None:
        lines.append(TEXTS["strong_nut"])
    return lines


def _cautions(thread: Thread, grade: Grade, row: StrengthRow, conditions: Conditions, friction: Friction) -> list[str]:
    lines = [MANUAL_FIRST, TEXTS["low_end"], TEXTS["claim"]]
    if is_odd_pair(thread, grade):
        lines.append(TEXTS["odd_pair"].format(grade=grade.name, thread=thread.designation))
    if conditions.reused:
        lines.append(TEXTS["used_again"])
    if conditions.finish == STAINLESS:
        lines.append(TEXTS["galls"])
    if conditions.lubricant != "none":
        lines.append(TEXTS["only_with_this"])
    elif friction.k_high / friction.k_low > WIDE_BAND:
        lines.append(TEXTS["differ_widely"])
    if conditions.nut is not None and _is_weaker(thread, row, conditions.nut):
        lines.append(TEXTS["weaker_nut"].format(nut=conditions.nut.name, grade=grade.name))
    if conditions.into is not None:
        needed = engagement_needed(conditions.hole_thread or thread, row, conditions.into)
        if needed is not None and conditions.grips_mm is not None and conditions.grips_mm < needed.mm:
            lines.append(
                TEXTS["short_thread"].format(
                    engaged=format_mm(conditions.grips_mm, 1),
                    material=plain_name(conditions.into.id),
                    needed=format_mm(needed.mm, 1),
                    how=needed.how,
                )
            )
    if row.provenance.basis != "minimum" and not row.provenance.is_cited:
        lines.append(TEXTS["uncited_strength"].format(grade=grade.name, document=row.provenance.document))
    return lines


def is_odd_pair(thread: Thread, grade: Grade) -> bool:
    """True where a grade's standard is for other threads: one of the two was read wrong."""
    families = next((named for standard, named in FAMILIES_OF if grade.standard.startswith(standard)), ())
    return bool(families) and thread.family not in families


def _is_weaker(thread: Thread, row: StrengthRow, nut: Grade) -> bool:
    by_nut = nut_load(thread, nut)
    return (
        by_nut is not None and row.tensile_mpa is not None and by_nut.load_n < row.tensile_mpa * thread.stress_area_mm2
    )


def _on_it(lubricant: Lubricant) -> str:
    return TEXTS["dry"] if lubricant == "none" else TEXTS["lubricated"].format(lubricant=lubricant)


def plain_name(id: str) -> str:
    """'cast iron' of 'cast-iron'."""
    return id.replace("-", " ")


def percent(share: float) -> str:
    """'75 %' of 0.75."""
    return f"{trimmed(100 * share, 0)} %"
