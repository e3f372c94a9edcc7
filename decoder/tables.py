"""Reads reference tables: one CSV file a table, every row with its basis and its source.

A table's last three columns are `basis`, `document` and `where`. A row that does not say where its values come from
is refused, as are a repeated row, a cell of the wrong shape and a row out of physical order.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from decoder.findings import BadDataError, Finding

#: How a value stands in its document. `by formula` values are computed from the standard's formula, not read.
BASES = ("nominal", "basic", "minimum", "maximum", "by formula")

#: Values that no document carries say so in the `document` column, and need no `where`.
COMMON_PRACTICE = "common practice"
FROM_MEMORY = "from memory"
UNSOURCED = (COMMON_PRACTICE, FROM_MEMORY)

SOURCE_COLUMNS = ("basis", "document", "where")

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Provenance:
    """Where a value comes from. `document` is a source id, 'common practice' or 'from memory'.

    `file` and `line` are the row itself, so that a page can lead to it; two rows may agree in all else.
    """

    basis: str
    document: str
    where: str
    file: str = field(default="", compare=False)
    line: int = field(default=0, compare=False)

    @property
    def is_cited(self) -> bool:
        """True when a document can be opened to check the value."""
        return self.document not in UNSOURCED


class CellError(ValueError):
    """A cell that cannot be used: what was found, what was expected, how to mend it."""

    def __init__(self, column: str, found: str, expected: str, fix: str) -> None:
        super().__init__(f"{column}: found {found}, expected {expected}")
        self.column, self.found, self.expected, self.fix = column, found, expected, fix


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table, read as text; numbers are asked for by column name."""

    file: str
    line: int
    cells: Mapping[str, str]

    def text(self, column: str) -> str:
        """The cell as written, which must not be empty."""
        value = self.cells[column]
        if not value:
            raise CellError(column, "an empty cell", "a value", "fill the cell or remove the row")
        return value

    def optional_text(self, column: str) -> str | None:
        """The cell as written, or None where it is empty."""
        return self.cells[column] or None

    def number(self, column: str) -> float:
        """The cell as a number above zero, in the unit the column's name says."""
        value = self.text(column)
        try:
            number = float(value)
        except ValueError:
            raise CellError(
                column, f"'{value}'", "a decimal number such as 7.938", "write digits and a point, no unit"
            ) from None
        # `float` also reads 'nan' and 'inf', which compare false with everything and would slip through.
        if not 0 < number < 1e9:
            raise CellError(column, f"'{value}'", "a number above zero", "correct the value from its source")
        return number

    def optional_number(self, column: str) -> float | None:
        """The cell as a number above zero, or None where it is empty."""
        return self.number(column) if self.cells[column] else None

    def choice(self, column: str, allowed: Collection[str]) -> str:
        """The cell as written, which must be one of the allowed words."""
        value = self.text(column)
        if value not in allowed:
            raise CellError(column, f"'{value}'", f"one of {', '.join(sorted(allowed))}", "use one of these words")
        return value

    def provenance(self) -> Provenance:
        """The row's source."""
        return Provenance(self.cells["basis"], self.cells["document"], self.cells["where"], self.file, self.line)

    def finding(self, column: str, found: str, expected: str, fix: str, code: str = "table-cell") -> Finding:
        """A mistake in this row, placed at its line and column."""
        return Finding(
            level="error",
            code=code,
            file=self.file,
            line=self.line,
            field=column,
            found=found,
            expected=expected,
            fix=fix,
        )


def read_table(
    path: Path,
    *,
    columns: Collection[str],
    key: Collection[str],
    make: Callable[[Row], T],
    documents: Collection[str],
    shown_as: str | None = None,
) -> tuple[T, ...]:
    """Read one table whole, or raise with every mistake in it.

    Parameters
    ----------
    path : Path
        The CSV file, UTF-8, with a header line.
    columns : Collection[str]
        The table's own columns; `basis`, `document` and `where` come after them and are not listed.
    key : Collection[str]
        Columns that together name a row; a second row with the same ones is refused.
    make : Callable[[Row], T]
        Turns a row into its typed value; raises `CellError` where a cell cannot be used or contradicts another
        (a row out of physical order, say).
    documents : Collection[str]
        Known source ids.
    shown_as : str, optional
        The path as messages should name it, default its last three parts: `site_data/reference/x.csv` on any machine.

    Raises
    ------
    BadDataError
        With all findings of the table.
    """
    shown = shown_as or "/".join(path.parts[-3:])
    findings: list[Finding] = []
    made: list[T] = []
    seen: dict[tuple[str, ...], int] = {}
    for row in _rows(path, columns, shown, findings):
        problems = list(_source_problems(row, documents))
        name = tuple(row.cells[column] for column in key)
        if name in seen:
            problems.append(
                row.finding(
                    ", ".join(key),
                    f"'{' '.join(name)}' again, first on line {seen[name]}",
                    "each row once",
                    "remove one of the two, or tell them apart in these columns",
                    "table-repeated-row",
                )
            )
        seen.setdefault(name, row.line)
        try:
            value = make(row)
        except CellError as error:
            problems.append(row.finding(error.column, error.found, error.expected, error.fix))
        else:
            made.append(value)
        findings.extend(problems)
    if not made and not findings:
        findings.append(_file_finding(shown, "no rows", "at least one row", "add the rows"))
    if findings:
        raise BadDataError(findings)
    return tuple(made)


def gather(readings: Iterable[Callable[[], object]]) -> None:
    """Run every reading, then raise once with the findings of all that failed."""
    findings: list[Finding] = []
    for reading in readings:
        try:
            reading()
        except BadDataError as error:
            findings.extend(error.findings)
    if findings:
        raise BadDataError(findings)


def _file_finding(file: str, found: str, expected: str, fix: str) -> Finding:
    return Finding(
        level="error", code="table-shape", file=file, line=1, field="file", found=found, expected=expected, fix=fix
    )


def _rows(path: Path, columns: Collection[str], shown: str, findings: list[Finding]) -> Iterator[Row]:
    expected = [*columns, *SOURCE_COLUMNS]
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        findings.append(_file_finding(shown, f"{error}", "a UTF-8 file that can be read", "restore the file"))
        return
    reader = csv.reader(text.splitlines(), strict=True)
    try:
        header = next(reader, [])
        if header != expected:
            findings.append(
                _file_finding(
                    shown, f"the header {','.join(header)}", f"{','.join(expected)}", "restore the header line"
                )
            )
            return
        for values in reader:
            line = reader.line_num
            if len(values) != len(expected):
                findings.append(
                    Finding(
                        level="error",
                        code="table-shape",
                        file=shown,
                        line=line,
                        field="row",
                        found=f"{len(values)} cells",
                        expected=f"{len(expected)}",
                        fix="quote a cell that holds a comma, and keep empty cells as bare commas",
                    )
                )
                continue
            cells = dict(zip(expected, values, strict=True))
            for column, value in cells.items():
                if value != value.strip():
                    findings.append(
                        Row(shown, line, cells).finding(column, f"'{value}'", "no blanks at its ends", "remove them")
                    )
            yield Row(shown, line, cells)
    except csv.Error as error:
        findings.append(_file_finding(shown, f"{error}", "comma-separated text", "mend the quoting"))


def _source_problems(row: Row, documents: Collection[str]) -> Iterator[Finding]:
    basis, document, where = (row.cells[column] for column in SOURCE_COLUMNS)
    if basis not in BASES:
        yield row.finding("basis", f"'{basis}'", f"one of {', '.join(BASES)}", "say how the value stands in its source")
    if document in UNSOURCED:
        return
    if document not in documents:
        yield row.finding(
            "document",
            f"'{document}'" if document else "an empty cell",
            f"a file name in sources/ without its ending, '{COMMON_PRACTICE}' or '{FROM_MEMORY}'",
            "name the source, or add a file for it",
            "table-source",
        )
    elif not where:
        yield row.finding(
            "where", "an empty cell", "page, table or clause", "say where in the document it stands", "table-source"
        )
