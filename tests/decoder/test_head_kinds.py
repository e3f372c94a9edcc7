"""Shapes of heads and drives: every one that a joint can name has a record, and every record can be drawn."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import get_args

import pytest

from decoder.drawings.heads import ABOVE, HEADS, SHAPES, draw_head_kind
from decoder.findings import BadDataError
from decoder.head_kinds import Above, HeadKind, Side, drive_kind_id, load_head_kinds
from decoder.paths import reference_root
from decoder.records import Drive
from decoder.sources import load_sources

KINDS = load_head_kinds(reference_root(), load_sources(reference_root()))

GOOD = """\
title: Test head
sort: head
side: cheese
above: slot
recognise: It is there.
turned_with: A blade.
length: From under the head to the tip.
says: Nothing.
use:
  - says: Anywhere.
    sources:
      - {document: common practice}
goes_wrong:
  - says: It burrs.
    sources:
      - {document: common practice}
sources:
  - {document: from memory}
"""


def test_every_head_that_can_be_chosen_and_every_drive_of_a_joint_has_a_record() -> None:
    assert {*HEADS, "tee", "eye", "u-bolt"} == {kind.id for kind in KINDS if kind.sort == "head"}
    assert {drive_kind_id(drive) for drive in get_args(Drive)} <= {kind.id for kind in KINDS if kind.sort == "drive"}


def test_what_records_may_name_is_what_can_be_drawn() -> None:
    assert get_args(Side) == SHAPES
    assert get_args(Above) == ABOVE


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.id)
def test_a_head_is_drawn_from_above_and_from_the_side(kind: HeadKind) -> None:
    svg = draw_head_kind(kind.title, kind.side, kind.above)
    views = [group.get("data-view") for group in ET.fromstring(svg).iter() if group.get("data-view")]
    assert views == ["above", "side"]
    assert "style=" not in svg


@pytest.mark.parametrize(
    ("id", "words"),
    [
        # Pages of fastener suppliers: countersunk over all, raised from the rim, all others from under the head.
        ("countersunk", "Over all"),
        ("raised-countersunk", "From the rim"),
        ("pan", "From under the head"),
        ("hexagon", "From under the head"),
        ("grub", "Over all"),
    ],
)
def test_a_length_is_measured_as_the_trade_does(id: str, words: str) -> None:
    kind = KINDS.get(id)
    assert kind is not None
    assert (kind.length or "").startswith(words)


def test_no_shape_claims_a_strength() -> None:
    assert all(re.search(r"nothing|no strength", kind.says, re.I) for kind in KINDS)


def load(folder: Path, name: str, text: str) -> HeadKind:
    (folder / "heads-and-drives").mkdir()
    (folder / "heads-and-drives" / name).write_text(text, encoding="utf-8")
    (kind,) = load_head_kinds(folder, [])
    return kind


def test_a_good_record_is_read(tmp_path: Path) -> None:
    assert load(tmp_path, "test.yml", GOOD).side == "cheese"


@pytest.mark.parametrize(
    ("name", "old", "new", "field"),
    [
        ("drive-test.yml", "", "", "sort"),
        ("test.yml", "sort: head", "sort: drive", "sort"),
        ("test.yml", "length: From under the head to the tip.\n", "", "length"),
        ("test.yml", "side: cheese", "side: chees", "side"),
        ("test.yml", "above: slot", "above: slit", "above"),
        ("test.yml", "from memory", "a-book-nobody-has", "sources[0].document"),
    ],
)
def test_a_mistake_is_named(tmp_path: Path, name: str, old: str, new: str, field: str) -> None:
    with pytest.raises(BadDataError) as caught:
        load(tmp_path, name, GOOD.replace(old, new))
    assert field in {finding.field for finding in caught.value.findings}
