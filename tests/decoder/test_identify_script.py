"""The browser's evaluator of the identification against the Python one, in node where there is one.

The browser tests do the same in a real page and with more observations; these tell sooner.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from decoder.identify import Index, build_index
from decoder.reference import Reference
from tests.identify_twins import CHANGES, RUNNER, SCRIPT, VECTORS, changed_script, disagreements, python_answers
from tests.random_observations import observations_at_random, vehicle_at_random

_PROGRAM = """
const fs = require("fs"), vm = require("vm");
const [script, runner, input, output] = process.argv.slice(1);
const page = vm.createContext({window: {}, console});
for (const file of [script, runner]) vm.runInContext(fs.readFileSync(file, "utf8"), page);
const {index, observations, vehicle} = JSON.parse(fs.readFileSync(input, "utf8"));
fs.writeFileSync(output, JSON.stringify(page.window.decoderAnswers(index, observations, vehicle)));
"""

in_node = pytest.mark.skipif(shutil.which("node") is None, reason="no node here; the browser tests do the same")


def node_answers(script: Path, index: Any, observations: Any, vehicle: Any, folder: Path) -> list[Any]:
    given, found = folder / "given.json", folder / "found.json"
    given.write_text(json.dumps({"index": index, "observations": observations, "vehicle": vehicle}), encoding="utf-8")
    run = subprocess.run(
        ["node", "-e", _PROGRAM, str(script), str(RUNNER), str(given), str(found)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    read: list[Any] = json.loads(found.read_text(encoding="utf-8"))
    return read


def _vectors() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(VECTORS.read_text(encoding="utf-8"))
    return read


def test_python_meets_the_vectors() -> None:
    """When it does not, and the change is meant: tests/tools/write_identify_vectors.py writes them anew."""
    vectors = _vectors()
    observations = [case["observations"] for case in vectors["cases"]]
    ours = python_answers(Index(vectors["index"]), observations, vectors["vehicle"])
    assert disagreements(observations, ours, [case["answer"] for case in vectors["cases"]]) == []


@in_node
def test_script_meets_the_vectors(tmp_path: Path) -> None:
    vectors = _vectors()
    observations = [case["observations"] for case in vectors["cases"]]
    theirs = node_answers(SCRIPT, vectors["index"], observations, vectors["vehicle"], tmp_path)
    assert disagreements(observations, [case["answer"] for case in vectors["cases"]], theirs) == []


@in_node
def test_script_agrees_on_observations_at_random(reference: Reference, tmp_path: Path) -> None:
    """Probabilities within 1e-9; order, words, warnings, reasons and next steps the same."""
    data = json.loads(build_index(reference))
    observations, vehicle = observations_at_random(data, 700, seed=11), vehicle_at_random(data, seed=11)
    ours = python_answers(Index(data), observations, vehicle)
    theirs = node_answers(SCRIPT, data, observations, vehicle, tmp_path)
    assert disagreements(observations, ours, theirs) == []


@in_node
@pytest.mark.parametrize(("old", "new"), CHANGES, ids=[old.split("\n")[0] for old, _ in CHANGES])
def test_a_changed_constant_is_noticed(old: str, new: str, tmp_path: Path) -> None:
    vectors = _vectors()
    observations = [case["observations"] for case in vectors["cases"]]
    script = tmp_path / "identify.js"
    script.write_text(changed_script(old, new), encoding="utf-8")
    theirs = node_answers(script, vectors["index"], observations, vectors["vehicle"], tmp_path)
    assert disagreements(observations, [case["answer"] for case in vectors["cases"]], theirs)


@in_node
def test_script_refuses_what_python_refuses(reference: Reference, tmp_path: Path) -> None:
    """The same observations, in a sentence of its own."""
    data = json.loads(build_index(reference))
    refused = [
        {"diametre": {"mm": 8}},
        {"diameter": 8},
        {"diameter": {"mm": "8"}},
        {"diameter": {"mm": -1}},
        {"kind": "boltt"},
        {"head_marks": "8.8"},
        {"trials": [{"with": "M99", "outcome": "binds"}]},
        {"trials": [None]},
        {"has_thread": "yes"},
        {"condition": "unknown"},
        {"count": {"threads": 10}},
    ]
    answers = node_answers(SCRIPT, data, refused, None, tmp_path)
    assert all(answer["refused"].endswith(".") for answer in answers), answers
