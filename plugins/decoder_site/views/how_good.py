"""How good the identification is: the targets beside what was measured, and the drawings of it."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from decoder.drawings.charts import columns, reliability
from decoder_site.views.words import joined, plural

#: Worlds as the benchmark names them: what differs from what the model takes for usual.
_WORLDS: Mapping[str, tuple[str, str]] = {
    "as assumed": ("As assumed", "People, tools and parts are as the model takes them to be."),
    "errors doubled": ("Errors doubled", "Every reading is twice as far off: worn calipers, cold hands, bad light."),
    "wear doubled": ("Wear doubled", "Crests are worn and rusted twice as far down."),
    "30 % foreign hexagons": ("Foreign hexagons", "Of ten heads and nuts, three are of another size or standard."),
    "made anywhere in limits": ("Made anywhere", "Makers do not aim at the middle of the limits."),
    "wrong vehicle": ("Wrong vehicle", "The vehicle that was named is not the one the part comes from."),
}

_PARTS_OF_STATE = {"tables": "the tables", "model": "what the model assumes", "program": "the program"}


@dataclass(frozen=True, slots=True)
class Target:
    """One target beside what was measured; `verdict` says it in a word, for those who see no colour."""

    about: str
    target: str
    measured: str
    is_met: bool
    #: What the best possible answer reaches on the same draws, where that says how near the target lies to it.
    best: str = ""

    @property
    def verdict(self) -> str:
        return "met" if self.is_met else "missed"


@dataclass(frozen=True, slots=True)
class WorldView:
    """One simulated world: its figures as text, and its reliability diagram."""

    title: str
    about: str
    right: str
    best: str
    ratio: str
    usual: str
    calibration: str
    sure: str
    sure_right: str
    dangerous: str
    none: str
    drawing: Markup
    rows: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class HowGoodView:
    """Everything the page shows; None stands for figures that were never measured."""

    measured_on: str
    age: str
    changed: str
    state: tuple[tuple[str, str], ...]
    seed: str
    tuned_on: str
    parts: str
    of_worlds: tuple[tuple[str, tuple[Target, ...]], ...]
    targets: tuple[Target, ...]
    worlds: tuple[WorldView, ...]
    strangers: Markup
    distances: tuple[tuple[str, str, str], ...]
    advice: str
    best_order: str
    difference: str
    usual_practice: str

    @property
    def missed(self) -> int:
        """How many targets were missed."""
        return sum(not target.is_met for target in self._all())

    @property
    def count(self) -> int:
        """How many targets there are."""
        return len(self._all())

    def _all(self) -> tuple[Target, ...]:
        return (*self.targets, *(target for _, row in self.of_worlds for target in row))


def how_good_view(
    figures: Mapping[str, Any] | None, state: Mapping[str, str], built_on: datetime.date
) -> HowGoodView | None:
    """The page's figures.

    Parameters
    ----------
    figures : Mapping[str, Any] or None
        What the benchmark wrote.
    state : Mapping[str, str]
        Digests of tables, model and program as they are now, to say whether the figures still speak of them.
    built_on : datetime.date
        When the page is made.
    """
    if figures is None:
        return None
    strangers, advice = figures["strangers"], figures["next"]
    worlds = {world["world"]: world for world in figures["worlds"]}
    first = next(iter(worlds.values()))
    distances = strangers["recall_by_distance"]
    return HowGoodView(
        measured_on=figures["measured_on"],
        age=_age(figures["measured_on"], built_on),
        changed=joined([name for key, name in _PARTS_OF_STATE.items() if figures["state"].get(key) != state[key]]),
        state=tuple((name, str(figures["state"].get(key, ""))) for key, name in _PARTS_OF_STATE.items()),
        seed=str(figures["seed"]),
        tuned_on=joined([str(seed) for seed in figures["tuned_on_seeds"]]),
        parts=str(figures["parts"]),
        of_worlds=tuple(_of_worlds(worlds)),
        targets=tuple(_targets(figures)),
        worlds=tuple(_world(world) for world in worlds.values()),
        strangers=Markup(
            columns(
                tuple(distances.items()),
                "Share of parts in no table that were called none of these, by distance from every thread",
                "standard errors from the nearest thread",
                target=0.95,
            )
        ),
        distances=tuple(
            (label, _percent(share), str(strangers["parts_by_distance"][label])) for label, share in distances.items()
        ),
        advice=f"{advice['measures_following_advice']:.2f} measures, "
        f"{_percent(advice['right_following_advice'], 1)} right, "
        f"{_percent(advice['decided_following_advice'], 1)} decided",
        best_order=f"{advice['measures_best_fixed_order']:.2f} measures, "
        f"{_percent(advice['right_best_fixed_order'], 1)} right, "
        f"{_percent(advice['decided_best_fixed_order'], 1)} decided ({advice['best_fixed_order'].replace('_', ' ')})",
        difference=f"{abs(advice['more_than_best_fixed_order']):.3f} measures "
        f"{'more' if advice['more_than_best_fixed_order'] > 0 else 'fewer'} a part, give or take "
        f"{advice['more_standard_error']:.3f} (standard error, {advice['parts']} parts)",
        usual_practice=f"{_percent(first['usual_practice'])} against {_percent(first['right'])}",
    )


def _of_worlds(worlds: Mapping[str, Mapping[str, Any]]) -> Iterator[tuple[str, tuple[Target, ...]]]:
    """For every world: right beside the best possible, calibration error, above 90 % sure and wrong."""
    for place, (name, world) in enumerate(worlds.items()):
        least, most = (0.98, 0.03) if place == 0 else (0.93, 0.08)
        ratio, error = world["ratio"], world["calibration_error"]
        wrong = world["sure_and_wrong_among_look_alikes"]
        yield (
            _WORLDS.get(name, (name, ""))[0],
            (
                Target("right, beside the best possible", f"≥ {least:.2f}", f"{ratio:.3f}", ratio >= least),
                Target("calibration error", f"≤ {most:.2f}", f"{error:.3f}", error <= most),
                Target(
                    "above 90 % sure and wrong",
                    "≤ 1\u00a0%",
                    f"{_percent(wrong, 2)} ± {100 * _standard_error(wrong, world['look_alikes']):.2f}",
                    wrong <= 0.01,
                    _percent(world["best_possible_sure_and_wrong_among_look_alikes"], 2),
                ),
            ),
        )


def _targets(figures: Mapping[str, Any]) -> Iterator[Target]:
    strangers, advice, taken, index = (figures[key] for key in ("strangers", "next", "time", "index"))
    recall, alarm = strangers["recall_from_3_sigma"], strangers["false_alarm"]
    yield Target("Threads in no table, from 3 errors on: called so", "≥ 95\u00a0%", _percent(recall, 1), recall >= 0.95)
    yield Target("Threads of the tables called none of these", "≤ 3\u00a0%", _percent(alarm, 1), alarm <= 0.03)
    own, best = advice["measures_following_advice"], advice["measures_best_fixed_order"]
    yield Target("Measures until decided, following the advice", f"≤ {best:.2f}", f"{own:.2f}", own <= best)
    answer, whole = taken["answer_ms"], taken["answer_with_next_ms"]
    yield Target("Answer in Python", "≤ 5\u00a0ms", f"{answer:.1f}\u00a0ms", answer <= 5.0)
    yield Target("Answer with what to measure next", "≤ 50\u00a0ms", f"{whole:.1f}\u00a0ms", whole <= 50.0)
    size = index["gzip_bytes"] / 1000
    yield Target("What a phone loads", "≤ 60\u00a0kB", f"{size:.0f}\u00a0kB", size <= 60.0)


def _world(world: Mapping[str, Any]) -> WorldView:
    title, about = _WORLDS.get(world["world"], (world["world"], ""))
    rows = world["reliability"]
    return WorldView(
        title=title,
        about=about,
        right=_percent(world["right"], 1),
        best=_percent(world["best_possible"], 1),
        ratio=f"{world['ratio']:.3f}",
        usual=_percent(world["usual_practice"], 1),
        calibration=f"{world['calibration_error']:.3f}",
        sure=_percent(world["sure"]),
        sure_right=_percent(world["sure_and_right"], 1),
        dangerous=_percent(world["sure_and_wrong_among_look_alikes"], 2),
        none=_percent(world["none_of_these_said"], 1),
        drawing=Markup(
            reliability(
                tuple((row["said"], row["was"], row["parts"]) for row in rows),
                f"{title}: how often it was right, against how sure it said it was; the table below has the figures",
            )
        ),
        rows=tuple((_percent(row["said"]), _percent(row["was"]), str(row["parts"])) for row in rows),
    )


def _percent(share: float, places: int = 0) -> str:
    return f"{100 * share:.{places}f}\u00a0%"


def _standard_error(share: float, parts: int) -> float:
    """Of a share counted on so many parts."""
    return math.sqrt(share * (1.0 - share) / max(parts, 1))


def _age(measured_on: str, built_on: datetime.date) -> str:
    """How old the figures were when the page was made; '' where the clock says that they lie ahead."""
    days = (built_on - datetime.date.fromisoformat(measured_on)).days
    if days < 0:
        return ""
    return "the day this page was made" if days == 0 else f"{plural(days, 'day')} before this page was made"
