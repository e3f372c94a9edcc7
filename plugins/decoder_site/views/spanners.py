"""Pages of spanners: one a jaw, and the list by system."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from decoder.hexagons import Hexagon
from decoder.quantities import System
from decoder.reference import Reference
from decoder.spanners import RIGHT_SHARE, SYSTEMS, Fit, Spanner, heads_for
from decoder_site.views.measures import Citation, Citations, Measure, length, limits
from decoder_site.views.sizes import SpannerLink, hexagon_system, spanner_links
from decoder_site.views.words import FITS, joined

_SYSTEM_NAMES = {
    "AF": "Marked across flats, in inches (AF)",
    "metric": "Marked across flats, in millimetres",
    "Whitworth": "Marked for Whitworth and BSF bolts (W, BS)",
    "BA": "Marked for BA bolts",
}


_SHOWN_PRODUCTS = 3

#: Families that are met under a head of any size, before the finer series of the same sizes.
_RARER_FAMILIES = ("UNEF", "UN", "UNS")

#: A jaw smaller than the flats by more than this share is seen not to go on.
_SEEN_TOO_SMALL = 0.04


@dataclass(frozen=True, slots=True)
class SpannerRow:
    """A spanner in a list."""

    marking: str
    slug: str
    jaw: Measure
    names: str


@dataclass(frozen=True, slots=True)
class SystemList:
    """The spanners of one way of marking, smallest first."""

    anchor: str
    name: str
    spanners: tuple[SpannerRow, ...]


@dataclass(frozen=True, slots=True)
class ThreadRef:
    """A thread, by name and address."""

    designation: str
    slug: str


@dataclass(frozen=True, slots=True)
class HeadRow:
    """Heads and nuts of one size and width near a jaw's opening; `products` names them with their standards.

    `others` are up to two more spanners that go on them without rounding, the best first.
    """

    size: str
    threads: tuple[ThreadRef, ...]
    rarer: tuple[ThreadRef, ...]
    across_flats: Measure
    slack: str
    products: str
    others: tuple[SpannerLink, ...]


@dataclass(frozen=True, slots=True)
class FitGroup:
    """Heads on which a jaw sits alike."""

    word: str
    anchor: str
    title: str
    warns: bool
    heads: tuple[HeadRow, ...]
    short: str


@dataclass(frozen=True, slots=True)
class SpannerView:
    """One jaw."""

    marking: str
    system: str
    jaw: Measure
    jaw_limits: Measure | None
    names: str
    note: str
    groups: tuple[FitGroup, ...]
    citation: Citation


def spanner_system(spanner: Spanner) -> System:
    """The system whose measure comes first: BA and metric jaws are thought of in millimetres."""
    return "metric" if spanner.system in ("metric", "BA") else "inch"


def systems(reference: Reference) -> Iterator[SystemList]:
    """Every way of marking, each with its spanners by opening."""
    for system in SYSTEMS:
        spanners = sorted((one for one in reference.spanners if one.system == system), key=lambda one: one.jaw_mm)
        if spanners:
            rows = tuple(
                SpannerRow(one.marking, one.slug, length(one.jaw_mm, spanner_system(one)), ", ".join(one.names))
                for one in spanners
            )
            yield SystemList(system.lower(), _SYSTEM_NAMES[system], rows)


def spanner_view(spanner: Spanner, reference: Reference, citations: Citations) -> SpannerView:
    """All that the page of one spanner shows."""
    system = spanner_system(spanner)
    groups: dict[str, dict[tuple[str, tuple[str, ...], float], list[tuple[Hexagon, Fit]]]] = {}
    for head, fit in heads_for(spanner, reference.hexagons):
        if fit.word == "will not enter" and spanner.jaw_mm < head.across_flats_mm * (1 - _SEEN_TOO_SMALL):
            continue
        alike = (head.size, head.families, round(head.across_flats_mm, 2))
        groups.setdefault(fit.word, {}).setdefault(alike, []).append((head, fit))
    return SpannerView(
        marking=spanner.marking,
        system=_SYSTEM_NAMES[spanner.system],
        jaw=length(spanner.jaw_mm, system),
        jaw_limits=limits(spanner.jaw_min_mm, spanner.jaw_max_mm, system),
        names=", ".join(spanner.names),
        note=spanner.note or "",
        groups=tuple(
            FitGroup(
                word=word,
                anchor=word.replace(" ", "-"),
                title=FITS[word].capitalize(),
                warns=word in ("slack", "slips round"),
                heads=tuple(_row(heads, spanner, reference) for heads in alike.values()),
                short=_short([head for heads in alike.values() for head, _ in heads], spanner, reference, word),
            )
            for word, alike in groups.items()
        ),
        citation=citations.of_row(spanner.provenance),
    )


def _row(heads: list[tuple[Hexagon, Fit]], spanner: Spanner, reference: Reference) -> HeadRow:
    head, _ = heads[0]
    met = [thread for thread in reference.threads if head.is_met_on(thread)]
    usual = [thread for thread in met if thread.family not in _RARER_FAMILIES] or met
    return HeadRow(
        size=head.size,
        threads=tuple(ThreadRef(thread.designation, thread.slug) for thread in usual),
        rarer=tuple(ThreadRef(thread.designation, thread.slug) for thread in met if thread not in usual),
        across_flats=length(head.across_flats_mm, hexagon_system(head)),
        slack=_play([fit for _, fit in heads]),
        products=_first_few(list(dict.fromkeys(one.product for one, _ in heads))),
        others=tuple(link for link in spanner_links(head, reference) if link.slug != spanner.slug)[:2],
    )


def _first_few(products: list[str]) -> str:
    """Enough to know the head by; all of them, with their standards, stand on the page of its size."""
    if len(products) <= _SHOWN_PRODUCTS + 1:
        return ", ".join(products)
    return f"{', '.join(products[:_SHOWN_PRODUCTS])} and {len(products) - _SHOWN_PRODUCTS} more kinds"


def _short(heads: list[Hexagon], spanner: Spanner, reference: Reference, word: str) -> str:
    """A group in a line: sizes of plain heads for the jaw that is right, else the jaws those heads are made for."""
    plain = [head for head in heads if head.is_plain] or heads
    if word == "right":
        return joined([f"{size} {families}".strip() for size, families in _sizes(plain)])
    own = (
        other.marking
        for head in plain
        for other in reference.spanners
        if other.slug != spanner.slug and abs(other.jaw_mm / head.across_flats_mm - 1) <= RIGHT_SHARE
    )
    return joined(list(dict.fromkeys(own)))


def _sizes(heads: list[Hexagon]) -> Iterator[tuple[str, str]]:
    """Sizes with the families that an inch size belongs to: ('5/16', 'UNC, UNF')."""
    found: dict[str, list[str]] = {}
    for head in heads:
        families = found.setdefault(head.size, [])
        families += [name for name in head.families if name not in (*families, *_RARER_FAMILIES, "M", "BA")]
    for size, families in found.items():
        yield size, ", ".join(families)


def _play(fits: Collection[Fit]) -> str:
    """How loose the jaw sits between the limits of both, [mm], over heads that share a width."""
    least = min(fit.least_slack_mm for fit in fits)
    greatest = max(fit.greatest_slack_mm for fit in fits)
    if greatest <= 0:
        return f"{-greatest:.2f} to {-least:.2f} mm too small"
    if least < 0:
        return f"from {-least:.2f} mm too small to {greatest:.2f} mm slack"
    return f"{least:.2f} to {greatest:.2f} mm slack"
