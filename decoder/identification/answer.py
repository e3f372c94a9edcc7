"""The answer: candidates with reasons, what is not known, what goes wrong, and what to look at next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from decoder.identification.cautions import OWN_THREAD, cautions, is_without_thread
from decoder.identification.index import Index
from decoder.identification.likelihoods import evidence
from decoder.identification.next_step import next_steps
from decoder.identification.observations import BLANK, Observations, read_observations
from decoder.identification.ranking import Posterior, order, posterior, prior, words
from decoder.identification.reasons import average, contradiction, fill, reasons


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a fastener can be. Plain values throughout: `as_json` is what the command line prints and the page reads."""

    candidates: list[dict[str, Any]]
    none_of_these: float
    certainty: dict[str, str]
    strength: dict[str, str] | None
    strength_text: str
    warnings: list[dict[str, Any]]
    next: list[dict[str, Any]]
    contradiction: dict[str, Any] | None

    def as_json(self) -> dict[str, Any]:
        """The answer as plain mappings and lists."""
        return {name: getattr(self, name) for name in self.__dataclass_fields__}


def identify(
    observations: Mapping[str, Any],
    index: Index,
    *,
    vehicle: Mapping[str, Any] | None = None,
    with_next: bool = True,
) -> Answer:
    """What a fastener can be.

    Parameters
    ----------
    observations : Mapping[str, Any]
        Keys as at the top of `identify.js`; lengths in mm.
    index : Index
        From `Index.load`.
    vehicle : Mapping[str, Any], optional
        A vehicle's search part: its joints and their threads.
    with_next : bool
        Whether to rank what to observe next.

    Raises
    ------
    ObservationError
        One sentence, where an observation cannot be used.
    """
    seen = read_observations(observations, index)
    if is_without_thread(seen, index):
        return _without_thread(seen, index)
    found = evidence(seen, index)
    after = posterior(found, prior(seen, index, vehicle), index)
    listed = order(after, index)
    averages = [average(item, after) for item in found]
    strength, strength_text = _strength(seen, index)
    joints = _joints(vehicle)
    return Answer(
        candidates=[
            {
                "designation": _designation(i, seen, index),
                "family": index.family[i].name,
                "slug": slug(_designation(i, seen, index)),
                "probability": after.shares[i],
                "words": words(after.shares[i], index),
                "major_mm": index.major[i],
                "pitch_mm": index.pitch[i],
                "for": speaks,
                "against": contradicts,
                "joints": joints.get(_designation(i, seen, index), []),
            }
            for i in listed
            for speaks, contradicts in [reasons(i, seen, found, averages, index)]
        ],
        none_of_these=after.none,
        certainty=_certainty(seen, listed, after, any(item.key in index.model["measured"] for item in found), index),
        strength=strength,
        strength_text=strength_text,
        warnings=cautions(seen, after, listed, index),
        next=next_steps(seen, after, index) if with_next else [],
        contradiction=contradiction(found, after, index),
    )


def slug(designation: str) -> str:
    """A designation as an address."""
    dashed = "".join("-" if character in "/ ." else character for character in designation.lower())
    return "-".join(part for part in dashed.split("-") if part)


def _designation(i: int, seen: Observations, index: Index) -> str:
    return f"{index.designation[i]} LH" if seen.hand == "left" else index.designation[i]


def _joints(vehicle: Mapping[str, Any] | None) -> dict[str, list[str]]:
    """Joints of the vehicle by thread."""
    joints: dict[str, list[str]] = {}
    for joint in vehicle["joints"] if vehicle else ():
        for designation in joint["threads"]:
            if joint["id"] not in joints.setdefault(designation, []):
                joints[designation].append(joint["id"])
    return joints


def _without_thread(seen: Observations, index: Index) -> Answer:
    said = index.texts["certainty"]
    own = seen.kind in OWN_THREAD
    strength, strength_text = _strength(seen, index)
    nothing = Posterior([], 1.0, [], [], 1.0)
    return Answer(
        candidates=[],
        none_of_these=1.0,
        certainty={"words": index.texts["words"]["cannot_tell"], "text": said["own_thread" if own else "no_thread"]},
        strength=strength,
        strength_text=strength_text,
        warnings=cautions(seen, nothing, [], index),
        next=[],
        contradiction=None,
    )


def _certainty(
    seen: Observations, listed: Sequence[int], after: Posterior, anything: bool, index: Index
) -> dict[str, str]:
    m, said, word = index.model, index.texts["certainty"], index.texts["words"]
    if not anything:
        return {"words": word["cannot_tell"], "text": said["nothing_bore" if seen.member == "internal" else "nothing"]}
    top = after.shares[listed[0]] if listed else 0.0
    if after.none > top and after.none > m["cannot_tell"]:
        return {"words": word["cannot_tell"], "text": said["none"]}
    first = _designation(listed[0], seen, index)
    second = _designation(listed[1], seen, index) if len(listed) > 1 else ""
    if top >= m["almost_certain"]:
        return {"words": word["almost_certain"], "text": fill(said["sure"], first=first)}
    if top >= m["likely"]:
        return {"words": word["likely"], "text": fill(said["likely"], first=first, second=second)}
    both = top + (after.shares[listed[1]] if second else 0.0)
    if both >= m["likely"]:
        return {"words": word["could_be"], "text": fill(said["between"], first=first, second=second)}
    return {"words": word["cannot_tell"], "text": fill(said["cannot_tell"], first=first, second=second)}


def _strength(seen: Observations, index: Index) -> tuple[dict[str, str] | None, str]:
    """What the marks claim; no mark claims nothing, whatever the thread, size, finish or material."""
    said = index.texts["strength"]
    given = [*seen.head_marks, *seen.nut_marks]
    real = [mark for mark in given if mark != BLANK and not index.data["marks"][mark]["blank"]]
    claims: dict[str, str] = {}
    for mark in real:
        for grade, certainty in index.data["marks"][mark]["claims"]:
            claims.setdefault(grade, certainty)
    if claims:
        names = said["or"].join(claims)
        text = fill(said["claim"], claims=names)
        certainty = next(iter(claims.values())) if len(claims) == 1 else said["several"]
        return {"claim": names, "certainty": certainty, "text": text}, text
    if real:
        return None, said["no_claim"]
    return None, said["blank"] if given else said["unseen"]
