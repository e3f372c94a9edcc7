"""Remarks on cards are sentences with links, and nothing of a record's paths; wheels are drawn one at a time."""

from __future__ import annotations

import pytest
from decoder_site.views.faces import rings, sequence
from decoder_site.views.facts import Piece
from decoder_site.views.remarks import linked, remark_words
from decoder_site.views.vehicles import duty_words

from decoder.checks import load_checked_fleet
from decoder.findings import Finding
from decoder.fleet import Fleet
from decoder.reference import Reference
from tests.plugins.projects import REPOSITORY


@pytest.fixture(scope="module")
def checked(reference: Reference) -> tuple[Fleet, tuple[Finding, ...]]:
    """The vehicles that come with the site, with what their checks tell."""
    return load_checked_fleet(REPOSITORY / "site_data", reference)


def test_remarks_are_sentences_for_a_mechanic(checked: tuple[Fleet, tuple[Finding, ...]]) -> None:
    _, told = checked
    assert told
    for finding in told:
        words = remark_words(finding)
        assert words[0].isupper() or words[0].isdigit() or words[0] == "'", words
        assert words.endswith("."), words
        for inside in ("joints.", ".stack[", "none needed", ", expected "):
            assert inside not in words, words


def test_names_in_a_remark_are_links() -> None:
    names = {
        "M12x1.5": Piece(text="M12x1.5", address="sizes/m12x1-5/"),
        "M12x1": Piece(text="M12x1", address="sizes/m12x1/"),
        "u-bolts": Piece(text="U-bolts", address="vehicles/van/springs/", anchor="u-bolts"),
    }
    pieces = linked("Easily swapped: M12x1.5, and M12x1 at u-bolts.", names)
    assert "".join(piece.text for piece in pieces) == "Easily swapped: M12x1.5, and M12x1 at U-bolts."
    assert [piece.text for piece in pieces if piece.address] == ["M12x1.5", "M12x1", "U-bolts"]


def test_a_wheel_is_drawn_with_its_own_nuts(checked: tuple[Fleet, tuple[Finding, ...]]) -> None:
    fleet, _ = checked
    wheels = [joint.record for joint in fleet.joints() if joint.record.kind == "wheel-nuts-cone"]
    assert wheels
    for record in wheels:
        assert rings(record) == 2
        assert sequence(record).count("<circle") == 5


def test_a_bush_with_a_figure_is_not_called_a_free_pivot(checked: tuple[Fleet, tuple[Finding, ...]]) -> None:
    """Its bolt clamps the sleeve; a clevis has a pin that turns."""
    fleet, _ = checked
    eye = fleet.joint("pannier-utility/rear-springs/front-eye").record
    clevis = fleet.joint("hamper-van/brakes/rod-clevises").record
    assert "clamps the inner sleeve solid" in duty_words(eye)
    assert "free pivot" in duty_words(clevis)
