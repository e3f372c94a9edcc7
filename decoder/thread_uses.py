"""Where a vehicle meets certain threads: spark plugs, brake pipes, bleed screws, grease nipples, wheel studs,
belt anchors."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from decoder.tables import CellError, Provenance, Row, read_table
from decoder.threads import Thread, Threads

#: In the order a list shows them.
USES = ("spark plug", "brake pipe", "bleed screw", "grease nipple", "wheel stud", "belt anchor")


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadUse:
    """One thread in one use. `detail` narrows it (reach, seat, pipe), `note` warns; both may be empty.

    That a use is listed says it was met, not that a vehicle at hand has it: the part is measured all the same.
    """

    use: str
    thread: Thread
    detail: str
    note: str
    provenance: Provenance


def load_thread_uses(root: Path, documents: Collection[str], threads: Threads) -> tuple[ThreadUse, ...]:
    """Read `root/reference/threads_uses.csv`.

    Raises
    ------
    BadDataError
        With every mistake in the table, among them a thread that no table holds.
    """
    return read_table(
        root / "reference" / "threads_uses.csv",
        columns=("use", "designation", "detail", "note"),
        key=("use", "designation"),
        make=partial(_use, threads=threads),
        documents=documents,
    )


def _use(row: Row, threads: Threads) -> ThreadUse:
    designation = row.text("designation")
    try:
        thread = threads.get(designation)
    except KeyError:
        raise CellError(
            "designation", f"'{designation}'", "a thread of the tables", "add the thread first, or write it as there"
        ) from None
    return ThreadUse(
        use=row.choice("use", USES),
        thread=thread,
        detail=row.cells["detail"],
        note=row.cells["note"],
        provenance=row.provenance(),
    )
