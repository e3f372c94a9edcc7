"""A joint in one sentence, as a mate would say it across the bench."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from decoder.joint_threads import find_thread, legs, member_threads, place_count
from decoder.places import named_places
from decoder.records import (
    Bolt,
    Captive,
    Consequence,
    Insert,
    Joint,
    Layer,
    Member,
    Nut,
    Pin,
    Screw,
    Stud,
    Tapped,
    Union,
    Washer,
)  # fmt: skip
from decoder.reference import Reference
from decoder.threads import Threads

_BOLTS = {
    "hexagon": "hexagon bolt", "hexagon-flange": "flange-head bolt", "square": "square-head bolt",
    "round-square-neck": "coach bolt", "tee": "T-bolt", "eye": "eye bolt", "wheel": "wheel bolt",
    "banjo": "banjo bolt", "plug": "plug", "bleed": "bleed screw", "u-bolt": "U-bolt",
    "twelve-point": "twelve-point bolt",
}  # fmt: skip
_SCREWS = {
    "hexagon": "hexagon screw", "hexagon-flange": "flange-head screw", "square": "square-head screw",
    "grub": "grub screw", "thumb": "thumb screw", "self-tapping": "self-tapping screw", "wood": "wood screw",
    "socket-cap": "socket cap screw", "socket-countersunk": "socket countersunk screw",
    "socket-button": "socket button screw", "raised-countersunk": "raised countersunk screw",
}  # fmt: skip
_PINS = {"split": "split pin", "roll": "roll pin", "taper": "taper pin", "locking-wire": "locking wire",
         "clevis": "clevis pin", "dowel": "dowel", "spring-clip": "spring clip"}  # fmt: skip
_CAPTIVES = {"plate": "a plate nut", "cage": "a cage nut", "weld": "a weld nut", "rivet": "a rivet nut",
             "clip": "a clip nut", "threaded-bush": "a threaded bush"}  # fmt: skip
#: What a failure hits, in a sentence.
HITS: Mapping[Consequence, str] = {
    "ordinary": "nobody",
    "brake": "the brakes",
    "steering": "the steering",
    "suspension": "the suspension",
    "wheel": "a wheel",
    "fuel": "what holds fuel",
    "restraint": "what holds people or loads",
    "lifting": "what hangs on it",
}
_STUDS = {"plain": "stud", "waisted": "waisted stud", "wheel": "wheel stud", "shouldered": "shouldered stud"}


def sentence(joint: Joint, reference: Reference) -> str:
    """The joint's hardware in order, from the head to what it goes into.

    '4 off 5/16-24 UNF x 1-1/4 in hexagon bolts, plain washer under each head, 9 mm aluminium cover on a paper gasket,
    into the block'.
    """
    count = place_count(joint)
    lead = next((each for each in joint.stack if isinstance(each, Bolt | Screw | Stud | Union)), None)
    nut = next((each for each in joint.stack if isinstance(each, Nut) and each.thread), None)
    parts: list[str] = []
    if lead is not None:
        parts += [
            _fastener(each, count, joint) for each in joint.stack if isinstance(each, Bolt | Screw | Stud | Union)
        ]
    elif nut is not None:
        parts.append(f"{count} off {nut.thread} {_nut(nut, reference, count)}")
    else:
        parts += [_fastener(each, count, joint) for each in joint.stack if isinstance(each, Pin)][:1]
    parts += _washers(joint.stack, reference, many=count > 1)
    layers = [_layer(member, reference) for member in joint.stack if isinstance(member, Layer)]
    if layers:
        parts.append(" on ".join(layers))
    ends = tuple(each for each in joint.stack if lead is not None or each is not nut)
    parts += _ends(ends, reference, count, legs(joint.stack))
    if lead is not None or nut is not None:
        parts += [_pin(member, count) for member in joint.stack if isinstance(member, Pin)]
    else:
        parts += [_pin(member, count) for member in joint.stack if isinstance(member, Pin)][1:]
    return ", ".join(dict.fromkeys(parts))


def part_name(member: Bolt | Screw | Stud | Pin) -> str:
    """What the trade calls a fastener: 'coach bolt', 'plug', 'cheese-head screw', 'locking wire'."""
    match member:
        case Bolt():
            return member.called or _BOLTS[member.bolt]
        case Screw():
            return member.called or _SCREWS.get(member.screw, f"{member.screw}-head screw")
        case Stud():
            return _STUDS[member.stud]
        case Pin():
            return _PINS[member.pin]


def _fastener(member: Bolt | Screw | Stud | Union | Pin, count: int, joint: Joint) -> str:
    ring = joint.tighten.ring if joint.tighten else None
    off = f"{count} off ({ring} on each of {count // ring}) " if ring and ring < count else f"{count} off "
    many = count > 1
    strength = f", {member.strength}" if isinstance(member, Bolt | Screw | Stud) and member.strength else ""
    if isinstance(member, Stud):
        ends = dict.fromkeys((member.metal_end.thread, member.nut_end.thread))
        size = f"{' / '.join(ends)} x {_lengths(member.length.written, joint)}"
        return f"{off}{size} {_plural(_STUDS[member.stud], many)}{strength}"
    if isinstance(member, Union):
        return f"{off}{member.thread} {_plural(member.called or f'{member.union} union', many)}"
    if isinstance(member, Pin):
        return f"{off}{_pin(member, count)}"
    name = _plural(part_name(member), many)
    return f"{off}{member.thread} x {_lengths(member.length.written, joint)} {name}{strength}"


def _lengths(written: str, joint: Joint) -> str:
    """The length, and those of places that have another."""
    if isinstance(joint.places, int):
        return written
    counts: dict[str, int] = {}
    for place in joint.places.values():
        length = place.length.written if place.length else written
        counts[length] = counts.get(length, 0) + place.count
    if len(counts) == 1:
        return next(iter(counts))
    return " and ".join(f"{length} ({count})" for length, count in counts.items())


def _washers(stack: Sequence[Member], reference: Reference, *, many: bool) -> Iterator[str]:
    """Washers by where they lie: under the head, between the layers, under the nut."""
    layers = [number for number, member in enumerate(stack) if isinstance(member, Layer)]
    ends = [number for number, member in enumerate(stack) if isinstance(member, Tapped | Insert | Captive | Nut)]
    first = layers[0] if layers else ends[0] if ends else len(stack)
    last = layers[-1] if layers else first
    headless = any(isinstance(member, Stud) for member in stack) or not any(
        isinstance(member, Bolt | Screw | Union) for member in stack
    )
    head = "nut" if headless else "head"
    pinned = headless and not any(isinstance(member, Nut | Stud) for member in stack)
    unions = any(isinstance(member, Union) for member in stack)
    each = "each" if many else "the"
    places: dict[str, list[str]] = {}
    for number, member in enumerate(stack):
        if isinstance(member, Washer):
            where = f"under {each} {head}" if number < first else "between" if number < last else f"under {each} nut"
            if where.endswith("nut") and head == "head" and not any(isinstance(one, Nut) for one in stack):
                where = "below"
            if pinned and where.startswith("under"):
                where = f"under {each} split pin"
            if headless and layers and number > last:
                where = "below"
            if unions:
                where = "between"
            places.setdefault(where, []).append(_washer(member, reference))
    for where, names in places.items():
        named = [f"two {_plural(name, True)}" if names.count(name) == 2 else name for name in dict.fromkeys(names)]
        yield f"{' and '.join(named)} {where}"


def _washer(washer: Washer, reference: Reference) -> str:
    kind = reference.washers.get(washer.washer)
    return kind.title.lower() if kind else washer.washer


def _layer(layer: Layer, reference: Reference) -> str:
    material = reference.materials.get(layer.layer)
    name = layer.layer.replace("-", " ")
    if material is not None and material.soft_layer == "yes" and not layer.part:
        return f"{'an' if name[0] in 'aeiou' else 'a'} {name}"
    return f"{layer.thickness.written} {name}{' ' + layer.part if layer.part else ''}"


def _ends(stack: Sequence[Member], reference: Reference, count: int, legs: int) -> Iterator[str]:
    for member in stack:
        if isinstance(member, Nut):
            # 'Two on each' would be read as one on top of the other.
            yield f"{_nut(member, reference, 2)}, one on each leg" if legs == 2 else _nut(member, reference, count)
        elif isinstance(member, Captive):
            yield f"into {_CAPTIVES[member.captive]}"
        elif isinstance(member, Tapped):
            yield f"into {member.part if member.part else member.tapped.replace('-', ' ')}"
        elif isinstance(member, Insert):
            yield f"into a {member.insert.replace('-', ' ')} insert"


def _nut(nut: Nut, reference: Reference, count: int) -> str:
    kind = reference.nuts.get(nut.nut)
    name = kind.title if kind else nut.nut
    return f"{_plural(name[0].lower() + name[1:], count > 1)}{', ' + nut.strength if nut.strength else ''}"


def _pin(pin: Pin, count: int) -> str:
    length = f" x {pin.length.written}" if pin.length else ""
    return f"{pin.diameter.written}{length} {_plural(_PINS[pin.pin], count > 1)}"


def _plural(name: str, many: bool) -> str:
    """'hexagon bolts'; a name with something after a comma gets its s before it."""
    if not many or name.endswith("wire"):
        return name
    head, comma, tail = name.partition(",")
    return f"{head}s{comma}{tail}"


def left_hand_words(record: Joint, threads: Threads) -> str:
    """Where a joint's thread is left-hand, by the thread or as it was seen; '' where none is."""
    written = [text for member in record.stack for text in member_threads(member)]
    if _has_left_hand(written, threads) or (record.tighten is not None and record.tighten.direction == "left"):
        return "Left-hand thread"
    names = [name for name, place in named_places(record) if place.thread and _has_left_hand([place.thread], threads)]
    return f"Left-hand thread: {', '.join(names)}" if names else ""


def _has_left_hand(written: Iterable[str], threads: Threads) -> bool:
    return any(thread.left_hand for text in written if (thread := find_thread(text, threads)) is not None)
