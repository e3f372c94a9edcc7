"""Layouts of overview drawings, as a record holds them: a few outlines, and a numbered dot for whatever has a page.

A layout lies on a sheet that is 100 wide; its height is its own. Points are written `across down`, from the top left
corner: `50 20` is half-way across, a fifth down. Later outlines cover earlier ones, so what lies in front comes last.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, NewType, TypeAlias

from decoder.fields import Text, doc
from decoder.quantities import QuantityError

#: Width of every sheet; all other measures of a layout are in hundredths of it.
SHEET_WIDTH = 100.0
#: A taller sheet does not fit a phone's screen.
TALLEST = 150.0

#: A distance on the sheet, more than nothing, in hundredths of its width.
SheetMeasure = NewType("SheetMeasure", float)

Drawn = Literal["plain", "quiet", "hidden", "dark"]


@dataclass(frozen=True, slots=True)
class Point:
    """A place on the sheet."""

    across: float
    down: float


_PART = doc("what it is, written beside it", example="timing cover")
_AT = doc("middle of the words, if not of the outline", example="50 20")
_DRAWN = doc("plain; quiet for neighbours; hidden for what lies behind; dark for rubber, belts, glass")
_SMOOTH = doc("'yes' rounds the corners", example="yes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle."""

    box: tuple[Point, ...] = field(metadata=doc("two opposite corners", example="10 20"))
    corner: SheetMeasure | None = field(default=None, metadata=doc("radius of its corners", example="3"))
    part: Text | None = field(default=None, metadata=_PART)
    at: Point | None = field(default=None, metadata=_AT)
    drawn: Drawn = field(default="plain", metadata=_DRAWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A circle."""

    circle: Point = field(metadata=doc("its middle", example="50 40"))
    radius: SheetMeasure = field(metadata=doc("its radius", example="12"))
    part: Text | None = field(default=None, metadata=_PART)
    at: Point | None = field(default=None, metadata=_AT)
    drawn: Drawn = field(default="plain", metadata=_DRAWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Oval:
    """A circle seen at a slant."""

    oval: Point = field(metadata=doc("its middle", example="50 40"))
    wide: SheetMeasure = field(metadata=doc("its whole width", example="30"))
    high: SheetMeasure = field(metadata=doc("its whole height", example="8"))
    part: Text | None = field(default=None, metadata=_PART)
    at: Point | None = field(default=None, metadata=_AT)
    drawn: Drawn = field(default="plain", metadata=_DRAWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """An open line through points."""

    line: tuple[Point, ...] = field(metadata=doc("the points it runs through", example="10 20"))
    smooth: Literal["yes", "no"] = field(default="no", metadata=_SMOOTH)
    part: Text | None = field(default=None, metadata=_PART)
    at: Point | None = field(default=None, metadata=_AT)
    drawn: Drawn = field(default="plain", metadata=_DRAWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A closed outline through points."""

    shape: tuple[Point, ...] = field(metadata=doc("its corners in order", example="10 20"))
    smooth: Literal["yes", "no"] = field(default="no", metadata=_SMOOTH)
    part: Text | None = field(default=None, metadata=_PART)
    at: Point | None = field(default=None, metadata=_AT)
    drawn: Drawn = field(default="plain", metadata=_DRAWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A rod, pipe, belt or beam: of one width, along points."""

    bar: tuple[Point, ...] = field(metadata=doc("the points its middle runs through", example="10 20"))
    width: SheetMeasure = field(metadata=doc("how thick it is", example="3"))
    smooth: Literal["yes", "no"] = field(default="no", metadata=_SMOOTH)
    part: Text | None = field(default=None, metadata=_PART)
    at: Point | None = field(default=None, metadata=_AT)
    drawn: Drawn = field(default="plain", metadata=_DRAWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Coil:
    """A coil spring between two points."""

    coil: tuple[Point, ...] = field(metadata=doc("its two ends", example="50 20"))
    width: SheetMeasure = field(metadata=doc("how thick it is", example="10"))
    part: Text | None = field(default=None, metadata=_PART)
    at: Point | None = field(default=None, metadata=_AT)
    drawn: Drawn = field(default="plain", metadata=_DRAWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Words alone: which side is which."""

    words: Text = field(metadata=doc("what is written", example="near side"))
    at: Point = field(metadata=doc("middle of the words", example="12 5"))


Outline: TypeAlias = Box | Circle | Oval | Line | Shape | Bar | Coil | Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Overview:
    """What an assembly or a vehicle looks like, and where on it things are."""

    view: Text = field(metadata=doc("where one looks from", example="from the front"))
    height: SheetMeasure = field(
        default=SheetMeasure(75.0), metadata=doc("height of the sheet, which is 100 wide", example="75")
    )
    outlines: tuple[Outline, ...] = field(metadata=doc("outlines, what lies in front last"))
    dots: Mapping[str, tuple[Point, ...]] = field(
        metadata=doc("by key of a joint, or name of an assembly: where it is", example="50 20", keyed=True)
    )


_NUMBER = r"(?:0|[1-9][0-9]{0,2})(?:\.[0-9]{1,2})?"
_POINT = re.compile(rf"({_NUMBER}) ({_NUMBER})")


def parse_point(text: str) -> Point:
    """Read `across down`; raises QuantityError."""
    match = _POINT.fullmatch(" ".join(text.split()))
    if match is None:
        raise QuantityError(f"write across and down with a blank between, each from 0 to {SHEET_WIDTH:g}: 50 20.")
    return Point(float(match[1]), float(match[2]))


def parse_sheet_measure(text: str) -> float:
    """Read a distance on the sheet; raises QuantityError."""
    if not re.fullmatch(_NUMBER, text.strip()) or not 0 < float(text) <= TALLEST:
        raise QuantityError(f"write hundredths of the sheet's width, more than 0 and at most {TALLEST:g}: 12.")
    return float(text)
