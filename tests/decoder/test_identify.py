"""What a fastener can be: worked cases where naive tables go wrong, each with where the fact stands."""

from __future__ import annotations

import gzip
import json
from typing import Any

import pytest

from decoder.drawings.heads import HEADS
from decoder.fleet import load_fleet
from decoder.identify import Answer, Index, ObservationError, build_index, build_index_script, identify, vehicle_part
from decoder.reference import Reference


@pytest.fixture(scope="module")
def index(reference: Reference) -> Index:
    return Index.load(build_index(reference))


def tpi(count: float) -> dict[str, Any]:
    return {"mm": 25.4 / count, "threads_per_inch": count}


def first(answer: Answer) -> str:
    return str(answer.candidates[0]["designation"])


def names(answer: Answer, least: float = 0.02) -> set[str]:
    return {entry["designation"] for entry in answer.candidates if entry["probability"] >= least}


def chance(answer: Answer, designation: str) -> float:
    return sum(entry["probability"] for entry in answer.candidates if entry["designation"] == designation)


def codes(answer: Answer) -> set[str]:
    return {warning["code"] for warning in answer.warnings}


def pairs(answer: Answer) -> set[frozenset[str]]:
    return {frozenset(warning["designations"]) for warning in answer.warnings if len(warning["designations"]) == 2}


# The main job.


def test_a_measured_bolt_is_named_with_its_look_alike(index: Index) -> None:
    """5/16-24 class 2A is 0.3042 to 0.3114 in outside (ASME B1.1 limits): 7.9 mm and 24 to the inch is nothing else."""
    answer = identify({"diameter": {"mm": 7.9, "tolerance_mm": 0.05}, "pitch": tpi(24)}, index)
    assert first(answer) == "5/16-24 UNF"
    assert answer.candidates[0]["words"] == "almost certain"
    assert frozenset(("5/16-24 UNF", "M8x1")) in pairs(answer)
    assert any("binds after about 2 turns" in warning["text"] for warning in answer.warnings)


def test_nothing_observed_says_so_and_where_to_start(index: Index) -> None:
    answer = identify({}, index)
    assert answer.certainty["words"] == "cannot tell"
    assert answer.next[0]["observe"] in ("pitch", "diameter")
    assert answer.strength is None


def test_probabilities_add_up(index: Index) -> None:
    """Everything listed and unlisted, with none of these, is one."""
    answer = identify({"diameter": {"mm": 7.9}}, index)
    listed = sum(entry["probability"] for entry in answer.candidates)
    assert 0.98 < listed + answer.none_of_these <= 1.0 + 1e-9


# Diameters.

UNDER_NOMINAL = [
    # bolt, pitch, where a new one measures, mm: limits as the standard's tables print them
    pytest.param("3/8-16 UNC", tpi(16), (9.253, 9.492), id="3/8-16 2A: ASME B1.1 prints 0.3643 to 0.3737 in"),
    pytest.param("M10x1.5", {"mm": 1.5}, (9.732, 9.968), id="M10 6g: ASME B1.13M prints 9.732 to 9.968 mm"),
]


@pytest.mark.parametrize(("designation", "pitch", "limits"), UNDER_NOMINAL)
def test_real_threads_measure_under_their_nominal(
    index: Index, designation: str, pitch: dict[str, Any], limits: tuple[float, float]
) -> None:
    """Both ends of the limits are as good as the middle."""
    for mm in (limits[0], sum(limits) / 2, limits[1]):
        assert first(identify({"diameter": {"mm": mm}, "pitch": pitch}, index)) == designation


@pytest.mark.parametrize(
    ("mm", "pair"),
    [
        pytest.param(7.88, {"5/16-24 UNF", "M8x1.25"}, id="5/16 and M8"),
        pytest.param(3.4, {"No. 6-32 UNC", "M3.5x0.6"}, id="No. 6 and M3.5"),
        pytest.param(15.78, {"5/8-11 UNC", "M16x2"}, id="5/8 and M16"),
        pytest.param(10.95, {"7/16-20 UNF", "M11x1.5"}, id="7/16 and M11"),
    ],
)
def test_a_diameter_alone_does_not_tell_inch_from_metric(index: Index, mm: float, pair: set[str]) -> None:
    """Ranges of genuine parts overlap (limits of ASME B1.1 and ISO 965): only the pitch separates them."""
    answer = identify({"diameter": {"mm": mm}}, index)
    listed = {entry["designation"] for entry in answer.candidates}
    assert pair <= listed
    assert answer.candidates[0]["probability"] < 0.7
    assert answer.next[0]["observe"] in ("pitch", "count")


def test_m6_is_never_a_quarter_inch(index: Index) -> None:
    """M6 6g is at most 5.974 mm (ISO 965): 6.3 mm at about 1 mm pitch is a quarter inch thread."""
    answer = identify({"diameter": {"mm": 6.3}, "pitch": {"mm": 1.0}}, index)
    assert chance(answer, "M6x1") < 0.02


def test_replated_parts_may_stand_over_their_nominal(index: Index) -> None:
    """BA parts made with little allowance and plated again: 2 BA is 4.7 mm nominal (BS 93 in Machinery's Handbook)."""
    answer = identify({"diameter": {"mm": 4.74}, "pitch": {"mm": 0.81}, "condition": "plated"}, index)
    assert chance(answer, "2 BA") > 0.05
    over = identify({"diameter": {"mm": 4.78}, "pitch": {"mm": 0.81}, "flank_angle": {"degrees": 47.5}}, index)
    assert first(over) == "2 BA"
    assert "over-nominal" in codes(over)


# Pitches.


def test_whitworth_and_unc_of_one_pitch_are_told_apart_by_the_angle_only(index: Index) -> None:
    """3/8-16 exists in both, 55° and 60° (BS 84, ASME B1.1): the warning comes whatever the odds."""
    answer = identify({"diameter": {"mm": 9.4}, "pitch": tpi(16)}, index)
    assert names(answer) >= {"3/8-16 UNC", "3/8-16 BSW"}
    assert "angle-55-60" in codes(answer)
    assert max(entry["probability"] for entry in answer.candidates) < 0.95
    steep = identify({"diameter": {"mm": 9.4}, "pitch": tpi(16), "flank_angle": {"degrees": 55}}, index)
    assert chance(steep, "3/8-16 BSW") > 1.5 * chance(answer, "3/8-16 BSW")


def test_half_inch_coarse_is_twelve_or_thirteen(index: Index) -> None:
    """1/2 in: BSW 12, UNC 13 to the inch; at 9/16 both are 12 (Machinery's Handbook)."""
    at_twelve = identify({"diameter": {"mm": 12.6}, "count": _counted(12, 25.4)}, index)
    at_thirteen = identify({"diameter": {"mm": 12.6}, "count": _counted(13, 25.4)}, index)
    assert (first(at_twelve), first(at_thirteen)) == ("1/2-12 BSW", "1/2-13 UNC")
    assert "half-inch-12-13" in codes(at_twelve) & codes(at_thirteen)
    larger = identify({"diameter": {"mm": 14.1}, "count": _counted(12, 25.4)}, index)
    assert names(larger, 0.05) >= {"9/16-12 UNC", "9/16-12 BSW"}


def _counted(threads: int, over_mm: float) -> dict[str, Any]:
    return {"threads": threads, "over_mm": over_mm, "counted": "pitches", "instrument": "digital calipers"}


def test_quarter_inch_fine_exists_with_26_and_28(index: Index) -> None:
    """26 is BSF, Cycle and brass, 28 is UNF (Machinery's Handbook for the first and last)."""
    answer = identify({"diameter": {"mm": 6.27}, "pitch": tpi(26)}, index)
    assert {"1/4-26 BSF", "1/4-26 BSC", "1/4-26 BSB"} <= names(answer)
    assert "quarter-26-28" in codes(answer)
    assert chance(answer, "1/4-28 UNF") > 0.001, "a leaf may mistake 28 for 26"


@pytest.mark.parametrize(
    ("observed", "among"),
    [
        pytest.param(
            {"diameter": {"mm": 5.92}, "pitch": {"mm": 1.0}}, {"0 BA", "M6x1"}, id="0 BA is 6.0 mm by 1.00 mm (BS 93)"
        ),
        pytest.param(
            {"diameter": {"mm": 4.68}, "pitch": {"mm": 0.8}},
            {"2 BA", "No. 10-32 UNF", "3/16-32 BSF"},
            id="2 BA is 4.7 mm by 0.81 mm (BS 93), 32 tpi is 0.794 mm",
        ),
    ],
)
def test_a_pitch_gauge_does_not_tell_ba_from_its_neighbours(
    index: Index, observed: dict[str, Any], among: set[str]
) -> None:
    answer = identify(observed, index)
    assert among <= names(answer)
    assert answer.certainty["words"] != "almost certain"


def test_leaf_gauges_confuse_neighbours(index: Index) -> None:
    """24, 25 and 26 part by 4 %, 26 and 28 by 7, 18 and 19 by 5, 1 mm and 26 by 2: none of them is ruled out."""
    for read, true in ((24, "5/16-22 BSF"), (26, "1/4-28 UNF"), (19, "5/16-18 UNC")):
        mm = 6.28 if true.startswith("1/4") else 7.87
        assert chance(identify({"diameter": {"mm": mm}, "pitch": tpi(read)}, index), true) > 0.001


def test_crests_span_one_pitch_less(index: Index) -> None:
    """Ten crests span nine pitches: 10 crests over 9 x 1.25 mm is 1.25 mm, 10 spaces over it 1.125 mm."""
    count = {"threads": 10, "over_mm": 11.25, "instrument": "digital calipers"}
    diameter = {"mm": 7.87}
    crests = identify({"diameter": diameter, "count": {**count, "counted": "crests"}}, index)
    spaces = identify({"diameter": diameter, "count": {**count, "counted": "pitches"}}, index)
    unsaid = identify({"diameter": diameter, "count": count}, index)
    assert (first(crests), first(spaces)) == ("M8x1.25", "5/16-22 BSF")
    assert names(unsaid, 0.05) >= {"M8x1.25", "5/16-22 BSF"}
    assert "crests-or-spaces" in codes(unsaid)


def test_one_inch_fine_is_twelve_and_the_old_one_fourteen(index: Index) -> None:
    """1-14 is UNS, the old SAE fine, though manuals print '1-14 UNF' (Machinery's Handbook)."""
    answer = identify({"diameter": {"mm": 25.3}, "pitch": tpi(14)}, index)
    assert first(answer) == "1-14 UNS"
    assert "inch-12-14" in codes(answer)


def test_old_metric_pitches_exist(index: Index) -> None:
    """M5x0.9 and M4x0.75 are met on old vehicles (common practice before ISO 261)."""
    assert first(identify({"diameter": {"mm": 4.9}, "pitch": {"mm": 0.9, "method": "known bolt"}}, index)) == "M5x0.9"
    assert first(identify({"diameter": {"mm": 3.9}, "pitch": {"mm": 0.75, "method": "known bolt"}}, index)) == "M4x0.75"


# Hexagons and spanners.


def test_across_flats_shift_the_odds_and_exclude_nothing(index: Index) -> None:
    """M10 occurs with 13, 14, 15, 16 and 17 mm heads (ISO 4014, DIN 931, JIS, flange heads)."""
    seen = {"diameter": {"mm": 9.85}, "pitch": {"mm": 1.5}}
    for flats in (13.0, 14.0, 15.0, 16.0, 17.0, 19.0):
        assert first(identify({**seen, "across_flats": {"mm": flats - 0.1}}, index)) == "M10x1.5", flats


def test_flats_alone_never_name_a_thread(index: Index) -> None:
    """A 1/4 in nut is 7/16 in across flats, midpoint 0.433 in = 11.0 mm: not an '11 mm' anything (ASME B18.2.2)."""
    answer = identify({"kind": "nut", "across_flats": {"mm": 11.0}}, index)
    assert answer.candidates[0]["probability"] < 0.7
    assert "flats-never-fix-a-thread" in codes(answer)


def test_bolt_and_nut_of_one_size_have_their_own_flats(index: Index) -> None:
    """7/16: bolt head 5/8 in, nut 11/16 in across flats (ASME B18.2.1 and B18.2.2 as in Machinery's Handbook)."""
    seen = {"across_flats": {"mm": 25.4 * 11 / 16 - 0.1}}
    as_nut = identify({**seen, "kind": "nut"}, index)
    as_bolt = identify({**seen, "kind": "bolt"}, index)
    assert _share_of_size(as_nut, "7/16-20 UNF") > 2 * _share_of_size(as_bolt, "7/16-20 UNF")


def _share_of_size(answer: Answer, designation: str) -> float:
    return chance(answer, designation) + 1e-6


def test_a_whitworth_spanner_is_marked_with_a_bolt(index: Index) -> None:
    """1/4W opens 0.525 in, the head of a 1/4 in Whitworth bolt of old and of a 5/16 in one since (BS 1083, BS 190)."""
    answer = identify({"spanner": {"jaw_mm": 13.34, "marking": "1/4W"}}, index)
    assert "spanner-names-bolt" in codes(answer)
    assert {name.split("-")[0] for name in names(answer)} >= {"5/16"}


# Marks.


def test_marks_give_no_thread_and_their_claim_is_called_one(index: Index) -> None:
    """Three even radial lines: SAE J429 grade 5, in UNC and UNF of every size."""
    answer = identify({"head_marks": ["radial-lines-3"]}, index)
    assert answer.candidates[0]["probability"] < 0.3
    assert "marks-give-no-thread" in codes(answer)
    assert answer.strength is not None
    assert "SAE 5" in answer.strength["claim"]
    assert "claim" in answer.strength["text"]
    assert set(answer.strength) == {"claim", "certainty", "text"}


def test_a_mark_moves_odds_to_its_own_families(index: Index) -> None:
    """8.8 stands on ISO metric bolts (ISO 898-1)."""
    seen = {"diameter": {"mm": 7.87}}
    plain, marked = identify(seen, index), identify({**seen, "head_marks": ["text-8-8"]}, index)
    assert chance(marked, "M8x1.25") > 2 * chance(plain, "M8x1.25")


def test_a_mark_that_contradicts_the_thread_is_said(index: Index) -> None:
    answer = identify({"diameter": {"mm": 7.9}, "pitch": tpi(24), "head_marks": ["text-8-8"]}, index)
    assert first(answer) == "5/16-24 UNF"
    assert "mark-against-thread" in codes(answer)


def test_a_leading_nought_claims_no_full_strength(index: Index) -> None:
    """`08.8` is not `8.8`: a head of reduced loadability (ISO 898-1)."""
    answer = identify({"head_marks": ["text-08-8"]}, index)
    assert answer.strength is None or answer.strength["claim"] != "8.8"


# The dangerous questions: a confident answer is the wrong one.


@pytest.mark.parametrize(
    "observed",
    [
        {},
        {"head_marks": ["none"]},
        {"head_marks": ["none-visible"], "kind": "bolt", "diameter": {"mm": 7.9}, "pitch": tpi(24)},
        {"diameter": {"mm": 11.9}, "pitch": {"mm": 1.75}, "material": "steel", "finish": "black", "condition": "new"},
    ],
)
def test_no_mark_no_strength(index: Index, observed: dict[str, Any]) -> None:
    """Blank head, how strong? Cannot tell: socket screws are strong and unmarked, most blank heads are soft."""
    answer = identify(observed, index)
    assert answer.strength is None
    assert "cannot tell" in answer.strength_text.lower()
    if "head_marks" in observed:
        assert "no-mark-no-strength" in codes(answer)


def test_a_wheel_nut_that_runs_on_loosely_is_not_to_be_used(index: Index) -> None:
    observed = {"kind": "wheel nut", "trials": [{"with": "1/2-20 UNF", "outcome": "wobbles"}]}
    answer = identify(observed, index)
    assert {"loose-wheel-nut", "loose-fit-proves-nothing", "safety"} <= codes(answer)
    assert answer.certainty["words"] == "cannot tell"


def test_a_brake_pipe_nut_tight_after_six_turns_is_not_pulled_up(index: Index) -> None:
    observed = {"kind": "union", "trials": [{"with": "M10x1", "outcome": "binds", "turns": 6.0}]}
    answer = identify(observed, index)
    assert {"brake-pipe", "safety"} <= codes(answer)
    assert chance(answer, "M10x1") < 0.05
    assert chance(answer, "3/8-24 UNF") > chance(answer, "M10x1")


def test_stainless_on_a_caliper_is_answered_with_the_caution(index: Index) -> None:
    """A2-70: 700 MPa tensile, 450 MPa proof (ISO 3506-1); 8.8 has 600 or more (ISO 898-1)."""
    answer = identify({"material": "stainless", "head_marks": ["text-a2-70"], "diameter": {"mm": 9.85}}, index)
    text = next(warning["text"] for warning in answer.warnings if warning["code"] == "stainless")
    assert "450 MPa" in text
    assert "caliper" in text


def test_a_slot_that_misses_its_pin_depends_on_the_joint(index: Index) -> None:
    answer = identify({"kind": "castellated nut"}, index)
    text = next(warning["text"] for warning in answer.warnings if warning["code"] == "castellated-nut")
    assert "never slacken" in text
    assert "hubs" in text
    assert "never tighten" in text


# Trial fits.


def test_a_trial_tells_look_alikes_apart(index: Index) -> None:
    """3/8-24 in an M10x1 nut binds after about six turns, its own kind runs on (pitches 1.058 and 1 mm)."""
    seen = {"diameter": {"mm": 9.6, "instrument": "rule"}, "pitch": {"mm": 1.03, "tolerance_mm": 0.06}}
    binds = identify({**seen, "trials": [{"with": "M10x1", "outcome": "binds", "turns": 6.0}]}, index)
    runs = identify({**seen, "trials": [{"with": "M10x1", "outcome": "runs on"}]}, index)
    assert first(binds) == "3/8-24 UNF"
    assert first(runs) == "M10x1"


def test_a_loose_fit_proves_nothing(index: Index) -> None:
    """3/8-20 BSF runs on in a full M10x1.25 nut with about 65 % of the height: it wobbles."""
    answer = identify({"diameter": {"mm": 9.4}, "trials": [{"with": "M10x1.25", "outcome": "wobbles"}]}, index)
    assert chance(answer, "3/8-20 BSF") > chance(answer, "M10x1.25")
    assert "loose-fit-proves-nothing" in codes(answer)


def test_known_bolts_try_nuts(index: Index) -> None:
    seen = {"kind": "nut", "minor_diameter": {"mm": 6.75, "tolerance_mm": 0.3}}
    fits = identify({**seen, "trials": [{"with": "M8x1.25", "outcome": "runs on"}]}, index)
    fails = identify({**seen, "trials": [{"with": "M8x1.25", "outcome": "will not start"}]}, index)
    assert chance(fits, "M8x1.25") > 0.5 > chance(fails, "M8x1.25")


# Kinds.


def test_pipe_threads_are_named_by_their_bore(index: Index) -> None:
    """G 1/8 measures 9.728 mm outside (ISO 228-1), nowhere near an eighth of an inch."""
    answer = identify({"kind": "union", "diameter": {"mm": 9.65}, "pitch": tpi(28)}, index)
    assert first(answer) in ("G 1/8", "R 1/8")
    assert "pipe-named-by-bore" in codes(answer)


@pytest.mark.parametrize("observed", [{"kind": "washer"}, {"kind": "wood screw"}, {"has_thread": False}])
def test_parts_without_a_thread_get_none(index: Index, observed: dict[str, Any]) -> None:
    answer = identify({**observed, "diameter": {"mm": 8.0}}, index)
    assert answer.candidates == []
    assert answer.none_of_these == 1.0
    assert answer.next == []


def test_a_nut_has_no_outside_thread(index: Index) -> None:
    """A trade name means the thread: 'a 7/16 nut' is for 7/16 thread. What calipers reach is its bore."""
    told = identify({"kind": "nut", "diameter": {"mm": 6.78}, "pitch": {"mm": 1.25}}, index)
    assert first(told) == "M8x1.25"
    assert "nut-diameter-is-bore" in codes(told)


def test_left_hand_is_printed_and_never_derived(index: Index) -> None:
    answer = identify({"diameter": {"mm": 12.6}, "pitch": tpi(20), "hand": "left"}, index)
    assert first(answer) == "1/2-20 UNF LH"
    assert answer.candidates[0]["slug"] == "1-2-20-unf-lh"
    assert "left-hand" in codes(answer)


def test_a_mark_that_says_left_asks_for_a_look(index: Index) -> None:
    answer = identify({"kind": "stud", "head_marks": ["stud-text-l"]}, index)
    assert "mark-says-left" in codes(answer)
    assert not any(entry["designation"].endswith("LH") for entry in answer.candidates)


def test_studs_have_two_ends(index: Index) -> None:
    assert "stud-ends" in codes(identify({"kind": "stud"}, index))


def test_colour_is_not_strength(index: Index) -> None:
    answer = identify({"finish": "zinc"}, index)
    assert "colour-is-not-grade" in codes(answer)
    assert answer.strength is None


# None of these, and contradictions.


def test_what_fits_nothing_is_called_so(index: Index) -> None:
    """8.9 mm at 1.6 mm pitch is in no table."""
    answer = identify({"diameter": {"mm": 8.9}, "pitch": {"mm": 1.6, "tolerance_mm": 0.03}}, index)
    assert answer.none_of_these > 0.7
    assert answer.certainty["words"] == "cannot tell"
    assert "none-likely" in codes(answer)
    assert answer.candidates, "the nearest are still listed, as unlikely"


def test_the_odd_one_out_is_named(index: Index) -> None:
    observed = {
        "diameter": {"mm": 7.87},
        "pitch": {"mm": 2.0},
        "trials": [{"with": "5/16-24 UNF", "outcome": "runs on"}],
    }
    answer = identify(observed, index)
    assert answer.contradiction is not None
    assert answer.contradiction["odd_one_out"] == "pitch"
    assert "5/16-24 UNF" in answer.contradiction["text"]


def test_two_measures_that_disagree_have_no_odd_one_out(index: Index) -> None:
    answer = identify({"diameter": {"mm": 11.5}, "pitch": tpi(40)}, index)
    assert answer.contradiction is not None
    assert answer.contradiction["odd_one_out"] is None


def test_measures_that_agree_do_not_contradict(index: Index) -> None:
    observed = {"diameter": {"mm": 7.87}, "pitch": tpi(24), "flank_angle": {"degrees": 58}}
    assert identify(observed, index).contradiction is None


# Vehicles.

PART = {
    "vehicle": "demo",
    "title": "Demo",
    "joints": [
        {"id": "demo/a/b", "title": "B", "assembly": "a", "threads": ["5/16-22 BSF"], "count": 6},
        {"id": "demo/c/d", "title": "D", "assembly": "c", "threads": ["M8x1.25", "5/16-22 BSF LH"], "count": 1},
    ],
}


def test_a_vehicle_raises_odds_and_never_rules_out(index: Index) -> None:
    seen = {"diameter": {"mm": 7.85}}
    plain, told = identify(seen, index), identify(seen, index, vehicle=PART)
    assert chance(told, "5/16-22 BSF") > 2 * chance(plain, "5/16-22 BSF")
    assert chance(told, "5/16-24 UNF") > 0.02
    joints = next(entry["joints"] for entry in told.candidates if entry["designation"] == "5/16-22 BSF")
    assert joints == ["demo/a/b"]


def test_an_assembly_counts_more_than_the_rest_of_its_vehicle(index: Index) -> None:
    seen = {"diameter": {"mm": 7.85}}
    whole = identify(seen, index, vehicle=PART)
    of_c = identify({**seen, "assembly": "c"}, index, vehicle=PART)
    assert chance(of_c, "M8x1.25") > chance(whole, "M8x1.25")


# What to observe next.


def test_next_asks_for_what_tells_most(index: Index) -> None:
    answer = identify({"diameter": {"mm": 7.88}}, index)
    bits = [step["bits"] for step in answer.next]
    assert bits == sorted(bits, reverse=True)
    assert answer.next[0]["observe"] in ("pitch", "count")
    assert "24 threads to the inch would mean 5/16-24 UNF" in next(
        step["how"] for step in answer.next if step["observe"] == "pitch"
    )


def test_every_shape_that_can_be_chosen_is_known(index: Index, reference: Reference) -> None:
    """The page offers a picture of each; one that the identification refused would end in an error."""
    assert set(index.data["heads"]) == set(HEADS)
    assert set(index.data["nut_tops"]) == {nut.id for nut in reference.nuts}


def test_a_flange_head_changes_which_hexagon_is_expected(index: Index) -> None:
    """10 mm across flats is M8 under a flange (ISO 4162), M6 without one (ISO 4017)."""
    flanged = identify({"head": "hexagon-flange", "across_flats": {"mm": 9.9}}, index)
    plain = identify({"head": "hexagon", "across_flats": {"mm": 9.9}}, index)
    assert flanged.candidates[0]["designation"] == "M8x1.25"
    assert plain.candidates[0]["designation"] == "M6x1"


@pytest.mark.parametrize("shape", [{"head": "cheese"}, {"head": "hexagon-flange"}, {"nut_top": "nylon-insert"}])
def test_shapes_shift_odds_and_exclude_nothing(index: Index, shape: dict[str, str]) -> None:
    for designation in ("2 BA", "5/16-24 UNF", "1/4-26 BSF", "M8x1.25"):
        thread = index.number[designation]
        measured: dict[str, Any] = {"mm": index.sizes[thread].male_major_to - 0.08}
        key = "diameter"
        if "nut_top" in shape:
            key, measured = "minor_diameter", {"mm": index.sizes[thread].female_minor_from + 0.08}
        pitch = {"mm": index.pitch[thread], "method": "known bolt"}
        answer = identify({key: measured, "pitch": pitch, **shape}, index)
        assert designation in [candidate["designation"] for candidate in answer.candidates], shape


def test_a_drive_that_the_head_has_anyway_is_no_second_evidence(index: Index) -> None:
    head = identify({"diameter": {"mm": 6.2}, "head": "socket-cap"}, index)
    both = identify({"diameter": {"mm": 6.2}, "head": "socket-cap", "drive": "hexagon socket"}, index)
    ours = {entry["designation"]: entry["probability"] for entry in head.candidates}
    assert {entry["designation"]: entry["probability"] for entry in both.candidates} == pytest.approx(ours)


def test_a_slotted_nut_brings_its_caution_whatever_it_is_called(index: Index) -> None:
    answer = identify({"nut_top": "slotted", "minor_diameter": {"mm": 17.0}}, index)
    assert {"castellated-nut", "safety"} <= codes(answer)


def test_misfit_alone_never_makes_it_sure_that_it_is_none(index: Index) -> None:
    """Twelve hundredths out with calipers: a bad reading looks the same."""
    answer = identify({"kind": "bolt", "condition": "plated", "diameter": {"mm": 9.09}, "pitch": tpi(24)}, index)
    assert 0.3 < answer.none_of_these < 0.8


def test_flanks_come_before_the_hexagon_where_only_they_differ(index: Index) -> None:
    """Whoever has leaves is told to lay in both; whoever has none, to look; nothing refused is asked for."""
    observed = {"kind": "bolt", "diameter": {"mm": 9.4}, "pitch": tpi(16)}
    leaves = identify(observed, index).next[0]
    assert leaves["observe"] == "flank_angle"
    assert "leaves of this pitch from each set" in leaves["how"]
    glass = identify({**observed, "has": ["magnifier", "calipers"]}, index).next[0]
    assert (glass["observe"], "magnifier" in glass["how"]) == ("flank_angle", True)
    eyes = identify({**observed, "has": ["calipers"]}, index).next
    assert "crest" in [step["observe"] for step in eyes]
    assert "flank_angle" not in [step["observe"] for step in eyes]


@pytest.mark.parametrize("size", ["1/4-20", "5/16-18", "3/8-16", "7/16-14", "9/16-12", "5/8-11", "3/4-10"])
def test_flanks_come_before_the_hexagon_at_every_size_of_the_pair(index: Index, size: str) -> None:
    """A head may be another maker's, so fewer measures on average are no reason to ask for it first."""
    number = index.number[f"{size} UNC"]
    for worn_mm in (0.0, 0.05, 0.1, 0.15):
        across = round(index.major[number] - worn_mm, 2)
        observed = {"kind": "bolt", "diameter": {"mm": across}, "pitch": tpi(int(index.tpi[number]))}
        asked = [step["observe"] for step in identify(observed, index).next]
        assert asked.index("flank_angle") < asked.index("across_flats")


@pytest.mark.parametrize("refused", ["diameter", "pitch", "flank_angle", "across_flats", "head_marks", "trials"])
def test_next_asks_for_nothing_refused(index: Index, refused: str) -> None:
    answer = identify({"kind": "bolt", "cannot": [refused]}, index)
    assert refused not in [step["observe"] for step in answer.next]


def test_whoever_has_no_calipers_is_asked_for_the_spanner(index: Index) -> None:
    steps = [step["observe"] for step in identify({"kind": "bolt", "cannot": ["diameter"]}, index).next]
    assert "spanner" in steps
    assert "across_flats" not in steps


def test_a_nut_is_expected_to_have_the_hexagon_of_a_nut(index: Index) -> None:
    """A 7/16 bolt head is 5/8 across, its nut 11/16 (ASME B18.2.1, B18.2.2)."""
    steps = identify({"kind": "nut", "minor_diameter": {"mm": 9.9}}, index).next
    how = next(step["how"] for step in steps if step["observe"] == "across_flats")
    assert "17.4" in how


@pytest.mark.parametrize("designation", ["1/4-26 BSC", "1/8-27 NPT"])
def test_where_no_limits_were_read_it_says_so(index: Index, designation: str) -> None:
    """The limits of Cycle (BS 811) and of taper pipe could not be read anywhere."""
    thread = index.number[designation]
    sizes = index.sizes[thread]
    middle = 0.5 * (sizes.male_major_from + sizes.male_major_to)
    pitch = {"mm": index.pitch[thread], "method": "known bolt"}
    assert "limits-stand-in" in codes(identify({"diameter": {"mm": middle}, "pitch": pitch}, index))
    assert "limits-stand-in" not in codes(identify({"diameter": {"mm": 7.9}, "pitch": tpi(24)}, index))


def test_next_keeps_to_the_tools_at_hand(index: Index) -> None:
    answer = identify({"diameter": {"mm": 7.88}, "has": ["rule"]}, index)
    assert {step["observe"] for step in answer.next} <= {"count", "crest", "head_marks"}, "eyes need no tool"


def test_next_has_nothing_to_ask_where_all_is_clear(index: Index) -> None:
    seen = {"diameter": {"mm": 11.85}, "pitch": {"mm": 1.75, "method": "known bolt"}, "across_flats": {"mm": 18.8}}
    answer = identify(seen, index)
    assert first(answer) == "M12x1.75"
    assert all(step["bits"] < 0.2 for step in answer.next)


# Input.


@pytest.mark.parametrize(
    ("observed", "said"),
    [
        ({"diametre": {"mm": 8}}, "'diametre' is no observation"),
        ({"diameter": 8}, "diameter is '8'"),
        ({"diameter": {"mm": "8"}}, "diameter.mm is '8'; expected a number."),
        ({"diameter": {"mm": float("nan")}}, "expected a number"),
        ({"diameter": {"mm": True}}, "expected a number"),
        ({"diameter": {"mm": -1}}, "diameter.mm is -1; expected 0.1 to 1000."),
        ({"diameter": {"mm": 8, "instrument": "laser"}}, "instrument is 'laser'"),
        ({"kind": "boltt"}, "kind is 'boltt'"),
        ({"kind": ["bolt"]}, "kind is"),
        ({"head_marks": "8.8"}, "expected a list"),
        ({"head_marks": ["no-such-mark"]}, "head_marks has 'no-such-mark'"),
        ({"trials": [{"with": "M99", "outcome": "binds"}]}, "trials.with is 'M99'"),
        ({"trials": [{"with": "M8x1.25"}]}, "trials.outcome is missing"),
        ({"has_thread": "yes"}, "expected true or false"),
        ({"condition": "unknown"}, "condition is 'unknown'"),
        ({"flank_angle": {"degrees": 5}}, "flank_angle.degrees is 5"),
        ({"count": {"threads": 10}}, "count.over_mm is 'None'"),
    ],
)
def test_unusable_observations_are_refused_in_one_sentence(index: Index, observed: dict[str, Any], said: str) -> None:
    with pytest.raises(ObservationError) as error:
        identify(observed, index)
    assert said in str(error.value)
    assert str(error.value).endswith(".")


# The index.


def test_the_index_is_small_and_the_same_every_time(reference: Reference) -> None:
    content = build_index(reference)
    assert content == build_index(reference)
    assert len(gzip.compress(content, mtime=0)) < 60_000


def test_the_script_form_holds_the_same_index(reference: Reference) -> None:
    script = build_index_script(reference)
    start, end = b"window.decoderIndex=", b";\n"
    assert script.startswith(start)
    assert script.endswith(end)
    assert json.loads(script[len(start) : -len(end)]) == json.loads(build_index(reference))


def test_an_index_of_another_format_is_refused(index: Index) -> None:
    with pytest.raises(ValueError, match="build it again"):
        Index({**index.data, "format": 0})


def test_every_thread_can_be_found(index: Index, reference: Reference) -> None:
    assert set(index.designation) == {thread.designation for thread in reference.threads}
    assert all(share > 0 for share in index.odds)
    assert sum(index.odds) == pytest.approx(1.0, abs=1e-3)


def test_the_demo_vehicle_has_a_search_part(reference: Reference) -> None:
    fleet = load_fleet(reference.root)
    for vehicle in fleet.vehicles.values():
        part = vehicle_part(vehicle, reference.threads)
        assert part["joints"]
        known = {thread.designation for thread in reference.threads}
        for joint in part["joints"]:
            assert {designation.removesuffix(" LH") for designation in joint["threads"]} <= known


# What to look at next decides something, and says nothing twice.


def how(answer: Answer, observe: str) -> str:
    return next((str(step["how"]) for step in answer.next if step["observe"] == observe), "")


def test_a_brake_union_is_first_taken_for_what_brake_pipes_have(index: Index) -> None:
    """M10x1 is in the table of brake pipes, M10x1.5 is not; the pitch that would tell is asked for."""
    answer = identify({"kind": "union", "diameter": {"mm": 9.7}}, index)
    assert first(answer) == "M10x1"
    assert chance(answer, "M10x1") > 3 * chance(answer, "M10x1.5")
    assert "1 mm would mean M10x1" in how(answer, "pitch")
    assert first(identify({"kind": "union", "diameter": {"mm": 9.4}}, index)) == "3/8-24 UNF"


def test_a_blank_head_is_promised_to_mean_nothing(index: Index) -> None:
    answer = identify({"diameter": {"mm": 9.45}, "pitch": tpi(16), "cannot": ["across_flats", "flank_angle"]}, index)
    asked = how(answer, "head_marks")
    assert asked
    assert "nothing would" not in asked
    assert "or nothing" not in asked


def test_no_trial_is_asked_for_that_cannot_decide(index: Index) -> None:
    """3/8-16 UNC and BSW run on in each other's nuts (one pitch, nearly one diameter)."""
    answer = identify({"diameter": {"mm": 9.45}, "pitch": tpi(16)}, index)
    assert {"3/8-16 UNC", "3/8-16 BSW"} <= names(answer)
    assert not how(answer, "trials")


def test_widths_across_flats_are_told_one_by_one(index: Index) -> None:
    """A band from 3/4 to 7/8 in would hold the 0.820 in of the Cycle thread too."""
    asked = how(identify({"diameter": {"mm": 12.7}, "pitch": tpi(20)}, index), "across_flats")
    assert "0.750 or" in asked
    assert "0.875 in) would mean 1/2-20 UNF" in asked
    assert " to " not in asked


def test_threads_that_agree_are_told_both_ways_round(index: Index) -> None:
    answer = identify({"diameter": {"mm": 6.3}, "pitch": tpi(26)}, index)
    text = next(w["text"] for w in answer.warnings if set(w["designations"]) == {"1/4-26 BSC", "1/4-26 BSF"})
    assert "1/4-26 BSC bolt in 1/4-26 BSF nut will not start" in text
    assert "1/4-26 BSF bolt in 1/4-26 BSC nut runs on" in text


def test_a_wheel_nut_starts_with_bore_seat_and_hand(index: Index) -> None:
    answer = identify({"kind": "wheel nut"}, index)
    assert "bore" in answer.certainty["text"]
    assert "outside" not in answer.certainty["text"]
    assert "wheel-seat" in codes(answer)


def test_a_wood_screw_is_no_part_without_a_thread(index: Index) -> None:
    answer = identify({"kind": "wood screw"}, index)
    assert "gauge number" in answer.certainty["text"]
    assert "no-thread" not in codes(answer)


def test_a_spanner_alone_says_what_to_look_for(index: Index) -> None:
    """13 mm: M8 (ISO 4014, JIS B 1180), M10 with a flange (ISO 4162), and loose on 1/2 in heads (ASME B18.2.1)."""
    answer = identify({"spanner": {"jaw_mm": 13.0, "marking": "13 mm"}}, index)
    assert answer.candidates[0]["designation"] == "M8x1.25"
    said = next(warning["text"] for warning in answer.warnings if warning["code"] == "spanner-alone")
    assert "M8x1.25 first" in said
    assert "flange under the head: with one it can be M10x1.25 or M10x1.5" in said
    assert "smaller head: 5/16-24 UNF or 5/16-18 UNC" in said
    measured = identify({"spanner": {"jaw_mm": 13.0, "marking": "13 mm"}, "diameter": {"mm": 7.9}}, index)
    assert "spanner-alone" not in codes(measured)


@pytest.mark.parametrize("condition", [None, "worn", "rusty"])
def test_fourteen_on_a_worn_ten_millimetre_bolt_is_the_vehicle_pitch(index: Index, condition: str | None) -> None:
    """14 mm on 10 mm is the small hexagon of Japanese vehicles, on M10x1.25; worn crests a little under are no news."""
    answer = identify(
        {"diameter": {"mm": 9.7}, "spanner": {"jaw_mm": 14.0, "marking": "14 mm"}, "condition": condition}, index
    )
    assert answer.candidates[0]["designation"] == "M10x1.25"
    assert not any("outside" in reason for reason in answer.candidates[0]["against"])


@pytest.mark.parametrize(("inch", "per_inch", "meant"), [(0.375, 20, "3/8-20 BSF"), (0.25, 26, "1/4-26 BSF")])
def test_a_size_by_its_name_comes_before_what_it_is_taken_for(
    index: Index, inch: float, per_inch: int, meant: str
) -> None:
    """3/8 with 20 threads is so called; read off a rule it might as well be M10x1.25."""
    size = {"mm": inch * 25.4, "instrument": "name"}
    named = identify({"diameter": size, "pitch": {"mm": 25.4 / per_inch, "threads_per_inch": per_inch}}, index)
    first, second = named.candidates[:2]
    assert (first["designation"], first["words"]) == (meant, "likely")
    assert first["probability"] > 4 * second["probability"]


def test_no_look_alike_is_ruled_out_by_how_seldom_it_is_met(index: Index) -> None:
    """Diameter and pitch leave 7/16-14 UNC and BSW alike: short of nine to one, until flanks are looked at."""
    seen = {"kind": "bolt", "diameter": {"mm": 11.0}, "pitch": tpi(14)}
    first, second = identify(seen, index).candidates[:2]
    assert {first["designation"], second["designation"]} == {"7/16-14 UNC", "7/16-14 BSW"}
    assert first["probability"] < 9 * second["probability"]
    told = identify({**seen, "flank_angle": {"degrees": 60.0}, "crest": "flat"}, index)
    assert told.candidates[0]["designation"] == "7/16-14 UNC"
    assert told.candidates[0]["probability"] > first["probability"]
