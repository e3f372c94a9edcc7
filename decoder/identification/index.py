"""The index: tables, model and texts in one file, written by the build and read by both evaluators.

Columns instead of records and micrometres below the basic diameter instead of diameters keep it small: it is what a
phone loads before the first bolt.
"""

from __future__ import annotations

import json
import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

from decoder.hexagons import Hexagon, Hexagons
from decoder.identification import model, texts
from decoder.identification.sizes import Sizes, sizes_of
from decoder.limits import limits
from decoder.lookalikes import Meeting, all_lookalikes
from decoder.marks import Mark, Marks
from decoder.reference import Reference
from decoder.spanners import Spanners
from decoder.threads import Thread

FORMAT = 2

Json: TypeAlias = dict[str, Any]


def build_index(reference: Reference) -> bytes:
    """The index as UTF-8 JSON; the same tables always give the same bytes."""
    return json.dumps(_index(reference), ensure_ascii=False, separators=(",", ":")).encode()


def build_index_script(reference: Reference) -> bytes:
    """The index as a classic script that sets `window.decoderIndex`, for pages opened as files."""
    return b"window.decoderIndex=" + build_index(reference) + b";\n"


def _index(reference: Reference) -> Json:
    threads = sorted(reference.threads, key=lambda thread: (thread.major_mm, thread.pitch_mm, thread.designation))
    families = sorted({thread.family for thread in threads}, key=_family_order)
    return {
        "format": FORMAT,
        "families": [_family(family, threads) for family in families],
        "threads": _thread_columns(threads, families),
        **_hexagon_columns(threads, reference.hexagons),
        "pairs": _pairs(threads),
        "leaves": _leaves(),
        "spanners": _spanners(reference.spanners),
        "marks": _marks(reference.marks),
        "uses": _uses(threads, reference),
        "unmarked_grades": list(model.UNMARKED_GRADES),
        "without_limits": sorted({thread.family for thread in threads if not limits(thread)}),
        "groups": list(model.GROUPS),
        "kinds": model.KINDS,
        "instruments": model.INSTRUMENTS,
        "conditions": model.CONDITIONS,
        "finishes": model.FINISHES,
        "materials": model.MATERIALS,
        "drives": model.DRIVES,
        "heads": {name: _shape(f"bolt: {name}", shape) for name, shape in model.HEADS.items()},
        "nut_tops": {
            nut.id: _shape(f"nut: {nut.id}", model.NUT_TOPS.get(nut.id, {"odds": {}})) for nut in reference.nuts
        },
        "tools": list(model.TOOLS),
        "blank_odds": model.BLANK_ODDS,
        "model": model.MODEL,
        "texts": texts.TEXTS,
    }


def _uses(threads: Sequence[Thread], reference: Reference) -> dict[str, list[int]]:
    """For a kind of part the places of the threads that its use is listed with."""
    place = {thread.designation: number for number, thread in enumerate(threads)}
    return {
        kind: sorted(
            {
                place[row.thread.designation]
                for row in reference.thread_uses
                if row.use == use and row.thread.designation in place
            }
        )
        for kind, use in model.KIND_USES.items()
    }


def _family_order(family: str) -> tuple[int, str]:
    known = list(model.FAMILY_GROUP)
    return (known.index(family) if family in known else len(known), family)


def _family(family: str, threads: Iterable[Thread]) -> Json:
    form = next(thread.form for thread in threads if thread.family == family)
    return {
        "name": family,
        "group": model.GROUPS.index(model.group_of(family)),
        "angle": form.flank_angle_deg,
        "rounded": form.crest == "rounded",
    }


def _thread_columns(threads: Sequence[Thread], families: Sequence[str]) -> Json:
    sizes = [sizes_of(thread) for thread in threads]
    odds = _prior(threads)
    return {
        "designation": [thread.designation for thread in threads],
        "family": [families.index(thread.family) for thread in threads],
        "major": [round(thread.major_mm, 4) for thread in threads],
        "tpi": [thread.threads_per_inch or 0 for thread in threads],
        "pitch": [0 if thread.threads_per_inch else round(thread.pitch_mm, 4) for thread in threads],
        "odds": [float(f"{share:.3g}") for share in odds],
        **{
            name: [_below(thread.major_mm, getattr(size, name)) for thread, size in zip(threads, sizes, strict=True)]
            for name in Sizes.__dataclass_fields__
        },
    }


def _below(major_mm: float, diameter_mm: float) -> int:
    """Micrometres that a diameter lies below the basic major diameter."""
    return round((major_mm - diameter_mm) * 1000)


def _prior(threads: Sequence[Thread]) -> list[float]:
    """Share of each thread among all threads of the tables, before anything is seen."""
    weights = [
        model.thread_odds(thread)
        * math.exp(-0.5 * (math.log(thread.major_mm / model.SIZE_MIDDLE_MM) / model.SIZE_SPREAD) ** 2)
        for thread in threads
    ]
    total = dict.fromkeys((thread.family for thread in threads), 0.0)
    of_family = {family: model.FAMILY_SHARE.get(family, model.OTHER_SHARE) for family in total}
    for thread, weight in zip(threads, weights, strict=True):
        total[thread.family] += weight
    known = sum(of_family.values())
    shares = [
        max(of_family[thread.family] / known * weight / total[thread.family], model.RAREST)
        for thread, weight in zip(threads, weights, strict=True)
    ]
    return [share / sum(shares) for share in shares]


def _shape(part: str, shape: Mapping[str, Any]) -> Json:
    """What the shape of a head or nut says: its part of the hexagon tables, the drive it comes with, its odds."""
    return {
        "part": part if shape.get("products") else None,
        "drive": shape.get("drive"),
        "odds": shape["odds"],
    }


def _hexagon_columns(threads: Sequence[Thread], hexagons: Hexagons) -> Json:
    """Rows once, as [flats from, flats to, height from, height to] in micrometres; and for each thread the rows of
    each part.
    """
    rows: dict[tuple[int, int, int, int], int] = {}
    parts: dict[str, list[list[int]]] = {}
    for part in sorted({kind["part"] for kind in model.KINDS.values() if kind["part"]}):
        parts[part] = [_numbered(thread, hexagons.for_thread(thread, part), rows) for thread in threads]
    for part, shapes in (("bolt", model.HEADS), ("nut", model.NUT_TOPS)):
        for name, shape in shapes.items():
            products = shape.get("products", ())
            if products:
                parts[f"{part}: {name}"] = [
                    _numbered(
                        thread, [row for row in hexagons.for_thread(thread, part) if row.product in products], rows
                    )
                    for thread in threads
                ]
    return {"hexagons": [list(row) for row in rows], "parts": parts}


def _numbered(thread: Thread, given: Iterable[Hexagon], rows: dict[tuple[int, int, int, int], int]) -> list[int]:
    """Places of a thread's hexagons among `rows`, each once; those of the small series as often as they count there."""
    times: dict[int, int] = {}
    for row in given:
        place = rows.setdefault(_hexagon(row), len(rows))
        is_small = row.standard in model.SMALL_SERIES_STANDARDS and row.product.startswith("small ")
        often = model.SMALL_SERIES.get(thread.designation, 1) if is_small else 1
        times[place] = max(times.get(place, 1), often)
    return sorted(place for place, often in times.items() for _ in range(often))


def _hexagon(row: Hexagon) -> tuple[int, int, int, int]:
    height = row.height_mm or 0.0
    smallest = round(row.smallest_mm * 1000)
    return (
        smallest,
        # A standard that prints one width only still has parts to either side of it.
        max(round(row.largest_mm * 1000), smallest + 10),
        round((row.height_min_mm or height * 0.95) * 1000),
        round((row.height_max_mm or height * 1.03) * 1000),
    )


#: What happens to a bolt in a wrong nut, as the pairs number it.
VERDICTS = ("runs on", "binds", "will not start", "drops through")


def _pairs(threads: Sequence[Thread]) -> Json:
    """Look-alikes in columns: places of the two, then for each direction a verdict and its figure.

    The figure is the turns to binding, in tenths, or the share of the thread height that holds, in hundredths.
    """
    place = {thread.designation: number for number, thread in enumerate(threads)}
    pairs = sorted(
        (
            (place[pair.this.designation], place[pair.that.designation], pair)
            for pair in all_lookalikes(threads)
            if pair.danger != "low"
        ),
        key=lambda row: row[:2],
    )
    return {
        "one": [one for one, _, _ in pairs],
        "other": [other for _, other, _ in pairs],
        "one_in_other": [VERDICTS.index(pair.this_in_that.verdict) for _, _, pair in pairs],
        "other_in_one": [VERDICTS.index(pair.that_in_this.verdict) for _, _, pair in pairs],
        "figure_one_in_other": [_figure(pair.this_in_that) for _, _, pair in pairs],
        "figure_other_in_one": [_figure(pair.that_in_this) for _, _, pair in pairs],
        "high": [int(pair.danger == "high") for _, _, pair in pairs],
    }


def _figure(meeting: Meeting) -> int:
    if meeting.verdict == "binds":
        return round(10 * (meeting.turns or 0.0))
    return round(100 * meeting.share) if meeting.verdict == "runs on" else 0


def _leaves() -> list[float]:
    leaves = {*model.LEAVES_METRIC, *(25.4 / tpi for tpi in model.LEAVES_TPI)}
    return sorted(leaves)


def _spanners(spanners: Spanners) -> list[list[Any]]:
    return [[spanner.marking, spanner.slug, round(spanner.jaw_mm, 3), spanner.system] for spanner in spanners]


def _marks(marks: Marks) -> Json:
    return {
        mark.id: {
            "title": mark.title,
            "on": mark.on,
            "blank": mark.shows_nothing,
            "odds": dict(model.BLANK_ODDS) if mark.shows_nothing else _mark_odds(mark),
            "claims": _claims(mark),
            "left": any(meaning.hand == "left" for meaning in mark.means),
        }
        for mark in marks
    }


def _mark_odds(mark: Mark) -> dict[str, float]:
    """Odds of the groups that none of a mark's meanings names; empty where it says nothing about families."""
    named = [{model.group_of(family) for family in meaning.families} for meaning in mark.means if meaning.families]
    if not named:
        return {}
    groups = set().union(*named)
    is_open = any(meaning.about == "strength" and not meaning.families for meaning in mark.means)
    stray = model.MARK_STRAY_OPEN if is_open else model.MARK_STRAY
    return {group: stray for group in model.GROUPS if group not in groups}


def _claims(mark: Mark) -> list[list[str]]:
    """Grades the mark may claim, each once, with how sure that is."""
    claims: dict[str, str] = {}
    for meaning in mark.means:
        if meaning.grade is not None:
            claims.setdefault(meaning.grade, meaning.certainty)
    return [[grade, certainty] for grade, certainty in claims.items()]


@dataclass(frozen=True, slots=True)
class Family:
    """What all threads of a family share."""

    name: str
    group: str
    angle: float
    rounded: bool


@dataclass(frozen=True, slots=True)
class Pair:
    """Another thread that is taken for one; (verdict, figure) for this one as a bolt in it, and for it in this one."""

    other: int
    into: tuple[str, int]
    take: tuple[str, int]
    high: bool


class Index:
    """An index ready for use: columns of the threads, by rising diameter, and the model."""

    def __init__(self, data: Mapping[str, Any]) -> None:
        if data.get("format") != FORMAT:
            raise ValueError(
                f"this index has format {data.get('format')!r}, the program reads {FORMAT}: build it again"
            )
        threads = data["threads"]
        self.data = data
        self.model: Mapping[str, Any] = data["model"]
        self.texts: Mapping[str, Any] = data["texts"]
        self.families = [
            Family(row["name"], data["groups"][row["group"]], row["angle"], row["rounded"]) for row in data["families"]
        ]
        self.designation: list[str] = threads["designation"]
        self.family = [self.families[number] for number in threads["family"]]
        self.major: list[float] = threads["major"]
        self.tpi: list[float] = threads["tpi"]
        self.pitch = [25.4 / tpi if tpi else pitch for tpi, pitch in zip(threads["tpi"], threads["pitch"], strict=True)]
        self.log_pitch = [math.log(pitch) for pitch in self.pitch]
        self.odds: list[float] = threads["odds"]
        sizes = {
            name: [major - below / 1000 for major, below in zip(self.major, threads[name], strict=True)]
            for name in Sizes.__dataclass_fields__
        }
        self.sizes = [Sizes(*(sizes[name][i] for name in Sizes.__dataclass_fields__)) for i in range(len(self.major))]
        self.hexagons = [tuple(value / 1000 for value in row) for row in data["hexagons"]]
        self.parts: Mapping[str, list[list[int]]] = data["parts"]
        self.leaves: list[float] = data["leaves"]
        self.log_leaves = [math.log(leaf) for leaf in self.leaves]
        self.pairs = self._pairs(data["pairs"])
        self.leaf_spacing = (self.log_leaves[-1] - self.log_leaves[0]) / (len(self.leaves) - 1)
        self.distinct_pitches = sorted({(log, pitch) for log, pitch in zip(self.log_pitch, self.pitch, strict=True)})
        places = {log: place for place, (log, _) in enumerate(self.distinct_pitches)}
        #: For every thread the place of its pitch among the distinct ones.
        self.pitch_place = [places[log] for log in self.log_pitch]
        self.leaf_sums = {
            log: [self._leaf_sums(log, scale) for _, scale in self.model["error_scales"]]
            for log, _ in self.distinct_pitches
        }
        #: How much larger errors are on average than the usual ones.
        self.mean_scale = sum(share * scale for share, scale in self.model["error_scales"])
        self.number = {designation: i for i, designation in enumerate(self.designation)}

    def _pairs(self, columns: Mapping[str, list[int]]) -> dict[int, list[Pair]]:
        pairs: dict[int, list[Pair]] = {}
        for k, (one, other) in enumerate(zip(columns["one"], columns["other"], strict=True)):
            there = (VERDICTS[columns["one_in_other"][k]], columns["figure_one_in_other"][k])
            back = (VERDICTS[columns["other_in_one"][k]], columns["figure_other_in_one"][k])
            high = bool(columns["high"][k])
            pairs.setdefault(one, []).append(Pair(other, there, back, high))
            pairs.setdefault(other, []).append(Pair(one, back, there, high))
        return pairs

    def _leaf_sums(self, log_pitch: float, scale: float) -> tuple[float, float, float]:
        """What makes chances of reading each leaf for a pitch and a scale of errors: a stretch, and the sums of
        likeness, sharp and blurred.

        Where no leaf is near, as for many BA pitches, people take the nearest one, however badly it fits: the
        likeness is stretched until it does.
        """
        nearest = min(abs(log_leaf - log_pitch) for log_leaf in self.log_leaves)
        stretch = max(scale, nearest / (self.model["leaf_near"] * self.model["leaf_error"]))
        sharp = blurred = 0.0
        for log_leaf in self.log_leaves:
            step = (log_leaf - log_pitch) / stretch
            sharp += math.exp(-0.5 * (step / self.model["leaf_error"]) ** 2)
            blurred += math.exp(-0.5 * (step / self.model["leaf_rough_error"]) ** 2)
        return stretch, sharp, blurred

    def __len__(self) -> int:
        return len(self.major)

    @classmethod
    def load(cls, content: bytes) -> Index:
        """Read an index that `build_index` wrote."""
        return cls(json.loads(content))

    def between(self, low_mm: float, high_mm: float) -> range:
        """Threads whose basic major diameter lies between two sizes."""
        return range(bisect_left(self.major, low_mm), bisect_right(self.major, high_mm))
