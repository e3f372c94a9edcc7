"""The torque page: what it offers to tap, and the scripts that work it out."""

from __future__ import annotations

from dataclasses import dataclass

from decoder.joint_torque import kind_governs
from decoder.reference import Reference
from decoder.tightening import STAINLESS

#: What the page loads, in this order.
SCRIPTS = (
    "assets/scripts/quantities.js",
    "data/torque.js",
    "assets/scripts/torque.js",
    "assets/scripts/elements.js",
    "assets/scripts/torque-page.js",
)

#: Grades that are met most; everything else is typed.
_GRADES = ("SAE 2", "SAE 5", "SAE 8", "8.8", "10.9", "A2-70")

_LUBRICANTS = (
    ("", "Dry"), ("oil", "Oil"), ("grease", "Grease"), ("anti-seize", "Anti-seize"), ("molybdenum", "Moly"),
    ("wax", "Wax"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Choice:
    """Something to tap or pick: its value and its words."""

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class TorqueView:
    """What the page needs. `joints` are kinds that a bolt gives no torque for, or a manual alone."""

    grades: tuple[Choice, ...]
    lubricants: tuple[Choice, ...]
    finishes: tuple[Choice, ...]
    materials: tuple[Choice, ...]
    joints: tuple[Choice, ...]


def torque_view(reference: Reference) -> TorqueView:
    """The choices, as the tables know them."""
    known = {material.id for material in reference.joint_tables.materials}
    kinds = [kind for kind in reference.joint_kinds.values() if kind_governs(kind.id, reference)]
    return TorqueView(
        grades=(*(Choice(name, name) for name in _GRADES), Choice("no mark", "No mark")),
        lubricants=tuple(Choice(*each) for each in _LUBRICANTS),
        finishes=(
            *(Choice(finish.id, finish.title) for finish in reference.finishes if finish.id != "plain"),
            Choice(STAINLESS, "Stainless steel"),
        ),
        materials=tuple(Choice(each.id, each.title) for each in reference.materials if each.id in known),
        joints=tuple(Choice(kind.id, kind.title) for kind in sorted(kinds, key=lambda kind: kind.title.casefold())),
    )
