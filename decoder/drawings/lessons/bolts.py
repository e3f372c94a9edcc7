"""Lessons about bolts: what an order names, which length goes where, and two hexagons on one thread."""

from __future__ import annotations

import math
from collections.abc import Sequence

from decoder.drawings.hexagons import outline
from decoder.drawings.svg import across, drawing, label, path, tag
from decoder.drawings.threads import WIDTH
from decoder.hexagons import CORNERS_PER_FLATS, Hexagon
from decoder.quantities import Length, System, format_length, format_mm
from decoder.threads import Thread


def to_order(thread: Thread, length: Length, head: Hexagon) -> str:
    """A hexagon bolt with every dimension that an order or a record needs.

    Parameters
    ----------
    thread : Thread
    length : Length
        Under the head to the tip.
    head : Hexagon
        Its head; the height is taken from it where it has one.
    """
    height_mm = head.height_mm or head.height_max_mm or 0.65 * thread.major_mm
    scale = min(190 / (length.mm + height_mm), 60 / thread.major_mm)
    flats = head.across_flats_mm * scale
    high, long, thick = height_mm * scale, length.mm * scale, thread.major_mm * scale
    left, axis = 92.0, 70 + flats / 2
    tip, under = left + high + long, left + high
    threaded = min(2 * thread.major_mm + 6.35, length.mm) * scale
    pitch = thread.pitch_mm * scale
    turns = max(1, int(threaded / pitch))
    lines = [
        tag("line", x1=tip - each * pitch, y1=axis - thick / 2, x2=tip - (each + 0.5) * pitch, y2=axis + thick / 2)
        for each in range(1, turns)
    ]
    return drawing(
        WIDTH,
        axis + flats / 2 + 62,
        f"A hexagon bolt {thread.designation} x {length.written}: thread, length under the head, across flats",
        across(under, tip, 34, f"length {format_length(length.mm, length.system)}"),
        tag("line", x1=under, y1=34, x2=under, y2=axis - thick / 2, class_="guide"),
        tag("line", x1=tip, y1=34, x2=tip, y2=axis - thick / 2, class_="guide"),
        tag("rect", x=left, y=axis - flats / 2, width=high, height=flats, rx=3, class_="metal"),
        tag("line", x1=left, y1=axis - flats / 4, x2=under, y2=axis - flats / 4, class_="edge"),
        tag("line", x1=left, y1=axis + flats / 4, x2=under, y2=axis + flats / 4, class_="edge"),
        tag("rect", x=under, y=axis - thick / 2, width=long, height=thick, class_="metal"),
        tag("g", *lines, class_="edge"),
        label("mark here", left - 8, axis + 4, "end"),
        label(f"flats {format_length(head.across_flats_mm, length.system)}", 8, axis + flats / 2 + 22, "start"),
        label("shank", under + max(long - threaded, 48) / 2, axis - thick / 2 - 8),
        label(f"thread {thread.designation}", tip - threaded / 2 + 10, axis + flats / 2 + 42),
        class_="wrenched-part",
    )


def standing_out(thread: Thread, cover: Length, lengths: Sequence[Length]) -> str:
    """Bolts pushed through a cover on the bench, with how far each stands out: the odd ones show at once.

    Parameters
    ----------
    thread : Thread
    cover : Length
        Thickness of the cover at the holes.
    lengths : Sequence[Length]
        Of the bolts, under the head, in the order of the holes.
    """
    longest = max(each.mm for each in lengths)
    scale = min(96 / longest, (WIDTH - 40) / len(lengths) / 2.6 / thread.major_mm)
    thick, head, plate = thread.major_mm * scale, thread.major_mm * 0.65 * scale, cover.mm * scale
    top = 30.0 + head
    step = (WIDTH - 24) / len(lengths)
    usual = max((each.mm for each in lengths), key=lambda mm: sum(each.mm == mm for each in lengths))
    drawn = [tag("rect", x=12, y=top, width=WIDTH - 24, height=plate, class_="layer metal")]
    for number, each in enumerate(lengths):
        x = 12 + step * (number + 0.5)
        tip = top + each.mm * scale
        out = round(each.mm - cover.mm, 1)
        odd = abs(each.mm - usual) > 0.01
        drawn += [
            tag("rect", x=x - thick * 0.8, y=top - head, width=thick * 1.6, height=head, rx=2, class_="metal"),
            tag(
                "rect",
                x=x - thick / 2,
                y=top,
                width=thick,
                height=each.mm * scale,
                class_="fastener metal" if odd else "metal",
            ),
            label(format_mm(out), x, tip + 18, class_="label dimension-label" if odd else "label"),
        ]
    bottom = top + longest * scale
    written = ", ".join(each.written for each in lengths)
    return drawing(
        WIDTH,
        bottom + 50,
        f"Bolts of {written} pushed through a cover of {cover.written}: how far each stands out",
        label("cover on the bench, bolts pushed through", WIDTH / 2, 16),
        *drawn,
        label("how far each stands out; the dark ones are odd", WIDTH / 2, bottom + 42),
        class_="wrenched-part",
    )


def one_thread_two_heads(thread: Thread, heads: Sequence[tuple[Hexagon, str]]) -> str:
    """Hexagons of different widths on one thread, each with its width and its spanner, at one scale."""
    widest = max(row.across_flats_mm for row, _ in heads) * CORNERS_PER_FLATS["hexagon"]
    scale = min(110 / widest, (WIDTH - 40) / len(heads) / widest)
    step = WIDTH / len(heads)
    system: System = "inch" if thread.threads_per_inch else "metric"
    widths = [format_length(row.across_flats_mm, system) for row, _ in heads]
    middle = 54 + widest * scale / 2
    drawn = []
    for number, (row, spanner) in enumerate(heads):
        x = step * (number + 0.5)
        flats = row.across_flats_mm * scale
        drawn += [
            across(x - flats / 2, x + flats / 2, 34, widths[number]),
            tag("path", d=path(outline("hexagon", flats, x, middle), closed=True), class_="metal"),
            tag("circle", cx=x, cy=middle, r=thread.major_mm * scale / 2, class_="shank"),
            label(f"spanner {spanner}", x, middle + widest * scale / 2 + 20),
        ]
    return drawing(
        WIDTH,
        middle + widest * scale / 2 + 32,
        f"{thread.designation} under {len(heads)} heads: "
        + " and ".join(f"{widths[number]} across flats, spanner {name}" for number, (_, name) in enumerate(heads)),
        *drawn,
        class_="wrenched-part",
    )


def next_slot(thread: Thread, slots: int) -> str:
    """A castellated nut a little past the pin's hole: on to the next slot in a clamping joint, back on a hub.

    What one slot moves the nut along the thread is its pitch over the number of slots.
    """
    moves = format_mm(round(thread.pitch_mm / slots, 3))
    views = (("clamps: on", 85.0, 1), ("taper rollers: back", 255.0, -1))
    drawn = []
    for words, x, way in views:
        drawn += [*_slotted(x, 92.0, slots, way), label(words, x, 188, class_="label dimension-label")]
    return drawing(
        WIDTH,
        226,
        f"A castellated nut whose slots miss the pin's hole, {slots} slots: a joint that clamps goes on to the next "
        f"slot, a hub on taper rollers goes back to it. One slot is {moves} along {thread.designation}",
        *drawn,
        label(f"1/{slots} turn is {moves} along {thread.designation}", WIDTH / 2, 214),
        class_="wrenched-part",
    )


def _slotted(x: float, y: float, slots: int, way: int) -> list[str]:
    """The nut from outside, its slots turned past the hole, and the way it goes from there."""
    past = 18.0 * way
    spokes = [
        tag("rect", x=x - 6, y=y - 56, width=12, height=22, class_="hollow", transform=f"rotate({turn:g} {x:g} {y:g})")
        for turn in (360 / slots * each - past for each in range(slots))
    ]
    return [
        tag("path", d=path(outline("hexagon", 110, x, y), closed=True), class_="metal"),
        tag("circle", cx=x, cy=y, r=52, class_="metal"),
        *spokes,
        tag("circle", cx=x, cy=y, r=30, class_="fastener metal"),
        tag("rect", x=x - 3.5, y=y - 30, width=7, height=60, class_="hollow"),
        tag("line", x1=x, y1=y - 74, x2=x, y2=y - 31, class_="guide"),
        *_arc_arrow(x, y, 69.0, -past, 0.0),
    ]


def _arc_arrow(x: float, y: float, radius: float, begin_deg: float, end_deg: float) -> list[str]:
    """An arrow round the nut, angles from straight up, clockwise."""

    def at(angle: float, r: float = radius) -> tuple[float, float]:
        turn = math.radians(angle)
        return x + r * math.sin(turn), y - r * math.cos(turn)

    way = 1 if end_deg > begin_deg else -1
    line = [at(begin_deg + (end_deg - begin_deg) * part / 8) for part in range(9)]
    head = [at(end_deg - 6 * way, radius - 6), at(end_deg), at(end_deg - 6 * way, radius + 6)]
    return [tag("path", d=path(line), class_="edge"), tag("path", d=path(head), class_="edge")]
