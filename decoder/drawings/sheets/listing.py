"""Which sheets there are."""

from __future__ import annotations

from decoder.drawings.sheets.cards import pocket_sheet
from decoder.drawings.sheets.combs import combs_sheet
from decoder.drawings.sheets.gauges import diameters_sheet, flats_sheet
from decoder.drawings.sheets.paper import Sheet
from decoder.reference import Reference


def sheets(reference: Reference) -> tuple[Sheet, ...]:
    """Every sheet that is printed at actual size, the most wanted first."""
    return (
        combs_sheet(reference.threads),
        diameters_sheet(reference.threads),
        flats_sheet(reference.spanners),
        pocket_sheet(reference.threads, (*reference.nuts, *reference.washers)),
    )
