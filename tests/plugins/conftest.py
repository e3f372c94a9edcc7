"""Sites that the tests build: a small one for each test that breaks it, and the real one, built once."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.plugins import projects
from tests.plugins.projects import Project


@pytest.fixture(scope="session")
def tiny_source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small project, to be copied."""
    return projects.make_tiny(tmp_path_factory.mktemp("tiny")).root


@pytest.fixture
def tiny(tiny_source: Path, tmp_path: Path) -> Project:
    """A small project that the test may break."""
    root = tmp_path / "project"
    shutil.copytree(tiny_source, root)
    return Project(root)


@pytest.fixture(scope="session")
def tiny_site(tiny_source: Path, tmp_path_factory: pytest.TempPathFactory) -> Project:
    """A small project, built; not to be changed."""
    root = tmp_path_factory.mktemp("tiny-site") / "project"
    shutil.copytree(tiny_source, root)
    project = Project(root)
    built = project.build("--strict")
    assert built.returncode == 0, built.stdout + built.stderr
    return project


@pytest.fixture(scope="session")
def real_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The repository's own site, built once for all tests, those in a browser too."""
    return projects.real_site(tmp_path_factory.getbasetemp() / "real-site" / "site")
