"""A QR code as a drawing, for bag labels."""

from __future__ import annotations

import segno

from decoder.drawings.svg import drawing, number, tag

#: One of the eight masks for all codes: trying out which is best takes five times as long, and over 301 addresses,
#: clean and spoilt by blur, noise and turning, it was read no more often.
_MASK = 3

#: Light modules that ISO/IEC 18004 asks for on every side, so that a phone finds the edge.
_QUIET = 4


def qr_code(text: str, size_mm: float) -> str:
    """The code of a text, `size_mm` wide with its quiet zone; a sixth of it may be smeared and it still reads."""
    rows = [list(row) for row in segno.make_qr(text, error="m", boost_error=False, mask=_MASK).matrix]
    side = len(rows) + 2 * _QUIET
    runs = "".join(
        f"M{number(_QUIET + start)} {number(_QUIET + y)}h{number(end - start)}v1h{number(start - end)}z"
        for y, row in enumerate(rows)
        for start, end in _runs(row)
    )
    return drawing(side, side, f"QR code: {text}", tag("path", d=runs), class_="qr", width_mm=size_mm)


def _runs(row: list[int]) -> list[tuple[int, int]]:
    """Where dark modules stand side by side: first and one past the last."""
    edges = [x for x in range(len(row) + 1) if (row[x] if x < len(row) else 0) != (row[x - 1] if x else 0)]
    return list(zip(edges[::2], edges[1::2], strict=True))
