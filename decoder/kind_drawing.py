"""Draws a kind of nut or washer from above and from the side, put together from the features that its record names.

Not to the scale of any size: the drawing is there to be recognised. Colours and line weights come from the style
sheet's classes alone.
"""

from __future__ import annotations

from decoder.drawings.svg import drawing
from decoder.kind_shapes import HEIGHT, WIDTH
from decoder.kinds import HardwareKind
from decoder.nut_drawing import nut
from decoder.washer_drawing import DRAWN as ON_WASHERS
from decoder.washer_drawing import washer


def draw_kind(kind: HardwareKind) -> str:
    """A nut or washer as SVG text; each feature is a group with its name in `data-feature`."""
    features = frozenset(kind.shape)
    shapes = washer(features) if features <= ON_WASHERS else nut(features)
    title = f"{kind.title}, from above and from the side"
    return drawing(WIDTH, HEIGHT, title, *shapes, class_="mark-drawing kind-drawing")
