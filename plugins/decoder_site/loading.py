"""Reads everything that the site shows, once, and says where it lies."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from decoder.reference import Reference, load_reference
from mkdocs.config.defaults import MkDocsConfig

from decoder_site.records_place import RecordsPlace


@dataclass(frozen=True, slots=True)
class Facts:
    """What the pages are made from."""

    reference: Reference
    place: RecordsPlace
    site_name: str
    as_files: bool
    watched: tuple[Path, ...]


def load_facts(config: MkDocsConfig, site_data: str, branch: str) -> Facts:
    """Read tables and records.

    Raises
    ------
    BadDataError
        With every mistake in them.
    """
    folder = Path(site_data)
    reference = load_reference(folder if (folder / "reference").is_dir() else None)
    root = Path(config.config_file_path).parent if config.config_file_path else Path.cwd()
    return Facts(
        reference=reference,
        place=RecordsPlace.of(folder, root=root, repo_url=config.repo_url, branch=branch),
        site_name=config.site_name,
        as_files=not config.use_directory_urls,
        watched=(folder,),
    )
