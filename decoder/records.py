"""What a record may say: format version 1.

A record holds only what someone read or measured. Pitch, across flats by standard, strength and everything that
follows from them are computed, so they are no fields here; a value that a manual or a part states goes into `stated`
and is compared with the computation.

Each field's type says how its text is read (`Length` through the one length parser, a `Literal` from its choices) and
its `doc` metadata is written once and used three times: in the editor's completion, on the record-format page and in
error messages. The class of a stack member is chosen by the one key that names it (`bolt:`, `washer:`, …).
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Literal, NewType, TypeAlias, get_args

from decoder.fields import KEY_SHAPE, GradeName, RecordId, Span, Text, ThreadName, doc
from decoder.overviews import Overview, Point, SheetMeasure, parse_point, parse_sheet_measure
from decoder.quantities import (
    Length,
    Pitch,
    QuantityError,
    Torque,
    parse_angle,
    parse_count,
    parse_length,
    parse_pitch,
    parse_temperature,
    parse_torque,
)

FORMAT_VERSION = 1

#: Degrees Celsius.
Temperature = NewType("Temperature", float)
#: Degrees of turn.
Angle = NewType("Angle", float)
#: How many there are, at least one.
Count = NewType("Count", int)


Duty = Literal["clamp", "adjust", "pivot", "locate", "seal", "retain", "pinch"]
Consequence = Literal["ordinary", "brake", "steering", "suspension", "wheel", "fuel", "restraint", "lifting"]

#: Where a failure can hurt someone: the specified part only, and someone competent checks the work.
SAFETY_CRITICAL: tuple[Consequence, ...] = (
    "brake",
    "steering",
    "suspension",
    "wheel",
    "fuel",
    "restraint",
    "lifting",
)

ConditionName = Literal[
    "dry", "oil", "water", "coolant", "fuel", "brake fluid", "road salt", "weather", "heat", "vibration", "rotation",
    "electrical", "earth", "soft metal", "hidden", "often undone",
]  # fmt: skip

BoltHead = Literal[
    "hexagon", "hexagon-flange", "square", "round-square-neck", "tee", "eye", "wheel", "banjo", "plug", "bleed",
    "u-bolt", "twelve-point",
]  # fmt: skip
ScrewHead = Literal[
    "hexagon", "hexagon-flange", "cheese", "pan", "round", "countersunk", "raised-countersunk", "mushroom",
    "socket-cap", "socket-countersunk", "socket-button", "grub", "square", "thumb", "self-tapping", "wood",
]  # fmt: skip
Drive = Literal["hexagon", "slot", "cross", "hexagon-socket", "square", "hand", "none"]
PinKind = Literal["split", "clevis", "dowel", "roll", "taper", "spring-clip", "locking-wire"]
UnionPart = Literal["male", "female", "banjo"]
FlareKind = Literal["single", "double", "bubble", "olive", "cone", "soft-washer", "none"]
StudKind = Literal["plain", "waisted", "wheel", "shouldered"]
CaptiveKind = Literal["plate", "cage", "weld", "rivet", "clip", "threaded-bush"]
InsertKind = Literal["wire-thread", "solid-bush"]
RenewName = Literal[
    "gasket", "seal", "split pin", "locking wire", "tab washer", "spring washer", "crush washer", "lock nut", "bolt",
    "nut", "stud", "washer", "hose", "clip", "bush", "circlip",
]  # fmt: skip
Hand = Literal["right", "left"]
TightenOrder = Literal["any", "cross", "from the centre out", "in turn, in steps", "as numbered", "end to end"]
VersionName = Literal["as made", "as found", "as to be fitted"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """What the joint lives in. Written as one text: the name, and for heat its temperature: `heat 120 °C`."""

    name: ConditionName
    temperature: Temperature | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadedEnd:
    """One end of a stud."""

    thread: ThreadName = field(metadata=doc("thread of this end, with its pitch", example="3/8-16 UNC"))
    length: Length | None = field(default=None, metadata=doc("length of thread on this end", example="5/8 in"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolt:
    """A bolt; its length is measured under the head."""

    bolt: BoltHead = field(metadata=doc("shape of the head", example="hexagon"))
    thread: ThreadName = field(metadata=doc("thread, with its pitch", example="5/16-24 UNF"))
    length: Length = field(metadata=doc("under the head to the tip", example="1-1/4 in"))
    mark: RecordId | None = field(
        default=None, metadata=doc("id of the mark seen on the head", refers="mark", example="radial-lines-3")
    )
    strength: GradeName | None = field(
        default=None, metadata=doc("grade asked for, as a parts list gives it", example="SAE 5")
    )
    material: RecordId | None = field(default=None, metadata=doc("material if not steel", refers="material"))
    finish: RecordId | None = field(default=None, metadata=doc("finish", refers="finish", example="zinc"))
    drive: Drive | None = field(default=None, metadata=doc("what turns it, if not its head shape"))
    across_flats: Length | None = field(default=None, metadata=doc("measured across the flats, where of no standard"))
    height: Length | None = field(default=None, metadata=doc("measured height of the head, where of no standard"))
    shank: Length | None = field(default=None, metadata=doc("plain length under the head, no thread"))
    shank_diameter: Length | None = field(
        default=None, metadata=doc("where the shank is not the thread's size: fitted, shouldered or waisted")
    )
    drilled: Literal["head", "shank"] | None = field(
        default=None, metadata=doc("drilled for locking wire (head) or a split pin (shank)")
    )
    weak_on_purpose: Text | None = field(
        default=None, metadata=doc("why this part is meant to give way first; nothing stronger goes in")
    )
    called: Text | None = field(default=None, metadata=doc("what a mechanic calls it, where the shape alone misleads"))
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Screw:
    """A screw. Length under the head; over all for countersunk, to the rim for raised countersunk, whole for grub."""

    screw: ScrewHead = field(metadata=doc("shape of the head", example="pan"))
    thread: ThreadName = field(metadata=doc("thread, with its pitch", example="2 BA"))
    length: Length = field(metadata=doc("as the trade measures this head", example="1/2 in"))
    mark: RecordId | None = field(default=None, metadata=doc("id of the mark seen on the head", refers="mark"))
    strength: GradeName | None = field(default=None, metadata=doc("grade asked for", example="4.8"))
    material: RecordId | None = field(default=None, metadata=doc("material if not steel", refers="material"))
    finish: RecordId | None = field(default=None, metadata=doc("finish", refers="finish"))
    drive: Drive | None = field(default=None, metadata=doc("what turns it", example="slot"))
    across_flats: Length | None = field(default=None, metadata=doc("measured across the flats, where of no standard"))
    height: Length | None = field(default=None, metadata=doc("measured height of the head, where of no standard"))
    weak_on_purpose: Text | None = field(default=None, metadata=doc("why this part is meant to give way first"))
    called: Text | None = field(default=None, metadata=doc("what a mechanic calls it, where the shape alone misleads"))
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stud:
    """A stud; its length leaves out the metal end, the end that goes into the casting."""

    stud: StudKind = field(metadata=doc("kind of stud", example="plain"))
    metal_end: ThreadedEnd = field(metadata=doc("the end that goes in and stays"))
    nut_end: ThreadedEnd = field(metadata=doc("the end that takes the nut"))
    length: Length = field(metadata=doc("free length, without the metal end", example="1-3/8 in"))
    mark: RecordId | None = field(default=None, metadata=doc("id of the mark seen on the end", refers="mark"))
    strength: GradeName | None = field(default=None, metadata=doc("grade asked for"))
    material: RecordId | None = field(default=None, metadata=doc("material if not steel", refers="material"))
    finish: RecordId | None = field(default=None, metadata=doc("finish", refers="finish"))
    drilled: Literal["shank"] | None = field(default=None, metadata=doc("drilled for a split pin"))
    weak_on_purpose: Text | None = field(default=None, metadata=doc("why this part is meant to give way first"))
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """A pin: split, clevis, dowel and the like."""

    pin: PinKind = field(metadata=doc("kind of pin", example="split"))
    diameter: Length = field(metadata=doc("diameter; for a split pin its nominal size", example="3/32 in"))
    length: Length | None = field(default=None, metadata=doc("length under the head or eye", example="1 in"))
    material: RecordId | None = field(default=None, metadata=doc("material if not steel", refers="material"))
    finish: RecordId | None = field(default=None, metadata=doc("finish", refers="finish"))
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Washer:
    """A washer; its size is the joint's thread unless said otherwise."""

    washer: RecordId = field(metadata=doc("kind of washer", refers="washer", example="plain"))
    size: ThreadName | None = field(default=None, metadata=doc("thread size it is for, if not the joint's"))
    thickness: Length | None = field(default=None, metadata=doc("measured thickness"))
    outside: Length | None = field(default=None, metadata=doc("outside diameter"))
    material: RecordId | None = field(default=None, metadata=doc("material if not steel", refers="material"))
    finish: RecordId | None = field(default=None, metadata=doc("finish", refers="finish"))
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """Something that is clamped, with its thickness."""

    layer: RecordId = field(metadata=doc("material", refers="material", example="aluminium"))
    thickness: Length = field(metadata=doc("thickness at the hole", example="9 mm"))
    part: Text | None = field(default=None, metadata=doc("what it is", example="cover"))
    hole: Length | None = field(default=None, metadata=doc("diameter of the hole, if not an ordinary clearance hole"))
    gap: Length | None = field(
        default=None,
        metadata=doc("left open below it when all is tight, as between the ears of a clamp", example="2 mm"),
    )
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Nut:
    """A nut; its thread is the joint's unless said otherwise."""

    nut: RecordId = field(metadata=doc("kind of nut", refers="nut", example="castellated"))
    thread: ThreadName | None = field(default=None, metadata=doc("thread, if not the bolt's"))
    mark: RecordId | None = field(default=None, metadata=doc("id of the mark seen on it", refers="mark"))
    strength: GradeName | None = field(default=None, metadata=doc("grade asked for", example="SAE nut 5"))
    material: RecordId | None = field(default=None, metadata=doc("material if not steel", refers="material"))
    finish: RecordId | None = field(default=None, metadata=doc("finish", refers="finish"))
    across_flats: Length | None = field(default=None, metadata=doc("measured across the flats, where of no standard"))
    height: Length | None = field(default=None, metadata=doc("measured height of the nut, where of no standard"))
    depth: Length | None = field(
        default=None, metadata=doc("depth of thread in a closed nut, measured", example="10 mm")
    )
    weak_on_purpose: Text | None = field(default=None, metadata=doc("why this part is meant to give way first"))
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tapped:
    """A threaded hole in the last part of the stack."""

    tapped: RecordId = field(metadata=doc("material of the tapped part", refers="material", example="cast iron"))
    depth: Length = field(metadata=doc("depth of full thread", example="20 mm"))
    part: Text | None = field(default=None, metadata=doc("what it is", example="block"))
    hole: Literal["blind", "through"] | None = field(default=None, metadata=doc("blind or right through"))
    into: Literal["water", "oil", "fuel", "air"] | None = field(
        default=None, metadata=doc("what stands behind a through hole: the thread then wants sealing")
    )
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Captive:
    """A nut that stays with the panel."""

    captive: CaptiveKind = field(metadata=doc("how it is held", example="cage"))
    thread: ThreadName | None = field(default=None, metadata=doc("thread, if not the bolt's"))
    height: Length | None = field(default=None, metadata=doc("threaded height"))
    finish: RecordId | None = field(default=None, metadata=doc("finish", refers="finish"))
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Insert:
    """A thread insert in a repaired or soft hole."""

    insert: InsertKind = field(metadata=doc("kind of insert", example="wire-thread"))
    length: Length = field(metadata=doc("length of thread it gives", example="15 mm"))
    tapped: RecordId | None = field(default=None, metadata=doc("material around it", refers="material"))
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Union:
    """A pipe union: the thread closes it, the flare or cone seals it."""

    union: UnionPart = field(metadata=doc("which part", example="male"))
    thread: ThreadName = field(metadata=doc("thread, with its pitch", example="3/8-24 UNF"))
    pipe: Length | None = field(default=None, metadata=doc("outside diameter of the pipe", example="3/16 in"))
    flare: FlareKind = field(metadata=doc("what makes the seal", example="double"))
    material: RecordId | None = field(default=None, metadata=doc("material if not steel", refers="material"))
    finish: RecordId | None = field(default=None, metadata=doc("finish", refers="finish"))
    called: Text | None = field(default=None, metadata=doc("what a mechanic calls it, where the shape alone misleads"))
    note: Text | None = field(default=None, metadata=doc("what a mate should know about this part"))


Member: TypeAlias = Bolt | Screw | Stud | Pin | Washer | Layer | Nut | Tapped | Captive | Insert | Union


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One named place of a joint whose places differ; what it leaves out is as in the stack."""

    count: Count = field(default=Count(1), metadata=doc("how many there are", example="4"))
    length: Length | None = field(default=None, metadata=doc("length of the bolt here", example="1-3/4 in"))
    into: Literal["water", "oil", "fuel", "air"] | None = field(
        default=None, metadata=doc("what the hole breaks into here")
    )
    thread: ThreadName | None = field(default=None, metadata=doc("thread here, if another"))
    thickness: Mapping[str, Length] = field(
        default_factory=dict,
        metadata=doc("layers that are thicker or thinner here, each by its part or else its material",
                     example="{cover: 14 mm}"),
    )  # fmt: skip
    depth: Length | None = field(default=None, metadata=doc("depth of full thread here, if another", example="30 mm"))
    note: Text | None = field(default=None, metadata=doc("what differs here"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tighten:
    """How the joint is tightened."""

    order: TightenOrder | None = field(default=None, metadata=doc("order of tightening", example="cross"))
    ring: Count | None = field(
        default=None, metadata=doc("how many lie on one flange or wheel, where the places are several", example="5")
    )
    when: Text | None = field(default=None, metadata=doc("state of the vehicle", example="engine cold"))
    lubricant: Text | None = field(default=None, metadata=doc("on the thread", example="none"))
    sealant: Text | None = field(default=None, metadata=doc("on the thread or joint face"))
    threadlock: Text | None = field(default=None, metadata=doc("thread-locking compound"))
    procedure: Text | None = field(
        default=None, metadata=doc("what is done where no torque governs: adjusting, pinning, bleeding")
    )
    again: Text | None = field(default=None, metadata=doc("when to go over it again", example="after first run"))
    direction: Hand | None = field(default=None, metadata=doc("hand, where it is stamped or was seen"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """Values that a manual, a drawing or the part itself states; each is compared with computation and tables."""

    across_flats: Length | None = field(default=None, metadata=doc("across the head's flats", example="1/2 in"))
    nut_across_flats: Length | None = field(default=None, metadata=doc("across the nut's flats"))
    spanner: Text | None = field(default=None, metadata=doc("spanner for the head", example="1/2 AF"))
    nut_spanner: Text | None = field(default=None, metadata=doc("spanner for the nut"))
    pitch: Pitch | None = field(default=None, metadata=doc("pitch of the thread", example="24 tpi"))
    strength: GradeName | None = field(default=None, metadata=doc("grade", example="SAE 5"))
    head_height: Length | None = field(default=None, metadata=doc("height of the head"))
    torque: Torque | None = field(default=None, metadata=doc("tightening torque", example="12 lbf·ft"))
    angle: Angle | None = field(default=None, metadata=doc("further turn after the torque", example="90°"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """What differs at another time in the vehicle's life; what it leaves out is as in the joint."""

    since: Span | None = field(default=None, metadata=doc("first serial number or year"))
    until: Span | None = field(default=None, metadata=doc("last serial number or year"))
    stack: tuple[Member, ...] | None = field(default=None, metadata=doc("the stack then, whole"))
    note: Text | None = field(default=None, metadata=doc("what differs and how it is known"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """One joint: where hardware holds parts together, at one or more like places."""

    title: Text = field(metadata=doc("what is joined to what", example="Cover to block"))
    kind: RecordId = field(metadata=doc("kind of joint", refers="joint kind", example="timing-cover"))
    duty: Duty = field(metadata=doc("what the fastener does; decides what may be computed", example="seal"))
    consequence: Consequence = field(metadata=doc("what a failure hits", example="ordinary"))
    conditions: tuple[Condition, ...] = field(default=(), metadata=doc("what the joint lives in", example="oil"))
    places: Count | Mapping[str, Place] = field(
        metadata=doc("how many, or named places where they differ", example="4", keyed=True)
    )
    stack: tuple[Member, ...] = field(
        metadata=doc("every part at one place, from the head (nut end of a stud) to the tip")
    )
    direction: Text | None = field(default=None, metadata=doc("where it goes in from", example="from the front"))
    tighten: Tighten | None = field(default=None, metadata=doc("how it is tightened"))
    renew: tuple[RenewName, ...] = field(default=(), metadata=doc("what goes in new every time", example="gasket"))
    stated: Stated | None = field(default=None, metadata=doc("values that someone states"))
    accepted: Mapping[str, Text] = field(
        default_factory=dict, metadata=doc("rule code: why its finding is right to live with", refers="rule")
    )
    versions: Mapping[VersionName, Version] = field(
        default_factory=dict, metadata=doc("as made, as found, as to be fitted")
    )
    cautions: tuple[Text, ...] = field(default=(), metadata=doc("what can hurt someone here, beyond the joint kind's"))
    note: Text | None = field(default=None, metadata=doc("anything a mate should know"))
    source: Text = field(metadata=doc("where it was read, who measured it, or 'invented'", example="invented"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """One file: an assembly of a vehicle, its joints keyed by names that never change and sorted by key."""

    title: Text = field(metadata=doc("what the assembly is called", example="Timing cover"))
    summary: Text | None = field(default=None, metadata=doc("one or two sentences: what it is, why its threads mix"))
    cautions: tuple[Text, ...] = field(default=(), metadata=doc("what can hurt someone while working here"))
    overview: Overview | None = field(default=None, metadata=doc("what it looks like, with a dot for each joint"))
    joints: Mapping[str, Joint] = field(metadata=doc("the joints", each_alone=True, keyed=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle:
    """`vehicle.yml`: the machine that the assemblies beside it belong to."""

    title: Text = field(metadata=doc("what the vehicle is called", example="Light utility"))
    invented: Literal["yes", "no"] = field(metadata=doc("'yes' marks every page of it as invented", example="yes"))
    summary: Text = field(metadata=doc("what it is, in one or two sentences"))
    era: Span | None = field(default=None, metadata=doc("when it was made", example="1960s"))
    history: tuple[Text, ...] = field(default=(), metadata=doc("why its threads mix: repairs, bought-in parts"))
    families: tuple[Text, ...] = field(
        default=(), metadata=doc("thread families to expect, most usual first", example="UNF")
    )
    map: Overview | None = field(default=None, metadata=doc("what it looks like, with a dot for each assembly"))
    assemblies: tuple[Text, ...] = field(metadata=doc("file names of the assemblies without ending, in reading order"))
    source: Text = field(metadata=doc("where the records come from", example="invented"))


@dataclass(frozen=True, slots=True, kw_only=True)
class JointKind:
    """What is usual in a kind of joint, on any vehicle."""

    id: str = field(metadata=doc("the file's name", from_file_name=True))
    title: Text = field(metadata=doc("what the trade calls it", example="Cover on a soft gasket"))
    duty: Duty = field(metadata=doc("what the fastener does here"))
    summary: Text = field(metadata=doc("what it is and how to know one"))
    usual: tuple[Text, ...] = field(metadata=doc("usual hardware by era and origin"))
    never: tuple[Text, ...] = field(metadata=doc("what never goes in"))
    renew: tuple[RenewName, ...] = field(default=(), metadata=doc("what must be new"))
    tightening: Text = field(metadata=doc("how it is tightened"))
    fails: Text = field(metadata=doc("how it fails"))
    cautions: tuple[Text, ...] = field(default=(), metadata=doc("what can hurt someone"))
    checked_by: Text = field(metadata=doc("who should check it"))
    source: Text = field(metadata=doc("a source id, 'common practice' or 'from memory'"))


def parse_condition(text: str) -> Condition:
    """Read one condition: its name, and for heat the temperature if it is known (`heat 120 °C`).

    Raises
    ------
    QuantityError
        For anything else, in one sentence.
    """
    names: tuple[ConditionName, ...] = get_args(ConditionName)
    for name in names:
        if text == name:
            return Condition(name=name)
    word, _, temperature = text.partition(" ")
    if word == "heat":
        return Condition(name="heat", temperature=Temperature(parse_temperature(temperature)))
    close = difflib.get_close_matches(text, names, n=1, cutoff=0.7)
    choices = f"did you mean '{close[0]}'" if close else f"write one of {', '.join(names)}"
    raise QuantityError(f"{choices}; heat alone takes a temperature, such as heat 120 °C.")


def parse_record_id(text: str) -> str:
    """The id that a reference means: the file is `cast-iron`, people also write `cast iron` or `Cast iron`."""
    meant = text.lower().replace(" ", "-")
    return meant if KEY_SHAPE.fullmatch(meant) else text


#: How the text of each type is read. Each reader raises ValueError with one sentence that says how to write it.
READERS: Mapping[Any, Callable[[str], Any]] = MappingProxyType(
    {
        # The same few sizes, pitches and thicknesses come back in every joint.
        Length: lru_cache(4096)(parse_length),
        Pitch: lru_cache(1024)(parse_pitch),
        Torque: lru_cache(1024)(parse_torque),
        Temperature: parse_temperature,
        Angle: parse_angle,
        Count: lru_cache(1024)(parse_count),
        Condition: lru_cache(1024)(parse_condition),
        RecordId: lru_cache(4096)(parse_record_id),
        Point: lru_cache(4096)(parse_point),
        SheetMeasure: lru_cache(1024)(parse_sheet_measure),
    }
)
