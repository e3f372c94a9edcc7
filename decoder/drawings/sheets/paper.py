"""What every sheet has: a size that fits both papers, a check ruler, the outline of a card, and words that fit.

No sheet asks for a size of paper. A browser told 'A4' prints on Letter at 94 %, enough to pass 26 threads to the inch
for 28; one that is told nothing prints both at actual size.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from html import escape

from decoder.drawings.svg import drawing, tag

#: Fits A4 and Letter between the widest margins that browsers set by themselves (half an inch), [mm].
WIDTH_MM = 184.0
HEIGHT_MM = 250.0

#: A bank or identity card, ID-1 of ISO/IEC 7810: 85.60 by 53.98 mm; corners of ISO/IEC 7813, 3.18 mm.
CARD_WIDTH_MM = 85.60
CARD_HEIGHT_MM = 53.98
CARD_CORNER_MM = 3.18
CARD_WORDS = f"{CARD_WIDTH_MM:.2f} × {CARD_HEIGHT_MM:.2f} mm (ID-1)"

RULER_MM = 100

#: Below this a sheet has room for its own matter.
TOP_MM = 68.0

#: The one sentence that nobody may miss.
SCALED = "If the card does not fit, the print is scaled: do not use it."

#: Width of a letter over its size, on the wide side: phones and desks print with whatever face they have.
_LETTER = 0.56
_BOLD = 0.62


@dataclass(frozen=True, slots=True)
class Sheet:
    """A finished sheet: its name in an address, its title, one line on what it is for, and the drawing."""

    slug: str
    title: str
    about: str
    svg: str


def sheet(slug: str, title: str, about: str, how: Iterable[str], *children: str) -> Sheet:
    """A sheet with its head: title, how to use it, check ruler and card outline; `children` go below `TOP_MM`."""
    svg = drawing(
        WIDTH_MM,
        HEIGHT_MM,
        f"{title}, to be printed at actual size",
        text(title, 0, 7, 7, bold=True),
        *paragraphs(how, x=0, y=13, width=94, size=2.7),
        check_ruler(0.5, 57.5),
        card_outline(WIDTH_MM - CARD_WIDTH_MM - 0.3, 0.3),
        *children,
        class_="sheet",
        width_mm=WIDTH_MM,
    )
    return Sheet(slug, title, about, svg)


def card_outline(x: float, y: float) -> str:
    """The outline that a bank card must cover, with the words that say so."""
    words = paragraphs(
        (
            "Lay a bank card or driving licence on this outline. It must cover the line on all four sides.",
            f"**{SCALED}",
            "Print at 100 %, also called actual size. Never fit to page. Measure the ruler too: from 0 to "
            f"{RULER_MM} it is {RULER_MM} mm.",
        ),
        x=x + 5,
        y=y + 15,
        width=CARD_WIDTH_MM - 10,
        size=2.9,
    )
    return tag(
        "g",
        tag("rect", x=x, y=y, width=CARD_WIDTH_MM, height=CARD_HEIGHT_MM, rx=CARD_CORNER_MM, class_="card-outline"),
        text("Check before you trust it", x + 5, y + 8.5, 4, bold=True),
        *words,
        text(CARD_WORDS, x + CARD_WIDTH_MM / 2, y + CARD_HEIGHT_MM - 1.8, 2.2, anchor="middle"),
        class_="card",
    )


def check_ruler(x: float, y: float) -> str:
    """A ruler of `RULER_MM` with its nought at `x`: if it does not measure right, neither does the sheet."""
    ticks = [
        tag("line", x1=x + at, y1=y, x2=x + at, y2=y + (5 if at % 10 == 0 else 3.6 if at % 5 == 0 else 2.4))
        for at in range(RULER_MM + 1)
    ]
    words = [
        text(str(at), x + at, y + 7.8, 2.4, anchor="start" if at == 0 else "middle")
        for at in range(0, RULER_MM + 1, 10)
    ]
    return tag("g", tag("g", *ticks, class_="fine"), *words, class_="check-ruler")


def text(words: str, x: float, y: float, size: float, *, anchor: str = "start", bold: bool = False) -> str:
    """Words set in a size in millimetres; the face is the style sheet's."""
    class_ = "words bold" if bold else "words"
    return tag("text", escape(words, quote=False), x=x, y=y, text_anchor=anchor, font_size=size, class_=class_)


def paragraphs(texts: Iterable[str], *, x: float, y: float, width: float, size: float) -> Iterator[str]:
    """Texts one below the other, in lines that fit `width`, the first on `y`; one that begins with `**` is bold."""
    for words in texts:
        bold = words.startswith("**")
        for line in lines(words.removeprefix("**"), width, size, bold=bold):
            yield text(line, x, y, size, bold=bold)
            y += 1.3 * size
        y += 0.45 * size


def lines(words: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Words broken into lines that fit `width` in any usual face.

    >>> lines("one two three", 10, 2.5)
    ['one two', 'three']
    """
    most = max(1, int(width / (size * (_BOLD if bold else _LETTER))))
    broken: list[str] = []
    for word in words.split():
        if broken and len(broken[-1]) + 1 + len(word) <= most:
            broken[-1] += f" {word}"
        else:
            broken.append(word)
    return broken


def fits(words: str, width: float, size: float, *, bold: bool = False) -> bool:
    """Whether words stay within `width` in any usual face."""
    return len(lines(words, width, size, bold=bold)) <= 1 and len(words) * size * (_BOLD if bold else _LETTER) <= width
