"""Kinds of nut, washer, finish and material: complete, sourced, found by name, and drawn."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from decoder.drawings.kinds import draw_kind
from decoder.drawings.nuts import DRAWN as ON_NUTS
from decoder.drawings.washers import DRAWN as ON_WASHERS
from decoder.findings import BadDataError
from decoder.kinds import GALVANIC_LIMITS_V, NO_SOURCE, AllKinds, HardwareKind, galvanic_gap_v, load_kinds
from decoder.paths import reference_root
from decoder.quantities import QuantityError
from decoder.sources import load_sources

SOURCES = load_sources(reference_root())
KINDS = load_kinds(reference_root(), SOURCES)
HARDWARE = (*KINDS.nuts, *KINDS.washers)
STYLES = Path("content/assets/styles/decoder.css")
SVG = "{http://www.w3.org/2000/svg}"

every_hardware = pytest.mark.parametrize("kind", HARDWARE, ids=lambda kind: kind.id)


def test_every_kind_of_the_trade_is_there() -> None:
    assert {kind.id for kind in KINDS.nuts} >= {
        "plain", "thin", "nylon-insert", "fibre-insert", "all-metal-top", "all-metal-centre", "slotted-collar",
        "castellated", "slotted", "exhaust-brass", "exhaust-copper-plated", "flange", "serrated-flange", "dome", "wing",
        "square", "captive", "cage", "spring-steel-clip", "wheel-taper", "wheel-ball", "wheel-flat", "centre-lock",
        "staked",
    }  # fmt: skip
    assert {kind.id for kind in KINDS.washers} >= {
        "plain", "plain-thick", "penny", "helical-spring", "toothed-internal", "toothed-external",
        "toothed-countersunk", "tab", "wave", "conical", "cup", "bonded", "copper-crush", "aluminium-crush", "hardened",
        "thrust",
    }  # fmt: skip
    assert {finish.id for finish in KINDS.finishes} >= {
        "plain", "zinc", "zinc-yellow", "cadmium", "black-oxide", "phosphate", "chrome", "nickel", "copper", "hot-dip",
    }  # fmt: skip
    assert {material.id for material in KINDS.materials} >= {
        "steel", "stainless", "brass", "bronze", "aluminium", "titanium", "cast-iron", "paper-gasket", "rubber", "cork",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "id"),
    [
        ("castellated", "castellated"),
        ("castle nut", "castellated"),
        ("Castellated nut", "castellated"),
        ("nylon lock nut", "nylon-insert"),
        ("jam nut", "thin"),
        ("acorn nut", "dome"),
    ],
)
def test_a_nut_is_found_by_its_trade_names(text: str, id: str) -> None:
    assert KINDS.nuts.find(text).id == id


@pytest.mark.parametrize(
    ("text", "id"),
    [
        ("spring washer", "helical-spring"),
        ("split washer", "helical-spring"),
        ("penny washer", "penny"),
        ("star washer", "toothed-external"),
    ],
)
def test_a_washer_is_found_by_its_trade_names(text: str, id: str) -> None:
    assert KINDS.washers.find(text).id == id


def test_materials_are_found_as_records_write_them() -> None:
    assert KINDS.materials.find("paper gasket").id == "paper-gasket"
    assert KINDS.materials.find("cast iron").id == "cast-iron"
    assert KINDS.finishes.find("bright zinc").id == "zinc"


def test_an_unknown_kind_is_refused_with_the_nearest() -> None:
    with pytest.raises(QuantityError, match="did you mean 'castellated'"):
        KINDS.nuts.find("casteleted")


@every_hardware
def test_heat_reuse_and_drag_are_answered_or_said_to_be_unknown(kind: HardwareKind) -> None:
    for answer in (kind.temperature, kind.reuse, kind.drag, kind.test):
        if isinstance(answer, str):
            assert answer in (NO_SOURCE, "it has none")
        else:
            assert all(statement.sources for statement in answer)
    assert kind.strictest


@every_hardware
def test_a_disagreement_names_who_says_what(kind: HardwareKind) -> None:
    """Where several authorities speak of reuse or heat, a reader must see which says which."""
    for answer in (kind.reuse, kind.temperature):
        if not isinstance(answer, str) and len(answer) > 1:
            assert all(statement.by for statement in answer)


@pytest.mark.parametrize(
    ("nut", "celsius"),
    [
        # FAA AC 43.13-1B 7-64 and ISO 2320 (2008, 2015): non-metallic inserts to 250 °F and to 120 °C.
        ("nylon-insert", {120, 121}),
        # ISO 2320: all-metal to 300 °C in 1997 and 150 °C in 2008 and 2015; cadmium to 450 °F by FAA 7-12.
        ("all-metal-top", {150, 232, 300}),
    ],
)
def test_heat_limits_stand_by_edition(nut: str, celsius: set[int]) -> None:
    kind = KINDS.nuts.get(nut)
    assert kind is not None
    assert not isinstance(kind.temperature, str)
    assert celsius <= {round(statement.limit) for statement in kind.temperature if statement.limit is not None}


def test_a_plastic_ring_nut_is_barred_from_heat_and_from_reuse_where_it_can_hurt() -> None:
    for id in ("nylon-insert", "fibre-insert"):
        kind = KINDS.nuts.get(id)
        assert kind is not None
        errors = [rule for rule in kind.rules if rule.level == "error"]
        assert any(rule.condition == "heat" and rule.above == 120 for rule in errors)
        assert any(rule.duty == "pivot" for rule in kind.rules)
        assert any(rule.consequence == "safety-critical" and rule.reused for rule in errors)


def test_no_plating_bath_for_hard_steel() -> None:
    for id in ("zinc", "zinc-yellow", "cadmium"):
        finish = KINDS.finishes.get(id)
        assert finish is not None
        assert any("10.9" in caution and "SAE 8" in caution for caution in finish.cautions)
        assert any("No mark does not mean soft" in caution for caution in finish.cautions)


def test_the_anodic_index_orders_metals_as_handbooks_do() -> None:
    order = ["titanium", "copper", "brass", "stainless", "steel", "aluminium", "zinc-alloy", "magnesium"]
    found = [KINDS.materials.get(id) for id in order]
    indexes = [material.anodic_index for material in found if material is not None and material.anodic_index]
    assert len(indexes) == len(order)
    assert indexes == sorted(indexes)


def test_stainless_in_aluminium_stands_too_far_apart_outdoors() -> None:
    stainless, aluminium, rubber = (KINDS.materials.get(id) for id in ("stainless", "aluminium", "rubber"))
    assert stainless is not None
    assert aluminium is not None
    assert rubber is not None
    gap = galvanic_gap_v(stainless, aluminium)
    assert gap is not None
    assert gap > GALVANIC_LIMITS_V["outdoors under cover"]
    assert galvanic_gap_v(stainless, rubber) is None


@pytest.mark.parametrize("material", KINDS.materials, ids=lambda material: material.id)
def test_tests_of_a_material_do_not_promise_a_strength(material: object) -> None:
    magnet = getattr(material, "magnet", "")
    assert magnet
    assert not re.search(r"\b(grade \d|\d+ MPa)\b", magnet)


# --- drawings ---------------------------------------------------------------------------------------------------------


@every_hardware
def test_every_feature_of_the_record_is_drawn(kind: HardwareKind) -> None:
    root = ElementTree.fromstring(draw_kind(kind))
    drawn = {group.get("data-feature") for group in root.iter(f"{SVG}g")}
    heights = {"full height", "half height", "tall"}
    assert set(kind.shape) - heights - {"thick ring", "wide ring"} <= drawn
    assert all(len(group) > 0 for group in root.iter(f"{SVG}g"))


@every_hardware
def test_a_shape_is_all_nut_or_all_washer(kind: HardwareKind) -> None:
    assert set(kind.shape) <= (ON_NUTS if kind in tuple(KINDS.nuts) else ON_WASHERS)


@every_hardware
def test_a_drawing_has_a_title_and_no_looks_of_its_own(kind: HardwareKind) -> None:
    text = draw_kind(kind)
    assert f"<title>{kind.title}, from above and from the side</title>" in text
    assert not re.search(r'\b(style|fill|stroke|href|on\w+)="', text)


def test_kinds_that_differ_look_different() -> None:
    """Those that share a shape differ by metal or colour, which the words say."""
    same = {frozenset(("nylon-insert", "fibre-insert"))}
    seen: dict[str, str] = {}
    for kind in HARDWARE:
        picture = re.sub(r"<title>.*?</title>", "", draw_kind(kind))
        if picture in seen:
            assert frozenset((kind.id, seen[picture])) in same
        seen.setdefault(picture, kind.id)


def test_the_style_sheet_knows_every_class_that_drawings_use() -> None:
    styles = STYLES.read_text(encoding="utf-8")
    used = {
        name for kind in HARDWARE for names in re.findall(r'class="([^"]+)"', draw_kind(kind)) for name in names.split()
    }
    assert not [name for name in used - {"kind-feature"} if f".{name}" not in styles]


# --- refusals ---------------------------------------------------------------------------------------------------------

GOOD = """\
title: Test nut
lock: none
shape: [hexagon]
recognise: a nut
principle: it turns
use:
  - says: anywhere
    sources:
      - {document: from memory}
never:
  - says: nowhere
    sources:
      - {document: from memory}
temperature: no source found
reuse: no source found
strictest: new
drag: it has none
test: no source found
rules:
  - level: error
    condition: heat
    above: 120 °C
    because: it melts
    sources:
      - {document: some-book, where: p. 1}
sources:
  - {document: from memory}
"""


def load(tmp_path: Path, text: str) -> AllKinds:
    for folder in ("nuts", "washers", "finishes", "materials"):
        (tmp_path / folder).mkdir()
    (tmp_path / "nuts" / "test.yml").write_text(text, encoding="utf-8")
    return load_kinds(tmp_path, ["some-book"])


def test_a_good_record_is_read(tmp_path: Path) -> None:
    (nut,) = load(tmp_path, GOOD).nuts
    assert nut.rules[0].above == 120


@pytest.mark.parametrize(
    ("old", "new", "code", "field", "line"),
    [
        ("temperature: no source found", "temperature: unknown", "choice", "temperature", 14),
        ("above: 120 °C", "above: 120", "value", "rules[0].above", 22),
        ("    condition: heat\n    above: 120 °C\n", "", "kind-rule", "rules[0]", 20),
        ("document: some-book", "document: some-boook", "record-source", "rules[0].sources[0].document", 25),
        (", where: p. 1", "", "record-source", "rules[0].sources[0]", 25),
        ("shape: [hexagon]", "shape: [hexagonal]", "choice", "shape[0]", 3),
        ("strictest: new\n", "", "missing-field", "strictest", 1),
    ],
)
def test_a_mistake_is_named_with_its_line(tmp_path: Path, old: str, new: str, code: str, field: str, line: int) -> None:
    assert old in GOOD
    with pytest.raises(BadDataError) as caught:
        load(tmp_path, GOOD.replace(old, new))
    assert (code, field, line) in {(f.code, f.field, f.line) for f in caught.value.findings}
