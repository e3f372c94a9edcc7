"""Reads the straight strokes of a PDF, so that a print can be measured without a program for it.

Enough of the format for what a browser writes: streams without or with Flate compression, the operators that set the
coordinates (`q Q cm`) and those that draw paths (`m l c re h`). Lengths are in points of 1/72 in, as they come to lie
on the page.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

MM_PER_POINT = 25.4 / 72

Matrix = tuple[float, float, float, float, float, float]

_TOKEN = re.compile(rb"\((?:\\.|[^\\()])*\)|<[0-9A-Fa-f\s]*>|/[^\s/<>\[\](){}]+|[-+.\d]+|[A-Za-z'\"*]+")
_NUMBER = re.compile(rb"[-+]?(?:\d+\.?\d*|\.\d+)")


@dataclass(frozen=True)
class Line:
    """A straight piece of a path, from end to end, [mm]."""

    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def is_upright(self) -> bool:
        """Whether it runs up the page."""
        return abs(self.x1 - self.x2) < 0.01 < abs(self.y1 - self.y2)

    @property
    def is_level(self) -> bool:
        """Whether it runs across the page."""
        return abs(self.y1 - self.y2) < 0.01 < abs(self.x1 - self.x2)


def page_count(pdf: bytes) -> int:
    """How many pages there are."""
    return sum(len(re.findall(rb"/Type\s*/Page\b(?!s)", part)) for part in (pdf, *_streams(pdf)))


def lines(pdf: bytes) -> list[Line]:
    """Every straight piece of every path of all pages."""
    found: list[Line] = []
    for stream in _streams(pdf):
        # Fonts and pictures are streams too; a page's content draws in lower-case operators.
        if re.search(rb"[\d.] (?:m|re|cm)\s", stream):
            found.extend(_drawn(stream))
    return found


def _streams(pdf: bytes) -> Iterator[bytes]:
    for match in re.finditer(rb"stream\r?\n(.*?)\nendstream", pdf, re.DOTALL):
        try:
            # What follows the compressed data (a line's end, or none) is no matter.
            yield zlib.decompressobj().decompress(match[1])
        except zlib.error:
            yield match[1]


def _drawn(stream: bytes) -> Iterator[Line]:
    matrix: Matrix = (1, 0, 0, 1, 0, 0)
    kept: list[Matrix] = []
    stack: list[float] = []
    at = start = (0.0, 0.0)
    for token in _TOKEN.findall(stream):
        if _NUMBER.fullmatch(token):
            stack.append(float(token))
            continue
        if token == b"q":
            kept.append(matrix)
        elif token == b"Q" and kept:
            matrix = kept.pop()
        elif token == b"cm" and len(stack) >= 6:
            matrix = _times(_six(stack), matrix)
        elif token == b"m" and len(stack) >= 2:
            at = start = _placed(stack[-2], stack[-1], matrix)
        elif token == b"l" and len(stack) >= 2:
            end = _placed(stack[-2], stack[-1], matrix)
            yield _line(at, end)
            at = end
        elif token == b"c" and len(stack) >= 6:
            at = _placed(stack[-2], stack[-1], matrix)
        elif token == b"h":
            yield _line(at, start)
            at = start
        elif token == b"re" and len(stack) >= 4:
            x, y, width, height = stack[-4:]
            corners = [
                _placed(*corner, matrix)
                for corner in ((x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y))
            ]
            for one, other in pairwise(corners):
                yield _line(one, other)
        stack.clear()


def _six(stack: list[float]) -> Matrix:
    a, b, c, d, e, f = stack[-6:]
    return a, b, c, d, e, f


def _times(one: Matrix, other: Matrix) -> Matrix:
    a, b, c, d, e, f = one
    g, h, i, j, k, m = other
    return a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m


def _placed(x: float, y: float, matrix: Matrix) -> tuple[float, float]:
    a, b, c, d, e, f = matrix
    return a * x + c * y + e, b * x + d * y + f


def _line(one: tuple[float, float], other: tuple[float, float]) -> Line:
    return Line(*(value * MM_PER_POINT for value in (*one, *other)))
