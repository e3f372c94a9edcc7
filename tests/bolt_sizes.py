"""Reads the sizes that tables of washers, pins and nuts go by."""

from __future__ import annotations


def bolt_mm(size: str) -> float:
    """Diameter of the bolt a size names, [mm]; numbered sizes are 0.060 in and 0.013 in a step."""
    if size.startswith("M"):
        return float(size[1:])
    if size.startswith("No."):
        return (0.060 + 0.013 * int(size[4:])) * 25.4
    whole, _, fraction = size.rpartition("-")
    top, _, bottom = fraction.partition("/")
    return (int(whole or 0) + int(top) / int(bottom or 1)) * 25.4
