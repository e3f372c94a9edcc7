"""A joint's named places: the stack as it is at each, where length, layers, hole or thread differ."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from decoder.records import Bolt, Joint, Layer, Member, Nut, Place, Screw, Stud, Tapped


def named_places(record: Joint) -> Iterator[tuple[str, Place]]:
    """The named places of a joint, none where all its places are alike."""
    if not isinstance(record.places, int):
        yield from record.places.items()


def layers_named(stack: tuple[Member, ...], name: str) -> tuple[int, ...]:
    """Where in a stack the layers are that a name means: by their part, or else by their material.

    >>> from decoder.quantities import parse_length
    >>> cover = Layer(layer="aluminium", thickness=parse_length("9 mm"), part="cover")
    >>> layers_named((cover,), "cover"), layers_named((cover,), "aluminium"), layers_named((cover,), "gasket")
    ((0,), (0,), ())
    """
    layers = [(number, member) for number, member in enumerate(stack) if isinstance(member, Layer)]
    by_part = tuple(number for number, layer in layers if layer.part == name)
    return by_part or tuple(number for number, layer in layers if name in (layer.layer, layer.layer.replace("-", " ")))


def changes_stack(place: Place) -> bool:
    """Whether anything that reaches along the axis is another at this place."""
    return bool(place.length or place.thickness or place.depth)


def stack_at(stack: tuple[Member, ...], place: Place) -> tuple[Member, ...]:
    """The stack as it is at a place; a name that means no layer, or several, changes nothing and is told elsewhere."""
    found = list(stack)
    for name, thickness in place.thickness.items():
        numbers = layers_named(stack, name)
        if len(numbers) == 1:
            layer = found[numbers[0]]
            assert isinstance(layer, Layer)
            found[numbers[0]] = replace(layer, thickness=thickness)
    return tuple(_member_at(member, place) for member in found)


def differences(place: Place) -> str:
    """What of layers, hole and thread is another at a place, in words: 'cover 14 mm thick, thread 30 mm deep'."""
    said = [f"{name} {thickness.written} thick" for name, thickness in place.thickness.items()]
    if place.depth is not None:
        said.append(f"thread {place.depth.written} deep")
    if place.thread is not None:
        said.append(place.thread)
    return ", ".join(said)


def _member_at(member: Member, place: Place) -> Member:
    if isinstance(member, Bolt | Screw | Stud) and place.length is not None:
        member = replace(member, length=place.length)
    if isinstance(member, Bolt | Screw | Nut) and place.thread is not None and (
        not isinstance(member, Nut) or member.thread is not None
    ):  # fmt: skip
        member = replace(member, thread=place.thread)
    if isinstance(member, Tapped):
        member = replace(member, depth=place.depth or member.depth, into=place.into or member.into)
    return member
