"""Every assumption of the identification with its ground; nothing else in it holds a number of its own.

`MODEL` goes into the index as it stands, so Python and JavaScript read the same one. Lengths are millimetres. Where no
document is named the ground is common practice or a judgment, said so beside the value; the benchmark shows what a
wrong one costs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from decoder.threads import Thread

#: Standard error of one reading, mm. A tool's own error is smaller (0.02 mm for calipers): on a bolt the
#: jaws tilt, bridge a damaged crest or meet dirt. Judgment, from what repeated readings of used bolts scatter.
INSTRUMENTS = {
    "digital calipers": 0.035,
    "vernier calipers": 0.055,
    "micrometer": 0.014,
    "rule": 0.4,
    # A size by its name, 3/8 with 20 threads to the inch: a real part is a tenth or two off it.
    "name": 0.1,
    "eye": 1.0,
}

#: What a condition makes of the outside diameter: a mixture of [share, shift in mm, spread in mm] on top of how the
#: part was made. Zinc and cadmium add 5–12 µm a side; crest wear and rust take some hundredths, seldom tenths, with a
#: long tail; paint adds one or two tenths; parts plated twice or without allowance stand well over. Judgment, but for
#: the plating.
CONDITIONS: Mapping[str, Sequence[Sequence[float]]] = {
    "unknown": [[0.34, 0.0, 0.01], [0.27, 0.017, 0.006], [0.26, -0.035, 0.03], [0.06, -0.14, 0.07], [0.07, 0.1, 0.06]],
    "new": [[0.97, 0.0, 0.005], [0.03, -0.02, 0.03]],
    "plated": [[0.9, 0.017, 0.006], [0.1, 0.03, 0.04]],
    "worn": [[0.56, -0.02, 0.018], [0.34, -0.075, 0.04], [0.1, -0.19, 0.09]],
    "rusty": [[0.55, -0.01, 0.028], [0.34, -0.075, 0.045], [0.11, -0.2, 0.1]],
    "painted": [[0.6, 0.07, 0.03], [0.32, 0.14, 0.05], [0.08, 0.27, 0.1]],
}

#: What a finish says about the condition where nobody named one.
FINISHES = {
    "plain": None,
    "zinc": "plated",
    "cadmium": "plated",
    "chromium": "plated",
    "nickel": "plated",
    "black": None,
    "phosphate": None,
    "painted": "painted",
    "unknown": None,
}

#: Groups of families that share makers, marks and hexagons.
GROUPS = ("unified", "metric", "british", "association", "cycle", "brass", "pipe", "other")

#: A family that is not named here is of the group `other`, and rare: a new table needs no change here to be found.
FAMILY_GROUP = {
    "UNC": "unified",
    "UNF": "unified",
    "UNEF": "unified",
    "UN": "unified",
    "UNS": "unified",
    "M": "metric",
    "BSW": "british",
    "BSF": "british",
    "BA": "association",
    "BSC": "cycle",
    "BSB": "brass",
    "G": "pipe",
    "R": "pipe",
    "NPT": "pipe",
    "NPTF": "pipe",
}

#: Share of the threaded parts of an old vehicle of unknown make, repaired more than once. Judgment.
FAMILY_SHARE = {
    "UNC": 0.2,
    "UNF": 0.24,
    "UNEF": 0.012,
    "UN": 0.008,
    "UNS": 0.008,
    "M": 0.25,
    "BSW": 0.07,
    "BSF": 0.1,
    "BA": 0.05,
    "BSC": 0.012,
    "BSB": 0.008,
    "G": 0.02,
    "R": 0.005,
    "NPT": 0.012,
    "NPTF": 0.005,
}

OTHER_SHARE = 0.005


def group_of(family: str) -> str:
    """The group of a family, also of one that was added to the tables alone."""
    return FAMILY_GROUP.get(family, "other")


#: What a kind of part is made with: share of the kind in each group, relative to all parts; 1 where not named.
#: Judgment.
_ANY: dict[str, float] = {"pipe": 0.15, "brass": 0.4}
_PIPE: dict[str, float] = {
    "pipe": 12.0,
    "brass": 4.0,
    "unified": 0.8,
    "metric": 1.0,
    "british": 0.5,
    "association": 0.05,
    "cycle": 0.2,
}

#: Brake pipes, which most unions of a vehicle are for, have no pipe threads; fuel, oil and gauge pipes have.
_UNION: dict[str, float] = {**_PIPE, "pipe": 6.0}

#: kind: side of the thread that is in the hand, part of the hexagon tables, has it a thread of the tables, odds by
#: group.
KINDS: Mapping[str, Mapping[str, Any]] = {
    "bolt": {"member": "external", "part": "bolt", "threaded": True, "odds": _ANY},
    "screw": {"member": "external", "part": "bolt", "threaded": True, "odds": {**_ANY, "association": 2.0}},
    "stud": {"member": "external", "part": None, "threaded": True, "odds": {**_ANY, "association": 0.5}},
    "wheel bolt": {"member": "external", "part": "bolt", "threaded": True, "odds": {**_ANY, "association": 0.02}},
    "banjo bolt": {"member": "external", "part": "bolt", "threaded": True, "odds": {"pipe": 3.0, "association": 0.2}},
    "nut": {"member": "internal", "part": "nut", "threaded": True, "odds": _ANY},
    "castellated nut": {"member": "internal", "part": "nut", "threaded": True, "odds": _ANY},
    "wheel nut": {"member": "internal", "part": "nut", "threaded": True, "odds": {**_ANY, "association": 0.02}},
    "tapped hole": {"member": "internal", "part": None, "threaded": True, "odds": {"pipe": 0.5}},
    "union": {"member": "external", "part": "union nut", "threaded": True, "odds": _UNION},
    "plug": {"member": "external", "part": "plug", "threaded": True, "odds": _PIPE},
    "bleed screw": {"member": "external", "part": "bleed screw", "threaded": True, "odds": {"pipe": 1.0}},
    "grease nipple": {"member": "external", "part": None, "threaded": True, "odds": _PIPE},
    "spark plug": {"member": "external", "part": "spark plug", "threaded": True, "odds": {"metric": 20.0, "pipe": 1.0}},
    "self-tapping screw": {"member": None, "part": None, "threaded": False, "odds": {}},
    "wood screw": {"member": None, "part": None, "threaded": False, "odds": {}},
    "washer": {"member": None, "part": None, "threaded": False, "odds": {}},
    "pin": {"member": None, "part": None, "threaded": False, "odds": {}},
    "circlip": {"member": None, "part": None, "threaded": False, "odds": {}},
    "rivet": {"member": None, "part": None, "threaded": False, "odds": {}},
}

#: The use in the table of uses (`site_data/reference/threads_uses.csv`) whose threads a kind of part mostly has.
KIND_USES = {
    "union": "brake pipe",
    "bleed screw": "bleed screw",
    "grease nipple": "grease nipple",
    "spark plug": "spark plug",
    "wheel bolt": "wheel stud",
    "wheel nut": "wheel stud",
}

#: Which groups a drive is met on, relative; 1 where not named. Judgment.
DRIVES: Mapping[str, Mapping[str, float]] = {
    "hexagon": {"association": 0.8},
    "slot": {"association": 1.6, "metric": 0.7},
    "cross": {"british": 0.3, "association": 0.4, "cycle": 0.3, "brass": 0.2},
    "hexagon socket": {"british": 0.7, "association": 0.5, "cycle": 0.3, "brass": 0.2, "pipe": 0.6},
    "square": {"metric": 0.4},
    "six-lobe": {"unified": 0.4, "british": 0.05, "association": 0.05, "cycle": 0.05, "brass": 0.05, "pipe": 0.2},
    "twelve-point": {},
    "hand": {},
    "none": {},
}

#: Shapes of heads: which products of the hexagon tables have it (none named: any), the drive that comes with it, and
#: which groups it is met on, relative; 1 where not named. Judgment.
HEADS: Mapping[str, Mapping[str, Any]] = {
    "hexagon": {
        "products": (
            "hexagon bolt",
            "hexagon cap screw",
            "hexagon screw threaded to the head",
            "heavy hexagon bolt",
            "small hexagon bolt",
        ),
        "drive": "hexagon",
        "odds": DRIVES["hexagon"],
    },
    "hexagon-flange": {
        "products": (
            "hexagon flange bolt",
            "hexagon flange screw",
            "large hexagon flange bolt",
            "small hexagon flange bolt",
        ),
        "drive": "hexagon",
        "odds": {"british": 0.1, "association": 0.02, "cycle": 0.1, "brass": 0.05, "pipe": 0.3},
    },
    "square": {"products": ("square bolt",), "drive": "square", "odds": {**DRIVES["square"], "association": 0.1}},
    "cheese": {"odds": {"unified": 0.5, "association": 1.8}},
    "pan": {"odds": {"british": 0.4, "association": 0.5, "cycle": 0.4}},
    "round": {"odds": {"association": 1.4, "metric": 0.4}},
    "countersunk": {"odds": {"association": 1.3}},
    "raised-countersunk": {"odds": {"association": 1.3}},
    "mushroom": {"odds": {"association": 1.2}},
    "socket-cap": {"drive": "hexagon socket", "odds": DRIVES["hexagon socket"]},
    "socket-button": {"drive": "hexagon socket", "odds": {**DRIVES["hexagon socket"], "british": 0.4}},
    "socket-countersunk": {"drive": "hexagon socket", "odds": DRIVES["hexagon socket"]},
    "round-square-neck": {"odds": {"association": 0.1, "pipe": 0.1}},
    "twelve-point": {"odds": {"british": 0.1, "association": 0.02, "cycle": 0.1, "brass": 0.1, "pipe": 0.2}},
    "thumb": {"odds": {}},
    "grub": {"odds": {}},
}

_CASTELLATED = ("castle nut", "slotted hexagon nut", "slotted high hexagon nut", "thick slotted hexagon nut")
_FLANGED = {"british": 0.1, "association": 0.02, "cycle": 0.3, "brass": 0.1}
_ALL_METAL = {"british": 0.6, "association": 0.1, "cycle": 0.3, "brass": 0.1}

#: Kinds of nut, known by their tops, in the same way; a kind that is not named says nothing. Judgment.
NUT_TOPS: Mapping[str, Mapping[str, Any]] = {
    "plain": {
        "products": (
            "hexagon nut",
            "heavy hexagon nut",
            "small hexagon nut",
            "thick hexagon nut",
            "high hexagon nut",
            "machine-screw nut",
        ),
        "odds": {},
    },
    "thin": {
        "products": ("hexagon jam nut", "thin hexagon nut", "unchamfered thin nut", "hexagon lock nut"),
        "odds": {},
    },
    "castellated": {"products": _CASTELLATED, "odds": {"association": 0.1, "brass": 0.2}},
    "slotted": {"products": _CASTELLATED, "odds": {"association": 0.1, "brass": 0.2}},
    "slotted-collar": {"odds": {"association": 0.05}},
    "nylon-insert": {
        "products": ("prevailing-torque nut with insert",),
        "odds": {"british": 0.5, "association": 0.4, "cycle": 0.2, "brass": 0.1},
    },
    "fibre-insert": {"products": ("prevailing-torque nut with insert",), "odds": {"metric": 0.6, "cycle": 0.3}},
    "all-metal-top": {"odds": _ALL_METAL},
    "all-metal-centre": {"odds": _ALL_METAL},
    "flange": {"products": ("hexagon flange nut",), "odds": _FLANGED},
    "serrated-flange": {"products": ("hexagon flange nut",), "odds": _FLANGED},
    "dome": {"products": ("cap nut",), "odds": {"cycle": 2.0}},
    "square": {"products": ("square nut", "square machine-screw nut"), "odds": {"metric": 0.5}},
    "exhaust-brass": {"odds": {"association": 0.1}},
    "exhaust-copper-plated": {"odds": {"unified": 0.3, "british": 0.1, "association": 0.02, "cycle": 0.1}},
    "cage": {"odds": {"british": 0.2, "association": 0.1, "cycle": 0.1}},
    "spring-steel-clip": {"odds": {"british": 0.3, "cycle": 0.2}},
    "staked": {"odds": {"british": 0.5, "association": 0.05}},
    "wheel-ball": {"products": ("wheel nut", "wheel nut or bolt"), "odds": {"association": 0.02}},
    "wheel-flat": {"products": ("wheel nut", "wheel nut or bolt"), "odds": {"association": 0.02}},
    "wheel-taper": {"products": ("wheel nut", "wheel nut or bolt"), "odds": {"association": 0.02}},
}

MATERIALS: Mapping[str, Mapping[str, float]] = {
    "steel": {"brass": 0.5},
    "stainless": {"metric": 1.6, "british": 0.7, "association": 0.7, "brass": 0.5},
    "brass": {"brass": 6.0, "association": 3.0, "pipe": 3.0, "unified": 0.7},
    "bronze": {"brass": 3.0, "pipe": 2.0},
    "copper": {},
    "aluminium": {"british": 0.6, "association": 0.7},
    "titanium": {"metric": 1.5, "british": 0.3},
    "plastic": {"metric": 1.5, "british": 0.3},
    "cast iron": {},
    "unknown": {},
}

#: How much a mark of a standard says about the group: parts carrying it in groups the standard does not cover, relative
#: to those it does. A replaced bolt, an import and a mark misread keep it above nothing. Judgment.
MARK_STRAY = 0.03
#: The same where one of the mark's meanings names no family.
MARK_STRAY_OPEN = 0.4
#: A blank head, by group: property-class marks are asked from M5 up, British and plain American bolts were seldom
#: marked.
BLANK_ODDS = {
    "metric": 0.45,
    "unified": 0.7,
    "british": 1.0,
    "association": 1.0,
    "cycle": 1.0,
    "brass": 1.0,
    "pipe": 1.0,
}

#: Grades whose bolts bear no mark, so that their name leads to a blank head: the record of that 'mark' says where that
#: was read (`site_data/marks/none-visible.yml`).
UNMARKED_GRADES = ("SAE 1", "SAE 2")

TOOLS = ("calipers", "rule", "leaf gauge", "known nuts", "spanners", "magnifier")

#: Pitches in mm that sets of leaf gauges hold, beside 1/threads-per-inch. Common practice.
LEAVES_METRIC = (
    0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 0.9, 1.0, 1.1, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 3.0, 3.5, 4.0,
    4.5, 5.0, 5.5, 6.0,
)  # fmt: skip
LEAVES_TPI = (
    4, 4.5, 5, 6, 7, 8, 9, 10, 11, 11.5, 12, 13, 14, 16, 18, 19, 20, 22, 24, 25, 26, 27, 28, 30, 32, 36, 40, 42, 44, 48,
    56, 64, 72, 80,
)  # fmt: skip

MODEL: Mapping[str, Any] = {
    # How large a person's errors are beside the usual ones, as [share, scale]: tools wear, hands and eyes differ, light
    # is bad, and all measures of one part suffer alike. One in five has errors nearly three times as large.
    "error_scales": [[0.8, 1.0], [0.2, 2.8]],
    # Two look-alikes that the readings leave alike are told apart by how often they are met alone, which is a judgment:
    # below nine to one then, whatever the tables of odds say; readings that make one so many times likelier count.
    "rival_odds": 8.8,
    "rival_told_from": 6.0,
    # Share of single readings whose error is `rough_factor` times that: dirt, a slipped jaw, cold hands.
    "rough_share": 0.04,
    "rough_factor": 3.0,
    # Share of outright wrong readings (a digit, a unit, another bolt); spread evenly over the logarithm of size.
    "gross_share": 0.0005,
    "smallest_mm": 1.0,
    "largest_mm": 100.0,
    # A ± given by hand is read as two standard errors.
    "tolerance_sigmas": 2.0,
    "least_error_mm": 0.005,
    "least_pitch_error": 0.002,
    "least_angle_deg": 0.5,
    # Threads in no table, and parts worn or cut beyond telling: their share; the logarithm of their diameter around
    # `none_size_mm`; the logarithm of pitch over diameter (mean and spread taken from the tables: from 0.06 for extra
    # fine to 0.2 for small coarse threads).
    "none_share": 0.02,
    # Share of the parts of a kind that have one of the threads listed for its use, each as often as another. Judgment.
    "use_share": 0.6,
    "none_size_spread": 0.8,
    "none_pitch_ratio": -2.1,
    "none_pitch_spread": 0.45,
    # From which misfit of the best thread on (half the square of standard errors), how sharply, and by how much at
    # most in the logarithm 'none of these' gains; and up to which logarithm of odds: a bad reading looks like a part
    # that fits nothing, so that misfit alone makes it three to one at most.
    "misfit_from": 2.9,
    "misfit_width": 0.5,
    "misfit_weight": 4.9,
    "misfit_most": 1.2,
    # Where no diameter was measured: the middle of the sizes met, and how wide the logarithms of pitch and flats
    # spread.
    "none_size_mm": 8.0,
    "none_alone_spread": 0.7,
    # How a part of unknown thread takes a known one: shares of the outcomes, and up to how many turns it may bind.
    "none_trial": {"will not start": 0.3, "binds": 0.35, "runs on": 0.2, "wobbles": 0.15},
    "none_trial_turns": 20.0,
    # The bore of a nut of an unknown thread, over its nominal diameter.
    "none_bore_ratio": 0.86,
    # A leaf that fits: standard error of pitch read, as a share, beside the scale of errors; the rough share is wider
    # (short, worn or dirty threads).
    "leaf_error": 0.015,
    # A leaf within so many of these errors counts as near.
    "leaf_near": 1.5,
    "leaf_rough_share": 0.06,
    "leaf_rough_error": 0.045,
    "leaf_gross_share": 0.0005,
    # Two threads laid crest to crest show half a tenth of a millimetre on ten.
    "compare_error": 0.007,
    # Counting over a length: error of setting a scale against crests, mm, and share of miscounts by one.
    "count_rule_mm": 0.35,
    "count_calipers_mm": 0.2,
    "count_miscounted": 0.05,
    # Share of people who count crests when nobody asked, the others counting spaces.
    "count_crests_share": 0.6,
    # Flank angle by eye against a gauge or a sharpened template, and the share of guesses.
    "angle_error_deg": 3.0,
    "angle_guess_share": 0.15,
    # Crests seen rounded: on threads whose standard rounds them, and on flat ones after rolling, wear and plating.
    "rounded_seen_rounded": 0.8,
    "flat_seen_rounded": 0.35,
    # Share of parts whose hexagon is that of a table row for their thread; the rest are replacements and specials, with
    # flats around 1.55 times the diameter.
    "hexagon_listed": 0.75,
    # Share that may be of any width or height whatever.
    "hexagon_anything": 0.03,
    "hexagon_ratio": 0.438,
    "hexagon_spread": 0.16,
    "hexagon_worn_mm": 0.05,
    "height_listed": 0.6,
    "height_ratio": -0.42,
    "nut_height_ratio": -0.15,
    "height_spread": 0.25,
    # A spanner that fits: flats are under its marked width by this much, give or take.
    "spanner_play_mm": 0.12,
    "spanner_error_mm": 0.14,
    # Lengths come in steps; how sharply, and what share of parts keeps to them.
    "length_step_mm": {"metric": 5.0, "inch": 3.175},
    "length_error_mm": 0.35,
    "length_keeps_step": 0.5,
    # How a size is spread between its limits, over their distance: makers aim at the middle, some drift to one side.
    "made_spread": 0.22,
    # Bores of nuts, as the conditions above: drilled for tapping, and now and then larger than the limits ask.
    "bore": [[0.88, 0.0, 0.01], [0.12, 0.05, 0.06]],
    # Trial fit by fingers: what crests give way to start, mm, and its spread; turns that have taken hold then; how
    # much deeper than basic the roots of nuts are cut, over the pitch; how differently people count the turns to
    # binding (spread of the logarithm); height of a usual nut over its diameter; the play over the pitch from which a
    # nut is felt to rock; share of outcomes misjudged.
    "fit_start_mm": 0.02,
    "fit_start_spread_mm": 0.03,
    "fit_start_turns": 0.5,
    "fit_root_clearance": 0.03,
    "fit_turn_spread": 0.4,
    "fit_nut_height": 0.85,
    "fit_rocks_from": 0.3,
    "fit_rocks_spread": 0.05,
    "fit_mistaken": 0.03,
    # A vehicle's own list: how far it is trusted against the general odds (parts get swapped, and the wrong vehicle
    # named), and the assembly's part of it.
    "vehicle_weight": 0.2,
    "assembly_weight": 0.5,
    # A group at or below these odds is one the mark does not belong to.
    "mark_stray": MARK_STRAY,
    # Words for probability.
    "almost_certain": 0.95,
    "likely": 0.7,
    "could_be": 0.1,
    "cannot_tell": 0.4,
    # Logarithm of odds from which a reason is worth naming; 0.7 is two to one.
    "reason_from": 0.7,
    # Observations that are about the thread or hexagon itself; without any of them nothing has been measured.
    "measured": [
        "diameter",
        "minor_diameter",
        "pitch",
        "count",
        "trials",
        "flank_angle",
        "across_flats",
        "spanner",
        "head_height",
    ],
    # Observations firm enough to contradict one another; how badly the best thread must fit them together (e to the
    # power of), and how well without the odd one.
    "firm": ["diameter", "minor_diameter", "pitch", "count", "trials", "flank_angle"],
    "contradiction_from": 7.0,
    "contradiction_mended": 4.0,
    # Two threads that calipers and a pitch gauge cannot tell apart: how near in pitch and diameter, as shares.
    "same_pitch_share": 0.006,
    "same_major_share": 0.02,
    # Look-alikes: warned of for threads at least this probable; how many; met this often at least, relative to the
    # thread in hand; how nearness in diameter and danger weigh; from which share of the thread height a pair holds.
    "warn_from": 0.05,
    "pairs_from": 0.2,
    "pairs_most": 3,
    "pair_odds_from": 0.02,
    "pair_near_mm": 0.5,
    # Beyond this difference in diameter, in mm and as a share, nobody with calipers takes one for the other.
    "pair_far_mm": 0.75,
    "pair_far_share": 0.06,
    "pair_medium_weight": 0.5,
    "pair_holds_from": 80,
    # A spanner by itself: how near to its jaw the width of a head is that it is made for, mm, and how much smaller a
    # head may be on which it rocks but turns.
    "spanner_own_mm": 0.02,
    "spanner_loose_mm": [0.15, 0.5],
    # What is weighed when choosing the next observation: threads, outcomes, and an observation not worth asking for.
    "next_threads": 10,
    "next_share_from": 0.002,
    "next_bits_from": 0.02,
    "next_most": 6,
    "next_trial_nuts": 3,
    # Widths across flats that are nearer to each other are told as one.
    "next_widths_apart_mm": 0.15,
    # A hexagon tells which part somebody fitted, not which thread was cut: before it is asked for, it counts as one of
    # the tables this often only.
    "next_hexagon_listed": 0.4,
    "next_over_mm": 12.7,
    "next_bins": 48,
    # A diameter read more coarsely than this is worth reading again.
    "next_fine_mm": 0.06,
    # What a head is likely to show, by group: a number, lines, letters or another sign, nothing.
    "next_marks": {
        "metric": [0.5, 0.03, 0.07, 0.4],
        "unified": [0.03, 0.4, 0.12, 0.45],
        "british": [0.02, 0.03, 0.3, 0.65],
        "association": [0.01, 0.01, 0.03, 0.95],
        "cycle": [0.01, 0.01, 0.08, 0.9],
        "brass": [0.01, 0.01, 0.03, 0.95],
        "pipe": [0.01, 0.01, 0.03, 0.95],
        "other": [0.05, 0.05, 0.1, 0.8],
        "none": [0.15, 0.1, 0.15, 0.6],
    },
    # Turns that a person tells apart when a nut binds.
    "next_turns": [1.5, 3.0, 5.0, 9.0],
    # What is listed.
    "listed_from": 0.0005,
    "listed_most": 20,
}


def thread_odds(thread: Thread) -> float:
    """How often a thread is met on old vehicles, relative to others of its family; judgment.

    Sizes around 5/16 in are commonest. Second and third choices of a standard, and pitches outside its usual series,
    are rare.
    """
    return _MET.get(thread.designation, _SERIES_ODDS.get(thread.series, 1.0)) * _size_odds(thread)


_SERIES_ODDS = {"constant pitch": 0.05, "special": 0.1, "pre-ISO": 0.04, "fine": 0.4, "extra fine": 1.0}
#: Fine metric pitches that vehicles have much more often, or much less, than shops that sell bolts; judgment.
_MET = {"M8x1": 0.15, "M10x1.25": 1.0, "M12x1.25": 0.7, "M12x1.5": 0.7}

#: The thread that the small hexagons of Japanese vehicles come on; common practice. A row counts so many times there:
#: 14 mm on a 10 mm bolt says M10x1.25 in the trade, though the standard gives the width for every pitch.
SMALL_SERIES = {"M10x1.25": 4, "M12x1.25": 4}
SMALL_SERIES_STANDARDS = ("JIS B 1180", "JIS B 1181")

_METRIC_SECOND = {3.5, 14.0, 18.0, 22.0, 27.0, 33.0}
_METRIC_FIRST = {1.0, 1.2, 1.6, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 24.0, 30.0, 36.0}


def _size_odds(thread: Thread) -> float:
    if thread.family == "M":
        if thread.major_mm in _METRIC_FIRST:
            return 1.0
        return 0.4 if thread.major_mm in _METRIC_SECOND else 0.08
    if thread.family == "BA":
        return 1.0 if int(thread.size) % 2 == 0 else 0.35
    if thread.size.startswith("No. "):
        return 1.0 if thread.size in ("No. 2", "No. 4", "No. 6", "No. 8", "No. 10") else 0.15
    if thread.size.endswith("/16") and thread.major_mm > 15:
        return 0.1
    return 0.05 if thread.size.endswith("/32") else 1.0


#: No thread of the tables is rarer than this: one that fits what was measured must not lose to 'none of these'.
RAREST = 0.00015

#: Middle and spread of the logarithm of the diameters met, mm; judgment.
SIZE_MIDDLE_MM = 8.0
SIZE_SPREAD = 0.6
