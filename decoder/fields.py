"""What the fields of records are made of: kinds of text, and the words that describe a field."""

from __future__ import annotations

import re
from typing import Any, NewType

#: Words that the trade, not a parser, gives meaning to. Shown as typed, never read as markup.
Text = NewType("Text", str)
#: A thread as people write it; checked against the thread tables.
ThreadName = NewType("ThreadName", str)
#: The id of a record of another kind; which kind is in the field's metadata.
RecordId = NewType("RecordId", str)
#: A grade as people write it ('SAE 5', '8.8'); checked against the strength tables.
GradeName = NewType("GradeName", str)
#: A year, a serial number, or a span of them, as a plate or a parts list gives it.
Span = NewType("Span", str)

#: Ids, joint keys and file names: they stand in addresses, so they are lower case, digits and single dashes.
KEY_SHAPE = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
KEY_WORDS = "lower-case letters, digits and single dashes, such as 'cover-to-block'"


def doc(
    text: str,
    *,
    example: str = "",
    refers: str = "",
    from_file_name: bool = False,
    each_alone: bool = False,
    keyed: bool = False,
) -> dict[str, Any]:
    """Metadata of a field.

    Parameters
    ----------
    text : str
        What the field holds; shown in the editor, on the record-format page and in messages.
    example : str
        One value as it would be written.
    refers : str
        The kind of record whose id the field takes, in words ('mark', 'joint kind').
    from_file_name : bool
        True where the value is the file's name without its ending, and so may not be written in the file.
    each_alone : bool
        True for a mapping whose good entries are worth checking although another entry is unreadable.
    keyed : bool
        True for a mapping whose names stand in addresses and must have the shape of a key.
    """
    return {
        "doc": text,
        "example": example,
        "refers": refers,
        "from_file_name": from_file_name,
        "each_alone": each_alone,
        "keyed": keyed,
    }
