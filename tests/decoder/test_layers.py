"""Imports go one way: the library and its command stand without the site and without what builds it."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
SOURCES = sorted((ROOT / "decoder").rglob("*.py"))

#: What builds the site. Both are near the end of their upkeep; nothing of value may hang on them.
SITE_ONLY = ("mkdocs", "material", "jinja2", "markdown", "properdocs", "decoder_site", "plugins")

#: Everything else that the library may import from outside the standard library.
OUTSIDE = ("yaml", "segno")


def module_name(path: Path) -> str:
    """`decoder.checks.stack` for its file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(path: Path, *, anywhere: bool) -> Iterator[str]:
    """Modules that a file imports: wherever in it, or only what runs when the module is loaded."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree) if anywhere else _when_loaded(tree.body):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{path}: relative import; write the whole name, which can be searched for"
            assert node.module
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def _when_loaded(body: list[ast.stmt]) -> Iterator[ast.stmt]:
    for node in body:
        typing_only = isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test)
        if isinstance(node, ast.If | ast.Try) and not typing_only:
            yield from _when_loaded(node.body)
        yield node


@pytest.mark.parametrize("path", SOURCES, ids=module_name)
def test_no_module_names_the_site(path: Path) -> None:
    """Not at the top, not inside a function, not for typing alone."""
    for name in imports(path, anywhere=True):
        top = name.split(".")[0]
        assert top not in SITE_ONLY, f"{module_name(path)} imports {name}"
        assert top in ("decoder", *OUTSIDE) or top in sys.stdlib_module_names, f"{module_name(path)} imports {name}"


def test_every_module_loads_where_the_site_is_not_installed() -> None:
    """A program of its own, in which importing any of these raises; it also answers a question and checks records."""
    program = f"""
import importlib, sys
BLOCKED = {SITE_ONLY!r}
class Blocker:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in BLOCKED:
            raise ModuleNotFoundError(name + " is blocked")
sys.meta_path.insert(0, Blocker())
for name in BLOCKED[:3]:
    try:
        importlib.import_module(name)
    except ModuleNotFoundError:
        continue
    raise SystemExit(name + " could be imported, so this test proves nothing")
for name in {[module_name(path) for path in SOURCES if path.stem != "__main__"]!r}:
    importlib.import_module(name)
from decoder.command import run
assert run(["size", "5/16-24"]) == 0
assert run(["check"]) == 0
"""
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-2000:] or done.stdout[-2000:]


def test_imports_inside_the_library_go_one_way() -> None:
    """No module needs, while it is loaded, one that needs it."""
    names = {module_name(path): path for path in SOURCES}
    graph = {
        name: {target for target in imports(path, anywhere=False) if target in names and target != name}
        for name, path in names.items()
    }
    for name, targets in graph.items():
        # A package's modules are part of it: what its `__init__` gathers is no way back.
        graph[name] = {target for target in targets if not name.startswith(f"{target}.")}
    try:
        tuple(TopologicalSorter(graph).static_order())
    except CycleError as error:
        pytest.fail(" imports ".join(reversed(error.args[1])))


@pytest.mark.parametrize(
    ("module", "never"),
    [
        ("decoder.yaml_source", ("decoder.records", "decoder.build", "decoder.tables")),
        ("decoder.build", ("decoder.records", "decoder.reference", "decoder.checks")),
        ("decoder.records", ("decoder.reference", "decoder.checks", "decoder.fleet", "decoder.yaml_source")),
        ("decoder.fleet", ("decoder.reference", "decoder.checks")),
        ("decoder.threads", ("decoder.records", "decoder.fleet", "decoder.checks")),
        ("decoder.reference", ("decoder.fleet", "decoder.checks")),
    ],
)
def test_lower_layers_do_not_know_upper_ones(module: str, never: tuple[str, ...]) -> None:
    """Text, then types, then tables, then the fleet, then the rules."""
    path = next(path for path in SOURCES if module_name(path) == module)
    assert not set(imports(path, anywhere=True)) & set(never)
