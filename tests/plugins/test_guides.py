"""Hand-written pages: their figures come from the tables, and they stay short enough to read at the bench."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path
from typing import get_args

import pytest
from decoder_site.guide_drawings import GuideError
from decoder_site.guide_values import GuideValues
from decoder_site.links import Links
from decoder_site.views.sources import provenances

from decoder.fleet import Fleet
from decoder.kinds import Kinds
from decoder.marks import Marks
from decoder.plating_rules import RULES, PlatingRules
from decoder.records import Temperature
from decoder.reference import Reference
from decoder.sources import SourceKind
from decoder.strength import Strengths
from decoder.tables import UNSOURCED
from decoder.threads import Thread, Threads

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


PLACES = sorted({place for path in PAGES for place in re.findall(r"\{= .*? =\}", path.read_text(encoding="utf-8"))})
#: Places that name a row or record; an order of tightening stands in no table.
NAMING = [place for place in PLACES if '"' in place and not place.startswith(("{= count(", "{= draw_sequence("))]
FIGURES = [place for place in PLACES if not place.startswith(("{= draw_", "{= count("))]


def filled(reference: Reference, place: str) -> str:
    """What a place comes to, in words of its own where it stops the build."""
    try:
        return GuideValues(reference, Fleet(vehicles={})).fill(place, "x.md", Links("x/"))
    except GuideError as error:
        return f"stops: {error}"


def moved(thread: Thread) -> Thread:
    """A thread with every measure that its row holds a little off."""
    form = dataclasses.replace(thread.form, flank_angle_deg=thread.form.flank_angle_deg + 2)
    per_inch = thread.threads_per_inch and thread.threads_per_inch / 1.13
    return dataclasses.replace(
        thread, major_mm=thread.major_mm * 1.07, pitch_mm=thread.pitch_mm * 1.13, threads_per_inch=per_inch, form=form
    )


def with_other_values(reference: Reference, place: str) -> Reference:
    """The tables with the values changed that a place asks for, and no others."""
    named = re.findall(r'"([^"]+)"', place)
    asked = place.removeprefix("{= ").partition("(")[0]
    if asked == "flats":
        rows = [dataclasses.replace(row, across_flats_mm=row.across_flats_mm + 0.7) for row in reference.hexagons]
        return dataclasses.replace(reference, hexagons=type(reference.hexagons)(rows))
    if asked == "spanners":
        jaws = [dataclasses.replace(jaw, jaw_mm=jaw.jaw_mm + 0.7) for jaw in reference.spanners]
        return dataclasses.replace(reference, spanners=type(reference.spanners)(jaws))
    if asked in ("proof", "tensile"):
        grade = reference.strengths.find(named[0])
        rows = tuple(
            dataclasses.replace(row, proof_mpa=(row.proof_mpa or 0) + 7, tensile_mpa=(row.tensile_mpa or 0) + 7)
            for row in grade.rows
        )
        return dataclasses.replace(reference, strengths=Strengths([dataclasses.replace(grade, rows=rows)]))
    if asked == "hard_from":
        harder = [
            dataclasses.replace(row, limit=row.limit + 3 if row.limit else None)
            for rule in RULES
            for row in reference.plating[rule]
        ]
        return dataclasses.replace(reference, plating=PlatingRules(harder))
    if asked == "heat":
        nut = reference.nuts.find(named[0])
        rules = tuple(
            dataclasses.replace(rule, above=Temperature(rule.above + 9)) if rule.above else rule for rule in nut.rules
        )
        return dataclasses.replace(reference, nuts=Kinds("nut", {nut.id: dataclasses.replace(nut, rules=rules)}))
    # Of two threads the first alone is moved: what they do to each other must notice.
    first = reference.threads.find(named[0]).designation
    threads = [moved(each) if each.designation == first else each for each in reference.threads]
    return dataclasses.replace(reference, threads=Threads(threads))


@pytest.mark.parametrize("place", FIGURES)
def test_a_changed_table_changes_the_guide_that_cites_it(reference: Reference, place: str) -> None:
    """Or stops the build; it never leaves the old figure standing."""
    now = filled(reference, place)
    assert not now.startswith("stops")
    assert filled(with_other_values(reference, place), place) != now


@pytest.mark.parametrize("place", NAMING)
def test_what_a_guide_names_must_be_in_the_tables(reference: Reference, place: str) -> None:
    """A thread, grade, jaw, mark, nut or washer that is taken out of its table stops the build."""
    emptied = dataclasses.replace(
        reference,
        threads=Threads([]),
        strengths=Strengths([]),
        spanners=type(reference.spanners)([]),
        marks=Marks([]),
        nuts=Kinds("nut", {}),
        washers=Kinds("washer", {}),
        plating=PlatingRules([]),
    )
    assert filled(emptied, place).startswith("stops: x.md: ")


def test_the_pages_use_every_figure_that_they_are_offered(reference: Reference) -> None:
    """What nothing uses is not kept up."""
    used = {place.removeprefix("{= ").partition("(")[0] for place in PLACES}
    offered = GuideValues(reference, Fleet(vehicles={})).names
    assert used == set(offered)


def test_the_statement_of_what_rests_on_what_adds_up(reference: Reference) -> None:
    """Every row is in one line of the statement, counted while the site is built."""
    text = (CONTENT / "about.md").read_text(encoding="utf-8")
    lines = re.findall(r'\{= count\("(rows [^"]+)"\) =\}', text)
    assert len(lines) == len(set(lines)) == len(get_args(SourceKind)) + len(UNSOURCED)
    values = GuideValues(reference, Fleet(vehicles={}))
    total = sum(int(values.count(line)) for line in lines)
    assert total == int(values.count("rows")) == len(list(provenances(reference)))
    assert all(f'count("{what}")' in text for what in ("rows", "joints", "invented joints", "vehicles"))


@pytest.mark.parametrize("path", [*GUIDES, CONTENT / "safety.md"], ids=lambda path: path.stem)
def test_a_guide_fits_the_bench(path: Path) -> None:
    """One screen-ish of short sentences in plain words: someone of twelve can read it (Flesch and Kincaid's grade)."""
    text = path.read_text(encoding="utf-8").split("---", 2)[2]
    assert len(text.split()) <= 700
    text = re.sub(r"\{= draw.*? =\}", "", text)
    text = re.sub(r"\{=.*?=\}", "five", text)
    text = re.sub(r"<[^>]+>|\]\([^)]*\)", "", text)
    parts = re.split(r"[.!?]\s|\n\n|\n- |\n[0-9]+\. |\|", text)
    sentences = [words for part in parts if (words := re.findall(r"[A-Za-z][A-Za-z'-]*", part))]
    words = [word for sentence in sentences for word in sentence]
    length = len(words) / len(sentences)
    assert length <= 14, "shorter sentences, please"
    assert 0.39 * length + 11.8 * sum(map(syllables, words)) / len(words) - 15.59 <= 6, "plainer words, please"


def syllables(word: str) -> int:
    """About how many syllables an English word has: its groups of vowels, without a silent end."""
    plain = re.sub(r"[^a-z]", "", word.lower())
    count = len(re.findall(r"[aeiouy]+", plain))
    is_silent = re.search(r"[^l]e$|[^sxzcgt]es$|[^td]ed$", plain) is not None and not plain.endswith("ee")
    return max(1, count - (is_silent and count > 1))


@pytest.mark.parametrize("path", GUIDES, ids=lambda path: path.stem)
def test_a_guide_shows_what_it_says(path: Path) -> None:
    """At least one drawing, computed."""
    assert "{= draw_" in path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "danger",
    ["Stands and jacks", "Springs", "Brakes and steering", "Fuel and sparks", "Plating acids", "cadmium and chrome",
     "Seat belts", "Wheels", "Asbestos"],
)  # fmt: skip
def test_each_danger_has_its_line_and_says_who_comes_first(danger: str) -> None:
    text = (CONTENT / "safety.md").read_text(encoding="utf-8")
    line = next(line for line in text.splitlines() if line.startswith("- **") and danger in line)
    assert re.search(r"First: .*(manual|rules|licensed)", line)


@pytest.mark.parametrize("path", [path for path in GUIDES if path.stem != "glossary"], ids=lambda path: path.stem)
def test_a_guide_carries_its_caution(path: Path) -> None:
    assert re.search(r'class="(caution|danger)"', path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
def test_a_page_says_what_it_is_for(path: Path) -> None:
    head = path.read_text(encoding="utf-8").split("---", 2)[1]
    assert "title:" in head
    assert "description:" in head
