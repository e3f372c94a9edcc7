"""Quantities: every way people write them, every refusal, and what is printed reads back."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decoder.designations import read_query
from decoder.quantities import (
    QuantityError,
    format_angle,
    format_inch,
    format_length,
    format_mm,
    format_pitch,
    format_temperature,
    format_torque,
    parse_angle,
    parse_count,
    parse_length,
    parse_pitch,
    parse_temperature,
    parse_torque,
)
from decoder.writing import LONGEST, trimmed
from tests.decoder.vectors import named, same, vectors

READERS: dict[str, Callable[[str], Any]] = {
    "length": parse_length,
    "length in mm field": lambda text: parse_length(text, "mm"),
    "pitch": parse_pitch,
    "pitch in tpi field": lambda text: parse_pitch(text, "tpi"),
    "torque": parse_torque,
    "temperature": parse_temperature,
    "angle": parse_angle,
    "count": parse_count,
}
PRINTERS: dict[str, Callable[..., str]] = {
    "mm": format_mm,
    "inch": format_inch,
    "length": format_length,
    "pitch": format_pitch,
    "torque": format_torque,
    "temperature": format_temperature,
    "angle": format_angle,
}

#: What people type, with signs that come from other keyboards and from pages, and what has no business there.
TYPED = st.text(
    alphabet=st.one_of(
        st.sampled_from("0123456789/.,- ±+\"'°½¼⅙⁄·×xmMinthouplbfNACF()\u00a0\u2009\u200b−–″’５"), st.characters()
    ),
    max_size=30,
)
READER = st.sampled_from(sorted(READERS))


@pytest.mark.parametrize("vector", named("quantities.json", read=True, value=True))
def test_text_gives_the_value(vector: dict[str, Any]) -> None:
    """Expected values are arithmetic on the inch of 25.4 mm and the pound-force of 4.4482216152605 N."""
    found = READERS[vector["read"]](vector["text"])
    assert same(vector["value"], found), found


@pytest.mark.parametrize("vector", named("quantities.json", refused=True))
def test_text_is_refused_in_these_words(vector: dict[str, Any]) -> None:
    """The sentence and the choices it names."""
    with pytest.raises(QuantityError) as refusal:
        READERS[vector["read"]](vector["text"])
    assert str(refusal.value) == vector["refused"]
    assert list(refusal.value.choices) == vector["choices"]


@pytest.mark.parametrize("vector", named("quantities.json", print=True))
def test_quantity_is_printed_so(vector: dict[str, Any]) -> None:
    """Both systems, fractions as fractions."""
    assert PRINTERS[vector["print"]](*vector["of"]) == vector["text"]


#: Numbers that some quantity has; of a number out of every reach there is nothing to choose.
NUMBERS = st.one_of(
    st.integers(1, 390).map(str),
    st.decimals("0.1", 390, places=3).map(str),
    st.sampled_from(["1/2", "5/16", "11 1/2", "1-1/8", "1/6", "12/13", "20/25"]),
)


@given(READER, NUMBERS, st.sampled_from(["", " lb", " kg", " mil", " lb ft", "-400 mm", " UNF"]))
def test_choice_of_a_refusal_is_understood(reader: str, number: str, after: str) -> None:
    """Whoever takes a choice as it stands is not refused again."""
    try:
        READERS[reader](number + after)
    except QuantityError as refusal:
        choices = refusal.choices
    else:
        return
    for choice in choices:
        if reader in ("torque", "temperature"):
            READERS[reader](choice)
        else:
            read_query(choice)


def test_vectors_cover_the_ways_of_writing() -> None:
    """Enough of them, each text once for each reader."""
    read = [(vector["read"], vector["text"]) for vector in vectors("quantities.json") if "read" in vector]
    assert len(read) >= 200
    assert len(read) == len(set(read))


@given(READER, TYPED)
def test_any_text_is_read_or_refused_in_one_sentence(reader: str, text: str) -> None:
    """Nothing crashes; a refusal is one line that says how to write it."""
    try:
        READERS[reader](text)
    except QuantityError as refusal:
        message = str(refusal)
        assert re.fullmatch(r"[^\x00-\x1f\x7f\u2028\u2029\ud800-\udfff]+: write [^\x00-\x1f]+\.", message), message
        assert len(message) < 320


@pytest.mark.parametrize("reader", sorted(READERS))
@pytest.mark.parametrize(
    "text", ["9" * 5000, "1" + "0" * 70 + " mm", "1/" * 39, "(" * LONGEST, "½" * LONGEST, "1 " * 40, "-" * 40 + "mm"]
)
def test_hostile_text_is_refused_quickly(reader: str, text: str) -> None:
    """Long runs of digits, strokes and brackets cost nothing and give nothing."""
    with pytest.raises(QuantityError):
        READERS[reader](text)


@given(st.floats(0.002, 9999), st.sampled_from(["inch", "metric"]))
def test_printed_length_reads_back(mm: float, system: Any) -> None:
    """To the last printed place: a micrometre, or a thousandth of an inch."""
    printed = format_length(mm, system)
    read = parse_length(format_mm(mm)) if printed.startswith(("0 in", "0 mm")) else _first(printed, mm)
    assert read.mm == pytest.approx(mm, abs=0.0006 if read.system == "metric" else 0.014)


def _first(printed: str, mm: float) -> Any:
    # Below half a millimetre the inch side is rounded too coarsely to agree with the other.
    return parse_length(printed) if mm > 0.5 else parse_length(printed.partition(" (")[0])


@given(st.integers(1, 64 * 20))
def test_printed_fraction_is_read_exactly(sixty_fourths: int) -> None:
    """Every 64th of an inch comes back as it went."""
    mm = sixty_fourths * 254 / 640
    assert parse_length(format_inch(mm)).mm == pytest.approx(mm, rel=1e-12)


@given(st.one_of(st.integers(4, 80).map(float), st.sampled_from([4.5, 11.5, 27.0])))
def test_printed_thread_count_reads_back(threads: float) -> None:
    """The count itself, not a pitch near it."""
    assert parse_pitch(format_pitch(25.4 / threads, threads)).threads_per_inch == threads


@given(st.floats(0.2, 6))
def test_printed_pitch_reads_back(pitch_mm: float) -> None:
    """To a micrometre."""
    assert parse_pitch(format_pitch(pitch_mm)).pitch_mm == pytest.approx(pitch_mm, abs=0.0006)


@given(st.floats(0.2, 900), st.floats(1.05, 2))
def test_printed_torque_reads_back(low_nm: float, ratio: float) -> None:
    """One value and a range, to the three figures that are printed."""
    assert parse_torque(format_torque(low_nm)).nm == pytest.approx(low_nm, rel=0.03)
    read = parse_torque(format_torque(low_nm, low_nm * ratio))
    assert (read.low_nm, read.high_nm) == pytest.approx((low_nm, low_nm * ratio), rel=0.03)


@given(st.floats(-200, 2000))
def test_printed_temperature_keeps_its_scale(celsius: float) -> None:
    """The first of the two scales reads back."""
    assert parse_temperature(format_temperature(celsius).partition(" (")[0]) == pytest.approx(celsius, abs=0.5001)


@given(st.floats(0.01, 720))
def test_printed_angle_reads_back(degrees: float) -> None:
    """To a hundredth of a degree."""
    assert parse_angle(format_angle(degrees)) == pytest.approx(degrees, abs=0.0051)


@given(
    st.sampled_from(["5/16 in", "7.9 mm ±0.05 mm", "1 1/8 in", "M8 x 1.25", "18 lbf·ft"]),
    st.sampled_from("\u00a0\u2009\u202f\u3000\t"),
)
def test_kind_of_blank_does_not_matter(text: str, blank: str) -> None:
    """A no-break or thin space from a page is a space."""
    reader = parse_torque if "lbf" in text else parse_length if not text.startswith("M") else read_query
    assert reader(text.replace(" ", blank)) == reader(text)


@given(st.floats(0, 1e6), st.integers(0, 6))
def test_trimmed_number_is_the_nearest(value: float, decimals: int) -> None:
    """Half a unit of the last place at most, and no trailing zero."""
    printed = trimmed(value, decimals)
    assert math.isclose(float(printed), value, abs_tol=0.5000001 * 10**-decimals)
    assert "." not in printed or printed[-1] != "0"
