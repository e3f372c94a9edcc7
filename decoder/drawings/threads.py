"""Thread profiles to scale: one thread with its dimensions, and two laid over each other."""

from __future__ import annotations

import math
from dataclasses import dataclass

from decoder.drawings.svg import across, drawing, label, number, tag, upright
from decoder.quantities import format_mm, format_pitch
from decoder.threads import Thread

#: Drawing units; wide enough that a phone shows the words at reading size.
WIDTH = 340.0


@dataclass(frozen=True, slots=True)
class Tooth:
    """Half widths and heights of one thread of a bolt, in its own pitch's unit, measured from the crest line down.

    A flat crest has half width `crest_half`; a rounded one is an arc of `crest_radius` between its tangent points.
    """

    pitch: float
    depth: float
    crest_half: float
    crest_drop: float
    crest_radius: float
    root_half: float
    root_rise: float
    root_radius: float


def tooth(thread: Thread, scale: float) -> Tooth:
    """The basic profile of a bolt's thread, in drawing units of `scale` per millimetre.

    Above the pitch line the profile is cut or rounded at the form's crest height, below it at the bolt's root. Crests
    and roots of rounded forms are arcs that touch both flanks, which fixes their radius.
    """
    form, pitch = thread.form, thread.pitch_mm
    half = math.radians(form.flank_angle_deg / 2)
    sharp = form.sharp_height_factor * pitch
    above = form.pitch_diameter_factor * pitch / 2
    depth = form.minor_external_factor * pitch / 2
    crest_cut = sharp / 2 - above
    root_cut = sharp / 2 - (depth - above)
    if form.crest == "flat":
        crest_half, crest_drop, crest_radius = crest_cut * math.tan(half), 0.0, 0.0
        root_half, root_rise, root_radius = root_cut * math.tan(half), 0.0, 0.0
    else:
        crest_radius = crest_cut / (1 / math.sin(half) - 1)
        root_radius = root_cut / (1 / math.sin(half) - 1)
        crest_half, root_half = crest_radius * math.cos(half), root_radius * math.cos(half)
        crest_drop = crest_half / math.tan(half) - crest_cut
        root_rise = root_half / math.tan(half) - root_cut
    return Tooth(
        *(scale * value for value in (pitch, depth, crest_half, crest_drop, crest_radius)),
        *(scale * value for value in (root_half, root_rise, root_radius)),
    )


def profile(thread: Thread, scale: float, length: float, left: float, top: float) -> str:
    """The `d` of a bolt's profile, crest line at `top`, first crest centred on `left`, `length` drawing units long."""
    shape = tooth(thread, scale)
    commands = [f"M{number(left - shape.crest_half)} {number(top + shape.crest_drop)}"]
    count = math.ceil(length / shape.pitch)
    for index in range(count + 1):
        middle = left + index * shape.pitch
        commands.append(_turn(middle + shape.crest_half, top + shape.crest_drop, shape.crest_radius, sweep=1))
        if index == count:
            break
        valley = middle + shape.pitch / 2
        floor = top + shape.depth - shape.root_rise
        commands.append(f"L{number(valley - shape.root_half)} {number(floor)}")
        commands.append(_turn(valley + shape.root_half, floor, shape.root_radius, sweep=0))
        commands.append(f"L{number(middle + shape.pitch - shape.crest_half)} {number(top + shape.crest_drop)}")
    return "".join(commands)


def _turn(x: float, y: float, radius: float, *, sweep: int) -> str:
    if not radius:
        return f"L{number(x)} {number(y)}"
    return f"A{number(radius)} {number(radius)} 0 0 {sweep} {number(x)} {number(y)}"


def thread_profile(thread: Thread) -> str:
    """Three threads of a bolt in section, with pitch, depth and flank angle."""
    scale = 64 / thread.pitch_mm
    left, top = 46.0, 52.0
    shape = tooth(thread, scale)
    length = 3 * shape.pitch
    bottom = top + shape.depth
    end = left + length
    metal = profile(thread, scale, length, left, top)
    base = bottom + 34
    body = f"{metal}L{number(end + shape.crest_half)} {number(base)}L{number(left - shape.crest_half)} {number(base)}Z"
    angle = f"{thread.form.flank_angle_deg:g}° between flanks, {thread.form.crest} crest"
    return drawing(
        WIDTH,
        base + 44,
        f"Profile of {thread.designation}: pitch {format_pitch(thread.pitch_mm, thread.threads_per_inch)}, {angle}",
        tag("path", d=body, class_="metal"),
        across(left, left + shape.pitch, 26, format_pitch(thread.pitch_mm, thread.threads_per_inch)),
        tag("line", x1=left, y1=26, x2=left, y2=top, class_="guide"),
        tag("line", x1=left + shape.pitch, y1=26, x2=left + shape.pitch, y2=top, class_="guide"),
        upright(end + 20, top, bottom, format_mm(shape.depth / scale)),
        label(angle, left + length / 2, base + 24),
        class_="thread-profile",
    )


def overlay(held: Thread, other: Thread, length_mm: float = 10.0) -> str:
    """Two profiles at one scale over `length_mm`, crests set together at the left: the drift shows at the right."""
    left, top = 12.0, 34.0
    scale = (WIDTH - 2 * left) / length_mm
    deepest = max(tooth(held, scale).depth, tooth(other, scale).depth)
    bottom = top + deepest
    first = profile(held, scale, length_mm * scale, left, top)
    second = profile(other, scale, length_mm * scale, left, top)
    clip = f"clip-{held.slug}-{other.slug}"
    frame = tag("rect", x=left, y=top - 4, width=length_mm * scale, height=deepest + 8)
    return drawing(
        WIDTH,
        bottom + 46,
        f"{held.designation} and {other.designation} laid over each other, {length_mm:g} mm long",
        tag("defs", tag("clipPath", frame, id=clip)),
        tag(
            "g",
            tag("path", d=first, class_="profile held"),
            tag("path", d=second, class_="profile other"),
            clip_path=f"url(#{clip})",
        ),
        across(left, left + length_mm * scale, 20, f"{length_mm:g} mm"),
        tag("line", x1=left, y1=bottom + 22, x2=left + 26, y2=bottom + 22, class_="profile held"),
        label(held.designation, left + 32, bottom + 26, "start"),
        tag("line", x1=WIDTH / 2, y1=bottom + 22, x2=WIDTH / 2 + 26, y2=bottom + 22, class_="profile other"),
        label(other.designation, WIDTH / 2 + 32, bottom + 26, "start"),
        class_="overlay",
    )
