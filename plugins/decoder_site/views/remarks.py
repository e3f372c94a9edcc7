"""Findings as sentences for someone at the bench, with links to the threads and joints that they name."""

from __future__ import annotations

import re
from collections.abc import Mapping

from decoder.findings import Finding
from decoder_site.views.facts import Piece

_NONE_NEEDED = re.compile(r"^none needed(: | where it is so; else )")


def remark_words(finding: Finding) -> str:
    """What a finding tells a mechanic. The field and the word 'expected' are for the record's author and stay out."""
    advice = _NONE_NEEDED.sub("", finding.fix)
    match finding.code:
        case "kind-disputed":
            return _sentence(advice)
        case "look-alike-in-assembly":
            return _sentence(f"Easily swapped: {finding.found}") + " " + _sentence(advice)
        case "thread-mismatch":
            time = re.search(r"\.versions\.([^.]+)\.", finding.field)
            other = finding.expected.partition(", ")[0]
            danger = advice.partition("; ")[2]
            when = f"{time.group(1)}: " if time else ""
            return _sentence(f"{when}a nut {finding.found} on a thread {other}") + (
                f" {_sentence(danger)}" if danger else ""
            )
        case "stated-not-in-tables":
            return _sentence(f"Stated and not checked: {finding.found}")
        case _:
            return f"{_sentence(finding.found)} Usual: {finding.expected}. {_sentence(advice)}"


def linked(text: str, names: Mapping[str, Piece]) -> tuple[Piece, ...]:
    """The text cut at every name, each name turned into its piece."""
    if not names:
        return (Piece(text=text),)
    longest_first = sorted(names, key=len, reverse=True)
    cut = re.split(rf"(?<![\w/-])({'|'.join(map(re.escape, longest_first))})(?![\w/-]|\.\d)", text)
    return tuple(names.get(part, Piece(text=part)) for part in cut if part)


def _sentence(text: str) -> str:
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?", "!")) else ".")
