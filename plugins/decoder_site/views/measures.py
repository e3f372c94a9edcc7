"""Measures and their sources as pages show them: both systems, fractions as fractions, and where the value stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from decoder.quantities import MM_PER_INCH, System, format_inch, format_mm, format_pitch
from decoder.sources import Source
from decoder.tables import UNSOURCED, Provenance
from decoder.writing import trimmed
from decoder_site.records_place import Place, RecordsPlace


class _Cited(Protocol):
    @property
    def document(self) -> str: ...
    @property
    def where(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Measure:
    """A figure with its unit, and the same in the other system."""

    figure: str
    unit: str
    other: str = ""

    @property
    def is_inch(self) -> bool:
        """Whether the first of the two is the inch one: inches, threads per inch, pounds-force."""
        return self.unit.startswith(("in", "tpi", "lbf"))

    @property
    def words(self) -> str:
        """The measure as plain text: '5/16 in (7.938 mm)'."""
        return f"{self.figure} {self.unit} ({self.other})" if self.other else f"{self.figure} {self.unit}"


@dataclass(frozen=True, slots=True)
class Citation:
    """Where a value stands. `source_id` is an anchor of the sources page, or '' where no document can be opened."""

    source_id: str
    title: str
    where: str
    basis: str
    record: Place | None


def length(mm: float, system: System = "metric", tolerance_mm: float | None = None) -> Measure:
    """A length, the system it was given in first."""
    first, other = (format_inch(mm), format_mm(mm)) if system == "inch" else (format_mm(mm), format_inch(mm))
    figure, _, unit = first.rpartition(" ")
    if tolerance_mm is None:
        return Measure(figure, unit, other)
    margin = trimmed(tolerance_mm / MM_PER_INCH, 4) if system == "inch" else trimmed(tolerance_mm, 3)
    return Measure(f"{figure} ±{margin}", unit, other)


def pitch(pitch_mm: float, threads_per_inch: float | None) -> Measure:
    """A pitch, as the thread's own standard gives it first."""
    first, _, other = format_pitch(pitch_mm, threads_per_inch).partition(" (")
    figure, _, unit = first.rpartition(" ")
    return Measure(figure, unit, other.rstrip(")"))


def optional_length(mm: float | None, system: System = "metric") -> Measure | None:
    """The same where a table may have no value."""
    return None if mm is None else length(mm, system)


def limits(low_mm: float | None, high_mm: float | None, system: System = "metric") -> Measure | None:
    """A span between limits, None where neither is given: '11.73 to 12 mm (0.462 to 0.472 in)'."""
    if low_mm is None and high_mm is None:
        return None
    if low_mm is None or high_mm is None:
        word, value = ("at least", low_mm) if high_mm is None else ("at most", high_mm)
        assert value is not None
        one = length(value, system)
        return Measure(f"{word} {one.figure}", one.unit, f"{word} {one.other}")
    metric, inch = (f"{one(low_mm).rpartition(' ')[0]} to {one(high_mm)}" for one in (format_mm, format_inch))
    first, other = (inch, metric) if system == "inch" else (metric, inch)
    figure, _, unit = first.rpartition(" ")
    return Measure(figure, unit, other)


class Citations:
    """Makes citations: knows the documents and where the records lie."""

    def __init__(self, sources: dict[str, Source], place: RecordsPlace) -> None:
        self._sources, self._place = sources, place

    def of_row(self, provenance: Provenance) -> Citation:
        """The source of a table's row, and the row itself."""
        record = self._place.at(f"reference/{provenance.file.rpartition('/')[2]}", provenance.line)
        return self._made(provenance, provenance.basis, record if provenance.file else None)

    def of(self, cited: _Cited, record: Place | None = None) -> Citation:
        """The source of a record's statement."""
        return self._made(cited, "", record)

    def _made(self, cited: _Cited, basis: str, record: Place | None) -> Citation:
        if cited.document in UNSOURCED:
            return Citation("", cited.document, cited.where, basis, record)
        source = self._sources[cited.document]
        edition = f", {source.edition}" if source.edition and "not" not in source.edition else ""
        return Citation(cited.document, f"{source.title}{edition}", cited.where, basis, record)
