"""Figures and drawings that hand-written pages take from the tables, so that a guide can never contradict them.

A page writes `{= flats("M10", "bolt") =}` where the figure should stand. A changed table changes the guide; a name that
the tables do not hold stops the build with the page's own words for it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any, get_args

from jinja2 import StrictUndefined, TemplateError
from jinja2.sandbox import SandboxedEnvironment

from decoder.fleet import Fleet
from decoder.lookalikes import Meeting, compare
from decoder.quantities import QuantityError, System, format_angle, format_pitch, format_temperature
from decoder.reference import Reference
from decoder.sources import SourceKind
from decoder.tables import UNSOURCED
from decoder.threads import limits
from decoder_site.guide_drawings import GuideDrawings, GuideError
from decoder_site.links import Links
from decoder_site.views.measures import length
from decoder_site.views.measures import limits as span
from decoder_site.views.sizes import system_of
from decoder_site.views.sources import provenances
from decoder_site.views.words import joined

_PLACE = re.compile(r"\{= .*? =\}")


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
            "turns": self.turns,
            "heat": self.heat,
            "hard_from": self.hard_from,
            "count": self.count,
        }
        self._environment.globals = dict(offered)

    @property
    def names(self) -> tuple[str, ...]:
        """Everything that a page may ask for."""
        return (*self._environment.globals, *GuideDrawings(self._reference, Links("")).offered())

    def fill(self, markdown: str, page: str, links: Links) -> str:
        """A page's text with its places filled.

        Raises
        ------
        GuideError
            `page` named, with what it asked for.
        """
        if "{=" not in markdown:
            return markdown
        drawn = GuideDrawings(self._reference, links).offered()
        try:
            return self._environment.from_string(markdown).render(drawn)
        except (QuantityError, GuideError, KeyError, TypeError, ValueError, TemplateError) as error:
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

    def turns(self, thread: str) -> str:
        """Turns that a nut makes over one diameter of thread, to the nearest whole one."""
        found = self._reference.threads.find(thread)
        return str(round(found.major_mm / found.pitch_mm))

    def heat(self, nut: str) -> str:
        """The temperature above which a kind of nut is never used: '120 °C (248 °F)'."""
        found = self._reference.nuts.find(nut)
        limit = next((rule.above for rule in found.rules if rule.condition == "heat" and rule.above), None)
        if limit is None:
            raise GuideError(f"no temperature is recorded above which a {found.title.lower()} is never used")
        return format_temperature(limit)

    def hard_from(self, unit: str) -> str:
        """The lowest strength or hardness from which a document keeps steel away from plating: '390 HV'."""
        return f"{self._reference.plating.least('strong', unit):g} {unit}"

    def count(self, what: str) -> str:
        """A live count: 'threads', 'marks', …, 'vehicles', 'joints', or rows by where they come from."""
        reference = self._reference
        joints = list(self._fleet.joints())
        invented = [joint for joint in joints if self._fleet.vehicles[joint.vehicle].is_invented]
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
            "joints": len(joints),
            "invented joints": len(invented),
            "rows": rows.total(),
            **{f"rows from a {kind}": rows[kind] for kind in get_args(SourceKind)},
            **{f"rows {kind}": rows[kind] for kind in UNSOURCED},
        }
        if what not in counts:
            raise GuideError(f"nothing counts '{what}'; there are {', '.join(sorted(counts))}")
        return str(counts[what])


def _what_happens(meeting: Meeting) -> str:
    if meeting.verdict == "binds" and meeting.turns is not None:
        turns = round(meeting.turns)
        return f"binds after about {turns} {'turn' if turns == 1 else 'turns'}" if turns else "binds within a turn"
    if meeting.verdict == "runs on":
        return f"runs on and holds by {100 * meeting.share:.0f} % of the thread"
    return meeting.verdict


def _asks(text: str, error: Exception) -> bool:
    """Whether a line holds the place that failed, told by the first quoted words of the message."""
    quoted = re.search(r"'([^']+)'", str(error))
    return bool(_PLACE.search(text)) and (quoted is None or quoted.group(1) in text)
