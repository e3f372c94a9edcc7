"""What to look at next: every observation still open, by how many bits it is expected to tell about the thread.

For a few of the most probable threads the outcomes of an observation are cut into bins; the information is what
knowing the bin tells about the thread, on average (mutual information). Cheap, and good enough to rank by.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, TypeAlias

from decoder.identification.cautions import is_without_thread
from decoder.identification.fit import Step, chance, fit
from decoder.identification.index import Index
from decoder.identification.likelihoods import Mixture, bore_sizes, leaf_chance, outside_sizes, part_of
from decoder.identification.numbers import fixed, normal_cdf, short
from decoder.identification.observations import Observations
from decoder.identification.ranking import Posterior, ranked
from decoder.identification.reasons import fill, outcome_words, span_words

#: For every thread weighed (None: none of them) the chances of the same list of outcomes.
Chances: TypeAlias = list[list[float]]

#: What an observation takes: any one of these; nothing but eyes where none is named.
TOOLS = {
    "diameter": ("calipers",),
    "minor_diameter": ("calipers",),
    "pitch": ("leaf gauge",),
    "count": ("rule",),
    "trials": ("known nuts",),
    "flank_angle": ("leaf gauge", "magnifier"),
    "crest": (),
    "across_flats": ("calipers",),
    "spanner": ("spanners",),
    "head_marks": (),
}

#: Whoever cannot make this observation is taken to lack its tool.
LACKING = {"diameter": "calipers", "minor_diameter": "calipers", "pitch": "leaf gauge", "spanner": "spanners"}


@dataclass(frozen=True, slots=True)
class Open:
    """An observation still open: its key, the chances of its outcomes, one instruction; for a trial the known
    thread.
    """

    key: str
    chances: Chances
    how: str
    known: str | None = None


def next_steps(seen: Observations, after: Posterior, index: Index) -> list[dict[str, Any]]:
    """Open observations, most telling first: `observe` (its key), `bits`, `how` (one instruction)."""
    m = index.model
    if is_without_thread(seen, index):
        return []
    most = ranked(after, index)[: m["next_threads"]]
    weighed = [i for i in most if after.shares[i] >= m["next_share_from"]]
    shares = [after.shares[i] for i in weighed] + [after.none]
    total = sum(shares)
    shares = [share / total for share in shares]
    asked = [(information(shares, step.chances), step) for step in _open(seen, weighed, index)]
    asked = [(bits, step) for bits, step in asked if bits >= m["next_bits_from"]]
    asked.sort(key=lambda pair: -math.floor(pair[0] * 1e8 + 0.5))
    return [
        {"observe": step.key, "bits": bits, "how": step.how, "with": step.known}
        for bits, step in asked[: m["next_most"]]
    ]


def information(shares: Sequence[float], chances: Chances) -> float:
    """Bits that an observation tells about which thread it is; rows of `chances` add up to 1."""
    bits = 0.0
    for outcome in range(len(chances[0])):
        whole = 0.0
        for share, row in zip(shares, chances, strict=True):
            whole += share * row[outcome]
        if whole <= 0.0:
            continue
        for share, row in zip(shares, chances, strict=True):
            if share > 0.0 and row[outcome] > 0.0:
                bits += share * row[outcome] * math.log(row[outcome] / whole)
    return max(bits / math.log(2.0), 0.0)


def _open(seen: Observations, weighed: Sequence[int], index: Index) -> list[Open]:
    steps: list[Open] = []

    def may(key: str) -> bool:
        return key not in seen.cannot and (not TOOLS[key] or any(_has(tool, seen) for tool in TOOLS[key]))

    internal = seen.member == "internal"
    m = index.model
    fine, tools = m["next_fine_mm"], index.data["instruments"]
    if not internal and may("diameter") and (seen.diameter is None or seen.diameter.error_mm > fine):
        steps.append(
            _measured(
                "diameter" if seen.diameter is None else "diameter_again",
                [
                    _with_error(outside_sizes(i, seen, index), tools["digital calipers"] * index.mean_scale)
                    for i in weighed
                ],
                weighed,
                index,
            )
        )
    bore = seen.minor_diameter or seen.diameter
    if internal and may("minor_diameter") and (bore is None or bore.error_mm > fine):
        steps.append(
            _measured(
                "minor_diameter",
                [_with_error(bore_sizes(i, index), tools["vernier calipers"] * index.mean_scale) for i in weighed],
                weighed,
                index,
            )
        )
    if may("pitch") and seen.pitch is None:
        steps.append(_leaf(weighed, index))
    if may("count") and seen.count is None and not internal:
        steps.append(_counted(weighed, index))
    if may("trials"):
        tried = {trial.number for trial in seen.trials}
        for known in [i for i in weighed if i not in tried][: m["next_trial_nuts"]]:
            steps.extend(_tried(known, weighed, internal, index))
    looks = seen.crest is None and "crest" not in seen.cannot
    if not internal and seen.flank_angle is None and may("flank_angle"):
        steps.append(_profile(_has("leaf gauge", seen), looks, weighed, index))
    elif not internal and looks:
        steps.append(_crests(weighed, index))
    part = part_of(seen, index)
    if part and seen.across_flats is None and seen.spanner is None:
        flats = [_flats(i, part, index) for i in weighed]
        if may("across_flats"):
            steps.append(_measured("across_flats", flats, weighed, index, part))
        elif may("spanner"):
            fits = [_with_error(mixture, m["spanner_error_mm"]) for mixture in flats]
            steps.append(_measured("spanner", fits, weighed, index, part))
    if part and part.startswith("bolt") and not seen.head_marks and not internal and may("head_marks"):
        steps.append(_marked(weighed, index))
    return steps


def _has(tool: str, seen: Observations) -> bool:
    """Whether the person may have a tool: nobody said otherwise, and nothing was given up for want of it."""
    lacks = any(key in seen.cannot for key, needed in LACKING.items() if needed == tool)
    return not lacks and (seen.has is None or tool in seen.has)


def _with_error(sizes: Mixture, error: float) -> Mixture:
    return [(share, middle, math.sqrt(spread * spread + error * error)) for share, middle, spread in sizes]


def _flats(i: int, part: str, index: Index) -> Mixture:
    m = index.model
    usual = index.major[i] * math.exp(m["hexagon_ratio"])
    rows = index.parts[part][i] if part in index.parts else []
    listed = m["next_hexagon_listed"] if rows else 0.0
    error = m["hexagon_worn_mm"]
    mixture: Mixture = [(1.0 - listed, usual, usual * m["hexagon_spread"])]
    for number in rows:
        row = index.hexagons[number]
        spread = math.sqrt((row[1] - row[0]) * (row[1] - row[0]) / 12.0 + error * error)
        mixture.append((listed / len(rows), 0.5 * (row[0] + row[1]), spread))
    return mixture


def _counted(weighed: Sequence[int], index: Index) -> Open:
    m = index.model
    over, missed = m["next_over_mm"], m["count_miscounted"]
    said = index.texts["next"]
    mixtures: list[Mixture] = []
    for i in weighed:
        pitch = index.pitch[i]
        spread = m["count_rule_mm"] * index.mean_scale * pitch / over
        off = pitch * pitch / over
        mixtures.append(
            [(1.0 - missed, pitch, spread), (0.5 * missed, pitch - off, spread), (0.5 * missed, pitch + off, spread)]
        )
    values = [fill(said["count_value"], count=fixed(over / index.pitch[i], 0), over=said["over"]) for i in weighed]
    unknown = (m["smallest_mm"] * 0.2, m["largest_mm"] * 0.06)
    chances = _binned(mixtures, unknown, index)
    how = fill(said["count"], over=said["over"], expect=_expect(values, weighed, index))
    return Open("count", chances, how)


def _profile(by_leaf: bool, looks: bool, weighed: Sequence[int], index: Index) -> Open:
    """The flank angle, and in the same look the crests unless they were told."""
    m = index.model
    guess = m["angle_guess_share"]
    mixtures: list[Mixture] = [
        [(1.0 - guess, index.family[i].angle, m["angle_error_deg"] * index.mean_scale), (guess, 55.0, 17.0)]
        for i in weighed
    ]
    chances = _binned(mixtures, (30.0, 90.0), index)
    said = index.texts["next"]
    values = [fill(index.texts["units"]["degrees"], degrees=short(index.family[i].angle, 1)) for i in weighed]
    if looks:
        rounded = [*(_seen_rounded(i, index) for i in weighed), 0.5]
        chances = [
            [cell * share for share in (crest, 1.0 - crest) for cell in row]
            for row, crest in zip(chances, rounded, strict=True)
        ]
        values = [
            fill(said["both"], angle=value, crest=_crest_words(i, index))
            for value, i in zip(values, weighed, strict=True)
        ]
    how = said["flank_angle_leaf"] if by_leaf else said["profile"] if looks else said["flank_angle"]
    return Open("flank_angle", chances, fill(how, expect=_expect(values, weighed, index)))


def _crests(weighed: Sequence[int], index: Index) -> Open:
    rounded = [*(_seen_rounded(i, index) for i in weighed), 0.5]
    values = [_crest_words(i, index) for i in weighed]
    how = fill(index.texts["next"]["crest"], expect=_expect(values, weighed, index))
    return Open("crest", [[share, 1.0 - share] for share in rounded], how)


def _seen_rounded(i: int, index: Index) -> float:
    return float(index.model["rounded_seen_rounded" if index.family[i].rounded else "flat_seen_rounded"])


def _crest_words(i: int, index: Index) -> str:
    return str(index.texts["next"]["crests"]["rounded" if index.family[i].rounded else "flat"])


def _measured(text: str, mixtures: list[Mixture], weighed: Sequence[int], index: Index, part: str = "") -> Open:
    """A measure, or the spanner that fits; `text` names the instruction, `part` the part whose hexagons are meant."""
    key = text.removesuffix("_again")
    unknown = (index.model["smallest_mm"], index.model["largest_mm"])
    values = []
    for i in weighed:
        sizes = index.sizes[i]
        if key == "diameter":
            low, high = sizes.male_major_from, sizes.male_major_to
        elif key == "minor_diameter":
            low, high = sizes.female_minor_from, sizes.female_minor_to
        else:
            rows = index.parts[part][i] if part in index.parts else []
            values.append(_width_words([index.hexagons[number][1] for number in rows], index))
            continue
        values.append(span_words(low, high, index) if high > 0 else "")
    how = fill(index.texts["next"][text], expect=_expect(values, weighed, index))
    return Open(key, _binned(mixtures, unknown, index), how)


def _width_words(widths: Sequence[float], index: Index) -> str:
    """The widths that a thread's heads have, each once: a band over all of them would hold other threads' too."""
    apart: list[float] = []
    for width in sorted(widths):
        if apart and width - apart[-1] < index.model["next_widths_apart_mm"]:
            apart[-1] = width
        else:
            apart.append(width)
    if not apart:
        return ""
    join = str(index.texts["next"]["or"])
    return fill(
        index.texts["units"]["widths"],
        mm=join.join(fixed(width, 2) for width in apart),
        inch=join.join(fixed(width / 25.4, 3) for width in apart),
    )


def _binned(mixtures: list[Mixture], unknown: tuple[float, float], index: Index) -> Chances:
    """Cut the outcomes where the distributions lie, and give each its chances; the last row is the unknown thread."""
    edges = sorted(
        {
            middle + step * spread
            for mixture in mixtures
            for share, middle, spread in mixture
            if share > 0
            for step in (-1.2, -0.4, 0.4, 1.2)
        }
    )
    most = index.model["next_bins"]
    if len(edges) > most:
        edges = [edges[(k * (len(edges) - 1)) // (most - 1)] for k in range(most)]
    rows = [_cells([_mixture_cdf(edge, mixture) for edge in edges]) for mixture in mixtures]
    low, high = unknown
    span = math.log(high / low)
    rows.append(_cells([min(max(math.log(max(edge, 1e-9) / low) / span, 0.0), 1.0) for edge in edges]))
    return rows


def _mixture_cdf(x: float, mixture: Mixture) -> float:
    return sum(share * normal_cdf((x - middle) / spread) for share, middle, spread in mixture)


def _cells(cdf: list[float]) -> list[float]:
    cells = []
    last = 0.0
    for value in [*cdf, 1.0]:
        cells.append(max(value - last, 0.0))
        last = value
    return cells


def _leaf(weighed: Sequence[int], index: Index) -> Open:
    rows = []
    for i in weighed:
        row = [
            sum(
                share * leaf_chance(log_leaf, index.log_pitch[i], scale, index)
                for scale, (share, _) in enumerate(index.model["error_scales"])
            )
            for log_leaf in index.log_leaves
        ]
        total = sum(row)
        rows.append([value / total for value in row])
    rows.append([1.0 / len(index.leaves)] * len(index.leaves))
    values = [_leaf_words(i, index) for i in weighed]
    how = fill(index.texts["next"]["pitch"], expect=_expect(values, weighed, index))
    return Open("pitch", rows, how)


def _leaf_words(i: int, index: Index) -> str:
    units = index.texts["units"]
    if index.tpi[i]:
        return fill(units["tpi"], tpi=short(index.tpi[i], 2))
    return fill(units["mm"], mm=short(index.pitch[i], 3))


def _tried(known: int, weighed: Sequence[int], internal: bool, index: Index) -> list[Open]:
    """A trial with a known part; none where all threads would do the same on it, however the chances differ."""
    rows = []
    values = []
    for i in weighed:
        steps = fit(index, known, i) if internal else fit(index, i, known)
        rows.append(_trial_cells(steps, index))
        values.append(_trial_words(steps, index))
    if len(values) > 1 and len(set(values)) == 1:
        return []
    m = index.model
    shares = m["none_trial"]
    cuts = m["next_turns"]
    ends = [0.5, *cuts, m["none_trial_turns"]]
    span = math.log(ends[-1] / ends[0])
    spread = [math.log(after / before) / span for before, after in pairwise(ends)]
    rows.append(
        [shares["will not start"], shares["runs on"], shares["wobbles"], *(shares["binds"] * part for part in spread)]
    )
    texts = index.texts["next"]
    words = _expect(values, weighed, index)
    template = texts["trials_bolt"] if internal else texts["trials"]
    how = fill(template, **{"with": index.designation[known], "expect": words})
    return [Open("trials", rows, how, index.designation[known])]


def _trial_cells(steps: tuple[Step, ...], index: Index) -> list[float]:
    m = index.model
    cells = [chance(index, steps, outcome, None) for outcome in ("will not start", "runs on", "wobbles")]
    binds = chance(index, steps, "binds", None)
    cuts = [math.log(cut) for cut in m["next_turns"]]
    shares = [0.0] * (len(cuts) + 1)
    for step in steps:
        weight = step.share * step.starts * step.binds
        last = 0.0
        for k, cut in enumerate(cuts):
            here = normal_cdf((cut - math.log(step.turns)) / m["fit_turn_spread"])
            shares[k] += weight * (here - last)
            last = here
        shares[-1] += weight * (1.0 - last)
    total = sum(shares)
    if total > 0.0:
        cells.extend(binds * share / total for share in shares)
    else:
        cells.extend(binds / len(shares) for _ in shares)
    whole = sum(cells)
    return [cell / whole for cell in cells]


def _trial_words(steps: tuple[Step, ...], index: Index) -> str:
    outcomes = ("will not start", "binds", "runs on", "wobbles")
    chances = [chance(index, steps, outcome, None) for outcome in outcomes]
    best = outcomes[chances.index(max(chances))]
    turns = sum(step.share * step.turns for step in steps)
    return outcome_words(best, math.floor(turns + 0.5) if best == "binds" else None, index)


def _marked(weighed: Sequence[int], index: Index) -> Open:
    table = index.model["next_marks"]
    rows = [list(table[index.family[i].group]) for i in weighed]
    rows.append(list(table["none"]))
    said = index.texts["next"]
    values = [said["mark_values"][index.family[i].group] for i in weighed]
    expect = _expect(values, weighed, index)
    template = said["head_marks"] if expect else said["head_marks"].replace(": {expect}", "")
    return Open("head_marks", rows, fill(template, expect=expect))


def _expect(values: Sequence[str], weighed: Sequence[int], index: Index) -> str:
    """What each value would mean, for the three most probable values."""
    said = index.texts["next"]
    names: dict[str, list[str]] = {}
    for value, i in zip(values, weighed, strict=True):
        if value:
            names.setdefault(value, []).append(index.designation[i])
    return str(
        said["expect_join"].join(
            fill(said["expect_one"], value=value, name=said["or"].join(meant[:3]))
            for value, meant in list(names.items())[:3]
        )
    )
