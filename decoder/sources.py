"""The documents that values are taken from: one file each in `sources/`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Literal

from decoder.build import build_folder
from decoder.fields import Text, doc
from decoder.findings import BadDataError, Finding

SourceKind = Literal[
    "standard", "handbook", "public manual", "open dataset", "reference library", "transcription",
]  # fmt: skip
#: How much of the document someone had before them: a value is only as good as what was read.
ReadAs = Literal["whole", "stored excerpts", "transcription", "formulas only"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One document, and how much of it was read."""

    id: str = field(metadata=doc("the file's name", from_file_name=True))
    title: Text = field(metadata=doc("title as printed", example="Machinery's Handbook"))
    edition: Text = field(metadata=doc("edition, or that it is not stated", example="31st"))
    year: Text = field(metadata=doc("year of the edition, or that it is not stated", example="2020"))
    publisher: Text = field(metadata=doc("who publishes it", example="Industrial Press"))
    kind: SourceKind = field(metadata=doc("what sort of document it is", example="handbook"))
    read: ReadAs = field(metadata=doc("how much of it was read", example="stored excerpts"))
    note: Text = field(metadata=doc("what was read, and how sure the reading is"))

    @property
    def full_title(self) -> str:
        """Title with edition and year, where they are known."""
        known = dict.fromkeys(text for text in (self.edition, self.year) if not text.startswith("not "))
        return f"{self.title} ({', '.join(known)})" if known else self.title


def load_sources(root: Path) -> Mapping[str, Source]:
    """All documents below `root/sources/`, by id.

    Raises
    ------
    BadDataError
        With every mistake in every file.
    """
    findings: list[Finding] = []
    sources, _ = build_folder(Source, root / "sources", f"{root.name}/sources", findings)
    if findings:
        raise BadDataError(findings)
    return MappingProxyType(sources)
