"""`decoder size`: everything about one thread, its heads and nuts with their spanners, and what it is mistaken for."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from decoder.command import Data
from decoder.designations import parse_designation
from decoder.hexagons import Hexagon
from decoder.lookalikes import Lookalike, Meeting, lookalikes
from decoder.quantities import MM_PER_INCH, System, format_angle, format_inch, format_length, format_mm, format_pitch
from decoder.reference import Reference
from decoder.spanners import spanners_for, that_round
from decoder.threads import Limits, Thread, limits
from decoder.verbs._citing import citations
from decoder.writing import trimmed

NAME = "size"
HELP = "everything about a thread: diameters, heads and nuts with their spanners, and what it is mistaken for"
EXAMPLES = ("decoder size 5/16-24", "decoder size M8", 'decoder size "1/4 BSF"', "decoder size 2BA --json")
BATCH = True
BATCH_TEXT = "designation"

#: Diameters further apart than this are told apart by any caliper, worn parts included.
_CALIPER_TELLS_MM = 0.6

#: Fits a person would call the spanner for this head.
_FITTING = ("right", "goes")


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the thread's designation."""
    parser.add_argument(
        "designation",
        metavar="DESIGNATION",
        help="a thread as you would write it: 5/16-24, 5/16 UNF, M8, M8x1.25, 1/4 BSF, 2BA, No. 10-32, G 1/8",
    )


def answer(options: argparse.Namespace, data: Data) -> Mapping[str, Any]:
    """The thread that the designation means; raises QuantityError where it means none or several."""
    reference = data.reference
    thread = reference.threads.find(options.designation)
    heads = reference.hexagons.for_thread(thread)
    return {
        "designation": thread.designation,
        "slug": thread.slug,
        "assumed": list(parse_designation(options.designation).assumed),
        "family": thread.family,
        "series": thread.series,
        "left_hand": thread.left_hand,
        "form": thread.form.name,
        "crest": thread.form.crest,
        "flank_angle_deg": thread.form.flank_angle_deg,
        "major_mm": thread.major_mm,
        "pitch_mm": thread.pitch_mm,
        "threads_per_inch": thread.threads_per_inch,
        "pitch_diameter_mm": thread.pitch_diameter_mm,
        "minor_external_mm": thread.minor_external_mm,
        "minor_internal_mm": thread.minor_internal_mm,
        "thread_height_mm": thread.thread_height_mm,
        "lead_angle_deg": thread.lead_angle_deg,
        "stress_area_mm2": thread.stress_area_mm2,
        "stress_area_formula": thread.stress_area_formula,
        "tap_drill_mm": thread.tap_drill_mm,
        "tap_drill_from": thread.tap_drill_from,
        "tap_drill_percent": round(thread.tap_drill_percent, 1),
        "clearance_hole_mm": thread.clearance_holes.medium_mm if thread.clearance_holes else None,
        "limits": _usual_limits(thread),
        "classes": [_limits(each) for each in limits(thread)],
        "hexagons": [_hexagon(head, reference) for head in heads],
        "lookalikes": [_lookalike(each) for each in lookalikes(thread, reference.threads)],
        "note": thread.note or None,
        "sources": citations(_provenances(thread, heads), reference.sources),
    }


def _provenances(thread: Thread, heads: Iterable[Hexagon]) -> Iterator[Any]:
    yield thread.provenance
    if thread.tap_drill:
        yield thread.tap_drill.provenance
    if thread.clearance_holes:
        yield thread.clearance_holes.provenance
    for head in heads:
        yield head.provenance


def _usual_limits(thread: Thread) -> dict[str, Any] | None:
    """Limits of the class that ordinary bolts are made to, which stands first."""
    return next((_limits(each) for each in limits(thread) if each.member == "external"), None)


def _limits(each: Limits) -> dict[str, Any]:
    return {
        "class": each.thread_class,
        "member": each.member,
        "major_min_mm": each.major_min_mm,
        "major_max_mm": each.major_max_mm,
        "pitch_diameter_min_mm": each.pitch_diameter_min_mm,
        "pitch_diameter_max_mm": each.pitch_diameter_max_mm,
        "minor_min_mm": each.minor_min_mm,
        "minor_max_mm": each.minor_max_mm,
        "by": each.by,
    }


def _hexagon(head: Hexagon, reference: Reference) -> dict[str, Any]:
    choices = spanners_for(head, reference.spanners)
    return {
        "standard": head.standard,
        "product": head.product,
        "part": head.part,
        "outline": head.outline,
        "across_flats_mm": head.across_flats_mm,
        "across_flats_in": head.across_flats_mm / MM_PER_INCH,
        "across_flats_min_mm": head.across_flats_min_mm,
        "across_flats_max_mm": head.across_flats_max_mm,
        "across_corners_min_mm": head.across_corners_min_mm,
        "across_corners_max_mm": head.across_corners_max_mm,
        "head_height_mm": head.height_mm,
        "head_height_min_mm": head.height_min_mm,
        "head_height_max_mm": head.height_max_mm,
        "era": head.era,
        "note": head.note,
        "basis": head.provenance.basis,
        "spanners": [choice.spanner.marking for choice in choices if choice.fit.word in _FITTING],
        "spanner_fits": [
            {"marking": choice.spanner.marking, "fit": choice.fit.word, "slack_mm": choice.fit.slack_mm}
            for choice in choices
        ],
        "spanners_that_round": list(_that_round(head, reference)),
    }


def _that_round(head: Hexagon, reference: Reference) -> Iterator[dict[str, Any]]:
    for choice in that_round(head, reference.spanners):
        yield {"marking": choice.spanner.marking, "slack_mm": choice.fit.slack_mm}


def _lookalike(each: Lookalike) -> dict[str, Any]:
    return {
        "designation": each.designation,
        "pitch_error_mm_per_10mm": each.pitch_error_mm_per_10mm,
        "major_difference_mm": each.major_difference_mm,
        "this_in_that": _meeting(each.this_in_that),
        "that_in_this": _meeting(each.that_in_this),
        "danger": each.danger,
        "text": each.text,
    }


def _meeting(meeting: Meeting) -> dict[str, Any]:
    return {"verdict": meeting.verdict, "turns": meeting.turns, "share": meeting.share, "text": meeting.text}


# Words.


def words(result: Mapping[str, Any]) -> str:
    """The result for someone with the part in hand: what a caliper shows, which spanner, what to beware of."""
    system: System = "inch" if result["threads_per_inch"] is not None else "metric"
    return "\n".join(
        (
            *_heading(result),
            "",
            *_measures(result, system),
            "",
            *_heads(result["hexagons"], system),
            "",
            *_warnings(result["lookalikes"]),
            "",
            "A thread says nothing about strength: read the head, and if it is blank, do not guess.",
            "",
            "Sources",
            *(f"  {source}" for source in result["sources"]),
        )
    )


def _heading(result: Mapping[str, Any]) -> Iterator[str]:
    hand = "left-hand thread: loosens clockwise" if result["left_hand"] else ""
    crest = f"{result['crest']} crests"
    about = f"{result['series']} series" if result["series"] not in ("BA", "pipe", "cycle", "brass") else ""
    yield f"{result['designation']}: {', '.join(filter(None, (about, result['form'], crest, hand)))}"
    for assumed in result["assumed"]:
        yield f"  ({assumed})"
    if result["note"]:
        yield f"  {result['note']}"


def _measures(result: Mapping[str, Any], system: System) -> Iterator[str]:
    def line(name: str, value: str) -> str:
        return f"  {name:<24}{value}"

    usual = result["limits"]
    yield line("outside diameter", f"{format_length(result['major_mm'], system)} nominal")
    if usual and usual["major_min_mm"] is not None and usual["major_max_mm"] is not None:
        low, high = usual["major_min_mm"], usual["major_max_mm"]
        yield line(
            "  a real bolt measures",
            f"{trimmed(low, 2)} to {format_mm(high, 2)} ({_decimal_inch(low)} to {_decimal_inch(high)} in), "
            f"class {usual['class']}, new and unplated",
        )
    yield line("pitch", format_pitch(result["pitch_mm"], result["threads_per_inch"]))
    yield line("flanks", format_angle(result["flank_angle_deg"]))
    yield line("pitch diameter", _decimal_length(result["pitch_diameter_mm"], system))
    yield line("root of the bolt", _decimal_length(result["minor_external_mm"], system))
    yield line("bore of the nut", _decimal_length(result["minor_internal_mm"], system))
    yield line("tap drill", f"{_decimal_length(result['tap_drill_mm'], system)}, {result['tap_drill_from']}")
    if result["clearance_hole_mm"]:
        yield line("clearance hole", f"{_decimal_length(result['clearance_hole_mm'], system)}, medium")
    area = result["stress_area_mm2"]
    yield line("stress area", f"{trimmed(area, 1)} mm² ({trimmed(area / MM_PER_INCH**2, 4)} in²)")


def _heads(heads: Iterable[Mapping[str, Any]], system: System) -> Iterator[str]:
    """Heads and nuts of one width on one line: the width is what a person can tell."""
    grouped: dict[tuple[str, str, float], list[Mapping[str, Any]]] = {}
    for head in heads:
        key = (head["part"], head["outline"], head["across_flats_mm"])
        grouped.setdefault(key, []).append(head)
    if not grouped:
        yield "Heads and nuts: none in the tables for this thread."
        return
    yield "Heads and nuts, across flats (a width fits several threads and fixes none)"
    # Bolts and nuts first; plugs and unions of the same thread are the rarer find.
    for (part, outline, flats_mm), alike in sorted(grouped.items(), key=lambda item: item[0][0] not in ("bolt", "nut")):
        spanners = list(dict.fromkeys(marking for head in alike for marking in head["spanners"]))
        square = ", square" if outline == "square" else ""
        yield (
            f"  {part}{square}: {format_length(flats_mm, system)}; "
            f"spanner {' or '.join(spanners) if spanners else 'not in the tables'}{_not_these(alike)}"
        )
        for standard, products in _by_standard(alike).items():
            yield f"      {standard}: {', '.join(products)}"


def _not_these(heads: Iterable[Mapping[str, Any]]) -> str:
    rounding = {each["marking"]: each["slack_mm"] for head in heads for each in head["spanners_that_round"]}
    if not rounding:
        return ""
    named = ", ".join(f"{marking} ({format_mm(slack, 2)} slack)" for marking, slack in rounding.items())
    return f"; never {named}, which rounds it" if len(rounding) == 1 else f"; never {named}, which round it"


def _by_standard(heads: Iterable[Mapping[str, Any]]) -> dict[str, list[str]]:
    made: dict[str, list[str]] = {}
    for head in heads:
        era = f" ({head['era']})" if head["era"] else ""
        made.setdefault(f"{head['standard']}{era}", []).append(head["product"])
    return made


def _warnings(pairs: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    """Pairs that a caliper does not tell apart with what goes wrong; the others by name."""
    alike = [pair for pair in pairs if abs(pair["major_difference_mm"]) <= _CALIPER_TELLS_MM]
    listed = [pair for pair in alike if pair["danger"] != "low"]
    near = [pair["designation"] for pair in alike if pair["danger"] == "low"]
    others = [pair["designation"] for pair in pairs if pair not in alike]
    if not alike and not others:
        yield "Look-alikes: none in the tables."
        return
    yield "Look-alikes: try the pitch over 10 mm and a known nut before a spanner"
    for pair in listed:
        yield f"  {pair['designation']}: {_apart(pair)}"
        for meeting in (pair["this_in_that"], pair["that_in_this"]):
            if meeting["verdict"] not in ("will not start", "drops through"):
                yield f"      {meeting['text']}"
    if near:
        yield f"  near it as well, and soon felt in a nut: {', '.join(near)}"
    if others:
        yield f"  another diameter, yet one goes into the other: {', '.join(others)}"


def _apart(pair: Mapping[str, Any]) -> str:
    difference = pair["major_difference_mm"]
    if abs(difference) < 0.005:
        diameter = "same outside diameter"
    else:
        diameter = f"{format_mm(abs(difference), 2)} {'thinner' if difference > 0 else 'thicker'}"
    drift = pair["pitch_error_mm_per_10mm"]
    pitch = "same pitch" if drift < 0.005 else f"pitches drift {format_mm(drift, 2)} apart over 10 mm"
    return f"{diameter}, {pitch}"


def _decimal_inch(mm: float) -> str:
    return trimmed(mm / MM_PER_INCH, 4)


def _decimal_length(mm: float, system: System) -> str:
    """Both systems; inches in decimals where the length is no plain fraction of a rule."""
    inches = format_inch(mm)
    inch = inches if "/" in inches and "64" not in inches else f"{_decimal_inch(mm)} in"
    metric = format_mm(mm, 2)
    return f"{inch} ({metric})" if system == "inch" else f"{metric} ({inch})"
