"""Whether what the records say adds up: every rule on every record, and all findings of a run together.

Rules are small functions in the modules of this package; each has a code, a level and a source. `RULES` lists them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from decoder.build import did_you_mean
from decoder.checks import (
    filing,
    grades,
    joints,
    kinds,
    locking,
    overviews,
    places,
    practice,
    references,
    stack,
    stated,
)
from decoder.checks.cases import AssemblyCase, JointCase, Lookup, VehicleCase
from decoder.checks.rules import RECORD_FORMAT, FieldPath, Problem, Rule, finding
from decoder.findings import BadDataError, Finding, Level
from decoder.fleet import Fleet, FleetJoint, FleetVehicle, load_fleet
from decoder.reference import Reference

__all__ = ["ACCEPTED_RULES", "JOINT_RULES", "RULES", "Rule", "check_fleet", "load_checked_fleet"]

#: Rules about one joint, in the order a reader would check it.
JOINT_RULES: tuple[Rule[Any], ...] = (
    *references.RULES,
    *filing.JOINT_RULES,
    *stack.RULES,
    *places.RULES,
    *grades.RULES,
    *stated.RULES,
    *locking.RULES,
    *kinds.RULES,
    *joints.RULES,
    *practice.RULES,
)


#: Rules that speak of the parts themselves, not of how the record is written.
_OF_HARDWARE = (
    *stack.RULES,
    *places.RULES,
    *grades.RULES,
    *locking.RULES,
    *kinds.RULES,
    *joints.RULES,
    *practice.RULES,
)


def _bookkeeping(code: str, says: str) -> Rule[Any]:
    # Checked in `_check_accepted`, where the other rules' findings are known.
    return Rule(
        code=code, level="error", source=RECORD_FORMAT, acceptable=False, says=says, problems=lambda _: iter(())
    )


_UNKNOWN = _bookkeeping("accepted-unknown", "What is accepted is named by the code of a rule.")
_REFUSED = _bookkeeping("accepted-refused", "Some findings cannot be accepted: mend the record.")
_UNNEEDED = _bookkeeping("accepted-unneeded", "An exception that no finding needs any more is removed.")

#: Rules about the exceptions that records make.
ACCEPTED_RULES: tuple[Rule[Any], ...] = (_UNKNOWN, _REFUSED, _UNNEEDED)

#: Rules about a whole vehicle, and about a whole assembly.
VEHICLE_RULES: tuple[Rule[Any], ...] = (*filing.VEHICLE_RULES, *overviews.VEHICLE_RULES)
ASSEMBLY_RULES: tuple[Rule[Any], ...] = (*filing.ASSEMBLY_RULES, *overviews.ASSEMBLY_RULES)

#: Every rule.
RULES: tuple[Rule[Any], ...] = (
    *VEHICLE_RULES,
    *ASSEMBLY_RULES,
    *JOINT_RULES,
    *ACCEPTED_RULES,
)

_BY_CODE = {rule.code: rule for rule in RULES}


def check_fleet(fleet: Fleet, reference: Reference) -> tuple[Finding, ...]:
    """Every finding of every record, mistakes of shape among them, in order of file and line.

    Findings that a joint accepts come back as notes with the reason.
    """
    lookup = Lookup(reference)
    findings = list(fleet.findings)
    for vehicle in fleet.vehicles.values():
        findings.extend(_check_vehicle(vehicle, lookup))
    return tuple(sorted(findings, key=lambda each: (each.file, each.line, each.field, each.code)))


def load_checked_fleet(root: Path, reference: Reference) -> tuple[Fleet, tuple[Finding, ...]]:
    """Read and check every vehicle below `root`; returns the fleet with its warnings and notes.

    Raises
    ------
    BadDataError
        With every finding of level error.
    """
    fleet = load_fleet(root)
    findings = check_fleet(fleet, reference)
    errors = [each for each in findings if each.level == "error"]
    if errors:
        raise BadDataError(errors)
    return fleet, findings


def _check_vehicle(vehicle: FleetVehicle, lookup: Lookup) -> Iterator[Finding]:
    for rule in VEHICLE_RULES:
        for problem in rule.problems(VehicleCase(vehicle)):
            yield finding(rule, problem, vehicle.origin, ())
    for assembly in vehicle.assemblies.values():
        for rule in ASSEMBLY_RULES:
            for problem in rule.problems(AssemblyCase(assembly, vehicle)):
                yield finding(rule, problem, assembly.origin, ())
        for joint in assembly.joints.values():
            yield from _check_joint(joint, vehicle, lookup)


def _check_joint(joint: FleetJoint, vehicle: FleetVehicle, lookup: Lookup) -> Iterator[Finding]:
    case = JointCase(joint, vehicle, lookup)
    start: FieldPath = ("joints", joint.key)
    accepted = joint.record.accepted
    hit: set[str] = set()
    for rule in JOINT_RULES:
        for problem in rule.problems(case):
            hit.add(rule.code)
            if rule.acceptable and rule.code in accepted:
                reason = accepted[rule.code]
                lived_with = Problem(problem.path, problem.found, problem.expected, f"none needed; accepted: {reason}")
                yield finding(rule, lived_with, joint.origin, start, level="note")
            else:
                yield finding(rule, problem, joint.origin, start, level=_level(rule, problem))
    unread = any(rule.code in hit for rule in references.RULES)
    for rule, problem in _check_accepted(accepted, hit, unread):
        yield finding(rule, problem, joint.origin, start)


def _level(rule: Rule[Any], problem: Problem) -> Level:
    """What was found on the vehicle may have been wrong: that is worth a warning, and no mistake of the record."""
    as_found = problem.path[:2] == ("versions", "as found") and rule in _OF_HARDWARE
    return "warning" if as_found and rule.level == "error" else rule.level


def _check_accepted(accepted: Mapping[str, str], hit: set[str], unread: bool) -> Iterator[tuple[Rule[Any], Problem]]:
    """Exceptions that are not right; where a name could not be looked up, nobody knows yet which are needed."""
    for code in accepted:
        path: FieldPath = ("accepted", code)
        rule = _BY_CODE.get(code)
        if rule is None:
            known = [each.code for each in JOINT_RULES if each.acceptable]
            yield _UNKNOWN, Problem(path, f"'{code}'", "the code of a rule", did_you_mean(code, known))
        elif not rule.acceptable:
            yield (
                _REFUSED,
                Problem(
                    path,
                    f"'{code}'",
                    "a finding that is right to live with; this one never is",
                    "mend the record, remove this",
                ),
            )
        elif code not in hit and not unread:
            yield (
                _UNNEEDED,
                Problem(path, f"'{code}', and no such finding", "only exceptions that are needed", "remove it"),
            )
