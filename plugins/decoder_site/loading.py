"""Reads everything that the site shows, once, and says where it lies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig

from decoder.findings import BadDataError, Finding
from decoder.fleet import Fleet, load_fleet
from decoder.joint_kinds import load_joint_kinds
from decoder.kinds import AllKinds, load_kinds
from decoder.records import JointKind
from decoder.reference import Reference, load_reference
from decoder_site.records_place import RecordsPlace


@dataclass(frozen=True, slots=True)
class Loaded:
    """What the pages are made from. `warnings` are findings below level error."""

    reference: Reference
    kinds: AllKinds
    joint_kinds: Mapping[str, JointKind]
    fleet: Fleet
    warnings: tuple[Finding, ...]
    place: RecordsPlace
    site_name: str
    as_files: bool
    watched: tuple[Path, ...]


def load(config: MkDocsConfig, site_data: str, branch: str) -> Loaded:
    """Read tables and records.

    Raises
    ------
    BadDataError
        With every mistake in them.
    """
    folder = Path(site_data)
    reference = load_reference(folder if (folder / "reference").is_dir() else None)
    fleet = load_fleet(folder)
    errors = [finding for finding in fleet.findings if finding.level == "error"]
    if errors:
        raise BadDataError(errors)
    root = Path(config.config_file_path).parent if config.config_file_path else Path.cwd()
    return Loaded(
        reference=reference,
        kinds=load_kinds(reference.root, reference.sources),
        joint_kinds=load_joint_kinds(reference.root, reference.sources),
        fleet=fleet,
        warnings=tuple(finding for finding in fleet.findings if finding.level != "error"),
        place=RecordsPlace.of(folder, root=root, repo_url=config.repo_url, branch=branch),
        site_name=config.site_name,
        as_files=not config.use_directory_urls,
        watched=(folder,),
    )
