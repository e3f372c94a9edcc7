"""A vehicle's search part: which threads its joints use, for the odds and for 'where it goes'."""

from __future__ import annotations

from typing import Any

from decoder.fleet import FleetVehicle
from decoder.joint_threads import joint_threads, place_count
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
                "threads": [thread.designation for thread in joint_threads(joint.record, threads)],
                "count": place_count(joint.record),
            }
            for joint in vehicle.joints()
        ],
    }
