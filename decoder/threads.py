"""Screw threads by family and size, and everything that follows from a diameter, a pitch and a profile.

A thread is a row of one of the `threads_*.csv` tables. What its document prints beside size and pitch (a pitch
diameter, a minor diameter) is held against the profile while loading, so that a wrong digit stops there.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from decoder.tables import CellError, Provenance, Row, gather, read_table
from decoder.thread_forms import (
    BA_47_5,
    CYCLE_60,
    ISO_METRIC_60,
    PIPE_PARALLEL_55,
    PIPE_TAPER_55,
    PIPE_TAPER_60,
    UNIFIED_60,
    WHITWORTH_55,
    ThreadForm,
)

if TYPE_CHECKING:
    from decoder.designations import Written

#: Families in the order a list shows them.
FAMILIES: Mapping[str, ThreadForm] = {
    "UNC": UNIFIED_60,
    "UNF": UNIFIED_60,
    "UNEF": UNIFIED_60,
    "UN": UNIFIED_60,
    "UNS": UNIFIED_60,
    "M": ISO_METRIC_60,
    "BSW": WHITWORTH_55,
    "BSF": WHITWORTH_55,
    "BSC": CYCLE_60,
    "BSB": WHITWORTH_55,
    "BA": BA_47_5,
    "G": PIPE_PARALLEL_55,
    "R": PIPE_TAPER_55,
    "NPT": PIPE_TAPER_60,
    "NPTF": PIPE_TAPER_60,
}

SERIES = ("coarse", "fine", "extra fine", "constant pitch", "special", "pre-ISO", "cycle", "brass", "BA", "pipe")

_UNIFIED = ("UNC", "UNF", "UNEF", "UN", "UNS")
_INCH_MM = 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """One thread as its standard gives it; diameters are basic ones, [mm].

    Attributes
    ----------
    designation : str
        As printed everywhere, such as '5/16-24 UNF', 'M8x1.25', '2 BA'.
    slug : str
        The designation as an address.
    family : str
        One of `FAMILIES`.
    series : str
        One of `SERIES`.
    size : str
        '5/16', 'M8', 'No. 10', '2'.
    form : ThreadForm
        The profile.
    major_mm : float
        Basic major diameter, [mm]; for taper pipe at the gauge plane.
    pitch_mm : float
        Pitch, [mm].
    threads_per_inch : float or None
        None where the standard gives the pitch in millimetres.
    provenance : Provenance
        Where size, diameter and pitch stand.
    left_hand : bool
        Tables hold right-hand threads; see `Threads.find`.
    note : str
        What a reader of the row should know, or empty.
    printed_pitch_diameter_mm, printed_minor_mm : float or None
        Where the standard rounds them and the rounded value is the standard's (BA, pipe), [mm].
    """

    designation: str
    slug: str
    family: str
    series: str
    size: str
    form: ThreadForm
    major_mm: float
    pitch_mm: float
    threads_per_inch: float | None
    provenance: Provenance
    left_hand: bool = False
    note: str = ""
    printed_pitch_diameter_mm: float | None = None
    printed_minor_mm: float | None = None

    @property
    def pitch_diameter_mm(self) -> float:
        """Basic pitch (effective) diameter, [mm]."""
        if self.printed_pitch_diameter_mm is not None:
            return self.printed_pitch_diameter_mm
        return self.major_mm - self.form.pitch_diameter_factor * self.pitch_mm

    @property
    def minor_external_mm(self) -> float:
        """Root diameter of the bolt, [mm]."""
        if self.printed_minor_mm is not None:
            return self.printed_minor_mm
        return self.major_mm - self.form.minor_external_factor * self.pitch_mm

    @property
    def minor_internal_mm(self) -> float:
        """Bore of the nut as the basic profile gives it, [mm]."""
        if self.printed_minor_mm is not None:
            return self.printed_minor_mm
        return self.major_mm - self.form.minor_internal_factor * self.pitch_mm

    @property
    def thread_height_mm(self) -> float:
        """Height that bolt and nut share in a full thread, one side, [mm]."""
        return self.form.height_factor * self.pitch_mm

    @property
    def stress_area_mm2(self) -> float:
        """Area that carries the load, by the family's formula, [mm²]."""
        return math.pi / 4 * (self.major_mm - self.form.stress_factor * self.pitch_mm) ** 2

    @property
    def stress_area_formula(self) -> str:
        """The formula of `stress_area_mm2` in words, with where it comes from."""
        return self.form.stress_formula

    @property
    def lead_angle_deg(self) -> float:
        """Slope of the thread at the pitch diameter, [deg]."""
        return math.degrees(math.atan(self.pitch_mm / (math.pi * self.pitch_diameter_mm)))

    def as_left_hand(self) -> Thread:
        """The same thread cut left-handed."""
        return replace(self, designation=f"{self.designation} LH", slug=f"{self.slug}-lh", left_hand=True)


class Threads:
    """All threads of the tables, in the order of the tables.

    >>> threads.find("m8").designation
    'M8x1.25'
    """

    def __init__(self, threads: Iterable[Thread]) -> None:
        self._all = tuple(threads)
        self._by_designation = {thread.designation: thread for thread in self._all}
        self._by_slug = {thread.slug: thread for thread in self._all}

    def __iter__(self) -> Iterator[Thread]:
        return iter(self._all)

    def __len__(self) -> int:
        return len(self._all)

    def get(self, designation: str) -> Thread:
        """The thread of a canonical designation, left-hand ones too; raises KeyError."""
        if designation.endswith(" LH"):
            return self._by_designation[designation.removesuffix(" LH")].as_left_hand()
        return self._by_designation[designation]

    def by_slug(self, slug: str) -> Thread:
        """The thread of an address, left-hand ones too; raises KeyError."""
        if slug.endswith("-lh"):
            return self._by_slug[slug.removesuffix("-lh")].as_left_hand()
        return self._by_slug[slug]

    def find(self, text: str) -> Thread:
        """The one thread that a written designation means.

        Parameters
        ----------
        text : str
            As people write it: '5/16-24', 'm8', '2BA', '10-32 LH'.

        Raises
        ------
        QuantityError
            One sentence, when nothing or more than one thread answers; it names the choices.
        """
        from decoder.designations import parse_designation
        from decoder.quantities import QuantityError

        written = parse_designation(text)
        found = self._matching(written)
        if len(found) > 1:
            choices = _choices(found)
            raise QuantityError(f"'{text}' may be {choices}; write one of these in full.")
        if not found:
            raise QuantityError(self._nothing_found(text, written))
        return found[0].as_left_hand() if written.left_hand else found[0]

    def _matching(self, written: Written) -> list[Thread]:
        found = [thread for thread in self._all if _answers(thread, written)]
        if not found and written.family in _UNIFIED:
            # Manuals print '1-14 UNF' for what the standard files under UNS: size and pitch decide.
            loose = replace(written, family=None)
            found = [thread for thread in self._all if thread.family in _UNIFIED and _answers(thread, loose)]
            found = found if written.threads_per_inch is not None else []
        if len(found) > 1 and written.family == "M" and written.pitch_mm is None:
            # 'M8' alone is the coarse pitch by ISO 261; it is printed with its pitch ever after.
            found = [thread for thread in found if thread.series == "coarse"] or found
        return found

    def _nothing_found(self, text: str, written: Written) -> str:
        near = [
            thread
            for thread in self._all
            if written.size is not None and _same_size(thread, written) and written.family in (None, thread.family)
        ] or [thread for thread in self._all if written.size is not None and _same_size(thread, written)]
        if near:
            return f"'{text}' is in no table; that size exists as {_choices(near)}."
        return f"'{text}' is in no table; write a thread as 5/16-24 UNF, M8x1.25, 1/4-26 BSF or 2 BA."


def _choices(threads: Collection[Thread], most: int = 12) -> str:
    names = [thread.designation for thread in threads]
    if len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    return f"{', '.join(names[:-1])} or {names[-1]}" if len(names) > 1 else names[0]


def _same_size(thread: Thread, written: Written) -> bool:
    return thread.size == written.size


def _answers(thread: Thread, written: Written) -> bool:
    if written.family is not None and thread.family != written.family:
        return False
    if written.size is not None and not _same_size(thread, written):
        return False
    if written.threads_per_inch is not None and thread.threads_per_inch != written.threads_per_inch:
        return False
    return written.pitch_mm is None or (
        thread.threads_per_inch is None and math.isclose(thread.pitch_mm, written.pitch_mm, abs_tol=1e-6)
    )


# Reading the tables. Each spec says which columns a file has and how its rows become threads.

_INCH_COLUMNS = ("family", "series", "size", "threads_per_inch", "major_in", "pitch_diameter_in", "note")
_METRIC_COLUMNS = ("series", "size", "pitch_mm", "major_mm", "note")
_BA_COLUMNS = ("size", "pitch_mm", "major_mm", "pitch_diameter_mm", "minor_mm", "note")


def load_threads(root: Path, documents: Collection[str]) -> Threads:
    """Read every thread table under `root/reference/`.

    Parameters
    ----------
    root : Path
        Folder that holds `reference/`.
    documents : Collection[str]
        Known source ids.

    Raises
    ------
    BadDataError
        With the findings of all tables: a row without a source, out of physical order, contradicting its own size or
        profile, or there twice.
    """
    threads: list[Thread] = []
    gather(
        partial(_read_into, threads, root / "reference" / f"{name}.csv", columns, key, make, documents)
        for name, columns, key, make in _TABLES
    )
    return Threads(threads)


def _read_into(
    threads: list[Thread],
    path: Path,
    columns: tuple[str, ...],
    key: tuple[str, ...],
    make: Callable[[Row], Thread],
    documents: Collection[str],
) -> None:
    threads.extend(read_table(path, columns=columns, key=key, make=make, documents=documents))


def _inch_thread(row: Row, families: Collection[str]) -> Thread:
    family = row.choice("family", families)
    size = row.text("size")
    threads_per_inch = row.number("threads_per_inch")
    major_in = row.number("major_in")
    _expect(row, "major_in", major_in, _inches_of_size(size), 0.00006, f"size {size}")
    thread = Thread(
        designation=_inch_designation(family, size, threads_per_inch),
        slug=_slug(_inch_designation(family, size, threads_per_inch)),
        family=family,
        series=row.choice("series", SERIES),
        size=size,
        form=FAMILIES[family],
        major_mm=major_in * _INCH_MM,
        pitch_mm=_INCH_MM / threads_per_inch,
        threads_per_inch=threads_per_inch,
        provenance=row.provenance(),
        note=row.cells["note"],
    )
    printed_in = row.optional_number("pitch_diameter_in")
    if printed_in is not None:
        computed_in = thread.pitch_diameter_mm / _INCH_MM
        _expect(row, "pitch_diameter_in", printed_in, computed_in, 0.00011, f"{thread.form.name} on this row's pitch")
    _in_physical_order(row, "threads_per_inch", thread)
    return thread


def _metric_thread(row: Row) -> Thread:
    size = row.text("size")
    pitch_mm = row.number("pitch_mm")
    major_mm = row.number("major_mm")
    _expect(row, "major_mm", major_mm, _millimetres_of_size(size), 0.0005, f"size {size}")
    thread = Thread(
        designation=f"{size}x{pitch_mm:g}",
        slug=_slug(f"{size}x{pitch_mm:g}"),
        family="M",
        series=row.choice("series", SERIES),
        size=size,
        form=ISO_METRIC_60,
        major_mm=major_mm,
        pitch_mm=pitch_mm,
        threads_per_inch=None,
        provenance=row.provenance(),
        note=row.cells["note"],
    )
    _in_physical_order(row, "pitch_mm", thread)
    return thread


def _ba_thread(row: Row) -> Thread:
    size = row.text("size")
    number = _ba_number(size)
    pitch_mm = row.number("pitch_mm")
    major_mm = row.number("major_mm")
    # BS 93 rounds 0.9 to the power of the number to two figures, and 6 p^1.2 to two figures.
    _expect(row, "pitch_mm", pitch_mm, 0.9**number, 0.0051, f"0.9 to the power of {number}")
    _expect(row, "major_mm", major_mm, 6 * 0.9 ** (1.2 * number), 0.051, f"6 p^1.2 with p 0.9 to the power of {number}")
    thread = Thread(
        designation=f"{size} BA",
        slug=_slug(f"{size} BA"),
        family="BA",
        series="BA",
        size=size,
        form=BA_47_5,
        major_mm=major_mm,
        pitch_mm=pitch_mm,
        threads_per_inch=None,
        provenance=row.provenance(),
        note=row.cells["note"],
        printed_pitch_diameter_mm=row.number("pitch_diameter_mm"),
        printed_minor_mm=row.number("minor_mm"),
    )
    depth_mm = BA_47_5.height_factor * pitch_mm
    _expect(row, "pitch_diameter_mm", thread.pitch_diameter_mm, major_mm - depth_mm, 0.0061, "major less 0.6 p")
    _expect(row, "minor_mm", thread.minor_internal_mm, major_mm - 2 * depth_mm, 0.0121, "major less 1.2 p")
    _in_physical_order(row, "major_mm", thread)
    return thread


def _expect(row: Row, column: str, found: float, expected: float, tolerance: float, why: str) -> None:
    if abs(found - expected) > tolerance:
        raise CellError(
            column,
            f"'{row.cells[column]}'",
            f"{expected:.4f} within {tolerance:.4f}, from {why}",
            "read the row's document again and correct the wrong cell",
        )


def _in_physical_order(row: Row, column: str, thread: Thread) -> None:
    order = (thread.minor_external_mm, thread.pitch_diameter_mm, thread.major_mm)
    if not 0 < order[0] < order[1] < order[2] or thread.pitch_mm > thread.major_mm / 2:
        raise CellError(
            column,
            f"'{row.cells[column]}', which makes minor, pitch and major diameter "
            + ", ".join(f"{diameter:.3f}" for diameter in order)
            + " mm",
            "minor < pitch < major diameter, all above zero, and a pitch below half the diameter",
            "correct pitch and diameter from the row's document",
        )


def _inches_of_size(size: str) -> float:
    if size.startswith("No. ") and size[4:].isdigit():
        return 0.060 + 0.013 * int(size[4:])
    try:
        return float(sum(Fraction(part) for part in size.split("-")))
    except ValueError:
        raise CellError("size", f"'{size}'", "5/16, 1-1/8 or No. 10", "write the size this way") from None


def _millimetres_of_size(size: str) -> float:
    number = size.removeprefix("M")
    if number == size or not number.replace(".", "", 1).isdigit():
        raise CellError("size", f"'{size}'", "M and a diameter, such as M8", "write the size this way")
    return float(number)


def _ba_number(size: str) -> int:
    if not size.isdigit() or int(size) > 25:
        raise CellError("size", f"'{size}'", "a BA number from 0 to 25", "write the number alone")
    return int(size)


def _inch_designation(family: str, size: str, threads_per_inch: float) -> str:
    return f"{size}-{threads_per_inch:g} {family}"


def _slug(designation: str) -> str:
    dashed = "".join("-" if character in "/ ." else character for character in designation.lower())
    return "-".join(part for part in dashed.split("-") if part)


_TABLES: tuple[tuple[str, tuple[str, ...], tuple[str, ...], Callable[[Row], Thread]], ...] = (
    (
        "threads_unified",
        _INCH_COLUMNS,
        ("family", "size", "threads_per_inch"),
        partial(_inch_thread, families=_UNIFIED),
    ),
    ("threads_metric", _METRIC_COLUMNS, ("size", "pitch_mm"), _metric_thread),
    (
        "threads_whitworth",
        _INCH_COLUMNS,
        ("family", "size", "threads_per_inch"),
        partial(_inch_thread, families=("BSW", "BSF")),
    ),
    ("threads_ba", _BA_COLUMNS, ("size",), _ba_thread),
)
