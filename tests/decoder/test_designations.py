"""Designations: every way people write them, one form printed, one address each; and the one field's readings."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decoder.designations import FAMILIES, Written, canonical, parse_designation, read_query, slug
from decoder.paths import reference_root
from decoder.quantities import QuantityError
from decoder.sources import load_sources
from decoder.threads import load_threads
from tests.decoder.vectors import named, same, vectors

THREADS = load_threads(reference_root(), load_sources(reference_root()))

TYPED = st.text(
    alphabet=st.one_of(st.sampled_from('0123456789/.,-x "#mMUNFCBSWAGRPTLHo½×–ktines'), st.characters()), max_size=24
)


@pytest.mark.parametrize("vector", named("designations.json", read=True, value=True))
def test_text_gives_the_thread(vector: dict[str, Any]) -> None:
    """Family, size, pitch, hand, and what was taken without being written."""
    found = parse_designation(vector["text"])
    assert same(vector["value"], found), found


@pytest.mark.parametrize("vector", named("designations.json", refused=True))
def test_text_is_refused_in_these_words(vector: dict[str, Any]) -> None:
    """The sentence and the choices it names."""
    reader = read_query if vector["read"] == "query" else parse_designation
    with pytest.raises(QuantityError) as refusal:
        reader(vector["text"])
    assert str(refusal.value) == vector["refused"]
    assert list(refusal.value.choices) == vector["choices"]
    assert all(read_query(choice).readings for choice in refusal.value.choices)


@pytest.mark.parametrize("vector", named("designations.json", says=True))
def test_typed_text_has_these_readings(vector: dict[str, Any]) -> None:
    """Every reading, none chosen silently."""
    assert [reading.says for reading in read_query(vector["text"]).readings] == vector["says"]


@pytest.mark.parametrize("vector", named("designations.json", slug=True))
def test_designation_has_this_address(vector: dict[str, Any]) -> None:
    """Lower case with single dashes."""
    assert slug(vector["slug"]) == vector["text"]


def test_vectors_cover_the_ways_of_writing() -> None:
    """Enough of them, each text once for each reader."""
    read = [(vector["read"], vector["text"]) for vector in vectors("designations.json") if "read" in vector]
    assert len(read) >= 150
    assert len(read) == len(set(read))


def test_every_thread_of_the_tables_reads_back_from_its_designation() -> None:
    """What is printed is understood, and means the same."""
    for thread in THREADS:
        written = parse_designation(thread.designation)
        assert written.designation == thread.designation
        assert written.family == thread.family
        assert written.size == thread.size
        assert THREADS.find(thread.designation) == thread
        assert THREADS.find(f"{thread.designation} LH").designation == f"{thread.designation} LH"


def test_no_two_designations_share_an_address() -> None:
    """A second thread at one address would never be seen."""
    shared = {
        address: count
        for address, count in Counter(
            slug(text) for thread in THREADS for text in (thread.designation, f"{thread.designation} LH")
        ).items()
        if count > 1
    }
    assert not shared


def test_two_designations_with_one_address_are_noticed() -> None:
    """The rule above can fail: these two would share a page."""
    assert slug("G 1/8") == slug("G 1-8")


def test_every_family_of_the_tables_is_known() -> None:
    """The parser's families are the tables' families."""
    assert {thread.family for thread in THREADS} <= set(FAMILIES)


@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("m8", "M8x1.25"),
        ("M10 coarse", "M10x1.5"),
        ("5/16-24", "5/16-24 UNF"),
        ("5/16 UNF", "5/16-24 UNF"),
        ("1/2-13", "1/2-13 UNC"),
        ("2BA", "2 BA"),
        ("#10-32", "No. 10-32 UNF"),
        ("¼ BSF", "1/4-26 BSF"),
        ("1/4 whit", "1/4-20 BSW"),
        ("3/8 CEI", "3/8-26 BSC"),
        ("1/4 brass", "1/4-26 BSB"),
        ("1/8 BSPP", "G 1/8"),
        ("1/8 NPT", "1/8-27 NPT"),
        ("5/16 NF", "5/16-24 UNF"),
        ("1-14 UNF", "1-14 UNS"),
        ("5/16-24 LH", "5/16-24 UNF LH"),
    ],
)
def test_table_gives_the_thread_that_people_mean(text: str, designation: str) -> None:
    """The usual short forms lead to one thread."""
    assert THREADS.find(text).designation == designation


@pytest.mark.parametrize(
    ("text", "choices"),
    [
        ("1/8 BSP", ("G 1/8", "R 1/8")),
        ("M8 fine", ("M8x0.75", "M8x1")),
        ("1/4 fine", ("1/4-28 UNF", "1/4-26 BSF")),
        ("1/4 coarse", ("1/4-20 UNC", "1/4-20 BSW")),
        ("9/16-12", ("9/16-12 UNC", "9/16-12 BSW")),
    ],
)
def test_table_names_the_threads_that_may_be_meant(text: str, choices: tuple[str, ...]) -> None:
    """A text that leaves two threads open is refused with both."""
    with pytest.raises(QuantityError) as refusal:
        THREADS.find(text)
    assert all(choice in str(refusal.value) for choice in choices)


@given(TYPED)
def test_any_text_is_read_or_refused_in_one_line(text: str) -> None:
    """Nothing crashes, neither as a thread nor in the one field."""
    for message in (_refusal(parse_designation, text), _refusal(read_query, text)):
        assert message is None or re.fullmatch(r"[^\x00-\x1f\x7f]+: write [^\x00-\x1f]+\.", message)


def _refusal(reader: Callable[[str], object], text: str) -> str | None:
    try:
        reader(text)
    except QuantityError as refusal:
        return str(refusal)
    return None


@given(TYPED)
def test_what_is_read_is_printed_so_that_it_reads_the_same(text: str) -> None:
    """`Written.text` is a fixed point."""
    try:
        written = parse_designation(text)
    except QuantityError:
        return
    again = parse_designation(written.text)
    assert again.text == written.text
    assert _meaning(again) == _meaning(written)


def _meaning(written: Written) -> tuple[object, ...]:
    return (written.families, written.size, written.threads_per_inch, written.pitch_mm, written.left_hand)


@pytest.mark.parametrize("family", ["M", "UNC", "NPT"])
def test_canonical_form_needs_a_pitch(family: str) -> None:
    """A metric or inch designation without a pitch would name several threads."""
    with pytest.raises(ValueError, match="needs its"):
        canonical(family, "M8" if family == "M" else "1/4")


def test_address_refuses_other_characters() -> None:
    """An address carries letters, digits and dashes."""
    with pytest.raises(ValueError, match="address"):
        slug("M8×1.25")
