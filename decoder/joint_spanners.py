"""One right spanner for the head and one for the nut of a joint: a stated one first, else for the usual product."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from decoder.hexagons import Hexagon
from decoder.joint_threads import find_thread, joint_threads, main_thread
from decoder.quantities import Length, QuantityError, System, format_length
from decoder.records import Bolt, Joint, Member, Nut, Pin, Screw, Stated, Union
from decoder.reference import Reference
from decoder.spanners import Choice, Spanner, fit, spanners_for
from decoder.threads import Thread
from decoder.usual_parts import nut_widths, usual_heads

Role = Literal["head", "nut"]

#: Drives that no spanner turns.
_NO_SPANNER = ("slot", "cross", "hexagon-socket", "hand", "none")

#: Widths that differ by less are one, [mm].
_SAME_MM = 0.15


#: Spanners of widths nearer to each other than this fit the same flats, [mm]: 3/4 AF and 19 mm.
_ONE_WIDTH_MM = 0.1

#: What turns a drive that is recorded, and a head whose drive is not.
_DRIVE_TOOLS = {
    "slot": "screwdriver as wide as the slot",
    "cross": "cross-head screwdriver that fills the cross",
    "hexagon-socket": "hexagon key",
    "square": "square key or spanner",
    "hand": "fingers",
}
_SCREWDRIVER = "screwdriver that fills the slot or cross"
_HEAD_TOOLS = {
    **dict.fromkeys(("cheese", "pan", "round", "countersunk", "raised-countersunk", "mushroom"), _SCREWDRIVER),
    **dict.fromkeys(("socket-cap", "socket-countersunk", "socket-button"), "hexagon key"),
    "grub": "hexagon key or small screwdriver",
    "self-tapping": _SCREWDRIVER,
    "wood": _SCREWDRIVER,
    "thumb": "fingers",
}
_NUT_TOOLS = {"wing": "fingers", "centre-lock": "the wheel's own spanner, or a soft hammer on its ears"}
_PIN_TOOLS = {
    "split": "pliers for the split pin",
    "clevis": "",
    "dowel": "soft drift for the dowel",
    "roll": "pin punch",
    "taper": "pin punch from the thin end",
    "spring-clip": "fingers or pliers",
    "locking-wire": "pliers for the locking wire",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class JointSpanner:
    """A spanner for a joint. `why` says whose width it is for, and what else may be met."""

    role: Role
    marking: str
    slug: str
    size_mm: float
    why: str


def joint_spanners(joint: Joint, reference: Reference) -> tuple[JointSpanner, ...]:
    """The spanners of a joint's head and nut, each once; none where no table has the width."""
    found: dict[tuple[Role, str], JointSpanner] = {}
    for each in _all(joint, reference):
        found.setdefault((each.role, each.slug), each)
    is_metric = any(thread.family == "M" for thread in joint_threads(joint, reference.threads)[:1])
    kept: list[JointSpanner] = []
    # Of two spanners of one width, the one of the thread's own system: the man at the bench wants one.
    for each in sorted(found.values(), key=lambda one: one.marking.endswith(" mm") is not is_metric):
        if all(each.role != other.role or abs(each.size_mm - other.size_mm) > _ONE_WIDTH_MM for other in kept):
            kept.append(each)
    return tuple(each for each in found.values() if each in kept)


def joint_tools(joint: Joint) -> tuple[str, ...]:
    """What turns or drives the parts of a joint that no spanner fits, in words, each once, in order of the stack."""
    return tuple(dict.fromkeys(tool for member in joint.stack if (tool := _tool(member))))


def _tool(member: Member) -> str:
    if isinstance(member, Pin):
        return _PIN_TOOLS[member.pin]
    if isinstance(member, Nut):
        return _NUT_TOOLS.get(member.nut, "")
    # A rod end or the like has a name of its own, and no head or drive unless its record says so.
    if not isinstance(member, Bolt | Screw) or (member.called and not member.drive):
        return ""
    shape = member.bolt if isinstance(member, Bolt) else member.screw
    return _DRIVE_TOOLS.get(member.drive or "", "") or ("" if member.drive else _HEAD_TOOLS.get(shape, ""))


def _all(joint: Joint, reference: Reference) -> Iterator[JointSpanner]:
    stated = joint.stated or Stated()
    roles: tuple[tuple[Role, Length | None, str | None], ...] = (
        ("head", stated.across_flats, stated.spanner),
        ("nut", stated.nut_across_flats, stated.nut_spanner),
    )
    for role, width, marking in roles:
        spanner = _named(marking, reference)
        if spanner is not None:
            yield _as(role, spanner, "as the record states")
        elif width is not None:
            right = [one for one in reference.spanners if fit(one, width.mm).word == "right"]
            yield from (_as(role, one, f"for {width.written} across flats, as the record states") for one in right[:1])
        else:
            yield from _by_standard(joint, role, reference)


def _by_standard(joint: Joint, role: Role, reference: Reference) -> Iterator[JointSpanner]:
    for member in joint.stack:
        rows = _rows(member, role, joint.stack, reference)
        if not rows:
            continue
        choices = spanners_for(rows[0], reference.spanners)
        if choices:
            yield _as(role, _of_its_system(choices, rows[0]), _why(rows))


def _of_its_system(choices: tuple[Choice, ...], row: Hexagon) -> Spanner:
    """Among those that fit as well as the first, the one of the thread's own system."""
    system = "metric" if "M" in row.families else "BA" if "BA" in row.families else None
    if system is None:
        system = "Whitworth" if set(row.families) & {"BSW", "BSF"} else "AF"
    best = [choice for choice in choices if choice.fit.word == choices[0].fit.word]
    return next((choice.spanner for choice in best if choice.spanner.system == system), best[0].spanner)


def _rows(member: Member, role: Role, stack: tuple[Member, ...], reference: Reference) -> tuple[Hexagon, ...]:
    if role == "nut":
        if not isinstance(member, Nut):
            return ()
        thread = (
            find_thread(member.thread, reference.threads) if member.thread else main_thread(stack, reference.threads)
        )
        return nut_widths(member.nut, thread, reference.hexagons) if thread else ()
    if isinstance(member, Union):
        thread = find_thread(member.thread, reference.threads)
        return reference.hexagons.for_thread(thread, "union nut") if thread else ()
    if not isinstance(member, Bolt | Screw) or member.drive in _NO_SPANNER:
        return ()
    thread = find_thread(member.thread, reference.threads)
    return _heads(member.bolt if isinstance(member, Bolt) else member.screw, thread, reference)


def _heads(shape: str, thread: Thread | None, reference: Reference) -> tuple[Hexagon, ...]:
    return usual_heads(shape, thread, reference.hexagons) if thread else ()


def _why(rows: tuple[Hexagon, ...]) -> str:
    """Whose width it is, and every other width that standards give the same part."""
    first = rows[0]
    system: System = "metric" if "M" in first.families else "inch"
    others: dict[str, str] = {}
    for row in rows[1:]:
        if abs(row.across_flats_mm - first.across_flats_mm) > _SAME_MM:
            others.setdefault(format_length(row.across_flats_mm, system), row.standard)
    met = "".join(f"; {width} by {standard}" for width, standard in others.items())
    taken = f"{format_length(first.across_flats_mm, system)} across flats: {first.product}, {first.standard}"
    return f"{taken}{met and f' (also met{met[1:]})'}"


def _named(marking: str | None, reference: Reference) -> Spanner | None:
    if not marking:
        return None
    try:
        return reference.spanners.find(marking)
    except QuantityError:
        return None


def _as(role: Role, spanner: Spanner, why: str) -> JointSpanner:
    return JointSpanner(role=role, marking=spanner.marking, slug=spanner.slug, size_mm=spanner.jaw_mm, why=why)
