"""Hand-written pages: their figures come from the tables, and they stay short enough to read at the bench."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from decoder_site.guide_values import GuideError, GuideValues
from decoder_site.links import Links

from decoder.fleet import Fleet
from decoder.reference import Reference

CONTENT = Path(__file__).parents[2] / "content"
PAGES = sorted(path for path in CONTENT.rglob("*.md"))
GUIDES = [path for path in PAGES if path.parent.name == "guides"]


@pytest.fixture(scope="module")
def values(reference: Reference) -> GuideValues:
    return GuideValues(reference, Fleet(vehicles={}))


@pytest.mark.parametrize(
    ("text", "filled"),
    [
        pytest.param(
            '{= real_bolt("3/8-16 UNC") =}',
            "9.253 to 9.492 mm",
            id="ASME B1.1 class 2A: 0.3643 to 0.3737 in",
        ),
        pytest.param(
            '{= real_bolt("M10x1.5") =}',
            "9.732 to 9.968 mm",
            id="ISO 965-1 6g for M10: 9.732 to 9.968 mm",
        ),
        pytest.param('{= flats("7/16-14 UNC", "nut") =}', "11/16", id="ASME B18.2.2: a 7/16 nut is 11/16 across"),
        pytest.param('{= angle("1/4-20 BSW") =}', "55°", id="BS 84: 55 degrees"),
    ],
)
def test_a_place_is_filled_from_the_tables(values: GuideValues, text: str, filled: str) -> None:
    made = values.fill(text, "guides/x.md", Links("guides/x/"))
    numbers = re.findall(r"[0-9.]+", filled)
    assert all(number[:5] in made for number in numbers), made


def test_text_without_places_is_left_alone(values: GuideValues) -> None:
    text = "Braces {{ stay }} and {% so %} do {# these #}."
    assert values.fill(text, "guides/x.md", Links("guides/x/")) == text


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ('{= pitch("5/17-24 UNF") =}', "5/17-24 UNF"),
        ('{= proof("SAE 55", "3/8-24 UNF") =}', "SAE 55"),
        ('{= draw_mark("no-such-mark") =}', "no-such-mark"),
        ('{= count("bananas") =}', "bananas"),
        ("{= nothing() =}", "nothing"),
        ("{= pitch( =}", "guides/x.md"),
        ("{= pitch.__class__.__mro__ =}", "guides/x.md"),
    ],
)
def test_a_place_that_cannot_be_filled_stops_with_its_page_and_words(
    values: GuideValues, place: str, said: str
) -> None:
    with pytest.raises(GuideError) as caught:
        values.fill(f"First line\n\n{place}\n", "guides/x.md", Links("guides/x/"))
    assert said in str(caught.value)
    assert "guides/x.md" in str(caught.value)
    assert "Fix:" in str(caught.value)


@pytest.mark.parametrize("path", GUIDES, ids=lambda path: path.stem)
def test_a_guide_fits_the_bench(path: Path) -> None:
    text = path.read_text(encoding="utf-8").split("---", 2)[2]
    assert len(text.split()) <= 700
    sentences = [part for part in re.split(r"[.!?:]\s|\n\n|\n- |\n[0-9]+\. |\|", text) if part.split()]
    assert sum(len(part.split()) for part in sentences) / len(sentences) <= 16, "shorter sentences, please"


@pytest.mark.parametrize("path", [path for path in GUIDES if path.stem != "glossary"], ids=lambda path: path.stem)
def test_a_guide_carries_its_caution(path: Path) -> None:
    assert re.search(r'class="(caution|danger)"', path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
def test_a_page_says_what_it_is_for(path: Path) -> None:
    head = path.read_text(encoding="utf-8").split("---", 2)[1]
    assert "title:" in head
    assert "description:" in head
