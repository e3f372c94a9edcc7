"""What the rules look at: a joint with its reference data at hand, and its stack seen as things that screw together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from decoder.checks.rules import FieldPath
from decoder.checks.walking import Named, names
from decoder.fleet import FleetAssembly, FleetJoint, FleetVehicle
from decoder.hexagons import Hexagon
from decoder.marks import Mark
from decoder.places import changes_stack, named_places, stack_at
from decoder.quantities import QuantityError
from decoder.records import (
    Bolt,
    Captive,
    Insert,
    Joint,
    Layer,
    Member,
    Nut,
    Pin,
    Place,
    Screw,
    Stud,
    Tapped,
    Union,
    Washer,
)
from decoder.reference import Reference
from decoder.spanners import Spanner
from decoder.stacks import Layout, survey
from decoder.strength import Grade
from decoder.threads import Thread

#: Where the records of a kind are kept, by the words of `doc(refers=…)`.
_KINDS = {
    "mark": "marks",
    "nut": "nuts",
    "washer": "washers",
    "finish": "finishes",
    "material": "materials",
    "joint kind": "joint_kinds",
}


class Lookup:
    """Reference data asked for by what records say. Threads and grades repeat in every joint, so answers are kept."""

    def __init__(self, reference: Reference) -> None:
        self.reference = reference
        self._threads: dict[str, Thread | str] = {}
        self._grades: dict[tuple[str, str | None], Grade | str] = {}
        self._ids: dict[str, frozenset[str]] = {}
        self._spanners: dict[str, Spanner | str] = {}
        self._hexagons: dict[str, tuple[Hexagon, ...]] = {}

    def thread(self, text: str | None) -> Thread | None:
        """The thread that a text names, None where it names none or more than one."""
        answer = self.thread_or_reason(text) if text else None
        return answer if isinstance(answer, Thread) else None

    def thread_or_reason(self, text: str) -> Thread | str:
        """The thread that a text names, or one sentence why it does not."""
        if text not in self._threads:
            try:
                self._threads[text] = self.reference.threads.find(text)
            except QuantityError as error:
                self._threads[text] = str(error)
        return self._threads[text]

    def grade(self, text: str | None, part: str | None = None) -> Grade | None:
        """The grade that a text names, None where it names none or more than one."""
        answer = self.grade_or_reason(text, part) if text else None
        return answer if isinstance(answer, Grade) else None

    def grade_or_reason(self, text: str, part: str | None = None) -> Grade | str:
        """The grade that a text names, or one sentence why it does not."""
        if (text, part) not in self._grades:
            try:
                self._grades[text, part] = self.reference.strengths.find(text, part)
            except QuantityError as error:
                self._grades[text, part] = str(error)
        return self._grades[text, part]

    def spanner_or_reason(self, text: str) -> Spanner | str:
        """The spanner that a marking names, or one sentence why it does not."""
        if text not in self._spanners:
            try:
                self._spanners[text] = self.reference.spanners.find(text)
            except QuantityError as error:
                self._spanners[text] = str(error)
        return self._spanners[text]

    def hexagons(self, thread: Thread) -> tuple[Hexagon, ...]:
        """Rows of the hexagon tables that are met on a thread."""
        key = thread.designation
        if key not in self._hexagons:
            self._hexagons[key] = self.reference.hexagons.for_thread(thread)
        return self._hexagons[key]

    def mark(self, mark_id: str | None) -> Mark | None:
        """The mark of an id."""
        return self.reference.marks.get(mark_id) if mark_id else None

    def ids(self, kind: str) -> frozenset[str]:
        """Ids of all records of a kind, as `doc(refers=…)` names it ('mark', 'joint kind')."""
        if kind not in self._ids:
            self._ids[kind] = frozenset(_ids(getattr(self.reference, _KINDS[kind])))
        return self._ids[kind]


def _ids(records: Any) -> Iterable[str]:
    return records.keys() if hasattr(records, "keys") else (record.id for record in records)


@dataclass(frozen=True, slots=True)
class Threaded:
    """A threaded part or end. `thread` is None where the text names no thread; that is told elsewhere."""

    member: Member
    path: FieldPath
    text: str
    thread: Thread | None


class StackCase:
    """One stack of a joint: today's, one of its versions, or today's at a place. `path` leads to it from the joint."""

    def __init__(self, path: FieldPath, members: tuple[Member, ...], lookup: Lookup, place: FieldPath = ()) -> None:
        self.path, self.members, self.lookup = path, members, lookup
        self._place = place

    def length_path(self, number: int) -> FieldPath:
        """Where the length of a member is told of: at the member, or at the place that changes the stack."""
        return self._place or (*self.path, number, "length")

    def each(self, *kinds: type[Any]) -> Iterator[tuple[FieldPath, Any]]:
        """Members of some kinds with their paths."""
        for number, member in enumerate(self.members):
            if isinstance(member, kinds):
                yield (*self.path, number), member

    def has(self, *kinds: type[Any]) -> bool:
        """Whether any member is of these kinds."""
        return any(isinstance(member, kinds) for member in self.members)

    @cached_property
    def bolts(self) -> tuple[Threaded, ...]:
        """Outside threads that a nut or a hole can take: bolts, screws, nut ends of studs, male unions."""
        found: list[Threaded] = []
        for path, member in self.each(Bolt, Screw, Union):
            if not (isinstance(member, Union) and member.union == "female"):
                found.append(Threaded(member, (*path, "thread"), member.thread, self.lookup.thread(member.thread)))
        for path, member in self.each(Stud):
            text = member.nut_end.thread
            found.append(Threaded(member, (*path, "nut_end", "thread"), text, self.lookup.thread(text)))
        return tuple(found)

    @property
    def main(self) -> Threaded | None:
        """The fastener that the joint is about: the first with an outside thread."""
        return self.bolts[0] if self.bolts else None

    @cached_property
    def nuts(self) -> tuple[Threaded, ...]:
        """Nuts and captive nuts; one that names no thread has the main fastener's."""
        found: list[Threaded] = []
        main = self.main
        for path, member in self.each(Nut, Captive):
            text = member.thread or (main.text if main else None)
            if text is not None:
                found.append(Threaded(member, (*path, "thread"), text, self.lookup.thread(text)))
        return tuple(found)

    @cached_property
    def layout(self) -> Layout | None:
        """The stack along its axis, None where something that it takes is not known."""
        return survey(self.members, self.lookup.reference).layout

    def pins(self, kind: str) -> Iterator[FieldPath]:
        """Paths of the pins of a kind."""
        for path, member in self.each(Pin):
            if member.pin == kind:
                yield path


class JointCase:
    """A joint, its vehicle and the reference data."""

    def __init__(self, joint: FleetJoint, vehicle: FleetVehicle, lookup: Lookup) -> None:
        self.joint, self.vehicle, self.lookup = joint, vehicle, lookup

    @property
    def record(self) -> Joint:
        """The joint as recorded."""
        return self.joint.record

    @cached_property
    def names(self) -> tuple[Named, ...]:
        """Every name in the record of something that must exist elsewhere."""
        return tuple(names(self.record))

    @cached_property
    def stack(self) -> StackCase:
        """The stack as it is to be put together."""
        return StackCase(("stack",), self.record.stack, self.lookup)

    @cached_property
    def stacks(self) -> tuple[StackCase, ...]:
        """Today's stack and that of every version that writes one."""
        versions = (
            StackCase(("versions", name, "stack"), version.stack, self.lookup)
            for name, version in self.record.versions.items()
            if version.stack is not None
        )
        return (self.stack, *versions)

    @cached_property
    def laid(self) -> tuple[StackCase, ...]:
        """Every stack that is put together, with those of places where length, layers or hole differ."""
        places = (
            StackCase(("stack",), stack_at(self.record.stack, place), self.lookup, _place_path(name, place))
            for name, place in named_places(self.record)
            if changes_stack(place)
        )
        return (*self.stacks, *places)


def _place_path(name: str, place: Place) -> FieldPath:
    """The place's own length, else the place: it is the length of the stack that does not fit there."""
    return ("places", name, "length") if place.length else ("places", name)


@dataclass(frozen=True, slots=True)
class AssemblyCase:
    """An assembly and its vehicle."""

    assembly: FleetAssembly
    vehicle: FleetVehicle


@dataclass(frozen=True, slots=True)
class VehicleCase:
    """A vehicle."""

    vehicle: FleetVehicle


#: 1/4 in and M6, 3/8 in and M10, 1/2 in and M12 are mistaken for each other: up to 5.5 % apart (common practice).
_SWAPPED_SHARE = 0.06


def easily_swapped(one: Thread, other: Thread) -> bool:
    """Whether two threads are so near in diameter that one starts in the other, or hangs in it, unnoticed."""
    return abs(one.major_mm - other.major_mm) < _SWAPPED_SHARE * max(one.major_mm, other.major_mm)


#: Members that carry an inside thread.
FEMALE: tuple[type[Any], ...] = (Nut, Tapped, Captive, Insert)
#: Members that are clamped or lie between.
CLAMPED: tuple[type[Any], ...] = (Layer, Washer)
