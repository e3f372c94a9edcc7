"""The face of a joint: which length goes in which hole, and the order in which the bolts are tightened."""

from __future__ import annotations

from decoder.drawings.face import FacePlace, draw_face, draw_sequence
from decoder.joint_threads import legs, place_count
from decoder.places import differences
from decoder.records import Bolt, Joint, Screw, Stud
from decoder_site.views.measures import length


def face(record: Joint) -> str:
    """The face with the length of every named place, '' where places are alike or a length is not known."""
    usual = next((member.length for member in record.stack if isinstance(member, (Bolt, Screw, Stud))), None)
    if isinstance(record.places, int) or len(record.places) < 2 or usual is None:
        return ""
    if len({(place.length or usual, place.into, differences(place)) for place in record.places.values()}) < 2:
        return ""
    lengths = {name: place.length or usual for name, place in record.places.items()}
    words = {name: length(each.mm, each.system) for name, each in lengths.items()}
    return draw_face(
        [
            FacePlace(
                name=name,
                count=place.count,
                length=f"{words[name].figure} {words[name].unit}",
                into=place.into or "",
                differs=differences(place),
            )
            for name, place in record.places.items()
        ]
    )


def sequence(record: Joint) -> str:
    """The order of tightening of one flange or wheel, drawn; '' where there is none to draw."""
    if record.tighten is None:
        return ""
    return draw_sequence(record.tighten.order, (record.tighten.ring or place_count(record)) * legs(record.stack))


def rings(record: Joint) -> int:
    """On how many flanges or wheels alike the places lie."""
    ring = record.tighten.ring if record.tighten else None
    return place_count(record) // ring if ring else 1
