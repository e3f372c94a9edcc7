"""Packs hold what they were given, byte for byte, in portions a phone can open."""

from __future__ import annotations

from decoder_site.packing import pack, portions, unpack
from hypothesis import given
from hypothesis import strategies as st

_FILES = st.dictionaries(
    st.from_regex(r"[a-z]{1,8}/index\.(html|js|png)", fullmatch=True),
    st.text(alphabet="ab<>\n\r é…", max_size=60).map(str.encode),
    max_size=6,
)


@given(_FILES)
def test_files_come_out_as_they_went_in(files: dict[str, bytes]) -> None:
    """Whatever the lines, tags and signs; a picture's bytes too."""
    assert unpack(pack(files)) == files


def test_bytes_that_are_no_text_are_kept() -> None:
    """A picture is no text in any encoding."""
    files = {"a.png": bytes(range(256))}
    assert unpack(pack(files)) == files


def test_same_files_give_the_same_pack() -> None:
    """Order does not matter, nor the time of day."""
    files = {"b.html": b"<p>\n", "a.html": b"<p>\nx"}
    assert pack(files) == pack(dict(reversed(files.items())))


def test_what_pages_share_costs_nothing() -> None:
    """A hundred pages that differ in one tag are hardly larger than one."""
    frame = "".join(f"<li>{number}</li>\n" for number in range(2_000))
    one = pack({"0.html": frame.encode()})
    hundred = pack({f"{number}.html": f"{frame}<b>{number}</b>".encode() for number in range(100)})
    assert len(hundred) < 4 * len(one)


@given(_FILES, st.integers(min_value=1, max_value=200))
def test_portions_together_are_all_files_in_order(files: dict[str, bytes], limit: int) -> None:
    """Nothing is lost or doubled, and every portion begins after the last one ended."""
    cut = list(portions(files, limit))
    assert [address for portion in cut for address in portion] == sorted(files)
    assert {address: content for portion in cut for address, content in portion.items()} == files
    assert all(cut)
