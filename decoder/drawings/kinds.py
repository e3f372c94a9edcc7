"""Draws a kind of nut or washer from above and from the side, put together from the features that its record names.

Not to the scale of any size: the drawing is there to be recognised. Colours and line weights come from the style
sheet's classes alone.
"""

from __future__ import annotations

from decoder.drawings.nuts import nut
from decoder.drawings.svg import drawing
from decoder.drawings.washers import DRAWN as ON_WASHERS
from decoder.drawings.washers import washer
from decoder.kind_shapes import HEIGHT, WIDTH
from decoder.kinds import HardwareKind


def draw_kind(kind: HardwareKind) -> str:
    """A nut or washer as SVG text; each feature is a group with its name in `data-feature`."""
    features = frozenset(kind.shape)
    shapes = washer(features) if features <= ON_WASHERS else nut(features)
    title = f"{kind.title}, from above and from the side"
    return drawing(WIDTH, HEIGHT, title, *shapes, class_="mark-drawing kind-drawing")
