"""Named places against the stack they share."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from decoder.checks.cases import JointCase, easily_swapped
from decoder.checks.rules import RECORD_FORMAT, FieldPath, Problem, Rule, one_of, rule
from decoder.places import layers_named, named_places
from decoder.records import Bolt, Captive, Layer, Nut, Screw, Stud, Tapped, Union

_WET = ("water", "oil", "fuel")


@rule("place-without-bolt", "error", source=RECORD_FORMAT)
def place_without_bolt(case: JointCase) -> Iterator[Problem]:
    """A place that gives a length has a bolt, screw or stud in the stack, one that gives a thread a threaded part."""
    needs: tuple[tuple[str, tuple[type[Any], ...], str], ...] = (
        ("length", (Bolt, Screw, Stud), "bolt, screw or stud"),
        ("thread", (Bolt, Screw, Stud, Nut, Captive, Union), "threaded part"),
    )
    for field, kinds, words in needs:
        if case.stack.has(*kinds):
            continue
        for name, place in named_places(case.record):
            value = getattr(place, field)
            if value is not None:
                yield Problem(
                    ("places", name, field),
                    f"'{getattr(value, 'written', value)}', and no {words} in the stack",
                    f"a {words} that it is of",
                    "add the part to the stack, or remove this",
                )


@rule("place-without-layer", "error", source=RECORD_FORMAT)
def place_without_layer(case: JointCase) -> Iterator[Problem]:
    """A thickness or depth at a place is that of one layer, or of a tapped hole, in the stack."""
    layers = [member for _, member in case.stack.each(Layer)]
    named = list(dict.fromkeys(layer.part or layer.layer for layer in layers))
    for name, place in named_places(case.record):
        for layer in place.thickness:
            found = layers_named(case.record.stack, layer)
            if len(found) != 1:
                yield Problem(
                    ("places", name, "thickness", layer),
                    f"'{layer}', which is {f'{len(found)} layers' if found else 'no layer'} of the stack",
                    f"the part or material of one layer: {one_of(named)}" if named else "a layer in the stack",
                    "name the layer as the stack does; give layers alike a 'part:' each",
                )
        if place.depth is not None and not case.stack.has(Tapped):
            yield Problem(
                ("places", name, "depth"),
                f"'{place.depth.written}', and no tapped hole in the stack",
                "a tapped hole that it is the depth of",
                "add 'tapped:' to the stack, or remove this",
            )


@rule("into-without-hole", "error", source=RECORD_FORMAT)
def into_without_hole(case: JointCase) -> Iterator[Problem]:
    """Only a tapped hole can break into water, oil, fuel or air, and a blind one breaks into nothing."""
    holes = [member for _, member in case.stack.each(Tapped)]
    for name, place in named_places(case.record):
        if place.into is not None and not holes:
            yield Problem(
                ("places", name, "into"),
                f"'{place.into}', and no tapped hole in the stack",
                "a tapped hole",
                "add 'tapped:'",
            )
    for stack in case.stacks:
        for path, hole in stack.each(Tapped):
            if hole.into is not None and hole.hole == "blind":
                yield Problem(
                    (*path, "into"), f"'{hole.into}' behind a blind hole", "a through hole", "mend 'hole' or 'into'"
                )


@rule("wet-hole-without-sealant", "warning", source="common practice", acceptable=True)
def wet_hole_without_sealant(case: JointCase) -> Iterator[Problem]:
    """A thread into water, oil or fuel wants sealant, or it weeps along the thread."""
    if case.record.tighten is not None and case.record.tighten.sealant is not None:
        return
    wet: list[tuple[FieldPath, str]] = []
    wet += [(("places", name, "into"), place.into) for name, place in named_places(case.record) if place.into in _WET]
    wet += [
        ((*path, "into"), hole.into)
        for path, hole in case.stack.each(Tapped)
        if hole.into in _WET and hole.hole != "blind"
    ]
    for path, into in wet:
        yield Problem(
            path,
            f"'{into}' and no sealant",
            "a sealant",
            "add 'sealant:' under tighten; if the joint seals another way, say so under accepted",
        )


@rule("mixed-threads", "warning", source="common practice", acceptable=True)
def mixed_threads(case: JointCase) -> Iterator[Problem]:
    """One joint with two threads of nearly one size: the bolts get swapped, and the wrong one strips the hole."""
    main = case.stack.main
    if main is None or main.thread is None:
        return
    for name, place in named_places(case.record):
        other = case.lookup.thread(place.thread)
        if other is None or other.designation == main.thread.designation:
            continue
        if easily_swapped(other, main.thread):
            yield Problem(
                ("places", name, "thread"),
                f"{other.designation} beside {main.thread.designation}",
                "one thread in a joint, or sizes that nobody can swap",
                "check it with a nut of each; if it is so, say why under accepted and mark the bolt in the tub",
            )


RULES: tuple[Rule[Any], ...] = (
    place_without_bolt,
    place_without_layer,
    into_without_hole,
    wet_hole_without_sealant,
    mixed_threads,
)
