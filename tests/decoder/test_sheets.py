"""The sheets that are laid on a bench are read back as geometry, in millimetres, and held to outside values."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from decoder.drawings.qr import qr_code
from decoder.drawings.sheets import cards, combs, gauges, paper
from decoder.drawings.sheets.listing import sheets
from decoder.reference import Reference
from decoder.threads import Thread

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def drawn(reference: Reference) -> dict[str, ET.Element]:
    return {sheet.slug: ET.fromstring(sheet.svg) for sheet in sheets(reference)}


SLUGS = ("pitch-combs", "diameters", "flats-and-lengths", "pocket-cards")


def numbers(text: str) -> list[float]:
    return [float(value) for value in re.findall(r"-?\d+(?:\.\d+)?", text)]


def boxed(root: ET.Element, dx: float = 0.0, dy: float = 0.0) -> list[tuple[float, float]]:
    """Every point of a drawing, and the ends of its words by the widest usual face."""
    points: list[tuple[float, float]] = []
    for each in root:
        if shift := each.get("transform"):
            x, y = numbers(shift)
            points += boxed(each, dx + x, dy + y)
            continue
        a = {name: float(value) for name, value in each.attrib.items() if re.fullmatch(r"-?[\d.]+", value)}
        tag = each.tag.removeprefix(SVG)
        if tag == "line":
            points += [(a["x1"], a["y1"]), (a["x2"], a["y2"])]
        elif tag == "circle":
            points += [(a["cx"] - a["r"], a["cy"] - a["r"]), (a["cx"] + a["r"], a["cy"] + a["r"])]
        elif tag == "rect":
            points += [(a["x"], a["y"]), (a["x"] + a["width"], a["y"] + a["height"])]
        elif tag == "path":
            x = y = 0.0
            for command, given in re.findall(r"([MLHVA])([^MLHVAZ]*)", each.attrib["d"]):
                values = numbers(given)
                x = values[0] if command == "H" else values[-2] if command in "MLA" else x
                y = values[-1] if command in "MLVA" else y
                points.append((x, y))
        elif tag == "text":
            words = "".join(each.itertext())
            wide = len(words) * a["font-size"] * (0.62 if "bold" in each.attrib["class"] else 0.56)
            left = a["x"] - {"start": 0, "middle": wide / 2, "end": wide}[each.get("text-anchor", "start")]
            points += [(left, a["y"] - a["font-size"]), (left + wide, a["y"])]
        points += [] if tag == "text" else boxed(each)
    return [(x + dx, y + dy) for x, y in points]


@pytest.mark.parametrize("slug", SLUGS)
def test_a_sheet_is_one_drawing_in_millimetres_that_fits_both_papers(drawn: dict[str, ET.Element], slug: str) -> None:
    """A4 (210 × 297 mm, ISO 216) and Letter (8.5 × 11 in), each with margins of half an inch all round."""
    root = drawn[slug]
    _, _, width, height = numbers(root.attrib["viewBox"])
    assert (root.attrib["width"], root.attrib["height"]) == (f"{width:g}mm", f"{height:g}mm")
    assert width <= min(210, 8.5 * 25.4) - 25.4
    assert height <= min(297, 11 * 25.4) - 25.4
    outside = [(x, y) for x, y in boxed(root) if not (0 <= x <= width and 0 <= y <= height)]
    assert outside == []


@pytest.mark.parametrize("slug", SLUGS)
def test_every_sheet_can_be_checked(drawn: dict[str, ET.Element], slug: str) -> None:
    """The card is ID-1 as an encyclopaedia prints ISO/IEC 7810: 85.60 × 53.98 mm, corners of 2.88 to 3.48 mm."""
    root = drawn[slug]
    card = next(each for each in root.iter(f"{SVG}rect") if each.get("class") == "card-outline")
    assert (card.attrib["width"], card.attrib["height"]) == ("85.6", "53.98")
    assert 2.88 <= float(card.attrib["rx"]) <= 3.48
    ruler = next(each for each in root.iter(f"{SVG}g") if each.get("class") == "check-ruler")
    ticks = [float(each.attrib["x1"]) for each in ruler.iter(f"{SVG}line")]
    assert (len(ticks), ticks[-1] - ticks[0]) == (101, pytest.approx(100))
    words = " ".join("".join(each.itertext()) for each in root.iter(f"{SVG}text"))
    assert "card does not fit, the print is scaled: do not use" in words


def test_every_pitch_has_a_comb(reference: Reference) -> None:
    """8 to 60 threads to the inch and 0.35 to 3 mm, as the tables have them; 26 and 28 stand side by side."""
    found = combs.pitches(reference.threads)
    names = [pitch.name for pitch in found]
    wanted = {
        f"{t.threads_per_inch:g} tpi" for t in reference.threads if t.threads_per_inch and 8 <= t.threads_per_inch <= 60
    }
    wanted |= {f"{t.pitch_mm:g} mm" for t in reference.threads if not t.threads_per_inch and 0.35 <= t.pitch_mm <= 3}
    assert set(names) == wanted
    assert len(names) == len(set(names))
    assert abs(names.index("26 tpi") - names.index("28 tpi")) == 1
    screws = [pitch.pitch_mm for pitch in found if pitch.name not in ("27 tpi", "19 tpi", "11.5 tpi")]
    assert screws == sorted(screws)


def drawn_combs(root: ET.Element) -> list[tuple[float, list[float], list[float]]]:
    """Of each comb: the pitch it claims, where its tips stand and where its lines do."""
    found = []
    for each in root.iter(f"{SVG}g"):
        if each.get("class") != "comb":
            continue
        teeth, lines = (path.attrib["d"] for path in each.iter(f"{SVG}path"))
        points = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)(?=[A-Z]|$)", teeth)]
        top = min(y for _, y in points)
        high = [x for x, y in points if y == top]
        tips = [(a + b) / 2 for a, b in zip(high[::2], high[1::2], strict=True)]
        found.append((float(each.attrib["data-pitch"]), tips, [float(x) for x in re.findall(r"M([\d.]+)", lines)]))
    return found


def test_combs_have_their_pitch_over_their_whole_length(drawn: dict[str, ET.Element]) -> None:
    """Within a hundredth of a millimetre over more than 25 mm; a line above the middle of every gap."""
    found = drawn_combs(drawn["pitch-combs"])
    assert len(found) > 40
    for pitch, tips, lines in found:
        span = tips[-1] - tips[0]
        assert span >= 25
        assert span == pytest.approx(pitch * (len(tips) - 1), abs=0.01)
        assert lines == pytest.approx([(a + b) / 2 for a, b in pairwise(tips)], abs=0.002)


def test_neighbouring_combs_slip_as_they_must(drawn: dict[str, ET.Element]) -> None:
    """26 and 28 to the inch lose a whole thread in half an inch: 12.7 × 28 / 25.4 = 14 against 13."""
    by_pitch = {round(25.4 / pitch, 3): tips for pitch, tips, _ in drawn_combs(drawn["pitch-combs"])}

    def within(tpi: float) -> int:
        tips = by_pitch[tpi]
        return sum(1 for tip in tips if tip - tips[0] <= 12.7 + 0.01) - 1

    assert (within(28), within(26)) == (14, 13)


def test_combs_that_paper_cannot_tell_are_named(reference: Reference) -> None:
    runs = [[pitch.name for pitch in run] for run in combs.too_near(combs.pitches(reference.threads))]
    assert ["0.9 mm", "28 tpi"] in runs
    assert all("26 tpi" not in run for run in runs)


def slot_widths(root: ET.Element) -> list[float]:
    slot = next(each for each in root.iter(f"{SVG}g") if each.get("class") == "stepped-slot")
    d = next(iter(slot.iter(f"{SVG}path"))).attrib["d"]
    left = numbers(d)[0]
    return [float(x) - left for x in re.findall(r"H([\d.]+)V", d)]


@pytest.mark.parametrize(
    ("slug", "least", "most", "inside"),
    [
        # Nominal sizes as ISO 261 and ASME B1.1 give them, and jaws as they are marked.
        ("diameters", 2.0, 25.4, (6.0, 6.35, 8.0, 9.525, 10.0, 12.0, 12.7, 25.4)),
        ("flats-and-lengths", 5.0, 32.0, (5.0, 10.0, 11.1125, 12.7, 13.0, 13.335, 17.0, 19.05, 32.0)),
    ],
)
def test_slots_narrow_step_by_step_and_hold_the_usual_sizes(
    drawn: dict[str, ET.Element], slug: str, least: float, most: float, inside: tuple[float, ...]
) -> None:
    widths = slot_widths(drawn[slug])
    assert widths == sorted(widths, reverse=True)
    assert (widths[-1], widths[0]) == pytest.approx((least, most), abs=0.002)
    for width in inside:
        assert min(abs(width - drawn_width) for drawn_width in widths) < 0.002, width


def test_what_cannot_be_cut_apart_is_one_step(reference: Reference) -> None:
    """5/16 and M8 differ by 0.06 mm; M10 and 3/8 by nearly half a millimetre."""
    steps = [step.names for step in gauges.diameters(reference.threads)]
    assert any({"5/16 in", "M8"} <= set(names) for names in steps)
    assert any({"3/16 in", "M5"} <= set(names) for names in steps)
    assert not any({"3/8 in", "M10"} <= set(names) for names in steps)
    for step in gauges.diameters(reference.threads):
        assert step.width_mm - step.narrowest_mm < gauges.TOGETHER_MM


def test_holes_are_as_wide_as_their_steps(reference: Reference, drawn: dict[str, ET.Element]) -> None:
    holes = next(each for each in drawn["diameters"].iter(f"{SVG}g") if each.get("class") == "holes")
    widths = [2 * float(each.attrib["r"]) for each in holes.iter(f"{SVG}circle")]
    wanted = [step.width_mm for step in reversed(gauges.diameters(reference.threads)) if step.width_mm >= 2.9]
    assert widths == pytest.approx(wanted, abs=0.002)
    centres = [(float(c.attrib["cx"]), float(c.attrib["cy"]), float(c.attrib["r"])) for c in holes.iter(f"{SVG}circle")]
    for place, (x, y, r) in enumerate(centres):
        for other_x, other_y, other_r in centres[:place]:
            assert ((x - other_x) ** 2 + (y - other_y) ** 2) ** 0.5 > r + other_r + 1


def test_the_rule_has_millimetres_and_sixteenths(drawn: dict[str, ET.Element]) -> None:
    rule = next(each for each in drawn["flats-and-lengths"].iter(f"{SVG}g") if each.get("class") == "rule")
    lines = [each.attrib for each in rule.iter(f"{SVG}line")]
    left = min(float(line["x1"]) for line in lines)
    metric = [float(line["y1"]) for line in lines if float(line["x1"]) == left]
    inch = [float(line["y1"]) for line in lines if float(line["x1"]) != left]
    assert [b - a for a, b in pairwise(metric)] == pytest.approx([1.0] * (len(metric) - 1))
    assert inch[16 * 6] - inch[0] == pytest.approx(6 * 25.4, abs=0.002)


@pytest.mark.parametrize(
    ("bolt", "nut", "happens"),
    [
        # Pairs that the trade knows: the first two bind after about 2 and 6 turns, the others run on.
        ("5/16-24 UNF", "M8x1", "binds at about 2 turns"),
        ("3/8-24 UNF", "M10x1", "binds at about 6 turns"),
        ("No. 10-32 UNF", "M5x0.8", "runs on"),
        ("7/16-20 UNF", "M12x1.25", "runs on"),
        ("M12x1.25", "1/2-20", "runs on"),
        ("3/8-20 BSF", "M10x1.25", "runs on, 65 % of thread"),
    ],
)
def test_pocket_cards_hold_the_pairs_that_the_trade_warns_of(
    reference: Reference, bolt: str, nut: str, happens: str
) -> None:
    rows = cards.traps(reference.threads)
    size = bolt.rpartition(" ")[0] or bolt
    assert any(row.bolt.startswith(size) and nut in row.nuts and row.happens.startswith(happens) for row in rows)


def test_pocket_cards_have_the_size_of_a_card(drawn: dict[str, ET.Element]) -> None:
    found = [each for each in drawn["pocket-cards"].iter(f"{SVG}g") if each.get("class") == "pocket-card"]
    assert len(found) == 6
    for card in found:
        outline = next(iter(card.iter(f"{SVG}rect")))
        assert (outline.attrib["width"], outline.attrib["height"]) == ("85.6", "53.98")
        inside = [(x, y) for x, y in boxed(card) if not (0 <= x <= 85.6 and 0 <= y <= 53.98 - 1)]
        assert [point for point in inside if point != (85.6, 53.98)] == []


def test_words_break_where_they_must() -> None:
    assert paper.lines("one two three", 10, 2.5) == ["one two", "three"]
    assert paper.fits("M8", 10, 2.5)
    assert not paper.fits("M8 and 5/16", 10, 2.5)


def test_a_qr_code_has_its_finders_and_a_quiet_zone() -> None:
    """ISO/IEC 18004: a seven-module square in three corners, four light modules around all."""
    root = ET.fromstring(qr_code("pannier-utility/engine-front/cover-to-block", 21))
    side = numbers(root.attrib["viewBox"])[2]
    assert (side - 8 - 21) % 4 == 0
    runs = re.findall(r"M(\d+) (\d+)h(\d+)v", next(iter(root.iter(f"{SVG}path"))).attrib["d"])
    dark = {(int(x) + step, int(y)) for x, y, count in runs for step in range(int(count))}
    assert min(min(point) for point in dark) == 4
    assert max(max(point) for point in dark) == side - 5
    for x, y in ((4, 4), (side - 11, 4), (4, side - 11)):
        assert all((x + step, y) in dark and (x, y + step) in dark for step in range(7))
    assert not all((side - 11 + step, side - 11) in dark for step in range(7))


def test_threads_of_a_comb_share_its_pitch(reference: Reference) -> None:
    def pitch_of(thread: Thread) -> float:
        return round(thread.pitch_mm, 5)

    for pitch in combs.pitches(reference.threads):
        assert {pitch_of(thread) for thread in pitch.threads} == {round(pitch.pitch_mm, 5)}
