"""Charts of how good the identification is: said against was, and shares by step. Computed, classes only."""

from __future__ import annotations

import math
from collections.abc import Sequence

from decoder.drawings.svg import drawing, label, path, tag

#: Drawing units; wide enough that a phone shows the words at reading size.
WIDTH = 320.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 50.0, 308.0, 12.0, 252.0
_HEIGHT = 296.0
_STEPS = (0.0, 0.25, 0.5, 0.75, 1.0)


def _x(share: float) -> float:
    return _LEFT + share * (_RIGHT - _LEFT)


def _y(share: float) -> float:
    return _BOTTOM - share * (_BOTTOM - _TOP)


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _frame(*, both: bool) -> list[str]:
    """Scales: upright always, along the foot where `both`."""
    parts = []
    for share in _STEPS:
        parts.append(tag("line", x1=_LEFT, y1=_y(share), x2=_RIGHT, y2=_y(share), class_="guide"))
        parts.append(label(_percent(share), _LEFT - 6, _y(share) + 4, "end"))
        if both:
            parts.append(label(_percent(share), _x(share), _BOTTOM + 18))
    parts.append(tag("path", d=path([(_LEFT, _TOP), (_LEFT, _BOTTOM), (_RIGHT, _BOTTOM)]), class_="axis"))
    return parts


def reliability(rows: Sequence[tuple[float, float, int]], title: str) -> str:
    """How often an answer was right against how sure it said it was.

    Parameters
    ----------
    rows : Sequence[tuple[float, float, int]]
        (said, was, parts): mean probability said and share right, of so many parts; each from 0 to 1.
    title : str
        What a reader hears who cannot see the drawing.

    Points on the dashed line say no more and no less than they know; a point's area goes with its parts.
    """
    most = max((parts for _, _, parts in rows), default=1)
    points = [(_x(said), _y(was)) for said, was, _ in rows]
    dots = [
        tag("circle", cx=x, cy=y, r=2.5 + 7.0 * math.sqrt(parts / most), class_="point")
        for (x, y), (_, _, parts) in zip(points, rows, strict=True)
    ]
    return drawing(
        WIDTH,
        _HEIGHT,
        title,
        *_frame(both=True),
        tag("line", x1=_x(0), y1=_y(0), x2=_x(1), y2=_y(1), class_="ideal"),
        tag("path", d=path(points), class_="curve") if points else "",
        *dots,
        label("how sure it said it was →", (_LEFT + _RIGHT) / 2, _BOTTOM + 38),
        label("right ↑", _LEFT + 6, _TOP + 12, "start", class_="label over"),
        class_="chart",
    )


def columns(rows: Sequence[tuple[str, float]], title: str, foot: str, target: float | None = None) -> str:
    """Shares (0 to 1) as columns, each with its name below and its figure on top; a dashed line at the target."""
    step = (_RIGHT - _LEFT) / max(len(rows), 1)
    parts = []
    for place, (name, share) in enumerate(rows):
        left = _LEFT + place * step + 0.15 * step
        parts.append(tag("rect", x=left, y=_y(share), width=0.7 * step, height=_BOTTOM - _y(share), class_="column"))
        parts.append(label(_percent(share), left + 0.35 * step, max(_y(share) - 4, _TOP + 8), class_="label over"))
        parts.append(label(name, left + 0.35 * step, _BOTTOM + 18))
    if target is not None:
        parts.append(tag("line", x1=_LEFT, y1=_y(target), x2=_RIGHT, y2=_y(target), class_="ideal"))
    return drawing(
        WIDTH,
        _HEIGHT,
        title,
        *_frame(both=False),
        *parts,
        label(foot, (_LEFT + _RIGHT) / 2, _BOTTOM + 38),
        class_="chart",
    )
