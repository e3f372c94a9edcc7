"""Reads everything that the site shows, once, and says where it lies."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.utils import get_build_datetime

from decoder.checks import load_checked_fleet
from decoder.findings import BadDataError, Finding
from decoder.fleet import Fleet, load_fleet
from decoder.paths import reference_root
from decoder.reference import Reference, load_reference
from decoder_site.measured import read_measured
from decoder_site.records_place import RecordsPlace


@dataclass(frozen=True, slots=True)
class Loaded:
    """What the pages are made from. `findings` are warnings and notes; errors have stopped the build.

    `site_url` is where the site will stand, '' where its settings do not say. `measured` are the benchmark's figures,
    None where there are none.
    """

    reference: Reference
    fleet: Fleet
    findings: tuple[Finding, ...]
    place: RecordsPlace
    site_name: str
    as_files: bool
    watched: tuple[Path, ...]
    site_url: str = ""
    measured: Mapping[str, Any] | None = None
    built_on: datetime.date = datetime.date.min


def load(config: MkDocsConfig, site_data: str, branch: str) -> Loaded:
    """Read tables and records, and check them.

    Raises
    ------
    BadDataError
        With every mistake in them.
    """
    folder = Path(site_data)
    root = Path(config.config_file_path).parent if config.config_file_path else Path.cwd()
    reference = _reference(folder)
    fleet, findings = load_checked_fleet(folder, reference)
    return Loaded(
        reference=reference,
        fleet=fleet,
        findings=findings,
        place=RecordsPlace.of(folder, root=root, repo_url=config.repo_url, branch=branch),
        site_name=config.site_name,
        as_files=not config.use_directory_urls,
        watched=(folder,),
        site_url=config.site_url or "",
        measured=read_measured(folder) or read_measured(reference_root()),
        built_on=get_build_datetime().date(),
    )


def _reference(folder: Path) -> Reference:
    """The site's own tables, or those that came with the package where it has none."""
    try:
        return load_reference(folder if (folder / "reference").is_dir() else None)
    except BadDataError as error:
        # Records cannot be checked against broken tables, but their own shape can: one run, all that is known.
        raise BadDataError([*error.findings, *load_fleet(folder).findings]) from None
