"""The vehicles that come with the tool: what the tables know is met in them, and the cards agree with one another.

A head mark, a nut or a thread that no joint shows is one that a reader cannot look at in its place. The lists of
exceptions only shrink: one that is no longer needed fails as well.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Mapping
from typing import Any, get_args

import pytest

from decoder.fleet import Fleet, FleetJoint, load_fleet
from decoder.joints import JointFigures, figures
from decoder.paths import reference_root
from decoder.records import (
    Bolt,
    BoltHead,
    CaptiveKind,
    Consequence,
    Drive,
    Duty,
    Insert,
    InsertKind,
    Layer,
    Nut,
    Pin,
    PinKind,
    Screw,
    ScrewHead,
    Stud,
    Tapped,
    Union,
    VersionName,
    Washer,
)
from decoder.reference import Reference, load_reference

#: What no vehicle shows, and why it would be wrong there.
NOT_USED: dict[str, dict[str, str]] = {
    "screw head": {
        "self-tapping": "the thread tables hold no tapping screw threads, so a joint cannot name one",
        "wood": "the thread tables hold no wood screw threads, so a joint cannot name one",
    },
    "mark": {
        f"text-{figure}": "a nought is met before 8.8, 10.9 and 12.9; before the rest it follows from the rule"
        for figure in ("04-6", "04-8", "05-6", "05-8", "06-8", "09-8")
    },
}

#: Assemblies and joints at least, by vehicle.
SIZES = {"pannier-utility": (28, 300), "hamper-van": (14, 120), "punnet-minibus": (16, 150)}

#: Nuts that grip by a part of themselves that wears.
SELF_LOCKING = ("nylon-insert", "fibre-insert", "all-metal-top", "all-metal-centre", "slotted-collar")

#: Parts that a spanner turns; the rest is turned by hand, by a bar in a square, by a peg, or held by what it lies in.
SPANNER_HEADS = ("hexagon", "hexagon-flange", "banjo", "bleed", "wheel", "twelve-point")
SPANNER_NUTS = (
    "plain", "castellated", "slotted", "flange", "serrated-flange", "staked", "wheel-taper", "wheel-ball", "wheel-flat",
    "exhaust-brass", "exhaust-copper-plated", "dome", *SELF_LOCKING,
)  # fmt: skip
NO_SPANNER = {
    "hamper-van/cooling/pump-gland": "round, with notches for a peg",
}


@pytest.fixture(scope="module")
def reference() -> Reference:
    return load_reference()


@pytest.fixture(scope="module")
def fleet() -> Fleet:
    return load_fleet(reference_root())


@pytest.fixture(scope="module")
def figures_of(fleet: Fleet, reference: Reference) -> Mapping[str, JointFigures]:
    return {joint.id: figures(joint.id, joint.record, reference, ()) for joint in fleet.joints()}


def _stacks(joint: FleetJoint) -> Iterator[tuple[Any, ...]]:
    yield joint.record.stack
    for version in joint.record.versions.values():
        if version.stack is not None:
            yield version.stack


def _members(fleet: Fleet) -> Iterator[Any]:
    for joint in fleet.joints():
        for stack in _stacks(joint):
            yield from stack


def _threads(fleet: Fleet) -> Iterator[str]:
    for member in _members(fleet):
        ends = (member.metal_end, member.nut_end) if isinstance(member, Stud) else (member,)
        for end in ends:
            thread = getattr(end, "thread", None)
            if thread is not None:
                yield thread
    for joint in fleet.joints():
        if not isinstance(joint.record.places, int):
            yield from (place.thread for place in joint.record.places.values() if place.thread is not None)


def _used(fleet: Fleet, reference: Reference) -> dict[str, set[str]]:
    used: dict[str, set[str]] = defaultdict(set)
    for joint in fleet.joints():
        used["joint kind"].add(joint.record.kind)
        used["duty"].add(joint.record.duty)
        used["consequence"].add(joint.record.consequence)
        used["version"].update(joint.record.versions)
    fields = {
        "mark": "mark", "finish": "finish", "material": "material", "nut": "nut", "washer": "washer",
        "layer": "material", "drive": "drive", "captive": "captive",
    }  # fmt: skip
    for member in _members(fleet):
        for field, sort in fields.items():
            value = getattr(member, field, None)
            if isinstance(value, str):
                used[sort].add(value)
        if isinstance(member, Tapped | Insert) and member.tapped is not None:
            used["material"].add(member.tapped)
        for cls, field, sort in (
            (Bolt, "bolt", "bolt head"),
            (Screw, "screw", "screw head"),
            (Pin, "pin", "pin"),
            (Insert, "insert", "insert"),
        ):
            if isinstance(member, cls):
                used[sort].add(getattr(member, field))
    for text in _threads(fleet):
        used["family"].add(reference.threads.find(text.removesuffix(" LH")).family)
    return used


def _known(reference: Reference) -> dict[str, Collection[str]]:
    return {
        "family": {thread.family for thread in reference.threads},
        "nut": [kind.id for kind in reference.nuts],
        "washer": [kind.id for kind in reference.washers],
        "finish": [kind.id for kind in reference.finishes],
        "material": [kind.id for kind in reference.materials],
        "mark": [mark.id for mark in reference.marks],
        "joint kind": list(reference.joint_kinds),
        "duty": get_args(Duty),
        "consequence": get_args(Consequence),
        "version": get_args(VersionName),
        "bolt head": get_args(BoltHead),
        "screw head": get_args(ScrewHead),
        "drive": get_args(Drive),
        "pin": get_args(PinKind),
        "captive": get_args(CaptiveKind),
        "insert": get_args(InsertKind),
    }


def test_everything_known_is_met_in_a_vehicle(fleet: Fleet, reference: Reference) -> None:
    """Each family, nut, washer, mark, finish, material, duty, kind of joint and head stands in some joint."""
    used = _used(fleet, reference)
    missing = {
        sort: sorted(set(known) - used[sort] - set(NOT_USED.get(sort, {}))) for sort, known in _known(reference).items()
    }
    assert {sort: names for sort, names in missing.items() if names} == {}


def test_no_exception_outlives_its_reason(fleet: Fleet, reference: Reference) -> None:
    """What is met now needs no exception any more, and what is unknown never did."""
    used, known = _used(fleet, reference), _known(reference)
    for sort, names in NOT_USED.items():
        assert set(names) & used[sort] == set()
        assert set(names) - set(known[sort]) == set()


def test_the_vehicles_are_large_enough_to_browse(fleet: Fleet) -> None:
    """One full machine and two smaller ones, all of them invented and saying so."""
    assert set(fleet.vehicles) == set(SIZES)
    for slug, (assemblies, joints) in SIZES.items():
        vehicle = fleet.vehicles[slug]
        assert vehicle.is_invented
        assert len(vehicle.assemblies) >= assemblies
        assert sum(1 for _ in vehicle.joints()) >= joints
        assert len(vehicle.record.history) >= 6


def test_each_vehicle_tells_what_changed(fleet: Fleet) -> None:
    """At least a dozen joints a vehicle differ by serial number or between as made, as found and as to be fitted."""
    for vehicle in fleet.vehicles.values():
        changed = [joint for joint in vehicle.joints() if joint.record.versions]
        assert len(changed) >= 12, vehicle.slug
        kinds = Counter(name for joint in changed for name in joint.record.versions)
        assert set(kinds) == set(get_args(VersionName)), vehicle.slug
        by_number = [
            version
            for joint in changed
            for version in joint.record.versions.values()
            if any(
                text is not None and not str(text).startswith(("19", "20")) for text in (version.since, version.until)
            )
            or (version.until is not None and int(version.until) > 2030)
        ]
        assert len(by_number) >= 3, vehicle.slug


def test_families_of_a_vehicle_are_those_of_its_joints(fleet: Fleet, reference: Reference) -> None:
    """The front of a vehicle names the threads that are in it, none less and none more."""
    for vehicle in fleet.vehicles.values():
        one = Fleet(vehicles={vehicle.slug: vehicle})
        met = {reference.threads.find(text.removesuffix(" LH")).family for text in _threads(one)}
        assert set(vehicle.record.families) == met, vehicle.slug


def test_no_two_joints_of_a_vehicle_are_one(fleet: Fleet) -> None:
    """Same thread, length, stack and conditions: that is one joint with more places."""
    for vehicle in fleet.vehicles.values():
        seen: dict[Any, str] = {}
        for joint in vehicle.joints():
            key = (_plain(joint.record.stack), frozenset(joint.record.conditions))
            assert key not in seen, f"{joint.id} is {seen[key]} again"
            seen[key] = joint.id


def _plain(stack: tuple[Any, ...]) -> tuple[Any, ...]:
    """A stack without words: what parts are called makes no other joint of it."""
    words = ("note", "part", "weak_on_purpose")
    return tuple(
        tuple((name, getattr(member, name)) for name in member.__dataclass_fields__ if name not in words)
        for member in stack
    )


def test_what_holds_once_is_new_on_every_card(fleet: Fleet) -> None:
    """A reader who sees 'new every time' on one card and not on the next takes it for chance."""
    for joint in fleet.joints():
        stack, renew = joint.record.stack, set(joint.record.renew)
        washers = {member.washer for member in stack if isinstance(member, Washer)}
        nuts = {member.nut for member in stack if isinstance(member, Nut)}
        pins = {member.pin for member in stack if isinstance(member, Pin)}
        wanted = {
            "spring washer": "helical-spring" in washers,
            "tab washer": "tab" in washers,
            "lock nut": bool(nuts & set(SELF_LOCKING)),
            "split pin": "split" in pins,
            "locking wire": "locking-wire" in pins,
            "washer": any(kind.startswith("toothed") for kind in washers),
        }
        for name, here in wanted.items():
            assert (name in renew) == here, f"{joint.id}: {name}"


def test_every_bolt_is_long_enough(figures_of: Mapping[str, JointFigures]) -> None:
    """Not by the warnings alone, which allow a little: by the length that the card itself asks for."""
    for joint_id, found in figures_of.items():
        if found.length_mm is None or found.length_needed_mm is None:
            continue
        assert found.length_mm >= found.length_needed_mm - 0.15, joint_id
        if found.length_longest_mm is not None:
            assert found.length_longest_mm >= found.length_needed_mm, f"{joint_id}: no length fits"


def test_a_spanner_is_named_wherever_one_turns(fleet: Fleet, figures_of: Mapping[str, JointFigures]) -> None:
    """Somebody on his back under the vehicle sends for it before he sees the head."""
    for joint in fleet.joints():
        stack = joint.record.stack
        wanted = set()
        for member in stack:
            hidden = getattr(member, "drive", None) in ("slot", "cross", "hand", "square", "none")
            knurled = "urled" in (getattr(member, "note", None) or "")
            if isinstance(member, Bolt) and not hidden and member.bolt in SPANNER_HEADS:
                wanted.add("head")
            if isinstance(member, Screw) and not hidden and member.screw in ("hexagon", "hexagon-flange"):
                wanted.add("head")
            if isinstance(member, Union):
                wanted.add("head")
            if isinstance(member, Nut) and member.nut in SPANNER_NUTS and not knurled:
                wanted.add("nut")
        has = {spanner.role for spanner in figures_of[joint.id].spanners}
        lacks = wanted - has
        assert bool(lacks) == (joint.id in NO_SPANNER), f"{joint.id} names no spanner for {sorted(lacks)}"


def test_the_oldest_vehicle_left_the_works_without_what_came_later(fleet: Fleet, reference: Reference) -> None:
    """No Unified thread before 1949, no nylon, no class mark, no cross recess."""
    for joint in fleet.vehicles["hamper-van"].joints():
        version = joint.record.versions.get("as made")
        for member in version.stack if version is not None and version.stack is not None else ():
            thread = getattr(member, "thread", None)
            family = reference.threads.find(thread.removesuffix(" LH")).family if thread else ""
            assert family not in ("UNC", "UNF", "UN", "UNS", "UNEF"), joint.id
            assert getattr(member, "nut", None) not in SELF_LOCKING, joint.id
            assert getattr(member, "drive", None) != "cross", joint.id
            assert (getattr(member, "mark", None) or "none-visible").startswith(("none", "stud")), joint.id


def test_layers_are_named_after_what_they_are(fleet: Fleet) -> None:
    """A layer without a name is a gasket, packing or sealant; a wall of steel says which wall."""
    soft = ("paper-gasket", "composite-gasket", "cork", "felt", "sealant")
    for joint in fleet.joints():
        for member in joint.record.stack:
            if isinstance(member, Layer) and member.part is None:
                assert member.layer in soft, f"{joint.id}: a layer of {member.layer} that is not named"


def test_one_lock_a_joint_and_none_that_cancels_another(fleet: Fleet) -> None:
    """No spring washer under a stiff nut, no thread lock on oil, and no torque without what is on the thread."""
    for joint in fleet.joints():
        stack, tighten = joint.record.stack, joint.record.tighten
        washers = {member.washer for member in stack if isinstance(member, Washer)}
        nuts = {member.nut for member in stack if isinstance(member, Nut)}
        assert not (nuts & set(SELF_LOCKING) and "helical-spring" in washers), joint.id
        stated = joint.record.stated
        if stated is not None and stated.torque is not None:
            lubricant = tighten.lubricant if tighten is not None else None
            assert lubricant is not None, f"{joint.id}: dry or oiled?"
        if tighten is not None and tighten.threadlock not in (None, "none"):
            assert tighten.lubricant in (None, "none"), joint.id
