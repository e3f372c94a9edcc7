"""The command line: what is typed, what is printed, and the exit status."""

from __future__ import annotations

import argparse
import io
import json
import os
import shlex
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from decoder import command
from decoder.command import Data, as_json, run
from decoder.findings import BadDataError, Finding
from decoder.quantities import QuantityError
from decoder.reference import Reference


class Echo:
    """A verb that gives back what it was asked."""

    NAME = "echo"
    HELP = "gives back what it was asked"
    EXAMPLES = ("decoder echo bolt",)
    BATCH = True
    BATCH_TEXT = "thing"

    def configure(self, parser: argparse.ArgumentParser) -> None:
        """One thing, and options of every kind."""
        parser.add_argument("thing", metavar="THING")
        parser.add_argument("--width")
        parser.add_argument("--head-mark", action="append", default=[])
        parser.add_argument("--used", action="store_true")

    def answer(self, options: argparse.Namespace, data: Data) -> Mapping[str, Any]:
        """The options, or the trouble that the thing names."""
        if options.thing == "refuse":
            raise QuantityError("'refuse' is refused: write bolt.")
        if options.thing == "missing file":
            Path("no/such/file.csv").read_text(encoding="utf-8")
        if options.thing == "bad data":
            raise BadDataError([_finding()])
        return {
            "thing": options.thing,
            "width": options.width,
            "head_mark": options.head_mark,
            "used": options.used,
            "folder": str(data.folder) if data.folder else None,
        }

    def words(self, result: Mapping[str, Any]) -> str:
        """One line."""
        return f"{result['thing']} {result['width'] or ''}\n"

    def status(self, result: Mapping[str, Any]) -> int:
        """1 where there is nothing to say."""
        return 1 if result["thing"] == "nothing" else 0


class Shout(Echo):
    """A verb of its own form of words."""

    NAME = "shout"
    BATCH = False

    def render(self, result: Mapping[str, Any], options: argparse.Namespace) -> str:
        """Loud."""
        return f"{result['thing'].upper()}{'!' if options.used else ''}"


def _finding() -> Finding:
    return Finding(
        level="error", code="x", file="a.csv", line=3, field="size", found="'8'", expected="a size", fix="write M8"
    )


def _point(name: str, verb: object) -> Any:
    def load() -> object:
        if isinstance(verb, Exception):
            raise verb
        return verb

    return SimpleNamespace(name=name, value=f"some_package.verbs:{name}", load=load)


@pytest.fixture
def added(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """Entry points of group `decoder.verbs`, the two verbs above at first."""
    points = [_point("echo", Echo()), _point("shout", Shout())]
    monkeypatch.setattr(command, "entry_points", lambda group: points if group == "decoder.verbs" else [])
    return points


@pytest.fixture(autouse=True)
def _tables_read_once(reference: Reference, monkeypatch: pytest.MonkeyPatch) -> None:
    """The tables are the real ones, read once for all commands of this process."""
    monkeypatch.setattr(command, "load_reference", lambda _root: reference)


def call(*arguments: str) -> tuple[int, str, str]:
    """Exit status, output and errors of a command run in this process."""
    out, err = io.StringIO(), io.StringIO()
    status = run(arguments, out, err)
    return status, out.getvalue(), err.getvalue()


def batch(tmp_path: Path, content: bytes | str, *options: str, verb: str = "echo") -> tuple[int, list[Any], str]:
    """Exit status, results and errors of a batch."""
    file = tmp_path / "batch.jsonl"
    file.write_bytes(content.encode() if isinstance(content, str) else content)
    status, out, err = call(verb, "--batch", str(file), *options)
    return status, [json.loads(line) for line in out.splitlines()], err


# Verbs.


@pytest.mark.usefixtures("added")
def test_verb_of_another_package_runs() -> None:
    """What an entry point names is a verb like the program's own."""
    assert call("echo", "bolt") == (0, "bolt \n", "")


def test_real_entry_points_are_read() -> None:
    """Without a stand-in, the group of the installed packages is asked."""
    verbs = list(command._all_verbs(io.StringIO()))
    assert {"size", "strength"} <= {verb.NAME for verb in verbs}
    assert all(verb.HELP and verb.HELP.strip() == verb.HELP for verb in verbs)


@pytest.mark.parametrize(
    ("point", "said"),
    [
        (_point("export", ImportError("no module\nnamed x")), "cannot be loaded: no module named x"),
        (_point("export", SimpleNamespace(NAME="export", HELP="x")), "left out: it has no configure"),
        (_point("size", SimpleNamespace(**{**vars(Echo), "NAME": "size"})), "left out, since there is one already"),
    ],
)
def test_faulty_verb_of_another_package_is_said_and_takes_none_away(added: list[Any], point: Any, said: str) -> None:
    """Another package's mistake is named, and every other verb still runs."""
    added.append(point)
    status, out, err = call("--help")
    assert status == 0
    assert said in err
    assert len(err.splitlines()) == 1
    assert "echo" in out
    assert "size" in out


def test_program_s_own_verb_starts_without_loading_the_others(monkeypatch: pytest.MonkeyPatch) -> None:
    """A look-up does not pay for verbs it does not use, nor for a faulty package."""
    monkeypatch.setattr(command, "entry_points", lambda group: pytest.fail(f"asked for {group}"))
    assert call("size", "--help")[0] == 0


@pytest.mark.usefixtures("added")
def test_help_lists_every_verb_in_one_line_each() -> None:
    """Someone who types --help sees all there is."""
    status, out, err = call("--help")
    assert (status, err) == (0, "")
    for verb in command._all_verbs(io.StringIO()):
        assert any(line.split()[:1] == [verb.NAME] and verb.HELP in line for line in out.splitlines())


def test_help_of_a_verb_shows_examples_that_work() -> None:
    """Every example of the two look-up verbs can be typed as it stands."""
    for name in ("size", "strength"):
        status, out, _ = call(name, "--help")
        assert status == 0
        examples = [line.strip() for line in out.partition("examples:")[2].splitlines() if line.strip()]
        assert examples
        for example in examples:
            assert call(*shlex.split(example)[1:])[0] == 0, example


def test_version_is_printed() -> None:
    """The program says which it is."""
    status, out, _ = call("--version")
    assert status == 0
    assert out.startswith("decoder ")


# Refusals: exit status 2 and one line that says how to write it.


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "write one, such as decoder size 5/16-24"),
        (("siz", "M8"), "'siz' is no verb: write size, or another of"),
        (("--pitch",), "'--pitch' is no verb: write one of"),
        (("echo",), "THING is missing: write it like decoder echo bolt"),
        (("echo", "a", "b"), "'b' is one too many: write it like decoder echo bolt"),
        (("echo", "bolt", "--widht", "3"), "'--widht' is no option: write --width"),
        (("echo", "bolt", "--width"), "expected one argument: write it like"),
        (("echo", "bolt", "--width", "--used"), "expected one argument: write it like"),
        (("echo", "refuse"), "'refuse' is refused: write bolt."),
        (("echo", "missing file"), "'no/such/file.csv' cannot be read, no such file or directory: write the path"),
        (("echo", "--batch", "no/such/file"), "'no/such/file' cannot be read, no such file or directory: write"),
        (("echo", "--batch", "."), "'.' cannot be read, is a directory: write the path of a file"),
        (("echo", "--batch", "a", "--batch", "b"), "--batch stands twice: write it once"),
        (("echo", "bolt", "--batch", "a"), "stands in the file: write only options beside it"),
        (("echo", "bolt", "--data", "no/such/folder"), "'no/such/folder' is no folder: write --data with the folder"),
        (("size", "8mm"), "'8mm' is a measure, not a thread: write M8"),
        (("size", "1/8 BSP"), "G 1/8 or R 1/8"),
        (("size", "\udce9"), "U+DCE9"),
        (("size", "a\nb\x1b[2J"), "'a b [2J'"),
        (("strength", "8.8", "--size", "8"), "'8' has no unit: write 8 mm or 8 in"),
        (("strength", "none"), "says nothing about strength"),
        (("strength", "8.8", "--size", "-5 mm"), "'-5 mm' is below zero"),
    ],
)
@pytest.mark.usefixtures("added")
def test_unusable_input_gives_status_2_and_one_line(arguments: Sequence[str], said: str) -> None:
    """The line says what was found and how to write it; nothing else is printed."""
    status, out, err = call(*arguments)
    assert (status, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1
    assert err.startswith("decoder: ")
    assert "write" in err


@pytest.mark.usefixtures("added")
def test_bad_data_gives_status_1_and_every_finding() -> None:
    """Tables that cannot be used are no fault of what was typed."""
    status, out, err = call("echo", "bad data")
    assert (status, out) == (1, "")
    assert str(_finding()) in err


@pytest.mark.usefixtures("added")
def test_no_answer_gives_status_1_and_the_result() -> None:
    """The verb decides what no answer is."""
    status, out, _ = call("echo", "nothing", "--json")
    assert status == 1
    assert json.loads(out)["thing"] == "nothing"


# Options.


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (("--width", "-5 mm"), {"width": "-5 mm"}),
        (("--width", "-"), {"width": "-"}),
        (("--width", "--- three dashes"), {"width": "--- three dashes"}),
        (("--width=-5",), {"width": "-5"}),
        (("--width", "7.9 mm ±0.05 mm"), {"width": "7.9 mm ±0.05 mm"}),
        (("--width", "½″"), {"width": "½″"}),
        (("--width", ""), {"width": ""}),
        (("--head-mark", "- | -", "--head-mark", "dot"), {"head_mark": ["- | -", "dot"]}),
        (("--used",), {"used": True}),
    ],
)
@pytest.mark.usefixtures("added")
def test_option_takes_any_value(arguments: Sequence[str], expected: Mapping[str, object]) -> None:
    """A dash, a sign or a fraction in a value is a value."""
    status, out, err = call("echo", "bolt", *arguments, "--json")
    assert (status, err) == (0, "")
    assert expected.items() <= json.loads(out).items()


@pytest.mark.parametrize("thing", ["-5", "- 5", "-bolt", "--", "---"])
@pytest.mark.usefixtures("added")
def test_thing_after_two_dashes_may_start_with_one(thing: str) -> None:
    """`--` ends the options."""
    status, out, _ = call("echo", "--json", "--", thing)
    assert status == 0
    assert json.loads(out)["thing"] == thing


@pytest.mark.usefixtures("added")
def test_verb_may_render_its_words_by_its_options() -> None:
    """`render` stands in for `words`; --json still gives the result."""
    assert call("shout", "bolt", "--used")[1] == "BOLT!\n"
    assert json.loads(call("shout", "bolt", "--json")[1])["thing"] == "bolt"


@pytest.mark.usefixtures("added")
def test_data_folder_reaches_the_verb(tmp_path: Path) -> None:
    """Alone and in a batch."""
    assert json.loads(call("echo", "bolt", "--data", str(tmp_path), "--json")[1])["folder"] == str(tmp_path)
    assert batch(tmp_path, "bolt\n", "--data", str(tmp_path))[1][0]["folder"] == str(tmp_path)


# Batches.


@pytest.mark.usefixtures("added")
def test_batch_answers_every_line_in_order(tmp_path: Path) -> None:
    """Bare text, JSON objects with every kind of option, and options that hold for all lines."""
    lines = [
        "bolt",
        '{"thing": "nut", "width": "1/2 in", "head_mark": ["3 radial lines", "dot"], "used": true}',
        '{"thing": "stud", "head_mark": "dot", "used": false, "width": null}',
        '{"thing": "-5"}',
        '{"thing": 7.90}',
    ]
    status, results, err = batch(tmp_path, "\n".join(lines), "--width", "9 mm")
    assert (status, err) == (0, "")
    assert [result["thing"] for result in results] == ["bolt", "nut", "stud", "-5", "7.90"]
    assert [result["width"] for result in results] == ["9 mm", "1/2 in", "9 mm", "9 mm", "9 mm"]
    assert results[1]["head_mark"] == ["3 radial lines", "dot"]
    assert results[2]["head_mark"] == ["dot"]
    assert [result["used"] for result in results] == [False, True, False, False, False]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (b"", "the line is empty"),
        (b"   ", "the line is empty"),
        (b"\xff\xe9", "not UTF-8"),
        (b'{"thing": "a"', "not JSON at character"),
        (b'{"thing": "a"} x', "not JSON at character"),
        (b'{"thing": "a", "thing": "b"}', "'thing' stands twice"),
        (b'{"think": "a"}', "'think' is no key: write thing, or one of"),
        (b'{"zzz": "a"}', "'zzz' is no key: write one of"),
        (b'{"thing": "a", "batch": "x"}', "'batch' is no key"),
        (b'{"thing": "a", "data": "x"}', "'data' is no key"),
        (b'{"thing": ["a"]}', "'thing' is not text"),
        (b'{"thing": {"a": 1}}', "'thing' is not text"),
        (b'{"thing": true}', "'thing' is not text"),
        (b'{"thing": NaN}', "'thing' is not text"),
        (b'{"thing": "a", "head_mark": ["a", ["b"]]}', "'head_mark' is not text or a list of texts"),
        (b'{"thing": "a", "used": "yes"}', "'used' is yes or no: write true or false"),
        (b'{"used": true}', "THING is missing"),
        (b"{}", "THING is missing"),
        (b"refuse", "'refuse' is refused: write bolt."),
        (b"missing file", "cannot be read"),
        (b'{"a":' * 3000, "not JSON"),
    ],
)
@pytest.mark.usefixtures("added")
def test_unusable_line_gives_an_error_in_its_place(tmp_path: Path, line: bytes, said: str) -> None:
    """The lines around it are answered, and the status says that one was not."""
    status, results, err = batch(tmp_path, b"bolt\n" + line + b"\nnut\n")
    assert (status, err) == (1, "")
    assert [result.get("thing") for result in results] == ["bolt", None, "nut"]
    assert said in results[1]["error"]
    assert results[1]["line"] == 2


@pytest.mark.usefixtures("added")
def test_line_without_an_answer_gives_status_1(tmp_path: Path) -> None:
    """As a single command would."""
    assert batch(tmp_path, "bolt\nnothing\n")[0] == 1


@pytest.mark.parametrize("content", ["", "\n", " \n\n"])
@pytest.mark.usefixtures("added")
def test_empty_batch_is_unusable(tmp_path: Path, content: str) -> None:
    """A file with nothing in it is more likely a mistake than a question."""
    status, results, err = batch(tmp_path, content)
    assert (status, results) == (2, [])
    assert "is empty: write one input a line" in err


@pytest.mark.usefixtures("added")
def test_batch_reads_files_as_editors_save_them(tmp_path: Path) -> None:
    """A byte-order mark and carriage returns are no part of the text; UTF-16 is refused as a whole."""
    status, results, _ = batch(tmp_path, b"\xef\xbb\xbfbolt\r\n\xc2\xbd in\r\n")
    assert status == 0
    assert [result["thing"] for result in results] == ["bolt", "½ in"]
    status, _, err = batch(tmp_path, "bolt\n".encode("utf-16"))
    assert status == 2
    assert "UTF-16" in err


def test_verb_without_bare_text_asks_for_json(added: list[Any], tmp_path: Path) -> None:
    """Where a line of text could mean several options."""
    added[0].load().BATCH_TEXT = None
    status, results, _ = batch(tmp_path, 'bolt\n{"thing": "nut"}\n')
    assert status == 1
    assert "not a JSON object" in results[0]["error"]
    assert results[1]["thing"] == "nut"


@pytest.mark.usefixtures("added")
def test_bad_tables_end_a_batch(tmp_path: Path) -> None:
    """No line could be answered."""
    status, _, err = batch(tmp_path, "bad data\nbolt\n")
    assert status == 1
    assert "a.csv:3" in err


# JSON.


def test_json_numbers_are_as_exact_as_they_are_known() -> None:
    """Noise of the arithmetic goes, digits stay; whole numbers stand without a point."""
    text = as_json(
        {"a": 0.1 + 0.2, "b": 24.0, "c": 7.9375, "d": (1 / 3, None, True), "e": 1e-12, "f": 3}, io.StringIO()
    )
    assert text == '{"a": 0.3, "b": 24, "c": 7.9375, "d": [0.3333333333, null, true], "e": 1e-12, "f": 3}'


def test_json_refuses_what_it_does_not_have() -> None:
    """A result with an object in it is a mistake of the verb."""
    with pytest.raises(TypeError, match="object"):
        as_json({"a": object()}, io.StringIO())
    with pytest.raises(ValueError, match="JSON"):
        as_json({"a": float("nan")}, io.StringIO())


# The real program.


def decoder(*arguments: str, **settings: Any) -> subprocess.CompletedProcess[bytes]:
    """The program in a process of its own."""
    return subprocess.run([sys.executable, "-m", "decoder", *arguments], capture_output=True, check=False, **settings)


def test_reader_that_has_read_enough_is_no_error() -> None:
    """`decoder size M8 | head -1` ends quietly."""
    with subprocess.Popen(
        [sys.executable, "-m", "decoder", "size", "M8", "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait() == 0


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_terminal_without_the_characters_is_no_error(encoding: str) -> None:
    """Words lose a sign or two; JSON stays whole."""
    environment = {**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    assert decoder("size", "2BA", env=environment).returncode == 0
    result = decoder("size", "2BA", "--json", env=environment)
    assert result.returncode == 0
    assert json.loads(result.stdout.decode(encoding))["form"].startswith("British Association")
    assert decoder("size", "½½", env=environment).returncode == 2


def test_batch_from_standard_input() -> None:
    """`-` is standard input; one result a line."""
    result = decoder("size", "--batch", "-", input=b'5/16-24\n{"designation": "M8"}\nnonsense\n')
    assert result.returncode == 1
    found = [json.loads(line) for line in result.stdout.splitlines()]
    assert [each.get("designation") for each in found] == ["5/16-24 UNF", "M8x1.25", None]


# Size and strength.

SIZE_KEYS = {
    "designation", "family", "flank_angle_deg", "major_mm", "pitch_mm", "threads_per_inch", "pitch_diameter_mm",
    "minor_external_mm", "minor_internal_mm", "stress_area_mm2", "tap_drill_mm", "limits", "hexagons", "lookalikes",
    "sources",
}  # fmt: skip
HEXAGON_KEYS = {
    "standard", "product", "across_flats_mm", "across_flats_in", "across_flats_min_mm", "across_flats_max_mm",
    "head_height_mm", "spanners",
}  # fmt: skip
LOOKALIKE_KEYS = {
    "designation", "pitch_error_mm_per_10mm", "major_difference_mm", "this_in_that", "that_in_this", "danger",
}  # fmt: skip
STRENGTH_KEYS = {
    "grade", "standard", "size", "proof_mpa", "yield_mpa", "tensile_mpa", "hardness", "marks", "sources",
}  # fmt: skip


@pytest.mark.parametrize("designation", ["5/16-24", "M8", "1/4 BSF", "2BA", "#10-32", "3/8 CEI", "G 1/8", "1/8-27 NPT"])
def test_size_gives_the_keys_that_stay(designation: str) -> None:
    """For every family, whatever its tables lack."""
    status, out, err = call("size", designation, "--json")
    assert (status, err) == (0, "")
    result = json.loads(out)
    assert set(result) >= SIZE_KEYS
    assert result["sources"]
    assert all(set(hexagon) >= HEXAGON_KEYS for hexagon in result["hexagons"])
    assert all(set(pair) >= LOOKALIKE_KEYS for pair in result["lookalikes"])


@pytest.mark.parametrize(
    ("designation", "low_mm", "high_mm"),
    [
        # 0.3643 to 0.3737 in, and 9.732 to 9.968 mm.
        pytest.param("3/8-16 UNC", 9.2532, 9.4920, id="ASME B1.1, table of limits, 3/8-16 UNC-2A"),
        pytest.param("M10", 9.732, 9.968, id="ISO 965-2, table of limits, M10-6g"),
    ],
)
def test_size_gives_the_limits_that_a_caliper_meets(designation: str, low_mm: float, high_mm: float) -> None:
    """The usual class of a bolt stands in `limits`."""
    limits = json.loads(call("size", designation, "--json")[1])["limits"]
    assert limits["major_min_mm"] == pytest.approx(low_mm, abs=0.0015)
    assert limits["major_max_mm"] == pytest.approx(high_mm, abs=0.0015)


def test_size_in_words_is_what_someone_with_the_bolt_needs() -> None:
    """Both systems, the caliper's reading, spanners, look-alikes with what goes wrong, sources, and no strength."""
    status, out, _ = call("size", "5/16-24")
    assert status == 0
    for text in (
        "5/16-24 UNF",
        "5/16 in (7.938 mm)",
        "24 tpi (1.058 mm)",
        "a real bolt measures",
        "spanner 1/2 AF",
        "M8x1",
        "binds after about 2 turns",
        "says nothing about strength",
        "Machinery's Handbook",
    ):
        assert text in out, text


def test_size_says_what_it_took_without_its_being_written() -> None:
    """`M8` alone is the coarse one, and says so."""
    assert "M8 without a pitch is taken as coarse" in call("size", "M8")[1]
    assert json.loads(call("size", "M8x1.25", "--json")[1])["assumed"] == []


def test_left_hand_thread_says_which_way_it_loosens() -> None:
    """Someone turns the spanner the usual way otherwise."""
    assert "loosens clockwise" in call("size", "1/2-20 UNF LH")[1]


@pytest.mark.parametrize(
    ("grade", "size", "proof_mpa"),
    [
        # Trap: strength splits by size inside one mark. 85 and 74 ksi, 580 and 600 MPa.
        pytest.param("SAE 5", "1/2 in", 586, id="SAE J429 grade 5, 1/4 to 1 in: 85 ksi"),
        pytest.param("SAE 5", "1-1/8", 510, id="SAE J429 grade 5, over 1 in: 74 ksi"),
        pytest.param("8.8", "M10", 580, id="ISO 898-1 class 8.8 to M16: 580 MPa"),
        pytest.param("8.8", "M20", 600, id="ISO 898-1 class 8.8 over M16: 600 MPa"),
    ],
)
def test_strength_is_that_of_the_size(grade: str, size: str, proof_mpa: float) -> None:
    """One mark, two strengths."""
    status, out, _ = call("strength", grade, "--size", size, "--json")
    assert status == 0
    result = json.loads(out)
    assert set(result) >= STRENGTH_KEYS
    assert result["proof_mpa"] == pytest.approx(proof_mpa, abs=0.6)


def test_strength_without_a_size_gives_no_figure_that_depends_on_it() -> None:
    """Every range is listed, and the single figure is left open."""
    result = json.loads(call("strength", "SAE 5", "--json")[1])
    assert result["proof_mpa"] is None
    assert len(result["rows"]) == 2


def test_strength_in_a_size_that_does_not_exist_is_no_answer() -> None:
    """Status 1, null, and the sizes that do."""
    status, out, _ = call("strength", "SAE 5", "--size", "2 in", "--json")
    assert status == 1
    assert json.loads(out)["proof_mpa"] is None
    status, out, _ = call("strength", "SAE 5", "--size", "2 in")
    assert status == 1
    assert "do not give SAE 5 in this size" in out


@pytest.mark.parametrize("size", ["1/2 in", "12.7 mm", "1/2", "1/2-13", "1/2 UNF", "½"])
def test_size_of_a_strength_may_be_a_diameter_or_a_thread(size: str) -> None:
    """All of them half an inch."""
    assert json.loads(call("strength", "SAE 5", "--size", size, "--json")[1])["size_mm"] == pytest.approx(12.7)


def test_strength_from_memory_says_so() -> None:
    """A figure that nobody read in a document is not dressed up."""
    out = call("strength", "BS R", "--size", "1/2 in")[1]
    assert "from memory: nobody has read these figures in a document" in out
