"""A real process of the site generator: what it builds, and that the old site survives whatever happens to a build."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import time
from pathlib import Path

import pytest
from decoder_site.staging import Staging, SwapError

from tests.plugins.projects import ASSEMBLY_YML, Project, digest

#: Ten mistakes, one to a line of the record, by line number.
_TEN_MISTAKES = """\
titel: Frame
summary: Two rails.
joints:
  bracket:
    title: Bracket to rail
    kind: bumper
    duty: clampp
    consequence: ordinry
    conditions: [oill]
    places: many
    stack:
      - {bolt: hexagn, thread: 5/16-24 UNF, length: 1-1/4 in}
      - {bolt: hexagon, thread: 5/16-24 UNF, length: 30}
      - {washer: plain, thicknes: 1.6 mm}
      - {layer: steel, thickness: six}
    stated: {torque: 18}
    source: invented
"""
_LINES_WITH_A_MISTAKE = (1, 7, 8, 9, 10, 12, 13, 14, 15, 16)


@pytest.fixture
def built(tiny: Project, tiny_site: Project) -> Project:
    """A small project with a site that was built before."""
    shutil.copytree(tiny_site.site, tiny.site)
    return tiny


def test_first_build_makes_the_site_and_leaves_nothing_beside_it(tiny_site: Project) -> None:
    """The folder that the build wrote into has become the site."""
    assert (tiny_site.site / "vehicles/test-cart/frame/index.html").is_file()
    assert tiny_site.left_overs() == []


def test_ten_broken_lines_are_all_told_and_the_old_site_stays(built: Project) -> None:
    """Exit status 1, every line named, not a byte of the old site changed."""
    before = digest(built.site)
    built.frame.write_text(_TEN_MISTAKES, encoding="utf-8")
    result = built.build()
    words = result.stdout + result.stderr
    assert result.returncode == 1
    told = [line for line in _LINES_WITH_A_MISTAKE if f"site_data/vehicles/test-cart/frame.yml:{line}: " in words]
    assert tuple(told) == _LINES_WITH_A_MISTAKE, words
    assert "Traceback" not in words
    assert digest(built.site) == before
    assert built.left_overs() == []


@pytest.mark.parametrize("options", [(), ("--strict",), ("--strict", "--quiet"), ("--quiet",)])
def test_broken_record_stops_the_build_whatever_the_options(built: Project, options: tuple[str, ...]) -> None:
    """A finding of level error is raised and not logged, so that no option hides it."""
    before = digest(built.site)
    built.frame.write_text(ASSEMBLY_YML.replace("duty: clamp", "duty: clampp"), encoding="utf-8")
    result = built.build(*options)
    assert result.returncode == 1
    assert "frame.yml:7: joints.bracket.duty: found 'clampp'" in result.stdout + result.stderr
    assert digest(built.site) == before
    assert built.left_overs() == []


@pytest.mark.parametrize("options", [("--strict",), ("--strict", "--quiet")])
def test_warning_of_the_generator_fails_a_strict_build_quiet_or_not(built: Project, options: tuple[str, ...]) -> None:
    """A dead link in a hand-written page is counted even where warnings are silenced."""
    before = digest(built.site)
    (built.root / "docs/guide.md").write_text("# Guide\n\n[nowhere](gone.md)\n", encoding="utf-8")
    result = built.build(*options)
    assert result.returncode == 1
    assert "gone.md" in result.stdout + result.stderr
    assert digest(built.site) == before
    assert built.left_overs() == []


def test_warning_without_strict_builds_all_the_same(built: Project) -> None:
    """The check above fails for the warning and for nothing else."""
    (built.root / "docs/guide.md").write_text("# Guide\n\n[nowhere](gone.md)\n", encoding="utf-8")
    assert built.build().returncode == 0
    assert (built.site / "guide/index.html").is_file()


def test_warning_about_a_record_is_shown_on_the_page_and_not_logged(built: Project) -> None:
    """A record that does not add up is no reason to refuse the site, even in strict mode."""
    built.frame.write_text(
        ASSEMBLY_YML.replace("    tighten:", "    renew: [split pin]\n    tighten:"), encoding="utf-8"
    )
    result = built.build("--strict")
    words = result.stdout + result.stderr
    assert result.returncode == 0, words
    assert "WARNING" not in words
    page = (built.site / "vehicles/test-cart/frame/index.html").read_text(encoding="utf-8")
    assert "Does not go together" in page
    assert "split pin" in page.partition("Does not go together")[2].partition("</div>")[0]


@pytest.mark.parametrize("signal_number", [signal.SIGKILL, signal.SIGINT, signal.SIGTERM])
def test_build_that_is_killed_leaves_the_old_site_and_the_next_one_tidies_up(
    built: Project, signal_number: signal.Signals
) -> None:
    """Killed in the middle of writing: the old site is whole; what was half written goes with the next build."""
    before = digest(built.site)
    process = subprocess.Popen(
        built.command(),
        cwd=built.root,
        env=built.environment(),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    _wait_for_writing(built, process)
    process.send_signal(signal_number)
    assert process.wait(timeout=60) != 0
    assert digest(built.site) == before
    if signal_number == signal.SIGKILL:
        assert len(built.left_overs()) == 1
    assert built.build().returncode == 0
    assert built.left_overs() == []
    assert (built.site / "vehicles/test-cart/frame/index.html").is_file()


def _wait_for_writing(project: Project, process: subprocess.Popen[bytes]) -> None:
    """Wait until the build has written some pages beside the site."""
    for _ in range(3000):
        if process.poll() is not None:
            pytest.fail("the build ended before it could be killed")
        if sum(1 for _ in project.root.glob(".site-build-*/**/index.html")) > 3:
            return
        time.sleep(0.01)
    pytest.fail("the build wrote nothing")


def test_left_over_of_a_running_build_is_left_alone(built: Project) -> None:
    """Two builds at once do not remove each other's folders."""
    running = Staging(built.site)
    assert built.build().returncode == 0
    assert running.folder.is_dir()
    running.discard()
    assert built.left_overs() == []


def test_death_between_the_two_renames_is_mended_by_the_next_build(built: Project) -> None:
    """The old site was moved aside and the new one never came: the next build, even a failing one, puts it back."""
    before = digest(built.site)
    built.site.rename(built.root / ".site-old-1-1")
    built.frame.write_text("titel: x\n", encoding="utf-8")
    assert built.build().returncode == 1
    assert not built.site.exists() or digest(built.site) == before
    built.frame.write_text(ASSEMBLY_YML, encoding="utf-8")
    assert built.build().returncode == 0
    assert built.left_overs() == []


def test_names_with_a_dot_survive_a_build(built: Project) -> None:
    """Hosts keep settings in such files, and the generator never removes them."""
    (built.site / ".nojekyll").write_text("", encoding="utf-8")
    (built.site / ".well-known").mkdir()
    (built.site / ".well-known/security.txt").write_text("x", encoding="utf-8")
    (built.site / "stale.html").write_text("", encoding="utf-8")
    assert built.build().returncode == 0
    assert (built.site / ".nojekyll").is_file()
    assert (built.site / ".well-known/security.txt").read_text(encoding="utf-8") == "x"
    assert not (built.site / "stale.html").exists()


def test_same_input_and_date_give_the_same_bytes(tiny: Project) -> None:
    """Nothing of the clock, the machine or the order of a set is in the site."""
    assert tiny.build("--site-dir", "one", SOURCE_DATE_EPOCH="1700000000", PYTHONHASHSEED="1").returncode == 0
    time.sleep(1.1)
    assert tiny.build("--site-dir", "two", SOURCE_DATE_EPOCH="1700000000", PYTHONHASHSEED="2").returncode == 0
    assert digest(tiny.root / "one") == digest(tiny.root / "two")


def test_links_lead_to_the_line_of_the_record(tiny: Project) -> None:
    """With a repository named, a joint leads to its line in the file view and its page to the editor of the file."""
    settings = (
        "site_name: Tiny\nsite_url: https://example.org/tiny/\nrepo_url: https://example.org/records\n"
        "edit_uri: edit/main/docs/\ntheme: {name: material, features: [content.action.edit]}\nplugins: [decoder]\n"
    )
    (tiny.root / "mkdocs.yml").write_text(settings, encoding="utf-8")
    assert tiny.build("--strict").returncode == 0
    page = (tiny.site / "vehicles/test-cart/frame/index.html").read_text(encoding="utf-8")
    assert 'href="https://example.org/records/blob/main/site_data/vehicles/test-cart/frame.yml#L4"' in page
    assert 'href="https://example.org/records/edit/main/site_data/vehicles/test-cart/frame.yml"' in page
    size = (tiny.site / "sizes/5-16-24-unf/index.html").read_text(encoding="utf-8")
    line = 1 + _line_of(tiny.root / "site_data/reference/threads_unified.csv", "UNF,fine,5/16,24")
    assert f'/blob/main/site_data/reference/threads_unified.csv#L{line}"' in size


def _line_of(path: Path, start: str) -> int:
    lines = path.read_text(encoding="utf-8").splitlines()
    return next(number for number, line in enumerate(lines) if line.startswith(start))


def test_without_a_repository_the_place_is_told_in_words(tiny_site: Project) -> None:
    """A reader of a copy can still find the line."""
    page = (tiny_site.site / "vehicles/test-cart/frame/index.html").read_text(encoding="utf-8")
    assert "site_data/vehicles/test-cart/frame.yml, line 4" in page


def test_site_dir_that_cannot_be_renamed_is_told_and_stays(tmp_path: Path) -> None:
    """A target that cannot be moved aside keeps its bytes, and the message says what to do."""
    if os.geteuid() == 0:
        target = Path("/proc/self/decoder-site")
        with pytest.raises(OSError, match="decoder-site"):
            Staging(target)
        return
    folder = tmp_path / "locked"
    target = folder / "site"
    target.mkdir(parents=True)
    (target / "kept").write_text("x", encoding="utf-8")
    staging = Staging(target)
    folder.chmod(0o500)
    try:
        with pytest.raises(SwapError, match="could not take the place"):
            staging.publish()
    finally:
        folder.chmod(0o700)
    assert (target / "kept").read_text(encoding="utf-8") == "x"
