"""A vehicle's search part: which threads its joints use, for the odds and for 'where it goes'."""

from __future__ import annotations

from typing import Any

from decoder.fleet import FleetVehicle
from decoder.quantities import QuantityError
from decoder.records import Joint, Member
from decoder.threads import Threads


def vehicle_part(vehicle: FleetVehicle, threads: Threads) -> dict[str, Any]:
    """The vehicle's joints with their threads, as `identify` and its JavaScript twin take them.

    A thread that the tables do not know is left out here; the checks of the record report it.
    """
    return {
        "vehicle": vehicle.slug,
        "title": vehicle.record.title,
        "joints": [
            {
                "id": joint.id,
                "title": joint.record.title,
                "assembly": joint.assembly,
                "threads": _designations(joint.record, threads),
                "count": _count(joint.record),
            }
            for joint in vehicle.joints()
        ],
    }


def _designations(joint: Joint, threads: Threads) -> list[str]:
    texts = [text for member in joint.stack for text in _written(member)]
    if not isinstance(joint.places, int):
        texts += [place.thread for place in joint.places.values() if place.thread]
    for version in joint.versions.values():
        texts += [text for member in version.stack or () for text in _written(member)]
    found: dict[str, None] = {}
    for text in texts:
        try:
            found[threads.find(text).designation] = None
        except QuantityError:
            continue
    return list(found)


def _written(member: Member) -> list[str]:
    ends = (getattr(member, "metal_end", None), getattr(member, "nut_end", None))
    texts = [getattr(member, "thread", None), *(end.thread for end in ends if end is not None)]
    return [text for text in texts if text]


def _count(joint: Joint) -> int:
    return joint.places if isinstance(joint.places, int) else sum(place.count for place in joint.places.values())
