"""The preview server: it shows a changed record, and survives a broken one."""

from __future__ import annotations

import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from urllib.error import URLError
from urllib.request import urlopen

import pytest

from tests.plugins.projects import ASSEMBLY_YML, Project


@pytest.fixture
def serving(tiny: Project) -> Iterator[tuple[Project, str]]:
    """A project and the address at which it is served."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    log = (tiny.root / "serve.log").open("w", encoding="utf-8")
    process = subprocess.Popen(
        [sys.executable, "-m", "mkdocs", "serve", "-a", f"127.0.0.1:{port}"],
        cwd=tiny.root,
        env=tiny.environment(),
        stdout=log,
        stderr=subprocess.STDOUT,
    )
    yield tiny, f"http://127.0.0.1:{port}/"
    process.terminate()
    process.wait(timeout=30)
    log.close()


def _wait_for(url: str, words: str, seconds: float = 40) -> bool:
    """Ask until the page holds the words."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            with urlopen(url, timeout=10) as answer:
                if words in answer.read().decode():
                    return True
        except (URLError, TimeoutError, ConnectionError):
            pass
        time.sleep(0.2)
    return False


def test_changed_record_is_shown_and_a_broken_one_is_told(serving: tuple[Project, str]) -> None:
    """Edit, see it; break it, read why; mend it, see it: without starting anything again."""
    project, base = serving
    page = f"{base}vehicles/test-cart/frame/"
    assert _wait_for(page, "Bracket to rail")
    project.frame.write_text(ASSEMBLY_YML.replace("Bracket to rail", "Bracket to beam"), encoding="utf-8")
    assert _wait_for(page, "Bracket to beam")
    project.frame.write_text(ASSEMBLY_YML.replace("duty: clamp", "duty: clampp"), encoding="utf-8")
    end = time.monotonic() + 40
    while "found 'clampp'" not in (project.root / "serve.log").read_text(encoding="utf-8"):
        assert time.monotonic() < end, "the mistake was not told"
        time.sleep(0.2)
    project.frame.write_text(ASSEMBLY_YML.replace("Bracket to rail", "Bracket to post"), encoding="utf-8")
    assert _wait_for(page, "Bracket to post")
    assert not project.site.exists()
    assert project.left_overs() == []
