"""Drills by their trade names, and the tables that say which drill comes before a tap and which hole clears a bolt."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from decoder.tables import CellError, Provenance, Row, read_table

if TYPE_CHECKING:
    from decoder.threads import Thread

_INCH_MM = 25.4
_METRIC_NAME = re.compile(r"([0-9]+(?:\.[0-9]+)?) mm")
_FRACTION_NAME = re.compile(r"(?:([0-9]+)(?:-|$))?(?:([0-9]+)/([0-9]+))?")

#: Where a bolt's hole depends on its diameter alone, so that one row serves every family of that size.
_CLEARANCE_FAMILIES = ("UNC", "UNF", "UNEF", "UN", "UNS", "M", "BSW", "BSF", "BSC", "BSB")

#: A recommended drill outside these shares of the full depth of thread is a slip of the pen, [%]. A taper thread is
#: drilled for its narrow end, and cuts more than its full depth at the wide one.
_PERCENT_RANGE = (55.0, 100.0)
_PERCENT_RANGE_TAPER = (100.0, 137.0)


@dataclass(frozen=True, slots=True)
class TapDrill:
    """A drill recommended before tapping: its name in the trade ('No. 7', 'F', '27/64', '6.8 mm') and size, [mm]."""

    name: str
    diameter_mm: float
    note: str
    provenance: Provenance


@dataclass(frozen=True, slots=True)
class ClearanceHoles:
    """Holes that let a bolt of one diameter pass, [mm], with the names of the drills."""

    close_mm: float
    medium_mm: float
    free_mm: float
    names: tuple[str, str, str]
    provenance: Provenance


def read_drills(root: Path, documents: Collection[str]) -> Mapping[str, float]:
    """Diameters of number and letter drills by name, [mm].

    Raises
    ------
    BadDataError
        With every mistake in the table, among them a drill out of order with its neighbours' names.
    """
    drills: dict[str, float] = {}

    def make(row: Row) -> float:
        name, diameter_in = row.text("name"), row.number("diameter_in")
        previous = next(reversed(drills.items()), None)
        if name != _follows(None if previous is None else previous[0]):
            raise CellError(
                "name",
                f"'{name}' after {previous[0] if previous else 'nothing'}",
                "No. 1 to No. 80, then A to Z, each in its place",
                "put the row in its place",
            )
        if previous is not None and _same_series(previous[0], name):
            growing = name.isalpha()
            if (diameter_in * _INCH_MM > previous[1]) is not growing:
                raise CellError(
                    "diameter_in",
                    f"'{row.cells['diameter_in']}' after {previous[1] / _INCH_MM:g} for {previous[0]}",
                    "letter drills that grow and number drills that shrink from row to row",
                    "correct the cell, or put the row in its place",
                )
        drills[name] = diameter_in * _INCH_MM
        return diameter_in

    read_table(
        root / "reference" / "threads_drills.csv",
        columns=("name", "diameter_in", "note"),
        key=("name",),
        make=make,
        documents=documents,
    )
    return drills


def _follows(name: str | None) -> str:
    """The drill that comes after this one in the table."""
    if name is None:
        return "No. 1"
    if name == "No. 80":
        return "A"
    return chr(ord(name) + 1) if name.isalpha() else f"No. {int(name[4:]) + 1}"


def _same_series(one: str, other: str) -> bool:
    return one.isalpha() == other.isalpha()


def read_tap_drills(
    root: Path, documents: Collection[str], drills: Mapping[str, float], threads: Iterable[Thread]
) -> Mapping[str, TapDrill]:
    """The recommended tap drill of each thread that has one, by designation.

    Raises
    ------
    BadDataError
        With every mistake in the table, among them a thread that no table holds and a drill that would leave far
        too little or too much of the thread.
    """
    by_designation = {thread.designation: thread for thread in threads}
    made = read_table(
        root / "reference" / "threads_tap_drills.csv",
        columns=("designation", "drill", "note"),
        key=("designation",),
        make=partial(_tap_drill, drills=drills, threads=by_designation),
        documents=documents,
    )
    return dict(made)


def _tap_drill(row: Row, drills: Mapping[str, float], threads: Mapping[str, Thread]) -> tuple[str, TapDrill]:
    designation, name = row.text("designation"), row.text("drill")
    thread = threads.get(designation)
    if thread is None:
        raise CellError(
            "designation", f"'{designation}'", "a thread of the tables", "add the thread first, or write it as there"
        )
    diameter_mm = _diameter_mm(row, "drill", drills)
    percent = thread.thread_percent(diameter_mm)
    least, most = _PERCENT_RANGE_TAPER if thread.form.taper else _PERCENT_RANGE
    if not least <= percent <= most:
        raise CellError(
            "drill",
            f"'{name}', which leaves {percent:.0f} % of the thread in {designation}",
            f"{least:.0f} to {most:.0f} %",
            "correct the drill from its source",
        )
    return designation, TapDrill(name, diameter_mm, row.cells["note"], row.provenance())


def read_clearance_holes(
    root: Path, documents: Collection[str], drills: Mapping[str, float], threads: Iterable[Thread]
) -> Mapping[str, ClearanceHoles]:
    """Clearance holes by size ('M8', '5/16', 'No. 10'), for the families whose size is the bolt's diameter.

    Raises
    ------
    BadDataError
        With every mistake in the table, among them holes that are not in the order bolt < close < medium < free.
    """
    diameters = {thread.size: thread.major_mm for thread in threads if thread.family in _CLEARANCE_FAMILIES}
    made = read_table(
        root / "reference" / "threads_clearance.csv",
        columns=("size", "close", "medium", "free", "note"),
        key=("size",),
        make=partial(_clearance_holes, drills=drills, diameters=diameters),
        documents=documents,
    )
    return dict(made)


def clears(thread: Thread) -> bool:
    """True where the clearance hole follows from the thread's size (not for pipe and BA sizes)."""
    return thread.family in _CLEARANCE_FAMILIES


def _clearance_holes(
    row: Row, drills: Mapping[str, float], diameters: Mapping[str, float]
) -> tuple[str, ClearanceHoles]:
    size = row.text("size")
    if size not in diameters:
        raise CellError("size", f"'{size}'", "a size of the thread tables", "write the size as the thread tables do")
    fits = ("close", "medium", "free")
    holes = [_diameter_mm(row, fit, drills) for fit in fits]
    smallest = diameters[size]
    for fit, hole in zip(fits, holes, strict=True):
        if not smallest < hole < 1.25 * diameters[size] + 1:
            raise CellError(
                fit,
                f"'{row.cells[fit]}' ({hole:.3f} mm)",
                f"more than {smallest:.3f} mm and not far above the bolt's {diameters[size]:.3f} mm",
                "correct the hole from its source",
            )
        smallest = hole
    names = (row.text("close"), row.text("medium"), row.text("free"))
    return size, ClearanceHoles(holes[0], holes[1], holes[2], names, row.provenance())


def _diameter_mm(row: Row, column: str, drills: Mapping[str, float]) -> float:
    """Diameter of a drill named as the trade names it, [mm]."""
    name = row.text(column)
    if name in drills:
        return drills[name]
    if metric := _METRIC_NAME.fullmatch(name):
        return float(metric[1])
    inch = _FRACTION_NAME.fullmatch(name)
    if inch is None or (inch[3] is not None and int(inch[3]) == 0):
        raise CellError(
            column, f"'{name}'", "a drill such as 6.8 mm, 27/64, 1-1/32, No. 7 or F", "write the drill this way"
        )
    whole, over, under = inch.groups()
    return float(int(whole or 0) + (Fraction(int(over), int(under)) if over else 0)) * _INCH_MM
