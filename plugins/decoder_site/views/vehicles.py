"""Pages of vehicles: the vehicle, its assemblies with their joints, and its own lists."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from decoder.checks.locking import SLOTTED_NUTS
from decoder.drawings.stack import draw_stack
from decoder.findings import Finding
from decoder.fleet import FleetAssembly, FleetJoint, FleetVehicle
from decoder.joint_cautions import fuel_caution
from decoder.joint_threads import find_thread, joint_threads, main_thread, per_place, place_count
from decoder.joint_words import left_hand_words, part_name
from decoder.joints import JointFigures, figures
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
    Stated,
    Stud,
    Tapped,
    Union,
    Version,
    Washer,
)
from decoder.reference import Reference
from decoder_site.records_place import Place, RecordsPlace
from decoder_site.views.faces import face, rings, sequence
from decoder_site.views.facts import Fact, Facts, Piece
from decoder_site.views.hardware import HardwareView, hardware_view
from decoder_site.views.joint_figures import FiguresView, figures_view
from decoder_site.views.lookalikes import Pair, among
from decoder_site.views.measures import Measure, length, optional_length
from decoder_site.views.remarks import linked, remark_words
from decoder_site.views.sizes import system_of
from decoder_site.views.usage import NO_MARK, VehicleUsage, joint_spanners, other_widths
from decoder_site.views.words import plural

_DUTIES: Mapping[str, str] = {
    "clamp": "clamps parts together: stretch keeps it tight",
    "adjust": "sets a position: turned to a measure, then its lock is tightened",
    "pivot": "lets a part turn: the part stays free, whatever its nut is tightened against",
    "locate": "says where a part sits",
    "seal": "keeps a fluid in or out",
    "retain": "keeps a part from coming off",
    "pinch": "pinches one part round another",
}

#: Where the kind of joint says it better: these bolts are tight, and rubber twists or a belt is set first.
_KIND_DUTIES: Mapping[str, str] = {
    "dynamo-mounting": "swings while the belt is set, and is tight afterwards",
    "belt-adjuster": "slides while the belt is set, and is tight afterwards",
    "hub-nut-taper-rollers": "sets the bearings: turned to a measure, then locked; never to a torque",
    "pedal-clevis": "a free pivot: the pin turns",
    "hinge-pin": "a free pivot: the pin turns",
}

#: Bushed pivots whose bolt has a figure: the sleeve is clamped.
_BUSHED = ("rubber-bush-pivot", "shackle")
_CLAMPED_SLEEVE = "the bolt clamps the inner sleeve solid, at ride height, to the figure; the bush does the turning"

_CONSEQUENCES: Mapping[str, str] = {
    "brake": "brakes",
    "steering": "steering",
    "suspension": "suspension",
    "wheel": "wheels",
    "fuel": "fuel and fire",
    "restraint": "seat belts and seats",
    "lifting": "lifting and towing",
}


#: What a person at the bench wants in one line with the part's name; the rest of its record opens on a tap.
_IN_THE_LINE = (
    "length",
    "diameter",
    "thickness",
    "depth",
    "pipe",
    "flare",
    "mark",
    "strength",
    "weak_on_purpose",
    "note",
)


#: A pin of the same name, [mm]: names are a sixty-fourth apart.
_SAME_MM = 0.1


@dataclass(frozen=True, slots=True)
class MemberView:
    """A member of a stack: what it is, what its record says, and what follows."""

    title: str
    lead: tuple[Piece, ...]
    facts: tuple[Fact, ...]
    hardware: HardwareView | None


@dataclass(frozen=True, slots=True)
class StatedRow:
    """A value that someone states, beside what tables and computation give."""

    label: str
    stated: tuple[Piece, ...]
    computed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class VersionView:
    """What differs at another time."""

    name: str
    facts: tuple[Fact, ...]
    stack: tuple[MemberView, ...]


@dataclass(frozen=True, slots=True)
class PlaceView:
    """A named place of a joint."""

    name: str
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class SpannerUse:
    """A spanner for a joint's head or nut."""

    marking: str
    slug: str
    role: str
    others: int


@dataclass(frozen=True, slots=True)
class LayoutView:
    """A stack along its axis: drawn, and in figures; '' and None where something is not known."""

    drawing: Markup
    grip: Measure
    protrusion: Measure | None
    engagement: Measure | None
    needed: Measure | None
    needed_how: str
    stock: str
    heights_from: str


@dataclass(frozen=True, slots=True)
class JointView:
    """One joint as a card."""

    key: str
    id: str
    title: str
    kind: Piece
    duty: str
    duty_words: str
    danger: str
    left_hand: str
    conditions: tuple[Piece, ...]
    direction: str
    count: str
    places: tuple[PlaceView, ...]
    stack: tuple[MemberView, ...]
    layout: LayoutView | None
    figures: FiguresView
    rings: int
    face: Markup
    sequence: Markup
    spanners: tuple[SpannerUse, ...]
    tools: tuple[str, ...]
    torque: tuple[Piece, ...]
    tighten: tuple[Fact, ...]
    renew: tuple[str, ...]
    stated: tuple[StatedRow, ...]
    versions: tuple[VersionView, ...]
    accepted: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    warnings: tuple[str, ...]
    remarks: tuple[tuple[Piece, ...], ...]
    note: str
    source: Piece
    record: Place


@dataclass(frozen=True, slots=True)
class AssemblyView:
    """One assembly with its joints."""

    slug: str
    title: str
    summary: str
    cautions: tuple[str, ...]
    view: str
    joints: tuple[JointView, ...]
    record: Place


@dataclass(frozen=True, slots=True)
class JointRow:
    """A joint in a list."""

    title: str
    assembly: str
    address: str
    anchor: str
    role: str
    is_critical: bool


@dataclass(frozen=True, slots=True)
class ListSection:
    """One subject of a vehicle's list, with the joints that use it."""

    anchor: str
    piece: Piece
    joints: tuple[JointRow, ...]


@dataclass(frozen=True, slots=True)
class VehicleView:
    """A vehicle."""

    slug: str
    title: str
    is_invented: bool
    summary: str
    era: str
    view: str
    history: tuple[str, ...]
    families: tuple[str, ...]
    source: Piece
    counts: str
    assemblies: tuple[tuple[str, str, str], ...]
    record: Place


class Vehicles:
    """Makes the views of vehicles."""

    def __init__(
        self, reference: Reference, facts: Facts, place: RecordsPlace, findings: Mapping[str, tuple[Finding, ...]]
    ) -> None:
        """`findings` are those below level error, by the id of the joint they stand in."""
        self._reference, self._facts, self._place, self._findings = reference, facts, place, findings

    def vehicle(self, vehicle: FleetVehicle) -> VehicleView:
        """The vehicle's own page."""
        record = vehicle.record
        joints = sum(len(assembly.joints) for assembly in vehicle.assemblies.values())
        return VehicleView(
            slug=vehicle.slug,
            title=record.title,
            is_invented=vehicle.is_invented,
            summary=record.summary,
            era=record.era or "",
            view=_sentence(record.map.view) if record.map else "",
            history=tuple(record.history),
            families=tuple(record.families),
            source=self._source(record.source),
            counts=f"{plural(len(vehicle.assemblies), 'assembly', 'assemblies')}, {plural(joints, 'joint')}",
            assemblies=tuple(
                (slug, assembly.record.title, plural(len(assembly.joints), "joint"))
                for slug, assembly in vehicle.assemblies.items()
            ),
            record=self._place.of_record(vehicle.origin.file, vehicle.line()),
        )

    def assembly(self, assembly: FleetAssembly) -> AssemblyView:
        """An assembly's page."""
        record = assembly.record
        names = self._names(assembly)
        return AssemblyView(
            slug=assembly.slug,
            title=record.title,
            summary=record.summary or "",
            cautions=tuple(record.cautions),
            view=_sentence(record.overview.view) if record.overview else "",
            joints=tuple(self.joint(joint, names) for joint in assembly.joints.values()),
            record=self._place.of_record(assembly.origin.file, assembly.line()),
        )

    def lookalikes(self, assembly: FleetAssembly) -> tuple[Pair, ...]:
        """Threads of one assembly that are taken for each other: they lie in the same tub."""
        threads = {
            thread.designation: thread
            for joint in assembly.joints.values()
            for thread in joint_threads(joint.record, self._reference.threads)
        }
        return among(threads.values())

    def _names(self, assembly: FleetAssembly) -> dict[str, Piece]:
        """What remarks may name: the threads of an assembly and its joints, each with its link."""
        address = f"vehicles/{assembly.vehicle}/{assembly.slug}/"
        names = {
            key: Piece(text=joint.record.title, address=address, anchor=key) for key, joint in assembly.joints.items()
        }
        for joint in assembly.joints.values():
            for thread in joint_threads(joint.record, self._reference.threads):
                names[thread.designation] = self._facts.thread(thread.designation)
        for source in self._reference.sources:
            names[source] = Piece(text="source", address="sources/", anchor=source)
        return names

    def joint(self, joint: FleetJoint, names: Mapping[str, Piece]) -> JointView:
        """A joint's card: everything that its record says, and what follows from it.

        `names` turns what remarks name into links.
        """
        record = joint.record
        findings = self._findings.get(joint.id, ())
        figured = figures(joint.id, record, self._reference, findings)
        return JointView(
            key=joint.key,
            id=joint.id,
            title=record.title,
            kind=self._facts.record("joint kind", record.kind),
            duty=record.duty,
            duty_words=duty_words(record),
            danger=_CONSEQUENCES[record.consequence] if record.consequence in SAFETY_CRITICAL else "",
            left_hand=left_hand_words(record, self._reference.threads),
            conditions=self._pieces(record, "conditions"),
            direction=record.direction or "",
            count=_count(record),
            places=self._places(record),
            stack=self._stack(record.stack),
            layout=_layout(figured),
            figures=figures_view(figured, record, self._reference),
            rings=rings(record),
            face=Markup(face(record)),
            sequence=Markup(sequence(record)),
            spanners=tuple(
                SpannerUse(spanner.marking, spanner.slug, role, other_widths(record, role, self._reference))
                for spanner, role in joint_spanners(record, self._reference)
            ),
            tools=figured.tools,
            torque=self._torque(record.stated),
            # How many lie on one wheel stands below the drawing.
            tighten=self._facts.of(record.tighten, leave_out=("ring",)) if record.tighten else (),
            renew=tuple(record.renew),
            stated=tuple(self._stated(record.stated, record)) if record.stated else (),
            versions=tuple(self._version(name, version) for name, version in record.versions.items()),
            accepted=tuple(record.accepted.items()),
            cautions=(*filter(None, (fuel_caution(record),)), *record.cautions),
            warnings=tuple(remark_words(finding) for finding in findings if finding.level == "warning"),
            # What is accepted stands with its reason in a list of its own.
            remarks=tuple(
                linked(remark_words(finding), names)
                for finding in findings
                if finding.level == "note" and finding.code not in record.accepted
            ),
            note=record.note or "",
            source=self._source(record.source),
            record=self._place.of_record(joint.file, joint.line()),
        )

    def sections(self, usage: VehicleUsage, subject: str, prefix: str = "") -> Iterator[ListSection]:
        """The vehicle's list by one subject."""
        for subject_id, uses in usage.uses[subject].items():
            yield ListSection(
                anchor=f"{prefix}{subject_id}",
                piece=self._subject(subject, subject_id),
                joints=tuple(joint_row(use.joint, usage.vehicle, use.role) for use in uses),
            )

    def _subject(self, subject: str, subject_id: str) -> Piece:
        if subject == "size":
            return Piece(text=self._reference.threads.by_slug(subject_id).designation, address=f"sizes/{subject_id}/")
        if subject == "spanner":
            spanner = self._reference.spanners.by_slug(subject_id)
            return Piece(text=spanner.marking if spanner else subject_id, address=f"spanners/{subject_id}/")
        if subject_id == NO_MARK:
            return Piece(text="No mark recorded")
        return self._facts.record(subject, subject_id)

    def _pieces(self, record: Joint, name: str) -> tuple[Piece, ...]:
        return next((fact.pieces for fact in self._facts.of(record) if fact.name == name), ())

    def _places(self, record: Joint) -> tuple[PlaceView, ...]:
        if isinstance(record.places, int):
            return ()
        return tuple(PlaceView(name, self._facts.of(place)) for name, place in record.places.items())

    def _stack(self, stack: tuple[Member, ...]) -> tuple[MemberView, ...]:
        return tuple(self._member(member, stack) for member in stack)

    def _member(self, member: Member, stack: tuple[Member, ...]) -> MemberView:
        title, lead, shown = self._title(member)
        many = per_place(member, stack)
        if many > 1:
            title = f"{title} × {many}"
        measures = [fact for fact in self._facts.of(member, leave_out=shown) if fact.name in _IN_THE_LINE]
        return MemberView(
            title=title,
            lead=(*lead, *(piece for fact in measures for piece in fact.pieces), *self._why_this_pin(member, stack)),
            facts=self._facts.of(member, leave_out=(*shown, *_IN_THE_LINE)),
            hardware=hardware_view(member, stack, self._reference),
        )

    def _why_this_pin(self, member: Member, stack: tuple[Member, ...]) -> Iterator[Piece]:
        """What chooses a split pin of this size, where it is the one that tables choose."""
        if not isinstance(member, Pin) or member.pin != "split":
            return
        nut = next((each for each in stack if isinstance(each, Nut) and each.nut in SLOTTED_NUTS), None)
        if nut is None:
            return
        threads = self._reference.threads
        thread = find_thread(nut.thread, threads) if nut.thread else main_thread(stack, threads)
        choice = self._reference.split_pins.choice(thread) if thread else None
        if choice is not None and abs(choice.pin.name_mm - member.diameter.mm) < _SAME_MM:
            yield Piece(text=choice.why)

    def _title(self, member: Member) -> tuple[str, tuple[Piece, ...], tuple[str, ...]]:
        """What a member is in words, what stands beside it, and the fields that are thereby shown."""
        facts = self._facts
        match member:
            case Bolt():
                return _capital(part_name(member)), (facts.thread(member.thread),), ("thread", "called")
            case Screw():
                return _capital(part_name(member)), (facts.thread(member.thread),), ("thread", "called")
            case Stud():
                ends = dict.fromkeys((member.metal_end.thread, member.nut_end.thread))
                return _capital(part_name(member)), tuple(facts.thread(end) for end in ends), ("stud",)
            case Pin():
                return _capital(part_name(member)), (), ("pin",)
            case Washer():
                return "Washer", (facts.record("washer", member.washer),), ("washer",)
            case Layer():
                return member.part or "Layer", (facts.record("material", member.layer),), ("layer", "part")
            case Nut():
                return "Nut", (facts.record("nut", member.nut),), ("nut",)
            case Tapped():
                return "Tapped hole", (facts.record("material", member.tapped),), ("tapped",)
            case Captive():
                return f"Captive nut, {member.captive}", (), ("captive",)
            case Insert():
                return f"Thread insert, {member.insert.replace('-', ' ')}", (), ("insert",)
            case Union():
                return (
                    _capital(member.called or f"union, {member.union}"),
                    (facts.thread(member.thread),),
                    (
                        *("union", "thread"),
                        "called",
                    ),
                )

    def _version(self, name: str, version: Version) -> VersionView:
        return VersionView(
            name=name,
            facts=self._facts.of(version, leave_out=("stack",)),
            stack=self._stack(version.stack or ()),
        )

    def _torque(self, stated: Stated | None) -> tuple[Piece, ...]:
        facts = self._facts.of(stated) if stated else ()
        return next((fact.pieces for fact in facts if fact.name == "torque"), ())

    def _stated(self, stated: Stated, record: Joint) -> Iterator[StatedRow]:
        head = self._first(record, "head")
        nut = self._first(record, "nut")
        for fact in self._facts.of(stated):
            view = nut if fact.name.startswith("nut_") else head
            yield StatedRow(fact.label, fact.pieces, tuple(self._computed(fact.name, view)))

    def _computed(self, name: str, view: HardwareView | None) -> Iterator[str]:
        if view is None:
            return
        if name.endswith("across_flats"):
            yield from (f"{width.across_flats.words}: {width.standards}" for width in view.widths)
        elif name.endswith("spanner"):
            yield from (
                f"{link.marking} for {width.across_flats.words}"
                for width in view.widths
                for link in width.spanners
                if link.is_right
            )
        elif name == "pitch":
            yield from (thread.pitch.words for thread in view.threads)
        elif name == "strength" and view.claim is not None:
            yield " ".join((view.claim.text, ", ".join(grade for grade, _ in view.claim.grades))).strip()

    def _first(self, record: Joint, role: str) -> HardwareView | None:
        for member in record.stack:
            is_nut = isinstance(member, Nut)
            if is_nut == (role == "nut") and not isinstance(member, (Washer, Layer, Tapped, Pin, Insert)):
                return hardware_view(member, record.stack, self._reference)
        return None

    def _source(self, text: str) -> Piece:
        if text in self._reference.sources:
            return Piece(text=self._reference.sources[text].title, address="sources/", anchor=text)
        return Piece(text=text)


def joint_row(joint: FleetJoint, vehicle: FleetVehicle, role: str = "") -> JointRow:
    """A joint as lists show it."""
    return JointRow(
        title=joint.record.title,
        assembly=vehicle.assemblies[joint.assembly].record.title,
        address=f"vehicles/{joint.vehicle}/{joint.assembly}/",
        anchor=joint.key,
        role=role,
        is_critical=joint.record.consequence in SAFETY_CRITICAL,
    )


def record_stamp(record: Joint) -> str:
    """A short name for what a joint's record says; a tick made against another stamp was made against other values."""
    return hashlib.sha256(repr(record).encode()).hexdigest()[:10]


def _capital(text: str) -> str:
    """The first letter large and hyphens kept: 'T-bolt', 'Cheese-head screw'."""
    return text[:1].upper() + text[1:]


def _layout(found: JointFigures) -> LayoutView | None:
    layout = found.layout
    if layout is None:
        return None
    system = system_of(layout.thread)
    heights = dict.fromkeys(
        taken
        for taken in (layout.head_from, *(part.taken_from for part in layout.parts))
        if taken not in ("", "measured")
    )
    return LayoutView(
        drawing=Markup(draw_stack(layout)),
        grip=length(layout.grip_mm, system),
        protrusion=optional_length(layout.protrusion_mm, system),
        engagement=optional_length(layout.engagement_mm, system),
        needed=optional_length(found.length_needed_mm, system),
        needed_how=found.length_how,
        stock=found.stock_length,
        heights_from="; ".join(heights),
    )


def duty_words(record: Joint) -> str:
    """What the duty asks of the man with the spanner, in this kind of joint."""
    if record.duty == "pivot" and record.kind in _BUSHED and record.stated and record.stated.torque:
        return _CLAMPED_SLEEVE
    return _KIND_DUTIES.get(record.kind, _DUTIES[record.duty])


def _count(record: Joint) -> str:
    """How many places, and how many of them belong to one flange or wheel."""
    count, alike = place_count(record), rings(record)
    return plural(count, "place") + (f", {count // alike} on each of {alike}" if alike > 1 else "")


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
