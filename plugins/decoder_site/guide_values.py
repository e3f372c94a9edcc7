"""Figures and drawings that hand-written pages take from the tables, so that a guide can never contradict them.

A page writes `{= flats("M10", "bolt") =}` where the figure should stand. A changed table changes the guide; a name that
the tables do not hold stops the build with the page's own words for it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any

from jinja2 import StrictUndefined, TemplateError
from jinja2.sandbox import SandboxedEnvironment
from markupsafe import Markup

from decoder.drawings.kinds import draw_kind
from decoder.drawings.marks import draw_mark
from decoder.drawings.threads import overlay, thread_profile
from decoder.fleet import Fleet
from decoder.lookalikes import Meeting, compare
from decoder.quantities import QuantityError, System, format_angle, format_pitch
from decoder.reference import Reference
from decoder.tables import UNSOURCED
from decoder.threads import limits
from decoder_site.links import Links
from decoder_site.views.measures import length
from decoder_site.views.measures import limits as span
from decoder_site.views.sizes import system_of
from decoder_site.views.sources import provenances
from decoder_site.views.words import joined

_PLACE = re.compile(r"\{= .*? =\}")


class GuideError(ValueError):
    """A hand-written page asks for what the tables do not hold; the message says what and how to mend it."""


class GuideValues:
    """Fills the places of hand-written pages."""

    def __init__(self, reference: Reference, fleet: Fleet) -> None:
        self._reference, self._fleet = reference, fleet
        self._environment = SandboxedEnvironment(
            variable_start_string="{=",
            variable_end_string="=}",
            # Blocks and comments are no part of a page's language; these marks occur in no text.
            block_start_string="{=%%",
            block_end_string="%%=}",
            comment_start_string="{=##",
            comment_end_string="##=}",
            undefined=StrictUndefined,
            keep_trailing_newline=True,
        )
        offered: Mapping[str, Callable[..., Any]] = {
            "diameter": self.diameter,
            "real_bolt": self.real_bolt,
            "pitch": self.pitch,
            "angle": self.angle,
            "flats": self.flats,
            "spanners": self.spanners,
            "proof": self.proof,
            "tensile": self.tensile,
            "goes_in": self.goes_in,
            "drift": self.drift,
            "count": self.count,
        }
        self._environment.globals = dict(offered)

    def fill(self, markdown: str, page: str, links: Links) -> str:
        """A page's text with its places filled.

        Raises
        ------
        GuideError
            `page` named, with what it asked for.
        """
        if "{=" not in markdown:
            return markdown
        drawn: Mapping[str, Callable[..., Markup]] = {
            "draw_thread": self.draw_thread,
            "draw_pair": self.draw_pair,
            "draw_mark": lambda mark: self.draw_mark(mark, links),
            "draw_nut": lambda kind: self.draw_nut(kind, links),
            "draw_washer": lambda kind: self.draw_washer(kind, links),
        }
        try:
            return self._environment.from_string(markdown).render(drawn)
        except (QuantityError, GuideError, KeyError, TypeError, TemplateError) as error:
            line = next((number for number, text in enumerate(markdown.splitlines(), 1) if _asks(text, error)), 1)
            raise GuideError(
                f"{page}: line {line} of its text: {error}. Fix: write a thread, grade, mark or kind as the tables "
                "name it, and one of the functions that DEVELOPERS.md lists"
            ) from error

    def diameter(self, thread: str) -> str:
        """Nominal outside diameter in both systems."""
        found = self._reference.threads.find(thread)
        return length(found.major_mm, system_of(found)).words

    def real_bolt(self, thread: str, system: System = "metric") -> str:
        """What a caliper shows on a new bolt of the usual class: '9.253 to 9.492 mm (0.364 to 0.374 in)'."""
        found = self._reference.threads.find(thread)
        usual = next((each for each in limits(found) if each.member == "external"), None)
        measured = span(usual.major_min_mm, usual.major_max_mm, system) if usual else None
        if measured is None:
            raise GuideError(f"no limits of size are known for {found.designation}")
        return measured.words

    def pitch(self, thread: str) -> str:
        """Pitch in both systems."""
        found = self._reference.threads.find(thread)
        return format_pitch(found.pitch_mm, found.threads_per_inch)

    def angle(self, thread: str) -> str:
        """Angle between the flanks."""
        return format_angle(self._reference.threads.find(thread).form.flank_angle_deg)

    def flats(self, thread: str, part: str) -> str:
        """Every width across flats that standards give a part of this thread: '13, 14, 16 and 17 mm'."""
        found = self._reference.threads.find(thread)
        system = system_of(found)
        widths = sorted(
            {
                round(row.across_flats_mm, 3)
                for row in self._reference.hexagons.for_thread(found, part)
                if row.outline == "hexagon"
            }
        )
        if not widths:
            raise GuideError(f"no width across flats is known for a {part} of {found.designation}")
        measures = [length(width, system) for width in widths]
        return f"{joined([measure.figure for measure in measures])} {measures[0].unit}"

    def spanners(self, text: str) -> str:
        """The spanner's opening, by its marking."""
        return length(self._reference.spanners.find(text).jaw_mm).words

    def proof(self, grade: str, thread: str) -> str:
        """Proof stress of a grade at a size, [MPa]."""
        return self._strength(grade, thread, "proof_mpa")

    def tensile(self, grade: str, thread: str) -> str:
        """Tensile strength of a grade at a size, [MPa]."""
        return self._strength(grade, thread, "tensile_mpa")

    def _strength(self, grade: str, thread: str, what: str) -> str:
        row = self._reference.strengths.find(grade).at(self._reference.threads.find(thread).major_mm)
        value = getattr(row, what) if row else None
        if value is None:
            raise GuideError(f"no such strength of {grade} is known at {thread}")
        return f"{value:.0f} MPa"

    def goes_in(self, bolt: str, nut: str) -> str:
        """What happens to a bolt in a nut of another thread: 'binds after about 2 turns'."""
        pair = compare(self._reference.threads.find(bolt), self._reference.threads.find(nut))
        return _what_happens(pair.this_in_that)

    def drift(self, one: str, other: str) -> str:
        """How far two threads have drifted apart over 10 mm."""
        pair = compare(self._reference.threads.find(one), self._reference.threads.find(other))
        return f"{pair.pitch_error_mm_per_10mm:.2f} mm"

    def count(self, what: str) -> str:
        """A live count: 'threads', 'marks', …, 'vehicles', 'joints', or rows by where they come from."""
        reference = self._reference
        joints = sum(1 for vehicle in self._fleet.vehicles.values() for _ in vehicle.joints())
        rows = Counter(
            provenance.document if provenance.document in UNSOURCED else reference.sources[provenance.document].kind
            for _, provenance in provenances(reference)
        )
        counts = {
            "threads": len(reference.threads),
            "hexagons": len(reference.hexagons),
            "spanners": len(reference.spanners),
            "marks": len(reference.marks),
            "sources": len(reference.sources),
            "joint kinds": len(reference.joint_kinds),
            "vehicles": len(self._fleet.vehicles),
            "joints": joints,
            "rows": rows.total(),
            **{f"rows from a {kind}": number for kind, number in rows.items() if kind not in UNSOURCED},
            **{f"rows {kind}": rows[kind] for kind in UNSOURCED},
        }
        if what not in counts:
            raise GuideError(f"nothing counts '{what}'; there are {', '.join(sorted(counts))}")
        return str(counts[what])

    def draw_thread(self, thread: str) -> Markup:
        """The profile of a thread."""
        return _figure(thread_profile(self._reference.threads.find(thread)))

    def draw_pair(self, one: str, other: str) -> Markup:
        """Two threads laid over each other."""
        threads = self._reference.threads
        return _figure(overlay(threads.find(one), threads.find(other)))

    def draw_mark(self, mark: str, links: Links) -> Markup:
        """A head mark, leading to its page."""
        found = self._reference.marks.find(mark)
        return _figure(draw_mark(found), links.to(f"head-marks/{found.id}/"), found.title)

    def draw_nut(self, kind: str, links: Links) -> Markup:
        """A kind of nut, leading to its page."""
        found = self._reference.nuts.find(kind)
        return _figure(draw_kind(found), links.to(f"nuts/{found.id}/"), found.title)

    def draw_washer(self, kind: str, links: Links) -> Markup:
        """A kind of washer, leading to its page."""
        found = self._reference.washers.find(kind)
        return _figure(draw_kind(found), links.to(f"washers/{found.id}/"), found.title)


def _what_happens(meeting: Meeting) -> str:
    if meeting.verdict == "binds" and meeting.turns is not None:
        turns = round(meeting.turns)
        return f"binds after about {turns} {'turn' if turns == 1 else 'turns'}" if turns else "binds within a turn"
    if meeting.verdict == "runs on":
        return f"runs on and holds by {100 * meeting.share:.0f} % of the thread"
    return meeting.verdict


def _figure(drawing: str, address: str = "", words: str = "") -> Markup:
    """A drawing on a line of its own, as Markdown leaves block elements alone."""
    inside = Markup(drawing)
    if address:
        inside = Markup('<a href="{}">{}<span>{}</span></a>').format(address, inside, words)
    return Markup('<div class="figure">{}</div>').format(inside)


def _asks(text: str, error: Exception) -> bool:
    """Whether a line holds the place that failed, told by the first quoted words of the message."""
    quoted = re.search(r"'([^']+)'", str(error))
    return bool(_PLACE.search(text)) and (quoted is None or quoted.group(1) in text)
