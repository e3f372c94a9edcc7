"""Numbers the documents that a page rests on, so that a long title stands once below and not behind every line."""

from __future__ import annotations

import dataclasses

from decoder_site.views.facts import Fact, Piece
from decoder_site.views.measures import Citation


class Notes:
    """The notes of one page, in order of first use. 'Common practice' and 'from memory' stay in the line itself."""

    def __init__(self) -> None:
        self._numbers: dict[tuple[str, str], int] = {}
        self._listed: list[Citation] = []

    @property
    def listed(self) -> tuple[tuple[int, Citation], ...]:
        """Every note with its number."""
        return tuple(enumerate(self._listed, start=1))

    def fact(self, fact: Fact) -> Fact:
        """The fact with numbers in place of its documents."""
        return dataclasses.replace(
            fact,
            pieces=tuple(self.piece(piece) for piece in fact.pieces),
            inner=tuple(self.fact(inner) for inner in fact.inner),
        )

    def piece(self, piece: Piece) -> Piece:
        """The value with numbers in place of its documents."""
        return dataclasses.replace(
            piece,
            citations=tuple(citation for citation in piece.citations if not citation.source_id),
            notes=tuple(self._number(citation) for citation in piece.citations if citation.source_id),
        )

    def _number(self, citation: Citation) -> int:
        key = (citation.source_id, citation.where)
        if key not in self._numbers:
            self._listed.append(citation)
            self._numbers[key] = len(self._listed)
        return self._numbers[key]
