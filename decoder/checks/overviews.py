"""Whether an overview can be drawn, shows every joint, and can be read."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import combinations
from typing import Any

from decoder.build import did_you_mean
from decoder.checks.cases import AssemblyCase, VehicleCase
from decoder.checks.rules import RECORD_FORMAT, FieldPath, Problem, Rule, one_of, rule
from decoder.overview_geometry import DOT_RADIUS, DOT_SPACING, captions, corners, distance, frame_of
from decoder.overviews import SHEET_WIDTH, Bar, Box, Circle, Coil, Line, Oval, Overview, Point, Shape

_ASSEMBLY: FieldPath = ("overview",)
_VEHICLE: FieldPath = ("map",)

#: How many points make an outline, and the field they stand in.
_POINTS: tuple[tuple[type[Any], str, int, int | None], ...] = (
    (Box, "box", 2, 2),
    (Line, "line", 2, None),
    (Shape, "shape", 3, None),
    (Bar, "bar", 2, None),
    (Coil, "coil", 2, 2),
)


@rule("overview-missing", "warning", source=RECORD_FORMAT)
def overview_missing(case: AssemblyCase) -> Iterator[Problem]:
    """Every assembly has an overview: a drawing finds a joint faster than its name."""
    if case.assembly.record.overview is None:
        yield Problem((), "no overview", "a layout with a dot for each joint", "add 'overview:' above the joints")


@rule("overview-unknown-joint", "error", source=RECORD_FORMAT)
def overview_unknown_joint(case: AssemblyCase) -> Iterator[Problem]:
    """A dot of an overview is named after a joint of its assembly."""
    overview = case.assembly.record.overview
    if overview is not None:
        yield from _unknown(overview, _ASSEMBLY, case.assembly.written, "joint")


@rule("overview-joint-without-dot", "warning", source=RECORD_FORMAT)
def overview_joint_without_dot(case: AssemblyCase) -> Iterator[Problem]:
    """Every joint of an assembly that has an overview has a dot on it."""
    overview = case.assembly.record.overview
    if overview is not None:
        yield from _without_dot(overview, _ASSEMBLY, case.assembly.written)


@rule("overview-outline", "error", source=RECORD_FORMAT)
def overview_outline(case: AssemblyCase) -> Iterator[Problem]:
    """An outline has as many points as its kind needs, and lies on the sheet, and so do the dots."""
    overview = case.assembly.record.overview
    if overview is not None:
        yield from _outlines(overview, _ASSEMBLY)


@rule("overview-crowded", "warning", source=RECORD_FORMAT)
def overview_crowded(case: AssemblyCase) -> Iterator[Problem]:
    """Dots of an overview stand apart, and none covers words, so that a thumb finds one and an eye the other."""
    overview = case.assembly.record.overview
    if overview is not None:
        yield from _crowded(overview, _ASSEMBLY)


@rule("map-missing", "warning", source=RECORD_FORMAT)
def map_missing(case: VehicleCase) -> Iterator[Problem]:
    """Every vehicle has a map that shows where its assemblies are."""
    if case.vehicle.record.map is None:
        yield Problem((), "no map", "a layout with a dot for each assembly", "add 'map:' to the vehicle")


@rule("map-unknown-assembly", "error", source=RECORD_FORMAT)
def map_unknown_assembly(case: VehicleCase) -> Iterator[Problem]:
    """A dot of a map is named after an assembly of its vehicle."""
    if case.vehicle.record.map is not None:
        yield from _unknown(case.vehicle.record.map, _VEHICLE, case.vehicle.files, "assembly")


@rule("map-assembly-without-dot", "warning", source=RECORD_FORMAT)
def map_assembly_without_dot(case: VehicleCase) -> Iterator[Problem]:
    """Every assembly has a dot on its vehicle's map."""
    if case.vehicle.record.map is not None:
        yield from _without_dot(case.vehicle.record.map, _VEHICLE, case.vehicle.files)


@rule("map-outline", "error", source=RECORD_FORMAT)
def map_outline(case: VehicleCase) -> Iterator[Problem]:
    """An outline of a map has as many points as its kind needs, and lies on the sheet, and so do the dots."""
    if case.vehicle.record.map is not None:
        yield from _outlines(case.vehicle.record.map, _VEHICLE)


@rule("map-crowded", "warning", source=RECORD_FORMAT)
def map_crowded(case: VehicleCase) -> Iterator[Problem]:
    """Dots of a map stand apart, and none covers words."""
    if case.vehicle.record.map is not None:
        yield from _crowded(case.vehicle.record.map, _VEHICLE)


def _unknown(overview: Overview, start: FieldPath, names: Collection[str], what: str) -> Iterator[Problem]:
    for key in overview.dots:
        if key not in names:
            yield Problem(
                (*start, "dots", key),
                f"'{key}', and no such {what}",
                f"one of {one_of(names)}",
                did_you_mean(key, names).replace("use one of these words", "mend the name, or remove the dot"),
            )


def _without_dot(overview: Overview, start: FieldPath, names: Sequence[str]) -> Iterator[Problem]:
    for key in names:
        if key not in overview.dots:
            yield Problem((*start, "dots"), f"no dot for '{key}'", "a dot where it is", f"add '{key}: [50 20]'")


def _outlines(overview: Overview, start: FieldPath) -> Iterator[Problem]:
    for number, outline in enumerate(overview.outlines):
        here = (*start, "outlines", number)
        for kind, field, least, most in _POINTS:
            if not isinstance(outline, kind):
                continue
            count = len(getattr(outline, field))
            if count < least or (most is not None and count > most):
                needs = f"{least} points" if most else f"at least {least} points"
                yield Problem((*here, field), _points(count), needs, "write [10 20, 30 20, …]")
        yield from (
            Problem(here, f"{point.across:g} {point.down:g}", _sheet(overview), "move it, or make the sheet higher")
            for point in corners(outline)
            if not _on_sheet(point, overview, 0.0)
        )
        if isinstance(outline, Circle | Oval):
            frame = frame_of(outline)
            ends = Point(frame.left, frame.top), Point(frame.right, frame.bottom)
            if not all(_on_sheet(point, overview, 0.0) for point in ends):
                found = f"an outline from {frame.left:g} {frame.top:g} to {frame.right:g} {frame.bottom:g}"
                yield Problem(here, found, _sheet(overview), "make it smaller, or move it")
    for key, points in overview.dots.items():
        for number, point in enumerate(points):
            if not _on_sheet(point, overview, DOT_RADIUS):
                yield Problem(
                    (*start, "dots", key, number),
                    f"{point.across:g} {point.down:g}",
                    f"{_sheet(overview)}, and {DOT_RADIUS:g} from its edges",
                    "move the dot inwards, or make the sheet higher",
                )


def _on_sheet(point: Point, overview: Overview, edge: float) -> bool:
    return edge <= point.across <= SHEET_WIDTH - edge and edge <= point.down <= overview.height - edge


def _sheet(overview: Overview) -> str:
    return f"a place on the sheet, which is {SHEET_WIDTH:g} wide and {overview.height:g} high"


def _points(count: int) -> str:
    return "1 point" if count == 1 else f"{count} points"


def _crowded(overview: Overview, start: FieldPath) -> Iterator[Problem]:
    dots = [
        ((*start, "dots", key, number), key, point)
        for key, points in overview.dots.items()
        for number, point in enumerate(points)
    ]
    for (_, one, point), (path, other, near) in combinations(dots, 2):
        if distance(point, near) < DOT_SPACING:
            yield Problem(
                path,
                f"{near.across:g} {near.down:g} for '{other}', {distance(point, near):.1f} from a dot of '{one}'",
                f"at least {DOT_SPACING:g} from one dot to the next",
                "move one of them",
            )
    words = list(captions(overview))
    for caption in words:
        here = (*start, "outlines", caption.number)
        frame = caption.frame
        ends = Point(frame.left, frame.top), Point(frame.right, frame.bottom)
        if not all(_on_sheet(point, overview, 0.0) for point in ends):
            yield Problem(here, f"'{caption.text}' past the edge", "words on the sheet", "write 'at:', or fewer words")
        for _, key, point in dots:
            if frame.distance_to(point) < DOT_RADIUS - 0.3:
                yield Problem(
                    here, f"'{caption.text}' under the dot of '{key}'", "words beside the dots", "write 'at: 50 20'"
                )
    for one_caption, two in combinations(words, 2):
        if one_caption.frame.overlaps(two.frame):
            yield Problem(
                (*start, "outlines", two.number),
                f"'{two.text}' across '{one_caption.text}'",
                "words beside each other",
                "write 'at: 50 20' for one of them",
            )


ASSEMBLY_RULES: tuple[Rule[Any], ...] = (
    overview_missing,
    overview_unknown_joint,
    overview_joint_without_dot,
    overview_outline,
    overview_crowded,
)
VEHICLE_RULES: tuple[Rule[Any], ...] = (
    map_missing,
    map_unknown_assembly,
    map_assembly_without_dot,
    map_outline,
    map_crowded,
)
