"""What is printed for the bench: an assembly's sheet, its bag labels, and a vehicle's list for the plater."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from decoder.drawings.qr import qr_code
from decoder.fleet import FleetAssembly, FleetJoint, FleetVehicle
from decoder.joint_threads import joint_threads, per_place, place_count
from decoder.plating import coat_room_um, judge, thickest_coat_um
from decoder.plating_rules import RULES, Verdict
from decoder.records import Joint, Layer, Tapped
from decoder.reference import Reference
from decoder.threads import Thread
from decoder_site.links import Links
from decoder_site.loading import Loaded
from decoder_site.records_place import Place, RecordsPlace
from decoder_site.views.faces import face, sequence
from decoder_site.views.facts import Piece
from decoder_site.views.measures import Citation, Citations
from decoder_site.views.vehicles import JointView, MemberView

#: A box for each place where there are no more than this; else one for all.
_MOST_BOXES = 12

_QR_MM = 21.0

#: Verdicts as a sheet shows them: a sign that prints in black, and words.
VERDICTS: Mapping[Verdict, tuple[str, str]] = {
    "may go": ("✓", "may go"),
    "plater who bakes": ("?", "only to a plater who bakes, in writing"),
    "stays out": ("✕", "stays out"),
}


@dataclass(frozen=True, slots=True)
class JointSheet:
    """A joint on its assembly's sheet: its card, a box to tick for every place, and where what goes ('' if alike)."""

    joint: JointView
    boxes: int
    stack: tuple[str, ...]
    face: Markup
    order: Markup


@dataclass(frozen=True, slots=True)
class Label:
    """A bag label."""

    title: str
    left_hand: str
    joint_id: str
    count: str
    parts: tuple[str, ...]
    spanners: str
    danger: str
    qr: Markup
    stays_out: bool


@dataclass(frozen=True, slots=True)
class PlatedPart:
    """A part of a joint on the plater's list; `reason` and `also` are numbers of reasons, `also` 0 for none."""

    words: str
    count: int
    sign: str
    verdict: str
    reason: int
    also: int


@dataclass(frozen=True, slots=True)
class PlatedJoint:
    """A joint on the plater's list."""

    title: str
    parts: tuple[PlatedPart, ...]


@dataclass(frozen=True, slots=True)
class PlatedAssembly:
    """An assembly on the plater's list."""

    title: str
    address: str
    joints: tuple[PlatedJoint, ...]


@dataclass(frozen=True, slots=True)
class Saying:
    """One thing that somebody says about a reason."""

    says: str
    citation: Citation


@dataclass(frozen=True, slots=True)
class Reason:
    """A reason by its number, with everyone who gives it."""

    number: int
    sign: str
    verdict: str
    sayings: tuple[Saying, ...]


@dataclass(frozen=True, slots=True)
class Room:
    """What coat a thread of the vehicle has room for."""

    designation: str
    slug: str
    thickest: str
    room: str


@dataclass(frozen=True, slots=True)
class PlatingView:
    """A vehicle's list for the plater."""

    assemblies: tuple[PlatedAssembly, ...]
    counts: tuple[tuple[str, str, int], ...]
    reasons: tuple[Reason, ...]
    rooms: tuple[Room, ...]
    record: Place


def joint_sheets(assembly: FleetAssembly, cards: Sequence[JointView]) -> tuple[JointSheet, ...]:
    """The joints of an assembly's sheet; `cards` are its views in the same order."""
    return tuple(
        JointSheet(
            joint=card,
            boxes=_boxes(joint.record),
            stack=tuple(member_words(member) for member in card.stack),
            face=Markup(face(joint.record)),
            order=Markup(sequence(joint.record)),
        )
        for joint, card in zip(assembly.joints.values(), cards, strict=True)
    )


def _boxes(record: Joint) -> int:
    count = place_count(record)
    return count if count <= _MOST_BOXES else 1


def labels(assembly: FleetAssembly, cards: Sequence[JointView], loaded: Loaded) -> Iterator[Label]:
    """A label for every joint; its code holds the joint's address where the site knows its own, else the joint's id."""
    for joint, card in zip(assembly.joints.values(), cards, strict=True):
        address = Links("", loaded.as_files).to(f"vehicles/{joint.vehicle}/{joint.assembly}/", joint.key)
        code = f"{loaded.site_url.rstrip('/')}/{address}" if loaded.site_url else joint.id
        yield Label(
            title=card.title,
            left_hand=card.left_hand,
            joint_id=joint.id,
            count=card.count,
            parts=tuple(
                member_words(view, is_short=True)
                for member, view in zip(joint.record.stack, card.stack, strict=True)
                if not isinstance(member, (Layer, Tapped))
            ),
            spanners=", ".join(dict.fromkeys(spanner.marking for spanner in card.spanners)),
            danger=card.danger,
            qr=Markup(qr_code(code, _QR_MM)),
            stays_out=_all_stay_out(joint, loaded.reference),
        )


def _all_stay_out(joint: FleetJoint, reference: Reference) -> bool:
    judged = [judge(member, joint.record, reference) for member in joint.record.stack]
    return all(each is None or each.verdict == "stays out" for each in judged)


def member_words(member: MemberView, *, is_short: bool = False) -> str:
    """A part in one line of plain words, such as 'Hexagon bolt, 5/16-24 UNF, 1-1/4 in (31.75 mm)'.

    Short ones leave out what a record remarks.
    """
    pieces = [piece for piece in member.lead if not is_short or _is_short(piece)]
    return ", ".join((member.title, *filter(None, map(_words, pieces))))


def _words(piece: Piece) -> str:
    return piece.measure.words if piece.measure else piece.text


def _is_short(piece: Piece) -> bool:
    """Not a remark: remarks are sentences."""
    return piece.measure is not None or bool(piece.address) or not (piece.text.endswith(".") or len(piece.text) > 20)


#: The number that a reason has on every list.
_NUMBERS: Mapping[str, int] = {rule: number for number, rule in enumerate(RULES, start=1)}


def plating_view(
    vehicle: FleetVehicle,
    cards: Mapping[str, Sequence[JointView]],
    reference: Reference,
    citations: Citations,
    place: RecordsPlace,
) -> PlatingView:
    """The list for the plater; `cards` are the joints' views by assembly."""
    judged = {
        joint.id: _judged(joint, card, reference)
        for slug, assembly in vehicle.assemblies.items()
        for joint, card in zip(assembly.joints.values(), cards[slug], strict=True)
    }
    parts = [part for found in judged.values() for part in found]
    used = {number for part in parts for number in (part.reason, part.also)}
    totals = {
        words: sum(part.count for part in parts if (part.sign, part.verdict) == words) for words in VERDICTS.values()
    }
    return PlatingView(
        assemblies=tuple(
            PlatedAssembly(
                assembly.record.title,
                f"vehicles/{vehicle.slug}/{slug}/",
                tuple(
                    PlatedJoint(joint.record.title, judged[joint.id])
                    for joint in assembly.joints.values()
                    if judged[joint.id]
                ),
            )
            for slug, assembly in vehicle.assemblies.items()
        ),
        counts=tuple((sign, words, count) for (sign, words), count in totals.items()),
        reasons=tuple(_reason(rule, reference, citations) for rule in RULES if _NUMBERS[rule] in used),
        rooms=tuple(map(_room, _threads_that_go(vehicle, judged, reference))),
        record=place.at("reference/plating_rules.csv"),
    )


def _judged(joint: FleetJoint, card: JointView, reference: Reference) -> tuple[PlatedPart, ...]:
    return tuple(
        PlatedPart(
            words=member_words(view, is_short=True),
            count=place_count(joint.record) * per_place(member, joint.record.stack),
            sign=VERDICTS[judged.verdict][0],
            verdict=VERDICTS[judged.verdict][1],
            reason=_NUMBERS[judged.rule],
            also=_NUMBERS.get(judged.also, 0),
        )
        for member, view in zip(joint.record.stack, card.stack, strict=True)
        if (judged := judge(member, joint.record, reference)) is not None
    )


def _threads_that_go(
    vehicle: FleetVehicle, judged: Mapping[str, tuple[PlatedPart, ...]], reference: Reference
) -> list[Thread]:
    """Threads of joints of which a part may go, by size."""
    stays_out = VERDICTS["stays out"][0]
    found: dict[str, Thread] = {}
    for assembly in vehicle.assemblies.values():
        for joint in assembly.joints.values():
            if any(part.sign != stays_out for part in judged[joint.id]):
                found |= {each.designation: each for each in joint_threads(joint.record, reference.threads)}
    return sorted(found.values(), key=lambda each: (each.major_mm, each.designation))


def _reason(rule: str, reference: Reference, citations: Citations) -> Reason:
    rows = reference.plating[rule]
    sign, verdict = VERDICTS[reference.plating.verdict(rule)]
    return Reason(_NUMBERS[rule], sign, verdict, tuple(Saying(row.says, citations.of(row.provenance)) for row in rows))


def _room(thread: Thread) -> Room:
    room, thickest = coat_room_um(thread), thickest_coat_um(thread)
    return Room(
        designation=thread.designation,
        slug=thread.slug.removesuffix("-lh"),
        thickest=f"{thickest} µm" if thickest else "not known" if room is None else "none",
        room="" if room is None else f"{room:.1f} µm",
    )
