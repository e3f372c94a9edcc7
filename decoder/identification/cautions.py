"""What goes wrong if the answer is taken for more than it is: look-alikes, and what an observation does not tell."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from decoder.identification.index import Index, Pair
from decoder.identification.numbers import fixed, short
from decoder.identification.observations import BLANK, Observations
from decoder.identification.ranking import Posterior
from decoder.identification.reasons import fill, length_words

Warning_ = dict[str, Any]

#: Kinds that cut a thread of their own.
OWN_THREAD = ("self-tapping screw", "wood screw")


def cautions(seen: Observations, after: Posterior, listed: Sequence[int], index: Index) -> list[Warning_]:
    """Every warning that applies, those about the thread first."""
    said = _Said(index)
    threaded = not is_without_thread(seen, index)
    if threaded:
        _about_the_reading(seen, listed, said, index)
        _about_look_alikes(after, listed, said, index)
    elif seen.kind not in OWN_THREAD:
        said.add("no-thread")
    _about_marks(seen, after, listed, said, index)
    _about_the_part(seen, said)
    if threaded and after.none > index.model["cannot_tell"]:
        said.add("none-likely")
    return said.warnings


def is_without_thread(seen: Observations, index: Index) -> bool:
    """True for parts that have no thread of the tables: washers, pins, wood screws."""
    return seen.has_thread is False or (seen.kind is not None and not index.data["kinds"][seen.kind]["threaded"])


class _Said:
    """Warnings in order, each text once."""

    def __init__(self, index: Index) -> None:
        self._texts = index.texts["warnings"]
        self.warnings: list[Warning_] = []

    def has(self, *designations: str) -> bool:
        """Whether something was said about these threads together."""
        return any(set(warning["designations"]) == set(designations) for warning in self.warnings)

    def add(self, code: str, *designations: str, **words: str) -> None:
        text = fill(self._texts[code], **words)
        if all(warning["text"] != text for warning in self.warnings):
            self.warnings.append({"code": code, "text": text, "designations": list(designations)})


def _about_the_reading(seen: Observations, listed: Sequence[int], said: _Said, index: Index) -> None:
    if seen.member == "internal" and seen.diameter is not None:
        said.add("nut-diameter-is-bore")
    if seen.count is not None and seen.count.counted is None:
        said.add("crests-or-spaces")
    if seen.diameter is not None and seen.member == "external" and listed:
        first = listed[0]
        high = index.sizes[first].male_major_to
        if seen.diameter.mm - seen.diameter.error_mm > high and seen.diameter.mm < high + 0.5:
            said.add(
                "over-nominal",
                index.designation[first],
                first=index.designation[first],
                seen=length_words(seen.diameter.mm, index),
                high=length_words(high, index),
            )
    outcomes = [trial.outcome for trial in seen.trials]
    if "binds" in outcomes or "will not start" in outcomes:
        said.add("brake-pipe" if seen.kind in ("union", "banjo bolt", "bleed screw") else "do-not-force")
    if "runs on" in outcomes or "wobbles" in outcomes:
        if seen.kind in ("wheel nut", "wheel bolt"):
            said.add("loose-wheel-nut")
        said.add("loose-fit-proves-nothing")
    measured = seen.diameter or seen.minor_diameter or seen.pitch or seen.count or seen.trials
    if seen.spanner is not None and not measured and seen.member == "external" and seen.head is None:
        _about_the_spanner(seen.spanner, said, index)
    if (seen.across_flats is not None or seen.spanner is not None) and not measured:
        said.add("flats-never-fix-a-thread")
    if seen.spanner is not None and _names_a_bolt(seen.spanner[1], index):
        said.add("spanner-names-bolt")


def _about_the_spanner(spanner: tuple[float, str], said: _Said, index: Index) -> None:
    """What people look for when all they know is the spanner: the usual thread, a flange, a smaller head that rocks."""
    jaw_mm, marking = spanner
    own = index.model["spanner_own_mm"]
    loose_from, loose_to = index.model["spanner_loose_mm"]
    usual = _with_heads("bolt: hexagon", jaw_mm - own, jaw_mm + own, index)
    flanged = _with_heads("bolt: hexagon-flange", jaw_mm - own, jaw_mm + own, index)
    flanged = [thread for thread in flanged if thread not in usual][:2]
    loose = _with_heads("bolt: hexagon", jaw_mm - loose_to, jaw_mm - loose_from, index)[:2]
    if not usual or not marking:
        return
    texts = index.texts["spanner"]
    more = ""
    if flanged:
        more += fill(texts["flange"], threads=str(index.texts["next"]["or"]).join(flanged))
    if loose:
        more += fill(texts["loose"], threads=str(index.texts["next"]["or"]).join(loose))
    said.add("spanner-alone", usual[0], seen=marking, first=usual[0], more=more)


def _with_heads(part: str, from_mm: float, to_mm: float, index: Index) -> list[str]:
    """Threads that have a head of such a width, those met most often first."""
    found = [
        i
        for i, rows in enumerate(index.parts.get(part, ()))
        if any(from_mm <= index.hexagons[row][1] <= to_mm for row in rows)
    ]
    return [index.designation[i] for i in sorted(found, key=lambda i: (-index.odds[i], index.designation[i]))]


def _names_a_bolt(marking: str, index: Index) -> bool:
    return any(row[0] == marking and row[3] in ("Whitworth", "BA") for row in index.data["spanners"])


def _about_look_alikes(after: Posterior, listed: Sequence[int], said: _Said, index: Index) -> None:
    m = index.model
    likely = [i for i in listed if after.shares[i] >= m["warn_from"]][:6]
    for place, i in enumerate(likely):
        for j in likely[place + 1 :]:
            _same_by_measure(i, j, said, index)
    names = [index.designation[i] for i in likely]
    if any(index.tpi[i] in (12, 13) and abs(index.major[i] - 12.7) < 0.01 for i in likely):
        said.add("half-inch-12-13", *(name for name in names if name.startswith("1/2-")))
    if any(index.tpi[i] in (26, 28) and abs(index.major[i] - 6.35) < 0.01 for i in likely):
        said.add("quarter-26-28")
    if any(index.tpi[i] in (12, 14) and abs(index.major[i] - 25.4) < 0.01 for i in likely):
        said.add("inch-12-14")
    if any(index.family[i].group == "pipe" for i in likely):
        said.add("pipe-named-by-bore")
    if any(index.family[i].name in ("R", "NPT", "NPTF") for i in likely):
        said.add("taper")
    unread = [i for i in likely if index.family[i].name in index.data["without_limits"]]
    if unread:
        first = index.designation[unread[0]]
        said.add("limits-stand-in", first, first=first)
    # Nothing is said about what screws into what while the thread is anybody's guess.
    for i in likely[:2]:
        if after.shares[i] >= m["pairs_from"]:
            _about_others(i, said, index)


def _is_same(i: int, j: int, index: Index) -> bool:
    """True where calipers and pitch gauge show no difference."""
    m = index.model
    same_pitch = abs(index.pitch[i] - index.pitch[j]) <= m["same_pitch_share"] * index.pitch[i]
    return bool(same_pitch and abs(index.major[i] - index.major[j]) <= m["same_major_share"] * index.major[i])


def _same_by_measure(i: int, j: int, said: _Said, index: Index, *, only_angle: bool = False) -> None:
    if not _is_same(i, j, index):
        return
    first, second = sorted((index.designation[i], index.designation[j]))
    angle, other = index.family[index.number[first]].angle, index.family[index.number[second]].angle
    pair = _both_ways(index.number[first], index.number[second], index)
    if angle != other:
        angles = f"{short(angle, 1)}° / {short(other, 1)}°"
        said.add("angle-55-60", first, second, first=first, second=second, angles=angles, pair=pair)
    elif not only_angle:
        said.add("same-thread-otherwise", first, second, first=first, second=second, pair=pair)


def _both_ways(i: int, j: int, index: Index) -> str:
    """What a bolt of each does in a nut of the other, in words."""
    first, second = index.designation[i], index.designation[j]
    for pair in index.pairs.get(i, ()):
        if pair.other == j:
            there = _meeting(first, second, pair.into, index)
            back = _meeting(second, first, pair.take, index)
            return there + str(index.texts["pair"]["join"]) + back
    return str(index.texts["pair"]["unknown"])


def _about_others(i: int, said: _Said, index: Index) -> None:
    """Threads that go into this one's nuts, or whose nuts go on it: what happens, the likeliest to be met first."""
    m = index.model
    far = max(m["pair_far_mm"], m["pair_far_share"] * index.major[i])
    found = []
    for pair in index.pairs.get(i, ()):
        j = pair.other
        _same_by_measure(i, j, said, index, only_angle=True)
        apart = abs(index.major[i] - index.major[j])
        if _is_same(i, j, index) or apart > far or index.odds[j] < m["pair_odds_from"] * index.odds[i]:
            continue
        near = math.exp(-apart / m["pair_near_mm"])
        weight = math.sqrt(index.odds[j]) * near * (1.0 if pair.high else m["pair_medium_weight"])
        found.append((weight, pair))
    found.sort(key=lambda row: (-math.floor(row[0] * 1e12 + 0.5), index.designation[row[1].other]))
    told: list[int] = []
    for _, pair in found:
        j = pair.other
        if len(told) < m["pairs_most"] and not any(_is_same(j, other, index) for other in told):
            told.append(j)
            _tell_pair(i, pair, said, index)


def _tell_pair(i: int, pair: Pair, said: _Said, index: Index) -> None:
    j = pair.other
    first, second = index.designation[i], index.designation[j]
    if said.has(first, second):
        return
    groups = {index.family[i].group, index.family[j].group}
    code = "ba-metric" if groups == {"association", "metric"} else "lookalike"
    said.add(code, first, second, pair=_both_ways(i, j, index))


def _meeting(bolt: str, nut: str, outcome: tuple[str, int], index: Index) -> str:
    """One direction of a look-alike pair in words."""
    said = index.texts["pair"]
    verdict, figure = outcome
    if verdict == "binds":
        words = said["first_turn"] if figure < 10 else said["one_turn"] if figure < 15 else said["turns"]
        words = fill(words, turns=fixed(figure / 10, 0))
    elif verdict == "runs on":
        words = said["runs_on"] if figure >= index.model["pair_holds_from"] else said["slack"]
        words = fill(words, share=str(figure))
    else:
        words = said[verdict]
    return fill(said["one"], bolt=bolt, nut=nut, happens=words)


def _about_marks(seen: Observations, after: Posterior, listed: Sequence[int], said: _Said, index: Index) -> None:
    real = [
        mark for mark in (*seen.head_marks, *seen.nut_marks) if mark != BLANK and not index.data["marks"][mark]["blank"]
    ]
    blank = len(real) < len(seen.head_marks) + len(seen.nut_marks)
    if real:
        said.add("marks-give-no-thread")
    for mark in real:
        known = index.data["marks"][mark]
        if listed and after.shares[listed[0]] >= index.model["cannot_tell"]:
            group = index.family[listed[0]].group
            if known["odds"].get(group, 1.0) <= index.model["mark_stray"]:
                first = index.designation[listed[0]]
                said.add("mark-against-thread", first, mark=known["title"], first=first)
        if known["left"] and seen.hand is None:
            said.add("mark-says-left", mark=known["title"])
    if blank:
        said.add("no-mark-no-strength")
    if seen.finish is not None and seen.finish != "unknown":
        said.add("colour-is-not-grade")


#: Kinds of nut with slots for a pin.
_CASTELLATED = ("castellated", "slotted", "slotted-collar")


def _about_the_part(seen: Observations, said: _Said) -> None:
    if seen.material == "stainless":
        said.add("stainless")
    castellated = seen.kind == "castellated nut" or seen.nut_top in _CASTELLATED
    if castellated:
        said.add("castellated-nut")
    if seen.kind == "stud":
        said.add("stud-ends")
    if seen.hand == "left":
        said.add("left-hand")
    if seen.kind in ("wheel nut", "wheel bolt"):
        said.add("wheel-seat")
    if castellated or seen.kind in ("wheel nut", "wheel bolt", "union", "banjo bolt", "bleed screw"):
        said.add("safety")
