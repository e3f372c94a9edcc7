"""The nut factor K of T = K·d·F: how much of a torque goes into friction, by finish and by what is on the thread.

No two lists agree, and a factor is no property of a plating. Each row is what one document says; a band runs from the
lowest to the highest of them, and one row names the figure that charts are usually made with.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from decoder.quantities import QuantityError
from decoder.tables import CellError, Provenance, Row, read_table
from decoder.writing import shown

#: What is on thread and bearing face.
Lubricant = Literal["none", "oil", "grease", "anti-seize", "molybdenum", "wax"]
LUBRICANTS: tuple[Lubricant, ...] = get_args(Lubricant)

_ANY = "any"
_COLUMNS = ("finish", "lubricant", "k_low", "k_high", "k_usual", "note")

#: Words by which people name a lubricant, in the order they are looked for: 'copper grease' is no grease.
WORDS: tuple[tuple[str, Lubricant], ...] = (
    (r"anti-?\s?seize|copper (grease|paste|slip)|nickel (grease|paste)", "anti-seize"),
    (r"moly|molybdenum|mos2|disul(ph|f)ide", "molybdenum"),
    (r"\bwax", "wax"),
    (r"grease|vaseline|petroleum jelly|tallow|lanolin", "grease"),
    (r"\boil", "oil"),
    (r"\bnone\b|\bdry\b|\bclean\b|\bnothing\b", "none"),
)

#: Put on afterwards, or on another part: the thread itself stays dry.
NOT_ON_THE_THREAD = re.compile(r"after tightening|\bon the (?!thread)(?!bolt)(?!nut)(?!stud)")


@dataclass(frozen=True, slots=True, kw_only=True)
class NutFactor:
    """What one document says of some finishes with one lubricant; `k_usual` where charts are made with it."""

    finishes: tuple[str, ...]
    lubricant: Lubricant
    k_low: float
    k_high: float
    k_usual: float | None
    note: str | None
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Friction:
    """The band of K for a finish and a lubricant, dimensionless.

    `k_usual` is the figure that charts are made with, the low end where no row names one. `rows` are what it rests on.
    """

    finish: str
    lubricant: Lubricant
    k_low: float
    k_high: float
    k_usual: float
    rows: tuple[NutFactor, ...]

    @property
    def is_cited(self) -> bool:
        """False where every figure is from memory or common practice."""
        return any(row.provenance.is_cited for row in self.rows)


class NutFactors:
    """All rows, in the order of the table."""

    def __init__(self, rows: Collection[NutFactor]) -> None:
        self._rows = tuple(rows)

    def __iter__(self) -> Iterator[NutFactor]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)

    @property
    def finishes(self) -> tuple[str, ...]:
        """Finishes that have a row of their own."""
        return tuple(dict.fromkeys(name for row in self._rows for name in row.finishes if name != _ANY))

    def band(self, finish: str = "plain", lubricant: Lubricant = "none") -> Friction | None:
        """The factor for a finish (an id of `finishes/`, or 'stainless') and what is on the thread.

        Rows of the very finish come before those of any finish. None where no document says anything.
        """
        same = [row for row in self._rows if row.lubricant == lubricant]
        rows = [row for row in same if finish in row.finishes] or [row for row in same if _ANY in row.finishes]
        if not rows:
            return None
        low, high = min(row.k_low for row in rows), max(row.k_high for row in rows)
        usual = next((row.k_usual for row in rows if row.k_usual is not None), low)
        return Friction(finish=finish, lubricant=lubricant, k_low=low, k_high=high, k_usual=usual, rows=tuple(rows))


def lubricant_of(text: str | None) -> Lubricant | None:
    """The lubricant that a record's words mean; None where they mean none known here. No words mean a dry thread.

    >>> lubricant_of("light oil on shank and thread")
    'oil'
    >>> lubricant_of("petroleum jelly after tightening")
    'none'
    """
    if text is None:
        return "none"
    plain = text.casefold()
    if NOT_ON_THE_THREAD.search(plain):
        return "none"
    return next((name for pattern, name in WORDS if re.search(pattern, plain)), None)


def read_lubricant(text: str) -> Lubricant:
    """The lubricant that someone typed.

    Raises
    ------
    QuantityError
        Where it is none of those with a factor.
    """
    found = lubricant_of(text)
    if found is None:
        raise QuantityError(f"'{shown(text)}' is no lubricant with a known factor: write one of {one_of(LUBRICANTS)}.")
    return found


def one_of(names: Iterable[str]) -> str:
    """'a, b or c'."""
    listed = tuple(names)
    return f"{', '.join(listed[:-1])} or {listed[-1]}" if len(listed) > 1 else "".join(listed)


def load_nut_factors(root: Path, documents: Collection[str]) -> NutFactors:
    """Read `root/reference/nut_factors.csv`, or raise `BadDataError` with all mistakes in it."""
    return NutFactors(
        read_table(
            root / "reference" / "nut_factors.csv",
            columns=_COLUMNS,
            key=("finish", "lubricant", "document", "where"),
            make=_factor,
            documents=documents,
            shown_as=f"{root.name}/reference/nut_factors.csv",
        )
    )


def _factor(row: Row) -> NutFactor:
    low, high, usual = row.number("k_low"), row.number("k_high"), row.optional_number("k_usual")
    if low > high:
        raise CellError("k_high", f"'{row.cells['k_high']}'", f"no less than k_low, {low:g}", "swap the two")
    # Thread and face without any friction take about 0.03; nothing that still turns takes one.
    for column, value in (("k_low", low), ("k_high", high)):
        if not 0.03 <= value <= 0.8:
            raise CellError(column, f"{value:g}", "0.03 to 0.8", "compare it with the source")
    if usual is not None and not low <= usual <= high:
        raise CellError("k_usual", f"{usual:g}", f"{low:g} to {high:g}", "it lies within its own row")
    word = row.choice("lubricant", LUBRICANTS)
    return NutFactor(
        finishes=tuple(row.text("finish").split()),
        lubricant=next(name for name in LUBRICANTS if name == word),
        k_low=low,
        k_high=high,
        k_usual=usual,
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )
