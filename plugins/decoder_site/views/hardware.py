"""What follows from hardware at a joint: its thread in figures, widths, spanners, and what its mark claims."""

from __future__ import annotations

from dataclasses import dataclass

from decoder.hexagons import Hexagon
from decoder.joint_threads import find_thread, main_thread, member_threads
from decoder.marks import Mark
from decoder.records import Bolt, Captive, Insert, Member, Nut, Screw, Stud, Union
from decoder.reference import Reference
from decoder.threads import Thread
from decoder_site.views.measures import Measure, length, pitch
from decoder_site.views.sizes import SpannerLink, hexagon_system, spanner_links, system_of

#: Heads that a spanner turns by flats, and what the tables of hexagons call the part.
_WRENCHED = {
    "hexagon": "bolt",
    "hexagon-flange": "bolt",
    "square": "bolt",
    "plug": "plug",
    "bleed": "bleed screw",
}


@dataclass(frozen=True, slots=True)
class ThreadView:
    """A thread in figures."""

    designation: str
    slug: str
    major: Measure
    pitch: Measure


@dataclass(frozen=True, slots=True)
class WidthView:
    """A width across flats that standards give a part of this thread, and the spanners for it."""

    across_flats: Measure
    across_flats_mm: float
    standards: str
    is_usual: bool
    spanners: tuple[SpannerLink, ...]


@dataclass(frozen=True, slots=True)
class ClaimView:
    """What a head says about its strength: the grades its mark may claim, or that it claims none."""

    text: str
    grades: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class HardwareView:
    """What is computed for one member of a stack; parts without a thread have none."""

    threads: tuple[ThreadView, ...]
    part: str
    widths: tuple[WidthView, ...]
    claim: ClaimView | None


def hardware_view(member: Member, stack: tuple[Member, ...], reference: Reference) -> HardwareView | None:
    """What is computed for a member, or None where nothing is."""
    threads = [
        thread for text in member_threads(member) if (thread := find_thread(text, reference.threads)) is not None
    ]
    part = ""
    if isinstance(member, Bolt):
        part = _WRENCHED.get(member.bolt, "")
    elif isinstance(member, Screw):
        part = "bolt" if member.screw in ("hexagon", "hexagon-flange", "square") else ""
    elif isinstance(member, Nut):
        part = "nut"
        if not threads and (thread := main_thread(stack, reference.threads)) is not None:
            threads = [thread]
    elif isinstance(member, Union):
        part = "union nut"
    elif not isinstance(member, (Stud, Captive, Insert)):
        return None
    shapes = (getattr(member, name, "") for name in ("bolt", "screw", "nut"))
    outline = "square" if "square" in shapes else "hexagon"
    widths = _widths(threads[0], part, outline, reference) if threads and part else ()
    return HardwareView(
        threads=tuple(thread_view(thread) for thread in threads),
        part=part,
        widths=widths,
        claim=_claim(member, reference),
    )


def thread_view(thread: Thread) -> ThreadView:
    """A thread in figures; a left-hand one has the page of its right-hand twin."""
    return ThreadView(
        designation=thread.designation,
        slug=thread.slug.removesuffix("-lh"),
        major=length(thread.major_mm, system_of(thread)),
        pitch=pitch(thread.pitch_mm, thread.threads_per_inch),
    )


def _widths(thread: Thread, part: str, outline: str, reference: Reference) -> tuple[WidthView, ...]:
    """Widths that standards give, each once with everyone who gives it; those of ordinary parts first."""
    by_width: dict[float, list[Hexagon]] = {}
    for row in reference.hexagons.for_thread(thread, part):
        if row.outline == outline:
            by_width.setdefault(round(row.across_flats_mm, 2), []).append(row)
    ordered = sorted(
        by_width.values(),
        key=lambda rows: (not any(row.is_plain for row in rows), -len(rows), rows[0].across_flats_mm),
    )
    return tuple(
        WidthView(
            across_flats=length(rows[0].across_flats_mm, hexagon_system(rows[0])),
            across_flats_mm=rows[0].across_flats_mm,
            standards=", ".join(dict.fromkeys(f"{row.standard} {row.product}" for row in rows)),
            # Where no ordinary part has this thread, the width that most standards give stands for them.
            is_usual=any(row.is_plain for row in rows) or rows is ordered[0],
            spanners=spanner_links(rows[0], reference),
        )
        for rows in ordered
    )


def _claim(member: Member, reference: Reference) -> ClaimView | None:
    if not isinstance(member, (Bolt, Screw, Stud, Nut)):
        return None
    if member.mark is None:
        return ClaimView("No mark recorded: strength not known.", ())
    mark = _mark(member.mark, reference)
    if mark is None:
        return ClaimView("A mark that no table explains: strength not known.", ())
    grades = []
    for name in mark.grades:
        grade = reference.strengths.get(name)
        grades.append((name, grade.slug if grade else ""))
    if not grades:
        return ClaimView("The mark tells no strength.", ())
    return ClaimView("The mark claims" if len(grades) == 1 else "The mark may claim one of", tuple(grades))


def _mark(mark_id: str, reference: Reference) -> Mark | None:
    return next((mark for mark in reference.marks if mark.id == mark_id), None)
