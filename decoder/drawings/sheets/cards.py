"""The sheet of pocket cards: which bolt goes into which wrong nut, and how far, for the sizes that vehicles have."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

from decoder.drawings.sheets.paper import (
    CARD_CORNER_MM,
    CARD_HEIGHT_MM,
    CARD_WIDTH_MM,
    TOP_MM,
    Sheet,
    lines,
    sheet,
    text,
)
from decoder.drawings.svg import number, tag
from decoder.kinds import HardwareKind
from decoder.lookalikes import Meeting, all_lookalikes
from decoder.threads import Thread

#: Sizes that lie in nearly every tub. All others are in the tables.
_SIZES = (
    *("No. 8", "No. 10", "3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "9/16", "5/8", "3/4"),
    *("M4", "M5", "M6", "M7", "M8", "M10", "M12", "M14", "M16", "M18", "M20"),
)
_BA_SIZES = ("0", "2", "4")
_SERIES = ("coarse", "fine", "cycle", "BA")

#: Kinds that keep a joint from coming undone, by what their records call the lock.
_LOCKS = ("own thread grip", "pin", "bent tab", "staking", "teeth", "spring, disputed")

_PANELS = 4
_SMALL = 2.2


@dataclass(frozen=True, slots=True)
class Trap:
    """A bolt, the nuts it is not for and yet goes into alike, and what happens then."""

    bolt: str
    nuts: str
    happens: str
    major_mm: float


def traps(threads: Iterable[Thread]) -> tuple[Trap, ...]:
    """The pairs of usual sizes whose danger is high, in the direction in which they go in, by the bolt's size."""
    usual = [thread for thread in threads if is_usual(thread)]
    found: dict[tuple[Thread, str, str], list[Thread]] = {}
    for pair in all_lookalikes(usual):
        if pair.danger != "high":
            continue
        for bolt, nut, meeting in (
            (pair.this, pair.that, pair.this_in_that),
            (pair.that, pair.this, pair.that_in_this),
        ):
            if meeting.verdict in ("runs on", "binds") and (meeting.turns is None or meeting.turns >= 1):
                found.setdefault((bolt, _size_and_pitch(nut), _happens(meeting)), []).append(nut)
    made = _bolts_together((bolt, _together(nuts), happens) for (bolt, _, happens), nuts in found.items())
    return tuple(sorted(made, key=lambda trap: (trap.major_mm, trap.bolt, trap.nuts)))


def _bolts_together(rows: Iterable[tuple[Thread, str, str]]) -> Iterator[Trap]:
    """Bolts of one size and pitch to which the same happens, as one row: '3/8-16 UNC, BSW'."""
    groups: dict[tuple[str, str, str], list[Thread]] = {}
    for bolt, nuts, happens in rows:
        groups.setdefault((_size_and_pitch(bolt), nuts, happens), []).append(bolt)
    for (_, nuts, happens), bolts in groups.items():
        yield Trap(_together(bolts), nuts, happens, bolts[0].major_mm)


def is_usual(thread: Thread) -> bool:
    """Whether a thread is one that tubs of vehicle fasteners are full of (common practice)."""
    if thread.series not in _SERIES:
        return False
    if thread.family == "BA":
        return thread.size in _BA_SIZES
    return thread.family in ("UNC", "UNF", "M", "BSW", "BSF", "BSC") and thread.size in _SIZES


def _happens(meeting: Meeting) -> str:
    if meeting.verdict == "binds":
        assert meeting.turns is not None
        turns = round(meeting.turns)
        return f"binds at about {turns} turn{'s' if turns > 1 else ''}"
    return f"runs on, {5 * round(20 * meeting.share)} % of thread"


def _size_and_pitch(thread: Thread) -> str:
    """The designation without its family, where that is a part of its own: '3/8-16'."""
    return thread.designation if thread.family in ("M", "BA") else thread.designation.rpartition(" ")[0]


def _together(threads: Sequence[Thread]) -> str:
    """Threads of one size and pitch by one name: '3/8-16 UNC, BSW'."""
    size = _size_and_pitch(threads[0])
    families = ", ".join(thread.designation.removeprefix(size).strip() for thread in threads)
    return f"{size} {families}".strip()


def locks(kinds: Iterable[HardwareKind]) -> tuple[tuple[str, str], ...]:
    """What locks, and what its record asks for where a failure can hurt someone; kinds of one name and one word once.

    'All-metal lock nut, side dented' and 'All-metal lock nut, top distorted' are one row.
    """
    rows = ((kind.title.partition(",")[0], kind.strictest) for kind in kinds if kind.lock in _LOCKS)
    return tuple(dict.fromkeys(rows))


def pocket_sheet(threads: Iterable[Thread], kinds: Iterable[HardwareKind]) -> Sheet:
    """Pocket cards of the size of a bank card: wrong pairs, and locks where a failure can hurt someone."""
    found, lock_rows = traps(threads), locks(kinds)
    most = max(1, -(-len(found) // _PANELS))
    half = max(1, -(-len(lock_rows) // 2))
    drawn = [
        _traps_card(found[start : start + most], f"Goes in, and is wrong ({place} of {_PANELS})")
        for place, start in enumerate(range(0, len(found), most), start=1)
    ]
    drawn += [
        _locks_card(lock_rows[start : start + half], f"Brakes, steering, wheels: locks ({place} of 2)")
        for place, start in enumerate(range(0, len(lock_rows), half), start=1)
    ]
    return sheet(
        "pocket-cards",
        "Pocket cards",
        "Which bolt goes into which wrong nut, after how many turns it binds, and which locks may go back.",
        (
            "Cut out and keep in the pocket. Each row is one way round: that bolt in that nut. The other way round it "
            "does not start, or it has a row of its own. These are the usual sizes; the tables hold all.",
            "A wrong pair that runs on is worse than one that binds: it wobbles half-way on, feels like a good one, "
            "and strips. Per cent: how much of the height of the thread holds at best.",
            "Two turns by fingers are enough to know. Never force one.",
        ),
        *(
            tag(
                "g", card, transform=f"translate({number(0.3 + place % 2 * 92)} {number(TOP_MM + 4 + place // 2 * 59)})"
            )
            for place, card in enumerate(drawn)
        ),
    )


def _card(title: str, *children: str) -> str:
    return tag(
        "g",
        tag("rect", x=0, y=0, width=CARD_WIDTH_MM, height=CARD_HEIGHT_MM, rx=CARD_CORNER_MM, class_="cut"),
        text(title, 3.5, 5.4, 3.0, bold=True),
        *children,
        class_="pocket-card",
    )


def _traps_card(rows: Sequence[Trap], title: str) -> str:
    columns = (3.5, 27.0, 55.5)
    drawn = [
        text(words, x, 9.4, _SMALL, bold=True) for words, x in zip(("bolt", "in a nut", "then"), columns, strict=True)
    ]
    for place, trap in enumerate(rows):
        y = 12.8 + place * min(3.4, (CARD_HEIGHT_MM - 16.0) / max(1, len(rows) - 1))
        before = rows[place - 1].bolt if place else ""
        if trap.bolt != before:
            drawn.append(text(trap.bolt, columns[0], y, _SMALL, bold=True))
        drawn += [text(trap.nuts, columns[1], y, _SMALL), text(trap.happens, columns[2], y, _SMALL)]
    return _card(title, *drawn)


def _locks_card(rows: Sequence[tuple[str, str]], title: str) -> str:
    drawn: list[str] = []
    y = 10.2
    for name, words in rows:
        first, *more = lines(f"{name}: {words}", CARD_WIDTH_MM - 10, _SMALL)
        named = tag("tspan", escape(f"{name}:", quote=False), class_="bold") + escape(
            first[len(name) + 1 :], quote=False
        )
        drawn.append(tag("text", named, x=3.5, y=y, font_size=_SMALL, class_="words"))
        drawn += [text(line, 3.5, y + 2.8 * place, _SMALL) for place, line in enumerate(more, start=1)]
        y += 2.8 * (1 + len(more)) + 0.9
    return _card(title, *drawn)
