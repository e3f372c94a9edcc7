"""What is left out of the finished site is what nobody sees: comments, unused rules, separate files."""

from __future__ import annotations

from pathlib import Path

import pytest
from decoder_site.lean import make_lean, stripped_script, without_late_drawings, without_late_parts
from decoder_site.stylesheets import only_used, stripped_style

_NAMES = {"html", "body", "a", "ul", "li", "shown", "slate"}


@pytest.mark.parametrize(
    ("css", "left"),
    [
        (".shown{a:b}.gone{a:b}", ".shown{a:b}"),
        (".shown,.gone a,a.shown{a:b}", ".shown,a.shown{a:b}"),
        ("ul>li{a:b}ol>li{a:b}video{a:b}", "ul>li{a:b}"),
        ("a:not(.gone):hover::before{a:b}", "a:not(.gone):hover::before{a:b}"),
        ("@media print{.gone{a:b}}@media screen{.gone{a:b}.shown{a:b}}", "@media screen{.shown{a:b}}"),
        ("@font-face{a:b}@keyframes turn{0%{a:b}to{c:d}}", "@font-face{a:b}"),
        ("@keyframes turn{to{c:d}}a{animation:turn 1s}", "@keyframes turn{to{c:d}}a{animation:turn 1s}"),
        ("[dir=rtl] .shown{a:b}[data-x=slate]{a:b}[data-x=pink]{a:b}[hidden]{a:b}", "[data-x=slate]{a:b}[hidden]{a:b}"),
        (":is(a,ul){a:b}*,:after{a:b}", ":is(a,ul){a:b}*,:after{a:b}"),
        ('@charset "UTF-8";a{a:b}/* .c{d:e} */', "a{a:b}"),
        ("a{--one:1;--two:2;b:var(--two)}", "a{--two:2;b:var(--two)}"),
        ("a{--one:var(--two);--two:url(data:x;y{z})}li{a:b}", "li{a:b}"),
        ("a{--beside:1}", "a{--beside:1}"),
        ("a.w-1\\\\:2{a:b}a{c:d}", "a{c:d}"),
    ],
)
def test_rules_that_no_page_can_use_go(css: str, left: str) -> None:
    """By class, element, value and variable; what a script may set is among the names."""
    lighter = only_used(css.replace("\\\\", "\\"), _NAMES, "p{q:var(--beside)}")
    assert lighter.replace("\n", "") == left


def test_scripts_lose_comments_and_nothing_else() -> None:
    """A comment behind a statement stays, since telling it from a text or a pattern needs a parser."""
    script = (
        "/*\n * Says hello.\n */\n(function () {\n  // so\n  say('// no comment');  // kept\n\n  a = /\\/*x/;\n})();\n"
    )
    assert stripped_script(script) == "(function () {\nsay('// no comment');  // kept\na = /\\/*x/;\n})();\n"
    assert stripped_script("a = `\n  // text\n`;\n") == "a = `\n  // text\n`;\n"
    assert stripped_script("// `a`\n  b('`', \"`\");\n") == "b('`', \"`\");\n"


def test_styles_lose_comments_and_indentation() -> None:
    """Line breaks stay, for a value may go over several lines."""
    assert stripped_style("/* a */\n.b {\n  c: d\n    e;\n}\n\n") == ".b {\nc: d\ne;\n}\n"


_PAGE = """\
<head>
  <link rel="stylesheet" href="{0}assets/styles/a.css">
  <link rel="stylesheet" href="{0}assets/styles/b.css">
  <script src="{0}assets/scripts/first.js"></script>
</head>
<body class="{1}"><a>x</a>
<script src="{0}assets/scripts/a.js" defer></script>
<script src="{0}data/b.js" defer></script>
</body>
"""


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """Three pages at different depths, two of them with the same styles and scripts."""
    files = {
        "index.html": _PAGE.format("", "a"),
        "deep/er/index.html": _PAGE.format("../../", "b"),
        "404.html": _PAGE.format("/below/", ""),
        "assets/styles/a.css": ".a { b: c; }\n",
        "assets/styles/b.css": ".b { b: c; }\n.gone { b: c; }\n",
        "assets/scripts/first.js": "f();\n",
        "assets/scripts/a.js": "// one\na();\n",
        "data/b.js": "b();\n",
    }
    for address, text in files.items():
        path = tmp_path / address
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return tmp_path


def test_runs_of_styles_and_scripts_become_one_file(site: Path) -> None:
    """In their order, from pages at any depth, with what any of these pages uses; the page for a wrong address has the
    full path.
    """
    make_lean(site)
    [style] = (site / "assets/bundles").glob("*.css")
    [script] = (site / "assets/bundles").glob("*.js")
    assert style.read_text(encoding="utf-8") == ".a{ b: c; }\n.b{ b: c; }\n"
    assert script.read_text(encoding="utf-8") == "a();\n\nb();\n"
    for address, root in (("index.html", ""), ("deep/er/index.html", "../../"), ("404.html", "/below/")):
        html = (site / address).read_text(encoding="utf-8")
        assert html.count("stylesheet") == 1
        assert html.count("<script") == 2
        assert f'href="{root}assets/bundles/{style.name}"' in html
        assert f'src="{root}assets/bundles/{script.name}"' in html
        assert f'src="{root}assets/scripts/first.js"' in html


def test_address_stays_when_the_content_changes(site: Path) -> None:
    """A changed script must not change every page, or phones would fetch every page again."""
    make_lean(site)
    names = sorted(path.name for path in (site / "assets/bundles").iterdir())
    (site / "index.html").write_text(_PAGE.format("", ""), encoding="utf-8")
    (site / "assets/scripts/a.js").write_text("other();\n", encoding="utf-8")
    make_lean(site)
    assert sorted(path.name for path in (site / "assets/bundles").iterdir()) == names


def test_drawings_that_show_later_come_later() -> None:
    """Only those in marked elements; each place stays, and so do the words."""
    html = (
        '<div class="a" data-late hidden>'
        '<button><span aria-hidden="true"><svg><title>&lt;b&gt;</title></svg></span>A</button>'
        '<button><span aria-hidden="true"><svg>2</svg></span>B</button></div>'
        '<div class="a"><span aria-hidden="true"><svg>3</svg></span></div>'
    )
    lighter, drawings = without_late_drawings(html)
    assert drawings == ["<svg><title>&lt;b&gt;</title></svg>", "<svg>2</svg>"]
    assert lighter == (
        '<div class="a" data-late="late.js" hidden><button><span aria-hidden="true"></span>A</button>'
        '<button><span aria-hidden="true"></span>B</button></div>'
        '<div class="a"><span aria-hidden="true"><svg>3</svg></span></div>'
    )
    assert without_late_drawings(html.replace(" data-late", "")) == (html.replace(" data-late", ""), [])


def test_parts_that_show_later_come_later() -> None:
    """The marked element stays, empty; whatever stood in it is kept by its id."""
    html = (
        '<ul id="a" data-late-part hidden><li>1</li></ul><section data-late-part id="b"><div>2</div></section><p>3</p>'
    )
    lighter, parts = without_late_parts(html)
    assert parts == {"a": "<li>1</li>", "b": "<div>2</div>"}
    assert lighter == (
        '<ul id="a" data-late-part="late.js" hidden></ul><section data-late-part="late.js" id="b"></section><p>3</p>'
    )
