"""What a joint comes to: its stack in figures, how tight and why, what gives way first, what it takes, what to beware.

The duty decides first. Only a clamping joint with a rigid stack, a bolt of known strength and nothing that a manual
alone governs gets a computed torque; every other shows what is stated, or sends to the workshop manual with the reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from decoder.engagement import TappedMaterial
from decoder.findings import Finding
from decoder.joint_spanners import JointSpanner, joint_spanners
from decoder.joint_threads import find_thread, main_thread
from decoder.joint_words import sentence
from decoder.loads import Engagement, Load, bearing_mpa, engagement_needed, ways_to_give
from decoder.nut_factors import lubricant_of
from decoder.quantities import QuantityError, System, Torque, format_length, format_torque
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
    Screw,
    Stud,
    Tapped,
    Union,
    Washer,
)  # fmt: skip
from decoder.reference import Reference
from decoder.stacks import Layout, Need, Survey, needed, survey
from decoder.strength import Grade, StrengthRow
from decoder.tables import Provenance
from decoder.threads import Thread
from decoder.tightening import MANUAL_FIRST, SOFT_METALS, Band, Conditions, NoTorqueError, Tightening, tighten
from decoder.usual_parts import usual_heads
from decoder.writing import trimmed

TorqueFrom = Literal["computed", "stated", "manual"]

#: Washers that give: what is clamped over them has no force that follows from the bolt.
_SOFT_WASHERS = ("aluminium-crush", "bonded", "copper-crush", "wave", "cup")

#: Nuts that seat on a cone or a ball, that fingers turn, or that hold a panel.
_NO_TORQUE_NUTS = ("wheel-taper", "wheel-ball", "wheel-flat", "centre-lock", "wing", "spring-steel-clip", "thin")

#: Screws that a spanner or key tightens; a screwdriver does not reach the force of a bolt.
_WRENCHED_SCREWS = ("hexagon", "hexagon-flange", "square", "socket-cap")
_WRENCHED_BOLTS = ("hexagon", "hexagon-flange", "square", "round-square-neck", "twelve-point")

_SELF_LOCKING = ("nylon-insert", "fibre-insert", "all-metal-top", "all-metal-centre", "slotted-collar")

_STEELS = (None, "steel", "stainless")

#: Nuts that a split pin goes through.
_CROWNED = ("castellated", "slotted")

#: What a duty other than clamping means for tightening.
_DUTY_REASONS: Mapping[str, str] = {
    "adjust": "it sets a position: it is turned to a measure and locked, and a torque would ruin it",
    "pivot": "something turns on it: how tight it goes follows from what turns, not from the bolt",
    "locate": "it says where a part sits; it carries no clamping force that could be worked out",
    "seal": "a seal is nipped evenly; the bolt's strength says nothing about how far",
    "retain": "it keeps a part from coming off; snug is enough, and the parts decide how far",
    "pinch": "it squeezes one part round another; how far follows from their fit",
}
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

#: A protrusion or length within this of what is wanted is right, [mm].
_SAME_MM = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class StackPart:
    """One line of the stack: `number` from 1, `what` its kind of member, thickness and place in mm, None if unknown.

    `taken_from` names the product of a standard that a height or thickness was taken from, '' where it was measured.
    """

    number: int
    what: str
    words: str
    thickness_mm: float | None
    start_mm: float | None
    end_mm: float | None
    taken_from: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceFigures:
    """A named place whose bolt differs. Lengths in mm, None where not known."""

    name: str
    count: int
    length_mm: float | None
    written: str
    into: str
    engagement_mm: float | None
    protrusion_mm: float | None
    layout: Layout | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Weakest:
    """What gives way first, [N], and whether that is meant."""

    part: str
    load_n: float
    how: str
    on_purpose: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JointFigures:
    """Everything that follows from a joint's record. Lengths in mm, loads in N, torques in N·m; None is not known.

    `unknown` says why for each field that is None. `layout` is what the drawing is made of. `procedure` is what is
    done where no torque governs.
    """

    id: str
    title: str
    sentence: str
    duty: str
    safety_critical: bool
    stack: tuple[StackPart, ...]
    grip_mm: float | None
    length_mm: float | None
    length_needed_mm: float | None
    length_longest_mm: float | None
    length_how: str
    stock_length: str
    engagement_mm: float | None
    engagement_needed_mm: float | None
    engagement_how: str
    protrusion_mm: float | None
    protrusion_needed_mm: float | None
    places: tuple[PlaceFigures, ...]
    preload_n: float | None
    torque_nm: Band | None
    torque_from: TorqueFrom
    torque_why: str
    procedure: str
    tightening: Tightening | None
    spanners: tuple[JointSpanner, ...]
    weakest: Weakest | None
    renew: tuple[str, ...]
    assumes: tuple[str, ...]
    cautions: tuple[str, ...]
    findings: tuple[Finding, ...]
    unknown: Mapping[str, str] = field(default_factory=dict)
    provenances: tuple[Provenance, ...] = ()
    layout: Layout | None = None


@dataclass(frozen=True, slots=True)
class _Case:
    """A joint with what is looked up once."""

    record: Joint
    reference: Reference
    fastener: Bolt | Screw | Stud | None
    thread: Thread | None
    survey: Survey
    hole_thread: Thread | None
    grade: Grade | None
    row: StrengthRow | None
    material: TappedMaterial | None
    engagement: Engagement | None
    nut: Nut | None
    nut_grade: Grade | None

    @property
    def layout(self) -> Layout | None:
        return self.survey.layout


def figures(joint_id: str, record: Joint, reference: Reference, findings: Iterable[Finding] = ()) -> JointFigures:
    """What a joint comes to.

    Parameters
    ----------
    joint_id : str
        `vehicle/assembly/joint`.
    record : Joint
    reference : Reference
    findings : Iterable[Finding], optional
        What the checks found in this joint, to be handed on.
    """
    case = _case(record, reference)
    layout = case.layout
    need = needed(layout, case.engagement.mm if case.engagement else None) if layout else None
    band, came_from, why, tightening = _torque(case)
    preload = tightening.preload_n if tightening and came_from == "computed" else None
    weakest = _weakest(case)
    longest = need.longest_mm if need else None
    return JointFigures(
        id=joint_id,
        title=record.title,
        sentence=sentence(record, reference),
        duty=record.duty,
        safety_critical=record.consequence in SAFETY_CRITICAL,
        stack=_stack(case),
        grip_mm=case.survey.grip_mm,
        length_mm=layout.length_mm if layout else case.fastener.length.mm if case.fastener else None,
        length_needed_mm=need.least_mm if need else None,
        length_longest_mm=longest,
        length_how=need.how if need else "",
        stock_length=_stock(case, need),
        engagement_mm=layout.engagement_mm if layout else None,
        engagement_needed_mm=case.engagement.mm if case.engagement else None,
        engagement_how=case.engagement.how if case.engagement else "",
        protrusion_mm=layout.protrusion_mm if layout else None,
        protrusion_needed_mm=need.protrusion_mm if need else None,
        places=tuple(_places(case)),
        preload_n=preload,
        torque_nm=band,
        torque_from=came_from,
        torque_why=why,
        procedure=_procedure(case, band),
        tightening=tightening,
        spanners=joint_spanners(record, reference),
        weakest=weakest,
        renew=tuple(_renew(case)),
        assumes=tightening.assumes if tightening and came_from == "computed" else (),
        cautions=tuple(dict.fromkeys(_cautions(case, need, tightening, came_from))),
        findings=tuple(findings),
        unknown=_unknown(case, need, band, why, weakest),
        provenances=tuple(_provenances(case, tightening)),
        layout=layout,
    )


def _case(record: Joint, reference: Reference) -> _Case:
    stack = record.stack
    fastener = next((each for each in stack if isinstance(each, Bolt | Screw | Stud)), None)
    thread = main_thread(stack, reference.threads)
    hole_thread = thread
    if isinstance(fastener, Stud):
        hole_thread = find_thread(fastener.metal_end.thread, reference.threads)
    asked = (fastener.strength if fastener else None) or (record.stated.strength if record.stated else None)
    grade = _grade(asked, "bolt", reference)
    row = grade.at(thread.major_mm) if grade and thread else None
    hole = next((each for each in stack if isinstance(each, Tapped | Insert)), None)
    material = reference.joint_tables.materials.get(hole.tapped) if hole and hole.tapped else None
    engagement = None
    if hole is not None and hole_thread is not None and not isinstance(hole, Insert):
        engagement = engagement_needed(hole_thread, row, material)
    nut = next((each for each in stack if isinstance(each, Nut)), None)
    return _Case(
        record=record,
        reference=reference,
        fastener=fastener,
        thread=thread,
        survey=survey(stack, reference),
        hole_thread=hole_thread,
        grade=grade,
        row=row,
        material=None if isinstance(hole, Insert) else material,
        engagement=engagement,
        nut=nut,
        nut_grade=_grade(nut.strength, "nut", reference) if nut else None,
    )


def _grade(text: str | None, part: str, reference: Reference) -> Grade | None:
    if text is None:
        return None
    try:
        return reference.strengths.find(text, part)
    except QuantityError:
        return None


# Tightening.


def _torque(case: _Case) -> tuple[Band | None, TorqueFrom, str, Tightening | None]:
    """The torque, whose it is, why there is none or why it is not computed, and the computation where there is one."""
    record = case.record
    stated = record.stated.torque if record.stated else None
    if record.duty == "adjust":
        return None, "manual", _DUTY_REASONS["adjust"], None
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


def _why_not(case: _Case) -> str:
    """Why nothing can be computed, '' where it can."""
    record = case.record
    if record.duty != "clamp":
        return _DUTY_REASONS[record.duty]
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


def _soft(case: _Case) -> Iterator[str]:
    for member in case.record.stack:
        if isinstance(member, Layer):
            material = case.reference.materials.get(member.layer)
            if material is not None and material.soft_layer == "yes":
                yield f"{member.layer.replace('-', ' ')}"
        elif isinstance(member, Washer) and member.washer in _SOFT_WASHERS:
            yield f"the {member.washer.replace('-', ' ')} washer"
        elif isinstance(member, Union):
            yield "the flare of the union"


def _special(case: _Case) -> str:
    fastener, nut = case.fastener, case.nut
    if isinstance(fastener, Bolt) and fastener.bolt not in _WRENCHED_BOLTS:
        return (
            f"a {fastener.bolt.replace('-', ' ')} is tightened to its own figure, which the bolt's grade does not tell"
        )
    if isinstance(fastener, Screw) and (fastener.screw not in _WRENCHED_SCREWS or fastener.drive in ("slot", "cross")):
        return "a screwdriver does not reach the force of a bolt: as tight as a driver that fits turns it"
    if isinstance(fastener, Stud) and fastener.stud in ("waisted", "wheel"):
        return f"a {fastener.stud} stud is tightened to its own figure"
    waist = fastener.shank_diameter if isinstance(fastener, Bolt) else None
    if waist is not None and case.thread is not None and waist.mm < case.thread.major_mm - _WAIST_MM:
        return "a waisted bolt is tightened to its own figure"
    if nut is not None and nut.nut in _NO_TORQUE_NUTS:
        kind = case.reference.nuts.get(nut.nut)
        return f"{(kind.title if kind else nut.nut).lower()}: it does not carry or show the force of a full nut"
    if any(isinstance(each, Captive) for each in case.record.stack):
        return "a captive nut is held by the sheet around it, and no document gives what it carries"
    if any(isinstance(each, Insert) for each in case.record.stack):
        return "the insert carries the thread, and its maker says what it stands"
    if case.hole_thread is None:
        return "the thread in the hole is in no table"
    return case.survey.reason if case.layout is None else ""


def _governed(case: _Case) -> str:
    """Why a manual alone gives the figure, '' where it does not."""
    record = case.record
    if record.consequence in SAFETY_CRITICAL:
        return f"a failure here hits {record.consequence}: only the maker's figure goes"
    rule = case.reference.joint_tables.governing(record.kind)
    if rule is not None:
        return rule.because.rstrip(".")
    if record.stated is not None and record.stated.angle is not None:
        return "it is turned by an angle, beyond what a torque tells"
    return ""


def _tighten(case: _Case) -> Tightening:
    record, fastener, layout = case.record, case.fastener, case.layout
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
        grips_mm=layout.engagement_mm if layout else None,
        self_locking=case.nut is not None and case.nut.nut in _SELF_LOCKING,
        hole_thread=case.hole_thread,
    )
    return tighten(case.thread, case.grade, conditions, case.reference)


def _procedure(case: _Case, band: Band | None) -> str:
    record = case.record
    if record.tighten and record.tighten.procedure:
        return record.tighten.procedure
    if band is not None:
        return ""
    return _PROCEDURES[record.duty]


# Loads.


def _weakest(case: _Case) -> Weakest | None:
    loads = _loads(case)
    if not loads:
        return None
    first = loads[0]
    meant = next((m.weak_on_purpose for m in case.record.stack if isinstance(m, Bolt | Screw | Stud | Nut)
                  and m.weak_on_purpose), "")  # fmt: skip
    nuts = case.layout is not None and case.layout.ending != "hole"
    silent = "; the nut's class is not recorded, and taken to carry as much" if nuts and not case.nut_grade else ""
    return Weakest(part=first.part, load_n=first.load_n, how=f"{first.how}{silent}", on_purpose=meant or "")


def _loads(case: _Case) -> tuple[Load, ...]:
    if case.row is None or case.thread is None or case.layout is None:
        return ()
    return ways_to_give(
        case.thread,
        case.row,
        engaged_mm=case.layout.engagement_mm if case.layout.ending == "hole" else None,
        material=case.material,
        nut=case.nut_grade,
        hole_thread=case.hole_thread,
    )


# The stack.


def _stack(case: _Case) -> tuple[StackPart, ...]:
    layout = case.layout
    placed = {part.number: part for part in layout.parts} if layout else {}
    parts: list[StackPart] = []
    for number, member in enumerate(case.record.stack, 1):
        part = placed.get(number)
        head = layout is not None and number == layout.fastener
        thickness = getattr(member, "thickness", None)
        parts.append(
            StackPart(
                number=number,
                what=type(member).__name__.lower(),
                words=_member_words(member),
                thickness_mm=part.thickness_mm if part else thickness.mm if thickness else None,
                start_mm=part.start_mm if part else layout.from_mm if head and layout else None,
                end_mm=part.end_mm if part else layout.to_mm if head and layout else None,
                taken_from=part.taken_from if part else layout.head_from if head and layout else "",
            )
        )
    return tuple(parts)


def _member_words(member: Member) -> str:
    """The member's kind, thread and size in the record's own words."""
    kind = str(getattr(member, type(member).__name__.lower()))
    thread = member.nut_end.thread if isinstance(member, Stud) else getattr(member, "thread", None)
    sizes = [getattr(member, name, None) for name in ("length", "diameter", "thickness", "depth", "height", "pipe")]
    written = [size.written for size in sizes if size is not None]
    part = getattr(member, "part", None)
    return " ".join(filter(None, (kind.replace("-", " "), thread, *written, part)))


def _stock(case: _Case, need: Need | None) -> str:
    """The next length that shops keep, as people ask for it, '' where none is known."""
    if need is None or need.least_mm is None or case.thread is None:
        return ""
    tables = case.reference.joint_tables
    found = tables.next_stock(need.least_mm, _system(case.thread), need.longest_mm)
    return found.written if found else ""


def _system(thread: Thread) -> System:
    return "inch" if thread.threads_per_inch is not None else "metric"


def _places(case: _Case) -> Iterator[PlaceFigures]:
    if isinstance(case.record.places, int):
        return
    for name, place in case.record.places.items():
        length = place.length or (case.fastener.length if case.fastener else None)
        layout = survey(case.record.stack, case.reference, place.length).layout if case.layout else None
        yield PlaceFigures(
            name=name,
            count=place.count,
            length_mm=length.mm if length else None,
            written=length.written if length else "",
            into=place.into or "",
            engagement_mm=layout.engagement_mm if layout else None,
            protrusion_mm=layout.protrusion_mm if layout else None,
            layout=layout,
        )


# What to renew and what to beware of.


def _renew(case: _Case) -> Iterator[str]:
    seen = set(case.record.renew)
    yield from case.record.renew
    if (
        any(isinstance(member, Pin) and member.pin == "split" for member in case.record.stack)
        and "split pin" not in seen
    ):
        yield "split pin"
    if any(isinstance(member, Pin) and member.pin == "locking-wire" for member in case.record.stack) and (
        "locking wire" not in seen
    ):
        yield "locking wire"


def _cautions(case: _Case, need: Need | None, tightening: Tightening | None, came_from: TorqueFrom) -> Iterator[str]:
    record = case.record
    yield MANUAL_FIRST
    if record.consequence in SAFETY_CRITICAL:
        yield (
            f"A failure here hits {record.consequence}: the specified part only, stronger is no argument, and someone "
            "competent checks the work."
        )
    yield from record.cautions
    kind = case.reference.joint_kinds.get(record.kind)
    yield from kind.cautions if kind else ()
    if record.duty == "clamp" and case.nut is not None and case.nut.nut in _CROWNED:
        yield (
            "Castellated nut that clamps: never slackened to let the pin in. Try another washer or nut; whether it may "
            "go on to the next slot, authorities differ, so the manual decides."
        )
    if record.duty == "adjust" and case.nut is not None and case.nut.nut in _CROWNED:
        yield (
            "Castellated nut that adjusts: set as the manual says and backed off to a slot, never tightened on to one."
        )
    if case.thread is not None and case.thread.left_hand:
        yield "Left-hand thread: it tightens the other way."
    yield from _length_cautions(case, need)
    yield from _load_cautions(case)
    if tightening is None:
        return
    yield from _pressure(case, tightening)
    if came_from == "computed":
        yield from tightening.cautions
    elif came_from == "stated" and record.stated and record.stated.torque:
        yield from _compared(record.stated.torque, tightening)


def _compared(stated: Torque, tightening: Tightening) -> Iterator[str]:
    """A stated torque outside what size and grade come to."""
    band = tightening.torque_nm
    computed = format_torque(band.low, band.high)
    if stated.high_nm > band.high * 1.05:
        yield (
            f"The stated torque, {stated.written}, is above the {computed} that size and grade come to: look again at "
            "unit, thread, grade and lubricant before using it."
        )
    elif stated.low_nm < band.low * 0.5:
        yield (
            f"The stated torque, {stated.written}, is far under the {computed} that the bolt would stand: keep to it, "
            "the joint may ask for less."
        )


def _pressure(case: _Case, tightening: Tightening) -> Iterator[str]:
    layout, thread, fastener = case.layout, case.thread, case.fastener
    if layout is None or thread is None or not isinstance(fastener, Bolt | Screw) or not layout.clamped:
        return
    first = layout.clamped[0]
    shape = fastener.bolt if isinstance(fastener, Bolt) else fastener.screw
    heads = usual_heads(shape, thread, case.reference.hexagons)
    # Steel and iron of unknown alloy stand more than the least figure; only what is surely soft is worth a word.
    material = case.reference.joint_tables.materials.get(first.material) if first.material in SOFT_METALS else None
    if material is None or material.bearing_mpa is None or not heads or thread.clearance_holes is None:
        return
    pressure = bearing_mpa(tightening.preload_n, heads[0].across_flats_mm, thread.major_mm * 1.1)
    if pressure > material.bearing_mpa:
        yield (
            f"The head presses {trimmed(pressure, 0)} MPa on the {material.id.replace('-', ' ')}, which stands "
            f"{trimmed(material.bearing_mpa, 0)}: a washer belongs under it."
        )


def _length_cautions(case: _Case, need: Need | None) -> Iterator[str]:
    layout, thread = case.layout, case.thread
    if layout is None or thread is None:
        return
    system = _system(thread)
    if layout.room_mm is not None and layout.room_mm < 0:
        over = format_length(-layout.room_mm, system)
        yield f"The bolt bottoms: it is {over} longer than layers and hole; it feels tight and clamps nothing."
    wanted_mm = case.engagement.mm if case.engagement else None
    if wanted_mm is not None and layout.engagement_mm is not None and layout.engagement_mm < wanted_mm - _SAME_MM:
        yield (
            f"{format_length(round(layout.engagement_mm, 2), system)} of thread engage; "
            f"{format_length(round(wanted_mm, 1), system)} are wanted, "
            f"{case.engagement.how if case.engagement else ''}."
        )
    wanted = need.protrusion_mm if need else None
    if wanted is not None and layout.protrusion_mm is not None and layout.protrusion_mm < wanted - _SAME_MM:
        yield (
            f"The end stands {format_length(round(layout.protrusion_mm, 2), system)} out of the nut; a pitch and the "
            f"chamfer, {format_length(round(wanted, 2), system)}, are wanted."
        )
    shank = layout.shank_mm if layout.shank_mm is not None else layout.usual_shank_mm
    if shank is not None and layout.ending != "hole" and shank > layout.grip_mm + _SAME_MM:
        yield "The plain shank is longer than what it clamps: the nut runs out of thread before it bears. Measure it."


def _load_cautions(case: _Case) -> Iterator[str]:
    wanted = case.reference.joint_tables.nut_for(case.grade.name) if case.grade else None
    if wanted is not None and case.nut is not None and case.nut_grade is None and case.nut.nut not in _NO_TORQUE_NUTS:
        yield f"No class is recorded for the nut: {wanted.nut} or better belongs on {wanted.bolt}."
    loads = _loads(case)
    if loads and loads[0].part != "bolt" and case.row is not None:
        bolt = next((load for load in loads if load.part == "bolt"), None)
        if bolt is not None:
            yield (
                f"Not the bolt but the {loads[0].part} gives way first, at {trimmed(loads[0].load_n / 1000, 1)} kN "
                f"against {trimmed(bolt.load_n / 1000, 1)}: {loads[0].how}."
            )


def _unknown(case: _Case, need: Need | None, band: Band | None, why: str, weakest: Weakest | None) -> Mapping[str, str]:
    """Why each figure that is missing is missing."""
    layout, reasons = case.layout, dict[str, str]()
    reason = case.survey.reason
    if case.survey.grip_mm is None:
        reasons["grip_mm"] = reason
    if need is None or need.least_mm is None:
        reasons["length_needed_mm"] = need.how if need else reason
    if layout is None or layout.engagement_mm is None:
        ends_in_nut = layout is not None and layout.ending != "hole"
        reasons["engagement_mm"] = (
            "it goes into a nut" if ends_in_nut else reason or "the length of the metal end is not recorded"
        )
    if layout is None or layout.protrusion_mm is None:
        in_hole = layout is not None and layout.ending == "hole" and not layout.is_stud
        reasons["protrusion_mm"] = (
            "it goes into a hole" if in_hole else reason or "the height of the nut is in no table"
        )
    if case.engagement is None:
        reasons["engagement_needed_mm"] = _no_need(case)
    if band is None:
        reasons["torque_nm"] = why
    if weakest is None:
        reasons["weakest"] = "the strength of the bolt is not known" if case.row is None else reason
    return reasons


def _no_need(case: _Case) -> str:
    hole = next((each for each in case.record.stack if isinstance(each, Tapped | Insert)), None)
    if hole is None:
        return "it goes into no hole; a full nut is as long as it needs to be"
    if isinstance(hole, Insert):
        return "the maker of the insert says how long it must be"
    return f"no figures were found for {str(hole.tapped).replace('-', ' ')}"


def _provenances(case: _Case, tightening: Tightening | None) -> Iterator[Provenance]:
    if case.thread is not None:
        yield case.thread.provenance
    if case.layout is not None:
        yield from (height.provenance for height in case.layout.heights)
    if case.row is not None and case.grade is not None:
        yield case.grade.provenance
        yield case.row.provenance
    if case.engagement is not None and case.material is not None:
        if case.engagement.computed:
            yield Provenance("by formula", "fed-std-h28-2b", "shear areas, length of engagement")
        wanted = ("tensile", "shear share") if case.engagement.computed else ("engagement",)
        yield from (figure.provenance for figure in case.material.figures if figure.what in wanted)
    rule = case.reference.joint_tables.governing(case.record.kind)
    if rule is not None:
        yield rule.provenance
    if tightening is not None:
        yield from tightening.provenances
