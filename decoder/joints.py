"""What a joint comes to: its stack in figures, how tight and why, what gives way first, what it takes, what to beware.

The duty decides first. Only a clamping joint with a rigid stack, a bolt of known strength and nothing that a manual
alone governs gets a computed torque; every other shows what is stated, or sends to the workshop manual with the reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from decoder.findings import Finding
from decoder.joint_bench import Drag, Slots, bench_check, drag_of, slots_of
from decoder.joint_case import JointCase, asks_for_engagement, joint_case, joint_loads, place_layouts, system_of
from decoder.joint_cautions import cautions
from decoder.joint_spanners import JointSpanner, joint_spanners, joint_tools
from decoder.joint_threads import per_place
from decoder.joint_torque import TorqueFrom, decide_torque, procedure
from decoder.joint_words import sentence
from decoder.places import differences
from decoder.records import SAFETY_CRITICAL, Bolt, Insert, Joint, Layer, Member, Nut, Pin, Screw, Stud, Tapped
from decoder.reference import Reference
from decoder.stacks import Layout, Need, left_in_hole, needed
from decoder.tables import Provenance
from decoder.tightening import Band, Tightening


@dataclass(frozen=True, slots=True, kw_only=True)
class StackPart:
    """One line of the stack: `number` from 1, `what` its kind of member, thickness and place in mm, None if unknown.

    `per_place` is how many of it one place takes: two nuts on a U-bolt.

    `taken_from` names the product of a standard that a height or thickness was taken from, '' where it was measured.
    """

    number: int
    what: str
    words: str
    per_place: int
    thickness_mm: float | None
    start_mm: float | None
    end_mm: float | None
    taken_from: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceFigures:
    """A named place. Lengths in mm, None where not known; `differs` says what of layers, hole and thread is another."""

    name: str
    count: int
    length_mm: float | None
    written: str
    into: str
    differs: str
    grip_mm: float | None
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
    done where no torque governs. `bench_check` says how to see that each bolt is in its hole, '' where there is
    nothing to see; `slots` are a castellated nut's, `drag` is what a self-locking one must still have.
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
    left_in_hole: str
    gap_mm: float
    stock_length: str
    engagement_mm: float | None
    engagement_needed_mm: float | None
    engagement_how: str
    protrusion_mm: float | None
    protrusion_needed_mm: float | None
    thread_in_grip_mm: float | None
    places: tuple[PlaceFigures, ...]
    bench_check: str
    slots: Slots | None
    drag: Drag | None
    preload_n: float | None
    torque_nm: Band | None
    torque_from: TorqueFrom
    torque_why: str
    procedure: str
    tightening: Tightening | None
    spanners: tuple[JointSpanner, ...]
    tools: tuple[str, ...]
    weakest: Weakest | None
    renew: tuple[str, ...]
    assumes: tuple[str, ...]
    cautions: tuple[str, ...]
    findings: tuple[Finding, ...]
    unknown: Mapping[str, str] = field(default_factory=dict)
    provenances: tuple[Provenance, ...] = ()
    layout: Layout | None = None


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
    case = joint_case(record, reference)
    layout = case.layout
    need = needed(layout, case.engagement.mm if case.engagement else None) if layout else None
    band, came_from, why, tightening = decide_torque(case)
    preload = tightening.preload_n if tightening and came_from == "computed" else None
    weakest = _weakest(case)
    longest = need.longest_mm if need else None
    places, slots, drag = tuple(_places(case)), slots_of(case), drag_of(case)
    left = left_in_hole(record.stack, reference)
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
        gap_mm=sum(each.gap.mm for each in record.stack if isinstance(each, Layer) and each.gap),
        engagement_mm=layout.engagement_mm if layout else max(0.0, left.mm) if left else None,
        left_in_hole=f"{left.how}; at most this is left in the hole" if left else "",
        engagement_needed_mm=case.engagement.mm if case.engagement else None,
        engagement_how=case.engagement.how if case.engagement else "",
        protrusion_mm=layout.protrusion_mm if layout else None,
        protrusion_needed_mm=need.protrusion_mm if need else None,
        thread_in_grip_mm=layout.thread_in_grip_mm if layout else None,
        places=places,
        bench_check=bench_check(case, [(place.name, place.layout) for place in places]),
        slots=slots,
        drag=drag,
        preload_n=preload,
        torque_nm=band,
        torque_from=came_from,
        torque_why=why,
        procedure=procedure(case, band),
        tightening=tightening,
        spanners=joint_spanners(record, reference),
        tools=joint_tools(record),
        weakest=weakest,
        renew=tuple(_renew(case)),
        assumes=tightening.assumes if tightening else (),
        cautions=tuple(dict.fromkeys(cautions(case, need, tightening, came_from))),
        findings=tuple(findings),
        unknown=_unknown(case, need, band, why, weakest),
        provenances=(
            *_provenances(case, tightening),
            *((slots.provenance,) if slots else ()),
            *(drag.provenances if drag else ()),
        ),
        layout=layout,
    )


def _weakest(case: JointCase) -> Weakest | None:
    loads = joint_loads(case)
    if not loads:
        return None
    first = loads[0]
    meant = next((m.weak_on_purpose for m in case.record.stack if isinstance(m, Bolt | Screw | Stud | Nut)
                  and m.weak_on_purpose), "")  # fmt: skip
    nuts = case.layout is not None and case.layout.ending != "hole"
    silent = "; the nut's class is not recorded, and taken to carry as much" if nuts and not case.nut_grade else ""
    return Weakest(part=first.part, load_n=first.load_n, how=f"{first.how}{silent}", on_purpose=meant or "")


def _stack(case: JointCase) -> tuple[StackPart, ...]:
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
                per_place=per_place(member, case.record.stack),
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


def _stock(case: JointCase, need: Need | None) -> str:
    """The next length that shops keep, as people ask for it, '' where none is known."""
    if need is None or need.least_mm is None or case.thread is None:
        return ""
    tables = case.reference.joint_tables
    found = tables.next_stock(need.least_mm, system_of(case.thread), need.longest_mm)
    return found.written if found else ""


def _places(case: JointCase) -> Iterator[PlaceFigures]:
    for name, place, layout in place_layouts(case):
        length = place.length or (case.fastener.length if case.fastener else None)
        yield PlaceFigures(
            name=name,
            count=place.count,
            length_mm=length.mm if length else None,
            written=length.written if length else "",
            into=place.into or "",
            differs=differences(place),
            grip_mm=layout.grip_mm if layout else None,
            engagement_mm=layout.engagement_mm if layout else None,
            protrusion_mm=layout.protrusion_mm if layout else None,
            layout=layout,
        )


def _renew(case: JointCase) -> Iterator[str]:
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


def _unknown(
    case: JointCase, need: Need | None, band: Band | None, why: str, weakest: Weakest | None
) -> Mapping[str, str]:
    """Why each figure that is missing is missing."""
    layout, reasons = case.layout, dict[str, str]()
    reason = case.survey.reason
    if case.survey.grip_mm is None:
        reasons["grip_mm"] = reason
    if need is None or need.least_mm is None:
        reasons["length_needed_mm"] = need.how if need else reason
    left = left_in_hole(case.record.stack, case.reference)
    if left is None and (layout is None or layout.engagement_mm is None):
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


def _no_need(case: JointCase) -> str:
    if case.fastener is not None and not asks_for_engagement(case.fastener, case.record.duty):
        if case.record.duty == "adjust":
            return "it is set by turning; what its lock nut leaves in the hole is what counts"
        return "a plug or hollow bolt seals, and is as long as its maker made it"
    hole = next((each for each in case.record.stack if isinstance(each, Tapped | Insert)), None)
    if hole is None:
        return "it goes into no hole; a full nut is as long as it needs to be"
    if isinstance(hole, Insert):
        return "the maker of the insert says how long it must be"
    return f"no figures were found for {str(hole.tapped).replace('-', ' ')}"


def _provenances(case: JointCase, tightening: Tightening | None) -> Iterator[Provenance]:
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
