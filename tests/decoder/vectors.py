"""Reads the shared vectors."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).parents[1] / "vectors"


def vectors(file: str) -> list[dict[str, Any]]:
    """Every vector of a file."""
    read: list[dict[str, Any]] = json.loads((FOLDER / file).read_text(encoding="utf-8"))
    return read


def named(file: str, **keys: bool) -> list[Any]:
    """Vectors that have (True) or lack (False) these keys, each as a parameter named by its text."""
    return [
        pytest.param(
            vector, id=f"{number}: {vector.get('read') or vector.get('print') or 'slug'} {vector['text'][:30]!r}"
        )
        for number, vector in enumerate(vectors(file), start=1)
        if all((key in vector) is wanted for key, wanted in keys.items())
    ]


def same(expected: object, found: object) -> bool:
    """The same value; of an object only the fields that the vector names; numbers within 1e-12."""
    if isinstance(expected, dict):
        return all(same(value, getattr(found, key)) for key, value in expected.items())
    if isinstance(expected, list):
        return list(found) == expected  # type: ignore[call-overload]
    if isinstance(expected, float | int) and not isinstance(expected, bool) and isinstance(found, float | int):
        return abs(expected - found) <= 1e-12 * max(1.0, abs(expected))
    return expected == found
