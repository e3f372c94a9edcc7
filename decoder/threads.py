"""Screw threads by family and size, and everything that follows from a diameter, a pitch and a profile.

A thread is a row of one of the `threads_*.csv` tables. What its document prints beside size and pitch (a pitch
diameter, a minor diameter) is held against the profile while loading, so that a wrong digit stops there.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TypedDict

from decoder.designations import UNIFIED, Written, canonical, parse_designation, slug
from decoder.drills import ClearanceHoles, TapDrill, clears, read_clearance_holes, read_drills, read_tap_drills
from decoder.findings import BadDataError, Finding
from decoder.limits import Limits, limits
from decoder.quantities import QuantityError
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
from decoder.writing import RULE_DENOMINATORS

__all__ = ["FAMILIES", "SERIES", "Limits", "Thread", "Threads", "limits", "load_threads"]

#: Families in the order a list shows them, with the profile of each.
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

_INCH_MM = 25.4

#: Families that know few pitches, in threads per inch.
_PITCHES: Mapping[str, tuple[str, ...]] = {
    "UN": ("8", "12", "16", "20", "28", "32"),
    "UNS": ("10", "12", "14", "18", "24", "27"),
    "BSC": ("20", "26", "32", "40"),
    "BSB": ("26",),
}

_INCH_SIZE = re.compile(r"(?:([1-9][0-9]*)(?:-(?=[0-9])|$))?(?:([1-9][0-9]*)/([1-9][0-9]*))?")

#: Pitches of ISO 261, and 0.9 mm from before it.
_METRIC_PITCHES = (
    *("0.2", "0.25", "0.3", "0.35", "0.4", "0.45", "0.5", "0.6", "0.7", "0.75", "0.8", "0.9", "1"),
    *("1.25", "1.5", "1.75", "2", "2.5", "3", "3.5", "4"),
)

#: Share of the full depth that a hole is drilled for where no table names a drill.
_USUAL_THREAD_PERCENT = 75.0


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
        Basic major diameter, [mm]; of R at the gauge plane, of NPT and NPTF the outside of the pipe.
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
        The standard's own rounded values, where it gives them and no formula replaces them (BA, pipe), [mm].
    tap_drill : TapDrill or None
        The drill that a table recommends.
    clearance_holes : ClearanceHoles or None
        The holes that a standard gives for a bolt of this diameter.
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
    tap_drill: TapDrill | None = None
    clearance_holes: ClearanceHoles | None = None

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

    @property
    def tap_drill_mm(self) -> float:
        """Hole to drill before tapping: the table's drill, else worked out, see `tap_drill_from`, [mm]."""
        if self.tap_drill is not None:
            return self.tap_drill.diameter_mm
        if self.family == "M":
            return self.major_mm - self.pitch_mm
        return self.major_mm - _USUAL_THREAD_PERCENT / 100 * self.form.full_depth_factor * self.pitch_mm

    @property
    def tap_drill_percent(self) -> float:
        """Share of the full depth of thread that the tap drill leaves, [%]; at the gauge plane of a taper thread."""
        return self.thread_percent(self.tap_drill_mm)

    @property
    def tap_drill_from(self) -> str:
        """In words, where `tap_drill_mm` comes from."""
        if self.tap_drill is not None:
            name = f"drill {self.tap_drill.name} from a table"
            # Down a taper the share of the thread changes with every turn, so none is told.
            share = "" if self.form.taper else f", leaves {self.tap_drill_percent:.0f} % of the full thread"
            return name + share + (f"; {self.tap_drill.note}" if self.tap_drill.note else "")
        if self.family == "M":
            return f"diameter less pitch, leaves {self.tap_drill_percent:.0f} % of the full thread"
        return f"worked out for {_USUAL_THREAD_PERCENT:g} % of the full thread"

    def thread_percent(self, hole_mm: float) -> float:
        """Share of the full depth of thread that is left in a hole of this diameter, [%].

        The trade's 100 % is the depth of the older sharp-rooted form, 0.6495 p a side at 60°, so that a nut bored to
        the basic profile has 83 %.
        """
        return 100 * (self.major_mm - hole_mm) / (self.form.full_depth_factor * self.pitch_mm)

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
        # The same few threads are asked for in every joint.
        self._found: dict[str, Thread] = {}

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
        if text in self._found:
            return self._found[text]
        written = parse_designation(text)
        found = self.matching(written)
        if len(found) > 1:
            raise QuantityError(f"'{text}' may be {_choices(found)}: write one of these in full.", _names(found))
        if not found:
            raise self._nothing_found(text, written)
        self._found[text] = found[0].as_left_hand() if written.left_hand else found[0]
        return self._found[text]

    def matching(self, written: Written) -> tuple[Thread, ...]:
        """The right-hand threads that a written designation may mean, none, one or several."""
        found = [thread for thread in self._all if _answers(thread, written)]
        if not found and written.threads_per_inch is not None and set(written.families) & set(UNIFIED):
            # Manuals print '1-14 UNF' for what the standard files under UNS: size and pitch decide.
            loose = replace(written, family=None, families=UNIFIED)
            found = [thread for thread in self._all if _answers(thread, loose)]
        if len(found) > 1 and written.pitch_mm is None and written.series is None and _all_metric(found):
            # 'M8' alone is the coarse pitch by ISO 261; it is printed with its pitch ever after.
            found = [thread for thread in found if thread.series == "coarse"] or found
        return tuple(found)

    def _nothing_found(self, text: str, written: Written) -> QuantityError:
        same_size = [thread for thread in self._all if thread.size == written.size]
        near = [thread for thread in same_size if thread.family in written.families] or same_size
        if near:
            return QuantityError(f"'{text}' is in no table: that size exists as {_choices(near)}.", _names(near))
        return QuantityError(f"'{text}' is in no table: write a thread such as 5/16-24 UNF, M8x1.25 or 2 BA.")


def _names(threads: Sequence[Thread]) -> tuple[str, ...]:
    return tuple(thread.designation for thread in threads)


#: What a vehicle is likeliest to hold comes first when a refusal lists its choices.
LIKELIEST = ("UNC", "UNF", "BSW", "BSF", "M", "BSC", "BA", "G", "R", "NPT", "UNEF", "BSB", "UN", "UNS", "NPTF")


def _choices(threads: Sequence[Thread], most: int = 12) -> str:
    names = _names(sorted(threads, key=lambda thread: LIKELIEST.index(thread.family)))
    if len(names) > most:
        return f"{', '.join(names[:most])} or {len(names) - most} more"
    return f"{', '.join(names[:-1])} or {names[-1]}" if len(names) > 1 else names[0]


def _all_metric(threads: Iterable[Thread]) -> bool:
    return all(thread.family == "M" for thread in threads)


def _answers(thread: Thread, written: Written) -> bool:
    if written.families and thread.family not in written.families:
        return False
    if written.size is not None and thread.size != written.size:
        return False
    if written.series is not None and thread.series not in SERIES_MEANT.get(written.series, (written.series,)):
        return False
    if written.threads_per_inch is not None and thread.threads_per_inch != written.threads_per_inch:
        return False
    return written.pitch_mm is None or (
        thread.threads_per_inch is None and math.isclose(thread.pitch_mm, written.pitch_mm, abs_tol=1e-6)
    )


#: A word such as 'metric fine' takes in every pitch below the coarse one.
SERIES_MEANT: Mapping[str, tuple[str, ...]] = {"fine": ("fine", "constant pitch")}


# Reading the tables. Each spec says which columns a file has and how its rows become threads.

_INCH_COLUMNS = ("family", "series", "size", "threads_per_inch", "major_in", "pitch_diameter_in", "note")
_METRIC_COLUMNS = ("series", "size", "pitch_mm", "major_mm", "note")
_BA_COLUMNS = ("size", "pitch_mm", "major_mm", "pitch_diameter_mm", "minor_mm", "note")
_PIPE_COLUMNS = ("family", "size", "threads_per_inch", "major_mm", "pitch_diameter_mm", "minor_mm", "note")
_NPT_COLUMNS = ("family", "size", "threads_per_inch", "pipe_outside_in", "pitch_diameter_in", "note")


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
    drills: dict[str, float] = {}
    readings: list[Callable[[], object]] = [
        partial(_read_into, threads, root / "reference" / f"{name}.csv", columns, key, make, documents)
        for name, columns, key, make in _TABLES
    ]
    gather([*readings, lambda: drills.update(read_drills(root, documents))])
    _refuse_one_thread_twice(threads)
    tap_drills: dict[str, TapDrill] = {}
    clearance_holes: dict[str, ClearanceHoles] = {}
    gather(
        [
            lambda: tap_drills.update(read_tap_drills(root, documents, drills, threads)),
            lambda: clearance_holes.update(read_clearance_holes(root, documents, drills, threads)),
        ]
    )
    return Threads(
        replace(
            thread,
            tap_drill=tap_drills.get(thread.designation),
            clearance_holes=clearance_holes.get(thread.size) if clears(thread) else None,
        )
        for thread in threads
    )


def _refuse_one_thread_twice(threads: Sequence[Thread]) -> None:
    """A thread belongs to one row; within the Unified families a size and pitch belong to one family."""
    findings: list[Finding] = []
    seen: dict[str, Thread] = {}
    for thread in threads:
        name = f"{thread.size}-{thread.threads_per_inch:g}" if thread.family in UNIFIED else thread.slug
        other = seen.setdefault(name, thread)
        if other is not thread:
            place = thread.provenance
            findings.append(
                Finding(
                    level="error",
                    code="table-repeated-row",
                    file=place.file,
                    line=place.line,
                    field="designation",
                    found=f"{thread.designation}, which is {other.designation} of {other.provenance.file}:"
                    f"{other.provenance.line}",
                    expected="each thread in one row of one table",
                    fix="correct the pitch, or remove one of the two rows",
                )
            )
    if findings:
        raise BadDataError(findings)


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
    if family in _PITCHES:
        row.choice("threads_per_inch", _PITCHES[family])
    major_in = row.number("major_in")
    _expect(row, "major_in", major_in, _inches_of_size(size), 0.00006, f"size {size}")
    thread = Thread(
        **_named(row, family, size, threads_per_inch=threads_per_inch),
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
    row.choice("pitch_mm", _METRIC_PITCHES)
    pitch_mm = row.number("pitch_mm")
    major_mm = row.number("major_mm")
    _expect(row, "major_mm", major_mm, _millimetres_of_size(size), 0.0005, f"size {size}")
    thread = Thread(
        **_named(row, "M", size, pitch_mm=pitch_mm),
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
        **_named(row, "BA", size),
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
    _expect_middle(row, thread)
    _in_physical_order(row, "major_mm", thread)
    return thread


def _pipe_thread(row: Row) -> Thread:
    family = row.choice("family", ("G", "R"))
    size = row.text("size")
    _inches_of_size(size)
    threads_per_inch = row.number("threads_per_inch")
    thread = Thread(
        **_named(row, family, size, threads_per_inch=threads_per_inch),
        family=family,
        series="pipe",
        size=size,
        form=FAMILIES[family],
        major_mm=row.number("major_mm"),
        pitch_mm=_INCH_MM / threads_per_inch,
        threads_per_inch=threads_per_inch,
        provenance=row.provenance(),
        note=row.cells["note"],
        printed_pitch_diameter_mm=row.number("pitch_diameter_mm"),
        printed_minor_mm=row.number("minor_mm"),
    )
    depth_mm = thread.form.height_factor * thread.pitch_mm
    # The standard rounds the depth to 0.001 mm and works on with the rounded depth.
    expected_mm = thread.major_mm - depth_mm
    _expect(row, "pitch_diameter_mm", thread.pitch_diameter_mm, expected_mm, 0.0016, "major less the depth of thread")
    _expect(row, "minor_mm", thread.minor_internal_mm, expected_mm - depth_mm, 0.0026, "major less twice the depth")
    _expect_middle(row, thread)
    _in_physical_order(row, "major_mm", thread)
    return thread


def _npt_thread(row: Row) -> Thread:
    family = row.choice("family", ("NPT", "NPTF"))
    size = row.text("size")
    _inches_of_size(size)
    threads_per_inch = row.number("threads_per_inch")
    outside_in, pitch_diameter_in = row.number("pipe_outside_in"), row.number("pitch_diameter_in")
    form = FAMILIES[family]
    pitch_in = 1 / threads_per_inch
    # The pipe is cut to a full thread a little behind the gauge plane, so its outside stands above the crest there.
    crest_in = pitch_diameter_in + form.height_factor * pitch_in
    _expect(row, "pipe_outside_in", outside_in, crest_in + pitch_in / 16, pitch_in / 50, "the crest at the gauge plane")
    thread = Thread(
        **_named(row, family, size, threads_per_inch=threads_per_inch),
        family=family,
        series="pipe",
        size=size,
        form=form,
        major_mm=outside_in * _INCH_MM,
        pitch_mm=pitch_in * _INCH_MM,
        threads_per_inch=threads_per_inch,
        provenance=row.provenance(),
        note=row.cells["note"],
        printed_pitch_diameter_mm=pitch_diameter_in * _INCH_MM,
        printed_minor_mm=(pitch_diameter_in - form.height_factor * pitch_in) * _INCH_MM,
    )
    _in_physical_order(row, "pipe_outside_in", thread)
    return thread


class _Named(TypedDict):
    designation: str
    slug: str


def _named(
    row: Row, family: str, size: str, threads_per_inch: float | None = None, pitch_mm: float | None = None
) -> _Named:
    """The names of a thread, refusing a pitch that the designation would not print as the table has it."""
    designation = canonical(family, size, threads_per_inch, pitch_mm)
    written = row.cells.get("threads_per_inch") or row.cells.get("pitch_mm") or ""
    if family not in ("BA", "G", "R") and written not in designation:
        column = "pitch_mm" if family == "M" else "threads_per_inch"
        raise CellError(column, f"'{written}'", f"the pitch as in {designation}", "write it without spare noughts")
    return {"designation": designation, "slug": slug(designation)}


def _expect(row: Row, column: str, found: float, expected: float, tolerance: float, why: str) -> None:
    if abs(found - expected) > tolerance:
        raise CellError(
            column,
            f"'{row.cells[column]}'",
            f"{expected:.4f} within {tolerance:.4f}, from {why}",
            "read the row's document again and correct the wrong cell",
        )


def _expect_middle(row: Row, thread: Thread) -> None:
    """These standards round the depth first, so that the pitch diameter is the exact middle."""
    middle_mm = (thread.major_mm + thread.minor_internal_mm) / 2
    _expect(row, "pitch_diameter_mm", thread.pitch_diameter_mm, middle_mm, 0.0002, "halfway between major and minor")


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
    found = _INCH_SIZE.fullmatch(size)
    if found is not None:
        whole, over, under = (int(part or 0) for part in found.groups())
        if not over:
            return float(whole)
        # In lowest terms over a power of two, as rules and standards have it: 1/4, never 2/8 or 3/2.
        if over < under and over % 2 and under in RULE_DENOMINATORS:
            return whole + over / under
    raise CellError("size", f"'{size}'", "5/16, 1-1/8 or No. 10, in lowest terms", "write the size this way")


def _millimetres_of_size(size: str) -> float:
    number = size.removeprefix("M")
    if number == size or not number.replace(".", "", 1).isdigit():
        raise CellError("size", f"'{size}'", "M and a diameter, such as M8", "write the size this way")
    return float(number)


def _ba_number(size: str) -> int:
    if not size.isdigit() or int(size) > 25:
        raise CellError("size", f"'{size}'", "a BA number from 0 to 25", "write the number alone")
    return int(size)


_TABLES: tuple[tuple[str, tuple[str, ...], tuple[str, ...], Callable[[Row], Thread]], ...] = (
    (
        "threads_unified",
        _INCH_COLUMNS,
        ("family", "size", "threads_per_inch"),
        partial(_inch_thread, families=UNIFIED),
    ),
    ("threads_metric", _METRIC_COLUMNS, ("size", "pitch_mm"), _metric_thread),
    (
        "threads_whitworth",
        _INCH_COLUMNS,
        ("family", "size", "threads_per_inch"),
        partial(_inch_thread, families=("BSW", "BSF")),
    ),
    (
        "threads_cycle_brass",
        _INCH_COLUMNS,
        ("family", "size", "threads_per_inch"),
        partial(_inch_thread, families=("BSC", "BSB")),
    ),
    ("threads_ba", _BA_COLUMNS, ("size",), _ba_thread),
    ("threads_pipe", _PIPE_COLUMNS, ("family", "size"), _pipe_thread),
    ("threads_npt", _NPT_COLUMNS, ("family", "size"), _npt_thread),
)
