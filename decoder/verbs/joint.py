"""`decoder joint`: what goes into a joint of a vehicle, in which order, how long, how tight, and what to beware of."""

from __future__ import annotations

import argparse
import dataclasses
import difflib
from collections.abc import Iterator, Mapping
from typing import Any

from decoder.checks import check_fleet
from decoder.command import Data
from decoder.findings import Finding
from decoder.fleet import Fleet, FleetJoint
from decoder.joint_words import left_hand_words
from decoder.joints import JointFigures, figures
from decoder.quantities import (
    MM_PER_INCH,
    NM_PER_LBF_FT,
    NM_PER_LBF_IN,
    QuantityError,
    format_length,
    format_torque,
    parse_length,
)
from decoder.records import Joint, Tighten
from decoder.reference import Reference
from decoder.substitutes import Answer, Offer, instead, specified_only, substitutes
from decoder.tightening import Band
from decoder.verbs._citing import citations
from decoder.writing import shown, trimmed

NAME = "joint"
HELP = "a joint of a vehicle: its stack, lengths, spanners, how tight, what must be new, what to beware of"
EXAMPLES = (
    "decoder joint pannier-utility/engine-front/camshaft-plate",
    "decoder joint pannier-utility/engine-front/camshaft-plate --json",
    'decoder joint pannier-utility/engine-front/camshaft-plate --instead "5/16 UNF" --instead-length "7/8 in"',
)
BATCH = True
BATCH_TEXT = "joint"

#: Plain figures of `JointFigures` that results carry under their own name.
_PLAIN = (
    "id", "title", "sentence", "duty", "safety_critical", "grip_mm", "length_mm", "length_needed_mm",
    "length_longest_mm", "length_how", "stock_length", "gap_mm", "engagement_mm", "left_in_hole",
    "engagement_needed_mm", "engagement_how", "protrusion_mm", "protrusion_needed_mm", "thread_in_grip_mm",
    "bench_check", "preload_n", "torque_from", "torque_why", "procedure",
)  # fmt: skip

#: How a joint is tightened, as its record says it; the procedure, which may be the duty's, is among the figures.
_TIGHTEN: Mapping[str, str] = {
    "order": "order",
    "when": "when",
    "lubricant": "on the thread",
    "sealant": "sealant",
    "threadlock": "threadlock",
    "again": "go over it again",
}


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the joint's id, and what someone has in hand instead."""
    parser.add_argument("joint", metavar="JOINT", help="vehicle/assembly/joint, as the records name them")
    parser.add_argument("--instead", metavar="THREAD", help="may a bolt of this thread go in instead: M8, 5/16 SAE")
    parser.add_argument("--instead-strength", metavar="GRADE", help="may this grade: SAE 8, 10.9, A2-70")
    parser.add_argument("--instead-length", metavar="LENGTH", help="may this length: 1-1/4 in, 30 mm")
    parser.add_argument("--instead-nut", metavar="KIND", help="may this kind of nut: nylon-insert, plain, castellated")
    parser.add_argument("--instead-washer", metavar="KIND", help="may this kind of washer: plain, penny, copper-crush")
    parser.add_argument("--instead-finish", metavar="FINISH", help="may this finish: zinc, cadmium, plain")
    parser.add_argument("--instead-material", metavar="MATERIAL", help="may this material: stainless, brass")


def answer(options: argparse.Namespace, data: Data) -> Mapping[str, Any]:
    """What the joint comes to; raises QuantityError where there is no such joint."""
    joint = _find(options.joint, data.fleet)
    reference = data.reference
    found = figures(joint.id, joint.record, reference, _findings(joint, data.fleet, reference))
    offer = _offer(options, reference)
    return {
        **result(found, joint.record, reference),
        "specified_only": specified_only(joint.record, reference),
        "substitutes": [_substitute(each) for each in substitutes(joint.record, reference)],
        "instead": _substitute(instead(joint.record, reference, offer)) if offer != Offer() else None,
    }


def _offer(options: argparse.Namespace, reference: Reference) -> Offer:
    thread, strength, length = options.instead, options.instead_strength, options.instead_length
    return Offer(
        thread=reference.threads.find(thread) if thread else None,
        grade=reference.strengths.find(strength, "bolt") if strength else None,
        length=parse_length(length) if length else None,
        nut=reference.nuts.find(options.instead_nut) if options.instead_nut else None,
        washer=reference.washers.find(options.instead_washer) if options.instead_washer else None,
        finish=reference.finishes.find(options.instead_finish) if options.instead_finish else None,
        material=reference.materials.find(options.instead_material) if options.instead_material else None,
        written=thread or "",
    )


def _substitute(found: Answer) -> dict[str, Any]:
    return {"about": found.about, "what": found.what, "verdict": found.verdict, "reasons": list(found.reasons)}


def result(found: JointFigures, record: Joint, reference: Reference) -> dict[str, Any]:
    """A joint's figures as JSON has them: lengths in mm, loads in N, null with a reason in `unknown`.

    What its record says in words comes along: `direction`, `tighten`, `note`, and the `note` of each part and place.
    """
    torque = found.torque_nm
    tighten = record.tighten or Tighten()
    named = record.places if isinstance(record.places, Mapping) else {}
    return {
        **{name: getattr(found, name) for name in _PLAIN},
        "left_hand": left_hand_words(record, reference.threads),
        "direction": record.direction or "",
        "stack": [
            {**dataclasses.asdict(part), "note": record.stack[part.number - 1].note or ""} for part in found.stack
        ],
        "places": [{**_place(place), "note": named[place.name].note or ""} for place in found.places],
        "tighten": {name: getattr(tighten, name) or "" for name in _TIGHTEN},
        "note": record.note or "",
        "torque_nm": _band(torque),
        "torque_lbf_ft": _band(torque.times(1 / NM_PER_LBF_FT) if torque else None),
        "torque_lbf_in": _band(torque.times(1 / NM_PER_LBF_IN) if torque else None),
        "computed_torque_nm": _band(found.tightening.torque_nm if found.tightening else None),
        "working": list(found.tightening.working) if found.tightening else [],
        "k": _band(found.tightening.k if found.tightening else None),
        "chart_nm": found.tightening.chart_nm if found.tightening else None,
        "slots": _slots(found),
        "drag_nm": found.drag.least_nm if found.drag else None,
        "drag": found.drag.words if found.drag else "",
        "spanners": [dataclasses.asdict(spanner) for spanner in found.spanners],
        "tools": list(found.tools),
        "weakest": dataclasses.asdict(found.weakest) if found.weakest else None,
        "renew": list(found.renew),
        "assumes": list(found.assumes),
        "cautions": list(found.cautions),
        "unknown": dict(found.unknown),
        "findings": [dataclasses.asdict(finding) for finding in found.findings],
        "sources": citations(found.provenances, reference.sources),
    }


def _band(band: Band | None) -> dict[str, float] | None:
    return None if band is None else {"low": band.low, "high": band.high}


def _slots(found: JointFigures) -> dict[str, Any] | None:
    slots = found.slots
    if slots is None:
        return None
    return {"count": slots.count, "turn_deg": slots.turn_deg, "advance_mm": slots.advance_mm, "words": slots.words}


def _place(place: Any) -> dict[str, Any]:
    names = ("name", "count", "length_mm", "written", "into", "differs", "grip_mm", "engagement_mm", "protrusion_mm")
    return {name: getattr(place, name) for name in names}


def _find(joint_id: str, fleet: Fleet) -> FleetJoint:
    try:
        return fleet.joint(joint_id.strip().strip("/"))
    except KeyError:
        known = [joint.id for joint in fleet.joints()]
        asked = joint_id.strip().strip("/").casefold()
        ending = tuple(each for each in known if each.rsplit("/", 1)[-1] == asked.rsplit("/", 1)[-1])
        near = ending or tuple(difflib.get_close_matches(asked, known, n=3))
        if near:
            raise QuantityError(
                f"'{shown(joint_id)}' is no joint of the records: did you mean {' or '.join(near)}?"
            ) from None
        raise QuantityError(
            f"'{shown(joint_id)}' is no joint of the records: write vehicle/assembly/joint as their files name them."
        ) from None


def _findings(joint: FleetJoint, fleet: Fleet, reference: Reference) -> tuple[Finding, ...]:
    """What the checks find in this joint."""
    vehicle = fleet.vehicles[joint.vehicle]
    start = f"joints.{joint.key}"
    found = check_fleet(Fleet(vehicles={joint.vehicle: vehicle}), reference)
    return tuple(
        each for each in found
        if each.file == joint.file and (each.field == start or each.field.startswith((f"{start}.", f"{start}[")))
    )  # fmt: skip


def words(result: Mapping[str, Any]) -> str:
    """The joint in working order: what goes in, spanners, how tight, what must be new, what to beware of."""
    return "\n".join(_words(result))


def _words(result: Mapping[str, Any]) -> Iterator[str]:
    yield f"{result['title']}  ({result['id']})"
    if result["left_hand"]:
        yield f"  {result['left_hand'].upper()}: it tightens anticlockwise"
    yield f"  {result['sentence']}"
    yield ""
    yield "Stack, from the head"
    for part in result["stack"]:
        taken = f", {part['taken_from']}" if part["taken_from"] not in ("", "measured") else ""
        thick = "" if part["thickness_mm"] is None or not taken else f", {format_length(part['thickness_mm'])}{taken}"
        many = f", {part['per_place']} at each place" if part["per_place"] > 1 else ""
        yield f"  {part['number']}. {part['what']}: {part['words']}{thick}{many}"
        if part["note"]:
            yield f"     {part['note']}"
    if result["direction"]:
        yield f"  {'goes in':<18}{result['direction']}"
    for name, label in _LENGTHS:
        if result[name] is not None:
            yield f"  {label:<18}{format_length(_readable(result[name]))}{_beside(name, result)}"
        elif name in result["unknown"]:
            yield f"  {label:<18}not known: {result['unknown'][name]}"
    for place in result["places"]:
        yield f"  {place['name']:<18}{_place_words(place)}{'. ' if place['note'] else ''}{place['note']}"
    if result["bench_check"]:
        yield f"  {result['bench_check']}"
    if result["spanners"] or result["tools"]:
        yield ""
        yield "Spanners"
        yield from (f"  {each['role']:<5} {each['marking']}: {each['why']}" for each in result["spanners"])
        yield from (f"  {tool}" for tool in result["tools"])
    yield ""
    yield from _tight(result)
    notes = [result["note"]] if result["note"] else []
    for title, lines in (("New every time", result["renew"]), ("Beware", result["cautions"]), ("Note", notes)):
        if lines:
            yield ""
            yield title
            yield from (f"  {line}" for line in lines)
    yield ""
    yield from _instead(result)
    if result["findings"]:
        yield ""
        yield "The checks found"
        yield from (f"  {each['level']}: {each['field']}: found {each['found']}, expected {each['expected']}; "
                    f"{each['fix']}" for each in result["findings"])  # fmt: skip
    yield ""
    yield "Sources"
    yield from (f"  {source}" for source in result["sources"])


def _place_words(place: Mapping[str, Any]) -> str:
    """How many, of what length, and what else is another there; a nut or pin has no length of its own."""
    many = f"{place['count']} of {place['written']}" if place["written"] else str(place["count"])
    into = f"into {place['into']}" if place["into"] else ""
    held = place["engagement_mm"]
    thread = f"{format_length(_readable(held))} of thread engaged" if held is not None and place["differs"] else ""
    return ", ".join(filter(None, (many, into, place["differs"], thread)))


def _instead(result: Mapping[str, Any]) -> Iterator[str]:
    """What was asked about with its reasons, else what there is to say in short."""
    asked = result["instead"]
    if asked is None and not result["specified_only"] and not result["substitutes"]:
        return
    yield "Instead"
    if asked is not None:
        yield f"  {asked['what']}: {asked['verdict']}"
        yield from (f"    {reason}" for reason in asked["reasons"])
        return
    if result["specified_only"]:
        yield f"  {result['specified_only']}"
        return
    for verdict in ("allowed", "not known", "refused"):
        named = [each["what"] for each in result["substitutes"] if each["verdict"] == verdict]
        if named:
            yield f"  {verdict:<10}{', '.join(named)}"
    yield "  why: --instead THREAD, and --instead-strength, -length, -nut, -washer, -finish, -material"


_LENGTHS = (
    ("grip_mm", "grip"),
    ("length_mm", "length"),
    ("length_needed_mm", "needs at least"),
    ("engagement_mm", "thread engaged"),
    ("engagement_needed_mm", "thread wanted"),
    ("protrusion_mm", "stands out"),
)


def _readable(mm: float) -> float:
    """As recorded where it is a fraction of an inch, else to a hundredth of a millimetre."""
    return mm if abs(mm * 64 / MM_PER_INCH - round(mm * 64 / MM_PER_INCH)) < 1e-6 else round(mm, 2)


def _beside(name: str, result: Mapping[str, Any]) -> str:
    if name == "length_needed_mm":
        stock = f"; next length kept {result['stock_length']}" if result["stock_length"] else ""
        return f" ({result['length_how']}{stock})"
    if name == "grip_mm" and result["gap_mm"]:
        return f" (with a gap of {format_length(_readable(result['gap_mm']))} that stays open)"
    if name == "engagement_mm" and result["left_in_hole"]:
        return f" ({result['left_in_hole']})"
    return f" ({result['engagement_how']})" if name == "engagement_needed_mm" and result["engagement_how"] else ""


def _tight(result: Mapping[str, Any]) -> Iterator[str]:
    yield "How tight"
    torque = result["torque_nm"]
    if torque is not None:
        yield f"  {format_torque(torque['low'], torque['high'])}, {result['torque_from']}"
    else:
        yield f"  no figure: {result['torque_why']}"
    computed = result["computed_torque_nm"]
    if result["torque_from"] == "stated" and computed is not None:
        yield f"  size and grade come to {format_torque(computed['low'], computed['high'])}"
    yield from (f"  {line}" for line in (*result["working"], *result["assumes"]))
    yield from (f"  {label:<18}{said}" for name, label in _TIGHTEN.items() if (said := result["tighten"][name]))
    if result["procedure"]:
        yield f"  {result['procedure']}"
    if result["slots"]:
        yield f"  {result['slots']['words']}"
    if result["drag"]:
        yield f"  {result['drag']}"
    if result["weakest"]:
        first = result["weakest"]
        meant = f"; meant: {first['on_purpose']}" if first["on_purpose"] else ""
        yield f"  gives way first: {first['part']}, {trimmed(first['load_n'] / 1000, 1)} kN ({first['how']}){meant}"
