"""Documents: one file each, every field said."""

from __future__ import annotations

from pathlib import Path

import pytest

from decoder.findings import BadDataError
from decoder.sources import load_sources

GOOD = """\
title: A handbook
edition: 3rd
year: 1961
publisher: A press
kind: handbook
read: stored excerpts
note: pages 10 to 12
"""


def write(folder: Path, **files: str) -> Path:
    """A records' folder with these documents."""
    (folder / "sources").mkdir()
    for name, text in files.items():
        (folder / "sources" / f"{name}.yml").write_text(text)
    return folder


def test_a_document_is_read_with_its_id(tmp_path: Path) -> None:
    """The id is the file's name; a year stays the text it is."""
    source = load_sources(write(tmp_path, handbook=GOOD))["handbook"]
    assert (source.id, source.year, source.read) == ("handbook", "1961", "stored excerpts")


def test_all_mistakes_of_all_documents_are_told(tmp_path: Path) -> None:
    """How much was read is no free text: it says how far a value can be trusted."""
    root = write(tmp_path, a=GOOD.replace("stored excerpts", "some"), b=GOOD.replace("publisher: A press\n", ""))
    with pytest.raises(BadDataError) as raised:
        load_sources(root)
    assert [(each.file.split("/", 1)[1], each.line, each.field) for each in raised.value.findings] == [
        ("sources/a.yml", 6, "read"),
        ("sources/b.yml", 1, "publisher"),
    ]
    assert raised.value.findings[0].expected == "one of whole, stored excerpts, transcription, formulas only"
