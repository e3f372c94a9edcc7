"""Where a vehicle uses a thread, a mark, a spanner or a kind: its own lists, and one count for the other pages."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from decoder.fleet import Fleet, FleetJoint, FleetVehicle
from decoder.joint_threads import joint_threads
from decoder.quantities import QuantityError
from decoder.records import Bolt, Joint, Member, Nut, Screw, Stud, Union
from decoder.reference import Reference
from decoder.spanners import Spanner, fit
from decoder_site.views.hardware import WidthView, hardware_view
from decoder_site.views.words import plural

#: What the lists of a vehicle go by. The last two need no page of their own elsewhere.
SUBJECTS = ("size", "mark", "spanner", "joint kind", "nut", "washer", "finish", "material")

#: The page of a vehicle that lists a subject, and how its anchors begin.
_LISTS: Mapping[str, tuple[str, str]] = {
    "size": ("sizes", ""),
    "mark": ("head-marks", ""),
    "spanner": ("spanners", ""),
    "joint kind": ("kinds", "joint-"),
    "nut": ("kinds", "nut-"),
    "washer": ("kinds", "washer-"),
    "finish": ("kinds", "finish-"),
    "material": ("kinds", "material-"),
}

#: Stands in the list of marks for heads on which none is recorded.
NO_MARK = "no-mark-recorded"


@dataclass(frozen=True, slots=True)
class Count:
    """One line of a global page: how many joints of a vehicle use its subject."""

    vehicle: str
    is_invented: bool
    address: str
    anchor: str
    words: str


@dataclass(frozen=True, slots=True)
class Use:
    """A joint in a list, with what it uses the subject for ('head', 'nut', '' where that goes without saying)."""

    joint: FleetJoint
    role: str = ""


@dataclass(slots=True)
class VehicleUsage:
    """Uses by subject and id, in order of the joints."""

    vehicle: FleetVehicle
    uses: dict[str, dict[str, list[Use]]] = field(default_factory=lambda: {subject: {} for subject in SUBJECTS})

    def add(self, subject: str, subject_id: str, use: Use) -> None:
        """Note a use, once."""
        uses = self.uses[subject].setdefault(subject_id, [])
        if use not in uses:
            uses.append(use)

    def joints(self, subject: str, subject_id: str) -> int:
        """How many joints use it."""
        return len({use.joint.id for use in self.uses[subject].get(subject_id, ())})


class Usage:
    """The uses of every vehicle, in order of the fleet."""

    def __init__(self, fleet: Fleet, reference: Reference) -> None:
        self.by_vehicle = {slug: _vehicle_usage(vehicle, reference) for slug, vehicle in fleet.vehicles.items()}

    def counts(self, subject: str, subject_id: str) -> tuple[Count, ...]:
        """One line a vehicle that uses it, for a global page."""
        return tuple(self._counts(subject, subject_id))

    def _counts(self, subject: str, subject_id: str) -> Iterator[Count]:
        folder, prefix = _LISTS[subject]
        for slug, usage in self.by_vehicle.items():
            joints = usage.joints(subject, subject_id)
            if joints:
                yield Count(
                    vehicle=usage.vehicle.record.title,
                    is_invented=usage.vehicle.is_invented,
                    address=f"vehicles/{slug}/{folder}/",
                    anchor=f"{prefix}{subject_id}",
                    words=plural(joints, "joint"),
                )


def joint_spanners(joint: Joint, reference: Reference) -> tuple[tuple[Spanner, str], ...]:
    """Spanners for a joint's heads and nuts: for the width that is stated, else for the one most standards give."""
    found: dict[tuple[str, str], tuple[Spanner, str]] = {}
    for spanner, role in _joint_spanners(joint, reference):
        found.setdefault((spanner.slug, role), (spanner, role))
    return tuple(found.values())


def _joint_spanners(joint: Joint, reference: Reference) -> Iterator[tuple[Spanner, str]]:
    stated = joint.stated
    for role, width, marking in (
        ("head", stated and stated.across_flats, stated and stated.spanner),
        ("nut", stated and stated.nut_across_flats, stated and stated.nut_spanner),
    ):
        if marking and (spanner := _named_spanner(marking, reference)) is not None:
            yield spanner, role
        elif width:
            yield from ((one, role) for one in reference.spanners if fit(one, width.mm).word == "right")
        else:
            yield from _by_standard(joint, role, reference)


def _by_standard(joint: Joint, role: str, reference: Reference) -> Iterator[tuple[Spanner, str]]:
    for widths in _widths(joint, role, reference):
        for link in widths[0].spanners:
            if link.is_right and (spanner := reference.spanners.by_slug(link.slug)) is not None:
                yield spanner, role


def other_widths(joint: Joint, role: str, reference: Reference) -> int:
    """How many widths beside the most usual one standards give a joint's head or nut; 0 where the record states one."""
    stated = joint.stated
    if stated and (
        stated.spanner or stated.across_flats if role == "head" else stated.nut_spanner or stated.nut_across_flats
    ):
        return 0
    return sum(len(widths) - 1 for widths in _widths(joint, role, reference))


def _widths(joint: Joint, role: str, reference: Reference) -> Iterator[tuple[WidthView, ...]]:
    """The widths that standards give each head, or each nut, of a stack, most usual first."""
    for member in joint.stack:
        if role == ("nut" if isinstance(member, (Nut, Union)) else "head"):
            view = hardware_view(member, joint.stack, reference)
            if view and view.widths:
                yield view.widths


def _named_spanner(marking: str, reference: Reference) -> Spanner | None:
    try:
        return reference.spanners.find(marking)
    except QuantityError:
        return None


def _vehicle_usage(vehicle: FleetVehicle, reference: Reference) -> VehicleUsage:
    usage = VehicleUsage(vehicle)
    for joint in vehicle.joints():
        record = joint.record
        for thread in joint_threads(record, reference.threads):
            usage.add("size", thread.slug.removesuffix("-lh"), Use(joint))
        for spanner, role in joint_spanners(record, reference):
            usage.add("spanner", spanner.slug, Use(joint, role))
        usage.add("joint kind", record.kind, Use(joint))
        for member in _members(record):
            for subject, subject_id in _references(member):
                if subject in usage.uses:
                    usage.add(subject, subject_id, Use(joint, _role(member) if subject == "mark" else ""))
            if isinstance(member, (Bolt, Screw, Stud)) and member.mark is None:
                usage.add("mark", NO_MARK, Use(joint, _role(member)))
    return usage


def _members(joint: Joint) -> Iterator[Member]:
    yield from joint.stack
    for version in joint.versions.values():
        yield from version.stack or ()


def _role(member: Member) -> str:
    return type(member).__name__.lower()


def _references(record: Any) -> Iterator[tuple[str, str]]:
    """Ids of other records that a member names, each with the kind of record it is the id of."""
    for item in dataclasses.fields(record):
        refers = item.metadata.get("refers", "")
        value = getattr(record, item.name)
        if refers and isinstance(value, str):
            yield refers, value
