"""Every sentence that the identification says to a person.

They lie in the index, so both evaluators say the same. Words in braces are filled in: lengths as text with two places.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

TEXTS: Mapping[str, Any] = {
    "words": {
        "almost_certain": "almost certain",
        "likely": "likely",
        "could_be": "could be",
        "unlikely": "unlikely",
        "cannot_tell": "cannot tell",
    },
    "certainty": {
        "nothing": "Nothing has been measured yet. Start with the outside diameter of the thread.",
        "nothing_bore": (
            "Nothing has been measured yet. Start with the bore, across the crests of its thread, or with a known bolt."
        ),
        "no_thread": "It has no thread, so no thread size can be named for it.",
        "own_thread": (
            "A self-tapping or wood screw cuts its own thread and is named by its gauge number (the shank), its "
            "length, head and drive; the tables hold threads that run in nuts."
        ),
        "sure": "Almost certainly {first}.",
        "likely": "Likely {first}; it could still be {second}.",
        "between": "Could be {first} or {second}: what was observed does not tell them apart.",
        "cannot_tell": "Cannot tell yet: {first}, {second} or another.",
        "none": "Probably none of the threads in the tables, or one of the observations is wrong.",
    },
    "outcomes": {
        "will not start": "will not start",
        "binds": "binds",
        "binds_after": "binds after about {turns} turns",
        "binds_one": "binds after about a turn",
        "runs on": "runs on",
        "wobbles": "runs on and rocks",
    },
    "reasons": {
        "diameter": {
            "for": "{seen} outside: parts with this thread measure {span}",
            "over": "{seen} outside is over the {span} that parts with this thread measure",
            "under": "{seen} outside is under the {span} that parts with this thread measure",
        },
        "minor_diameter": {
            "for": "a bore of {seen}: nuts with this thread have {span}",
            "over": "a bore of {seen} is over the {span} of nuts with this thread",
            "under": "a bore of {seen} is under the {span} of nuts with this thread",
        },
        "pitch": {
            "for": "pitch read as {seen}; this thread has {own}",
            "against": "pitch read as {seen}, but this thread has {own}",
        },
        "count": {
            "for": "{seen} threads over {over} agree with {own}",
            "against": "{seen} threads over {over} do not agree with {own}",
        },
        "trials": {
            "for": "{with} {outcome}, as it would with this thread",
            "against": "{with} {outcome}, which this thread would hardly do",
        },
        "flank_angle": {
            "for": "a flank angle of about {seen}° agrees with {own}°",
            "against": "a flank angle of about {seen}° speaks against {own}°",
        },
        "crest": {
            "for": "crests that look {seen} agree with its profile",
            "against": "crests that look {seen} are less usual on its profile",
        },
        "across_flats": {
            "for": "{seen} across flats is usual with this thread",
            "against": "{seen} across flats is not usual with this thread (a replaced part can have another hexagon)",
        },
        "spanner": {
            "for": "a {seen} spanner is usual with this thread",
            "against": "a {seen} spanner is not usual with this thread (a replaced part can have another hexagon)",
        },
        "head_height": {
            "for": "a height of {seen} is usual with this thread",
            "against": "a height of {seen} is not usual with this thread",
        },
        "length": {
            "for": "{seen} is a length usual for its system of units",
            "against": "{seen} is not a length usual for its system of units",
        },
        "kind": {
            "for": "threads of its kind are usual on a {seen}",
            "against": "threads of its kind are unusual on a {seen}",
        },
        "drive": {
            "for": "usual with this drive: {seen}",
            "against": "unusual with this drive: {seen}",
        },
        "head": {
            "for": "usual with this shape of head: {seen}",
            "against": "unusual with this shape of head: {seen}",
        },
        "nut_top": {
            "for": "usual on nuts of this kind: {seen}",
            "against": "unusual on nuts of this kind: {seen}",
        },
        "material": {
            "for": "usual in {seen}",
            "against": "unusual in {seen}",
        },
        "head_marks": {
            "for": "its head mark ({seen}) is usual on threads of this kind",
            "against": "its head mark ({seen}) is unusual on threads of this kind",
        },
        "nut_marks": {
            "for": "its nut mark ({seen}) is usual on threads of this kind",
            "against": "its nut mark ({seen}) is unusual on threads of this kind",
        },
        "vehicle": {
            "for": "used on this vehicle",
            "against": "not in this vehicle's records",
        },
    },
    "names": {
        "diameter": "outside diameter",
        "minor_diameter": "bore",
        "pitch": "pitch",
        "count": "count of threads",
        "trials": "trial fit",
        "flank_angle": "flank angle",
        "crest": "crest shape",
        "across_flats": "width across flats",
        "spanner": "spanner",
        "head_height": "height of the head or nut",
        "length": "length",
        "kind": "kind of part",
        "head": "shape of the head",
        "nut_top": "kind of nut",
        "drive": "drive",
        "material": "material",
        "head_marks": "head mark",
        "nut_marks": "nut mark",
        "blank": "no mark",
    },
    "contradiction": {
        "odd": (
            "These contradict each other; the odd one out is the {name}. Without it, {first} fits. Look at it again "
            "before trusting either."
        ),
        "any": "These contradict each other, and none can be named as the wrong one: {names}. Observe each again.",
    },
    "strength": {
        "claim": (
            "The mark claims {claims}. A mark is a claim by whoever made the part, not a test: without a maker's mark, "
            "or after heat, rust or replating of unknown care, do not rely on it."
        ),
        "no_claim": "The mark says nothing about strength. Strength: cannot tell.",
        "blank": (
            "A blank head says nothing about strength: it may be soft, and it may be hard. Strength: cannot tell. "
            "Where strength matters, fit a new part of the specified grade."
        ),
        "unseen": ("No mark was given: cannot tell. Neither thread, size, finish nor colour says anything about it."),
        "or": " or ",
        "several": "the mark has several meanings",
    },
    "warnings": {
        "no-thread": "Parts without a thread are told apart by other measures; no thread size is guessed.",
        "nut-diameter-is-bore": (
            "A nut has no outside thread, so the diameter was taken as its bore, across the crests. A trade name ('a "
            "7/16 nut') means the thread, never the hexagon."
        ),
        "angle-55-60": (
            "{first} and {second} have the same pitch and nearly the same diameter; only the flank angle ({angles}) "
            "tells them apart. {pair}. Where one goes on the other they touch on part of the flank only: do not mix "
            "them where it matters."
        ),
        "half-inch-12-13": (
            "At 1/2 in, Whitworth has 12 threads to the inch and Unified coarse 13. The one catches in the other "
            "within the first turn, and a spanner then cuts the thread: count over a full inch first."
        ),
        "inch-12-14": (
            "1-14 is filed under UNS (the old SAE fine), though manuals print '1-14 UNF'; 1 in UNF itself has 12."
        ),
        "lookalike": "Look-alike: {pair}.",
        "ba-metric": (
            "BA and metric look alike, and a pitch gauge cannot tell some of them apart: {pair}. BA has a flank angle "
            "of 47½° and rounded crests, metric 60° and flat."
        ),
        "same-thread-otherwise": (
            "{first} and {second} agree in diameter and pitch; calipers and pitch gauge do not tell them apart, what "
            "it comes from does. {pair}."
        ),
        "quarter-26-28": (
            "1/4 in fine exists with 26 threads to the inch (BSF, Cycle, Brass) and with 28 (UNF). They catch in each "
            "other within the first turn: lay it against a known bolt over its whole length."
        ),
        "pipe-named-by-bore": (
            "Pipe threads are named by the bore of an old pipe, not by what calipers show: 1/8 pipe measures nearly 10 "
            "mm. Taper and parallel ones start in each other; a sealing joint wants the right one."
        ),
        "spanner-names-bolt": (
            "W and BS spanners are marked with the bolt they were made for, not with their opening, and one opening "
            "carries two names. The mark on a spanner is not the size of the thread."
        ),
        "spanner-alone": "A {seen} spanner by itself says {first} first.{more}",
        "flats-never-fix-a-thread": (
            "A hexagon never fixes a thread: several threads come with nearly every width, and parts get replaced. A "
            "spanner that rocks may sit on a head of the other system, as 13 mm on 1/2 in. Measure the outside of the "
            "thread and its pitch."
        ),
        "marks-give-no-thread": "A head mark says nothing about size or pitch, and at most makes a family likelier.",
        "mark-against-thread": (
            "The mark ({mark}) belongs to another family than {first}. Check the pitch again, or take the part as "
            "unknown: a head and a thread that disagree are no proof of anything."
        ),
        "no-mark-no-strength": (
            "No mark: no strength can be named, weak or strong. Socket screws and some studs are strong and bear no "
            "mark; most blank hexagon heads are soft. Do not guess where it holds a brake, a wheel or steering."
        ),
        "colour-is-not-grade": (
            "Finish and colour say nothing about strength: any part can be plated or painted any colour."
        ),
        "loose-fit-proves-nothing": (
            "A nut that runs on loosely proves nothing: a larger thread of another family can run on for its whole "
            "length and strip under load. Measure diameter and pitch."
        ),
        "loose-wheel-nut": (
            "A wheel nut that runs on loosely must not be used: it can strip with the wheel on the road. Use only the "
            "nut that the workshop manual names for that stud, and have it checked."
        ),
        "do-not-force": (
            "It binds: stop there. Turning on cuts one thread with the other. Take it back and measure the pitch."
        ),
        "brake-pipe": (
            "A pipe nut that goes tight after some turns has very likely the wrong thread (inch and metric ones look "
            "alike), or bottoms on the wrong flare. Never pull it up to seal: it can let go under pressure. In brake "
            "and fuel lines only the specified part goes in; ask someone who does this for a living."
        ),
        "stainless": (
            "Stainless is no upgrade: the usual A2-70 begins to stretch at about 450 MPa, less than an 8.8 bolt, it "
            "galls, and it sets off corrosion in aluminium. For brakes (calipers too), steering, suspension, wheels "
            "and belts only the specified part goes in."
        ),
        "wheel-seat": (
            "Look at the seat and at the hand first. The seat (cone, ball or flat) must be the one that the wheel was "
            "made for: with the wrong one the right thread works loose too. Some vehicles have left-hand threads on "
            "one side."
        ),
        "castellated-nut": (
            "When the slot misses the pin hole, what to do depends on the joint. Clamping and ball joints: never "
            "slacken to fit the pin. Taper-roller hubs and other adjusting nuts: never tighten on to reach a slot; "
            "they are seated while turning and backed off for end float as the manual says. Look the joint up; a split "
            "pin is never used twice."
        ),
        "safety": (
            "On a vehicle this part can hold a brake, a wheel, steering or a fuel line. What fits is not enough: the "
            "specified part goes in, by the workshop manual, and someone competent checks the work."
        ),
        "mark-says-left": (
            "Its mark ({mark}) can mean a left-hand thread. Look at the thread: held upright, a left-hand one climbs "
            "to the left. It loosens clockwise."
        ),
        "left-hand": (
            "Left-hand threads are read from the thread or a stamp or notch, never derived from the side of the "
            "vehicle."
        ),
        "over-nominal": (
            "{seen} is over the largest {first} that its standard allows, {high}. Plating on a part made without "
            "allowance, paint or an interference end can do that; do not run a die down it before its origin is known."
        ),
        "stud-ends": (
            "A stud has two ends, often with two threads, and the end that goes in may be oversize on purpose. Measure "
            "each."
        ),
        "crests-or-spaces": (
            "It was not said whether crests or spaces were counted; ten crests span nine pitches. Count again, from "
            "one crest (counted as nought) to the next."
        ),
        "none-likely": (
            "What was observed fits no thread of the tables well. Special threads exist; a wrong reading is commoner. "
            "Measure again before buying or cutting anything."
        ),
        "limits-stand-in": (
            "No standard's limits of size for {first} could be read. The sizes its parts are weighed with are "
            "stand-ins by usual practice, so how likely it is here is a rougher guess than for other threads."
        ),
        "taper": (
            "It may be a taper thread, which measures differently along its length: measure at the large end and the "
            "small end."
        ),
    },
    "spanner": {
        "flange": " Look for a flange under the head: with one it can be {threads}.",
        "loose": " If the spanner rocks, it may sit on a smaller head: {threads}.",
    },
    "pair": {
        "one": "{bolt} bolt in {nut} nut {happens}",
        "join": "; ",
        "first_turn": "binds within the first turn",
        "one_turn": "binds after about one turn",
        "turns": "starts, then binds after about {turns} turns",
        "runs_on": "runs on and cannot be told by feel",
        "slack": (
            "runs on slackly with at best {share} % of the thread height, wobbles half-way, and strips or works loose"
        ),
        "will not start": "will not start",
        "drops through": "drops through",
        "unknown": "They may screw together by feel",
    },
    "next": {
        "diameter": (
            "Measure the outside of the thread with calipers, on clean crests, at three places, and keep the largest: "
            "{expect}."
        ),
        "minor_diameter": "Measure the bore of the nut across the crests with the inside jaws: {expect}.",
        "pitch": "Lay the leaves of a thread gauge in the thread, against the light: {expect}.",
        "count": (
            "Count the threads over a length: put one crest on nought of a rule and count the next ones as 1, 2, 3 "
            "over about {over}: {expect}."
        ),
        "trials": "Try on a nut known to be {with}, with fingers only, and count the turns: {expect}.",
        "trials_bolt": "Try in a bolt known to be {with}, with fingers only, and count the turns: {expect}.",
        "diameter_again": (
            "Measure the outside of the thread once more, now with calipers, on clean crests: {expect}."
        ),
        "flank_angle": (
            "Look at the flanks from the side, through a magnifier: lay in a leaf of known angle, or a point ground to "
            "it, and see which shows no light: {expect}."
        ),
        "flank_angle_leaf": (
            "Lay the leaves of this pitch from each set in the thread, against the light: the one that shows no light "
            "along the flanks has the angle, and the crests are flat or rounded: {expect}."
        ),
        "profile": (
            "Look at the thread from the side, through a magnifier: the angle between the flanks, and whether the "
            "crests are flat or rounded: {expect}."
        ),
        "crest": "Look at the crests against the light, where they are least worn: {expect}.",
        "spanner": "Try which spanner sits snugly, and read its name; a hint only: {expect}.",
        "across_flats": (
            "Measure across the flats with calipers; a hint only, heads of every listed width are met and parts get "
            "replaced: {expect}."
        ),
        "head_marks": (
            "Wipe the head and look for marks; a mark makes a family likelier, a blank head tells nothing: {expect}."
        ),
        "expect_one": "{value} would mean {name}",
        "expect_join": ", ",
        "or": " or ",
        "over": "12.7 mm (1/2 in)",
        "count_value": "{count} over {over}",
        "crests": {"flat": "flat crests", "rounded": "rounded crests"},
        "both": "{angle} and {crest}",
        "mark_values": {
            "metric": "a number such as 8.8",
            "unified": "radial lines",
            "british": "a letter such as R",
            # Nothing on a head tells nothing: it is usual on all of them.
            "association": "",
            "cycle": "",
            "brass": "",
            "pipe": "",
            "other": "",
        },
    },
    "units": {
        "length": "{mm} mm ({inch} in)",
        "span": "{low} to {high} mm ({low_in} to {high_in} in)",
        "widths": "{mm} mm ({inch} in)",
        "tpi": "{tpi} threads to the inch",
        "tpi_mm": "{tpi} tpi ({mm} mm)",
        "mm_tpi": "{mm} mm ({tpi} tpi)",
        "mm": "{mm} mm",
        "degrees": "{degrees}°",
    },
}
