"""The torque page's computation in a real browser against `decoder torque`: eight hundred questions, one answer."""

from __future__ import annotations

import argparse
import json
import random
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from decoder.batches import UsageError
from decoder.command import Data
from decoder.quantities import QuantityError
from decoder.reference import Reference
from decoder.torque_data import build_torque_script
from decoder.verbs import torque

pytestmark = pytest.mark.browser

SCRIPTS = Path(__file__).parents[2] / "content/assets/scripts"
SEED, MANY = 11, 800

#: As people write them, right and wrong.
SIZES = (
    "3/8 UNF", "M8", "1/2-13", "5/16-18", "5/16-24 UNF", "m10 x 1,25", "¼ BSF", "2BA", "No. 10-32", "#10-24",
    "1/4 whit",
    "7/16-20 UNF LH", "3/8 CEI", "G1/8", "1/8 NPT", "1-14 UNF", "M8 fine", "M39", "8", "8mm", "5/8", "M6 x 30",
    "9/16 AF",
    "1/0", "", "banana",
)  # fmt: skip
GRADES = (
    "SAE 5", "grade 5", "Gr.8", "8.8", "10,9", "A2-70", "BS R", "R", "5", "none", "no mark", "8T", "4.6", "SAE 2",
    "nut 8",
    "property class 12.9", "?",
)  # fmt: skip
LUBRICANTS = ("", "dry", "oil", "engine oil", "copper grease", "moly", "wax", "grease",
              "petroleum jelly after tightening", "jam")  # fmt: skip
FINISHES = ("", "zinc", "zinc-yellow", "cadmium", "stainless", "phosphate", "hot dip", "chrome", "black", "paint?")
NUTS = ("", "", "", "SAE nut 2", "nut 5", "nut 8", "SAE nut 5", "BS nut 4")
INTO = ("", "", "aluminium", "cast iron", "steel", "alloy", "magnesium", "brass", "rubber")
LENGTHS = ("10 mm", "5/8 in", "1/4 in", "20mm", "3")
JOINTS = ("", "", "", "", "", "", "", "cylinder-head", "rocker cover", "flywheel", "bracket", "no such joint")


def questions(reference: Reference) -> Iterator[dict[str, Any]]:
    """Every grade in a size it is given in, then mixtures at random; the same every time."""
    threads = list(reference.threads)
    fits = {
        grade.name: [thread.designation for thread in threads if grade.at(thread.major_mm) is not None]
        for grade in reference.strengths
    }
    for name, designations in fits.items():
        if designations:
            yield {"size": designations[len(designations) // 2], "strength": name}
    chance = random.Random(SEED)
    names = [grade.name for grade in reference.strengths if grade.part == "bolt" and grade.rows[0].proof_mpa]
    while True:
        usual = chance.random() < 0.7
        strength = chance.choice(names) if usual else chance.choice(GRADES)
        yield {
            "size": chance.choice(fits[strength]) if usual else chance.choice(SIZES),
            "strength": strength,
            "finish": chance.choice(FINISHES[: -1 if usual else None]),
            "lubricant": chance.choice(LUBRICANTS[: -1 if usual else None]),
            "nut": chance.choice(NUTS),
            "reused": chance.random() < 0.4,
            "into": (into := chance.choice(INTO[: -1 if usual else None])),
            "engagement": chance.choice(LENGTHS[: -1 if usual else None]) if into or chance.random() < 0.02 else "",
            "joint": chance.choice(JOINTS[: -1 if usual else None]),
        }


def python_answer(asked: Mapping[str, Any], data: Data) -> Any:
    given = {
        "finish": asked.get("finish") or "plain",
        "lubricant": asked.get("lubricant") or "none",
        "reused": bool(asked.get("reused")),
        **{name: asked.get(name) or None for name in ("nut", "into", "engagement", "joint")},
    }
    options = argparse.Namespace(size=asked["size"], strength=asked["strength"], **given)
    try:
        return json.loads(json.dumps(torque.answer(options, data)))
    except (QuantityError, UsageError) as error:
        return {"refused": str(error)}


def browser_answers(browser: Browser, data: bytes, engine: str, asked: list[dict[str, Any]]) -> list[Any]:
    page = browser.new_page()
    try:
        page.add_script_tag(content=(SCRIPTS / "quantities.js").read_text(encoding="utf-8"))
        page.add_script_tag(content=data.decode())
        page.add_script_tag(content=engine)
        text = page.evaluate(
            """(asked) => {
                const torque = decoderTorque.load(window.decoderTorqueData, window.decoderQuantities);
                return JSON.stringify(asked.map((each) => {
                    try { return torque.answer(each); }
                    catch (error) {
                        if (!("choices" in error)) throw error;
                        return {refused: error.message};
                    }
                }));
            }""",
            asked,
        )
    finally:
        page.close()
    return list(json.loads(text))


def differences(asked: list[dict[str, Any]], ours: list[Any], theirs: list[Any]) -> list[str]:
    """A line for every question with two answers."""
    lines = []
    for question, one, other in zip(asked, ours, theirs, strict=True):
        told = _difference(one, other)
        if told:
            lines.append(f"{json.dumps(question)}: {told}")
    return lines


def _difference(one: Any, other: Any) -> str:
    if "refused" in one or "refused" in other:
        if not ("refused" in one and "refused" in other):
            return f"{one} against {other}"
        # Near misses are named by the command alone; that it is no such thing is said by both.
        said = one["refused"].split(" known here")[0].split(": did you mean")[0].split("torque: ")[-1]
        same = other["refused"].startswith(said) or ("go together" in said and "go together" in other["refused"])
        return "" if same else f"{one['refused']} against {other['refused']}"
    if set(one) != set(other):
        return f"keys {sorted(set(one) ^ set(other))}"
    for key, value in one.items():
        found = other[key]
        if isinstance(value, dict):
            near = all(found[end] == pytest.approx(value[end], rel=1e-12) for end in value)
        elif isinstance(value, float):
            near = found == pytest.approx(value, rel=1e-12)
        else:
            near = found == value
        if not near:
            return f"{key}: {value} against {found}"
    return ""


@pytest.fixture(scope="module")
def asked(reference: Reference) -> list[dict[str, Any]]:
    made = questions(reference)
    return [next(made) for _ in range(MANY)]


@pytest.fixture(scope="module")
def ours(reference: Reference, asked: list[dict[str, Any]]) -> list[Any]:
    data = Data()
    assert data.reference.threads.find("M8") == reference.threads.find("M8")
    return [python_answer(each, data) for each in asked]


def engine() -> str:
    return (SCRIPTS / "torque.js").read_text(encoding="utf-8")


def test_eight_hundred_questions_have_one_answer(
    browser: Browser, reference: Reference, asked: list[dict[str, Any]], ours: list[Any]
) -> None:
    """Torques to twelve places, assumptions, cautions, sources and refusals word for word."""
    assert sum(bool(each.get("torque_nm")) for each in ours) >= 200
    assert sum("refused" in each for each in ours) >= 100
    assert sum(bool(each.get("why_not")) for each in ours) >= 50
    theirs = browser_answers(browser, build_torque_script(reference), engine(), asked)
    assert differences(asked, ours, theirs) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("1.3558179483314004", "1.3558179483414004"),
        ("thread.major / 1000", "thread.major / 1000.0001"),
        ("data.hole_share * strips", "1.00001 * data.hole_share * strips"),
        ("texts.used_again", "texts.galls"),
    ],
)
def test_a_change_of_one_of_the_two_is_noticed(
    browser: Browser, reference: Reference, asked: list[dict[str, Any]], ours: list[Any], old: str, new: str
) -> None:
    text = engine()
    assert old in text
    theirs = browser_answers(browser, build_torque_script(reference), text.replace(old, new), asked)
    assert differences(asked, ours, theirs)
