"""Whose torque a joint has, and why there is none: the duty decides first, then the stack, then who governs.

Only a clamping joint with a rigid stack, a bolt of known strength and nothing that a manual alone governs is worked
out; a stated torque goes before that, except where the joint adjusts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal

from decoder.joint_case import JointCase, least_engagement_mm
from decoder.joint_words import HITS, part_name
from decoder.nut_factors import lubricant_of
from decoder.records import SAFETY_CRITICAL, Bolt, Captive, Insert, Layer, Pin, Screw, Stud, Union, Washer
from decoder.reference import Reference
from decoder.tightening import Band, Conditions, NoTorqueError, Tightening, tighten

#: Washers that give: what is clamped over them has no force that follows from the bolt.
_SOFT_WASHERS = ("aluminium-crush", "bonded", "copper-crush", "wave", "cup")

#: Nuts that seat on a cone or a ball, that fingers turn, or that hold a panel.
NO_TORQUE_NUTS = ("wheel-taper", "wheel-ball", "wheel-flat", "centre-lock", "wing", "spring-steel-clip", "thin")

#: Screws that a spanner or key tightens; a screwdriver does not reach the force of a bolt.
_WRENCHED_SCREWS = ("hexagon", "hexagon-flange", "square", "socket-cap")

_WRENCHED_BOLTS = ("hexagon", "hexagon-flange", "square", "round-square-neck", "twelve-point")

_SELF_LOCKING = ("nylon-insert", "fibre-insert", "all-metal-top", "all-metal-centre", "slotted-collar")

_STEELS = (None, "steel", "stainless")

#: What a duty other than clamping means for tightening.
DUTY_REASONS: Mapping[str, str] = {
    "adjust": "it is set to a measure first; its lock nut or bolt is then tightened, and no figure is known",
    "pivot": "something turns on it: how tight it goes follows from what turns, not from the bolt",
    "locate": "it says where a part sits; it carries no clamping force that could be worked out",
    "seal": "a seal is nipped evenly; the bolt's strength says nothing about how far",
    "retain": "it keeps a part from coming off; snug is enough, and the parts decide how far",
    "pinch": "it squeezes one part round another; how far follows from their fit",
}

#: Where a pin is all there is.
_PINNED = "nothing is tightened here; a pin goes in, and something keeps it in"

#: Kinds of joint where the nut itself sets bearings: a torque left on it burns them.
SETS_BEARINGS = ("hub-nut-taper-rollers", "pinion-bearing")
_BEARINGS = "it sets the bearings to a measure, and a torque would ruin them"

_PROCEDURES: Mapping[str, str] = {
    "adjust": "Adjust as the workshop manual says, then lock. Never tighten it to a torque of a table.",
    "pivot": "See the workshop manual. A rubber bush is tightened at ride height only, a clevis stays free.",
    "locate": "Seat it fully; see the workshop manual.",
    "seal": "Nip it evenly, a little at a time, crosswise; see the workshop manual for a figure.",
    "retain": "Snug; see the workshop manual for a figure.",
    "pinch": "Until the part is held and the ears still stand apart; see the workshop manual for a figure.",
    "clamp": "See the workshop manual.",
}

#: A shank thinner than its thread by more is waisted, [mm]; rolled threads leave shanks a little thinner.
_WAIST_MM = 0.5


TorqueFrom = Literal["computed", "stated", "manual"]


def decide_torque(case: JointCase) -> tuple[Band | None, TorqueFrom, str, Tightening | None]:
    """The torque, whose it is, why there is none or why it is not computed, and the computation where there is one."""
    record = case.record
    stated = record.stated.torque if record.stated else None
    if record.duty == "adjust":
        why = _BEARINGS if record.kind in SETS_BEARINGS else DUTY_REASONS["adjust"]
        return None, "manual", why, None
    computed: Tightening | None = None
    why = _why_not(case)
    if not why:
        try:
            computed = _tighten(case)
        except NoTorqueError as error:
            why = str(error)
    if stated is not None:
        said = "a manual, drawing or the part states it" + (f" ({record.source})" if record.source else "")
        return Band(low=stated.low_nm, high=stated.high_nm), "stated", said, computed
    if computed is not None and not _governed(case):
        return computed.torque_nm, "computed", "", computed
    return None, "manual", why or _governed(case), None


def _why_not(case: JointCase) -> str:
    """Why nothing can be computed, '' where it can."""
    record = case.record
    if all(isinstance(each, Pin | Layer | Washer) for each in record.stack):
        return _PINNED
    if record.duty != "clamp":
        return DUTY_REASONS[record.duty]
    if case.fastener is None or case.thread is None:
        return "no bolt, screw or stud of known thread clamps here"
    soft = next(_soft(case), "")
    if soft:
        return f"the stack is not rigid: {soft} gives, and takes the force that a bolt would follow"
    special = _special(case)
    if special:
        return special
    if case.fastener.material not in _STEELS:
        return f"the fastener is of {str(case.fastener.material).replace('-', ' ')}, whose strength no grade tells"
    if case.fastener.weak_on_purpose:
        return "a part is meant to give way first, so nothing is taken from its grade"
    if case.grade is None:
        return "the strength is not known: the record gives no grade, and a head alone does not tell one for sure"
    tighten_ = record.tighten
    if tighten_ and lubricant_of(tighten_.lubricant) is None:
        return f"no document gives a friction for '{tighten_.lubricant}'"
    if tighten_ and (tighten_.threadlock or tighten_.sealant) and tighten_.lubricant is None:
        return "there is a compound on the thread, and no document gives its friction"
    return ""


def _soft(case: JointCase) -> Iterator[str]:
    for member in case.record.stack:
        if isinstance(member, Layer):
            material = case.reference.materials.get(member.layer)
            if material is not None and material.soft_layer == "yes":
                yield f"{member.layer.replace('-', ' ')}"
        elif isinstance(member, Washer) and member.washer in _SOFT_WASHERS:
            yield f"the {member.washer.replace('-', ' ')} washer"
        elif isinstance(member, Union):
            yield "the flare of the union"


def _special(case: JointCase) -> str:
    fastener, nut = case.fastener, case.nut
    if isinstance(fastener, Bolt) and fastener.bolt not in _WRENCHED_BOLTS:
        return f"{_one(part_name(fastener))} has a figure of its own, which no grade tells; none is recorded"
    if isinstance(fastener, Screw) and (fastener.screw not in _WRENCHED_SCREWS or fastener.drive in ("slot", "cross")):
        return "a screwdriver does not reach the force of a bolt: as tight as a driver that fits turns it"
    if isinstance(fastener, Stud) and fastener.stud in ("waisted", "wheel"):
        return f"{_one(part_name(fastener))} has a figure of its own from its maker; none is recorded"
    waist = fastener.shank_diameter if isinstance(fastener, Bolt) else None
    if waist is not None and case.thread is not None and waist.mm < case.thread.major_mm - _WAIST_MM:
        return "a waisted bolt has a figure of its own from its maker; none is recorded"
    if nut is not None and nut.nut in NO_TORQUE_NUTS:
        kind = case.reference.nuts.get(nut.nut)
        return f"{(kind.title if kind else nut.nut).lower()}: it does not carry or show the force of a full nut"
    if any(isinstance(each, Captive) for each in case.record.stack):
        return "a captive nut is held by the sheet around it, and no document gives what it carries"
    if any(isinstance(each, Insert) for each in case.record.stack):
        return "the insert carries the thread, and its maker says what it stands"
    if case.hole_thread is None:
        return "the thread in the hole is in no table"
    return case.survey.reason if case.layout is None else ""


def _governed(case: JointCase) -> str:
    """Why a manual alone gives the figure, '' where it does not."""
    record = case.record
    if record.consequence in SAFETY_CRITICAL:
        return f"a failure here hits {HITS[record.consequence]}: only the maker's figure goes"
    rule = case.reference.joint_tables.governing(record.kind)
    if rule is not None:
        return rule.because.rstrip(".")
    if record.stated is not None and record.stated.angle is not None:
        return "it is turned by an angle, beyond what a torque tells"
    return ""


def kind_governs(kind: str, reference: Reference) -> str:
    """Why no torque follows from a bolt in a kind of joint, whatever its size and grade; '' where one may."""
    rule = reference.joint_tables.governing(kind)
    if rule is not None:
        return rule.because.rstrip(".")
    if kind in SETS_BEARINGS:
        return _BEARINGS
    return DUTY_REASONS.get(reference.joint_kinds[kind].duty, "")


def _tighten(case: JointCase) -> Tightening:
    record, fastener = case.record, case.fastener
    assert fastener is not None
    assert case.thread is not None
    assert case.grade is not None
    lubricant = lubricant_of(record.tighten.lubricant if record.tighten else None)
    part = "stud" if isinstance(fastener, Stud) else "bolt"
    stainless = fastener.material == "stainless"
    conditions = Conditions(
        finish="stainless" if stainless else fastener.finish or "plain",
        lubricant=lubricant or "none",
        nut=case.nut_grade,
        reused=part not in record.renew,
        into=case.material,
        grips_mm=least_engagement_mm(case),
        self_locking=case.nut is not None and case.nut.nut in _SELF_LOCKING,
        hole_thread=case.hole_thread,
    )
    return tighten(case.thread, case.grade, conditions, case.reference)


def procedure(case: JointCase, band: Band | None) -> str:
    """What the record says is done, else what a joint of its duty asks for; '' where a torque says it."""
    record = case.record
    if record.tighten and record.tighten.procedure:
        return record.tighten.procedure
    if band is not None:
        return ""
    return _PROCEDURES[record.duty]


def _one(name: str) -> str:
    return f"{'an' if name[0] in 'aeio' else 'a'} {name}"
