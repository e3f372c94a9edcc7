"""Split pins (cotter pins), and the holes and slots they go through.

A pin goes by its name and its shank measures less. The bolt's hole chooses it: the largest name that enters there.
The slots of the nut are wider on purpose and choose nothing. Never one that has been bent before.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from decoder.measures import Measures, ThreadLike, Unit
from decoder.quantities import format_length
from decoder.tables import Provenance, Row, gather, read_table

_PIN_TABLES: tuple[tuple[str, Unit], ...] = (("split_pins_inch", "in"), ("split_pins_metric", "mm"))
_HOLE_TABLES: tuple[tuple[str, Unit], ...] = (("split_pins_holes_inch", "in"), ("split_pins_holes_metric", "mm"))


@dataclass(frozen=True, slots=True, kw_only=True)
class SplitPin:
    """One size of pin; lengths in mm. `size` is its name, '3/32' or '2.5', and `hole_mm` the hole it is made for.

    `unit` is the one its standard is written in: an inch pin is not looked for in a metric joint.
    """

    standard: str
    unit: Unit
    size: str
    hole_mm: float
    shank_min_mm: float | None
    shank_max_mm: float | None
    note: str | None
    provenance: Provenance

    @property
    def thickest_mm(self) -> float:
        """Greatest thickness of the shank, [mm]; the hole's own size where the source gives no limit."""
        return self.shank_max_mm or self.hole_mm

    @property
    def name_mm(self) -> float:
        """What the name says, [mm]: holes are drilled a little over it."""
        top, _, bottom = self.size.partition("/")
        return (float(top) / float(bottom) if bottom else float(top)) * (25.4 if self.unit == "in" else 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class PinHole:
    """Where a pin goes, for one size of bolt, castle nut or clevis pin; lengths in mm, None where not given.

    `use` is 'bolt' (a hole through the shank), 'castle nut' (its slots) or 'clevis pin'. Sizes are bolt sizes; a
    clevis pin's are its diameters. `unit` is the one the source is written in. `pin_size` is the pin a source names
    itself, None where it gives only the hole.
    """

    standard: str
    unit: Unit
    use: str
    size: str
    families: tuple[str, ...]
    width_min_mm: float | None
    width_max_mm: float | None
    pin_size: str | None
    slots: int | None
    note: str | None
    provenance: Provenance


USES = ("bolt", "castle nut", "clevis pin")


@dataclass(frozen=True, slots=True)
class PinChoice:
    """The one pin for a thread, and the hole that chooses it."""

    pin: SplitPin
    hole: PinHole

    @property
    def why(self) -> str:
        """What the choice rests on, for someone at the bench."""
        if self.hole.width_min_mm is None:
            memory = "" if self.hole.provenance.is_cited else ", not checked against a standard"
            return f"usual in a {self.hole.size} bolt{memory}; yours is the largest that enters the hole"
        width = format_length(self.hole.width_min_mm, "inch" if self.unit == "in" else "metric")
        return f"the largest that enters the hole in the bolt, {width} by {self.hole.standard}; the slots are wider"

    @property
    def unit(self) -> Unit:
        """The unit of the pin's name."""
        return self.pin.unit

    @property
    def words(self) -> str:
        """The pin and what chose it."""
        return f"{self.pin.size} {self.unit}: {self.why}"


@dataclass(frozen=True, slots=True)
class SplitPins:
    """All pins and all the places for them, in table order."""

    pins: tuple[SplitPin, ...]
    holes: tuple[PinHole, ...]

    def for_thread(self, thread: ThreadLike) -> tuple[PinHole, ...]:
        """Holes and slots that standards give for this thread."""
        return tuple(row for row in self.holes if row.size == thread.size and thread.family in row.families)

    def choice(self, thread: ThreadLike) -> PinChoice | None:
        """The pin for a bolt or stud of this thread; None where no table has the hole in the bolt.

        A pin that is only the least allowed chooses nothing.
        """
        for hole in self.for_thread(thread):
            least_only = hole.pin_size is not None and hole.provenance.basis == "minimum"
            if hole.use == "bolt" and not least_only and (pin := self.pin_for((hole,))) is not None:
                return PinChoice(pin, hole)
        return None

    def pin_for(self, places: Sequence[PinHole]) -> SplitPin | None:
        """The pin that goes through all these places of one joint: the hole in its bolt, the slots of its nut.

        The pin a source names itself, else the largest name that enters the narrowest place: by the shank alone a pin
        would be hammered in. Slots alone name a pin that may not enter the bolt.
        """
        units = {place.unit for place in places}
        if len(units) != 1:
            return None
        same = [pin for pin in self.pins if pin.unit in units]
        names = {place.pin_size for place in places} - {None}
        if names:
            return next((pin for pin in same if {pin.size} == names), None)
        widths = [place.width_min_mm for place in places if place.width_min_mm is not None]
        return largest_that_enters(same, min(widths)) if widths else None


def largest_that_enters(pins: Iterable[SplitPin], width_mm: float) -> SplitPin | None:
    """The largest pin whose name is no more than a hole's or slot's least width, [mm], or None when none is."""
    entering = [pin for pin in pins if pin.name_mm <= width_mm]
    return max(entering, key=lambda pin: pin.name_mm, default=None)


def load_split_pins(root: Path, documents: Collection[str]) -> SplitPins:
    """Read the tables of pins and of the places for them, or raise `BadDataError` with all their mistakes."""
    pins: list[SplitPin] = []
    holes: list[PinHole] = []

    def read_pins(name: str, unit: Unit) -> None:
        file = f"reference/{name}.csv"
        pins.extend(
            read_table(
                root / file,
                columns=("standard", "size", f"hole_{unit}", f"shank_min_{unit}", f"shank_max_{unit}", "note"),
                key=("standard", "size"),
                make=partial(_pin, unit=unit),
                documents=documents,
                shown_as=f"{root.name}/{file}",
            )
        )

    def read_holes(name: str, unit: Unit) -> None:
        file = f"reference/{name}.csv"
        holes.extend(
            read_table(
                root / file,
                columns=(
                    *("standard", "use", "size", "families", f"width_min_{unit}", f"width_max_{unit}"),
                    *("pin_size", "slots", "note"),
                ),
                key=("standard", "use", "size", "families"),
                make=partial(_hole, unit=unit),
                documents=documents,
                shown_as=f"{root.name}/{file}",
            )
        )

    gather(
        [
            *(partial(read_pins, name, unit) for name, unit in _PIN_TABLES),
            *(partial(read_holes, name, unit) for name, unit in _HOLE_TABLES),
        ]
    )
    return SplitPins(tuple(pins), tuple(holes))


def _pin(row: Row, *, unit: Unit) -> SplitPin:
    measures = Measures(row, unit)
    _, shank_min, shank_max = measures.with_limits("shank")
    measures.check_below("shank_min", "hole")
    return SplitPin(
        standard=row.text("standard"),
        unit=unit,
        size=row.text("size"),
        hole_mm=measures.needed("hole"),
        shank_min_mm=shank_min,
        shank_max_mm=shank_max,
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )


def _hole(row: Row, *, unit: Unit) -> PinHole:
    _, width_min, width_max = Measures(row, unit).with_limits("width")
    slots = row.optional_number("slots")
    return PinHole(
        standard=row.text("standard"),
        unit=unit,
        use=row.choice("use", USES),
        size=row.text("size"),
        families=tuple(row.cells["families"].split()),
        width_min_mm=width_min,
        width_max_mm=width_max,
        pin_size=row.optional_text("pin_size"),
        slots=None if slots is None else int(slots),
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )
