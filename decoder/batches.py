"""Batches: files of one input a line, each line turned into the arguments it stands for."""

from __future__ import annotations

import argparse
import difflib
import json
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

from decoder.writing import shown

#: What a batch line may not set: these belong to the whole run.
_OF_THE_RUN = ("json", "data", "batch", "help")


class UsageError(Exception):
    """A command that cannot be run. The message is one line that says what was found and how to write it."""


def about_file(error: OSError) -> str:
    """Why a file cannot be read, and what to write."""
    reason = (error.strerror or str(error)).lower()
    name = f"'{shown(str(error.filename))}' " if error.filename else ""
    return f"{name}cannot be read, {reason}: write the path of a file that can be."


def batch_lines(file: str) -> Iterator[bytes]:
    """Every line of a batch file as bytes, `-` for standard input; no line for a file without text."""
    try:
        raw = sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    except OSError as error:
        raise UsageError(about_file(error)) from error
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise UsageError(f"'{shown(file)}' is UTF-16 text: save it as UTF-8, one input a line.")
    yield from raw.removeprefix(b"\xef\xbb\xbf").removesuffix(b"\n").split(b"\n") if raw.strip() else ()


def line_arguments(parser: argparse.ArgumentParser, raw: bytes, text_argument: str | None) -> list[str]:
    """One line of a batch as the arguments it stands for.

    A JSON object has option names as keys, underscores for dashes, positional ones by their lower-case name and lists
    for repeatable ones. Bare text fills `text_argument`, where there is one.
    """
    try:
        line = raw.decode("utf-8").strip()
    except UnicodeDecodeError as error:
        raise UsageError("the line is not UTF-8 text: save the file as UTF-8.") from error
    if not line:
        raise UsageError("the line is empty: write one input a line.")
    if line.startswith("{"):
        return _object_arguments(parser, _read_object(line))
    if text_argument is None:
        raise UsageError('the line is not a JSON object: write one, such as {"size": "1/2 in"}.')
    return _object_arguments(parser, {text_argument: line})


def _read_object(line: str) -> Mapping[str, object]:
    def once(pairs: list[tuple[str, object]]) -> Mapping[str, object]:
        made: dict[str, object] = {}
        for key, value in pairs:
            if key in made:
                raise UsageError(f"'{shown(key)}' stands twice: write it once.")
            made[key] = value
        return made

    try:
        # Numbers stay as they are written: 7.90 is not 7.9 to someone who reads calipers.
        value = json.loads(line, object_pairs_hook=once, parse_int=str, parse_float=str)
    except (json.JSONDecodeError, RecursionError) as error:
        where = f" at character {error.pos + 1}" if isinstance(error, json.JSONDecodeError) else ""
        raise UsageError(f'the line is not JSON{where}: write an object such as {{"size": "1/2 in"}}.') from error
    assert isinstance(value, dict)
    return value


def _object_arguments(parser: argparse.ArgumentParser, given: Mapping[str, object]) -> list[str]:
    actions = {action.dest: action for action in parser._actions if action.dest not in _OF_THE_RUN}
    options: list[str] = []
    positionals: dict[str, list[str]] = {}
    for key, value in given.items():
        action = actions.get(key)
        if action is None:
            raise UsageError(f"'{shown(key)}' is no key: write {_keys(key, sorted(actions))}.")
        if value is None:
            continue
        if action.nargs == 0:
            options += _switch(key, action, value)
        elif action.option_strings:
            options += [f"{action.option_strings[-1]}={text}" for text in _texts(key, action, value)]
        else:
            positionals[key] = _texts(key, action, value)
    ordered = [text for action in parser._actions for text in positionals.get(action.dest, ())]
    return [*options, "--", *ordered] if ordered else options


def _keys(key: str, known: list[str]) -> str:
    near = difflib.get_close_matches(key, known, n=1)
    others = [name for name in known if name not in near]
    if not near:
        return f"one of {', '.join(known)}"
    return f"{near[0]}, or one of {', '.join(others)}" if others else near[0]


def _switch(key: str, action: argparse.Action, value: object) -> list[str]:
    if not isinstance(value, bool):
        raise UsageError(f"'{shown(key)}' is yes or no: write true or false, without quotes.")
    return [action.option_strings[0]] if value else []


def _texts(key: str, action: argparse.Action, value: object) -> list[str]:
    repeatable = isinstance(action, argparse._AppendAction) or action.nargs in ("*", "+")
    texts = value if isinstance(value, list) and repeatable else [value]
    if not all(isinstance(text, str) for text in texts):
        expected = "text or a list of texts" if repeatable else "text"
        raise UsageError(f"'{shown(key)}' is not {expected}: write it in quotes.")
    return [str(text) for text in texts]
