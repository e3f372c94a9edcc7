"""The rules of plating: every reason why a part may or may not go to a plater, each with who says so."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from decoder.findings import BadDataError, Finding
from decoder.tables import CellError, Provenance, Row, read_table

Verdict = Literal["may go", "plater who bakes", "stays out"]

#: Every reason that a part can be given; the table explains each.
RULES = (
    "safety", "engine-inside", "apparatus", "new", "stays-in", "not-steel", "fluid", "seat", "weak", "insert", "grip",
    "spring", "hardened-washer", "ground", "socket", "grub", "self-tapping", "interference", "strong", "unknown",
    "soft-washer", "known", "bake-too",
)  # fmt: skip

_COLUMNS = ("rule", "verdict", "says", "limit", "unit")
_UNITS = ("MPa", "HRC", "HV", "°C")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlatingRule:
    """One reason with one source. `limit` is in `unit`; both None where the reason has no figure."""

    rule: str
    verdict: Verdict
    says: str
    limit: float | None
    unit: str | None
    provenance: Provenance


class PlatingRules:
    """The rules of the table, by name; every name of `RULES` is there."""

    def __init__(self, rows: Iterable[PlatingRule]) -> None:
        self._rows: dict[str, tuple[PlatingRule, ...]] = {}
        for row in rows:
            self._rows[row.rule] = (*self._rows.get(row.rule, ()), row)

    def __getitem__(self, rule: str) -> tuple[PlatingRule, ...]:
        """Every row of a rule: who says so, one each."""
        return self._rows[rule]

    def __contains__(self, rule: object) -> bool:
        return rule in self._rows

    def verdict(self, rule: str) -> Verdict:
        """What a rule decides."""
        return self._rows[rule][0].verdict

    def least(self, rule: str, unit: str) -> float:
        """The lowest figure in a unit that a document names for a rule; figures from memory decide nothing."""
        return min(
            row.limit
            for row in self._rows[rule]
            if row.unit == unit and row.limit is not None and row.provenance.is_cited
        )


def load_plating(root: Path, documents: Collection[str]) -> PlatingRules:
    """Read `root/reference/plating_rules.csv`, or raise with all mistakes in it; `documents` are the source ids."""
    shown = f"{root.name}/reference/plating_rules.csv"
    rows = read_table(
        root / "reference" / "plating_rules.csv",
        columns=_COLUMNS,
        key=("rule", "says"),
        make=_rule,
        documents=documents,
        shown_as=shown,
    )
    findings = [*_missing(rows, shown), *_two_verdicts(rows)]
    if findings:
        raise BadDataError(findings)
    return PlatingRules(rows)


def _missing(rows: Iterable[PlatingRule], shown: str) -> Iterator[Finding]:
    told = {row.rule for row in rows}
    # The judge compares with these figures, so somebody must name them.
    figures = {(row.rule, row.unit) for row in rows if row.limit is not None and row.provenance.is_cited}
    needed = [("strong", "MPa"), ("strong", "HRC"), ("strong", "HV"), ("bake-too", "MPa")]
    gaps = [f"no row of the rule '{rule}'" for rule in RULES if rule not in told]
    gaps += [f"no limit in {unit} with a document for '{rule}'" for rule, unit in needed if (rule, unit) not in figures]
    for gap in gaps:
        yield Finding(
            level="error",
            code="plating-rule-missing",
            file=shown,
            line=1,
            field="rule",
            found=gap,
            expected="one row or more",
            fix="restore it, with its source",
        )


def _two_verdicts(rows: Iterable[PlatingRule]) -> Iterator[Finding]:
    first: dict[str, Verdict] = {}
    for row in rows:
        if first.setdefault(row.rule, row.verdict) != row.verdict:
            yield Finding(
                level="error",
                code="plating-two-verdicts",
                file=row.provenance.file,
                line=row.provenance.line,
                field="verdict",
                found=f"'{row.verdict}' for the rule '{row.rule}', which says '{first[row.rule]}' above",
                expected="one verdict a rule",
                fix="make them alike, or give the row a rule of its own",
            )


def _rule(row: Row) -> PlatingRule:
    verdicts: tuple[Verdict, ...] = get_args(Verdict)
    limit, unit = row.optional_number("limit"), row.optional_text("unit")
    if (limit is None) is not (unit is None):
        raise CellError("unit", f"'{unit or ''}'", "a limit and its unit, or neither", "fill both or empty both")
    return PlatingRule(
        rule=row.choice("rule", RULES),
        verdict=verdicts[verdicts.index(row.choice("verdict", verdicts))],
        says=row.text("says"),
        limit=limit,
        unit=row.choice("unit", _UNITS) if unit else None,
        provenance=row.provenance(),
    )
