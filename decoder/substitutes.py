"""'May I use this instead?': another size, grade, length or part for a joint, allowed or refused, with reasons.

Each offer is put into the joint in place of what is recorded, and the joint is worked out again with it. Where a
failure can hurt someone, or a manual alone governs, only the specified part goes in, whatever the figures say; a part
that is weak on purpose takes nothing stronger. What neither record nor tables tell stays `not known`: that is no yes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from decoder.fields import GradeName
from decoder.joint_case import JointCase, joint_case, joint_loads, system_of
from decoder.joint_threads import find_thread
from decoder.joint_words import HITS
from decoder.kinds import Finish, HardwareKind, Material
from decoder.lookalikes import meet
from decoder.places import named_places
from decoder.quantities import Length, format_length, parse_length
from decoder.records import SAFETY_CRITICAL, Bolt, Joint, Nut, Screw, Stud, Tapped, Washer
from decoder.reference import Reference
from decoder.stacks import Layout, Need, bottom_mm, needed
from decoder.strength import Grade
from decoder.substitute_parts import Said, Verdict, of_finish, of_material, of_nut, of_washer
from decoder.tables import Provenance
from decoder.threads import Thread
from decoder.writing import trimmed

#: One reason against is enough; one thing unknown outweighs all that is right.
_WORST_FIRST: tuple[Verdict, ...] = ("refused", "not known", "allowed")

#: Grades that differ by less are as strong: SAE 5 and 8.8 are one steel, rounded in ksi and in MPa, 3 % apart.
_SAME_SHARE = 0.04

#: Lengths within this are the same, [mm]: thicknesses are rounded, ends are not square.
_SAME_MM = 0.3

#: Sums of what was recorded are off by less, [mm].
_HAIR_MM = 0.02

#: What stands out by more, in diameters, is worth a look at what is near.
_FAR_OUT_DIAMETERS = 2.0

#: Sizes that lie in one tub: within this share of the diameter, and this much besides for the small ones.
_TUB_SHARE, _TUB_MM = 0.045, 0.12

#: Threads of ordinary bolts; brass, cycle and pipe threads do not hold brackets.
_TUB = (("UNF", "fine"), ("UNC", "coarse"), ("BSF", "fine"), ("BSW", "coarse"), ("BA", "BA"), ("M", "coarse"),
        ("M", "fine"))  # fmt: skip

#: Grades that shops keep, by the standard of the one that is asked for.
_KEPT = ("SAE 2", "SAE 5", "SAE 8", "4.6", "8.8", "10.9", "12.9", "BS R", "BS T", "BS X", "A2-70")


_TUB_NUTS = ("plain", "nylon-insert", "all-metal-top", "castellated", "thin")
_TUB_WASHERS = ("plain", "helical-spring", "penny", "toothed-external")
_TUB_FINISHES = ("plain", "zinc")


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What someone has in hand; None where it is as recorded. `written` is the thread as they wrote it."""

    thread: Thread | None = None
    grade: Grade | None = None
    length: Length | None = None
    nut: HardwareKind | None = None
    washer: HardwareKind | None = None
    finish: Finish | None = None
    material: Material | None = None
    written: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """Whether an offer may go in: `about` is 'thread', 'nut' or the like, or 'all'; `what` says it in words."""

    about: str
    what: str
    verdict: Verdict
    reasons: tuple[str, ...]
    provenances: tuple[Provenance, ...] = ()


def instead(record: Joint, reference: Reference, offer: Offer) -> Answer:
    """Whether an offer may go into a joint, every reason named, those against it first."""
    return _judged(joint_case(record, reference), offer)


def _judged(case: JointCase, offer: Offer) -> Answer:
    said: list[Said] = []
    cited: list[Provenance] = []
    what: list[str] = []
    thread = offer.thread
    if thread is not None:
        said += _of_thread(case, thread, offer.written)
        what.append(thread.designation)
        cited.append(thread.provenance)
    other_thread = thread is not None and case.thread is not None and thread.designation != case.thread.designation
    if offer.grade is not None:
        what.append(offer.grade.name)
        cited.append(offer.grade.provenance)
        said += _of_grade(case, offer.grade)
    if offer.length is not None:
        what.append(offer.length.written)
        said += _of_length(case, offer.length)
    for name, judge in _WITH_IT:
        kind = getattr(offer, name)
        if kind is not None:
            what.append(kind.title)
            said += tuple(judge(case, kind)) or (
                Said("not known", f"No document says whether {kind.title.lower()} does here what is recorded."),
            )
    only = specified_only(case.record, case.reference)
    differs = (
        _other_kind(case, offer) or other_thread or _other_grade(case, offer.grade) or _other_length(case, offer.length)
    )
    if only and differs:
        said.insert(0, Said("refused", only))
    elif only:
        said.append(Said("allowed", "It is what is specified; the part number of the parts list decides."))
    return Answer(
        about=_about(offer),
        what=", ".join(what),
        verdict=min((each.verdict for each in said), key=_WORST_FIRST.index, default="not known"),
        reasons=tuple(
            dict.fromkeys(each.reason for each in sorted(said, key=lambda one: _WORST_FIRST.index(one.verdict)))
        ),
        provenances=tuple(cited),
    )


def substitutes(record: Joint, reference: Reference) -> tuple[Answer, ...]:
    """What a tub or a shop is likely to offer for a joint, each judged: sizes, then grades, then lengths."""
    case = joint_case(record, reference)
    return tuple(_judged(case, offer) for offer in _offers(case))


def specified_only(record: Joint, reference: Reference) -> str:
    """Why only the specified part goes into this joint, '' where others may be thought of."""
    if record.consequence in SAFETY_CRITICAL:
        return (
            f"No: a failure here hits {HITS[record.consequence]}. The specified part only; stronger, longer or "
            "newer is no argument."
        )
    rule = reference.joint_tables.governing(record.kind)
    if rule is not None:
        return f"The manual alone governs this joint, and the part that it names goes in: {_lower(rule.because)}"
    if any(isinstance(each, Bolt) and each.shank_diameter for each in record.stack):
        return "Its shank is fitted, shouldered or waisted: another bolt does not hold or stretch as this one does."
    if record.stated is not None and record.stated.angle is not None:
        return "It is stretched by an angle: only the part that the manual names stands that."
    return ""


def _offers(case: JointCase) -> Iterator[Offer]:
    thread = case.thread or _nut_thread(case)
    if thread is None:
        return
    for near in _near(thread, case.reference.threads):
        yield Offer(thread=near)
    if case.grade is not None and case.fastener is not None:
        for name in _KEPT:
            grade = case.reference.strengths.get(name)
            if grade is None or grade.name == case.grade.name or grade.at(thread.major_mm) is None:
                continue
            if grade.standard == case.grade.standard or grade.standard.startswith("ISO 3506"):
                yield Offer(grade=grade)
    yield from _parts(case)
    if case.fastener is None or case.layout is None or isinstance(case.fastener, Stud):
        return
    kept = case.reference.joint_tables.stock(system_of(thread))
    shorter = [each for each in kept if each.length_mm < case.fastener.length.mm - _SAME_MM]
    longer = [each for each in kept if each.length_mm > case.fastener.length.mm + _SAME_MM]
    for each in (*shorter[-1:], *longer[:1]):
        yield Offer(length=parse_length(each.written))


def _parts(case: JointCase) -> Iterator[Offer]:
    """Nuts, washers and finishes that lie in every tub, where the joint has such a part."""
    stack, reference = case.record.stack, case.reference
    nuts = {each.nut for each in stack if isinstance(each, Nut)}
    washers = {each.washer for each in stack if isinstance(each, Washer)}
    for name in _TUB_NUTS if nuts else ():
        if name not in nuts and (nut := reference.nuts.get(name)) is not None:
            yield Offer(nut=nut)
    for name in _TUB_WASHERS if washers else ():
        if name not in washers and (washer := reference.washers.get(name)) is not None:
            yield Offer(washer=washer)
    if case.fastener is not None and case.fastener.material in (None, "steel") and case.fastener.finish is not None:
        for name in _TUB_FINISHES:
            if name != case.fastener.finish and (finish := reference.finishes.get(name)) is not None:
                yield Offer(finish=finish)


def _near(thread: Thread, threads: Iterable[Thread]) -> Iterator[Thread]:
    """What may be taken for this size in a tub, and its coarse or fine sister; the nearest in diameter first."""
    reach = _TUB_SHARE * thread.major_mm + _TUB_MM
    found = [
        other for other in threads
        if (other.family, other.series) in _TUB and other.designation != thread.designation
        and abs(other.major_mm - thread.major_mm) <= reach
    ]  # fmt: skip
    yield from sorted(found, key=lambda other: (abs(other.major_mm - thread.major_mm), other.designation))


def _nut_thread(case: JointCase) -> Thread | None:
    nut = case.nut
    return find_thread(nut.thread, case.reference.threads) if nut is not None and nut.thread is not None else None


def _about(offer: Offer) -> str:
    asked = [
        name
        for name in ("thread", "grade", "length", "nut", "washer", "finish", "material")
        if getattr(offer, name) is not None
    ]
    return asked[0] if len(asked) == 1 else "all"


#: What goes with the bolt, and who judges it.
_WITH_IT: tuple[tuple[str, Callable[[JointCase, Any], Iterator[Said]]], ...] = (
    ("nut", of_nut), ("washer", of_washer), ("finish", of_finish), ("material", of_material),
)  # fmt: skip


def _other_kind(case: JointCase, offer: Offer) -> bool:
    """Whether any nut, washer, finish or material that is offered is another than recorded."""
    stack, fastener = case.record.stack, case.fastener
    recorded: dict[str, set[str]] = {
        "nut": {each.nut for each in stack if isinstance(each, Nut)},
        "washer": {each.washer for each in stack if isinstance(each, Washer)},
        "finish": {(fastener.finish if fastener else None) or "plain"},
        "material": {(fastener.material if fastener else None) or "steel"},
    }
    return any(
        getattr(offer, name) is not None and getattr(offer, name).id not in known for name, known in recorded.items()
    )


def _other_grade(case: JointCase, grade: Grade | None) -> bool:
    return grade is not None and (case.grade is None or grade.name != case.grade.name)


def _other_length(case: JointCase, length: Length | None) -> bool:
    return length is not None and (case.fastener is None or abs(length.mm - case.fastener.length.mm) > _SAME_MM)


def _of_thread(case: JointCase, offered: Thread, written: str) -> Iterator[Said]:
    specified = case.thread or _nut_thread(case)
    if specified is None:
        yield Said("not known", "The record names no thread that a table knows: measure the old part first.")
        return
    if offered.designation == specified.designation:
        same = f"{specified.designation} is the thread of this joint"
        old = written and "".join(written.split()).casefold() != "".join(offered.designation.split()).casefold()
        yield Said("allowed", f"{same}; '{written}' is another name for it." if old else f"{same}.")
        return
    if case.fastener is None:
        yield Said("refused", meet(specified, offered).text)
        return
    yield Said("refused", meet(offered, specified).text)
    if case.layout is not None and case.layout.ending == "nut" and not case.layout.is_stud:
        share = offered.stress_area_mm2 / specified.stress_area_mm2
        if abs(offered.major_mm - specified.major_mm) <= _SAME_MM and offered.left_hand is specified.left_hand:
            yield Said(
                "refused",
                f"With a nut of its own it would go through the holes and, of the same grade, carry "
                f"{trimmed(100 * share, 0)} % as much; the next one at this joint then mixes the two.",
            )


def _of_grade(case: JointCase, offered: Grade) -> Iterator[Said]:
    record, thread = case.record, case.thread
    if case.fastener is None or thread is None:
        yield Said("not known", "No bolt, screw or stud of known thread is recorded here.")
        return
    weak = next((each.weak_on_purpose for each in record.stack
                 if isinstance(each, Bolt | Screw | Stud | Nut) and each.weak_on_purpose), None)  # fmt: skip
    meant = f"A part here is meant to give way first, so nothing stronger goes in: {weak}"
    if weak and (case.grade is None or case.row is None):
        yield Said("refused", meant)
        return
    if case.grade is None or case.row is None:
        yield Said(
            "not known",
            "The record names no grade, so nothing says how strong it must be: read the mark of the old part, or the "
            "parts list.",
        )
        return
    row = offered.at(thread.major_mm)
    if row is None:
        yield Said("not known", f"{offered.name} is not given for {thread.designation}.")
        return
    shares = [
        (name, ours, theirs) for name, ours, theirs in (
            ("proof", row.proof_mpa, case.row.proof_mpa),
            ("tensile", row.tensile_mpa, case.row.tensile_mpa),
        )
        if ours is not None and theirs is not None
    ]  # fmt: skip
    if not shares:
        yield Said("not known", f"No document gives a stress of both {offered.name} and {case.grade.name}.")
        return
    figures = " and ".join(
        f"{name} stress {trimmed(ours, 0)} MPa against {trimmed(theirs, 0)}" for name, ours, theirs in shares
    )
    least = min(ours / theirs for _, ours, theirs in shares)
    most = max(ours / theirs for _, ours, theirs in shares)
    if least < 1 - _SAME_SHARE:
        yield Said("refused", f"Weaker than {case.grade.name}: {figures}.")
        return
    if all(name != "proof" for name, _, _ in shares):
        # What breaks later may still stretch sooner: stainless does, against quenched steel of the same tensile.
        yield Said(
            "not known",
            f"Only {figures} can be compared; no document gives both a proof stress, which says what stays tight.",
        )
        return
    if most > 1 + _SAME_SHARE:
        if weak:
            yield Said("refused", meant)
            return
        yield Said("allowed", f"Stronger than {case.grade.name}: {figures}. The torque stays that of the joint.")
    else:
        yield Said("allowed", f"As strong as {case.grade.name}: {figures}.")
    yield from _with_it(case, offered)


def _with_it(case: JointCase, offered: Grade) -> Iterator[Said]:
    """What a grade that is strong enough asks of the other parts."""
    fastener, thread = case.fastener, case.thread
    assert fastener is not None
    assert thread is not None
    stack = tuple(
        replace(each, strength=GradeName(offered.name)) if each is fastener else each for each in case.record.stack
    )
    new = joint_case(replace(case.record, stack=stack), case.reference)
    wanted = case.reference.joint_tables.nut_for(offered.name)
    if wanted is not None and case.nut is not None:
        has = case.nut_grade.at(thread.major_mm) if case.nut_grade else None
        asked = case.reference.strengths.get(wanted.nut)
        least = asked.at(thread.major_mm) if asked else None
        if has is None or has.proof_mpa is None:
            yield Said("allowed", f"Its nut is then {wanted.nut} or better; what class is there is not recorded.")
        elif least is not None and least.proof_mpa is not None and has.proof_mpa < least.proof_mpa * (1 - _SAME_SHARE):
            yield Said(
                "refused",
                f"Its nut, {case.nut.strength}, gives way before it: it goes in only with {wanted.nut} or better.",
            )
    before, after = joint_loads(case), joint_loads(new)
    if before and after and after[0].part not in ("bolt", "nut") and before[0].part == "bolt":
        yield Said(
            "allowed",
            f"Not the bolt but the {after[0].part} then gives way first, at {trimmed(after[0].load_n / 1000, 1)} kN: "
            "at the old torque nothing changes, and more would cost the thread.",
        )
    rules = case.reference.plating
    row = offered.at(thread.major_mm)
    if row and row.tensile_mpa and row.tensile_mpa >= rules.least("strong", "MPa") * (1 - _SAME_SHARE):
        yield Said("allowed", "So hard that acid or plating may crack it: as bought, never pickled or plated.")
    if offered.standard.startswith("ISO 3506"):
        yield Said("allowed", "Stainless galls when dry: anti-seize on the thread, and a torque for that.")
        if _in_wet_alloy(case):
            yield Said("refused", "Stainless in light alloy where salt gets at it eats the alloy round the thread.")


def _in_wet_alloy(case: JointCase) -> bool:
    wet = any(each.name == "road salt" for each in case.record.conditions)
    return wet and any(isinstance(each, Tapped) and each.tapped == "aluminium" for each in case.record.stack)


def _of_length(case: JointCase, offered: Length) -> Iterator[Said]:
    fastener, thread = case.fastener, case.thread
    if fastener is None:
        yield Said("not known", "No bolt, screw or stud is recorded here.")
        return
    over = offered.mm - fastener.length.mm
    places = list(named_places(case.record))
    at_home = [name for name, place in places if abs((place.length or fastener.length).mm - offered.mm) <= _SAME_MM]
    if 0 < len(at_home) < len(places):
        yield Said("allowed", f"It is the length of {' and '.join(at_home)}, and goes in there alone: each bolt for "
                   "its hole.")  # fmt: skip
        return
    if abs(over) <= _SAME_MM:
        yield Said("allowed", f"{offered.written} is the length of this joint.")
        return
    lengths = {(place.length or fastener.length).mm for _, place in places}
    if len(lengths) > 1 or any(place.thickness or place.depth for _, place in places):
        yield Said("refused", "The places differ, each bolt for its hole: one for all goes wrong.")
        return
    stack = tuple(replace(each, length=offered) if each is fastener else each for each in case.record.stack)
    new = joint_case(replace(case.record, stack=stack), case.reference)
    layout = new.layout
    if layout is None or thread is None:
        yield Said("not known", f"The stack could not be worked out: {new.survey.reason}.")
        return
    yield from _fits(case, new, over)


def _fits(case: JointCase, new: JointCase, over: float) -> Iterator[Said]:
    """Whether another length does, by `over` longer than recorded, [mm]."""
    layout, old = new.layout, case.layout
    assert layout is not None
    thread = layout.thread
    system = system_of(thread)
    need = needed(layout, new.engagement.mm if new.engagement else None)
    if layout.room_mm is not None and layout.room_mm < -_SAME_MM:
        yield Said(
            "refused",
            f"It bottoms in the hole, {_at(-layout.room_mm, system)} before the head bears: it feels tight and clamps "
            "nothing.",
        )
        return
    if over > 0 and layout.room_mm is not None and layout.room_mm < bottom_mm(thread) - _HAIR_MM:
        yield Said(
            "refused",
            f"Only {_at(max(layout.room_mm, 0.0), system)} would be left below its tip, less than a turn: a thread is "
            "seldom good to the bottom of its hole.",
        )
        return
    if layout.ending == "hole":
        yield from _in_hole(new, need, old, over)
        return
    out = layout.protrusion_mm
    if need.least_mm is None or out is None:
        yield Said("not known", f"{need.how[:1].upper()}{need.how[1:]}.")
        return
    beyond = need.protrusion_mm or 0.0
    if out < beyond - _SAME_MM:
        where = f"stands {_at(out, system)} out of the nut" if out > 0 else f"ends {_at(-out, system)} inside the nut"
        yield Said("refused", f"Too short: it {where}; {_at(beyond, system)} are wanted.")
        return
    shank = layout.usual_shank_mm
    had = old.usual_shank_mm if old else None
    if shank is not None and shank > layout.grip_mm + _SAME_MM and (had is None or had <= layout.grip_mm + _SAME_MM):
        yield Said(
            "refused",
            f"An ordinary bolt of this length has {_at(shank, system)} without thread, more than the grip of "
            f"{_at(layout.grip_mm, system)}: the nut runs out of thread before it bears. One threaded to the head "
            "does.",
        )
        return
    yield Said("allowed", f"It stands {_at(out, system)} out of the nut; {_at(beyond, system)} are wanted.")
    if out > _FAR_OUT_DIAMETERS * thread.major_mm:
        yield Said(
            "allowed", "So far out it may foul what is near, and its thread rusts: turn the joint by hand first."
        )


def _in_hole(new: JointCase, need: Need, old: Layout | None, over: float) -> Iterator[Said]:
    layout = new.layout
    assert layout is not None
    system = system_of(layout.thread)
    engaged, wanted = layout.engagement_mm, new.engagement.mm if new.engagement else None
    if engaged is None:
        yield Said("not known", "How deep the hole is threaded is not recorded: put a rod down it first.")
        return
    if over < 0 and wanted is None:
        yield Said("refused", f"{_at(engaged, system)} of thread engage, less than as recorded, and nothing says how "
                    "little does.")  # fmt: skip
    elif over < 0 and need.least_mm is not None and layout.length_mm < _least(need.least_mm, old) - _HAIR_MM:
        why = f": {_at(wanted or 0.0, system)} of thread, {new.engagement.how}" if new.engagement else ""
        yield Said("refused", f"Too short: {_at(engaged, system)} of thread engage, chamfer and all; it needs to be "
                   f"at least {_at(need.least_mm, system)} long{why}.")  # fmt: skip
    else:
        yield Said("allowed", f"{_at(engaged, system)} of thread engage.")
    hole = next((each for each in new.record.stack if isinstance(each, Tapped)), None)
    if over > 0 and hole is not None and hole.hole is None:
        yield Said("not known", "Whether the hole is blind is not recorded: put a rod down it before a longer one.")
    elif over > 0 and hole is not None and hole.hole == "through" and (layout.to_mm > _end(new) + _SAME_MM):
        behind = f" into the {hole.into}" if hole.into and hole.into != "air" else ""
        yield Said("allowed", f"It comes out behind{behind}: see that it clears what is there.")


def _least(needed_mm: float, old: Layout | None) -> float:
    """What is asked of another length: no more than is needed, nor than the joint has by its record, [mm]."""
    return min(needed_mm, old.length_mm) if old is not None else needed_mm


def _end(case: JointCase) -> float:
    hole = case.layout.hole if case.layout else None
    return hole.end_mm if hole is not None and hole.end_mm is not None else math.inf


def _at(mm: float, system: str) -> str:
    return format_length(round(mm, 1), "inch" if system == "inch" else "metric")


def _lower(text: str) -> str:
    """A sentence as it goes on after a colon."""
    return text[:1].lower() + text[1:]
