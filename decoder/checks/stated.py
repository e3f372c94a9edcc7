"""Values that someone states, each against computation and tables.

A stated value is kept, never corrected: the finding says what the tables give, and the author decides which is wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from decoder.checks.cases import JointCase, Threaded
from decoder.checks.rules import RECORD_FORMAT, Problem, Rule, one_of, rule
from decoder.hexagons import Hexagon
from decoder.quantities import Length, format_length, format_pitch
from decoder.records import Bolt, Nut, Screw, Union
from decoder.spanners import Fit, Spanner, fit, fit_head, spanners_for
from decoder.threads import Thread

#: A caliper on flats or a head is good to about this, [mm] (common practice).
_MEASURED_MM = 0.1

#: Pitches printed in millimetres are rounded to two or three places, [mm].
_PITCH_ROUNDING_MM = 0.006

_USABLE = ("right", "goes", "loose")

#: Which rows of the hexagon tables speak of a head; heads that are not here have no flats, or none that a table gives.
_BOLT_PARTS: dict[str, tuple[str, ...]] = {
    "hexagon": ("bolt",),
    "hexagon-flange": ("bolt",),
    "square": ("bolt",),
    "plug": ("plug", "spark plug"),
    "bleed": ("bleed screw",),
}
_ROUND_HEADS = (
    "round-square-neck", "tee", "eye", "u-bolt", "cheese", "pan", "round", "countersunk", "raised-countersunk",
    "mushroom", "grub", "thumb", "wood", "self-tapping",
)  # fmt: skip

_REMEDY = "measure again; if it is right, say why under accepted, or add the standard to the table with its source"


@dataclass(frozen=True, slots=True)
class _Head:
    """What a spanner goes on: the fastener's head, or the nut. `rows` are the tables' rows for its thread, if known."""

    words: str
    rows: tuple[Hexagon, ...]
    has_flats: bool
    thread: Thread | None


def _head(case: JointCase) -> _Head | None:
    main = case.stack.main
    if main is None or not isinstance(main.member, Bolt | Screw | Union):
        return None
    member = main.member
    if isinstance(member, Union):
        return _Head(f"union on {main.text}", _rows(case, main, ("union nut",)), True, main.thread)
    shape = member.bolt if isinstance(member, Bolt) else member.screw
    if shape in _ROUND_HEADS or member.drive in ("slot", "cross", "hand"):
        return _Head(f"{shape} head", (), False, main.thread)
    parts = _BOLT_PARTS.get(shape, ())
    turned_inside = member.drive in ("hexagon-socket", "square")
    rows = _rows(case, main, parts) if not turned_inside else ()
    outline = "square" if shape == "square" else "hexagon"
    return _Head(
        f"{shape} head on {main.text}", tuple(row for row in rows if row.outline == outline), True, main.thread
    )


def _nut(case: JointCase) -> _Head | None:
    nuts = [nut for nut in case.stack.nuts if isinstance(nut.member, Nut)]
    if not nuts:
        return None
    return _Head(f"nut on {nuts[0].text}", _rows(case, nuts[0], ("nut",)), True, nuts[0].thread)


def _rows(case: JointCase, threaded: Threaded, parts: tuple[str, ...]) -> tuple[Hexagon, ...]:
    if threaded.thread is None:
        return ()
    return tuple(row for row in case.lookup.hexagons(threaded.thread) if row.part in parts)


_HEAD_FIELDS: tuple[tuple[str, Callable[[JointCase], _Head | None]], ...] = (
    ("across_flats", _head),
    ("spanner", _head),
    ("head_height", _head),
    ("nut_across_flats", _nut),
    ("nut_spanner", _nut),
)


def _stated(case: JointCase, *fields: str) -> Iterator[tuple[str, Any, _Head | None]]:
    """Stated values of these fields with what they speak of."""
    stated = case.record.stated
    if stated is None:
        return
    for field, of in _HEAD_FIELDS:
        if field in fields and getattr(stated, field) is not None:
            yield field, getattr(stated, field), of(case)


@rule("stated-of-nothing", "error", source=RECORD_FORMAT)
def stated_of_nothing(case: JointCase) -> Iterator[Problem]:
    """What is stated of a head or a nut needs that part in the stack, and flats need a head that has them."""
    for field, value, head in _stated(case, *(name for name, _ in _HEAD_FIELDS)):
        nut = field.startswith("nut_")
        if head is None:
            part = "nut" if nut else "bolt or screw"
            other = "" if nut else "; for a stud state nut_across_flats or nut_spanner"
            yield Problem(
                ("stated", field),
                f"'{getattr(value, 'written', value)}', and no {part} in the stack",
                f"a {part}",
                f"add the {part}, or remove it{other}",
            )
        elif not head.has_flats and field != "head_height":
            yield Problem(
                ("stated", field),
                f"flats of a {head.words}",
                "a head with flats",
                "mend the head's shape, or remove it",
            )
    if case.record.stated and case.record.stated.pitch is not None and case.stack.main is None and not case.stack.nuts:
        yield Problem(
            ("stated", "pitch"), "a pitch, and no thread in the stack", "a threaded part", "add it, or remove it"
        )


@rule("stated-across-flats", "error", source="common practice", acceptable=True)
def stated_across_flats(case: JointCase) -> Iterator[Problem]:
    """Stated flats are within the limits of a head or nut that some standard gives for that thread."""
    for field, value, head in _stated(case, "across_flats", "nut_across_flats"):
        if (
            head is not None
            and head.rows
            and not any(_within(value, row.smallest_mm, row.largest_mm) for row in head.rows)
        ):
            yield _not_listed(field, value, head, ((row.across_flats_mm, row) for row in head.rows))


@rule("stated-head-height", "error", source="common practice", acceptable=True)
def stated_head_height(case: JointCase) -> Iterator[Problem]:
    """A stated head height is within the limits of a head that some standard gives for that thread."""
    for field, value, head in _stated(case, "head_height"):
        heights = [(limits, row) for row in (head.rows if head else ()) if (limits := _height(row))]
        if head is not None and heights and not any(_within(value, low, high) for (low, high), _ in heights):
            yield _not_listed(field, value, head, ((high, row) for (_, high), row in heights))


@rule("stated-not-in-tables", "note", source=RECORD_FORMAT)
def stated_not_in_tables(case: JointCase) -> Iterator[Problem]:
    """A stated width or height that no table can be held against is kept unchecked, and says so."""
    for field, value, head in _stated(case, "across_flats", "nut_across_flats", "head_height"):
        if head is None or not head.has_flats or head.thread is None:
            continue
        if not any(_height(row) if field == "head_height" else True for row in head.rows):
            yield Problem(
                ("stated", field),
                f"{value.written} for the {head.words}, which no table gives",
                "a row of the hexagon tables to hold it against",
                "none needed: it is shown as stated, unchecked; if you have the standard, add it with its source",
            )


@rule("stated-spanner", "error", source="common practice", acceptable=True)
def stated_spanner(case: JointCase) -> Iterator[Problem]:
    """A stated spanner goes on the head or nut without rounding it."""
    for field, text, head in _stated(case, "spanner", "nut_spanner"):
        spanner = case.lookup.spanner_or_reason(text)
        if isinstance(spanner, str) or head is None or not head.has_flats:
            continue
        flats: Length | None = getattr(
            case.record.stated, "nut_across_flats" if field == "nut_spanner" else "across_flats"
        )
        fits = [_fit_stated(spanner, flats)] if flats is not None else [fit_head(spanner, row) for row in head.rows]
        if fits and not any(sits.word in _USABLE for sits in fits):
            best = min(fits, key=lambda sits: abs(sits.slack_mm))
            yield Problem(
                ("stated", field),
                f"'{text}', which {_sits(best)} {_of(flats, head)}",
                f"{one_of(_fitting(case, flats, head))}",
                "try the spanner on a clean head; mend the spanner, the flats or the thread",
            )


@rule("stated-pitch", "error", source=RECORD_FORMAT, acceptable=True)
def stated_pitch(case: JointCase) -> Iterator[Problem]:
    """A stated pitch is the thread's own."""
    stated = case.record.stated
    threaded = case.stack.main or next(iter(case.stack.nuts), None)
    if stated is None or stated.pitch is None or threaded is None or threaded.thread is None:
        return
    thread, pitch = threaded.thread, stated.pitch
    if pitch.threads_per_inch is not None and thread.threads_per_inch is not None:
        agrees = abs(pitch.threads_per_inch - thread.threads_per_inch) < 0.01
    else:
        agrees = abs(pitch.pitch_mm - thread.pitch_mm) <= (pitch.tolerance_mm or _PITCH_ROUNDING_MM)
    if not agrees:
        yield Problem(
            ("stated", "pitch"),
            f"{pitch.written}",
            f"{format_pitch(thread.pitch_mm, thread.threads_per_inch)}, the pitch of {thread.designation}",
            "count the threads again; mend the pitch or the thread",
        )


@rule("torque-on-adjust", "error", source="common practice", acceptable=True)
def torque_on_adjust(case: JointCase) -> Iterator[Problem]:
    """What is adjusted is set by feel, gauge or turns; a torque there would lock or overload it."""
    stated = case.record.stated
    if case.record.duty == "adjust" and stated is not None and stated.torque is not None:
        yield Problem(
            ("stated", "torque"),
            f"{stated.torque.written} on a joint whose duty is adjust",
            "no torque: the procedure under tighten says how it is set",
            "move it to tighten.procedure if it is the lock nut's; if the manual means it, say so under accepted",
        )


@rule("angle-without-torque", "error", source="common practice", acceptable=True)
def angle_without_torque(case: JointCase) -> Iterator[Problem]:
    """A further turn needs the torque it starts from."""
    stated = case.record.stated
    if stated is not None and stated.angle is not None and stated.torque is None:
        yield Problem(
            ("stated", "angle"), f"{stated.angle:g}° and no torque", "the torque it starts from", "add stated.torque"
        )


def _within(value: Length, low_mm: float, high_mm: float) -> bool:
    allowed = value.tolerance_mm if value.tolerance_mm is not None else _MEASURED_MM
    return low_mm - allowed <= value.mm <= high_mm + allowed


def _height(row: Hexagon) -> tuple[float, float] | None:
    """Limits of a head's height, [mm]."""
    low = row.height_min_mm or row.height_mm
    high = row.height_max_mm or row.height_mm
    return None if low is None or high is None else (low, high)


def _not_listed(field: str, value: Length, head: _Head, listed: Iterable[tuple[float, Hexagon]]) -> Problem:
    widths: dict[str, str] = {}
    for mm, row in sorted(listed, key=lambda pair: abs(pair[0] - value.mm)):
        widths.setdefault(format_length(mm, value.system), f"{row.standard} {row.product}")
    expected = "; ".join(f"{width} by {names}" for width, names in list(widths.items())[:4])
    return Problem(("stated", field), f"{value.written} for the {head.words}", expected, _REMEDY)


def _fit_stated(spanner: Spanner, flats: Length) -> Fit:
    allowed = flats.tolerance_mm or _MEASURED_MM
    return fit(spanner, flats.mm, across_flats_min_mm=flats.mm - allowed, across_flats_max_mm=flats.mm + allowed)


def _sits(fits: Fit) -> str:
    if fits.word in ("will not enter", "may not enter"):
        return f"{fits.word.replace('enter', 'go on')}, by {-fits.slack_mm:.2f} mm,"
    return f"is {fits.slack_mm:.2f} mm slack on"


def _of(flats: Length | None, head: _Head) -> str:
    return f"the stated {flats.written}" if flats is not None else f"any {head.words} of the tables"


def _fitting(case: JointCase, flats: Length | None, head: _Head) -> list[str]:
    spanners = case.lookup.reference.spanners
    if flats is not None:
        return [spanner.marking for spanner in spanners if _fit_stated(spanner, flats).word in _USABLE]
    return list(dict.fromkeys(choice.spanner.marking for row in head.rows for choice in spanners_for(row, spanners)))


RULES: tuple[Rule[Any], ...] = (
    stated_of_nothing,
    stated_across_flats,
    stated_head_height,
    stated_not_in_tables,
    stated_spanner,
    stated_pitch,
    torque_on_adjust,
    angle_without_torque,
)
