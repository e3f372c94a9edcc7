"""`decoder torque`: the keys that stay, sizes as a grade's standard means them, and refusals in one line."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from decoder.command import run

KEYS = {
    "stress_area_mm2", "proof_load_n", "preload_n", "k", "torque_nm", "torque_lbf_ft", "assumes", "cautions", "sources",
}  # fmt: skip


def decoder(*arguments: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    return run(("torque", *arguments), out, err), out.getvalue(), err.getvalue()


def test_the_answer_has_the_keys_that_stay() -> None:
    status, out, _ = decoder("1/2-13", "--strength", "SAE 5", "--json")
    assert status == 0
    result = json.loads(out)
    assert set(result) >= KEYS
    assert all(set(result[name]) == {"low", "high"} for name in ("k", "torque_nm", "torque_lbf_ft"))
    # 0.1419 in2, 85 ksi, 0.20 on three quarters of it: 75.4 lbf·ft lies inside.
    assert result["torque_lbf_ft"]["low"] < 75.4 < result["torque_lbf_ft"]["high"]


def test_a_size_of_two_families_is_the_one_that_the_grades_standard_is_for() -> None:
    """5/16-18 is UNC and BSW; an SAE grade is a Unified bolt's, 8.8 may be either's."""
    status, out, _ = decoder("5/16-18", "--strength", "SAE 5", "--json")
    assert status == 0
    result = json.loads(out)
    assert result["designation"] == "5/16-18 UNC"
    assert any("read as 5/16-18 UNC" in line for line in result["assumes"])
    status, _, err = decoder("5/16-18", "--strength", "8.8")
    assert status == 2
    assert "5/16-18 BSW" in err


def test_what_is_asked_for_moves_the_answer() -> None:
    """Oil and a tapped hole of soft metal take less torque, a finish of its own another."""

    def high(*more: str) -> float:
        return float(json.loads(decoder("3/8-16 UNC", "--strength", "SAE 5", *more, "--json")[1])["torque_nm"]["high"])

    dry = high()
    assert high("--lubricant", "oil") < dry
    assert high("--into", "aluminium", "--engagement", "3/4 in") == pytest.approx(0.7 * dry)
    assert high("--into", "aluminium", "--engagement", "0.4 in") < 0.7 * dry
    assert high("--finish", "zinc") > dry
    assert high("--nut", "SAE nut 2") <= dry


def test_half_of_what_strips_the_hole_is_the_most() -> None:
    """5/16-18 UNC, 8 mm in aluminium of 117 MPa: 17.32 mm² a millimetre strip at 16 210 N (see the test of loads)."""
    _, out, _ = decoder("5/16-18 UNC", "--strength", "SAE 5", "--into", "aluminium", "--engagement", "8 mm", "--json")
    result = json.loads(out)
    assert result["preload_n"] == pytest.approx(16210 / 2, rel=0.01)
    assert "half of what strips" in result["limited_by"]


def test_stainless_is_never_dry_and_needs_no_finish_to_be_stainless() -> None:
    """An M8 stainless bolt goes dry at no figure; with anti-seize the grade alone brings the friction of stainless."""
    status, out, _ = decoder("M8", "--strength", "A2-70", "--json")
    assert status == 1
    assert "never tightened dry" in json.loads(out)["why_not"]
    paste = json.loads(decoder("M8", "--strength", "A2-70", "--lubricant", "anti-seize", "--json")[1])
    assert paste["finish"] == "stainless"
    assert any("galls" in line for line in paste["cautions"])
    # K of 0.14 to 0.18 on 75 % of 450 MPa and 36.6 mm2.
    assert 13 < paste["torque_nm"]["low"] < paste["torque_nm"]["high"] < 18


def test_less_thread_than_a_diameter_in_soft_metal_has_no_torque() -> None:
    status, out, _ = decoder("M8", "--strength", "8.8", "--into", "aluminium", "--engagement", "5 mm", "--json")
    assert status == 1
    assert "less than the bolt is thick" in json.loads(out)["why_not"]
    assert decoder("M8", "--strength", "8.8", "--into", "steel", "--engagement", "5 mm")[0] == 0


def test_words_say_both_systems_and_who_comes_first() -> None:
    status, out, _ = decoder("M8", "--strength", "8.8", "--reused")
    assert status == 0
    assert "N·m" in out
    assert "lbf·ft" in out
    assert "workshop manual comes first" in out
    assert "tightened before" in out


@pytest.mark.parametrize(
    ("arguments", "status", "said"),
    [
        (("1/4-26 BSF", "--strength", "BS R"), 1, "no torque"),
        (("G 1/8", "--strength", "8.8"), 1, "pipe thread"),
        (("M8", "--strength", "none"), 2, "no grade"),
        (("M8", "--strength", "8.8", "--into", "aluminium"), 2, "go together"),
        (("M8", "--strength", "8.8", "--lubricant", "jam"), 2, "no lubricant"),
        (("M8", "--strength", "8.8", "--into", "rubber", "--engagement", "10 mm"), 2, "no figures"),
        (("M8",), 2, "--strength"),
    ],
)
def test_no_answer_and_no_sense_are_told_apart(arguments: tuple[str, ...], status: int, said: str) -> None:
    got, out, err = decoder(*arguments)
    assert got == status
    assert said in (out if status == 1 else err)
    if status == 2:
        assert len(err.strip().splitlines()) == 1


def test_a_batch_answers_line_by_line(tmp_path: Path) -> None:
    lines = tmp_path / "lines.txt"
    lines.write_text(
        '{"size": "1/4-20", "strength": "SAE 8", "into": "cast iron", "engagement": "8 mm"}\n'
        '{"size": "M8", "strength": "none"}\n',
        encoding="utf-8",
    )
    _, out, _ = decoder("--batch", str(lines))
    first, second = (json.loads(line) for line in out.splitlines())
    assert first["torque_nm"]["low"] > 0
    assert "error" in second
