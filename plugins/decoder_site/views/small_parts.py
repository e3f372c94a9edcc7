"""What goes with a thread: washers, split pins, the uses it is met in, and where its sources disagree."""

from __future__ import annotations

from dataclasses import dataclass

from decoder.quantities import System, format_length
from decoder.reference import Reference
from decoder.threads import Thread
from decoder_site.views.measures import Citation, Citations
from decoder_site.views.sizes import system_of


@dataclass(frozen=True, slots=True)
class WasherRow:
    """A washer of one standard for this thread."""

    kind: str
    standard: str
    inside: str
    outside: str
    thickness: str
    citation: Citation


@dataclass(frozen=True, slots=True)
class PinRow:
    """A hole or slot for a split pin, and the pin that its source names; `is_least` where that is the least allowed."""

    use: str
    standard: str
    width: str
    pin: str
    is_least: bool
    citation: Citation


@dataclass(frozen=True, slots=True)
class UseRow:
    """A use this thread is met in."""

    use: str
    detail: str
    note: str
    citation: Citation


@dataclass(frozen=True, slots=True)
class DisagreementRow:
    """Two documents that differ."""

    item: str
    field: str
    one: str
    other: str
    taken: str
    why: str


@dataclass(frozen=True, slots=True)
class SmallParts:
    """What goes with one thread."""

    washers: tuple[WasherRow, ...]
    pins: tuple[PinRow, ...]
    split_pin: str
    split_pin_why: str
    uses: tuple[UseRow, ...]
    disagreements: tuple[DisagreementRow, ...]


def small_parts(thread: Thread, reference: Reference, citations: Citations) -> SmallParts:
    """Everything that goes with a thread, table by table."""
    system = system_of(thread)
    choice = reference.split_pins.choice(thread)
    return SmallParts(
        washers=tuple(
            WasherRow(
                kind=f"{row.kind} {row.series}".strip(),
                standard=row.standard,
                inside=_words(row.inside_mm or row.inside_min_mm, system),
                outside=_words(row.outside_mm or row.outside_max_mm, system),
                thickness=_words(row.thickness_mm or row.thickness_max_mm, system),
                citation=citations.of_row(row.provenance),
            )
            for row in reference.washer_sizes.for_thread(thread)
        ),
        pins=tuple(
            PinRow(
                use=row.use,
                standard=row.standard,
                width=_words(row.width_min_mm, system),
                pin=row.pin_size or "",
                is_least=row.pin_size is not None and row.provenance.basis == "minimum" and row.use == "bolt",
                citation=citations.of_row(row.provenance),
            )
            for row in reference.split_pins.for_thread(thread)
        ),
        split_pin=f"{choice.pin.size} {choice.unit}" if choice else "",
        split_pin_why=choice.why if choice else "",
        uses=tuple(
            UseRow(row.use, row.detail, row.note, citations.of_row(row.provenance))
            for row in reference.thread_uses
            if row.thread.designation == thread.designation
        ),
        disagreements=tuple(row for row in disagreements(reference) if _speaks_of(row, thread)),
    )


def disagreements(reference: Reference) -> tuple[DisagreementRow, ...]:
    """Every value on which documents differ, with their titles."""

    def title(source: str) -> str:
        return reference.sources[source].title if source in reference.sources else source

    return tuple(
        DisagreementRow(
            item=row.item,
            field=row.field,
            one=f"{row.value_a} ({title(row.source_a)})",
            other=f"{row.value_b} ({title(row.source_b)})",
            taken=row.taken,
            why=row.why,
        )
        for row in reference.disagreements
    )


def _speaks_of(row: DisagreementRow, thread: Thread) -> bool:
    return row.item == thread.designation or row.item.startswith((f"{thread.designation} ", f"{thread.designation},"))


def _words(mm: float | None, system: System) -> str:
    return "" if mm is None else format_length(mm, system)
