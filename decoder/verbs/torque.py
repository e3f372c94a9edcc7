"""`decoder torque`: the torque that follows from a bolt's size and grade, as a band, with everything it rests on."""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Iterator, Mapping
from typing import Any

from decoder.batches import UsageError
from decoder.command import Data
from decoder.engagement import TappedMaterial
from decoder.joint_torque import kind_governs
from decoder.nut_factors import LUBRICANTS, one_of, read_lubricant
from decoder.quantities import QuantityError, format_torque, parse_length
from decoder.records import parse_record_id
from decoder.reference import Reference
from decoder.strength import Grade
from decoder.threads import Thread
from decoder.tightening import (
    FAMILIES_OF,
    MANUAL_FIRST,
    STAINLESS,
    Band,
    Conditions,
    NoTorqueError,
    Tightening,
    finish_of,
    tighten,
)
from decoder.tightening_texts import TEXTS
from decoder.verbs._citing import citations
from decoder.writing import shown, trimmed

NAME = "torque"
HELP = "the tightening torque that follows from a bolt's size and grade, with what it rests on"
EXAMPLES = (
    'decoder torque 1/2-13 --strength "SAE 5"',
    "decoder torque M8 --strength 8.8 --finish zinc --lubricant oil --reused",
    'decoder torque 5/16-18 --strength "SAE 5" --into aluminium --engagement "5/8 in"',
    'decoder torque 3/8-24 --strength "SAE 8" --nut "SAE nut 5" --json',
    "decoder torque M10 --strength 10.9 --joint cylinder-head",
)
BATCH = True

_LBF_PER_N = 0.2248089430997105


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the size, its grade, and what the torque depends on."""
    parser.add_argument(
        "size", metavar="SIZE", help="the thread, with its pitch: 1/2-13, 5/16 UNF, M8, M10x1.25, 1/4 BSF"
    )
    parser.add_argument(
        "--strength",
        metavar="GRADE",
        required=True,
        help="the grade that the head's mark or a parts list gives: SAE 5, 8.8, A2-70; a head without a mark has none",
    )
    parser.add_argument("--nut", metavar="GRADE", help="grade of the nut, if known: SAE nut 5, nut 8")
    parser.add_argument("--finish", metavar="FINISH", default="plain", help="finish of the bolt (default: plain)")
    parser.add_argument(
        "--lubricant", metavar="WHAT", default="none", help=f"on thread and face: {one_of(LUBRICANTS)} (default: none)"
    )
    parser.add_argument("--reused", action="store_true", help="the bolt has been tightened before")
    parser.add_argument("--into", metavar="MATERIAL", help="what the tapped hole is in: aluminium, cast iron, steel")
    parser.add_argument("--joint", metavar="KIND", help="kind of joint it is in: cylinder-head, flywheel, rocker-cover")
    parser.add_argument("--engagement", metavar="LENGTH", help="thread engaged in that hole: 5/8 in, 16 mm")


def answer(options: argparse.Namespace, data: Data) -> Mapping[str, Any]:
    """The torque, or nulls with `why_not` where none follows; raises QuantityError for what cannot be read."""
    reference = data.reference
    grade = reference.strengths.find(options.strength)
    thread, read_as = _thread(options.size, grade, reference)
    conditions = Conditions(
        finish=finish_of(grade, _finish(options.finish, reference)),
        lubricant=read_lubricant(options.lubricant),
        nut=reference.strengths.find(options.nut, "nut") if options.nut else None,
        reused=options.reused,
        into=_material(options.into, reference),
        grips_mm=parse_length(options.engagement).mm if options.engagement else None,
    )
    if (options.into is None) != (options.engagement is None):
        raise UsageError(
            "torque: --into and --engagement go together: write the material and how much thread is in it."
        )
    kind = _joint_kind(options.joint, reference)
    asked = {
        "designation": thread.designation,
        "grade": grade.name,
        "finish": conditions.finish,
        "lubricant": conditions.lubricant,
        "reused": conditions.reused,
        "stress_area_mm2": thread.stress_area_mm2,
    }
    try:
        if kind and (governed := kind_governs(kind, reference)):
            raise NoTorqueError(governed)
        found = tighten(thread, grade, conditions, reference)
    except NoTorqueError as error:
        return {
            **asked,
            **_nothing(error),
            "sources": citations([thread.provenance, grade.provenance], reference.sources),
        }
    return {**asked, **_result(found, read_as), "sources": citations(found.provenances, reference.sources)}


def status(result: Mapping[str, Any]) -> int:
    """1 where no torque follows."""
    return 1 if result["torque_nm"] is None else 0


def _thread(size: str, grade: Grade, reference: Reference) -> tuple[Thread, tuple[str, ...]]:
    """The thread that a size means; where several families share it, the one that the grade's standard is for."""
    try:
        return reference.threads.find(size), ()
    except QuantityError as error:
        families = next((named for standard, named in FAMILIES_OF if grade.standard.startswith(standard)), ())
        meant = [name for name in error.choices if name.rsplit(" ", 1)[-1] in families]
        if len(meant) != 1:
            raise
    return reference.threads.get(meant[0]), (
        TEXTS["read_as"].format(written=shown(size), thread=meant[0], standard=grade.standard),
    )


def _result(found: Tightening, read_as: tuple[str, ...]) -> dict[str, Any]:
    return {
        "proof_load_n": found.proof_load_n,
        "preload_n": found.preload_n,
        "k": _band(found.k),
        "torque_nm": _band(found.torque_nm),
        "torque_lbf_ft": _band(found.torque_lbf_ft),
        "torque_lbf_in": _band(found.torque_lbf_in),
        "chart_nm": found.chart_nm,
        "limited_by": found.limited_by,
        "why_not": "",
        "working": list(found.working),
        "assumes": [*read_as, *found.assumes],
        "cautions": list(found.cautions),
    }


def _nothing(error: NoTorqueError) -> dict[str, Any]:
    numbers = ("proof_load_n", "preload_n", "k", "torque_nm", "torque_lbf_ft", "torque_lbf_in", "chart_nm")
    return {
        **dict.fromkeys(numbers),
        "limited_by": "",
        "why_not": f"{error}.",
        "working": [],
        "assumes": [],
        "cautions": [MANUAL_FIRST],
    }


def _band(band: Band) -> dict[str, float]:
    return {"low": band.low, "high": band.high}


def _finish(text: str, reference: Reference) -> str:
    if text.strip().casefold() in (STAINLESS, "stainless steel"):
        return STAINLESS
    return reference.finishes.find(text).id


def _joint_kind(text: str | None, reference: Reference) -> str:
    if text is None:
        return ""
    asked = parse_record_id(text.strip())
    if asked in reference.joint_kinds:
        return asked
    near = difflib.get_close_matches(asked, reference.joint_kinds, n=3)
    choices = f"did you mean {one_of(near)}" if near else "the kinds are the files of joint-kinds"
    raise QuantityError(f"'{shown(text)}' is no kind of joint: {choices}.", tuple(near))


def _material(text: str | None, reference: Reference) -> TappedMaterial | None:
    if text is None:
        return None
    materials = reference.joint_tables.materials
    found = materials.get(reference.materials.find(text).id)
    if found is None:
        known = one_of(sorted(each.id.replace("-", " ") for each in materials))
        raise QuantityError(f"no figures were found for threads in '{shown(text)}': write one of {known}.")
    return found


def words(result: Mapping[str, Any]) -> str:
    """The band in both systems, then what it assumes and what to beware of."""
    return "\n".join(_words(result))


def _words(result: Mapping[str, Any]) -> Iterator[str]:
    yield f"{result['designation']}, {result['grade']}"
    torque = result["torque_nm"]
    if torque is None:
        yield f"  no torque: {result['why_not']}"
    else:
        yield f"  torque        {format_torque(torque['low'], torque['high'])}"
        yield f"  usual K       {format_torque(result['chart_nm'])}"
        yield f"  clamping      {_load(result['preload_n'])}"
        yield f"  proof load    {_load(result['proof_load_n'])} on {trimmed(result['stress_area_mm2'], 1)} mm²"
    for title, lines in (
        ("Worked out", result["working"]),
        ("It assumes", result["assumes"]),
        ("Beware", result["cautions"]),
    ):
        if lines:
            yield ""
            yield title
            yield from (f"  {line}" for line in lines)
    yield ""
    yield "Sources"
    yield from (f"  {source}" for source in result["sources"])


def _load(newton: float) -> str:
    return f"{trimmed(newton / 1000, 1)} kN ({trimmed(newton * _LBF_PER_N, 0)} lbf)"
