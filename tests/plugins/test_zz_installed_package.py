"""An installed copy, not the checkout: it carries tables, templates, styles and scripts, and builds a site with them.

Last in the folder, since it makes an environment of its own.
"""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

import pytest

from tests.plugins.projects import ASSEMBLY_YML, MKDOCS_YML, REPOSITORY, VEHICLE_YML


def _run(*command: str | Path, cwd: Path) -> str:
    environment = {
        name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", "VIRTUAL_ENV", "PYTHONWARNINGS")
    }
    done = subprocess.run(
        [str(word) for word in command],
        cwd=cwd,
        env={**environment, "NO_MKDOCS_2_WARNING": "1", "PIP_DISABLE_PIP_VERSION_CHECK": "1"},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"
    return done.stdout


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The interpreter of a fresh environment in which the built wheel is installed."""
    root = tmp_path_factory.mktemp("installed")
    # The build tool comes from this environment where it is there, else from the package index.
    isolation = ["--no-build-isolation"] if importlib.util.find_spec("hatchling") else []
    _run(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", *isolation, "-w", root, REPOSITORY, cwd=root)
    wheel = next(root.glob("*.whl"))
    environment = root / "env"
    venv.create(environment, with_pip=False)
    interpreter = environment / ("Scripts" if os.name == "nt" else "bin") / "python"
    # Dependencies come from this environment; its own link to the checkout is not followed from there.
    packages = Path(_run(interpreter, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=root).strip())
    (packages / "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    _run(sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--target", packages, wheel, cwd=root)
    return interpreter


def test_installed_copy_is_not_the_checkout(installed: Path, tmp_path: Path) -> None:
    """The test below would prove nothing if the checkout were found instead."""
    where = _run(
        installed, "-c", "import decoder, decoder_site; print(decoder.__file__, decoder_site.__file__)", cwd=tmp_path
    )
    assert str(REPOSITORY) not in where
    assert where.count("site-packages") == 2


def test_installed_copy_builds_a_site_from_a_vehicle_s_records_alone(installed: Path, tmp_path: Path) -> None:
    """Tables, look and search come with the package; the records are the site's own."""
    vehicle = tmp_path / "site_data/vehicles/test-cart"
    vehicle.mkdir(parents=True)
    (vehicle / "vehicle.yml").write_text(VEHICLE_YML, encoding="utf-8")
    (vehicle / "frame.yml").write_text(ASSEMBLY_YML, encoding="utf-8")
    (tmp_path / "docs").mkdir()
    (tmp_path / "mkdocs.yml").write_text(MKDOCS_YML, encoding="utf-8")
    _run(installed, "-m", "mkdocs", "build", "--strict", cwd=tmp_path)
    site = tmp_path / "site"
    for name in (
        "vehicles/test-cart/frame/index.html",
        "sizes/m8x1-25/index.html",
        "joint-kinds/banjo-union/index.html",
        "nuts/castellated/index.html",
        "assets/styles/decoder.css",
        "assets/scripts/search.js",
        "assets/scripts/identify.js",
        "data/identify-index.js",
    ):
        assert (site / name).is_file(), name
    assert "assets/bundles/" in (site / "index.html").read_text(encoding="utf-8")
    assert "find-open" in (site / "index.html").read_text(encoding="utf-8")


def test_installed_command_answers(installed: Path, tmp_path: Path) -> None:
    """The command line finds its tables in the package."""
    words = _run(installed, "-m", "decoder", "size", "5/16-24", cwd=tmp_path)
    assert "5/16-24 UNF" in words
