"""Pages of thread sizes: one a thread, and the list by family."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from decoder.hexagons import Hexagon
from decoder.quantities import System, format_angle
from decoder.reference import Reference
from decoder.spanners import spanners_for
from decoder.threads import Thread
from decoder.writing import trimmed
from decoder_site.views.measures import Citation, Citations, Measure, length, limits, optional_length, pitch
from decoder_site.views.words import FAMILIES, FITS


@dataclass(frozen=True, slots=True)
class SizeLink:
    """A thread in a list: enough to tell it from its neighbours."""

    designation: str
    slug: str
    major: Measure
    pitch: Measure


@dataclass(frozen=True, slots=True)
class FamilyList:
    """The threads of one family, smallest first."""

    family: str
    anchor: str
    name: str
    about: str
    sizes: tuple[SizeLink, ...]


@dataclass(frozen=True, slots=True)
class SpannerLink:
    """A spanner that goes on a head, and how well."""

    marking: str
    slug: str
    fit: str
    is_right: bool


@dataclass(frozen=True, slots=True)
class HexagonView:
    """A head or nut of one standard."""

    standard: str
    product: str
    part: str
    era: str
    across_flats: Measure
    across_flats_limits: str
    height: Measure | None
    spanners: tuple[SpannerLink, ...]
    note: str
    citation: Citation


@dataclass(frozen=True, slots=True)
class SizeView:
    """One thread."""

    designation: str
    family: str
    family_anchor: str
    family_name: str
    family_about: str
    series: str
    form: str
    flank_angle: str
    note: str
    major: Measure
    pitch: Measure
    pitch_diameter: Measure
    minor_external: Measure
    minor_internal: Measure
    stress_area: str
    stress_area_formula: str
    lead_angle: str
    hexagons: tuple[HexagonView, ...]
    citation: Citation


def system_of(thread: Thread) -> System:
    """The system a thread's own standard uses."""
    return "inch" if thread.threads_per_inch is not None else "metric"


def size_link(thread: Thread) -> SizeLink:
    """A thread as lists show it."""
    return SizeLink(
        designation=thread.designation,
        slug=thread.slug,
        major=length(thread.major_mm, system_of(thread)),
        pitch=pitch(thread.pitch_mm, thread.threads_per_inch),
    )


def families(reference: Reference) -> Iterator[FamilyList]:
    """Every family that has threads, each with its threads by diameter."""
    for family, (name, about) in FAMILIES.items():
        threads = sorted(
            (thread for thread in reference.threads if thread.family == family),
            key=lambda thread: (thread.major_mm, thread.pitch_mm),
        )
        if threads:
            yield FamilyList(family, family.lower(), name, about, tuple(size_link(thread) for thread in threads))


def size_view(thread: Thread, reference: Reference, citations: Citations) -> SizeView:
    """All that the page of one thread shows."""
    system = system_of(thread)
    name, about = FAMILIES[thread.family]
    return SizeView(
        designation=thread.designation,
        family=thread.family,
        family_anchor=thread.family.lower(),
        family_name=name,
        family_about=about,
        series=thread.series,
        form=thread.form.name,
        flank_angle=format_angle(thread.form.flank_angle_deg),
        note=thread.note,
        major=length(thread.major_mm, system),
        pitch=pitch(thread.pitch_mm, thread.threads_per_inch),
        pitch_diameter=length(thread.pitch_diameter_mm, system),
        minor_external=length(thread.minor_external_mm, system),
        minor_internal=length(thread.minor_internal_mm, system),
        stress_area=f"{trimmed(thread.stress_area_mm2, 2)} mm² ({trimmed(thread.stress_area_mm2 / 645.16, 4)} in²)",
        stress_area_formula=thread.stress_area_formula,
        lead_angle=format_angle(thread.lead_angle_deg),
        hexagons=tuple(
            hexagon_view(hexagon, reference, citations) for hexagon in reference.hexagons.for_thread(thread)
        ),
        citation=citations.of_row(thread.provenance),
    )


def hexagon_view(hexagon: Hexagon, reference: Reference, citations: Citations) -> HexagonView:
    """A head or nut with the spanners that go on it."""
    system = hexagon_system(hexagon)
    return HexagonView(
        standard=hexagon.standard,
        product=hexagon.product,
        part=hexagon.part,
        era=hexagon.era or "",
        across_flats=length(hexagon.across_flats_mm, system),
        across_flats_limits=limits(hexagon.across_flats_min_mm, hexagon.across_flats_max_mm, system),
        height=optional_length(hexagon.height_mm, system),
        spanners=spanner_links(hexagon, reference),
        note=hexagon.note or "",
        citation=citations.of_row(hexagon.provenance),
    )


def spanner_links(hexagon: Hexagon, reference: Reference) -> tuple[SpannerLink, ...]:
    """Spanners that go on a head without rounding it, the right one first."""
    return tuple(
        SpannerLink(
            marking=choice.spanner.marking,
            slug=choice.spanner.slug,
            fit=FITS[choice.fit.word],
            is_right=choice.fit.word == "right",
        )
        for choice in spanners_for(hexagon, reference.spanners)
    )


def hexagon_system(hexagon: Hexagon) -> System:
    """The system a head's own standard uses; metric tables are those whose families are metric alone."""
    return "metric" if hexagon.families == ("M",) else "inch"
