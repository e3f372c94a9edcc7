"""The page of circlips: every ring by standard, named by what it goes on and by its groove."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from decoder.circlips import Circlip
from decoder.drawings.circlips import circlip
from decoder.quantities import System, format_length
from decoder.reference import Reference
from decoder_site.views.measures import Citation, Citations, Measure, length, limits

_ABOUT = {
    "shaft": ("On a shaft", "Sprung open over the end of the shaft with pliers through the holes in its lugs."),
    "bore": ("In a bore", "Squeezed small with pliers and let go in the groove of the bore."),
    "crescent": ("Crescent, pushed on", "Pushed on from the side, round a little more than half of the shaft."),
    "E-clip": ("E-clip, pushed on", "Pushed on from the side; three fingers sit in the groove."),
}


@dataclass(frozen=True, slots=True)
class RingRow:
    """One ring. `loose` says what a caliper finds on the ring itself, '' where the source gives nothing."""

    size: str
    on: Measure | None
    groove: Measure
    groove_width: Measure | None
    thickness: Measure
    loose: str
    note: str


@dataclass(frozen=True, slots=True)
class RingGroup:
    """The rings of one standard for one place."""

    anchor: str
    title: str
    about: str
    standard: str
    on: str
    drawing: Markup
    rings: tuple[RingRow, ...]
    citations: tuple[Citation, ...]


def ring_groups(reference: Reference, citations: Citations) -> Iterator[RingGroup]:
    """Every standard's rings, metric and inch, in table order."""
    metric_first = sorted(reference.circlips.rings, key=lambda ring: ring.unit == "in")
    for (standard, kind), found in groupby(metric_first, key=lambda ring: (ring.standard, ring.kind)):
        rings = tuple(found)
        title, about = _ABOUT[kind]
        widths = [ring.groove for ring in rings if ring.groove]
        rows = [ring.provenance for ring in rings] + [groove.provenance for groove in widths]
        cited = {(row.document, row.where): row for row in rows}
        yield RingGroup(
            anchor=f"{kind} {standard}".lower().replace(" ", "-"),
            title=f"{title}: {standard}",
            about=about,
            standard=standard,
            on="Bore" if kind == "bore" else "Shaft",
            drawing=Markup(circlip(rings[len(rings) // 3])),
            rings=tuple(_row(ring) for ring in rings),
            citations=tuple(citations.of_row(row) for row in cited.values()),
        )


def _row(ring: Circlip) -> RingRow:
    system: System = "inch" if ring.unit == "in" else "metric"
    notes = [ring.note or "", "from memory" if not ring.provenance.is_cited else ""]
    if ring.groove and not ring.groove.provenance.is_cited:
        notes.append("groove width from memory")
    loose = []
    if ring.free_mm is not None:
        side = "outside" if ring.kind == "bore" else "inside"
        loose.append(f"{format_length(ring.free_mm, system)} {side} when loose")
    if ring.outside_mm is not None:
        loose.append(f"{format_length(ring.outside_mm, system)} outside once on")
    return RingRow(
        size=ring.size,
        on=limits(ring.on_mm, ring.on_max_mm, system) if ring.on_max_mm else length(ring.on_mm, system),
        groove=length(ring.groove_mm, system),
        groove_width=length(ring.groove.width_mm, system) if ring.groove else None,
        thickness=length(ring.thickness_mm, system),
        loose="; ".join(loose),
        note="; ".join(note for note in notes if note),
    )
