"""From prior and likelihoods to a posterior over the threads of the index and 'none of these'."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from decoder.identification.index import Index
from decoder.identification.likelihoods import Evidence, over_scales
from decoder.identification.observations import Observations


@dataclass(frozen=True, slots=True)
class Posterior:
    """Probability of every thread, of none of them, and the prior they started from.

    `among` is the logarithm of each thread's share among the threads alone: it ranks them however sure it is that it is
    none of them.
    """

    shares: list[float]
    none: float
    among: list[float]
    prior: list[float]
    prior_none: float


def prior(seen: Observations, index: Index, vehicle: Mapping[str, Any] | None) -> tuple[list[float], float]:
    """Odds before anything is measured: general ones, those of the use that a kind of part is for, and a vehicle's own
    where one is named; never nothing.
    """
    m = index.model
    none = m["none_share"]
    odds = index.odds
    used = index.data["uses"].get(seen.kind, []) if seen.kind is not None else []
    if used:
        odds = [(1.0 - m["use_share"]) * share for share in odds]
        for number in used:
            odds[number] += m["use_share"] / len(used)
    own, weight = vehicle_shares(seen, index, vehicle)
    if own is not None:
        odds = [(1.0 - weight) * share + weight * of_vehicle for share, of_vehicle in zip(odds, own, strict=True)]
    return [(1.0 - none) * share for share in odds], none


def vehicle_shares(
    seen: Observations, index: Index, vehicle: Mapping[str, Any] | None
) -> tuple[list[float] | None, float]:
    """Share of each thread among the vehicle's own joints, those of the named assembly counted more; and its weight."""
    if vehicle is None:
        return None, 0.0
    m = index.model
    whole = [0.0] * len(index)
    part = [0.0] * len(index)
    for joint in vehicle["joints"]:
        for designation in joint["threads"]:
            number = index.number.get(designation.removesuffix(" LH"))
            if number is not None:
                whole[number] += joint["count"]
                if seen.assembly is not None and joint["assembly"] == seen.assembly:
                    part[number] += joint["count"]
    all_of_it, all_of_part = sum(whole), sum(part)
    if all_of_it <= 0:
        return None, 0.0
    share = m["assembly_weight"] if all_of_part > 0 else 0.0
    return [
        (1.0 - share) * count / all_of_it + (share * of_part / all_of_part if share > 0 else 0.0)
        for count, of_part in zip(whole, part, strict=True)
    ], m["vehicle_weight"]


def misfit(found: Sequence[Evidence], index: Index) -> float:
    """How badly the thread fits that fits best, all measures together: logarithm of how much likelier a middling part
    is.

    About half the square of the distance in standard errors; 0 where fewer than two measures could disagree.
    """
    if sum(item.peaks is not None for item in found) < 2:
        return 0.0
    best = _of_measures(found, index, peaks=True)
    seen = _of_measures(found, index, peaks=False)
    return max(min(peak - log for peak, log in zip(best, seen, strict=True)), 0.0)


def _of_measures(found: Sequence[Evidence], index: Index, *, peaks: bool) -> list[float]:
    """What errors blur, of all measures together: one person's errors are large in all of them, or in none."""
    rows = []
    for scale in range(len(index.model["error_scales"])):
        row = [0.0] * len(index)
        for item in found:
            if item.scaled is not None:
                more = item.scaled[scale].peaks if peaks else item.scaled[scale].logs
                row = [log + add for log, add in zip(row, more, strict=True)]
        rows.append(row)
    return over_scales(rows, index)


def posterior(found: Sequence[Evidence], start: tuple[list[float], float], index: Index) -> Posterior:
    """Bayes' rule, in logarithms.

    Beyond Bayes, 'none of these' gains weight as the best thread's misfit grows beyond what errors make of genuine
    parts: what fits nothing is to be called so, and not by the name of the nearest row. A bad reading looks the same,
    so misfit alone never makes that sure. And between look-alikes that the readings leave alike the odds stay small.
    """
    m = index.model
    shares, none = start
    logs = [math.log(share) + log for share, log in zip(shares, _of_measures(found, index, peaks=False), strict=True)]
    log_none = math.log(none)
    for item in found:
        if item.scaled is None:
            logs = [log + more for log, more in zip(logs, item.logs, strict=True)]
        log_none += item.none
    _hold_back(logs, shares, index)
    highest = max(logs)
    of_threads = math.log(sum(math.exp(log - highest) for log in logs)) + highest
    odds = log_none - of_threads
    raised = odds + m["misfit_weight"] / (
        1.0 + math.exp(-(misfit(found, index) - m["misfit_from"]) / m["misfit_width"])
    )
    log_none = of_threads + max(odds, min(raised, m["misfit_most"]))
    top = max(log_none, highest)
    weights = [math.exp(log - top) for log in logs]
    none_weight = math.exp(log_none - top)
    total = sum(weights) + none_weight
    among = [log - of_threads for log in logs]
    return Posterior([weight / total for weight in weights], none_weight / total, among, start[0], start[1])


def _hold_back(logs: list[float], shares: Sequence[float], index: Index) -> None:
    """Between two look-alikes the readings decide, and not how often each is met: changes the logarithms of two.

    How often a thread is met is a judgment, and another tub is another one. As long as the readings do not speak for
    the first and against its likeliest look-alike, the odds between the two stay below `rival_odds`; the more they
    speak, the higher they may be. Which stands first never changes, nor what both have together.
    """
    m = index.model
    first = logs.index(max(logs))
    met = [
        pair.other for pair in index.pairs.get(first, ()) if shares[pair.other] >= m["pair_odds_from"] * shares[first]
    ]
    if not met:
        return
    rival = max(met, key=lambda other: logs[other])
    apart = logs[first] - logs[rival]
    read = apart - math.log(shares[first] / shares[rival])
    most = math.log(m["rival_odds"]) + 2.0 * max(read - math.log(m["rival_told_from"]), 0.0)
    if apart > most:
        both = logs[first] + math.log(1.0 + math.exp(-apart))
        logs[first] = both - math.log(1.0 + math.exp(-most))
        logs[rival] = logs[first] - most


def ranked(after: Posterior, index: Index) -> list[int]:
    """All threads, most probable first, ties by designation.

    Logarithms are compared to eight places, so that the last digit of two machines' arithmetic decides nothing.
    """
    keys = [-math.floor(log * 1e8 + 0.5) for log in after.among]
    return sorted(range(len(index)), key=lambda i: (keys[i], index.designation[i]))


def order(after: Posterior, index: Index) -> list[int]:
    """Threads to list. Those that fit best are listed even where none of them fits."""
    m = index.model
    least = math.log(m["listed_from"])
    return [i for i in ranked(after, index)[: m["listed_most"]] if after.among[i] >= least]


def words(share: float, index: Index) -> str:
    """A probability as people say it."""
    m = index.model
    said: Mapping[str, str] = index.texts["words"]
    if share >= m["almost_certain"]:
        return said["almost_certain"]
    if share >= m["likely"]:
        return said["likely"]
    return said["could_be"] if share >= m["could_be"] else said["unlikely"]
