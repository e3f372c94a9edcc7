"""`decoder identify`: what a fastener can be, from whatever was seen and measured, and what to look at next."""

from __future__ import annotations

import argparse
import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from decoder.command import Data
from decoder.identification.model import UNMARKED_GRADES
from decoder.identification.observations import BLANK
from decoder.identify import KEYS, Index, ObservationError, build_index, identify, vehicle_part
from decoder.marks import Marks, Part
from decoder.quantities import (
    Length,
    QuantityError,
    format_length,
    format_pitch,
    parse_angle,
    parse_count,
    parse_length,
    parse_pitch,
)
from decoder.queries import read_query
from decoder.reference import Reference
from decoder.writing import shown, trimmed

NAME = "identify"
HELP = "what a bolt, nut or stud can be, from what you see and measure; says so when it cannot tell"
EXAMPLES = (
    'decoder identify --diameter "7.9 mm" --pitch "24 tpi"',
    'decoder identify --diameter "9.4 mm ±0.1 mm" --threads 10 --over "12 mm" --counted crests',
    'decoder identify --kind nut --minor-diameter "6.8 mm" --trial "M8x1.25: runs on"',
    'decoder identify --diameter "5/16 in" --measured-with rule --head-mark "3 radial lines" --spanner "1/2 AF"',
)
BATCH = True

#: Other words that people use for the kinds.
_KIND_WORDS = {
    "hex bolt": "bolt",
    "hexagon bolt": "bolt",
    "setscrew": "bolt",
    "set screw": "bolt",
    "cap screw": "bolt",
    "machine screw": "screw",
    "hex nut": "nut",
    "hexagon nut": "nut",
    "lock nut": "nut",
    "castle nut": "castellated nut",
    "slotted nut": "castellated nut",
    "hub nut": "castellated nut",
    "lug nut": "wheel nut",
    "lug bolt": "wheel bolt",
    "hole": "tapped hole",
    "thread in a hole": "tapped hole",
    "pipe nut": "union",
    "union nut": "union",
    "tube nut": "union",
    "brake pipe nut": "union",
    "drain plug": "plug",
    "bleeder": "bleed screw",
    "bleed nipple": "bleed screw",
    "nipple": "grease nipple",
    "tapping screw": "self-tapping screw",
    "self tapper": "self-tapping screw",
    "woodscrew": "wood screw",
    "split pin": "pin",
    "cotter pin": "pin",
    "clip": "circlip",
}

#: Other words for the names of the index.
_WORDS = {
    "calipers": "digital calipers",
    "digital": "digital calipers",
    "vernier": "vernier calipers",
    "ruler": "rule",
    "guess": "eye",
    "leaf gauge": "leaf",
    "pitch gauge": "leaf",
    "thread gauge": "leaf",
    "stainless steel": "stainless",
    "spaces": "pitches",
    "gaps": "pitches",
    "left-hand": "left",
    "right-hand": "right",
    "lh": "left",
    "rh": "right",
    "zinc plated": "zinc",
    "cadmium plated": "cadmium",
    "rusted": "rusty",
    "hex": "hexagon",
    "slotted": "slot",
    "phillips": "cross",
    "allen": "hexagon socket",
}

#: Other words for shapes of heads, and for kinds of nut.
_HEAD_WORDS = {
    "flange": "hexagon-flange",
    "flanged": "hexagon-flange",
    "hex": "hexagon",
    "coach": "round-square-neck",
    "carriage": "round-square-neck",
    "cap": "socket-cap",
    "button": "socket-button",
    "csk": "countersunk",
}
_NUT_WORDS = {"nylon": "nylon-insert", "castle": "castellated", "acorn": "dome", "domed": "dome", "jam": "thin"}

_TRIAL = re.compile(r"(?P<thread>[^:]+?)\s*:\s*(?P<said>.+)")
_OUTCOMES = (
    (r"(?:(?:will|does|did|would) not|won't|doesn't|didn't) (?:start|go|go on|enter)", "will not start"),
    (
        r"(?:binds|bound|tight|stops|jams|locks)(?: up)?(?: (?:after|at))?(?: about)?(?: (?P<turns>.+?))?(?: turns?)?",
        "binds",
    ),
    (r"(?:runs|ran|goes|went|screws) (?:on|in|through)(?: (?:fully|freely|all the way|loosely))?", "runs on"),
    (r"(?:wobbles|rocks|loose|sloppy|runs on and rocks)(?: half-?way)?", "wobbles"),
)  # fmt: skip


def configure(parser: argparse.ArgumentParser) -> None:
    """Add an option for every observation; none is needed, and none excludes another."""
    add = parser.add_argument
    add("--thread", metavar="YES|NO", help="whether it has a thread at all")
    add("--kind", metavar="KIND", help="bolt, screw, stud, nut, wheel nut, union, plug, washer …")
    add("--diameter", metavar="LENGTH", help="outside of the thread, such as 7.9 mm or 7.9 mm ±0.05 mm")
    add("--minor-diameter", metavar="LENGTH", help="bore of a nut or tapped hole, across the crests")
    add(
        "--measured-with",
        metavar="TOOL",
        help="digital calipers (usual), vernier calipers, micrometer, rule, name (a size by its name) or eye",
    )
    add("--pitch", metavar="PITCH", help="such as 24 tpi or 1.25 mm")
    add("--pitch-with", metavar="HOW", help="leaf (usual) or known bolt")
    add("--threads", metavar="N", help="how many threads were counted, with --over")
    add("--over", metavar="LENGTH", help="the length over which --threads were counted")
    add("--counted", metavar="WHAT", help="whether crests or pitches (the spaces between) were counted")
    add(
        "--trial",
        metavar="TEXT",
        action="append",
        help="a known thread tried on: 'M10x1.25: binds 6' turns, 'M8: runs on', '…: wobbles', '…: will not start'",
    )
    add("--flank-angle", metavar="ANGLE", help="angle between the flanks, such as 55°")
    add("--crest", metavar="SHAPE", help="flat or rounded")
    add("--across-flats", metavar="LENGTH", help="width across the flats of the hexagon")
    add("--spanner", metavar="MARKING", help="the spanner that fits, such as 13 mm, 1/2 AF, 1/4W")
    add("--head-height", metavar="LENGTH", help="height of the head, or of the nut")
    add("--head-mark", metavar="MARK", action="append", help="what the head shows: 3 radial lines, 8.8, none")
    add("--nut-mark", metavar="MARK", action="append", help="what the nut shows")
    add("--head", metavar="SHAPE", help="shape of the head: hexagon, hexagon-flange, cheese, countersunk …")
    add("--nut-top", metavar="KIND", help="kind of nut, by its top: plain, castellated, nylon-insert, dome, flange …")
    add("--drive", metavar="DRIVE", help="hexagon, slot, cross, hexagon socket, square …")
    add("--length", metavar="LENGTH", help="length as the trade measures this head")
    add("--material", metavar="MATERIAL", help="steel, stainless, brass, aluminium …")
    add("--finish", metavar="FINISH", help="zinc, cadmium, black, painted, plain …")
    add("--hand", metavar="HAND", help="left or right")
    add("--condition", metavar="CONDITION", help="new, plated, worn, rusty or painted")
    add("--vehicle", metavar="VEHICLE", help="the vehicle it comes from: raises the odds of the threads used there")
    add("--assembly", metavar="ASSEMBLY", help="the assembly it comes from")
    add("--cannot", metavar="WHAT", action="append", help="what you cannot make out, such as pitch: not asked for next")
    add("--have", metavar="TOOL", action="append", help="what you have for the next measure: calipers, leaf gauge …")


def answer(options: argparse.Namespace, data: Data) -> Mapping[str, Any]:
    """What it can be; raises QuantityError where an option cannot be used."""
    index = _index(data.reference)
    observed = _observations(options, data.reference, index)
    try:
        found = identify(observed, index, vehicle=_vehicle(options, data))
    except ObservationError as error:
        raise QuantityError(str(error)) from error
    return found.as_json()


def status(result: Mapping[str, Any]) -> int:
    """1 where no thread can be named at all."""
    return 0 if result["candidates"] else 1


_prepared: list[tuple[Reference, Index]] = []


def _index(reference: Reference) -> Index:
    """The index of these tables, made once for all lines of a batch."""
    for known, index in _prepared:
        if known is reference:
            return index
    index = Index.load(build_index(reference))
    _prepared[:] = [(reference, index)]
    return index


# Reading the options.


def _observations(options: argparse.Namespace, reference: Reference, index: Index) -> dict[str, Any]:
    names = index.data
    kind = _name("kind", options.kind, names["kinds"], _KIND_WORDS)
    threaded = _name("thread", options.thread, ("yes", "no"), {"true": "yes", "false": "no"})
    tool = _name("measured-with", options.measured_with, names["instruments"], _WORDS)
    observed: dict[str, Any] = {
        "has_thread": None if threaded is None else threaded == "yes",
        "kind": kind,
        "diameter": _measure(options.diameter, tool),
        "minor_diameter": _measure(options.minor_diameter, tool),
        "pitch": _pitch(options),
        "count": _count(options, tool),
        "trials": [_trial(text, reference) for text in options.trial or ()],
        "flank_angle": None if options.flank_angle is None else {"degrees": parse_angle(options.flank_angle)},
        "crest": _name("crest", options.crest, ("flat", "rounded"), {"round": "rounded"}),
        "across_flats": _measure(options.across_flats, None),
        "spanner": _spanner(options.spanner, reference),
        "head_height": _measure(options.head_height, None),
        "length": _measure(options.length, None),
        "head": _name("head", options.head, names["heads"], _HEAD_WORDS),
        "nut_top": _name("nut-top", options.nut_top, names["nut_tops"], _NUT_WORDS),
        "drive": _name("drive", options.drive, names["drives"], _WORDS),
        "head_marks": [_mark(text, reference.marks, ("bolt head",), kind) for text in options.head_mark or ()],
        "nut_marks": [_mark(text, reference.marks, ("nut",), kind) for text in options.nut_mark or ()],
        "material": _name("material", options.material, names["materials"], _WORDS),
        "finish": _name("finish", options.finish, names["finishes"], _WORDS),
        "hand": _name("hand", options.hand, ("left", "right"), _WORDS),
        "condition": _name("condition", options.condition, _conditions(index), _WORDS),
        "vehicle": options.vehicle,
        "assembly": options.assembly,
        "cannot": [_observed(text) for text in options.cannot or ()],
        "has": [_name("have", text, names["tools"], {}) for text in options.have] if options.have else None,
    }
    return {key: value for key, value in observed.items() if value not in (None, [])}


def _observed(text: str) -> str:
    """An observation by the name of its option."""
    known = {key.replace("_", " "): key for key in KEYS}
    return known[_name("cannot", text.replace("-", " "), tuple(known), {}) or ""]


def _conditions(index: Index) -> list[str]:
    return [name for name in index.data["conditions"] if name != "unknown"]


def _name(
    option: str, text: str | None, known: Sequence[str] | Mapping[str, Any], words: Mapping[str, str]
) -> str | None:
    """One of the known names, however it is written."""
    if text is None:
        return None
    plain = re.sub(r"[\s_]+", " ", text.strip().lower())
    plain = words.get(plain, plain)
    singular = plain.removesuffix("s")
    for name in (plain, plain.replace("-", " "), plain.replace(" ", "-"), singular, words.get(singular, singular)):
        if name in known:
            return name
    near = difflib.get_close_matches(plain, [*known, *words], n=1)
    meant = f"write {words.get(near[0], near[0])}, or " if near else "write "
    raise QuantityError(f"--{option} '{shown(text)}' is not known: {meant}one of {', '.join(known)}.")


def _measure(text: str | None, tool: str | None) -> dict[str, Any] | None:
    if text is None:
        return None
    length = parse_length(text)
    return {"mm": length.mm, "tolerance_mm": length.tolerance_mm, "instrument": tool}


def _pitch(options: argparse.Namespace) -> dict[str, Any] | None:
    if options.pitch is None:
        if options.pitch_with is not None:
            raise QuantityError("--pitch-with stands without --pitch: write the pitch too, such as --pitch '24 tpi'.")
        return None
    pitch = parse_pitch(options.pitch)
    return {
        "mm": pitch.pitch_mm,
        "tolerance_mm": pitch.tolerance_mm,
        "threads_per_inch": pitch.threads_per_inch,
        "method": _name("pitch-with", options.pitch_with, ("leaf", "known bolt"), _WORDS),
    }


def _count(options: argparse.Namespace, tool: str | None) -> dict[str, Any] | None:
    if options.threads is None and options.over is None:
        return None
    if options.threads is None or options.over is None:
        raise QuantityError("--threads and --over go together: write both, such as --threads 10 --over '12 mm'.")
    over: Length = parse_length(options.over)
    return {
        "threads": parse_count(options.threads),
        "over_mm": over.mm,
        "tolerance_mm": over.tolerance_mm,
        "instrument": tool if tool in ("digital calipers", "vernier calipers") else None,
        "counted": _name("counted", options.counted, ("crests", "pitches"), _WORDS),
    }


def _trial(text: str, reference: Reference) -> dict[str, Any]:
    match = _TRIAL.fullmatch(text.strip())
    if match is None:
        raise QuantityError(
            f"--trial '{shown(text)}' has no colon: write it like 'M10x1.25: binds 6', 'M8: runs on', "
            "'M8: wobbles' or 'M8: will not start'."
        )
    thread = reference.threads.find(match["thread"])
    said = re.sub(r"\s+", " ", match["said"].strip().lower())
    for pattern, outcome in _OUTCOMES:
        found = re.fullmatch(pattern, said)
        if found:
            turns = found.groupdict().get("turns")
            return {
                "with": thread.designation.removesuffix(" LH"),
                "outcome": outcome,
                "turns": None if turns is None else _turns(turns, text),
            }
    raise QuantityError(
        f"--trial '{shown(text)}' has no outcome: write 'will not start', 'binds 6', 'runs on' or 'wobbles'."
    )


def _turns(text: str, whole: str) -> float:
    words = {"a": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0, "half": 0.5}
    if text in words:
        return words[text]
    if re.fullmatch(r"[0-9]{1,3}(?:[.,][0-9]+)?", text):
        return min(float(text.replace(",", ".")), 200.0)
    raise QuantityError(f"--trial '{shown(whole)}' has no number of turns: write it like 'M10x1.25: binds 6'.")


def _spanner(text: str | None, reference: Reference) -> dict[str, Any] | None:
    if text is None:
        return None
    spanner = reference.spanners.find(text)
    return {"jaw_mm": spanner.jaw_mm, "marking": spanner.marking}


def _grade(text: str) -> str | None:
    """The grade that a text names with its standard or the word 'grade'; a bare figure is what a head reads."""
    try:
        readings = read_query(text).readings
    except QuantityError:
        return None
    named = [reading.strength for reading in readings if reading.kind == "strength"]
    return named[0] if len(named) == len(readings) == 1 and str(named[0]).startswith("SAE ") else None


def _mark_of_grade(grade: str, marks: Marks, part: Part) -> str:
    if part == "bolt head" and grade in UNMARKED_GRADES:
        return BLANK
    names = (grade, grade.replace("SAE ", "SAE nut "))
    claims = [
        (mark.id, meaning.certainty)
        for mark in marks
        if mark.on == part
        for meaning in mark.means
        if meaning.grade in names
    ]
    firm = [mark for mark, certainty in claims if certainty == "well supported"] or [mark for mark, _ in claims]
    if len(firm) == 1:
        return firm[0]
    if not firm:
        raise QuantityError(f"The tables know no mark for {grade}: say what is seen, such as '3 lines' or 'none'.")
    raise QuantityError(f"{grade} is claimed by several marks: say which is seen, one of {', '.join(firm)}.")


def _mark(text: str, marks: Marks, usual: tuple[Part, ...], kind: str | None) -> str:
    """The mark meant; on the usual part where the words fit marks of several parts.

    A grade by its name is the mark that claims it, never a count of lines.
    """
    grade = _grade(text)
    if grade is not None:
        return _mark_of_grade(grade, marks, "nut" if "nut" in usual else "bolt head")
    if text in marks:
        return text
    parts: list[Part | None] = [*usual, None]
    if kind == "stud" and usual != ("nut",):
        parts.insert(0, "stud end")
    for part in parts[:-1]:
        if len(marks.search(text, part)) > 0:
            return marks.find(text, part).id
    return marks.find(text).id


def _vehicle(options: argparse.Namespace, data: Data) -> dict[str, Any] | None:
    if options.vehicle is None:
        if options.assembly is not None:
            raise QuantityError("--assembly stands without --vehicle: write the vehicle too.")
        return None
    fleet = data.fleet
    if options.vehicle not in fleet.vehicles:
        known = ", ".join(fleet.vehicles) or "none: there are no vehicles in the records"
        raise QuantityError(f"--vehicle '{shown(options.vehicle)}' is not in the records: write one of {known}.")
    vehicle = fleet.vehicles[options.vehicle]
    if options.assembly is not None and options.assembly not in vehicle.assemblies:
        raise QuantityError(
            f"--assembly '{shown(options.assembly)}' is not one of this vehicle's: "
            f"write one of {', '.join(vehicle.assemblies)}."
        )
    return vehicle_part(vehicle, data.reference.threads)


# Words.

_SHOWN = 5


def words(result: Mapping[str, Any]) -> str:
    """The answer for someone with the part in hand: the verdict first, then why, what to beware of, what to do next."""
    return "\n".join(
        (
            result["certainty"]["text"],
            *_contradiction(result),
            "",
            *_candidates(result),
            *(("", f"Next: {result['next'][0]['how']}") if result["next"] else ()),
            "",
            f"Strength: {result['strength_text']}",
            *_warnings(result["warnings"]),
        )
    )


def _contradiction(result: Mapping[str, Any]) -> Iterator[str]:
    if result["contradiction"]:
        yield result["contradiction"]["text"]


def _candidates(result: Mapping[str, Any]) -> Iterator[str]:
    if not result["candidates"]:
        return
    listed = [entry for entry in result["candidates"] if entry["probability"] >= 0.01] or result["candidates"][:1]
    for entry in listed[:_SHOWN]:
        per_inch = None if entry["family"] in ("M", "BA") else 25.4 / entry["pitch_mm"]
        size = f"{format_length(entry['major_mm'])}, {format_pitch(entry['pitch_mm'], per_inch)}"
        yield f"{entry['designation']:<16}{entry['words']}, {_percent(entry['probability'])}   {size}"
        yield from (f"    + {reason}" for reason in entry["for"])
        yield from (f"    - {reason}" for reason in entry["against"])
        if entry["joints"]:
            yield f"    goes in: {', '.join(entry['joints'][:4])}"
    if len(listed) > _SHOWN:
        yield f"and {len(listed) - _SHOWN} more"
    yield f"{'none of these':<16}{_percent(result['none_of_these'])}"


def _percent(share: float) -> str:
    if share > 0.995:
        return "over 99 %"
    return f"{trimmed(100 * share, 0)} %" if share >= 0.005 else "under 1 %"


def _warnings(warnings: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    if warnings:
        yield ""
        yield "Beware"
        yield from (f"  {warning['text']}" for warning in warnings)
