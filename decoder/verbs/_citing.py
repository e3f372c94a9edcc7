"""Where values come from, as results name it: one line a document, with the places that were used."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from decoder.sources import Source
from decoder.tables import Provenance


def citations(used: Iterable[Provenance], sources: Mapping[str, Source]) -> list[str]:
    """Each document once with its places, in order of first use; what no document carries says so last.

    >>> citations([Provenance("basic", "common practice", "")], {})
    ['common practice, no document']
    """
    places: dict[str, dict[str, None]] = {}
    for provenance in used:
        places.setdefault(provenance.document, {}).setdefault(provenance.where)
    cited = [
        "; ".join((sources[document].full_title, *filter(None, wheres)))
        for document, wheres in places.items()
        if document in sources
    ]
    return [*cited, *(f"{document}, no document" for document in sorted(places) if document not in sources)]
