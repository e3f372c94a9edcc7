"""Why a thread is where it is in the list, in plain words; and which observation does not go with the others."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from decoder.identification.index import Index
from decoder.identification.likelihoods import Evidence
from decoder.identification.numbers import fixed, short
from decoder.identification.observations import BLANK, Observations
from decoder.identification.ranking import Posterior, posterior, ranked


def fill(template: str, **words: str) -> str:
    """A sentence with its words; unlike `str.format` it leaves other braces alone, as the JavaScript twin does."""
    for name, word in words.items():
        template = template.replace("{" + name + "}", word)
    return template


def pitch_words(number: int, index: Index) -> str:
    """The pitch of a thread in both systems, its own first: '24 tpi (1.058 mm)', '1.25 mm (20.3 tpi)'."""
    units = index.texts["units"]
    if index.tpi[number]:
        return fill(units["tpi_mm"], tpi=short(index.tpi[number], 2), mm=fixed(index.pitch[number], 3))
    pitch = index.pitch[number]
    return fill(units["mm_tpi"], mm=short(pitch, 3), tpi=short(25.4 / pitch, 1))


def length_words(mm: float, index: Index) -> str:
    """A length in both systems: '7.90 mm (0.311 in)'."""
    return fill(index.texts["units"]["length"], mm=fixed(mm, 2), inch=fixed(mm / 25.4, 3))


def span_words(low: float, high: float, index: Index) -> str:
    """Limits in both systems: '7.73 to 7.91 mm (0.304 to 0.311 in)'."""
    return fill(
        index.texts["units"]["span"],
        low=fixed(low, 2),
        high=fixed(high, 2),
        low_in=fixed(low / 25.4, 3),
        high_in=fixed(high / 25.4, 3),
    )


def outcome_words(outcome: str, turns: float | None, index: Index) -> str:
    """The outcome of a trial as people say it."""
    said: Mapping[str, str] = index.texts["outcomes"]
    if outcome == "binds" and turns is not None:
        return said["binds_one"] if turns < 1.5 else fill(said["binds_after"], turns=short(turns, 1))
    return said[outcome]


def average(item: Evidence, start: Posterior) -> float:
    """Logarithm of the probability of an observation before anything was known."""
    top = max(item.none, max(item.logs))
    total = start.prior_none * math.exp(item.none - top)
    for share, log in zip(start.prior, item.logs, strict=True):
        total += share * math.exp(log - top)
    return math.log(total) + top


def reasons(
    number: int, seen: Observations, found: Sequence[Evidence], averages: Sequence[float], index: Index
) -> tuple[list[str], list[str]]:
    """What speaks for a thread and what against, strongest first; what hardly matters is left out."""
    least = index.model["reason_from"]
    speaks: list[tuple[float, str]] = []
    contradicts: list[tuple[float, str]] = []
    for item, usual in zip(found, averages, strict=True):
        weight = item.logs[number] - usual
        if weight > least:
            speaks.append((weight, _sentence(number, item, True, seen, index)))
        elif weight < -least:
            contradicts.append((-weight, _sentence(number, item, False, seen, index)))
    return _sorted(speaks), _sorted(contradicts)


def _sorted(weighed: list[tuple[float, str]]) -> list[str]:
    # Rounded, so that two equal reasons keep their order in both evaluators.
    weighed.sort(key=lambda pair: -math.floor(pair[0] * 1e6 + 0.5))
    return [text for _, text in weighed]


def _sentence(number: int, item: Evidence, is_for: bool, seen: Observations, index: Index) -> str:
    texts = index.texts["reasons"][item.key]
    key = item.key
    if key in ("diameter", "minor_diameter"):
        measure = seen.diameter if key == "diameter" or seen.minor_diameter is None else seen.minor_diameter
        assert measure is not None
        sizes = index.sizes[number]
        low, high = (
            (sizes.male_major_from, sizes.male_major_to)
            if key == "diameter"
            else (sizes.female_minor_from, sizes.female_minor_to)
        )
        side = "for" if is_for else ("over" if measure.mm > high else "under")
        return fill(texts[side], seen=length_words(measure.mm, index), span=span_words(low, high, index))
    return fill(texts["for" if is_for else "against"], **_words(number, item, seen, index))


def _words(number: int, item: Evidence, seen: Observations, index: Index) -> dict[str, str]:
    units = index.texts["units"]
    if item.key == "pitch":
        assert seen.pitch is not None
        if seen.pitch.threads_per_inch is not None:
            read = fill(units["tpi"], tpi=short(seen.pitch.threads_per_inch, 2))
        else:
            read = fill(units["mm"], mm=short(seen.pitch.mm, 3))
        return {"seen": read, "own": pitch_words(number, index)}
    if item.key == "count":
        assert seen.count is not None
        return {
            "seen": short(seen.count.threads, 1),
            "over": length_words(seen.count.over_mm, index),
            "own": pitch_words(number, index),
        }
    if item.key == "trials":
        trial = seen.trials[item.item]
        return {"with": trial.designation, "outcome": outcome_words(trial.outcome, trial.turns, index)}
    if item.key == "flank_angle":
        assert seen.flank_angle is not None
        return {"seen": short(seen.flank_angle[0], 1), "own": short(index.family[number].angle, 1)}
    return {"seen": seen_words(item, seen, index)}


def seen_words(item: Evidence, seen: Observations, index: Index) -> str:
    """What was observed, as its reason names it."""
    if item.key in ("head_marks", "nut_marks"):
        marks = seen.head_marks if item.key == "head_marks" else seen.nut_marks
        mark = marks[item.item]
        return str(index.texts["names"]["blank"] if mark == BLANK else index.data["marks"][mark]["title"])
    if item.key == "spanner":
        assert seen.spanner is not None
        jaw_mm, marking = seen.spanner
        return marking or fill(index.texts["units"]["mm"], mm=short(jaw_mm, 2))
    value = getattr(seen, item.key)
    if item.key in ("head", "nut_top"):
        return str(value).replace("-", " ")
    return length_words(value.mm, index) if item.key in ("across_flats", "head_height", "length") else str(value)


def contradiction(found: Sequence[Evidence], after: Posterior, index: Index) -> dict[str, Any] | None:
    """Which observation does not go with the others, if they do not go together.

    An observation's misfit with a thread is how much less probable it is than with the thread it suits best.
    Observations contradict each other when every thread has a large misfit in sum, though each alone suits some
    thread; the odd one out is the one without which some thread fits well.
    """
    m = index.model
    firm = [item for item in found if item.key in m["firm"]]
    if len(firm) < 2:
        return None
    misfits = [_misfits(item) for item in firm]
    if _least(misfits) < m["contradiction_from"]:
        return None
    said = index.texts["contradiction"]
    names = index.texts["names"]
    listed = list(dict.fromkeys(names[item.key] for item in firm))
    mended = []
    for left_out in range(len(firm)):
        if _least(misfits[:left_out] + misfits[left_out + 1 :]) < m["contradiction_mended"]:
            mended.append(left_out)
    if len(mended) == 1 and len(firm) > 2:
        odd = firm[mended[0]]
        without = posterior([item for item in found if item is not odd], (after.prior, after.prior_none), index)
        first = ranked(without, index)[0]
        text = fill(said["odd"], name=names[odd.key], first=index.designation[first])
        return {"odd_one_out": odd.key, "text": text}
    return {"odd_one_out": None, "text": fill(said["any"], names=", ".join(listed))}


def _misfits(item: Evidence) -> list[float]:
    """For every thread, how much less probable the observation is than the best one would be."""
    if item.peaks is not None:
        return [peak - log for peak, log in zip(item.peaks, item.logs, strict=True)]
    top = max(item.logs)
    return [top - log for log in item.logs]


def _least(misfits: Sequence[Sequence[float]]) -> float:
    return float(min(sum(column) for column in zip(*misfits, strict=True)))
