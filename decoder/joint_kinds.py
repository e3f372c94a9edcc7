"""Kinds of joint: what is usual in each, on any vehicle. One file each in `joint-kinds/`."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path
from types import MappingProxyType

from decoder.build import build_folder, did_you_mean
from decoder.findings import BadDataError, Finding
from decoder.records import READERS, JointKind
from decoder.tables import UNSOURCED


def load_joint_kinds(root: Path, documents: Collection[str]) -> Mapping[str, JointKind]:
    """All kinds below `root/joint-kinds/`, by id.

    Parameters
    ----------
    root : Path
        Folder that holds `joint-kinds/`.
    documents : Collection[str]
        Known source ids.

    Raises
    ------
    BadDataError
        With every mistake in every file.
    """
    findings: list[Finding] = []
    kinds, origins = build_folder(
        JointKind, root / "joint-kinds", f"{root.name}/joint-kinds", findings, readers=READERS
    )
    for name, kind in kinds.items():
        if kind.source not in UNSOURCED and kind.source not in documents:
            findings.append(
                Finding(
                    level="error",
                    code="unknown-source",
                    file=origins[name].file,
                    line=origins[name].line("source"),
                    field="source",
                    found=f"'{kind.source}'",
                    expected=f"a file name in sources/ without its ending, {' or '.join(map(repr, UNSOURCED))}",
                    fix=did_you_mean(kind.source, [*documents, *UNSOURCED]),
                )
            )
    if findings:
        raise BadDataError(findings)
    return MappingProxyType(kinds)
