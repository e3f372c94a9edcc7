"""Kinds of nut, washer, finish and material: what each is, where it may go, and who says so.

Authorities differ on heat, on reuse and on what a lock washer does. Each statement stands beside its source, and the
strictest one is named for joints where a failure can hurt someone. Where nothing was found the record says that.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Generic, Literal, NewType, Protocol, TypeVar

from decoder.build import Origin, TextReader, build_folder
from decoder.citations import Citation, citation_findings, record_finding
from decoder.fields import RecordId, Text, doc
from decoder.findings import BadDataError, Finding
from decoder.quantities import QuantityError, Temperature, parse_temperature
from decoder.records import ConditionName, Duty

#: Written where a field was looked into and no document found that answers it.
NoSource = Literal["no source found"]
NO_SOURCE: NoSource = "no source found"

#: The same, or that the question does not arise.
NoDrag = Literal["no source found", "it has none"]

#: A consequence, or all those that can hurt someone.
Risk = Literal[
    "safety-critical", "brake", "steering", "suspension", "wheel", "fuel", "restraint", "lifting", "ordinary",
]  # fmt: skip

#: Volts against gold, as tables of metals in salt water print them.
Volts = NewType("Volts", float)

#: Most that two metals may stand apart, by where they are, as the tables of the anodic index print it, in volts.
GALVANIC_LIMITS_V: Mapping[str, float] = {"wet with salt": 0.15, "outdoors under cover": 0.25, "dry indoors": 0.50}

#: What keeps the kind from turning in service.
Lock = Literal[
    "none", "own thread grip", "pin", "bent tab", "second nut", "staking", "teeth", "spring, disputed", "seat",
    "elsewhere",
]  # fmt: skip


#: What a drawing shows of a nut or washer.
Feature = Literal[
    "hexagon", "square body", "wings", "ears", "bent sheet", "half height", "full height", "tall", "round collar",
    "insert ring", "oval top", "press marks on top", "side dents", "sawn collar", "slotted crown", "slots in the body",
    "dome", "collar to stake", "flange", "teeth under the flange", "cone seat", "ball seat", "loose washer", "cage",
    "welded to sheet", "ring", "thick ring", "wide ring", "cut and sprung", "teeth inside", "teeth outside",
    "cone with teeth", "tab", "waves", "dished", "cup", "rubber lip", "crush ring", "chamfered bore", "oil grooves",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """One thing that somebody says, and where."""

    says: Text = field(metadata=doc("what is said", example="fibre and nylon to 250 °F"))
    by: Text | None = field(default=None, metadata=doc("who says it", example="US aviation authority"))
    limit: Temperature | None = field(default=None, metadata=doc("a temperature it names", example="120 °C"))
    sources: tuple[Citation, ...] = field(metadata=doc("where it was read"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A use that a check can recognise in a joint's record. Everything the rule names must hold for it to speak."""

    level: Literal["error", "warning", "note"] = field(metadata=doc("how serious it is", example="error"))
    condition: ConditionName | None = field(default=None, metadata=doc("a condition of the joint", example="rotation"))
    above: Temperature | None = field(default=None, metadata=doc("heat above this", example="120 °C"))
    consequence: Risk | None = field(default=None, metadata=doc("what a failure does", example="safety-critical"))
    duty: Duty | None = field(default=None, metadata=doc("what the fastener does", example="clamp"))
    reused: Literal["yes"] | None = field(default=None, metadata=doc("speaks only where the part is not renewed"))
    bolt_over_mpa: Text | None = field(
        default=None, metadata=doc("speaks where the bolt or stud is stronger than this", example="600")
    )
    unless_with: tuple[RecordId, ...] = field(
        default=(), metadata=doc("silent where the stack also holds another of its sort, of one of these kinds")
    )
    because: Text = field(metadata=doc("why, for the person who reads the finding"))
    sources: tuple[Citation, ...] = field(metadata=doc("where it was read"))


@dataclass(frozen=True, slots=True, kw_only=True)
class HardwareKind:
    """A kind of nut or washer."""

    id: str = field(metadata=doc("the file's name", from_file_name=True))
    title: Text = field(metadata=doc("what the trade calls it", example="Castellated nut"))
    also_called: tuple[Text, ...] = field(default=(), metadata=doc("other names"))
    lock: Lock = field(metadata=doc("what keeps it from turning", example="pin"))
    shape: tuple[Feature, ...] = field(metadata=doc("what is seen of it, for the drawing", example="hexagon"))
    recognise: Text = field(metadata=doc("how to know one"))
    principle: Text = field(metadata=doc("how it works"))
    use: tuple[Statement, ...] = field(metadata=doc("where it may go"))
    never: tuple[Statement, ...] = field(metadata=doc("where it must not go"))
    temperature: tuple[Statement, ...] | NoSource = field(metadata=doc("limits, by standard and edition"))
    reuse: tuple[Statement, ...] | NoSource = field(metadata=doc("whether it may be used again, by authority"))
    strictest: Text = field(metadata=doc("what to do in a joint where a failure can hurt someone"))
    drag: tuple[Statement, ...] | NoDrag = field(metadata=doc("torque it takes to turn before it clamps"))
    test: tuple[Statement, ...] | NoSource = field(metadata=doc("test before it is used again"))
    partners: tuple[Text, ...] = field(default=(), metadata=doc("what goes with it"))
    practice: tuple[Statement, ...] = field(default=(), metadata=doc("what people do, described and not advised"))
    cautions: tuple[Text, ...] = field(default=(), metadata=doc("what can hurt someone"))
    rules: tuple[Rule, ...] = field(default=(), metadata=doc("uses that a check can recognise"))
    sources: tuple[Citation, ...] = field(metadata=doc("where the kind itself is described"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """A coating, or the lack of one."""

    id: str = field(metadata=doc("the file's name", from_file_name=True))
    title: Text = field(metadata=doc("what the trade calls it", example="Zinc plate, clear"))
    also_called: tuple[Text, ...] = field(default=(), metadata=doc("other names"))
    recognise: Text = field(metadata=doc("how to know it"))
    cannot_show: Text = field(metadata=doc("what its look does not tell"))
    since: tuple[Statement, ...] | NoSource = field(metadata=doc("when it came into use"))
    thickness: tuple[Statement, ...] | NoSource = field(metadata=doc("how thick, and what the thread must leave"))
    embrittlement: tuple[Statement, ...] | NoSource = field(metadata=doc("whether applying it can make steel brittle"))
    friction: tuple[Statement, ...] | NoSource = field(metadata=doc("what it does to tightening"))
    temperature: tuple[Statement, ...] | NoSource = field(metadata=doc("heat it stands"))
    use: tuple[Text, ...] = field(metadata=doc("where it suits"))
    never: tuple[Text, ...] = field(metadata=doc("where it does not"))
    cautions: tuple[Text, ...] = field(default=(), metadata=doc("what can hurt someone"))
    sources: tuple[Citation, ...] = field(metadata=doc("where the finish itself is described"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What a fastener, a layer or a tapped part is made of."""

    id: str = field(metadata=doc("the file's name", from_file_name=True))
    title: Text = field(metadata=doc("what it is called", example="Cast iron"))
    also_called: tuple[Text, ...] = field(default=(), metadata=doc("other names"))
    soft_layer: Literal["yes", "no"] = field(
        default="no", metadata=doc("whether a layer of it gives, so that no torque follows from the bolt")
    )
    recognise: Text = field(metadata=doc("how to know it"))
    magnet: Text = field(metadata=doc("what a magnet does, and what that cannot show"))
    colour: Text | None = field(default=None, metadata=doc("colour of a clean scratch, and what that cannot show"))
    file: Text | None = field(default=None, metadata=doc("what a file does, and what that cannot show"))
    use: tuple[Text, ...] = field(default=(), metadata=doc("where it is met"))
    never: tuple[Text, ...] = field(default=(), metadata=doc("where it must not go"))
    anodic_index: Volts | None = field(
        default=None,
        metadata=doc("how ready it is to be eaten by another metal; the higher of a pair is eaten", example="0.85 V"),
    )
    pairs: tuple[Statement, ...] | NoSource = field(metadata=doc("which metals it eats or is eaten by"))
    since: tuple[Statement, ...] | NoSource = field(
        default=(), metadata=doc("when it came into use for fasteners or round them")
    )
    cautions: tuple[Text, ...] = field(default=(), metadata=doc("what can hurt someone"))
    sources: tuple[Citation, ...] = field(metadata=doc("where this was read"))


class Named(Protocol):
    """What every kind has."""

    @property
    def id(self) -> str: ...
    @property
    def title(self) -> Text: ...
    @property
    def also_called(self) -> tuple[Text, ...]: ...


K = TypeVar("K", bound=Named)


class Kinds(Generic[K]):
    """All kinds of one sort, found by id or by any of their names."""

    def __init__(self, what: str, kinds: Mapping[str, K]) -> None:
        self._what = what
        self._kinds = dict(sorted(kinds.items()))
        self._names: dict[str, list[str]] = {}
        for kind in self._kinds.values():
            for name in {plain_name(text) for text in (kind.id, kind.title, *kind.also_called)}:
                self._names.setdefault(name, []).append(kind.id)

    def __iter__(self) -> Iterator[K]:
        return iter(self._kinds.values())

    def __len__(self) -> int:
        return len(self._kinds)

    def __contains__(self, id: object) -> bool:
        return id in self._kinds

    def get(self, id: str) -> K | None:
        """The kind of exactly this id, or None."""
        return self._kinds.get(id)

    def find(self, text: str) -> K:
        """The kind that an id or a trade name means, such as 'castellated', 'castle nut' or 'penny washer'.

        Raises
        ------
        QuantityError
            Where no kind or several have that name; the message names the nearest.
        """
        asked = plain_name(text)
        ids = self._names.get(asked, [])
        if len(ids) == 1:
            return self._kinds[ids[0]]
        shown = text.strip()[:60]
        if ids:
            names = ", ".join(f"'{id}'" for id in ids)
            raise QuantityError(f"'{shown}' can be several kinds of {self._what}: write one of {names}.", tuple(ids))
        near = difflib.get_close_matches(asked, self._names, n=3, cutoff=0.6)
        choices = tuple(dict.fromkeys(id for name in near for id in self._names[name]))
        if choices:
            names = " or ".join(f"'{id}'" for id in choices)
            raise QuantityError(f"'{shown}' is no kind of {self._what} known here: did you mean {names}?", choices)
        raise QuantityError(f"'{shown}' is no kind of {self._what} known here: write one of {', '.join(self._kinds)}.")


@dataclass(frozen=True, slots=True)
class AllKinds:
    """Every kind of every sort."""

    nuts: Kinds[HardwareKind]
    washers: Kinds[HardwareKind]
    finishes: Kinds[Finish]
    materials: Kinds[Material]


def galvanic_gap_v(one: Material, other: Material) -> float | None:
    """How far two metals stand apart, in volts; the one with the higher index is eaten. None where one has no index."""
    if one.anodic_index is None or other.anodic_index is None:
        return None
    return abs(one.anodic_index - other.anodic_index)


def read_volts(text: str) -> Volts:
    """Read an anodic index such as `0.85 V`, from 0 to 2 V."""
    match = re.fullmatch(r"([0-2]\.\d{1,2})\s*V", text)
    if match is None or float(match[1]) > 2:
        raise ValueError(f"'{text[:20]}' is no anodic index: write volts from 0 to 2 such as 0.85 V")
    return Volts(float(match[1]))


_READERS: Mapping[Any, TextReader] = {Temperature: parse_temperature, Volts: read_volts}


def load_kinds(root: Path, documents: Collection[str]) -> AllKinds:
    """Read every record in `root/nuts/`, `washers/`, `finishes/` and `materials/`, or raise with all mistakes in them.

    `documents` are the known source ids.
    """
    findings: list[Finding] = []
    nuts = _read(HardwareKind, "nuts", root, documents, findings)
    washers = _read(HardwareKind, "washers", root, documents, findings)
    finishes = _read(Finish, "finishes", root, documents, findings)
    materials = _read(Material, "materials", root, documents, findings)
    if findings:
        raise BadDataError(findings)
    return AllKinds(
        Kinds("nut", nuts), Kinds("washer", washers), Kinds("finish", finishes), Kinds("material", materials)
    )


def _read(cls: type[K], folder: str, root: Path, documents: Collection[str], findings: list[Finding]) -> dict[str, K]:
    kinds, origins = build_folder(cls, root / folder, f"{root.name}/{folder}", findings, readers=_READERS)
    taken: dict[str, str] = {}
    for id, kind in kinds.items():
        findings.extend(citation_findings(kind, origins[id], documents))
        if isinstance(kind, HardwareKind):
            findings.extend(_rule_findings(kind, origins[id]))
        for name in {plain_name(text) for text in (id, kind.title)}:
            if name in taken:
                findings.append(
                    record_finding(
                        origins[id],
                        ("title",),
                        "kind-repeated-name",
                        f"the name of '{taken[name]}' again",
                        "a name of its own",
                        "rename one of the two",
                    )
                )
            taken[name] = id
    return kinds


def _rule_findings(kind: HardwareKind, origin: Origin) -> Iterator[Finding]:
    for number, rule in enumerate(kind.rules):
        named = (
            rule.condition,
            rule.above,
            rule.consequence,
            rule.duty,
            rule.reused,
            rule.bolt_over_mpa,
        )
        if all(value is None for value in named):
            yield record_finding(
                origin,
                ("rules", number),
                "kind-rule",
                "a rule that names no use",
                "a condition, a heat, a consequence, a duty or a strength",
                "say when the rule speaks, or write it as a caution",
            )
        if rule.bolt_over_mpa is not None and not rule.bolt_over_mpa.isdigit():
            yield record_finding(
                origin,
                ("rules", number, "bolt_over_mpa"),
                "kind-rule",
                f"'{rule.bolt_over_mpa}'",
                "a tensile stress in MPa such as 600",
                "write digits alone",
            )


def plain_name(text: str) -> str:
    """A name as ids are written, without the word for the sort of thing it is."""
    words = re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-")
    return re.sub(r"-?\b(nut|nuts|washer|washers)\b$", "", words) or words
