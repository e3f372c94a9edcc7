"""The identify page: the choices it offers, as the index knows them, and where its answers lead."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from decoder.drawings.choices import draw_choice
from decoder.drawings.heads import HEADS, draw_drive, draw_flanks, draw_hand, draw_head
from decoder.drawings.kinds import draw_kind
from decoder.identify import build_index
from decoder.kinds import HardwareKind
from decoder.mark_records import LOOK_WORDS, LOOKS
from decoder.marks import Mark
from decoder.quantities import format_length
from decoder.reference import Reference
from decoder_site.views.marks import look_drawing, mark_drawing

#: What the page loads, in this order; each sets one name on `window` or, like the last, none. What only words typed
#: into the one field need (identify-told.js) comes later.
SCRIPTS = (
    "assets/scripts/quantities.js",
    "assets/scripts/identify.js",
    "data/identify-index.js",
    "assets/scripts/elements.js",
    "assets/scripts/identify-reading.js",
    "assets/scripts/identify-state.js",
    "assets/scripts/identify-stud.js",
    "assets/scripts/identify-seen.js",
    "assets/scripts/identify-marks.js",
    "assets/scripts/identify-rows.js",
    "assets/scripts/identify-typed.js",
    "assets/scripts/identify-answer.js",
    "assets/scripts/keypad.js",
    "assets/scripts/identify-page.js",
)

_STUD = ("stud end", "stud shank")
_NUT = ("nut",)

#: Order in which people look for them: what a tub is full of comes first.
_COMMON_KINDS = ("bolt", "screw", "stud", "nut")

#: What a nut's top says it is to the identification; every other nut is just a nut.
_NUT_IS = {
    "castellated": "castellated nut",
    "slotted": "castellated nut",
    "slotted-collar": "castellated nut",
    "wheel-ball": "wheel nut",
    "wheel-flat": "wheel nut",
    "wheel-taper": "wheel nut",
    "centre-lock": "wheel nut",
}

#: Kinds of joint in which the part without a thread is the one that holds.
_PIN_JOINTS = ("pedal-clevis", "hinge-pin", "swivel-pin-cotter", "lifting-pin", "dowel")

#: How a length is measured on heads where it is not from under the head (trade usage, as in the records).
LENGTH_IS = {
    "countersunk": "over all, head included",
    "socket-countersunk": "over all, head included",
    "raised-countersunk": "from the rim of the head",
    "grub": "over all",
}


@dataclass(frozen=True, slots=True)
class Picture:
    """Something to choose by eye. `value` is what goes into the address, `about` a line or two for narrowing."""

    value: str
    title: str
    drawing: Markup
    about: str = ""


@dataclass(frozen=True, slots=True)
class MarkPicture:
    """A mark to choose by eye: first by how it looks, then by its picture."""

    id: str
    title: str
    words: str
    look: str
    group: str
    drawing: Markup


@dataclass(frozen=True, slots=True)
class Sort:
    """A kind of joint, and the threads its record or the table of uses names, `|` between them."""

    address: str
    title: str
    threads: str


@dataclass(frozen=True, slots=True)
class PinRow:
    """A split pin: its name, the hole it is made for, the most its legs measure."""

    name: str
    hole: str
    legs: str


@dataclass(frozen=True, slots=True)
class PinGroup:
    """The split pins of one standard; `document` is a source id or ''."""

    standard: str
    document: str
    where: str
    pins: tuple[PinRow, ...]


@dataclass(frozen=True, slots=True)
class IdentifyView:
    """What may be chosen on the page."""

    kinds: tuple[Picture, ...]
    instruments: tuple[str, ...]
    conditions: tuple[str, ...]
    materials: tuple[str, ...]
    finishes: tuple[str, ...]
    heads: tuple[Picture, ...]
    drives: tuple[Picture, ...]
    nuts: tuple[Picture, ...]
    flanks: tuple[Picture, ...]
    hands: tuple[Picture, ...]
    looks: tuple[Picture, ...]
    marks: tuple[MarkPicture, ...]
    sorts: tuple[Sort, ...]
    washers: tuple[Picture, ...]
    pin_joints: tuple[Sort, ...]
    spanner_names: str
    split_pins: tuple[PinGroup, ...]


def identify_view(reference: Reference) -> IdentifyView:
    """Every choice of the identify page, in the order of the index; 'unknown' is said by choosing nothing."""
    index = json.loads(build_index(reference))
    by_part = sorted(reference.marks, key=lambda mark: mark.on != "bolt head")
    looks = [look for look in LOOKS if look == "nothing" or any(mark.look == look for mark in by_part)]
    return IdentifyView(
        kinds=_kinds(index["kinds"]),
        instruments=_names(index["instruments"]),
        conditions=_names(index["conditions"]),
        materials=_names(index["materials"]),
        finishes=_names(index["finishes"]),
        heads=tuple(
            Picture(name, _title(name), Markup(draw_head(name)), LENGTH_IS.get(name, "from under the head"))
            for name in HEADS
        ),
        drives=tuple(Picture(name, name.capitalize(), Markup(draw_drive(name))) for name in _names(index["drives"])),
        nuts=tuple(_hardware(kind, _NUT_IS.get(kind.id, "nut")) for kind in reference.nuts),
        flanks=_flanks(),
        hands=tuple(
            Picture(hand, f"{hand.capitalize()}: climbs to the {hand}", Markup(draw_hand(hand)))
            for hand in ("right", "left")
        ),
        looks=tuple(Picture(look, LOOK_WORDS[look].capitalize(), look_drawing(look, by_part)) for look in looks),
        marks=tuple(_mark(mark) for mark in reference.marks if mark.id in index["marks"]),
        sorts=tuple(_sorts(reference)),
        washers=tuple(_hardware(kind, "washer") for kind in reference.washers),
        pin_joints=tuple(
            Sort(f"joint-kinds/{name}/", reference.joint_kinds[name].title, "")
            for name in _PIN_JOINTS
            if name in reference.joint_kinds
        ),
        spanner_names="|".join(
            f"{squashed(name)}={squashed(spanner.marking)}" for spanner in reference.spanners for name in spanner.names
        ),
        split_pins=tuple(_split_pins(reference)),
    )


def squashed(marking: str) -> str:
    """A spanner's name as people type it, without case and spaces."""
    return marking.lower().replace(" ", "")


def _kinds(known: dict[str, dict[str, object]]) -> tuple[Picture, ...]:
    """The kinds of the index, the common ones first; `about` says whether a kind has a thread that runs in nuts."""
    ordered = sorted(_names(known), key=lambda name: name not in _COMMON_KINDS)
    return tuple(
        Picture(name, name.capitalize(), Markup(draw_choice(name)), "threaded" if known[name]["threaded"] else "plain")
        for name in ordered
    )


def _flanks() -> tuple[Picture, ...]:
    return (
        Picture("60", "60°, Unified and metric", Markup(draw_flanks(60, rounded=False))),
        Picture("55", "55°, Whitworth and pipe", Markup(draw_flanks(55, rounded=True))),
        Picture("47.5", "47½°, BA", Markup(draw_flanks(47.5, rounded=True))),
    )


def _hardware(kind: HardwareKind, about: str) -> Picture:
    return Picture(kind.id, kind.title, Markup(draw_kind(kind)), about)


def _mark(mark: Mark) -> MarkPicture:
    group = "nut" if mark.on in _NUT else "stud" if mark.on in _STUD else "head"
    is_told = mark.on in ("bolt head", "nut") or mark.on.split()[0] in mark.title.lower()
    title = mark.title if is_told else f"{mark.title} ({mark.on})"
    return MarkPicture(mark.id, title, _words(mark), mark.look, group, mark_drawing(mark))


def _words(mark: Mark) -> str:
    """What someone may type to find the mark: its names, and the grades it claims."""
    words = (mark.title, *mark.record.also_called, *mark.grades, *mark.texts)
    return " ".join(words).lower()


def _title(name: str) -> str:
    return name.replace("-", " ").capitalize()


def _sorts(reference: Reference) -> Iterable[Sort]:
    """Kinds of joint by the threads that their 'usual' lines write out in full, the most particular first."""
    patterns = {
        thread.designation: re.compile(rf"(?<![\w/.-]){re.escape(thread.designation)}(?![\w/]|\.\d)")
        for thread in reference.threads
    }
    named = []
    for name, kind in reference.joint_kinds.items():
        text = "\n".join(kind.usual)
        threads = [designation for designation, pattern in patterns.items() if pattern.search(text)]
        if threads:
            named.append((len(threads), kind.title, Sort(f"joint-kinds/{name}/", kind.title, "|".join(threads))))
    return (sort for _, _, sort in sorted(named, key=lambda row: row[:2]))


def _split_pins(reference: Reference) -> Iterable[PinGroup]:
    measured = [pin for pin in reference.split_pins.pins if pin.shank_max_mm is not None]
    for standard, group in groupby(measured, key=lambda pin: pin.standard):
        pins = tuple(group)
        source = pins[0].provenance
        yield PinGroup(
            standard,
            source.document if source.is_cited else "",
            source.where,
            tuple(
                PinRow(f"{pin.size} {pin.unit}", format_length(pin.hole_mm), format_length(pin.thickest_mm))
                for pin in pins
            ),
        )


def _names(entries: dict[str, object] | dict[str, dict[str, object]]) -> tuple[str, ...]:
    return tuple(name for name in entries if name != "unknown")
