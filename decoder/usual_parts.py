"""Which product of the hexagon tables a head or nut of a record usually is, the most usual first.

A record says 'hexagon' or 'plain'; the standards know cap screws, bolts and screws, and several of each. What was
taken is always said, and the others are named, since any of them may be on the vehicle.
"""

from __future__ import annotations

from collections.abc import Mapping

from decoder.hexagons import Hexagon, Hexagons
from decoder.threads import Thread

#: Products that a kind of nut usually is; kinds that are not here have no height by standard.
_NUTS: Mapping[str, tuple[str, ...]] = {
    "plain": ("hexagon nut", "machine-screw nut", "small hexagon nut"),
    "thin": ("hexagon jam nut", "thin hexagon nut", "hexagon lock nut", "unchamfered thin nut"),
    "castellated": ("castle nut", "slotted hexagon nut", "thick slotted hexagon nut"),
    "slotted": ("slotted hexagon nut", "thick slotted hexagon nut"),
    "nylon-insert": ("prevailing-torque nut with insert",),
    "square": ("square nut", "square machine-screw nut"),
    "flange": ("hexagon flange nut",),
    "serrated-flange": ("hexagon flange nut",),
    "wheel-taper": ("wheel nut", "wheel nut or bolt"),
    "wheel-ball": ("wheel nut", "wheel nut or bolt"),
    "wheel-flat": ("wheel nut", "wheel nut or bolt"),
}

#: Nuts whose hexagon is a plain nut's where no table has them (common practice).
_AS_PLAIN = ("nylon-insert", "fibre-insert", "all-metal-top", "all-metal-centre", "castellated", "slotted", "staked")

_HEADS: Mapping[str, tuple[str, ...]] = {
    "hexagon": (
        "hexagon cap screw", "hexagon bolt", "hexagon screw threaded to the head", "small hexagon bolt",
        "heavy hexagon bolt",
    ),
    "hexagon-flange": (
        "hexagon flange screw", "hexagon flange bolt", "small hexagon flange bolt", "large hexagon flange bolt",
    ),
    "square": ("square bolt",),
    "plug": ("hexagon-head plug",),
    "bleed": ("bleed screw",),
    "wheel": ("wheel nut or bolt",),
}  # fmt: skip


def usual_heads(shape: str, thread: Thread, hexagons: Hexagons) -> tuple[Hexagon, ...]:
    """Rows for a head of this shape ('hexagon', 'square', …) on a thread, the most usual product first."""
    return _ordered(hexagons.for_thread(thread), _HEADS.get(shape, ()))


def usual_nuts(kind: str, thread: Thread, hexagons: Hexagons) -> tuple[Hexagon, ...]:
    """Rows for a nut of this kind (an id of the nut kinds) on a thread, the most usual product first."""
    return _ordered(hexagons.for_thread(thread, "nut"), _NUTS.get(kind, ()))


def nut_widths(kind: str, thread: Thread, hexagons: Hexagons) -> tuple[Hexagon, ...]:
    """The same for the width across flats: kinds without a table of their own have a plain nut's, or none."""
    rows = usual_nuts(kind, thread, hexagons)
    return rows or (usual_nuts("plain", thread, hexagons) if kind in _AS_PLAIN else ())


def _ordered(rows: tuple[Hexagon, ...], products: tuple[str, ...]) -> tuple[Hexagon, ...]:
    return tuple(row for product in products for row in rows if row.product == product)
