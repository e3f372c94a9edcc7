"""The frame of the command line: finds verbs, reads options and batches, prints words or JSON, gives the exit status.

A verb is a module (or any object) with

* `NAME`, what is typed, and `HELP`, one line that says what it answers;
* `configure(parser)`, which adds its arguments to an `argparse.ArgumentParser`;
* `answer(options, data)`, which gives the result as a mapping ready for JSON, or raises `QuantityError` where the
  input is unusable;
* `words(result)`, the same result for a person.

It may also have

* `EXAMPLES`, whole commands for the help, the first one also for refusals;
* `BATCH = True`, when it takes one thing and therefore also many from a file, and `BATCH_TEXT`, the name of the
  argument that a line of bare text fills;
* `status(result)`, 0 when fine, 1 when there are findings of level error or no answer;
* `render(result, options)`, in place of `words`, where an option chooses the form.

Modules of `decoder.verbs` are verbs unless their name starts with an underscore; other packages add theirs through the
entry-point group `decoder.verbs`.
"""

from __future__ import annotations

import argparse
import difflib
import importlib
import json
import os
import pkgutil
import sys
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from importlib.metadata import EntryPoint, PackageNotFoundError, entry_points, version
from pathlib import Path
from typing import Any, NoReturn, Protocol, TextIO

import decoder.verbs
from decoder.batches import UsageError, about_file, batch_lines, line_arguments
from decoder.findings import BadDataError
from decoder.fleet import Fleet, load_fleet
from decoder.paths import reference_root
from decoder.quantities import QuantityError
from decoder.reference import Reference, load_reference
from decoder.writing import shown

ENTRY_POINTS = "decoder.verbs"

FINE, NO_ANSWER, UNUSABLE = 0, 1, 2

#: Verbs in the order people need them; others follow by name.
_READING_ORDER = ("identify", "size", "mark", "strength", "torque", "joint", "match", "buy", "check")

_ABOUT = """Tells the fasteners of old vehicles apart: what a bolt, nut or washer is, what its marks say and do not say,
and where it goes. Measures are typed as people write them: 5/16, 1-1/8 in, 7.9 mm, 24 tpi."""


class Verb(Protocol):
    """What every verb offers; see the module's text for what it may add."""

    NAME: str
    HELP: str

    def configure(self, parser: argparse.ArgumentParser) -> None: ...
    def answer(self, options: argparse.Namespace, data: Data) -> Mapping[str, Any]: ...
    def words(self, result: Mapping[str, Any]) -> str: ...


class Data:
    """The tables and records that verbs read, loaded when first asked for.

    Parameters
    ----------
    folder : Path, optional
        Folder with `vehicles/`, and with `reference/` where it brings tables of its own. By default the tables that
        came with the program, and the vehicles of `site_data/` in the current folder where there is one.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder

    @property
    def reference_root(self) -> Path:
        """Where tables and reference records lie."""
        return self.folder if self.folder and (self.folder / "reference").is_dir() else reference_root()

    @property
    def records_root(self) -> Path:
        """Where vehicles lie."""
        here = Path("site_data")
        return self.folder or (here if (here / "vehicles").is_dir() else reference_root())

    @cached_property
    def reference(self) -> Reference:
        """Everything known about fasteners in general; raises BadDataError."""
        return load_reference(self.reference_root)

    @cached_property
    def fleet(self) -> Fleet:
        """Every vehicle with its assemblies and joints; raises BadDataError."""
        return load_fleet(self.records_root)


def run(arguments: Sequence[str], out: TextIO | None = None, err: TextIO | None = None) -> int:
    """Run one command and return its exit status: 0 fine, 1 no answer or findings of level error, 2 unusable input.

    Parameters
    ----------
    arguments : Sequence[str]
        What stands after the program's name.
    out, err : TextIO, optional
        Where results and refusals go, by default the standard streams.
    """
    out, err = out or sys.stdout, err or sys.stderr
    for stream in (out, err):
        # A terminal that lacks a character shows a question mark; it does not end the program.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        status = _run(arguments, out, err)
        out.flush()
    except UsageError as error:
        status = UNUSABLE
        print(f"decoder: {_one_line(error)}", file=err)
    except BadDataError as error:
        status = NO_ANSWER
        print(f"decoder: the tables or records cannot be used.\n{error}", file=err)
    except BrokenPipeError:
        # Whoever read the output has read enough. What is still buffered must go nowhere at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = FINE
    except KeyboardInterrupt:
        status = 130
    return status


def _run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    if not arguments:
        raise UsageError(
            "no verb is given: write one, such as decoder size 5/16-24, or decoder --help to see them all."
        )
    first, *rest = arguments
    if first in ("-h", "--help", "help"):
        print(_overview(list(_all_verbs(err))), file=out)
        return FINE
    if first == "--version":
        print(f"decoder {_version()}", file=out)
        return FINE
    return _run_verb(_find_verb(first, err), rest, out)


def _run_verb(verb: Verb, arguments: Sequence[str], out: TextIO) -> int:
    parser = _parser(verb)
    joined = _with_values(parser, arguments)
    if "-h" in joined or "--help" in joined:
        print(parser.format_help().rstrip("\n"), file=out)
        return FINE
    batch, joined = _batch_file(verb, joined)
    if batch is not None and any(token == "--" or not token.startswith("-") for token in joined):
        raise UsageError(f"{verb.NAME}: with --batch what to look up stands in the file: write only options beside it.")
    if batch is not None:
        return _run_batch(verb, parser, batch, joined, out)
    options = parser.parse_args(joined)
    try:
        result = verb.answer(options, Data(_data_folder(options)))
    except QuantityError as error:
        raise UsageError(str(error)) from error
    except OSError as error:
        raise UsageError(about_file(error)) from error
    if options.json:
        print(as_json(result, out, indent=2), file=out)
    else:
        render = getattr(verb, "render", None)
        print((render(result, options) if render else verb.words(result)).rstrip("\n"), file=out)
    return _status(verb, result)


def _status(verb: Verb, result: Mapping[str, Any]) -> int:
    status = getattr(verb, "status", None)
    return int(status(result)) if status else FINE


# Finding verbs. Only the module that is asked for is imported, so that a look-up starts quickly.


def _find_verb(name: str, err: TextIO) -> Verb:
    if name.isidentifier() and name in _own_modules():
        return _own(name)
    verbs = {verb.NAME: verb for verb in _all_verbs(err)}
    if name in verbs:
        return verbs[name]
    near = difflib.get_close_matches(name, verbs, n=1)
    meant = f"{near[0]}, or another of " if near else "one of "
    raise UsageError(f"'{shown(name)}' is no verb: write {meant}{', '.join(verbs)}.")


def _own_modules() -> list[str]:
    return [module.name for module in pkgutil.iter_modules(decoder.verbs.__path__) if not module.name.startswith("_")]


def _own(module: str) -> Verb:
    verb: Verb = importlib.import_module(f"decoder.verbs.{module}")
    return verb


def _all_verbs(err: TextIO) -> Iterator[Verb]:
    """Every verb once, in reading order. One that cannot be loaded is said, and does not keep others from running."""
    verbs: dict[str, Verb] = {verb.NAME: verb for verb in map(_own, _own_modules())}
    for point in sorted(entry_points(group=ENTRY_POINTS), key=lambda point: point.name):
        verb = _added(point, err)
        if verb is None:
            continue
        if verb.NAME in verbs:
            print(
                f"decoder: the verb '{verb.NAME}' of {point.value} is left out, since there is one already.", file=err
            )
            continue
        verbs[verb.NAME] = verb
    order = {name: place for place, name in enumerate(_READING_ORDER)}
    yield from sorted(verbs.values(), key=lambda verb: (order.get(verb.NAME, len(order)), verb.NAME))


def _added(point: EntryPoint, err: TextIO) -> Verb | None:
    try:
        verb: Verb = point.load()
    except Exception as error:
        # Another package's mistake, of whatever kind, must not take the program's own verbs away.
        print(f"decoder: the verb '{point.name}' of {point.value} cannot be loaded: {_one_line(error)}", file=err)
        return None
    missing = [name for name in ("NAME", "HELP", "configure", "answer", "words") if not hasattr(verb, name)]
    if missing:
        print(f"decoder: the verb '{point.name}' of {point.value} is left out: it has no {missing[0]}.", file=err)
        return None
    return verb


# Reading options.


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line, with an example of how to write it."""

    def __init__(self, *, example: str, **settings: Any) -> None:
        super().__init__(**settings)
        self.example = example

    def error(self, message: str) -> NoReturn:
        required = message.removeprefix("the following arguments are required: ")
        unknown = message.removeprefix("unrecognized arguments: ")
        if required != message:
            message = f"{required} is missing"
        elif unknown != message:
            message = f"'{shown(unknown)}' is one too many"
        raise UsageError(f"{self.prog.removeprefix('decoder ')}: {message}: write it like {self.example}.")


def _parser(verb: Verb) -> _Parser:
    examples = tuple(getattr(verb, "EXAMPLES", ()))
    parser = _Parser(
        example=examples[0] if examples else f"decoder {verb.NAME} --help",
        prog=f"decoder {verb.NAME}",
        description=verb.HELP,
        epilog="\n".join(("examples:", *(f"  {example}" for example in examples))) if examples else None,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser._positionals.title = "what you give"
    verb.configure(parser)
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.add_argument(
        "--data", metavar="FOLDER", help="folder of records and tables to use in place of the usual one"
    )
    if getattr(verb, "BATCH", False):
        bare = getattr(verb, "BATCH_TEXT", None)
        parser.add_argument(
            "--batch",
            metavar="FILE",
            help=f"answer every line of a file (- for standard input), a JSON object{' or bare text' if bare else ''} "
            "a line, and print one JSON result a line",
        )
    return parser


def _with_values(parser: argparse.ArgumentParser, arguments: Sequence[str]) -> list[str]:
    """Arguments with each option joined to its value, so that a value may start with a dash."""
    actions = parser._option_string_actions
    joined: list[str] = []
    left = list(arguments)
    while left:
        token = left.pop(0)
        if token == "--":
            return [*joined, token, *left]
        action = actions.get(token)
        if action is not None and action.nargs is None and left and left[0] not in actions:
            token = f"{token}={left.pop(0)}"
        elif _looks_like_option(token) and token.partition("=")[0] not in actions:
            raise UsageError(_no_option(parser, token))
        joined.append(token)
    return joined


def _looks_like_option(token: str) -> bool:
    """True for `--pitch` and `-p`, not for `-5 mm` and a lone dash."""
    return token.startswith("-") and len(token) > 1 and " " not in token and not token[1].isdigit() and token[1] != "."


def _no_option(parser: argparse.ArgumentParser, token: str) -> str:
    known = [name for name in parser._option_string_actions if name.startswith("--")]
    name = shown(token.partition("=")[0])
    near = difflib.get_close_matches(name, known, n=1)
    meant = f"write {near[0]}" if near else f"write one of {', '.join(known)}"
    return f"{parser.prog.removeprefix('decoder ')}: '{name}' is no option: {meant}, or -- before a value with a dash."


def _data_folder(options: argparse.Namespace) -> Path | None:
    if options.data is None:
        return None
    folder = Path(options.data)
    if not folder.is_dir():
        raise UsageError(f"'{shown(options.data)}' is no folder: write --data with the folder that holds vehicles/.")
    return folder


# Batches.


def _batch_file(verb: Verb, joined: list[str]) -> tuple[str | None, list[str]]:
    """The file after --batch, and the arguments without it."""
    if not getattr(verb, "BATCH", False):
        return None, joined
    end = joined.index("--") if "--" in joined else len(joined)
    files = [token.removeprefix("--batch=") for token in joined[:end] if token.startswith("--batch=")]
    if len(files) > 1:
        raise UsageError(f"{verb.NAME}: --batch stands twice: write it once.")
    kept = [token for token in joined[:end] if not token.startswith("--batch=")] + joined[end:]
    return (files[0] if files else None), kept


def _run_batch(verb: Verb, parser: _Parser, file: str, shared: list[str], out: TextIO) -> int:
    """Answer every line. Options beside --batch hold for all lines."""
    status = FINE
    data: Data | None = None
    for number, line in enumerate(batch_lines(file), start=1):
        if data is None:
            data = _shared_data(shared)
        try:
            options = parser.parse_args([*shared, *line_arguments(parser, line, getattr(verb, "BATCH_TEXT", None))])
            result = verb.answer(options, data)
            status = max(status, _status(verb, result))
        except (UsageError, QuantityError, OSError) as error:
            said = about_file(error) if isinstance(error, OSError) else _one_line(error)
            result = {"error": said, "line": number}
            status = NO_ANSWER
        print(as_json(result, out), file=out)
    if data is None:
        raise UsageError(f"'{shown(file)}' is empty: write one input a line.")
    return status


def _shared_data(shared: list[str]) -> Data:
    run_options = argparse.ArgumentParser(add_help=False, allow_abbrev=False)
    run_options.add_argument("--data")
    options, _ = run_options.parse_known_args(shared)
    return Data(_data_folder(options))


# Printing.


def as_json(result: Mapping[str, Any], out: TextIO, indent: int | None = None) -> str:
    """The result as JSON text, numbers to ten figures, so that 0.1 + 0.2 reads 0.3; whole numbers without a point."""
    plain = (getattr(out, "encoding", None) or "utf-8").lower().replace("-", "") != "utf8"
    return json.dumps(_rounded(result), ensure_ascii=plain, allow_nan=False, indent=indent)


def _rounded(value: Any) -> Any:
    if isinstance(value, bool) or value is None or isinstance(value, str | int):
        return value
    if isinstance(value, float):
        rounded = float(f"{value:.10g}")
        return int(rounded) if rounded.is_integer() and abs(rounded) < 1e15 else rounded
    if isinstance(value, Mapping):
        return {str(key): _rounded(item) for key, item in value.items()}
    if isinstance(value, Sequence):
        return [_rounded(item) for item in value]
    raise TypeError(f"a result holds {type(value).__name__}, which JSON does not have")


def _overview(verbs: Sequence[Verb]) -> str:
    width = max((len(verb.NAME) for verb in verbs), default=0)
    lines = [f"  {verb.NAME:<{width}}  {verb.HELP}" for verb in verbs]
    return "\n".join(
        (
            "decoder VERB …",
            "",
            _ABOUT,
            "",
            *lines,
            "",
            "decoder VERB --help shows what a verb takes, with examples. --json prints results for programs.",
        )
    )


def _version() -> str:
    try:
        return version("vehicle-fastener-decoder")
    except PackageNotFoundError:
        return "from a checkout"


def _one_line(error: object) -> str:
    return " ".join(str(error).split())
