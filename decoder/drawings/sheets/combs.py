"""The sheet of pitch combs: a row of teeth for every pitch, in order, to tell pitches without a gauge."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from decoder.drawings.sheets.paper import HEIGHT_MM, TOP_MM, Sheet, sheet, text
from decoder.drawings.svg import number, tag
from decoder.drawings.threads import profile, tooth
from decoder.quantities import MM_PER_INCH
from decoder.threads import Thread
from decoder.writing import trimmed

#: Finest and coarsest comb, [mm]; finer ones need a glass, coarser ones are told by a rule.
FINEST_MM, COARSEST_MM = 0.35, MM_PER_INCH / 8

#: Met on fewer parts than any vehicle has: the smallest screws of instruments.
_LEFT_OUT_TPI = (64.0, 72.0)

#: Pitches of pipe threads (27 of a few special ones too). They come last, so that 26 and 28 stand side by side.
_PIPE_TPI = (27.0, 19.0, 11.5)

COMB_MM = 59.0
_LABEL_MM = 30.0
_COLUMN_MM = 94.0
_COLUMNS = 2

#: Lines above the tips reach this far, [mm].
_LINES_MM = 2.9
_BODY_MM = 0.7

#: Whose threads name a comb, the most usual first.
_USUAL = ("UNC", "UNF", "M", "BSW", "BSF", "BA", "BSC", "BSB", "G", "R", "NPT", "NPTF", "UNEF", "UNS", "UN")

#: Neighbours nearer than this look the same on paper over the length of a bolt, as shares of the pitch.
_TOO_NEAR = 0.013


@dataclass(frozen=True, slots=True)
class Pitch:
    """A pitch with the thread whose profile its comb has, and every thread that is cut with it."""

    name: str
    pitch_mm: float
    thread: Thread
    threads: tuple[Thread, ...]


def pitches(threads: Iterable[Thread]) -> tuple[Pitch, ...]:
    """Every pitch between the finest and the coarsest comb, finest first, pipe pitches last."""
    by_pitch: dict[tuple[float, bool], list[Thread]] = {}
    for thread in threads:
        if FINEST_MM - 1e-6 <= thread.pitch_mm <= COARSEST_MM + 1e-6 and thread.threads_per_inch not in _LEFT_OUT_TPI:
            key = (round(thread.pitch_mm, 5), thread.threads_per_inch is not None)
            by_pitch.setdefault(key, []).append(thread)
    found = [_pitch(sorted(group, key=_usual)) for group in by_pitch.values()]
    return tuple(sorted(found, key=lambda each: (each.thread.threads_per_inch in _PIPE_TPI, each.pitch_mm)))


def _usual(thread: Thread) -> tuple[int, float]:
    return _USUAL.index(thread.family), thread.major_mm


def _pitch(group: Sequence[Thread]) -> Pitch:
    first = group[0]
    name = f"{first.threads_per_inch:g} tpi" if first.threads_per_inch else f"{trimmed(first.pitch_mm, 3)} mm"
    return Pitch(name, first.pitch_mm, first, tuple(group))


def combs_sheet(threads: Iterable[Thread]) -> Sheet:
    """All combs on one sheet, down the left column and then down the right one."""
    found = pitches(threads)
    rows = max(1, -(-len(found) // _COLUMNS))
    row_mm = (HEIGHT_MM - TOP_MM) / rows
    drawn = [
        comb(pitch, (place // rows) * _COLUMN_MM, TOP_MM + (place % rows) * row_mm) for place, pitch in enumerate(found)
    ]
    return sheet(
        "pitch-combs",
        "Pitch combs",
        "Tell pitches apart without a thread gauge: every pitch from 0.35 mm to 8 threads to the inch, in order.",
        _how(found),
        *drawn,
    )


def comb(pitch: Pitch, x: float, y: float) -> str:
    """A comb with its label: teeth upwards, a line above every gap where a crest of the bolt comes to lie."""
    left, tips = x + _LABEL_MM, y + _LINES_MM + 0.3
    shape = tooth(pitch.thread, 1.0)
    # Teeth stand a whole number of pitches apart from the first gap, half a pitch in.
    count = int((COMB_MM - shape.crest_half) / pitch.pitch_mm)
    length = count * pitch.pitch_mm
    base = tips + shape.depth + _BODY_MM
    teeth = profile(pitch.thread, 1.0, length - 1e-9, left + shape.crest_half, tips)
    body = (
        f"{teeth}L{number(left + 2 * shape.crest_half + length)} {number(base)}"
        f"L{number(left)} {number(base)}Z"
    )  # fmt: skip
    gaps = (left + shape.crest_half + (place + 0.5) * pitch.pitch_mm for place in range(count))
    lines = "".join(f"M{number(gap)} {number(tips - 0.25)}V{number(tips - _LINES_MM)}" for gap in gaps)
    return tag(
        "g",
        tag("path", d=body, class_="comb-teeth"),
        tag("path", d=lines, class_="comb-lines"),
        text(pitch.name, x, tips, 3.4, bold=True),
        text(_other(pitch), x, tips + 2.7, 2.1),
        class_="comb",
        data_pitch=f"{pitch.pitch_mm:.5f}",
    )


def _other(pitch: Pitch) -> str:
    """The pitch in millimetres where it is not named so, and whose it is."""
    families = dict.fromkeys(_SHORT.get(thread.family, thread.family) for thread in pitch.threads)
    named = " ".join([*families][:3])
    return named if pitch.thread.threads_per_inch is None else f"{pitch.pitch_mm:.3f} mm {named}"


#: Families by what the trade calls them where the short name would say nothing.
_SHORT: Mapping[str, str] = {"G": "pipe", "R": "pipe", "NPTF": "NPT"}


def too_near(found: Sequence[Pitch]) -> tuple[tuple[Pitch, ...], ...]:
    """Runs of neighbours that no comb tells apart."""
    ordered = sorted(found, key=lambda pitch: pitch.pitch_mm)
    runs: list[list[Pitch]] = []
    for pitch in ordered:
        if runs and pitch.pitch_mm - runs[-1][-1].pitch_mm < _TOO_NEAR * pitch.pitch_mm:
            runs[-1].append(pitch)
        else:
            runs.append([pitch])
    return tuple(tuple(run) for run in runs if len(run) > 1)


def _how(found: Sequence[Pitch]) -> tuple[str, ...]:
    alike = ", ".join(" and ".join(pitch.name.removesuffix(" tpi") for pitch in run) for run in too_near(found))
    return (
        "Tells pitches apart without a thread gauge. Print on card. Cut along the tips of the teeth, hold that edge on "
        "the thread like the leaf of a gauge, and look against the light. Or lay the thread on the teeth and look "
        "straight down with one eye.",
        "It is the pitch only if every crest stands in a white gap over the whole length. Then try the combs above and "
        "below it. 28 and 26 slip a whole thread in 12.7 mm, so use all the thread there is; under 10 mm trust it "
        "less.",
        f"Too near for paper: {alike}. There a known nut tells, by fingers.",
    )
