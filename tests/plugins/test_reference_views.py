"""What pages of sizes, spanners and look-alikes put first, for someone who has a vehicle's fastener in hand."""

from __future__ import annotations

import pytest
from decoder_site.records_place import RecordsPlace
from decoder_site.views.lookalikes import bands, others
from decoder_site.views.measures import Citations
from decoder_site.views.sizes import size_view
from decoder_site.views.spanners import spanner_view

from decoder.reference import Reference


@pytest.fixture(scope="module")
def citations(reference: Reference) -> Citations:
    return Citations(dict(reference.sources), RecordsPlace("site_data", None))


def test_threads_that_vehicles_have_come_before_rare_ones(reference: Reference) -> None:
    """Whoever looks up 1/4 BSF has 1/4 UNF and M6 in the tub, and hardly 1/4-27 UNS."""
    found = others(reference.threads.find("1/4-26 BSF"), reference)
    usual = [other.designation for other in found if other.is_usual]
    assert {"1/4-28 UNF", "M6x1"} <= set(usual)
    assert [other.designation for other in found[: len(usual)]] == usual
    assert "1/4-27 UNS" in [other.designation for other in found[len(usual) :]]
    for band in bands(reference):
        assert not {(pair.this, pair.that) for pair in band.pairs} & {(pair.this, pair.that) for pair in band.rarer}


def test_no_count_of_turns_is_nought(reference: Reference) -> None:
    """'Binds after 0 turns' is no words for what a hand feels."""
    texts = [
        text
        for band in bands(reference)
        for pair in (*band.pairs, *band.rarer)
        for text in (pair.this_in_that, pair.that_in_this)
    ]
    assert "binds within the first turn" in texts
    assert not [text for text in texts if " 0 turns" in text or " 1 turns" in text]


def test_widths_of_older_vehicles_come_before_the_later_ones(reference: Reference, citations: Citations) -> None:
    """M10x1.25 heads: 17 mm by the old DIN series and 14 mm by the small series, before the later 16 mm (ISO 272)."""
    view = size_view(reference.threads.find("M10x1.25"), reference, citations)
    widths = [width.across_flats.figure for width in view.widths if width.part == "bolt"]
    assert sorted(widths[:2]) == ["14", "17"]
    assert widths.index("16") == 2
    assert all(width.era for width in view.widths if width.part == "bolt" and width.across_flats.figure in widths[:3])


def test_pipe_threads_have_no_bolt_and_no_nut(reference: Reference, citations: Citations) -> None:
    view = size_view(reference.threads.find("G 1/8"), reference, citations)
    assert (view.male, view.female) == ("male", "female")
    assert {each.member for each in view.classes} <= {"male", "female"}
    view = size_view(reference.threads.find("M10x1"), reference, citations)
    assert (view.male, view.female) == ("bolt", "nut")


def test_a_spanner_is_named_for_both_british_series(reference: Reference, citations: Citations) -> None:
    """One jaw, two names: 3/16 W is 1/4 BS; whoever has a 1/4 BSF bolt looks for the second."""
    view = size_view(reference.threads.find("1/4-26 BSF"), reference, citations)
    names = {
        (spanner.marking, *spanner.names) for width in view.widths for spanner in width.spanners if spanner.is_right
    }
    assert ("3/16W", "1/4BS") in names


def test_a_spanner_says_first_what_it_is_for(reference: Reference, citations: Citations) -> None:
    """13 mm: M8; loose on 1/2 AF; and no word of a 9/16 in head that everyone sees it does not enter."""
    view = spanner_view(reference.spanners.by_slug("13-mm"), reference, citations)
    short = {group.word: group.short for group in view.groups}
    assert short["right"].startswith("M8")
    assert "1/2 AF" in short["loose"]
    assert not [
        head
        for group in view.groups
        for head in group.heads
        if head.size == "3/8" and head.across_flats.figure == "9/16"
    ]
