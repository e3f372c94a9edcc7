"""Which bolt goes into which wrong nut: against what workshops know, and against geometry."""

from __future__ import annotations

import pytest

from decoder.lookalikes import DANGERS, all_lookalikes, compare, lookalikes, meet
from decoder.reference import Reference
from decoder.threads import Threads


@pytest.fixture(scope="module")
def threads(reference: Reference) -> Threads:
    """The threads that come with the package."""
    return reference.threads


#: Pairs that workshops know to run on through an ordinary nut, in one direction only: bolt, nut. Gathered from
#: workshop practice; the model knows none of them.
RUNS_ON = (
    ("No. 10-32 UNF", "M5x0.8"),
    ("M4x0.7", "No. 8-36 UNF"),
    ("3/4-10 UNC", "M20x2.5"),
    ("M12x1.25", "1/2-20 UNF"),
    ("7/16-20 UNF", "M12x1.25"),
    ("3/8-20 BSF", "M10x1.25"),
    ("M6x1", "1/4-26 BSF"),
    ("M6x1", "1/4-26 BSC"),
    ("2 BA", "M5x0.8"),
    ("3/16-32 BSF", "No. 10-32 UNF"),
    ("3/16-32 BSF", "M5x0.8"),
    ("3/8-26 BSC", "M10x1"),
)


@pytest.mark.parametrize(("bolt", "nut"), RUNS_ON)
def test_pairs_known_to_run_on_do_so_in_one_direction(bolt: str, nut: str, threads: Threads) -> None:
    pair = compare(threads.get(bolt), threads.get(nut))
    assert pair.this_in_that.verdict == "runs on"
    assert pair.that_in_this.verdict == "will not start"
    assert pair.danger in ("high", "medium")


@pytest.mark.parametrize(
    ("bolt", "nut", "turns"),
    [
        # Workshop practice: about 2 and about 6 turns. For the second, a supplier of brake pipe adds that the nut
        # "will go into a 10 mm x 1.0 hole, but will strip", its threads barely catching.
        ("5/16-24 UNF", "M8x1", 2),
        ("3/8-24 UNF", "M10x1", 6),
    ],
)
def test_pairs_known_to_bind_do_so_after_as_many_turns(bolt: str, nut: str, turns: float, threads: Threads) -> None:
    meeting = meet(threads.get(bolt), threads.get(nut))
    assert meeting.verdict == "binds"
    assert meeting.turns == pytest.approx(turns, abs=1)


def test_pairs_known_to_go_nearly_on_do_so(threads: Threads) -> None:
    """Workshop practice: 2 BA in a No. 10-32 nut, and 5/16-26 Cycle with M8x1, go on for most of a nut."""
    two_ba = meet(threads.get("2 BA"), threads.get("No. 10-32 UNF"))
    assert two_ba.verdict == "binds"
    assert two_ba.turns == pytest.approx(0.8 * 4.826 / 0.794, abs=1)
    cycle = compare(threads.get("M8x1"), threads.get("5/16-26 BSC"))
    assert cycle.this_in_that.turns is not None
    assert cycle.this_in_that.turns >= 3


def test_a_metric_pipe_nut_hardly_starts_in_the_inch_port(threads: Threads) -> None:
    """A supplier of brake pipe: M10x1 in a 3/8-24 fitting 'will catch one thread' and destroys it."""
    meeting = meet(threads.get("M10x1"), threads.get("3/8-24 UNF"))
    assert meeting.verdict == "will not start" or (meeting.turns is not None and meeting.turns <= 1)


def test_shares_of_the_thread_height_are_the_known_ones(threads: Threads) -> None:
    """3/8-20 BSF in M10x1.25 holds on about 65 % of the height (workshop practice)."""
    assert meet(threads.get("3/8-20 BSF"), threads.get("M10x1.25")).share == pytest.approx(0.65, abs=0.02)


def test_whitworth_and_unified_coarse_go_together_but_for_half_an_inch(threads: Threads) -> None:
    for size, per_inch in (
        ("1/4", 20),
        ("5/16", 18),
        ("3/8", 16),
        ("7/16", 14),
        ("9/16", 12),
        ("5/8", 11),
        ("3/4", 10),
    ):
        pair = compare(threads.get(f"{size}-{per_inch} BSW"), threads.get(f"{size}-{per_inch} UNC"))
        assert pair.this_in_that.verdict == "runs on", size
        assert pair.danger == "medium"
        assert "55° and 60°" in pair.text or "60° and 55°" in pair.text
    half = compare(threads.get("1/2-12 BSW"), threads.get("1/2-13 UNC"))
    assert half.this_in_that.verdict != "runs on"
    assert half.that_in_this.verdict != "runs on"


def test_a_thread_goes_into_its_own_nut(threads: Threads) -> None:
    for thread in threads:
        if thread.form.taper:
            continue
        meeting = meet(thread, thread)
        assert meeting.verdict == "runs on", thread.designation
        assert meeting.share == pytest.approx(1.0, abs=0.01)


def test_a_bolt_one_size_too_large_does_not_start_and_one_too_small_drops_through(threads: Threads) -> None:
    assert meet(threads.get("M10x1.5"), threads.get("M8x1.25")).verdict == "will not start"
    assert meet(threads.get("M6x1"), threads.get("M10x1.5")).verdict == "drops through"


def test_opposite_hands_never_start(threads: Threads) -> None:
    right = threads.get("1/2-20 UNF")
    assert meet(right.as_left_hand(), right).verdict == "will not start"
    assert meet(right.as_left_hand(), right.as_left_hand()).verdict == "runs on"


def test_swapping_the_two_swaps_the_directions(threads: Threads) -> None:
    one, other = threads.get("M6x1"), threads.get("1/4-28 UNF")
    there, back = compare(one, other), compare(other, one)
    assert there.this_in_that == back.that_in_this
    assert there.that_in_this == back.this_in_that
    assert there.danger == back.danger
    assert there.major_difference_mm == -back.major_difference_mm


def test_pitch_drift_is_that_of_the_two_pitches(threads: Threads) -> None:
    """28 and 26 to the inch part by one pitch in half an inch."""
    pair = compare(threads.get("1/4-28 UNF"), threads.get("1/4-26 BSF"))
    assert pair.pitch_error_mm_per_10mm == pytest.approx(10 * (26 / 28 - 1) * -1, abs=0.001)
    turns = 12.7 / (25.4 / 28)
    assert turns * (25.4 / 26 - 25.4 / 28) == pytest.approx(25.4 / 26, rel=0.01)


def test_lists_are_ranked_and_say_what_goes_wrong(threads: Threads) -> None:
    found = lookalikes(threads.get("M10x1"), threads)
    names = [each.designation for each in found]
    assert "3/8-24 UNF" in names
    assert "3/8-26 BSC" in names
    assert "M10x1" not in names
    ranks = [DANGERS.index(each.danger) for each in found]
    assert ranks == sorted(ranks)
    for each in found:
        assert each.this.designation == "M10x1"
        assert each.designation == each.that.designation
        assert each.this.designation in each.text
        assert each.designation in each.text


def test_the_pipe_thread_of_nipples_and_gauges_is_held_against_its_metric_double(threads: Threads) -> None:
    """G 1/8 in M10x1 goes in by a couple of turns: pitches too far apart for a gauge to mistake, not for fingers."""
    for one, other in (("G 1/8", "M10x1"), ("M10x1", "G 1/8"), ("R 1/8", "M10x1")):
        found = {each.designation: each for each in lookalikes(threads.get(one), threads)}
        assert found[other].danger == "high"
        assert "binds after" in found[other].text or "wedges after" in found[other].text


@pytest.mark.parametrize("size", ["1/8", "1/4", "1/2"])
def test_a_taper_wedges_whichever_of_the_two_is_taper(size: str, threads: Threads) -> None:
    parallel, taper = threads.get(f"G {size}"), threads.get(f"R {size}")
    for bolt, nut in ((parallel, taper), (taper, parallel)):
        meeting = meet(bolt, nut)
        assert meeting.verdict == "binds"
        assert "wedges" in meeting.text


def test_no_count_of_turns_reads_wrongly(threads: Threads) -> None:
    for pair in all_lookalikes(threads):
        assert "about 0 turns" not in pair.text
        assert "about 1 turns" not in pair.text


def test_a_thread_under_two_names_is_no_danger(threads: Threads) -> None:
    pair = compare(threads.get("1/4-26 BSF"), threads.get("1/4-26 BSB"))
    assert pair.danger == "low"
    assert "interchanges" in pair.text


def test_every_pair_is_found_once(threads: Threads) -> None:
    pairs = all_lookalikes(threads)
    keys = [frozenset((pair.this.designation, pair.that.designation)) for pair in pairs]
    assert len(keys) == len(set(keys))
    by_thread = {
        frozenset((thread.designation, each.designation)) for thread in threads for each in lookalikes(thread, threads)
    }
    assert by_thread == set(keys)
