"""Spanner jaws: what a marking opens, which heads it fits, and which it is slack on.

A marking names a jaw, not a thread. Metric and AF spanners are marked with the opening; Whitworth, BS and BA ones
with the bolt they were once made for, so that one jaw carries several names (`1/4W` is `5/16BS`).
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from decoder.hexagons import Hexagon
from decoder.measures import Measures, Unit
from decoder.quantities import MM_PER_INCH, QuantityError
from decoder.tables import Provenance, Row, gather, read_table

SYSTEMS = ("AF", "metric", "Whitworth", "BA")

_INCH_TABLE = "spanners_inch"
_METRIC_TABLE = "spanners_metric"

#: Common practice, as shares of the flats: up to the first a jaw works as well as the right one, up to the second it
#: goes with a light hand (13 mm on 1/2 AF, with a ring); beyond it bears on the corners alone and rounds a tight head.
#: The jaw then turns about one degree a percent before it bites.
GOES_SHARE = 0.012
LOOSE_SHARE = 0.025

#: A jaw this close to the flats is the one made for them.
RIGHT_SHARE = 0.004

#: Limits assumed where a spanner's row gives none (common practice): a jaw is over its marking, never under.
_USUAL_JAW_OVER = (0.0, 0.02)

#: Where only a measured width is known, a caliper on a hexagon is good to about this, [mm].
_MEASURED_MM = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Spanner:
    """One jaw opening; lengths in mm. `names` are the other markings the same jaw is sold under."""

    slug: str
    marking: str
    system: str
    jaw_mm: float
    jaw_min_mm: float | None
    jaw_max_mm: float | None
    names: tuple[str, ...]
    note: str | None
    provenance: Provenance

    @property
    def smallest_mm(self) -> float:
        """Least opening to expect of a sound spanner, [mm]; usual practice where the table has no limit."""
        return self.jaw_min_mm or self.jaw_mm * (1 + _USUAL_JAW_OVER[0])

    @property
    def largest_mm(self) -> float:
        """Greatest opening to expect of a sound spanner, [mm]."""
        return self.jaw_max_mm or self.jaw_mm * (1 + _USUAL_JAW_OVER[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How a jaw sits on given flats.

    `word` is one of FIT_WORDS; `slack_mm` is marked opening less flats (below zero: the flats are wider);
    `least_slack_mm` and `greatest_slack_mm` are the same between the limits of jaw and head; `turn_deg` is how far
    the jaw swings before it bears, None where it does not go on or slips round; `basis` says where the limits are from.
    """

    word: str
    slack_mm: float
    least_slack_mm: float
    greatest_slack_mm: float
    turn_deg: float | None
    rounds_it: bool
    basis: str


#: A jaw wider than the flats by no more than this share tempts (common practice).
_TEMPTING_SHARE = 0.04

#: From the one made for it to the one that does not go on.
FIT_WORDS = ("right", "goes", "loose", "slack", "slips round", "may not enter", "will not enter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A spanner for a given head and how it fits."""

    spanner: Spanner
    fit: Fit


class Spanners(tuple[Spanner, ...]):
    """All jaws, in table order."""

    __slots__ = ()

    def by_slug(self, slug: str) -> Spanner | None:
        """The jaw with this page address, or None."""
        return next((spanner for spanner in self if spanner.slug == slug), None)

    def find(self, text: str) -> Spanner:
        """The jaw a marking names: `1/2 AF`, `13`, `13 mm`, `1/4W`, `5/16 BS`, `2BA`.

        Raises
        ------
        QuantityError
            When the marking is unknown, or means different jaws in different systems.
        """
        wanted = _marking_key(text)
        named = self._named(wanted)
        if named is not None:
            return named
        # Spanners of the 1950s are stamped with both names: '1/4W 5/16BS'.
        stamped = [self._named(_marking_key(part)) for part in re.split(r"\s*[,=;]\s*|\s+(?=\d)", text.strip())]
        if len(stamped) > 1 and stamped[0] is not None and all(spanner == stamped[0] for spanner in stamped):
            return stamped[0]
        bare = [
            (spanner, name) for spanner in self for name in (spanner.marking, *spanner.names) if _bare(name) == wanted
        ]
        if len(bare) == 1:
            return bare[0][0]
        if bare:
            readings = ", ".join(f"{name} ({spanner.jaw_mm:.2f} mm)" for spanner, name in bare)
            raise QuantityError(
                f"'{text}' on a spanner may be {readings}; write which.", tuple(name for _, name in bare)
            )
        raise QuantityError(f"'{text}' is no spanner we know; write it like 1/2 AF, 13 mm, 1/4W, 5/16BS or 2BA.")

    def _named(self, key: str) -> Spanner | None:
        return next((row for row in self if key in map(_marking_key, (row.marking, *row.names))), None)


def slug(marking: str) -> str:
    """The page address of a marking: lower case, with one dash for each run of `/`, space, full stop and dash."""
    return re.sub(r"[/ .-]+", "-", marking.lower()).strip("-")


def fit(
    spanner: Spanner,
    across_flats_mm: float,
    *,
    across_flats_min_mm: float | None = None,
    across_flats_max_mm: float | None = None,
    outline: str = "hexagon",
) -> Fit:
    """How a spanner sits on a head.

    Parameters
    ----------
    spanner : Spanner
    across_flats_mm : float
        Nominal or measured width of the head, [mm].
    across_flats_min_mm, across_flats_max_mm : float, optional
        Its limits, [mm]; where absent the width counts as measured to 0.05 mm.
    outline : str
        'hexagon' or 'square'.

    Returns
    -------
    Fit
        Between the limits of both where a standard gives them. The shares that part 'goes', 'loose' and 'slack' are
        common practice, and hold for a head whose corners are still sharp.
    """
    low = across_flats_min_mm or across_flats_mm - _MEASURED_MM
    high = across_flats_max_mm or across_flats_mm + _MEASURED_MM
    slack = spanner.jaw_mm - across_flats_mm
    share = slack / across_flats_mm
    turn = _turn_deg(max(spanner.jaw_mm / across_flats_mm, 1.0), outline)
    word = _word(share, turn is None, enters_any=spanner.largest_mm >= low, enters_all=spanner.smallest_mm >= high)
    goes_on = word not in ("may not enter", "will not enter")
    return Fit(
        word=word,
        slack_mm=round(slack, 3),
        least_slack_mm=round(spanner.smallest_mm - high, 3),
        greatest_slack_mm=round(spanner.largest_mm - low, 3),
        turn_deg=round(turn, 1) if goes_on and turn is not None else None,
        rounds_it=word in ("slack", "slips round"),
        basis=f"jaw limits {_limits_basis(spanner)}; the words by common practice",
    )


def fit_head(spanner: Spanner, head: Hexagon) -> Fit:
    """How a spanner sits on a head of the tables, between the limits of both."""
    return fit(
        spanner,
        head.across_flats_mm,
        across_flats_min_mm=head.smallest_mm,
        across_flats_max_mm=head.largest_mm,
        outline=head.outline,
    )


def spanners_for(hexagon: Hexagon, spanners: Iterable[Spanner]) -> tuple[Choice, ...]:
    """Every jaw that goes on a head without rounding it, the right one first, then by how little slack it leaves."""
    choices = (Choice(spanner=spanner, fit=fit_head(spanner, hexagon)) for spanner in spanners)
    usable = [choice for choice in choices if choice.fit.word in ("right", "goes", "loose")]
    return tuple(sorted(usable, key=_rank))


def that_round(hexagon: Hexagon, spanners: Iterable[Spanner]) -> tuple[Choice, ...]:
    """Every jaw that goes on, feels nearly right, and rounds the head; a wider one is seen to be wrong."""
    widest = hexagon.across_flats_mm * (1 + _TEMPTING_SHARE)
    near = (spanner for spanner in spanners if hexagon.across_flats_mm < spanner.jaw_mm <= widest)
    choices = (Choice(spanner=spanner, fit=fit_head(spanner, hexagon)) for spanner in near)
    return tuple(choice for choice in choices if choice.fit.rounds_it)


def heads_for(spanner: Spanner, hexagons: Iterable[Hexagon]) -> tuple[tuple[Hexagon, Fit], ...]:
    """Every head a jaw comes near: those it fits, is slack on by less than a tenth, or just will not enter."""
    near = (head for head in hexagons if 0.9 <= spanner.jaw_mm / head.across_flats_mm <= 1.1)
    pairs = ((head, fit_head(spanner, head)) for head in near)
    return tuple(sorted(pairs, key=lambda pair: (FIT_WORDS.index(pair[1].word), abs(pair[1].slack_mm))))


def load_spanners(root: Path, documents: Collection[str]) -> Spanners:
    """Read both spanner tables below `root`, or raise `BadDataError` with all their mistakes."""
    spanners: list[Spanner] = []

    def read(name: str, unit: Unit) -> None:
        file = f"reference/{name}.csv"
        spanners.extend(
            read_table(
                root / file,
                columns=("marking", "system", f"jaw_{unit}", f"jaw_min_{unit}", f"jaw_max_{unit}", "names", "note"),
                key=("marking",),
                make=partial(_spanner, unit=unit),
                documents=documents,
                shown_as=f"{root.name}/{file}",
            )
        )

    gather([partial(read, _INCH_TABLE, "in"), partial(read, _METRIC_TABLE, "mm")])
    return Spanners(spanners)


def _spanner(row: Row, *, unit: Unit) -> Spanner:
    measures = Measures(row, unit)
    marking = row.text("marking")
    jaw, low, high = measures.needed("jaw"), measures.optional("jaw_min"), measures.optional("jaw_max")
    system = row.choice("system", SYSTEMS)
    opening = _opening_mm(marking) if system in ("AF", "metric") else None
    # Four decimals of an inch leave 0.0013 mm.
    if opening is not None and abs(opening - jaw) > 0.0014:
        raise measures.wrong(
            "jaw",
            f"{opening / measures.factor:.4f}".rstrip("0") + f", which '{marking}' says",
            "an AF or metric spanner is marked with its opening: correct one of the two",
        )
    if low is not None and low < jaw:
        raise measures.wrong(
            "jaw_min",
            f"at least the marked opening, {measures.printed('jaw')}",
            "correct it from the source: a jaw under its marking would not go on",
        )
    if high is not None and not (low or jaw) < high <= jaw * 1.1:
        raise measures.wrong(
            "jaw_max", "a little over the least opening, by less than a tenth", "correct it from the source"
        )
    return Spanner(
        slug=slug(marking),
        marking=marking,
        system=system,
        jaw_mm=jaw,
        jaw_min_mm=low,
        jaw_max_mm=high,
        names=tuple(name.strip() for name in row.cells["names"].split("|") if name.strip()),
        note=row.optional_text("note"),
        provenance=row.provenance(),
    )


def _limits_basis(spanner: Spanner) -> str:
    if spanner.jaw_min_mm is None:
        return "by common practice"
    return "from the spanner's source" if spanner.provenance.is_cited else spanner.provenance.document


def _opening_mm(marking: str) -> float | None:
    """The opening that a marking such as '1-1/8 AF' or '13 mm' states, [mm]; None where it is written otherwise."""
    found = re.fullmatch(r"(?:(\d+)-)?(\d+)(?:/(\d+))? AF|(\d+(?:\.\d+)?) mm", marking)
    if found is None:
        return None
    whole, top, bottom, millimetres = found.groups()
    if millimetres is not None:
        return float(millimetres)
    return (int(whole or 0) + int(top) / int(bottom or 1)) * MM_PER_INCH


def _word(share: float, slips: bool, *, enters_any: bool, enters_all: bool) -> str:
    if not enters_any:
        return "will not enter"
    if abs(share) <= RIGHT_SHARE:
        return "right"
    if share < 0 and not enters_all:
        return "may not enter"
    if slips:
        return "slips round"
    if share <= GOES_SHARE:
        return "goes"
    return "loose" if share <= LOOSE_SHARE else "slack"


def _turn_deg(jaw_per_flats: float, outline: str) -> float | None:
    """Degrees a parallel jaw turns on a sharp head before it bears on two opposite corners, None if it slips round.

    Turned by t, a hexagon of flats 1 is cos(30° − t)/cos 30° wide, a square cos(45° − t)/cos 45°.
    """
    corner = 30 if outline == "hexagon" else 45
    width = jaw_per_flats * math.cos(math.radians(corner))
    return None if width >= 1 else corner - math.degrees(math.acos(width))


def _rank(choice: Choice) -> tuple[int, float]:
    return FIT_WORDS.index(choice.fit.word), abs(choice.fit.slack_mm)


_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_SYSTEM_WORDS = (
    (r"\ba\s*/\s*f\b|\bacross flats\b", "af"),
    (r"\b(whitworth|whit|bsw|ww)\b|(?<=[0-9])\s*(whitworth|whit|bsw|ww)\b", "w"),
    (r"\bbsf\b|(?<=[0-9])\s*bsf\b", "bs"),
)


def _marking_key(text: str) -> str:
    """A marking without the differences people write into it: `5/16 Whit.`, `5/16"W` and `5/16w` are one."""
    key = text.strip().lower()
    for sign, plain in _FRACTIONS.items():
        key = re.sub(rf"(\d)\s*{sign}", rf"\1-{plain}", key).replace(sign, plain)
    key = re.sub(r"[\"”″.]|\b(spanner|wrench|inch|in)\b", " ", key) if not re.search(r"\d\.\d", key) else key
    for pattern, word in _SYSTEM_WORDS:
        key = re.sub(pattern, f" {word} ", key)
    key = re.sub(r"(\d)\s+(\d+/)", r"\1-\2", key)
    return re.sub(r"\s+", "", key)


def _bare(name: str) -> str:
    return re.sub(r"(af|mm|w|bs|ba)$", "", _marking_key(name))
