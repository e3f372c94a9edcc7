"""Says which pages and files the site has, and makes their fragments.

This is the first of two steps and knows nothing of the site generator beyond the shape of a made page.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from decoder_site.links import Links
from decoder_site.loading import Facts
from decoder_site.making import MadePage
from decoder_site.templating import Templates
from decoder_site.views.measures import Citations
from decoder_site.views.sizes import families, size_view
from decoder_site.views.sources import source_views
from decoder_site.views.spanners import spanner_view, systems


def site_pages(facts: Facts) -> Iterator[MadePage]:
    """Every generated page."""
    site = _Site(facts)
    yield from site.front()
    yield from site.sizes()
    yield from site.spanners()
    yield from site.sources()


def site_files(facts: Facts) -> Iterator[tuple[str, bytes]]:
    """Every generated file that is no page, by address."""
    yield from ()


class _Site:
    def __init__(self, facts: Facts) -> None:
        self.facts, self.reference = facts, facts.reference
        self.citations = Citations(dict(facts.reference.sources), facts.place)
        self.templates = Templates()

    def page(
        self, address: str, template: str, title: str, description: str, *, label: str = "", edit: str = "", **view: Any
    ) -> MadePage:
        """One page. `label` is its name in the navigation and keeps a page without one out of it."""
        links = Links(address, self.facts.as_files)
        return MadePage(
            address=address,
            title=title,
            label=label or title,
            description=description,
            fragment=self.templates.fragment(template, links, **view),
            edit_path=self.facts.place.path(edit) if edit else None,
            in_nav=bool(label),
        )

    def front(self) -> Iterator[MadePage]:
        counts = {"sizes": len(self.reference.threads), "spanners": len(self.reference.spanners)}
        yield self.page(
            "",
            "front",
            self.facts.site_name,
            "Tells the bolts, nuts and washers of old vehicles apart, and says where each one goes.",
            label="Start",
            site_name=self.facts.site_name,
            counts=counts,
        )

    def sizes(self) -> Iterator[MadePage]:
        yield self.page(
            "sizes/",
            "sizes",
            "Thread sizes",
            "Threads of old vehicles by family: outside diameter and pitch in millimetres and inches.",
            label="Sizes",
            families=tuple(families(self.reference)),
            count=len(self.reference.threads),
        )
        for thread in self.reference.threads:
            view = size_view(thread, self.reference, self.citations)
            yield self.page(
                f"sizes/{thread.slug}/",
                "size",
                thread.designation,
                f"{thread.designation}: {view.family_name}, {view.major.figure} {view.major.unit} ({view.major.other}), "
                f"{view.pitch}. Heads, nuts, spanners and look-alikes.",
                edit=f"reference/{thread.provenance.file.rpartition('/')[2]}",
                size=view,
            )

    def spanners(self) -> Iterator[MadePage]:
        yield self.page(
            "spanners/",
            "spanners",
            "Spanners",
            "Spanner markings, what they open, and which heads they fit or round.",
            label="Spanners",
            systems=tuple(systems(self.reference)),
        )
        for spanner in self.reference.spanners:
            view = spanner_view(spanner, self.reference, self.citations)
            yield self.page(
                f"spanners/{spanner.slug}/",
                "spanner",
                f"Spanner {spanner.marking}",
                f"Spanner {spanner.marking}: opens {view.jaw.figure} {view.jaw.unit} ({view.jaw.other}); the heads it "
                "fits, and those it rounds.",
                edit=f"reference/{spanner.provenance.file.rpartition('/')[2]}",
                spanner=view,
            )

    def sources(self) -> Iterator[MadePage]:
        yield self.page(
            "sources/",
            "sources",
            "Sources",
            "Every document that a figure on this site was read in, and how much of it was read.",
            label="Sources",
            sources=tuple(source_views(self.reference, self.facts.place)),
        )
