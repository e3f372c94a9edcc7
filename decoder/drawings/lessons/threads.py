"""Lessons about threads: counting a pitch, seeing a bolt that has stretched, and what a coat does to the fit."""

from __future__ import annotations

import math

from decoder.drawings.svg import across, drawing, label, number, path, tag
from decoder.drawings.threads import WIDTH, profile, tooth
from decoder.quantities import System, format_length, format_mm, format_pitch
from decoder.threads import Thread

_LEFT = 20.0
#: Crests to count: enough to tell neighbours apart, few enough to see.
_COUNTED = 10


def pitch_by_count(thread: Thread) -> str:
    """A bolt laid on a rule with its crests numbered from nought, and what the count comes to."""
    length_mm = _COUNTED * thread.pitch_mm
    scale = (WIDTH - 2 * _LEFT) / (length_mm + thread.pitch_mm)
    shape = tooth(thread, scale)
    top, rule = 44.0, 44.0 + shape.depth + 40
    # A hair less, so that no crest comes after the last one that is counted.
    bolt = profile(thread, scale, length_mm * scale - 0.01, _LEFT, top)
    end = _LEFT + length_mm * scale
    back = top + shape.depth + 18
    body = f"{bolt}L{number(end + shape.crest_half)} {number(back)}L{number(_LEFT - shape.crest_half)} {number(back)}Z"
    crests = [label(str(each), _LEFT + each * shape.pitch, top - 6) for each in range(_COUNTED + 1)]
    result = f"{_COUNTED} pitches in {format_length(length_mm, _system(thread))}"
    each = format_pitch(thread.pitch_mm, thread.threads_per_inch)
    return drawing(
        WIDTH,
        rule + 74,
        f"{thread.designation} on a rule: the first crest is nought, {result}, so the pitch is {each}",
        across(_LEFT, end, 20, result),
        *crests,
        tag("path", d=body, class_="metal"),
        *_rule(_LEFT, rule, scale, length_mm + thread.pitch_mm / 2),
        label(f"first crest is 0, so {_COUNTED} is ten pitches", WIDTH / 2, rule + 46),
        label(f"÷ {_COUNTED} = {each}", WIDTH / 2, rule + 64, class_="label dimension-label"),
        class_="thread-profile",
    )


def _rule(left: float, top: float, scale: float, length_mm: float) -> list[str]:
    """A rule in millimetres, its nought under the first crest."""
    ticks = []
    for mm in range(math.floor(length_mm) + 1):
        x = left + mm * scale
        ticks.append(tag("line", x1=x, y1=top, x2=x, y2=top + (12 if mm % 5 == 0 else 7), class_="edge"))
        if mm % 5 == 0:
            ticks.append(label(f"{mm} mm" if mm else "0", x, top + 26))
    return [tag("line", x1=left - 8, y1=top, x2=left + length_mm * scale, y2=top, class_="edge"), *ticks]


def stretched(thread: Thread) -> str:
    """Two bolts against a straight edge: a sound one touches all along, a stretched one lets light through.

    The waist is drawn larger than life.
    """
    sound, necked = 44.0, 140.0
    depth = 7.5 * thread.form.minor_external_factor
    count = 18
    return drawing(
        WIDTH,
        212,
        f"A rule along {thread.designation}: no light under it on a sound bolt; light in the middle, and crests "
        "farther apart there, on one that has stretched",
        *_edge(sound),
        _bolt(sound, depth, count, waist=0.0),
        label("sound: touches all along", 20, sound + 60, "start"),
        *_edge(necked),
        _bolt(necked, depth, count, waist=6.0),
        label("stretched: light, and a longer pitch", 20, necked + 62, "start"),
        class_="thread-profile",
    )


def _edge(top: float) -> list[str]:
    return [
        tag("rect", x=14, y=top - 14, width=WIDTH - 28, height=12, class_="layer metal"),
        label("rule", WIDTH - 40, top - 19),
    ]


def _bolt(top: float, depth: float, count: int, waist: float) -> str:
    """A threaded stretch from the side, thinner and longer in the pitch about its middle."""
    stretch = [1 + 0.07 * waist * math.exp(-(((each - count / 2) / 2.6) ** 2)) for each in range(count)]
    unit = (WIDTH - 40) / sum(stretch)
    points, x = [], 20.0
    for each, part in enumerate(stretch):
        for share, low in ((0.0, 0.0), (0.5, depth)):
            at = each + share
            dip = waist * math.exp(-(((at - count / 2) / 3.2) ** 2))
            points.append((x + share * part * unit, top + dip + low))
        x += part * unit
    points.append((x, top))
    below = [(x, 2 * (top + 21) - y) for x, y in reversed(points)]
    return tag("path", d=path([*points, *below], closed=True), class_="metal")


def coated(thread: Thread, coat_um: float) -> str:
    """A thread with its coat, drawn far too thick, and what a thickness does to diameter and fit.

    A coat of thickness t lies on both flanks: across the crests it adds 2 t, and the pitch diameter, which is the
    fit, grows by 2 t over the sine of half the flank angle (4 t at 60°).
    """
    scale = 66 / thread.pitch_mm
    left, top = 46.0, 40.0
    shape = tooth(thread, scale)
    length = 3 * shape.pitch
    base = top + shape.depth + 26
    metal = profile(thread, scale, length, left, top)
    ends = left - shape.crest_half, left + length + shape.crest_half
    body = f"{metal}L{number(ends[1])} {number(base)}L{number(ends[0])} {number(base)}Z"
    t = coat_um / 1000
    fit = 2 * t / math.sin(math.radians(thread.form.flank_angle_deg / 2))
    words = (
        f"a coat of {coat_um:g} µm on every face:",
        f"diameter + {format_mm(2 * t)}",
        f"fit tighter by {format_mm(round(fit, 3))} ({fit / t:.1f} times the coat)",
    )
    return drawing(
        WIDTH,
        base + 72,
        f"{thread.designation} with its coat, drawn too thick: {' '.join(words)}",
        tag("path", d=metal, class_="coat"),
        tag("path", d=body, class_="metal"),
        label(f"{thread.designation}, coat drawn too thick", WIDTH / 2, 18),
        *(
            label(line, WIDTH / 2, base + 22 + 20 * row, class_="label dimension-label" if row else "label")
            for row, line in enumerate(words)
        ),
        class_="thread-profile",
    )


def _system(thread: Thread) -> System:
    return "inch" if thread.threads_per_inch is not None else "metric"
