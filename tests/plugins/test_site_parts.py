"""The small parts that pages are made with, each on its own."""

from __future__ import annotations

import ast
import base64
import hashlib
from pathlib import Path

import pytest
from decoder_site.csp import inline_scripts, protect
from decoder_site.links import Links
from decoder_site.records_place import RecordsPlace
from decoder_site.templating import Templates
from decoder_site.views.entry_tables import coat_table, galvanic_table
from decoder_site.views.measures import Citations, Measure, length, limits, pitch
from decoder_site.views.sizes import spanner_links
from jinja2 import UndefinedError

from decoder.reference import Reference
from decoder.spanners import spanners_for
from tests.plugins.projects import REPOSITORY


@pytest.mark.parametrize(
    ("page", "target", "anchor", "link"),
    [
        ("", "sizes/m8x1-25/", "", "sizes/m8x1-25/"),
        ("", "", "", "./"),
        ("sizes/", "", "", "../"),
        ("sizes/m8x1-25/", "sources/", "iso-261", "../../sources/#iso-261"),
        ("vehicles/cart/frame/", "assets/x.css", "", "../../../assets/x.css"),
    ],
)
def test_links_are_relative(page: str, target: str, anchor: str, link: str) -> None:
    """A page can stand below any path."""
    assert Links(page).to(target, anchor) == link


def test_links_name_files_for_a_stick() -> None:
    """No server answers for a folder there."""
    assert Links("sizes/m8x1-25/", as_files=True).to("sources/", "x") == "../../sources/index.html#x"
    assert Links("", as_files=True).to("data/search.js") == "data/search.js"


def test_policy_has_the_hash_of_each_inline_script_and_of_nothing_else() -> None:
    """Data in a script element is not run and needs none; a file has 'self'."""
    page = (
        '<html><head><meta charset="utf-8"><script>one</script><script src="x.js"></script>'
        '<script type="application/json">{}</script></head></html>'
    )
    protected = protect(page)
    digest = base64.b64encode(hashlib.sha256(b"one").digest()).decode()
    assert f"script-src 'self' 'sha256-{digest}';" in protected
    assert protected.count("sha256-") == 1
    assert inline_scripts(page) == ["one"]
    assert protected.index("Content-Security-Policy") < protected.index("<script")


def test_policy_changes_nothing_in_what_is_no_page() -> None:
    """A site map goes through the same hook."""
    assert protect("<urlset></urlset>") == "<urlset></urlset>"


def test_name_that_a_view_does_not_have_stops_the_build() -> None:
    """A misspelt name in a template must not leave a hole on a page."""
    with pytest.raises(UndefinedError):
        Templates().fragment("sizes", Links("sizes/"))


@pytest.mark.parametrize(
    ("measure", "words"),
    [
        (length(7.9375, "inch"), "5/16 in (7.938 mm)"),
        (length(8.0), "8 mm (0.315 in)"),
        (length(31.75, "inch"), "1-1/4 in (31.75 mm)"),
        (length(7.9, "metric", 0.05), "7.9 ±0.05 mm (0.311 in)"),
        (pitch(25.4 / 24, 24), "24 tpi (1.058 mm)"),
        (pitch(1.25, None), "1.25 mm (20.3 tpi)"),
    ],
)
def test_measures_show_both_systems_and_fractions_as_fractions(measure: object, words: str) -> None:
    """The system of the standard comes first."""
    assert getattr(measure, "words", None) == words


def test_limits_show_a_span_in_both_systems() -> None:
    """One limit alone is said in words."""
    assert limits(11.73, 12.0) == Measure("11.73 to 12", "mm", "0.462 to 0.472 in")
    assert limits(None, 12.7, "inch") == Measure("at most 1/2", "in", "at most 12.7 mm")
    assert limits(None, None) is None


def test_record_is_named_by_its_place_in_the_repository(tmp_path: Path) -> None:
    """A line in the file view where a repository is named, else in words."""
    data = tmp_path / "data/site_data"
    data.mkdir(parents=True)
    place = RecordsPlace.of(data, root=tmp_path, repo_url="https://example.org/r/", branch="main")
    assert place.at("vehicles/a/b.yml", 7).url == "https://example.org/r/blob/main/data/site_data/vehicles/a/b.yml#L7"
    assert RecordsPlace.of(data, root=tmp_path, repo_url=None, branch="main").at("x.yml", 3).words == (
        "data/site_data/x.yml, line 3"
    )


def _imports(path: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add(node.module or "")
    return {name.split(".")[0] for name in names}


def test_arrows_point_one_way() -> None:
    """The library knows neither the site generator nor its templates, nor the plugin."""
    for path in (REPOSITORY / "decoder").rglob("*.py"):
        assert not _imports(path) & {"mkdocs", "jinja2", "material", "decoder_site", "markupsafe", "markdown"}, path


def test_only_the_second_step_knows_the_generator() -> None:
    """Views, templates and the list of pages could feed another generator."""
    allowed = {"plugin.py", "making.py", "theming.py", "loading.py"}
    package = REPOSITORY / "plugins/decoder_site"
    knowing = {path.name for path in package.rglob("*.py") if "mkdocs" in _imports(path)}
    assert knowing <= allowed


def test_templates_hold_no_arithmetic_and_no_raw_text() -> None:
    """What a page shows is worked out before; nothing is marked safe by a template."""
    for path in (REPOSITORY / "plugins/decoder_site/templates").glob("*.j2"):
        text = path.read_text(encoding="utf-8")
        assert "|safe" not in text.replace(" ", ""), path
        assert "style=" not in text, path
        for expression in text.split("{{")[1:]:
            inside = expression.partition("}}")[0]
            assert not any(f" {sign} " in inside for sign in "*/%"), f"{path}: {inside}"


def test_short_cut_to_near_spanners_loses_none(reference: Reference) -> None:
    """Every jaw that fits a head is among those that are tried."""
    for head in reference.hexagons:
        fitting = [choice.spanner.marking for choice in spanners_for(head, reference.spanners)]
        assert [link.marking for link in spanner_links(head, reference)] == fitting


def test_room_for_a_coat_is_what_the_standard_gives(reference: Reference) -> None:
    """Largest pitch diameters at 6g and least at 6H, as a published library prints them in inches, over four."""
    table = coat_table(reference, Citations(dict(reference.sources), RecordsPlace("site_data", None)))
    rooms = {row[0].text: row[1].text for row in table.rows}
    for size, bolt_in, basic_in in (("M8x1.25", 0.28189, 0.28299), ("M12x1.75", 0.42634, 0.42768)):
        assert float(rooms[size].removesuffix(" µm")) == pytest.approx((basic_in - bolt_in) * 25400 / 4, abs=0.1)


def test_every_pair_of_metals_says_which_is_eaten_and_where_that_is_too_much(reference: Reference) -> None:
    table = galvanic_table(reference, Citations(dict(reference.sources), RecordsPlace("site_data", None)))
    rows = {(row[0].text, row[1].text): row[2].text for row in table.rows}
    assert rows["Aluminium alloy", "copper"] == "0.55 V: everywhere"
    assert rows["Aluminium alloy", "stainless steel"] == "0.4 V: wet with salt, outdoors under cover"
    metals = len({metal.anodic_index for metal in reference.materials if metal.anodic_index is not None})
    assert len(rows) == metals * (metals - 1) / 2
