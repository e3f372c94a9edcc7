"""Sheets for diameters, widths across flats and lengths: stepped slots to cut out, holes, and a rule."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from decoder.drawings.sheets.paper import HEIGHT_MM, TOP_MM, WIDTH_MM, Sheet, fits, sheet, text
from decoder.drawings.svg import number, tag
from decoder.quantities import MM_PER_INCH, format_mm
from decoder.spanners import Spanner
from decoder.threads import Thread
from decoder.writing import trimmed

#: Two widths nearer than this are one step: nobody cuts card more closely, [mm].
TOGETHER_MM = 0.25

#: Diameters of the sheet, [mm].
_THINNEST_MM, _THICKEST_MM = 1.9, 25.5
#: Flats of the sheet, [mm].
_NARROWEST_MM, _WIDEST_MM = 4.9, 32.1

#: Sizes that nearly every vehicle with inch or metric threads has some of; the rest would crowd the sheet.
_INCH_SIZES = (
    *("No. 2", "No. 4", "No. 5", "No. 6", "No. 8", "No. 10", "No. 12"),
    *("1/8", "5/32", "3/16", "7/32", "1/4", "9/32", "5/16", "3/8", "7/16", "1/2", "9/16", "5/8", "11/16", "3/4"),
    *("7/8", "1"),
)
_METRIC_SIZES = (
    *("M2", "M2.5", "M3", "M3.5", "M4", "M4.5", "M5", "M5.5", "M6", "M7", "M8", "M9", "M10", "M11", "M12", "M14"),
    *("M16", "M18", "M20", "M22", "M24"),
)
#: Nobody cuts a smaller one in card, [mm].
_SMALLEST_HOLE_MM = 2.9

#: Room for a width in millimetres beside its names, [mm].
_MEASURE_MM = 20.0

_BA_SIZES = tuple(str(size) for size in range(11))


@dataclass(frozen=True, slots=True)
class Step:
    """Widths that are one step of a slot: the widest of them, and what they are called."""

    width_mm: float
    names: tuple[str, ...]
    narrowest_mm: float

    @property
    def words(self) -> str:
        """The names in one line."""
        return " · ".join(self.names)


def steps(named: Iterable[tuple[float, str]]) -> tuple[Step, ...]:
    """Named widths put together where they are nearer than `TOGETHER_MM`, narrowest first."""
    groups: list[list[tuple[float, str]]] = []
    for width, name in sorted(named):
        if groups and width - groups[-1][0][0] < TOGETHER_MM:
            groups[-1].append((width, name))
        else:
            groups.append([(width, name)])
    return tuple(Step(group[-1][0], tuple(dict.fromkeys(name for _, name in group)), group[0][0]) for group in groups)


def diameters(threads: Iterable[Thread]) -> tuple[Step, ...]:
    """Outside diameters of the usual sizes: inch fractions, numbers, metric and BA."""
    named: dict[str, float] = {}
    for thread in threads:
        if not _THINNEST_MM <= thread.major_mm <= _THICKEST_MM:
            continue
        if thread.family in ("UNC", "UNF", "BSW", "BSF") and thread.size in _INCH_SIZES:
            named.setdefault(thread.size if thread.size.startswith("No.") else f"{thread.size} in", thread.major_mm)
        elif thread.family == "M" and thread.size in _METRIC_SIZES:
            named.setdefault(thread.size, thread.major_mm)
        elif thread.family == "BA" and thread.size in _BA_SIZES:
            named.setdefault(f"{thread.size} BA", thread.major_mm)
    return steps((width, name) for name, width in named.items())


def flats(spanners: Iterable[Spanner]) -> tuple[Step, ...]:
    """Jaws from 5 to 32 mm with all their names."""
    return steps(
        (spanner.jaw_mm, "=".join((spanner.marking, *spanner.names)))
        for spanner in spanners
        if _NARROWEST_MM <= spanner.jaw_mm <= _WIDEST_MM
    )


def diameters_sheet(threads: Iterable[Thread]) -> Sheet:
    """The slot and the holes for diameters."""
    found = diameters(threads)
    return sheet(
        "diameters",
        "Diameters",
        "A stepped slot and holes to cut out, for the diameter across a thread: inch, number, BA and metric sizes.",
        (
            "Print on card and cut out with a sharp knife, on the line.",
            "Slot: put the bolt through the wide end and slide it down. It stops at the first step that is too narrow; "
            "the step above that is its size. Holes: it drops through its own, and not through the next smaller one.",
            "A real thread is a little under its size; plating, dirt and burrs are over. Names on one step cannot be "
            "told apart here: 5/16 and M8 differ by pitch alone. Without the pitch the size is not known.",
        ),
        stepped_slot(found, 1.0, TOP_MM + 1.0, HEIGHT_MM - 0.5, label_x=28.0, label_width=58.0),
        holes(found, 90.0, TOP_MM, WIDTH_MM, HEIGHT_MM),
    )


def flats_sheet(spanners: Iterable[Spanner]) -> Sheet:
    """The slot for flats, and a rule for lengths."""
    found = flats(spanners)
    return sheet(
        "flats-and-lengths",
        "Flats and lengths",
        "A stepped slot for widths across flats from 5 to 32 mm with AF, Whitworth, BS, BA and mm names, and a rule.",
        (
            "Print on card. Cut the slot out with a sharp knife, on the line, and the edge of the rule.",
            "Slot: slide the head or nut down with two flats upright. The last step that takes it names the spanner. "
            "Flats tell the spanner, never the thread: one thread is met under several heads.",
            "Rule: the underside of the head on 0, the tip gives the length. Countersunk heads are measured over all, "
            "studs without the end that stays in.",
        ),
        stepped_slot(found, 1.0, TOP_MM + 1.0, HEIGHT_MM - 0.5, label_x=36.0, label_width=82.0),
        rule(WIDTH_MM - 28.0, TOP_MM + 4.0, HEIGHT_MM - 1.0),
    )  # fmt: skip


def stepped_slot(
    found: Sequence[Step], left: float, top: float, bottom: float, *, label_x: float, label_width: float
) -> str:
    """A slot that narrows step by step, widest on top; the left edge is straight, each step has its names beside it."""
    high = (bottom - top) / max(1, len(found))
    corners = [f"M{number(left)} {number(top)}"]
    lines: list[str] = []
    names: list[str] = []
    for place, step in enumerate(reversed(found)):
        y = top + place * high
        right = left + step.width_mm
        corners.append(f"H{number(right)}V{number(y + high)}")
        middle = y + high / 2
        lines.append(f"M{number(right + 0.6)} {number(middle)}H{number(label_x - 0.8)}")
        names += _names(step, label_x, middle, label_width)
    outline = "".join(corners) + f"H{number(left)}Z"
    return tag(
        "g",
        tag("path", d=outline, class_="cut"),
        tag("path", d="".join(lines), class_="leader"),
        *names,
        class_="stepped-slot",
    )


def _names(step: Step, x: float, middle: float, width: float) -> Iterable[str]:
    measure = (
        format_mm(step.width_mm)
        if step.narrowest_mm == step.width_mm
        else f"{trimmed(step.narrowest_mm, 2)} to {trimmed(step.width_mm, 2)} mm"
    )
    size = next((size for size in (3.0, 2.6, 2.2) if fits(step.words, width - _MEASURE_MM, size, bold=True)), 1.9)
    yield text(step.words, x, middle + 0.35 * size, size, bold=True)
    yield text(measure, x + width, middle + 0.8, 2.1, anchor="end")


def holes(found: Sequence[Step], left: float, top: float, right: float, bottom: float) -> str:
    """A hole for each step that can be cut, largest first, in rows that fill the room, with the names below it."""
    rows: list[list[Step]] = []
    for step in reversed([step for step in found if step.width_mm >= _SMALLEST_HOLE_MM]):
        if not rows or sum(map(_cell, (*rows[-1], step))) > right - left:
            rows.append([])
        rows[-1].append(step)
    gap = (bottom - top - sum(map(_row_height, rows))) / max(1, len(rows))
    drawn: list[str] = []
    y = top
    for row in rows:
        widest = row[0].width_mm
        x = left
        for step in row:
            middle = x + _cell(step) / 2
            drawn.append(tag("circle", cx=middle, cy=y + widest / 2, r=step.width_mm / 2, class_="cut"))
            for line, name in enumerate(step.names):
                drawn.append(text(name, middle, y + widest + 3.0 + 2.7 * line, 2.4, anchor="middle", bold=True))
            x += _cell(step)
        y += _row_height(row) + gap
    return tag("g", *drawn, class_="holes")


def _row_height(row: Sequence[Step]) -> float:
    return row[0].width_mm + 1.0 + 2.7 * max(len(step.names) for step in row)


def _cell(step: Step) -> float:
    return max(step.width_mm + 2.5, max(len(name) for name in step.names) * 2.4 * 0.64 + 1.2)


def rule(x: float, top: float, bottom: float) -> str:
    """An upright rule, millimetres on its left edge and sixteenths of an inch on its right one, nought on top."""
    wide = 24.0
    long = bottom - top
    ticks: list[str] = []
    words: list[str] = []
    for mm in range(int(long) + 1):
        y = top + mm
        reach = 6.0 if mm % 10 == 0 else 4.5 if mm % 5 == 0 else 3.0
        ticks.append(tag("line", x1=x, y1=y, x2=x + reach, y2=y))
        if mm % 10 == 0:
            words.append(text(str(mm), x + 6.6, y + (2.4 if mm == 0 else 0.9), 2.4))
    for sixteenth in range(int(long / MM_PER_INCH * 16) + 1):
        y = top + sixteenth * MM_PER_INCH / 16
        reach = next(
            size for part, size in ((16, 8.0), (8, 6.5), (4, 5.2), (2, 4.0), (1, 2.8)) if sixteenth % part == 0
        )
        ticks.append(tag("line", x1=x + wide - reach, y1=y, x2=x + wide, y2=y))
        if sixteenth % 16 == 0:
            words.append(
                text(
                    f"{sixteenth // 16}",
                    x + wide - 8.6,
                    y + (2.4 if sixteenth == 0 else 0.9),
                    2.4,
                    anchor="end",
                    bold=True,
                )
            )
    frame = tag("rect", x=x, y=top, width=wide, height=long, class_="cut")
    heads = (text("mm", x, top - 1.2, 2.4), text("inch, 1/16", x + wide, top - 1.2, 2.4, anchor="end"))
    return tag("g", frame, tag("g", *ticks, class_="fine"), *words, *heads, class_="rule")
