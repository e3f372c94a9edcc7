"""'May I use this instead?' of what goes with the bolt: another kind of nut or washer, another finish or material.

The rules in the records of nuts and washers are asked first; the rest is what a joint loses: its lock, its seat, its
pin, the thread that carries, the torque that was meant for another surface. What nobody knows is no yes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal, TypeVar

from decoder.fields import RecordId
from decoder.joint_case import JointCase, joint_case, system_of
from decoder.joint_torque import decide_torque
from decoder.kind_rules import kind_of, speaks
from decoder.kinds import Finish, HardwareKind, Material
from decoder.nut_factors import lubricant_of
from decoder.quantities import format_length, format_temperature
from decoder.records import Insert, Layer, Member, Nut, Pin, Tapped, Washer
from decoder.stacks import chamfer_mm

Verdict = Literal["allowed", "refused", "not known"]


@dataclass(frozen=True, slots=True)
class Said:
    """One reason, and what it makes of an offer."""

    verdict: Verdict
    reason: str


#: Ways of locking that a joint can count on, or that its maker did.
LOCKS = ("own thread grip", "pin", "bent tab", "staking", "teeth", "spring, disputed", "seat")

_CROWNED = ("castellated", "slotted")
_SEALING = ("aluminium-crush", "copper-crush", "bonded")
_WIDE = ("penny", "plain-thick", "cup")

#: Washers that lie flat and spread what they bear; what stands up on an edge, or is sharp, cuts into what gives.
_FLAT = ("plain", *_WIDE)

#: Families for which nobody is known to make lock nuts, beside the pitches of before ISO (common practice).
_NO_LOCK_NUTS = ("BSC", "BSB")

#: Where the finish of an ordinary thread stops, by heat, and why (the records of the finishes, common practice).
_COATS_C = {"zinc": 120, "zinc-yellow": 120, "phosphate": 107, "cadmium": 232}

#: Finishes that leave steel to rust where it is wet.
_BARE = ("plain", "black-oxide", "phosphate")
_WET = ("road salt", "weather", "water")

#: Electrolytic finishes, for which parts are pickled in acid first.
_PLATED = ("zinc", "zinc-yellow", "cadmium", "chrome", "copper", "nickel")

#: Tensile stress from which pickling and plating want baking, [MPa].
_BRITTLE_MPA = 1000

#: Metals that an engineer takes a bolt of for what it is, never for what it carries.
_SOFT_BOLTS = ("brass", "bronze", "copper", "aluminium", "magnesium", "zinc-alloy", "plastic", "lead")

#: What stands out less than a chamfer holds less than a full nut, give or take, [mm].
_SAME_MM = 0.15

P = TypeVar("P", Nut, Washer)


def of_nut(case: JointCase, offered: HardwareKind) -> Iterator[Said]:
    """Whether another kind of nut may go on."""
    nut = case.nut
    if nut is None:
        yield Said("refused", "No nut belongs here by the record: it goes into a thread of its own.")
        return
    had = kind_of(nut, case.reference)
    name = _name(had, nut.nut)
    if offered.id == nut.nut:
        yield Said("allowed", f"{name} is the nut of this joint" + (f", {nut.strength}." if nut.strength else "."))
        return
    if nut.weak_on_purpose:
        yield Said("refused", f"This nut is meant to give way first: {nut.weak_on_purpose}")
    seats = [kind.lock == "seat" for kind in (had, offered) if kind is not None]
    if any(seats):
        yield Said("refused", "What holds such a nut is its seat, and seat and nut are made for each other.")
    if offered.id == "thin":
        yield Said("refused", "A thin nut only locks another: alone it strips at about half the load.")
    if offered.id in ("wing", "spring-steel-clip", "cage", "captive"):
        yield Said("refused", f"{offered.title} does not take the load of a nut that a spanner tightens.")
    pinned = any(isinstance(each, Pin) and each.pin in ("split", "locking-wire") for each in case.record.stack)
    if pinned and nut.nut in _CROWNED and offered.id not in _CROWNED:
        yield Said("refused", "It has no slots: the pin that holds this joint goes through nothing.")
    if offered.id in _CROWNED and not pinned:
        yield Said("refused", "Nothing is drilled for a pin here, and without its pin it is only a nut with a crown.")
    thread = case.layout.thread if case.layout else None
    if thread is not None and offered.lock == "own thread grip":
        if thread.series == "pre-ISO":
            yield Said(
                "refused", f"Lock nuts are made in the pitches of ISO: none is to be had in {thread.designation}."
            )
        elif thread.family in _NO_LOCK_NUTS:
            yield Said("not known", f"No lock nut in {thread.designation} is in any table here.")
    yield from _lock(case, had, offered)
    yield from _rules(case, nut, replace(nut, nut=RecordId(offered.id), strength=None), offered)
    yield from _reach(case, nut, offered)
    if nut.strength:
        yield Said("allowed", f"Of {nut.strength} or better, as the one that is recorded.")


def of_washer(case: JointCase, offered: HardwareKind) -> Iterator[Said]:
    """Whether another kind of washer may go under."""
    washers = [each for each in case.record.stack if isinstance(each, Washer)]
    if any(each.washer == offered.id for each in washers):
        yield Said("allowed", f"{offered.title} is a washer of this joint.")
        return
    if not washers:
        yield Said("refused", "No washer belongs here by the record: it takes thread from the hole or the nut.")
        return
    # One for one: the kind that does the same, where several lie there.
    old = next((each for each in washers if _does(kind_of(each, case.reference)) == _does(offered)), washers[0])
    had = kind_of(old, case.reference)
    name = _name(had, old.washer)
    if old.washer in _SEALING:
        yield Said("refused", f"{name} seals here by how it is squeezed: the kind that the maker names, and new.")
    elif offered.id in _SEALING:
        yield Said("refused", f"{offered.title} squeezes flat and takes the clamping with it.")
    if old.washer == "thrust" or offered.id == "thrust":
        yield Said("refused", "A thrust washer sets a clearance: measured, never swapped.")
    earth = any(each.name == "earth" for each in case.record.conditions)
    if earth and had is not None and had.lock == "teeth" and offered.lock != "teeth":
        yield Said("refused", "The teeth bite through paint and oxide: without them there is no earth.")
    if old.washer == "hardened":
        yield Said(
            "refused", "Under a bolt that wants a hardened washer a soft one sinks in, and the joint goes slack."
        )
    elif old.washer in _WIDE:
        yield Said("refused", f"{name} spreads the load: another dishes, sinks in or is drawn through.")
    if offered.id == "conical" and old.washer != "conical":
        yield Said("refused", "A conical washer belongs to the stack that it was reckoned for.")
    soft = _bears_on(case, old)
    if soft is not None and offered.id not in _FLAT:
        yield Said("refused", f"{soft} gives: an edge or teeth cut into it, and hold nothing there.")
    elif soft is not None and old.washer not in _FLAT:
        yield Said("allowed", f"On {soft.lower()} a flat washer belongs: it spreads the load. What is there now cuts "
                   "in and locks nothing; what locks the joint has to lie elsewhere.")  # fmt: skip
    else:
        yield from _lock(case, had, offered)
    yield from _rules(case, old, replace(old, washer=RecordId(offered.id)), offered)
    if had is not None and had.lock == offered.lock and old.washer not in (*_WIDE, *_SEALING, "hardened", "thrust"):
        yield Said("allowed", f"It does what {name.lower()} does; of the same thickness, so that the length still "
                   "fits.")  # fmt: skip


def of_finish(case: JointCase, offered: Finish) -> Iterator[Said]:
    """Whether a fastener of another finish may go in."""
    fastener, record = case.fastener, case.record
    if fastener is None or fastener.material not in (None, "steel"):
        yield Said("not known", "No steel bolt, screw or stud is recorded here.")
        return
    had = fastener.finish or "plain"
    if offered.id == had:
        yield Said("allowed", f"{offered.title} is the finish of this joint.")
        return
    conditions = {each.name for each in record.conditions}
    hottest = max((each.temperature or 0.0 for each in record.conditions), default=0.0)
    limit = _COATS_C.get(offered.id)
    if limit is not None and hottest > limit:
        yield Said(
            "refused" if offered.id == "cadmium" else "allowed",
            f"Its coat fails at {format_temperature(limit)}, under the {format_temperature(hottest)} of this joint: "
            + ("liquid cadmium cracks steel." if offered.id == "cadmium" else "it then rusts as bare steel."),
        )
    wet = sorted(conditions.intersection(_WET))
    if offered.id in _BARE and had not in _BARE and wet:
        yield Said("refused", f"It rusts: the joint lives in {' and '.join(wet)}, and {had.replace('-', ' ')} is "
                   "specified.")  # fmt: skip
    if offered.id == "hot-dip":
        yield Said("refused", "Hot-dip is too thick for an ordinary nut or hole: it goes in only with its own nut.")
    if offered.id in ("chrome", "nickel") and record.duty == "clamp":
        yield Said("refused", f"{offered.title} on a thread that clamps flakes and seizes: for looks only.")
    if offered.id == "copper" and _in(case, ("aluminium",)) and wet:
        yield Said("refused", "Copper eats bare aluminium in the wet.")
    strong = case.row is not None and (case.row.tensile_mpa or 0.0) >= _BRITTLE_MPA
    if offered.id in _PLATED and strong:
        yield Said("allowed", "Only as its maker sells it: steel as hard as this, pickled or plated in a workshop, "
                   "cracks days later.")  # fmt: skip
    if fastener.finish is None:
        yield Said("not known", "The record names no finish, so nothing says what this joint was meant to have.")
    yield from _friction(case, offered)


def of_material(case: JointCase, offered: Material) -> Iterator[Said]:
    """Whether a fastener of another material may go in."""
    fastener, record = case.fastener, case.record
    if fastener is None:
        yield Said("not known", "No bolt, screw or stud is recorded here.")
        return
    had = fastener.material or "steel"
    name = offered.title
    if offered.id == had:
        yield Said("allowed", f"{name} is the material of this joint.")
        return
    if fastener.weak_on_purpose:
        yield Said("refused", f"This part is meant to give way first: {fastener.weak_on_purpose}")
    conditions = {each.name for each in record.conditions}
    if had in _SOFT_BOLTS:
        why = "carries current and does not rust fast" if conditions & {"electrical", "earth"} else (
            "comes undone after heat and wet" if "heat" in conditions else "was chosen for what it is"
        )  # fmt: skip
        yield Said("refused", f"{had.replace('-', ' ').capitalize()} {why}: {name.lower()} does not.")
        return
    if offered.id in _SOFT_BOLTS:
        if fastener.strength or record.duty == "clamp":
            yield Said("refused", f"{name} carries far less than steel, and no grade says how much.")
        else:
            yield Said("not known", f"No document says what {name.lower()} would carry here.")
        return
    if offered.id == "stainless":
        if _in(case, ("aluminium", "magnesium", "zinc-alloy")) and conditions & set(_WET):
            yield Said("refused", "Stainless in light alloy where it is wet eats the alloy round the thread.")
        if fastener.strength:
            yield Said("not known", f"Stainless alone is no grade: ask with its class, such as A2-70, against "
                       f"{fastener.strength}.")  # fmt: skip
        else:
            yield Said("allowed", "Where no grade is asked for it holds; it looks right on few old vehicles.")
        yield Said("allowed", "Stainless galls when dry: anti-seize on the thread, and a torque for that.")
        return
    yield Said("not known", f"No document says that {name.lower()} does what {had.replace('-', ' ')} does here.")


def _bears_on(case: JointCase, washer: Washer) -> str | None:
    """The material of a layer that gives, such as wood, rubber or plastic, on which a washer lies; else None."""
    lying = [each for each in case.record.stack if isinstance(each, Layer) or each is washer]
    at = next(number for number, each in enumerate(lying) if each is washer)
    for beside in lying[max(at - 1, 0) : at + 2]:
        material = case.reference.materials.get(beside.layer) if isinstance(beside, Layer) else None
        if material is not None and material.soft_layer == "yes":
            return material.title
    return None


def _does(kind: HardwareKind | None) -> str:
    """What a washer is there for, roughly: to lock, or to lie flat."""
    return "lock" if kind is not None and kind.lock in LOCKS else "flat"


def _name(kind: HardwareKind | None, id: str) -> str:
    return kind.title if kind is not None else id.replace("-", " ").capitalize()


def _lock(case: JointCase, had: HardwareKind | None, offered: HardwareKind) -> Iterator[Said]:
    """What keeps the joint from coming undone, where the offer does it less than what it takes the place of."""
    if had is None or had.lock not in LOCKS or offered.lock in LOCKS:
        return
    others = [
        kind for each in case.record.stack
        if (kind := kind_of(each, case.reference)) is not None and kind.id != had.id and kind.lock in LOCKS
    ]  # fmt: skip
    if others:
        yield Said("allowed", f"{others[0].title} still locks it.")
        return
    if case.record.tighten is not None and case.record.tighten.threadlock:
        yield Said("allowed", "Thread-locking compound still holds it.")
        return
    yield Said("refused", f"Nothing would lock it: {had.title.lower()} is what keeps this joint from coming undone.")


def _rules(case: JointCase, old: P, new: P, offered: HardwareKind) -> Iterator[Said]:
    """What the record of the offered kind says of such a joint."""
    stack: tuple[Member, ...] = tuple(new if each is old else each for each in case.record.stack)
    number = next(at for at, each in enumerate(stack) if each is new)
    for rule in offered.rules:
        if speaks(rule, case.record, stack, number, case.reference):
            yield Said("allowed" if rule.level == "note" else "refused", rule.because)


def _reach(case: JointCase, old: Nut, offered: HardwareKind) -> Iterator[Said]:
    """Whether the bolt still reaches through the nut that is offered."""
    stack = tuple(replace(each, nut=RecordId(offered.id)) if each is old else each for each in case.record.stack)
    layout = joint_case(replace(case.record, stack=stack), case.reference).layout
    if layout is None or layout.protrusion_mm is None:
        yield Said("not known", f"How high {offered.title.lower()} is, or how far the bolt reaches, is in no table: "
                   "the whole chamfer must stand out.")  # fmt: skip
        return
    least = 0.0 if offered.id in _CROWNED else chamfer_mm(layout.thread)
    out = format_length(round(abs(layout.protrusion_mm), 1), system_of(layout.thread))
    if layout.protrusion_mm < least - _SAME_MM:
        where = f"stands only {out} out of it" if layout.protrusion_mm > 0 else f"ends {out} inside it"
        yield Said("refused", f"The bolt {where}: {offered.title.lower()} is higher and takes a longer one.")
    else:
        yield Said("allowed", f"The bolt stands {out} out of it.")


def _friction(case: JointCase, offered: Finish) -> Iterator[Said]:
    """What another finish does to the torque."""
    record = case.record
    band, came_from, _, _ = decide_torque(case)
    if band is None:
        yield Said("allowed", "No torque governs here; how it feels under the spanner changes with the finish.")
        return
    lubricant = lubricant_of(record.tighten.lubricant if record.tighten else None) or "none"
    factors = case.reference.joint_tables.nut_factors
    old = factors.band((case.fastener.finish if case.fastener else None) or "plain", lubricant)
    new = factors.band(offered.id, lubricant)
    if old is None or new is None:
        yield Said("not known", f"No document says how {offered.title.lower()} rubs, so no torque goes with it.")
    elif (old.k_low, old.k_high) == (new.k_low, new.k_high):
        yield Said("allowed", "It rubs as the recorded one does: the torque stays.")
    elif came_from == "stated":
        yield Said("allowed", f"It rubs otherwise (K {new.k_low:g} to {new.k_high:g}, before {old.k_low:g} to "
                   f"{old.k_high:g}): the stated torque was for the old finish; stay under it.")  # fmt: skip
    else:
        yield Said("allowed", f"It rubs otherwise: K {new.k_low:g} to {new.k_high:g}, so the torque is another.")


def _in(case: JointCase, metals: Iterable[str]) -> bool:
    """Whether the thread, or what the head bears on, is of one of these."""
    holes: list[Any] = [each.tapped for each in case.record.stack if isinstance(each, Tapped | Insert)]
    layers = [each.layer for each in case.record.stack if isinstance(each, Layer)]
    return bool(set(metals).intersection([*holes, *layers]))
