"""The gauge on the screen: which pitches it shows, and the sizes that its script counts with."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from decoder.drawings.sheets.combs import Pitch, pitches
from decoder.drawings.sheets.paper import CARD_HEIGHT_MM, CARD_WIDTH_MM
from decoder.threads import Thread

#: What a screen shows of a comb that is finer is a grey line, [mm].
_FINEST_MM = 0.45

#: Threads named with a pitch.
_NAMED = 3


@dataclass(frozen=True, slots=True)
class PitchChoice:
    """A pitch to choose: as the identify page reads it, in figures, and on which threads it is met."""

    name: str
    pitch_mm: str
    threads: str


@dataclass(frozen=True, slots=True)
class GaugeView:
    """What the page needs."""

    card_short_mm: str
    card_long_mm: str
    pitches: tuple[PitchChoice, ...]


def gauge_view(threads: Iterable[Thread]) -> GaugeView:
    """The pitches in order, and the card."""
    ordered = sorted(pitches(threads), key=lambda pitch: pitch.pitch_mm)
    return GaugeView(
        card_short_mm=f"{CARD_HEIGHT_MM:.2f}",
        card_long_mm=f"{CARD_WIDTH_MM:.2f}",
        pitches=tuple(_choice(pitch) for pitch in ordered if pitch.pitch_mm >= _FINEST_MM),
    )


def _choice(pitch: Pitch) -> PitchChoice:
    named = ", ".join(thread.designation for thread in pitch.threads[:_NAMED])
    more = len(pitch.threads) - _NAMED
    return PitchChoice(pitch.name, f"{pitch.pitch_mm:.6f}", f"{named} and {more} more" if more > 0 else named)
