"""The finished site, looked at file by file: every link, anchor and id, and what holds on every page."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit

import jsonschema
from decoder_site.views.usage import NO_MARK, Usage

from decoder.fleet import load_fleet
from decoder.reference import Reference
from tests.plugins.projects import REPOSITORY

_LINKS = {"a": "href", "link": "href", "script": "src", "img": "src", "form": "action", "use": "href"}
_VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


@dataclass
class Page:
    """What a test asks of a page."""

    ids: Counter[str] = field(default_factory=Counter)
    links: list[tuple[str, str]] = field(default_factory=list)
    inline_scripts: list[str] = field(default_factory=list)
    styled: list[str] = field(default_factory=list)
    handlers: list[str] = field(default_factory=list)
    policy: str = ""
    title: str = ""
    description: str = ""
    headings: list[int] = field(default_factory=list)
    unclosed: list[str] = field(default_factory=list)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.page = Page()
        self._open: list[str] = []
        self._script: list[str] | None = None
        self._in_title = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = {name: value or "" for name, value in attrs}
        page = self.page
        if tag not in _VOID:
            self._open.append(tag)
        if "id" in named:
            page.ids[named["id"]] += 1
        if tag in _LINKS and _LINKS[tag] in named and named.get("rel") != "canonical":
            page.links.append((tag, named[_LINKS[tag]]))
        if tag == "style" or "style" in named:
            page.styled.append(self.get_starttag_text() or tag)
        page.handlers += [name for name in named if name.startswith("on")]
        if tag == "script" and "src" not in named and named.get("type") != "application/json":
            self._script = []
        if tag == "meta" and named.get("http-equiv") == "Content-Security-Policy":
            page.policy = named["content"]
        if tag == "meta" and named.get("name") == "description":
            page.description = named["content"]
        if re.fullmatch(r"h[1-6]", tag):
            page.headings.append(int(tag[1]))
        self._in_title = tag == "title" and not page.title and "svg" not in self._open

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in _VOID:
            self._open.pop()

    def handle_endtag(self, tag: str) -> None:
        if tag in _VOID:
            return
        if not self._open or self._open[-1] != tag:
            self.page.unclosed.append(f"</{tag}> inside {self._open[-3:]}")
        if tag in self._open:
            while self._open.pop() != tag:
                pass
        if tag == "script" and self._script is not None:
            self.page.inline_scripts.append("".join(self._script))
            self._script = None
        self._in_title = False

    def handle_data(self, data: str) -> None:
        if self._script is not None:
            self._script.append(data)
        if self._in_title:
            self.page.title += data


@cache
def read_page(path: Path) -> Page:
    """One page, parsed once."""
    reader = _Reader()
    reader.feed(path.read_text(encoding="utf-8"))
    return reader.page


def pages(site: Path) -> Iterator[tuple[str, Page]]:
    """Every page with its address, relative to the site."""
    for path in sorted(site.rglob("*.html")):
        yield path.relative_to(site).as_posix().removesuffix("index.html"), read_page(path)


def _target(site: Path, page: str, link: str) -> tuple[Path, str]:
    """The file that a link of a page leads to, and its anchor."""
    parts = urlsplit(link)
    path = unquote(urlsplit(urljoin(f"http://site/{page}", link)).path).lstrip("/")
    target = site / path
    return (target / "index.html" if path.endswith("/") or not path else target), unquote(parts.fragment)


def test_every_link_leads_to_a_file_and_an_anchor_of_the_site(real_site: Path) -> None:
    """No dead link, no dead anchor, from any page to any other; links into other hosts do not occur."""
    dead, foreign = [], []
    for address, page in pages(real_site):
        if address == "404.html":
            continue
        for tag, link in page.links:
            if urlsplit(link).scheme or link.startswith("//"):
                foreign.append(f"{address}: {tag} {link}")
                continue
            target, anchor = _target(real_site, address, link)
            if not target.is_file():
                dead.append(f"{address}: {link}")
            elif anchor and target.suffix == ".html" and anchor not in read_page(target).ids:
                dead.append(f"{address}: {link} (no such anchor)")
    assert not dead, f"{len(dead)} dead links, such as {dead[:10]}"
    assert not foreign, f"links to other hosts: {foreign[:10]}"


def test_a_wrong_address_is_answered_in_our_own_words_and_looks(real_site: Path) -> None:
    """The host shows this page at any depth: its links begin at the root, and they lead to pages that are there."""
    html = (real_site / "404.html").read_text(encoding="utf-8")
    [style] = re.findall(r'<link rel="stylesheet" href="([^"]*)"', html)
    assert "--paper:" in (real_site / style.lstrip("/")).read_text(encoding="utf-8")
    page = read_page(real_site / "404.html")
    links = [link for _, link in page.links if not link.startswith("#")]
    assert {"/identify/", "/search/", "/vehicles/"} <= set(links)
    assert [
        link for link in links if not link.startswith("/") or not _target(real_site, "404.html", link)[0].is_file()
    ] == []


def test_where_no_figure_is_the_answer_what_is_done_comes_before_the_drawing(real_site: Path) -> None:
    """A hub on taper rollers: its procedure is the answer, and it stands once, before the stack."""
    html = (real_site / "vehicles/pannier-utility/front-hub-and-brake/index.html").read_text(encoding="utf-8")
    card = html[html.index('id="hub-adjusting-nut"') :]
    card = card[: card.index("</article>")]
    assert card.index("<dt>How</dt><dd>Spin the drum") < card.index('id="hub-adjusting-nut--stack"')
    assert card.count("Spin the drum") == 1


def test_no_id_stands_twice_on_a_page(real_site: Path) -> None:
    """An anchor leads to one place."""
    double = {
        address: [name for name, count in page.ids.items() if count > 1]
        for address, page in pages(real_site)
        if any(count > 1 for count in page.ids.values())
    }
    assert not double


def test_pages_are_well_formed(real_site: Path) -> None:
    """Every element that a template opens is closed where it should be."""
    broken = {address: page.unclosed[:3] for address, page in pages(real_site) if page.unclosed}
    assert not broken, dict(list(broken.items())[:5])


def test_every_page_has_a_title_and_words_for_a_search_engine(real_site: Path) -> None:
    """Titles tell pages apart; descriptions are not left to chance."""
    titles = Counter(page.title for address, page in pages(real_site) if address != "404.html")
    assert [title for title, count in titles.items() if count > 1] == []
    assert all(titles)
    assert [address for address, page in pages(real_site) if not page.description] == []


def test_headings_step_down_one_at_a_time(real_site: Path) -> None:
    """One first heading, and no level is skipped, so that a page can be heard as an outline."""
    wrong = []
    for address, page in pages(real_site):
        levels = page.headings
        if levels.count(1) != 1 or any(after > before + 1 for before, after in pairwise(levels)):
            wrong.append(f"{address}: {levels}")
    assert not wrong, wrong[:5]


def test_nothing_of_ours_is_inline(real_site: Path) -> None:
    """No style attribute, no style element, no handler attribute on any page."""
    styled = {address: page.styled[:2] for address, page in pages(real_site) if page.styled}
    handlers = {address: page.handlers[:2] for address, page in pages(real_site) if page.handlers}
    assert not styled
    assert not handlers


def test_policy_allows_the_theme_s_inline_scripts_and_no_other(real_site: Path) -> None:
    """Each inline script's hash stands in its page's policy, and nothing else does."""
    for address, page in pages(real_site):
        rules = dict(rule.strip().partition(" ")[::2] for rule in page.policy.split(";"))
        assert rules["default-src"] == "'none'", address
        assert rules["style-src"] == "'self'", address
        wanted = {
            f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"
            for script in page.inline_scripts
        }
        assert set(rules["script-src"].split()) == {"'self'", *wanted}, address
        assert "unsafe" not in page.policy


def test_no_file_of_the_site_names_another_host_to_load_from(real_site: Path) -> None:
    """Style sheets and scripts load nothing from elsewhere."""
    for path in real_site.rglob("*.css"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"(@import|url\()\s*[\"']?(https?:)?//", text), path
    for name in ("search.js", "identify-page.js", "identify.js"):
        text = (real_site / "assets/scripts" / name).read_text(encoding="utf-8")
        assert not re.search(r"https?://", text), name


def test_every_page_of_an_invented_vehicle_says_so(real_site: Path) -> None:
    """Whoever lands on any of them by a search is told before the first value."""
    fleet = load_fleet(REPOSITORY / "site_data")
    invented = [slug for slug, vehicle in fleet.vehicles.items() if vehicle.is_invented]
    assert invented
    for slug in invented:
        found = sorted((real_site / "vehicles" / slug).rglob("index.html"))
        assert len(found) > 5
        for path in found:
            body = path.read_text(encoding="utf-8").partition("<article")[2]
            said = body.find(">Invented<")
            first_section = body.find("<h2")
            assert 0 < said < (first_section if first_section > 0 else len(body)), path


def test_every_address_of_the_design_is_there(real_site: Path, reference: Reference) -> None:
    """One page for every thread, mark, spanner, grade, kind, vehicle, assembly; one anchor for every joint."""
    wanted = {"", "identify/", "how-good/", "look-alikes/", "sources/", "search/", "finishes/", "materials/"}
    wanted |= {f"sizes/{thread.slug}/" for thread in reference.threads}
    wanted |= {f"head-marks/{mark.id}/" for mark in reference.marks}
    wanted |= {f"spanners/{spanner.slug}/" for spanner in reference.spanners}
    wanted |= {f"strength/{grade.slug}/" for grade in reference.strengths}
    wanted |= {f"nuts/{kind.id}/" for kind in reference.nuts} | {f"washers/{kind.id}/" for kind in reference.washers}
    wanted |= {f"joint-kinds/{name}/" for name in reference.joint_kinds}
    for folder in (
        *("sizes", "head-marks", "spanners", "strength", "nuts", "washers", "circlips", "joint-kinds", "vehicles"),
    ):
        wanted.add(f"{folder}/")
    fleet = load_fleet(REPOSITORY / "site_data")
    for slug, vehicle in fleet.vehicles.items():
        wanted |= {f"vehicles/{slug}/"} | {f"vehicles/{slug}/{name}/" for name in ("sizes", "head-marks", "spanners")}
        for name, assembly in vehicle.assemblies.items():
            wanted.add(f"vehicles/{slug}/{name}/")
            ids = read_page(real_site / "vehicles" / slug / name / "index.html").ids
            assert set(assembly.joints) <= set(ids)
    missing = [address for address in wanted if not (real_site / address / "index.html").is_file()]
    assert not missing


def test_facts_lead_both_ways(real_site: Path, reference: Reference) -> None:
    """Thread, mark, spanner and kind lead to the vehicle's list, the list to the joint, the joint back to each."""
    fleet = load_fleet(REPOSITORY / "site_data")
    usage = Usage(fleet, reference)
    broken = []
    for slug, used in usage.by_vehicle.items():
        for subject, by_id in used.uses.items():
            for subject_id, uses in by_id.items():
                listed = usage.counts(subject, subject_id)
                own = next(count for count in listed if count.address.startswith(f"vehicles/{slug}/"))
                joints = {(f"vehicles/{slug}/{use.joint.assembly}/", use.joint.key) for use in uses}
                broken += [f"{own.address} does not lead to {one}" for one in joints - _linked(real_site, own.address)]
                home, _, anchor = _HOMES[subject].format(subject_id).partition("#")
                if subject_id == NO_MARK:
                    continue
                if (own.address, own.anchor) not in _linked(real_site, home):
                    broken.append(f"{home} does not lead to {own.address}#{own.anchor}")
                broken += [
                    f"{assembly}#{key} does not lead to {home}"
                    for assembly, key in joints
                    if (home, anchor) not in _linked(real_site, assembly)
                ]
    assert not broken, f"{len(broken)}: {broken[:8]}"


_HOMES = {
    "size": "sizes/{}/",
    "mark": "head-marks/{}/",
    "spanner": "spanners/{}/",
    "joint kind": "joint-kinds/{}/",
    "nut": "nuts/{}/",
    "washer": "washers/{}/",
    "finish": "finishes/#{}",
    "material": "materials/#{}",
}


@cache
def _linked(site: Path, address: str) -> set[tuple[str, str]]:
    """Pages and anchors that a page leads to."""
    found = set()
    for tag, link in read_page(site / address / "index.html").links:
        if tag == "a":
            target, anchor = _target(site, address, link)
            found.add((target.relative_to(site).as_posix().removesuffix("index.html"), anchor))
    return found


def test_a_self_locking_nut_shows_its_drag_by_size_and_others_show_none(real_site: Path) -> None:
    """AC 43.13-1B table 7-2 prints 10 lbf·in for 1/2-20; the Army's 18 is stricter and stands in front."""
    page = (real_site / "nuts/nylon-insert/index.html").read_text(encoding="utf-8")
    row = re.search(r'<tr><th scope="row"><a [^>]*>1/2-20 UNF</a>.*?</tr>', page, re.S)
    assert row is not None
    assert "<strong>2.03 N·m (18 lbf·in)</strong>" in row[0]
    assert "10 lbf·in" in row[0]
    assert "Drag by size" not in (real_site / "nuts/castellated/index.html").read_text(encoding="utf-8")


def test_the_page_of_a_mark_opens_with_what_it_claims(real_site: Path) -> None:
    page = (real_site / "head-marks/radial-lines-3/index.html").read_text(encoding="utf-8")
    claim, seen = page.index('class="claims"'), page.index("What is seen:")
    assert claim < seen < page.index('id="does-not-tell"')
    first = re.sub(r"<[^>]+>", "", page[claim : page.index("</li>", page.index("How sure", claim))])
    for words in ("Claims SAE 5.", "SAE J429, United States", "How sure: well supported", "tensile 827 MPa (120 ksi)"):
        assert words in first


def test_data_answers_to_its_schema(real_site: Path) -> None:
    """The schema beside each table describes it, and no table holds line numbers."""
    listed = json.loads((real_site / "data/index.json").read_text(encoding="utf-8"))["tables"]
    assert len(listed) >= 11
    for table in listed:
        data = json.loads((real_site / "data" / table["data"]).read_text(encoding="utf-8"))
        schema = json.loads((real_site / "data" / table["schema"]).read_text(encoding="utf-8"))
        jsonschema.Draft202012Validator.check_schema(schema)
        jsonschema.Draft202012Validator(schema).validate(data)
        assert len(data) == table["count"] > 0, table
        assert '"line"' not in json.dumps(data), table


def test_a_vehicle_s_data_answers_to_its_schema(real_site: Path) -> None:
    """All records of a vehicle, as they were typed."""
    schema = json.loads((real_site / "data/vehicle.schema.json").read_text(encoding="utf-8"))
    for path in (real_site / "vehicles").glob("*/data.json"):
        jsonschema.Draft202012Validator(schema).validate(json.loads(path.read_text(encoding="utf-8")))


def test_navigation_does_not_grow_with_the_tables(real_site: Path) -> None:
    """A page carries the top sections, not thousands of links to its like."""
    page = (real_site / "sizes/m8x1-25/index.html").read_text(encoding="utf-8")
    navigation = page.partition('<nav class="drawer"')[2].partition("</nav>\n")[0]
    assert 0 < navigation.count("<a ") <= 60
