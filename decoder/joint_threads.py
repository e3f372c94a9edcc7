"""Which threads a joint uses, and how many places it has."""

from __future__ import annotations

from decoder.quantities import QuantityError
from decoder.records import Bolt, Captive, Joint, Member, Nut, Screw, Stud, Union, Washer
from decoder.threads import Thread, Threads


def find_thread(text: str, threads: Threads) -> Thread | None:
    """The thread that a record names, or None where no table knows it; the record's checks report that."""
    try:
        return threads.find(text)
    except QuantityError:
        return None


def joint_threads(joint: Joint, threads: Threads) -> tuple[Thread, ...]:
    """Every thread of a joint, each once, in order of the stack, then the places, then other times."""
    texts = [text for member in joint.stack for text in member_threads(member)]
    if not isinstance(joint.places, int):
        texts += [place.thread for place in joint.places.values() if place.thread]
    for version in joint.versions.values():
        texts += [text for member in version.stack or () for text in member_threads(member)]
    found = (find_thread(text, threads) for text in texts)
    return tuple({thread.designation: thread for thread in found if thread is not None}.values())


def member_threads(member: Member) -> tuple[str, ...]:
    """The threads that one member itself names."""
    if isinstance(member, Stud):
        return (member.metal_end.thread, member.nut_end.thread)
    if isinstance(member, (Bolt, Screw, Union)):
        return (member.thread,)
    if isinstance(member, (Nut, Captive)) and member.thread is not None:
        return (member.thread,)
    return ()


def main_thread(stack: tuple[Member, ...], threads: Threads) -> Thread | None:
    """The thread that nuts and washers of a stack take: the bolt's, the screw's, or the nut end of the stud."""
    for member in stack:
        if isinstance(member, (Bolt, Screw, Union)):
            return find_thread(member.thread, threads)
        if isinstance(member, Stud):
            return find_thread(member.nut_end.thread, threads)
    return None


def legs(stack: tuple[Member, ...]) -> int:
    """How many nuts of each kind, and washers under them, one fastener takes: a U-bolt has two legs."""
    return 2 if any(isinstance(member, Bolt) and member.bolt == "u-bolt" for member in stack) else 1


def per_place(member: Member, stack: tuple[Member, ...]) -> int:
    """How many of a member one place takes."""
    return legs(stack) if isinstance(member, Nut | Washer) else 1


def place_count(joint: Joint) -> int:
    """How many like places a joint has, named or not."""
    return joint.places if isinstance(joint.places, int) else sum(place.count for place in joint.places.values())
