"""Names, order and bookkeeping: what makes a record findable and a correction mergeable."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from typing import Any

from decoder.build import did_you_mean
from decoder.checks.cases import AssemblyCase, JointCase, VehicleCase
from decoder.checks.rules import RECORD_FORMAT, Problem, Rule, rule

#: Names of pages that stand beside the assemblies of a vehicle.
RESERVED = ("sizes", "head-marks", "spanners", "kinds")


@rule("joints-out-of-order", "error", source=RECORD_FORMAT)
def joints_out_of_order(case: AssemblyCase) -> Iterator[Problem]:
    """Joints stand in the order of their names, so that two people's additions merge."""
    for before, after in itertools.pairwise(case.assembly.written):
        if after < before:
            yield Problem(
                ("joints", after),
                f"'{after}' after '{before}'",
                "joints in the order of their names",
                "run `decoder fix`, or move it up",
            )


@rule("duplicate-title", "error", source=RECORD_FORMAT)
def duplicate_title(case: AssemblyCase) -> Iterator[Problem]:
    """Two joints of an assembly do not have one title: nobody could tell them apart on a page."""
    seen: dict[str, str] = {}
    for key, joint in case.assembly.joints.items():
        title = joint.record.title.casefold()
        if title in seen:
            yield Problem(
                ("joints", key, "title"),
                f"'{joint.record.title}', which '{seen[title]}' has too",
                "a title of its own",
                "say what tells the two joints apart",
            )
        seen.setdefault(title, key)


@rule("reserved-name", "error", source=RECORD_FORMAT)
def reserved_name(case: AssemblyCase) -> Iterator[Problem]:
    """An assembly's file is not called like one of the vehicle's own pages."""
    if case.assembly.slug in RESERVED:
        yield Problem(
            (),
            f"the name '{case.assembly.slug}'",
            f"none of {', '.join(RESERVED)}: these are addresses of the vehicle's lists",
            "give the file another name",
        )


@rule("assembly-not-listed", "error", source=RECORD_FORMAT)
def assembly_not_listed(case: VehicleCase) -> Iterator[Problem]:
    """Every assembly file is listed in its vehicle, which puts them in reading order."""
    listed = case.vehicle.record.assemblies
    for slug in case.vehicle.files:
        if slug not in listed:
            yield Problem(
                ("assemblies",),
                f"no '{slug}', though {slug}.yml is there",
                "every assembly file of the folder",
                f"add '{slug}' where it should be read, or remove the file",
            )


@rule("assembly-not-there", "error", source=RECORD_FORMAT)
def assembly_not_there(case: VehicleCase) -> Iterator[Problem]:
    """Every assembly that a vehicle lists has its file, once."""
    listed = case.vehicle.record.assemblies
    for number, slug in enumerate(listed):
        if slug not in case.vehicle.files:
            yield Problem(
                ("assemblies", number),
                f"'{slug}', and no file {slug}.yml",
                "the name of a file of the folder, without its ending",
                did_you_mean(slug, case.vehicle.files).replace(
                    "use one of these words", "add the file, or remove it here"
                ),
            )
        elif slug in listed[:number]:
            yield Problem(("assemblies", number), f"'{slug}' again", "each assembly once", "remove one of the two")


@rule("invented-source", "error", source=RECORD_FORMAT)
def invented_source(case: JointCase) -> Iterator[Problem]:
    """Invented joints stand only in vehicles that say on every page that they are invented."""
    if case.record.source.casefold() == "invented" and not case.vehicle.is_invented:
        yield Problem(
            ("source",),
            "'invented'",
            "where the joint was read or who measured it: this vehicle is a real one",
            "name the source, or remove the joint",
        )


@rule("repeated-entry", "error", source=RECORD_FORMAT)
def repeated_entry(case: JointCase) -> Iterator[Problem]:
    """A list names each thing once."""
    for field in ("conditions", "renew"):
        entries = getattr(case.record, field)
        for number, entry in enumerate(entries):
            if entry in entries[:number]:
                shown = getattr(entry, "name", entry)
                yield Problem((field, number), f"'{shown}' again", "each entry once", "remove one of the two")


@rule("empty-version", "error", source=RECORD_FORMAT)
def empty_version(case: JointCase) -> Iterator[Problem]:
    """A version says what differs: a stack, or a note."""
    for name, version in case.record.versions.items():
        if version.stack is None and version.note is None:
            yield Problem(("versions", name), "neither stack nor note", "what differs", "add 'stack:' or 'note: …'")


@rule("version-span", "error", source=RECORD_FORMAT)
def version_span(case: JointCase) -> Iterator[Problem]:
    """A version does not end before it begins, where both ends are years or plain serial numbers."""
    for name, version in case.record.versions.items():
        since, until = version.since, version.until
        if since and until and re.fullmatch(r"\d+", since) and re.fullmatch(r"\d+", until) and int(since) > int(until):
            yield Problem(
                ("versions", name, "until"),
                f"'{until}', before '{since}'",
                "an end after the beginning",
                "swap the two",
            )


@rule("duty-not-usual", "warning", source=RECORD_FORMAT, acceptable=True)
def duty_not_usual(case: JointCase) -> Iterator[Problem]:
    """A joint's duty is the one its kind of joint has; the duty decides what may be computed."""
    kind = case.lookup.reference.joint_kinds.get(case.record.kind)
    if kind is not None and kind.duty != case.record.duty:
        yield Problem(
            ("duty",),
            f"'{case.record.duty}'",
            f"'{kind.duty}', as in the kind '{kind.id}'",
            "mend the duty or the kind, or say under accepted why this joint differs",
        )


JOINT_RULES: tuple[Rule[Any], ...] = (invented_source, repeated_entry, empty_version, version_span, duty_not_usual)
ASSEMBLY_RULES: tuple[Rule[Any], ...] = (joints_out_of_order, duplicate_title, reserved_name)
VEHICLE_RULES: tuple[Rule[Any], ...] = (assembly_not_listed, assembly_not_there)
