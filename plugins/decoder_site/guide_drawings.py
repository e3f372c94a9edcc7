"""Drawings that hand-written pages ask for by name, each computed from the tables."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import get_args

from markupsafe import Markup

from decoder.build import build
from decoder.drawings.face import draw_sequence
from decoder.drawings.kinds import draw_kind
from decoder.drawings.lessons import bolts, unions
from decoder.drawings.lessons import threads as about_threads
from decoder.drawings.marks import draw_mark
from decoder.drawings.stack import draw_stack
from decoder.drawings.threads import overlay, thread_profile
from decoder.fields import doc
from decoder.findings import BadDataError, Finding
from decoder.hexagons import Hexagon
from decoder.quantities import parse_length
from decoder.records import READERS, Member, TightenOrder
from decoder.reference import Reference
from decoder.spanners import spanners_for
from decoder.stacks import survey
from decoder.threads import Thread
from decoder.yaml_source import read_yaml
from decoder_site.links import Links


class GuideError(ValueError):
    """A hand-written page asks for what the tables do not hold; the message says what and how to mend it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Example:
    """A stack as a page writes it, in the words of a record."""

    stack: tuple[Member, ...] = field(metadata=doc("parts from head to tip"))


@dataclass(frozen=True, slots=True)
class GuideDrawings:
    """Makes the drawings of one page; `links` are that page's."""

    reference: Reference
    links: Links

    def offered(self) -> Mapping[str, Callable[..., Markup]]:
        """By the names that pages call."""
        return {
            "draw_thread": self.thread,
            "draw_pair": self.pair,
            "draw_mark": self.mark,
            "draw_nut": self.nut,
            "draw_washer": self.washer,
            "draw_count": self.count,
            "draw_stretched": self.stretched,
            "draw_coat": self.coat,
            "draw_order_of": self.order_of,
            "draw_bench": self.bench,
            "draw_heads": self.heads,
            "draw_slots": self.slots,
            "draw_flares": self.flares,
            "draw_sequence": self.sequence,
            "draw_stack": self.stack,
        }

    def _thread(self, text: str) -> Thread:
        return self.reference.threads.find(text)

    def thread(self, thread: str) -> Markup:
        """The profile of a thread."""
        return _figure(thread_profile(self._thread(thread)))

    def pair(self, one: str, other: str) -> Markup:
        """Two threads laid over each other."""
        return _figure(overlay(self._thread(one), self._thread(other)))

    def mark(self, mark: str) -> Markup:
        """A head mark, leading to its page."""
        found = self.reference.marks.find(mark)
        return _figure(draw_mark(found), self.links.to(f"head-marks/{found.id}/"), found.title)

    def nut(self, kind: str) -> Markup:
        """A kind of nut, leading to its page."""
        found = self.reference.nuts.find(kind)
        return _figure(draw_kind(found), self.links.to(f"nuts/{found.id}/"), found.title)

    def washer(self, kind: str) -> Markup:
        """A kind of washer, leading to its page."""
        found = self.reference.washers.find(kind)
        return _figure(draw_kind(found), self.links.to(f"washers/{found.id}/"), found.title)

    def count(self, thread: str) -> Markup:
        """A bolt on a rule, its crests numbered."""
        return _figure(about_threads.pitch_by_count(self._thread(thread)))

    def stretched(self, thread: str) -> Markup:
        """A sound and a stretched bolt against a rule."""
        return _figure(about_threads.stretched(self._thread(thread)))

    def coat(self, thread: str, coat_um: float) -> Markup:
        """What a coat does to a thread."""
        return _figure(about_threads.coated(self._thread(thread), coat_um))

    def order_of(self, thread: str, length: str) -> Markup:
        """A hexagon bolt with what an order names."""
        found = self._thread(thread)
        return _figure(bolts.to_order(found, parse_length(length), self._bolt_heads(found)[0]))

    def bench(self, thread: str, cover: str, *lengths: str) -> Markup:
        """Bolts pushed through a cover, each with how far it stands out."""
        if not lengths:
            raise GuideError("no bolts to push through the cover: write their lengths")
        measured = [parse_length(each) for each in lengths]
        return _figure(bolts.standing_out(self._thread(thread), parse_length(cover), measured))

    def heads(self, thread: str) -> Markup:
        """The narrowest and the widest hexagon that standards put on a bolt of this thread."""
        found = self._thread(thread)
        rows = sorted(self._bolt_heads(found), key=lambda row: -row.across_flats_mm)
        if rows[0].across_flats_mm == rows[-1].across_flats_mm:
            raise GuideError(f"{found.designation} has one width across flats, so there is nothing to set side by side")
        shown = [(row, self._spanner(row)) for row in (rows[0], rows[-1])]
        return _figure(bolts.one_thread_two_heads(found, shown))

    def _bolt_heads(self, thread: Thread) -> list[Hexagon]:
        rows = [row for row in self.reference.hexagons.for_thread(thread, "bolt") if row.outline == "hexagon"]
        if not rows:
            raise GuideError(f"no hexagon is known for a bolt of {thread.designation}")
        return rows

    def _spanner(self, row: Hexagon) -> str:
        choices = spanners_for(row, self.reference.spanners)
        fits = [choice.spanner for choice in choices if choice.fit.word == "right"]
        if not fits:
            raise GuideError(f"no spanner is right on {row.across_flats_mm:g} mm across flats")
        return fits[0].marking

    def slots(self, thread: str, slots: int = 6) -> Markup:
        """A castellated nut at the pin's hole: on in a clamping joint, back on a hub."""
        return _figure(bolts.next_slot(self._thread(thread), slots))

    def flares(self) -> Markup:
        """Single, double and bubble flare."""
        return _figure(unions.flares())

    def sequence(self, order: TightenOrder, count: int) -> Markup:
        """An order of tightening, drawn on so many bolts."""
        if order not in get_args(TightenOrder):
            raise GuideError(f"'{order}' is no order of tightening; there are {', '.join(get_args(TightenOrder))}")
        drawn = draw_sequence(order, count)
        if not drawn:
            raise GuideError(f"'{order}' over {count} bolts is not drawn")
        return _figure(drawn)

    def stack(self, *members: str) -> Markup:
        """A joint cut open, its parts written as a record writes them, from head to tip."""
        findings: list[Finding] = []
        try:
            written = read_yaml(f"stack: [{', '.join(members)}]", "a drawn stack")
        except BadDataError as error:
            raise GuideError(str(error)) from error
        record = build(_Example, written, "a drawn stack", findings, readers=READERS)
        if record is None:
            raise GuideError("; ".join(map(str, findings)))
        found = survey(record.stack, self.reference)
        if found.layout is None:
            raise GuideError(f"the stack is not drawn: {found.reason}")
        return _figure(draw_stack(found.layout))


def _figure(drawing: str, address: str = "", words: str = "") -> Markup:
    """A drawing on a line of its own, as Markdown leaves block elements alone."""
    inside = Markup(drawing)
    if address:
        inside = Markup('<a href="{}">{}<span>{}</span></a>').format(address, inside, words)
    return Markup('<div class="figure">{}</div>').format(inside)
