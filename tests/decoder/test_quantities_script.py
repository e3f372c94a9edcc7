"""The browser's reader of quantities against the shared vectors, in node where there is one.

The browser tests hold the same vectors in a real page; this one tells sooner.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "content/assets/scripts/quantities.js"
RUNNER = ROOT / "tests/vectors/run_quantities.js"

_PROGRAM = """
const fs = require("fs"), vm = require("vm");
const [script, runner, ...files] = process.argv.slice(1);
const page = vm.createContext({window: {}});
let text = fs.readFileSync(script, "utf8");
if (process.env.CHANGED) text = text.replace("MM_PER_INCH = 25.4;", "MM_PER_INCH = 25.5;");
vm.runInContext(text, page);
vm.runInContext(fs.readFileSync(runner, "utf8"), page);
const lines = files.flatMap((file) => page.window.decoderVectors.failures(JSON.parse(fs.readFileSync(file, "utf8"))));
console.log(lines.join("\\n"));
"""

pytestmark = pytest.mark.skipif(
    shutil.which("node") is None, reason="no node here; the browser tests run these vectors"
)


def _failures(file: str, changed: str = "") -> list[str]:
    run = subprocess.run(
        ["node", "-e", _PROGRAM, str(SCRIPT), str(RUNNER), str(ROOT / "tests/vectors" / file)],
        capture_output=True,
        text=True,
        env={"CHANGED": changed, "PATH": "/usr/bin:/bin:/usr/local/bin"},
        check=False,
    )
    assert run.returncode == 0, run.stderr
    return run.stdout.split("\n") if run.stdout.strip() else []


@pytest.mark.parametrize("file", ["quantities.json", "designations.json"])
def test_script_meets_every_vector(file: str) -> None:
    """The same values and the same sentences as in Python."""
    assert _failures(file) == []


def test_a_changed_constant_is_noticed() -> None:
    """An inch of 25.5 mm does not pass."""
    assert _failures("quantities.json", changed="yes")
