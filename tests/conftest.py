"""What every test may ask for."""

from __future__ import annotations

import pytest

from decoder.reference import Reference, load_reference


@pytest.fixture(scope="session")
def reference() -> Reference:
    """The reference tables that come with the package, read once."""
    return load_reference()
