"""Shapes of heads, and what turns them: how each is known, how its length is measured, and what goes wrong with it.

A shape says nothing about a thread or a strength, save where its record names the exception.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from decoder.build import Origin, build_folder
from decoder.citations import Citation, citation_findings, record_finding
from decoder.fields import Text, doc
from decoder.findings import BadDataError, Finding
from decoder.kinds import Kinds, Statement

#: Where the records lie, which is also where their pages are.
FOLDER = "heads-and-drives"

#: A head as the drawings show it from the side.
Side = Literal[
    "hexagon", "hexagon-flange", "square", "cheese", "pan", "round", "countersunk", "raised-countersunk", "mushroom",
    "socket-cap", "socket-button", "socket-countersunk", "round-square-neck", "twelve-point", "thumb", "grub", "tee",
    "eye", "u-bolt",
]  # fmt: skip

#: A drive, or a head that nothing turns, as the drawings show it from above.
Above = Literal[
    "hexagon", "slot", "cross", "hexagon socket", "square", "six-lobe", "twelve-point", "hand", "none", "bar", "eye",
    "bend",
]  # fmt: skip

#: What comes before a drive's name in its id, so that it cannot be taken for a head of the same shape.
_DRIVE_PREFIX = "drive-"


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadKind:
    """A shape of head, or a drive: what turns the part."""

    id: str = field(
        metadata=doc("the file's name: a head as records name it, or drive- and a drive", from_file_name=True)
    )
    title: Text = field(metadata=doc("what the trade calls it", example="Countersunk head"))
    also_called: tuple[Text, ...] = field(default=(), metadata=doc("other names"))
    sort: Literal["head", "drive"] = field(metadata=doc("a shape of head, or what turns it"))
    side: Side = field(metadata=doc("the head drawn from the side", example="countersunk"))
    above: Above = field(metadata=doc("the drive drawn from above", example="slot"))
    recognise: Text = field(metadata=doc("how to know one"))
    turned_with: Text = field(metadata=doc("spanner, key or driver, and what fits it badly"))
    length: Text | None = field(
        default=None, metadata=doc("how the trade measures the length of a part with this head")
    )
    says: Text = field(metadata=doc("what it tells of thread and strength, mostly nothing"))
    use: tuple[Statement, ...] = field(metadata=doc("where it is met"))
    goes_wrong: tuple[Statement, ...] = field(metadata=doc("how it fails or is spoilt, and what helps"))
    told_apart: tuple[Statement, ...] = field(default=(), metadata=doc("forms that look alike, and how to tell them"))
    cautions: tuple[Text, ...] = field(default=(), metadata=doc("what can hurt someone"))
    sources: tuple[Citation, ...] = field(metadata=doc("where the shape itself is described"))


def drive_kind_id(drive: str) -> str:
    """The id that a drive has its record under, whether written 'hexagon socket' or 'hexagon-socket'."""
    return _DRIVE_PREFIX + drive.replace(" ", "-")


def load_head_kinds(root: Path, documents: Collection[str]) -> Kinds[HeadKind]:
    """Read every record in `root/heads-and-drives/`, or raise with all mistakes in them.

    `documents` are the known source ids.
    """
    findings: list[Finding] = []
    kinds, origins = build_folder(HeadKind, root / FOLDER, f"{root.name}/{FOLDER}", findings)
    for id, kind in kinds.items():
        findings.extend(citation_findings(kind, origins[id], documents))
        findings.extend(_shape_findings(kind, origins[id]))
    if findings:
        raise BadDataError(findings)
    return Kinds("head or drive", kinds)


def _shape_findings(kind: HeadKind, origin: Origin) -> Iterator[Finding]:
    if (kind.sort == "drive") != kind.id.startswith(_DRIVE_PREFIX):
        yield record_finding(
            origin,
            ("sort",),
            "head-sort",
            f"'{kind.sort}' in a file of this name",
            f"the name of a drive to start with '{_DRIVE_PREFIX}', and of a head not to",
            "rename the file, or mend `sort`",
        )
    if (kind.sort == "head") != (kind.length is not None):
        yield record_finding(
            origin,
            ("length",),
            "head-length",
            "no length" if kind.length is None else "a length",
            "how the length is measured for a head, and nothing for a drive",
            "say from where to where the trade measures it, or remove it",
        )
