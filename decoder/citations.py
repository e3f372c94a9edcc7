"""Where a statement in a reference record was read, and the check that the document is known."""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from decoder.build import Origin
from decoder.fields import RecordId, Text, doc
from decoder.findings import Finding
from decoder.tables import COMMON_PRACTICE, FROM_MEMORY, UNSOURCED
from decoder.yaml_source import PathPart, path_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Citation:
    """One place a statement was read. `document` is a source id, 'common practice' or 'from memory'."""

    document: RecordId = field(
        metadata=doc(
            f"a file name in sources/ without its ending, '{COMMON_PRACTICE}' or '{FROM_MEMORY}'",
            refers="source",
            example="faa-ac-43-13-1b",
        )
    )
    where: Text = field(default=Text(""), metadata=doc("page, table or clause", example="7-64"))

    @property
    def is_cited(self) -> bool:
        """True when a document can be opened to check the statement."""
        return self.document not in UNSOURCED


def citation_findings(
    record: object, origin: Origin, documents: Collection[str], path: tuple[PathPart, ...] = ()
) -> Iterator[Finding]:
    """Citations anywhere inside a record that name an unknown document, or a known one without the place in it."""
    if isinstance(record, Citation):
        yield from _check(record, origin, documents, path)
    elif isinstance(record, tuple):
        for number, item in enumerate(record):
            yield from citation_findings(item, origin, documents, (*path, number))
    elif dataclasses.is_dataclass(record) and not isinstance(record, type):
        for item in dataclasses.fields(record):
            yield from citation_findings(getattr(record, item.name), origin, documents, (*path, item.name))


def _check(
    citation: Citation, origin: Origin, documents: Collection[str], path: tuple[PathPart, ...]
) -> Iterator[Finding]:
    if not citation.is_cited:
        return
    if citation.document not in documents:
        near = difflib.get_close_matches(citation.document, documents, n=1)
        yield record_finding(
            origin,
            (*path, "document"),
            "record-source",
            f"'{citation.document}'",
            f"a file name in sources/ without its ending, '{COMMON_PRACTICE}' or '{FROM_MEMORY}'",
            f"did you mean '{near[0]}'?" if near else "name the source, or add a file for it",
        )
    elif not citation.where:
        yield record_finding(
            origin, path, "record-source", "no place in the document", "page, table or clause", "add `where: …`"
        )


def record_finding(
    origin: Origin, path: tuple[PathPart, ...], code: str, found: str, expected: str, fix: str
) -> Finding:
    """An error in a record, placed at the line of the field that `path` leads to."""
    return Finding(
        level="error",
        code=code,
        file=origin.file,
        line=origin.line(*path),
        field=path_text(path),
        found=found,
        expected=expected,
        fix=fix,
    )
