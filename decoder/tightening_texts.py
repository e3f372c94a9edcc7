"""Every sentence that goes with a computed torque.

They also lie in the data of the page that works torques out, so that command and page say the same. Words in braces
are filled in.
"""

from __future__ import annotations

from collections.abc import Mapping

TEXTS: Mapping[str, str] = {
    "manual_first": "The workshop manual comes first: where it gives a figure, that figure goes.",
    # Why no torque follows.
    "no_factor": "no document gives a factor for {finish} with {on_it}",
    "pipe_thread": "{thread} is a pipe thread: it seals or wedges, and its bolt strength says nothing about its torque",
    "grade_of_nut": "{grade} is a grade of nut; the torque follows from the bolt's grade",
    "not_in_size": "the tables do not give {grade} in the size of {thread}",
    "no_proof": "cannot tell: no document gives a proof stress for {grade}, and it is not guessed from {has}",
    "has": "its {stresses}",
    "has_uncited": "its {stresses} ({document})",
    "has_yield": "yield stress of {mpa} MPa",
    "has_tensile": "tensile stress of {mpa} MPa",
    "stainless_dry": "stainless is never tightened dry: it galls and seizes; put anti-seize on the "
    "thread and ask again",
    "too_short": "{engaged} of thread in {material} is less than the bolt is thick: that is a thread to repair, with "
    "no torque for it",
    # What holds the force down.
    "held_by_nut": "Force held down to {share} of the nut's proof load, which is under the bolt's.",
    "held_by_soft_metal": "Force taken down by 30 %: the thread is in {material}.",
    "held_by_hole": "Force held down to half of what strips {engaged} of thread in the weakest {material} of the "
    "table.",
    # How it was worked out.
    "working_proof": "Proof load: {area} mm² × {proof_mpa} MPa = {proof_kn} kN.",
    "working_force": "Clamping force: {share} of it, {force_kn} kN.",
    "working_held": "Clamping force: {force_kn} kN, under {share} of it.",
    "working_torque": "Torque: K × d × F = {low} × {major} × {force_kn} kN = {torque_low} N·m, and {high} for the "
    "other end, {torque_high} N·m.",
    # What is assumed.
    "formula": "T = K·d·F with K {low} to {high}: {finish}, {on_it}.",
    "formula_uncited": "T = K·d·F with K {low} to {high}: {finish}, {on_it}; no document was found, the figures are "
    "from memory.",
    "dry": "dry",
    "lubricated": "{lubricant} on thread and face",
    "force": "Clamping force F {share} of the bolt's proof load, as charts take for joints that come apart again.",
    "force_reused": "Clamping force F {share} of the bolt's proof load, the most for a bolt that has been tightened "
    "before.",
    "rigid": "Metal on metal under head and nut, no soft layer, clean sound threads, the nut or head turned.",
    "drag": "No drag of a self-locking nut in it; where there is one, measure it and add it.",
    "drag_of_this_nut": "Drag of a self-locking nut is not in it: measure it while the nut runs on and add it.",
    "strong_nut": "A full nut at least as strong as the bolt.",
    "read_as": "{written} read as {thread}, since {standard} is for it.",
    # What to beware of.
    "low_end": "Start at the low end. By torque alone the same figure gives a force about a third up or down, so the "
    "band is no target to stop in at random.",
    "claim": "The grade is a claim of the mark on the head. A head without a mark has no grade and no such torque.",
    "odd_pair": "{grade} is a grade for Unified inch threads, and {thread} is none: look again at head and thread.",
    "used_again": "Used again: only if the thread is not stretched, rusted or worn; run a new nut along it by hand.",
    "galls": "Stainless on stainless galls and seizes: never dry; tighten slowly.",
    "only_with_this": "Only with this on thread and face. A dry figure used with it overstretches the bolt.",
    "differ_widely": "Documents differ widely on this finish; a drop of oil and the oiled figure is steadier.",
    "weaker_nut": "{nut} carries less than {grade} breaks at: the nut strips before the bolt breaks, and nobody sees "
    "it.",
    "short_thread": "{engaged} of thread in {material} is short: {needed} are wanted {how}.",
    "uncited_strength": "The strength of {grade} is {document}: no document was read for it.",
    # How much thread a hole is asked to hold.
    "needed_by_strength": "so that the bolt breaks before the thread strips, by the form of FED-STD-H28/2B, in the "
    "weakest {material} of the table",
    "needed_by_rule": "{diameters} diameters, as shops ask for in {material}",
}
