"""Pages of thread sizes: one a thread, and the list by family."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from decoder.drawings.hexagons import actual_size, wrenched_part
from decoder.drawings.threads import thread_profile
from decoder.hexagons import Hexagon
from decoder.limits import Limits
from decoder.limits import limits as limits_of_size
from decoder.quantities import System, format_angle, format_mm
from decoder.reference import Reference
from decoder.spanners import spanners_for, that_round
from decoder.threads import Thread
from decoder.tightening import NO_TORQUE_FAMILIES
from decoder.writing import trimmed
from decoder_site.views.measures import Citation, Citations, Measure, length, limits, optional_length, pitch
from decoder_site.views.words import FAMILIES, FITS

#: Ordinary on Japanese vehicles, beside the heads that are plain everywhere.
_SMALL_SERIES = frozenset({"small hexagon bolt", "small hexagon nut"})

#: What the two members are called; no bolt and no nut has a pipe thread.
_MEMBERS = {"external": "bolt", "internal": "nut"}
_PIPE_MEMBERS = {"external": "male", "internal": "female"}


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
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HexagonView:
    """A head or nut of one standard."""

    standard: str
    product: str
    era: str
    limits: Measure | None
    height: Measure | None
    note: str
    citation: Citation


@dataclass(frozen=True, slots=True)
class WidthView:
    """The heads, or the nuts, that share one width: the width is what a person can tell."""

    part: str
    outline: str
    across_flats: Measure
    spanners: tuple[SpannerLink, ...]
    never: tuple[str, ...]
    drawing: Markup
    actual_size: Markup
    heads: tuple[HexagonView, ...]
    is_usual: bool
    era: str = ""


@dataclass(frozen=True, slots=True)
class ClassView:
    """Limits of size of one class."""

    name: str
    member: str
    major: Measure | None
    pitch_diameter: Measure | None
    minor: Measure | None
    by: str


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
    real_bolt: Measure | None
    real_bolt_class: str
    pitch: Measure
    pitch_diameter: Measure
    minor_external: Measure
    minor_internal: Measure
    height: Measure
    stress_area: str
    stress_area_formula: str
    lead_angle: str
    male: str
    female: str
    takes_torque: bool
    tap_drill: Measure
    tap_drill_from: str
    tap_drill_citation: Citation | None
    clearance: Measure | None
    clearance_citation: Citation | None
    drawing: Markup
    classes: tuple[ClassView, ...]
    widths: tuple[WidthView, ...]
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
    classes = limits_of_size(thread)
    usual = next((each for each in classes if each.member == "external"), None)
    holes = thread.clearance_holes
    members = _PIPE_MEMBERS if thread.series == "pipe" else _MEMBERS
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
        real_bolt=limits(usual.major_min_mm, usual.major_max_mm, system) if usual else None,
        real_bolt_class=usual.thread_class if usual else "",
        pitch=pitch(thread.pitch_mm, thread.threads_per_inch),
        pitch_diameter=length(thread.pitch_diameter_mm, system),
        minor_external=length(thread.minor_external_mm, system),
        minor_internal=length(thread.minor_internal_mm, system),
        height=length(thread.thread_height_mm, system),
        stress_area=f"{trimmed(thread.stress_area_mm2, 2)} mm² ({trimmed(thread.stress_area_mm2 / 645.16, 4)} in²)",
        stress_area_formula=thread.stress_area_formula,
        lead_angle=format_angle(thread.lead_angle_deg),
        male=members["external"],
        female=members["internal"],
        takes_torque=thread.family not in NO_TORQUE_FAMILIES,
        tap_drill=length(thread.tap_drill_mm, system),
        tap_drill_from=thread.tap_drill_from,
        tap_drill_citation=citations.of_row(thread.tap_drill.provenance) if thread.tap_drill else None,
        clearance=length(holes.medium_mm, system) if holes else None,
        clearance_citation=citations.of_row(holes.provenance) if holes else None,
        drawing=Markup(thread_profile(thread)),
        classes=tuple(_class_view(each, members, system) for each in classes),
        widths=tuple(_widths(thread, reference, citations)),
        citation=citations.of_row(thread.provenance),
    )


def _class_view(each: Limits, words: Mapping[str, str], system: System) -> ClassView:
    return ClassView(
        name=each.thread_class,
        member=words[each.member],
        major=limits(each.major_min_mm, each.major_max_mm, system),
        pitch_diameter=limits(each.pitch_diameter_min_mm, each.pitch_diameter_max_mm, system),
        minor=limits(each.minor_min_mm, each.minor_max_mm, system),
        by=each.by,
    )


def _widths(thread: Thread, reference: Reference, citations: Citations) -> Iterator[WidthView]:
    """Ordinary bolts and nuts first; flanges, then plugs and unions of the same thread, are the rarer find."""
    grouped: dict[tuple[str, str, float], list[Hexagon]] = {}
    for row in reference.hexagons.for_thread(thread):
        grouped.setdefault((row.part, row.outline, row.across_flats_mm), []).append(row)
    of_part: dict[str, list[Hexagon]] = {}
    for (part, _, _), rows in grouped.items():
        of_part.setdefault(part, []).extend(row for row in rows if _is_ordinary(row))
    for (part, outline, _), rows in sorted(grouped.items(), key=lambda item: _rarity(item[0][0], item[1])):
        others = [row for row in of_part[part] if row not in rows]
        drawn = next((row for row in rows if row.height_mm is not None), rows[0])
        yield WidthView(
            part=part,
            outline=outline,
            across_flats=length(drawn.across_flats_mm, hexagon_system(drawn)),
            spanners=spanner_links(drawn, reference),
            never=tuple(
                f"{choice.spanner.marking}, {format_mm(choice.fit.slack_mm, 2)} slack"
                for choice in that_round(drawn, reference.spanners)
            ),
            drawing=Markup(wrenched_part(drawn, thread.major_mm)),
            actual_size=Markup(actual_size(drawn, thread.major_mm)),
            heads=tuple(_hexagon_view(row, citations) for row in rows),
            is_usual=any(_is_ordinary(row) for row in rows),
            era=_era(rows, others),
        )


def _is_ordinary(row: Hexagon) -> bool:
    return row.is_plain or row.product in _SMALL_SERIES


def _era(rows: list[Hexagon], others: list[Hexagon]) -> str:
    """When and where this width is met, where all plain heads of it say so; else how it differs from older ones."""
    plain = [row for row in rows if _is_ordinary(row)]
    if plain and all(row.era for row in plain):
        return "; ".join(dict.fromkeys((row.era or "").partition(";")[0].partition(":")[0] for row in plain))
    if plain and _is_later(rows) and any(row.era and "before ISO 272" in row.era for row in others):
        return "the later ISO width"
    return ""


def _is_later(rows: list[Hexagon]) -> bool:
    """Whether only the standards have this width that came after the old metric ones."""
    return not any(row.era for row in rows) and any(row.standard.startswith("ISO ") for row in rows)


def _rarity(part: str, rows: list[Hexagon]) -> tuple[bool, bool, bool]:
    """Bolts and nuts before fittings, plain ones before flanged, and widths of the old standards before the later."""
    plain = any(_is_ordinary(row) for row in rows)
    return part not in ("bolt", "nut"), not plain, plain and _is_later([row for row in rows if _is_ordinary(row)])


def _hexagon_view(hexagon: Hexagon, citations: Citations) -> HexagonView:
    system = hexagon_system(hexagon)
    return HexagonView(
        standard=hexagon.standard,
        product=hexagon.product,
        era=hexagon.era or "",
        limits=limits(hexagon.across_flats_min_mm, hexagon.across_flats_max_mm, system),
        height=optional_length(hexagon.height_mm, system),
        note=hexagon.note or "",
        citation=citations.of_row(hexagon.provenance),
    )


def spanner_links(hexagon: Hexagon, reference: Reference) -> tuple[SpannerLink, ...]:
    """Spanners that go on a head without rounding it, the right one first."""
    # Of a hundred jaws a handful comes near; fitting them all to every head took a fifth of the build.
    near = [one for one in reference.spanners if 0.95 < one.jaw_mm / hexagon.across_flats_mm < 1.05]
    return tuple(
        SpannerLink(
            marking=choice.spanner.marking,
            slug=choice.spanner.slug,
            fit=FITS[choice.fit.word],
            is_right=choice.fit.word == "right",
            names=choice.spanner.names,
        )
        for choice in spanners_for(hexagon, near)
    )


def hexagon_system(hexagon: Hexagon) -> System:
    """The system a head's own standard uses; metric tables are those whose families are metric alone."""
    return "metric" if hexagon.families == ("M",) else "inch"
