"""Threads that are taken for one another: on the page of each, and all pairs on a page of their own."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from markupsafe import Markup

from decoder.drawings.sheets.cards import is_usual
from decoder.drawings.threads import overlay
from decoder.lookalikes import Lookalike, Meeting, all_lookalikes, lookalikes
from decoder.reference import Reference
from decoder.threads import Thread
from decoder.writing import trimmed

#: Sections of the page of all pairs, by the smaller diameter of a pair, [mm]; the smallest, rare on vehicles, last.
_BANDS = (
    (5.0, 7.0, "5 to 7 mm (3/16 to 1/4 in)"),
    (7.0, 9.0, "7 to 9 mm (5/16 in)"),
    (9.0, 12.0, "9 to 12 mm (3/8 to 7/16 in)"),
    (12.0, 17.0, "12 to 17 mm (1/2 to 5/8 in)"),
    (17.0, 1000.0, "Over 17 mm (11/16 in)"),
    (0.0, 5.0, "Under 5 mm (about 3/16 in)"),
)

#: Pipe threads of grease nipples, gauges, senders and brake tees, which the cards for the pocket leave out.
_PIPE_SIZES = ("1/8", "1/4", "3/8")

_DANGERS = {"high": "dangerous", "medium": "take care", "low": "soon noticed"}


#: From this share of the thread on, what is wrong is the angle and not the depth.
_FEELS_RIGHT = 0.8


@dataclass(frozen=True, slots=True)
class OtherThread:
    """A thread that another is taken for, as that one's page shows it."""

    designation: str
    slug: str
    danger: str
    is_high: bool
    is_usual: bool
    text: str
    drift: str
    wider: str
    drawing: Markup


@dataclass(frozen=True, slots=True)
class Pair:
    """Two threads that are taken for one another."""

    this: str
    this_slug: str
    that: str
    that_slug: str
    this_in_that: str
    that_in_this: str
    danger: str
    is_high: bool


@dataclass(frozen=True, slots=True)
class Band:
    """Pairs of a range of diameters."""

    anchor: str
    title: str
    pairs: tuple[Pair, ...]
    rarer: tuple[Pair, ...]


def others(thread: Thread, reference: Reference) -> tuple[OtherThread, ...]:
    """What a thread is taken for: what vehicles have before rarer threads, and the most dangerous of each first."""
    shown = (_other(found) for found in lookalikes(thread, reference.threads))
    return tuple(sorted(shown, key=lambda other: not other.is_usual))


def among(threads: Collection[Thread]) -> tuple[Pair, ...]:
    """Look-alikes among a few threads, those of one assembly say."""
    return tuple(_pair(found) for found in all_lookalikes(threads))


def bands(reference: Reference) -> Iterator[Band]:
    """Every pair, by diameter; pairs of threads that vehicles have stand before those with a rarer one."""
    pairs = all_lookalikes(reference.threads)
    for number, (low, high, title) in enumerate(_BANDS, start=1):
        here = [pair for pair in pairs if low <= min(pair.this.major_mm, pair.that.major_mm) < high]
        if here:
            usual = [pair for pair in here if _on_vehicles(pair.this) and _on_vehicles(pair.that)]
            rarer = [pair for pair in here if pair not in usual]
            yield Band(f"band-{number}", title, tuple(map(_pair, usual)), tuple(map(_pair, rarer)))


def _on_vehicles(thread: Thread) -> bool:
    return is_usual(thread) or (thread.series == "pipe" and thread.size in _PIPE_SIZES and thread.family != "NPTF")


def _other(found: Lookalike) -> OtherThread:
    difference = found.major_difference_mm
    return OtherThread(
        designation=found.designation,
        slug=_slug(found.that),
        danger=_DANGERS[found.danger],
        is_high=found.danger == "high",
        is_usual=_on_vehicles(found.that),
        text=found.text,
        drift=f"{trimmed(found.pitch_error_mm_per_10mm, 2)} mm",
        wider="same diameter"
        if abs(difference) < 0.005
        else f"{trimmed(abs(difference), 2)} mm {'thinner' if difference > 0 else 'thicker'}",
        drawing=Markup(overlay(found.this, found.that)),
    )


def _pair(found: Lookalike) -> Pair:
    return Pair(
        this=found.this.designation,
        this_slug=_slug(found.this),
        that=found.that.designation,
        that_slug=_slug(found.that),
        this_in_that=_meeting(found.this_in_that, found.this, found.that),
        that_in_this=_meeting(found.that_in_this, found.that, found.this),
        danger=_DANGERS[found.danger],
        is_high=found.danger == "high",
    )


def _meeting(meeting: Meeting, bolt: Thread, nut: Thread) -> str:
    if meeting.verdict == "binds" and meeting.turns is not None:
        turns = round(meeting.turns)
        return f"binds after {turns} {'turn' if turns == 1 else 'turns'}" if turns else "binds within the first turn"
    if meeting.verdict == "runs on":
        share = f"{trimmed(100 * meeting.share, 0)} % of the thread"
        if meeting.share < _FEELS_RIGHT:
            return f"runs on slack, at best {share} meets"
        if bolt.form.flank_angle_deg != nut.form.flank_angle_deg:
            return "runs on by feel, wrong angle: touches along a line"
        return f"runs on by feel, at best {share} meets"
    return meeting.verdict


def _slug(thread: Thread) -> str:
    """A left-hand thread has the page of its right-hand twin."""
    return thread.slug.removesuffix("-lh")
