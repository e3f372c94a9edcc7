"""Which parts may go to a plater, which must not and why, and how thick a coat their threads have room for.

Acid and plating drive hydrogen into hard steel; it breaks days later without a warning. A part's hardness follows from
the grade that its mark claims, or from what kind of part it is. No mark does not mean soft: what is unknown counts as
hard. The rules are rows of `plating_rules.csv`, each with who says so.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from decoder.joint_threads import find_thread, main_thread, member_threads
from decoder.plating_rules import PlatingRules, Verdict
from decoder.records import (
    SAFETY_CRITICAL,
    Bolt,
    Captive,
    Insert,
    Joint,
    Layer,
    Member,
    Nut,
    Pin,
    RenewName,
    Screw,
    Stud,
    Tapped,
    Union,
    Washer,
)
from decoder.reference import Reference
from decoder.strength import StrengthRow
from decoder.threads import Thread, limits

#: Nominal thicknesses that platers name, [µm] (ISO 4042:1999, table 1).
COATS_UM = (3, 5, 8, 10, 12, 15, 20, 25, 30)

#: The usual class of a bolt's thread, whose limits say what room there is.
_USUAL = ("2A", "6g", "medium", "normal", "A")

#: 'SAE 8' and its like begin at 1000 MPa; old classes count in kgf/mm², and 100 of them are 981 MPa.
_SAME_SHARE = 0.02

_SPRINGS = ("helical-spring", "conical", "wave", "toothed-external", "toothed-internal", "toothed-countersunk")
_SOFT_WASHERS = ("plain", "plain-thick", "penny", "cup")
_NEW_WASHERS = ("tab", "bonded", "copper-crush", "aluminium-crush")
_INSERT_NUTS = ("nylon-insert", "fibre-insert")
_GRIP_NUTS = ("all-metal-top", "all-metal-centre", "slotted-collar", "exhaust-copper-plated")
_SPRING_NUTS = ("spring-steel-clip", "cage")
_SEAT_NUTS = ("wheel-taper", "wheel-ball", "wheel-flat", "centre-lock")
_STAYING_NUTS = ("captive",)
_NEW_NUTS = ("staked",)
_BRASS_NUTS = ("exhaust-brass",)

#: Joints inside an engine or gearbox: a bolt that breaks there takes the rest with it.
_INSIDE = ("main-and-big-end-cap", "cylinder-head", "flywheel", "clutch-cover", "internal-engine-screw")
_APPARATUS = ("spark-plug", "grease-nipple", "tank-sender", "contact-points")

#: Words in a grade's material that no zinc bath is for.
_OTHER_METALS = ("stainless", "copper", "bronze", "aluminium")

#: What a joint's `renew` calls the parts of its stack.
_RENEWED: Mapping[type, RenewName] = {Bolt: "bolt", Screw: "bolt", Stud: "stud", Nut: "nut", Washer: "washer"}


@dataclass(frozen=True, slots=True)
class Judgement:
    """What may happen to a part: the verdict, its reason, and what else to ask for ('' or a rule's name)."""

    verdict: Verdict
    rule: str
    also: str = ""


def judge(member: Member, joint: Joint, reference: Reference) -> Judgement | None:
    """Whether a part of a joint may be plated; None for what is no fastener (layers, tapped holes, inserts)."""
    if isinstance(member, (Layer, Tapped, Insert)):
        return None
    rule = _by_kind(member, joint) or _by_hardness(member, joint, reference)
    also = ""
    if rule == "known":
        least = reference.plating.least("bake-too", "MPa")
        also = "bake-too" if any(_stress(row) >= least for row in _claimed(member, joint, reference)) else ""
    return Judgement(reference.plating.verdict(rule), rule, also)


def coat_room_um(thread: Thread) -> float | None:
    """Thickness of coat that a new bolt of the usual class has room for, [µm]; None where no limits are known.

    A coat of thickness t makes the pitch diameter larger by 2 t / sin(half the flank angle): 4 t at 60°, 4.3 t at 55°
    (ISO 4042 and ASTM F1941 write 4 t).
    """
    by_class = {each.thread_class: each for each in limits(thread) if each.member == "external"}
    usual = next((by_class[name] for name in _USUAL if name in by_class), None)
    if usual is None or usual.pitch_diameter_max_mm is None:
        return None
    room_mm = thread.pitch_diameter_mm - usual.pitch_diameter_max_mm
    return max(0.0, 1000 * room_mm * math.sin(math.radians(thread.form.flank_angle_deg / 2)) / 2)


def thickest_coat_um(thread: Thread) -> int | None:
    """The thickest of the coats that platers name for which the thread has room, [µm]; None where it has for none."""
    room = coat_room_um(thread)
    if room is None:
        return None
    return max((coat for coat in COATS_UM if coat <= room + 1e-6), default=None)


def _by_hardness(member: Member, joint: Joint, reference: Reference) -> str:
    claimed = _claimed(member, joint, reference)
    if any(_is_strong(row, reference.plating) for row in (*claimed, *_asked(member, joint, reference))):
        return "strong"
    if any(_is_other_metal(row.grade, reference) for row in claimed):
        return "not-steel"
    return "known" if claimed else "unknown"


def _is_strong(row: StrengthRow, rules: PlatingRules) -> bool:
    """Whether a grade reaches the lowest of the limits that standards name."""
    if _stress(row) >= rules.least("strong", "MPa") * (1 - _SAME_SHARE):
        return True
    return any(value > rules.least("strong", unit) for unit, value in _hardest(row.hardness or "").items())


def _stress(row: StrengthRow) -> float:
    return row.tensile_mpa or row.proof_mpa or 0.0


def _is_other_metal(grade: str, reference: Reference) -> bool:
    found = reference.strengths.get(grade)
    return found is not None and any(metal in (found.material or "") for metal in _OTHER_METALS)


def _by_kind(member: Member, joint: Joint) -> str:
    """The reason that follows from what the part is and where it goes, '' where its hardness decides."""
    if joint.consequence in SAFETY_CRITICAL and joint.consequence != "fuel" and not isinstance(member, Captive):
        return "safety"
    if joint.kind in _INSIDE:
        return "engine-inside"
    if joint.kind in _APPARATUS:
        return "apparatus"
    if isinstance(member, Captive):
        return "spring" if member.captive in ("cage", "clip") else "stays-in"
    if isinstance(member, Union):
        return "fluid"
    material = getattr(member, "material", None)
    if material not in (None, "steel"):
        return "spring" if material == "spring-steel" else "not-steel"
    if _RENEWED.get(type(member)) in joint.renew:
        return "new"
    if getattr(member, "weak_on_purpose", None):
        return "weak"
    return _by_shape(member)


def _by_shape(member: Member) -> str:
    match member:
        case Bolt():
            return _bolt(member)
        case Screw():
            return _screw(member)
        case Stud():
            return "ground" if member.stud in ("waisted", "shouldered") else "interference"
        case Nut():
            return _listed(
                member.nut,
                {
                    "insert": _INSERT_NUTS,
                    "grip": _GRIP_NUTS,
                    "spring": _SPRING_NUTS,
                    "seat": _SEAT_NUTS,
                    "stays-in": _STAYING_NUTS,
                    "new": _NEW_NUTS,
                    "not-steel": _BRASS_NUTS,
                },
            )
        case Washer():
            return _listed(
                member.washer,
                {
                    "spring": _SPRINGS,
                    "hardened-washer": ("hardened",),
                    "ground": ("thrust",),
                    "new": _NEW_WASHERS,
                    "soft-washer": _SOFT_WASHERS,
                },
            )
        case Pin():
            return _listed(
                member.pin,
                {
                    "new": ("split", "locking-wire"),
                    "spring": ("roll", "spring-clip"),
                    "ground": ("dowel", "taper"),
                },
            )
    return ""


def _bolt(bolt: Bolt) -> str:
    if bolt.bolt in ("banjo", "bleed"):
        return "fluid"
    return "ground" if bolt.shank_diameter is not None else ""


def _screw(screw: Screw) -> str:
    if screw.screw.startswith("socket-") or (screw.drive == "hexagon-socket" and screw.screw != "grub"):
        return "socket"
    return {"grub": "grub", "self-tapping": "self-tapping"}.get(screw.screw, "")


def _listed(name: str, groups: Mapping[str, Collection[str]]) -> str:
    return next((rule for rule, names in groups.items() if name in names), "")


def _claimed(member: Member, joint: Joint, reference: Reference) -> tuple[StrengthRow, ...]:
    """What every grade that the part's mark may claim gives for its size; nothing where one of them is unknown."""
    mark_id = getattr(member, "mark", None)
    mark = next((mark for mark in reference.marks if mark.id == mark_id), None)
    if mark is None:
        return ()
    rows = tuple(_row(name, member, joint, reference) for name in mark.grades)
    return tuple(row for row in rows if row is not None) if all(rows) else ()


def _asked(member: Member, joint: Joint, reference: Reference) -> tuple[StrengthRow, ...]:
    """The same for the grade that a parts list asks for: the part in hand may be it, whatever its head says."""
    name = getattr(member, "strength", None)
    row = _row(name, member, joint, reference) if name else None
    return (row,) if row else ()


def _row(name: str, member: Member, joint: Joint, reference: Reference) -> StrengthRow | None:
    grade = reference.strengths.get(name)
    thread = _thread(member, joint, reference)
    if grade is None or thread is None:
        return None
    return grade.at(thread.major_mm)


def _thread(member: Member, joint: Joint, reference: Reference) -> Thread | None:
    for text in member_threads(member):
        found = find_thread(text, reference.threads)
        if found is not None:
            return found
    return main_thread(joint.stack, reference.threads)


def _hardest(text: str) -> dict[str, float]:
    """The upper end of a hardness as tables write it, by unit: '25 to 40 HRC', 'at most 32 HRC'."""
    return {unit: float(value) for value, unit in re.findall(r"(\d+(?:\.\d+)?) (HRC|HV)\b", text)}
