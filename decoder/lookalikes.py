"""Which bolt goes into which wrong nut, how far, by how much of its thread, and what goes wrong then.

The model is plane geometry along the axis, one thread form laid into the other:

* A bolt starts in a nut when its root passes the bore, its crest finds room in the nut's root, and its tooth is
  narrower than the nut's groove at every radius where both have metal. Profiles have their own flank angles and, where
  the standard draws them so, rounded crests and roots. What is left over is the axial play.
* With unequal pitches the threads drift apart by the pitch difference on every turn engaged; when the drift has used
  up the play, the bolt binds. Without a difference it never does.
* Play is taken from the middle of the limits of the usual class, as two ordinary parts have it. For Cycle threads, of
  which no limits were found, the medium tolerance of BS 84 stands in. Tight parts bind sooner and worn ones later than
  that: turns are about right, not exact.
* The share of the thread height that holds is worked out from basic sizes, the best case.
* Taper pipe threads enter with their narrow end, or take a parallel one at their mouth, and use up play by their taper
  as well. A taper nut is a taper hole; a parallel hole that takes a taper pipe thread is a G thread here.

Burrs, dirt, plating and force are left out: a soft nut lets itself be forced well past the turn where it binds.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from decoder.limits import ordinary_tolerance_mm
from decoder.threads import Limits, Thread, limits

Verdict = Literal["runs on", "binds", "will not start", "drops through"]
Danger = Literal["high", "medium", "low"]

#: In the order a list shows them.
DANGERS: tuple[Danger, ...] = ("high", "medium", "low")

#: Classes that ordinary parts are made to.
_USUAL = {"external": ("2A", "6g", "medium", "normal", "A"), "internal": ("2B", "6H", "medium", "normal", "internal")}

#: Height of an ordinary nut over the diameter of its thread.
_NUT_HEIGHT = 0.8

#: A bolt that binds within this many turns is noticed before a spanner comes out.
_NOTICED_TURNS = 1.0

#: From here on a bolt that binds feels as if it were merely tight.
_FORCED_TURNS = 1.5

#: A pitch that differs by less than this share never shows over the length of a nut.
_SAME_PITCH = 0.001

#: Two threads further apart than this are told apart by a caliper or a pitch gauge and need no warning.
_ALIKE_PITCH = 0.09
_ALIKE_DIAMETER_MM = 0.4

#: Pitches up to this share apart start in each other where the nut is wide enough: G 1/8 in M10x1, 28 to the inch
#: against 1 mm. Such a pair is listed only where it is dangerous and this much of the thread meets.
_HIDDEN_PITCH = 0.11
_HIDDEN_SHARE = 0.5

#: Below this share of the height hardly a crest catches.
_HARDLY_CATCHES = 0.1

#: Below this share so little catches that a careful hand notices.
_CATCHES_LITTLE = 0.25

#: Above this share a nut holds nearly as it should.
_HOLDS = 0.8

#: Room in the root of a nut beyond the basic major diameter, over the pitch: taps are made oversize.
_ROOT_ROOM = 0.03

#: Threads between the narrow end of a taper pipe thread and its gauge plane.
_TAPER_THREADS = 4.3

_SAMPLES = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """One thread as a bolt in the other as a nut.

    `turns` is the number of turns engaged when it binds, None where nothing stops it. `share` is the share of the
    nut's thread height that the bolt fills at best, from 0 to 1; 0 where it does not go in.
    """

    verdict: Verdict
    turns: float | None
    share: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lookalike:
    """Two threads that may be taken for one another; `designation` is the other one's.

    `pitch_error_mm_per_10mm` is how far the threads have drifted apart after 10 mm, [mm]; `major_difference_mm` how
    much larger this thread is than that, [mm]. `text` says what goes wrong, worst case first.
    """

    designation: str
    this: Thread
    that: Thread
    pitch_error_mm_per_10mm: float
    major_difference_mm: float
    this_in_that: Meeting
    that_in_this: Meeting
    danger: Danger
    text: str


def compare(this: Thread, that: Thread) -> Lookalike:
    """Hold two threads against one another in both directions, whether or not they look alike."""
    this_in_that, that_in_this = meet(this, that), meet(that, this)
    ranked = sorted(
        ((_danger(meeting, bolt, nut), meeting) for bolt, nut, meeting in (
            (this, that, this_in_that), (that, this, that_in_this)
        )),
        key=lambda pair: DANGERS.index(pair[0]),
    )  # fmt: skip
    return Lookalike(
        designation=that.designation,
        this=this,
        that=that,
        pitch_error_mm_per_10mm=10 * abs(this.pitch_mm - that.pitch_mm) / that.pitch_mm,
        major_difference_mm=this.major_mm - that.major_mm,
        this_in_that=this_in_that,
        that_in_this=that_in_this,
        danger=ranked[0][0],
        text=" ".join(meeting.text for _, meeting in ranked),
    )


def lookalikes(thread: Thread, threads: Iterable[Thread]) -> tuple[Lookalike, ...]:
    """The other threads that may be taken for this one, the most dangerous first.

    A thread is listed when one of the two goes into the other by a turn or more, or when diameter and pitch are so
    near that a caliper and a pitch gauge may mislead. With pitches further apart than that it is listed where it goes
    in by a turn and a half or more and meets at least half of the thread.
    """
    found = [compare(thread, other) for other in threads if _worth_comparing(thread, other)]
    return tuple(sorted((each for each in found if _is_alike(each)), key=_worst_first))


def all_lookalikes(threads: Iterable[Thread]) -> tuple[Lookalike, ...]:
    """Every pair that may be mistaken, each pair once, the most dangerous first."""
    ordered = sorted(threads, key=lambda thread: thread.major_mm)
    found: list[Lookalike] = []
    for index, thread in enumerate(ordered):
        for other in ordered[index + 1 :]:
            if other.major_mm - thread.major_mm > 1.1 * max(thread.pitch_mm, other.pitch_mm):
                # Sorted by diameter: nothing further on can be entered or mistaken.
                if other.major_mm - thread.major_mm > _FURTHEST_MM:
                    break
                continue
            if _worth_comparing(thread, other):
                each = compare(thread, other)
                if _is_alike(each):
                    found.append(each)
    return tuple(sorted(found, key=_worst_first))


#: Twice the coarsest pitch of the tables: no bolt enters a nut that is larger by more.
_FURTHEST_MM = 12.0


def _worth_comparing(one: Thread, other: Thread) -> bool:
    return (
        one.designation != other.designation
        and abs(one.pitch_mm - other.pitch_mm) <= _HIDDEN_PITCH * min(one.pitch_mm, other.pitch_mm)
        and abs(one.major_mm - other.major_mm) <= 1.1 * max(one.pitch_mm, other.pitch_mm)
    )


def _is_alike(pair: Lookalike) -> bool:
    pitches = pair.this.pitch_mm, pair.that.pitch_mm
    if abs(pitches[0] - pitches[1]) > _ALIKE_PITCH * min(pitches):
        return pair.danger == "high" and any(
            _goes_in(meeting) and meeting.share >= _HIDDEN_SHARE for meeting in (pair.this_in_that, pair.that_in_this)
        )
    return (
        abs(pair.major_difference_mm) <= _ALIKE_DIAMETER_MM
        or _goes_in(pair.this_in_that)
        or _goes_in(pair.that_in_this)
    )


def _goes_in(meeting: Meeting) -> bool:
    return meeting.verdict in ("runs on", "binds") and (meeting.turns is None or meeting.turns >= _NOTICED_TURNS)


def _worst_first(pair: Lookalike) -> tuple[int, float, float, str]:
    return (
        DANGERS.index(pair.danger),
        abs(pair.this.pitch_mm - pair.that.pitch_mm) / pair.that.pitch_mm,
        abs(pair.major_difference_mm),
        pair.designation,
    )


def meet(bolt: Thread, nut: Thread) -> Meeting:
    """What happens when this bolt is tried in that nut."""
    if bolt.left_hand is not nut.left_hand:
        return Meeting(
            verdict="will not start",
            turns=None,
            share=0.0,
            text=f"A {bolt.designation} bolt and a {nut.designation} nut are of opposite hand and do not start.",
        )
    male, female = _body(bolt, "external"), _body(nut, "internal")
    height_mm = nut.form.height_factor * nut.pitch_mm
    share = min(1.0, max(0.0, (bolt.major_mm - nut.minor_internal_mm) / 2 / height_mm))
    if male.top_radius_mm <= female.bottom_radius_mm:
        return _meeting("drops through", None, 0.0, bolt, nut)
    play_mm = _play_mm(male, female)
    if play_mm <= 0:
        return _meeting("will not start", None, 0.0, bolt, nut)
    turns = _turns(male, female, play_mm)
    if turns is None or turns >= _NUT_HEIGHT * nut.major_mm / nut.pitch_mm:
        return _meeting("runs on", turns, share, bolt, nut)
    return _meeting("binds", turns, share, bolt, nut)


@dataclass(frozen=True, slots=True)
class _Body:
    """A bolt or nut as an ordinary part, [mm]; profile heights count from the pitch line, away from the axis.

    A groove of a nut and a tooth of a bolt are mirror images about the pitch line at the same radius, so one
    description serves both: half the width at height h is a quarter of the pitch less h times the flank's slope, up to
    the rounding at the top, where there is one.
    """

    top_radius_mm: float
    pitch_radius_mm: float
    bottom_radius_mm: float
    pitch_mm: float
    taper: float
    slope: float
    apex_mm: float
    rounding_mm: float

    def half_width_mm(self, radius_mm: float) -> float:
        """Half the width of the bolt's tooth, or of the nut's groove, at this radius."""
        height = radius_mm - self.pitch_radius_mm
        flank = self.pitch_mm / 4 - height * self.slope
        below_apex = self.apex_mm - height
        if not self.rounding_mm or below_apex >= self.rounding_mm:
            return max(0.0, flank)
        if below_apex <= 0:
            return 0.0
        return max(0.0, min(flank, math.sqrt(below_apex * (2 * self.rounding_mm - below_apex))))


@lru_cache(maxsize=4096)
def _body(thread: Thread, member: Literal["external", "internal"]) -> _Body:
    usual = _usual_limits(thread, member)
    major, pitch_diameter = thread.major_mm, thread.pitch_diameter_mm
    if usual is None and not thread.form.taper:
        half_mm = ordinary_tolerance_mm(thread) / 2
        pitch_diameter += half_mm if member == "internal" else -half_mm
        major -= half_mm if member == "external" else 0.0
    minor = thread.minor_external_mm if member == "external" else thread.minor_internal_mm
    if usual is not None:
        pitch_diameter = (usual.pitch_diameter_min_mm + usual.pitch_diameter_max_mm) / 2
        if member == "external":
            major = _middle(usual.major_min_mm, usual.major_max_mm, major)
            minor = min(minor, usual.minor_max_mm or minor)
        else:
            minor = _middle(usual.minor_min_mm, usual.minor_max_mm, minor)
    if member == "internal":
        major += 2 * _ROOT_ROOM * thread.pitch_mm
    form = thread.form
    if form.taper and member == "external":
        narrower = form.taper * _TAPER_THREADS * thread.pitch_mm
        major, pitch_diameter, minor = major - narrower, pitch_diameter - narrower, minor - narrower
    return _Body(
        top_radius_mm=major / 2,
        pitch_radius_mm=pitch_diameter / 2,
        bottom_radius_mm=minor / 2,
        pitch_mm=thread.pitch_mm,
        taper=form.taper,
        slope=math.tan(math.radians(form.flank_angle_deg / 2)),
        apex_mm=(thread.major_mm - thread.pitch_diameter_mm) / 2,
        rounding_mm=form.rounding_factor * thread.pitch_mm,
    )


def _middle(low: float | None, high: float | None, otherwise: float) -> float:
    return otherwise if low is None or high is None else (low + high) / 2


def _usual_limits(thread: Thread, member: Literal["external", "internal"]) -> Limits | None:
    by_class = {each.thread_class: each for each in limits(thread) if each.member == member}
    return next((by_class[name] for name in _USUAL[member] if name in by_class), None)


def _play_mm(bolt: _Body, nut: _Body) -> float:
    """Axial play of the first thread; not above zero where the bolt does not start."""
    if bolt.bottom_radius_mm > nut.bottom_radius_mm or bolt.top_radius_mm > nut.top_radius_mm:
        return 0.0
    low, high = nut.bottom_radius_mm, bolt.top_radius_mm
    radii = [low + (high - low) * step / (_SAMPLES - 1) for step in range(_SAMPLES)]
    return 2 * min(nut.half_width_mm(radius) - bolt.half_width_mm(radius) for radius in radii)


def _turns(bolt: _Body, nut: _Body, play_mm: float) -> float | None:
    """Turns until the play is used up by pitch and taper, None where it never is."""
    per_turn = abs(bolt.pitch_mm - nut.pitch_mm)
    if per_turn <= _SAME_PITCH * nut.pitch_mm:
        per_turn = 0.0
    # A taper bolt widens the further it goes in, and a taper nut narrows the bolt's way.
    per_turn += abs(bolt.taper - nut.taper) * bolt.pitch_mm * nut.slope
    return play_mm / per_turn if per_turn else None


def _danger(meeting: Meeting, bolt: Thread, nut: Thread) -> Danger:
    if not _goes_in(meeting) or _same_thread(bolt, nut) or meeting.share < _HARDLY_CATCHES:
        return "low"
    if meeting.verdict == "binds":
        return "medium" if meeting.turns is not None and meeting.turns < _FORCED_TURNS else "high"
    same_pitch = abs(bolt.pitch_mm - nut.pitch_mm) <= _SAME_PITCH * nut.pitch_mm
    if (same_pitch and meeting.share >= _HOLDS) or meeting.share < _CATCHES_LITTLE:
        return "medium"
    return "high"


def _same_thread(one: Thread, other: Thread) -> bool:
    """True where two families hold one and the same thread (1/4-26 of BSF and of brass)."""
    return (
        one.form is other.form
        and math.isclose(one.pitch_mm, other.pitch_mm, rel_tol=1e-6)
        and math.isclose(one.major_mm, other.major_mm, abs_tol=0.002)
    )


def _meeting(verdict: Verdict, turns: float | None, share: float, bolt: Thread, nut: Thread) -> Meeting:
    pipe = bolt.series == "pipe" or nut.series == "pipe"
    male, female = ("male", "female") if pipe else ("bolt", "nut")
    happens = _HAPPENS[verdict](turns, share, bolt, nut)
    text = f"{bolt.designation} {male} in {nut.designation} {female}: {happens}."
    return Meeting(verdict=verdict, turns=turns, share=share, text=text)


def _binds(turns: float | None, share: float, bolt: Thread, nut: Thread) -> str:
    del share
    if bolt.form.taper and not nut.form.taper and turns is not None:
        return (
            f"wedges after {_about(turns)} by its taper; it holds and seals on few threads, and may split "
            "what it is screwed into"
        )
    if nut.form.taper and not bolt.form.taper and turns is not None:
        after = f"after {_about(turns)}" if turns >= _FORCED_TURNS else "within its first turns"
        return (
            f"wedges {after} by the taper of the hole; it feels tight on few threads, and neither "
            "holds nor seals as it should"
        )
    if turns is None or turns < _NOTICED_TURNS:
        return "catches and binds within the first turn"
    return (
        f"starts, then binds after {_about(turns)}; it feels tight before it clamps anything, and a spanner tears the "
        "threads"
    )


def _about(turns: float) -> str:
    return f"about {turns:.0f} turns" if turns >= 1.5 else "about one turn"


def _runs_on(turns: float | None, share: float, bolt: Thread, nut: Thread) -> str:
    del turns
    if _same_thread(bolt, nut):
        return "is the same profile, diameter and pitch, and interchanges"
    drift_mm = 10 * abs(bolt.pitch_mm - nut.pitch_mm) / nut.pitch_mm
    same_pitch = drift_mm <= 10 * _SAME_PITCH
    if share < _HARDLY_CATCHES:
        return "slides on with hardly a crest catching, and pulls off again"
    if share < _HOLDS:
        return (
            f"runs on through the whole nut, slack, with at best {100 * share:.0f} % of the thread height; "
            "it wobbles half-way on, and strips or works loose"
        )
    if not same_pitch:
        return (
            f"runs on through an ordinary nut, but the threads drift apart by {drift_mm:.2f} mm over 10 mm, so that "
            "few of them carry; it wobbles half-way on, and strips or works loose"
        )
    if bolt.form.flank_angle_deg != nut.form.flank_angle_deg:
        return (
            f"runs on and cannot be told by feel; flanks of {bolt.form.flank_angle_deg:g}° and "
            f"{nut.form.flank_angle_deg:g}° touch along a line and hold less than a proper pair"
        )
    return "runs on and cannot be told by feel; it fits more loosely or tightly than its own nut"


_HAPPENS: Mapping[Verdict, Callable[[float | None, float, Thread, Thread], str]] = {
    "runs on": _runs_on,
    "binds": _binds,
    "will not start": lambda *_: "does not start",
    "drops through": lambda *_: "drops through without catching",
}
