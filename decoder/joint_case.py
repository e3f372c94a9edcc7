"""A joint with what its figures rest on looked up once: thread, strength, stack, hole and nut."""

from __future__ import annotations

from dataclasses import dataclass

from decoder.engagement import TappedMaterial
from decoder.joint_threads import find_thread, main_thread
from decoder.loads import Engagement, Load, engagement_needed, ways_to_give
from decoder.places import named_places, stack_at
from decoder.quantities import QuantityError, System
from decoder.records import Bolt, Captive, Duty, Insert, Joint, Member, Nut, Place, Screw, Stud, Tapped
from decoder.reference import Reference
from decoder.stacks import Layout, Survey, survey
from decoder.strength import Grade, StrengthRow
from decoder.threads import Thread

#: Bolts that seal, and have the thread that their maker gave them.
_OWN_LENGTH = ("plug", "bleed", "banjo")


@dataclass(frozen=True, slots=True)
class JointCase:
    """A joint with what is looked up once; None where the record or the tables do not say.

    `thread` is the one that nut and washers take, `hole_thread` that in the hole (a stud's metal end). `row` is the
    strength of the fastener's grade in its size, `material` what a tapped hole is in, never what is round an insert.
    """

    record: Joint
    reference: Reference
    fastener: Bolt | Screw | Stud | None
    thread: Thread | None
    survey: Survey
    hole_thread: Thread | None
    grade: Grade | None
    row: StrengthRow | None
    material: TappedMaterial | None
    engagement: Engagement | None
    nut: Nut | None
    nut_grade: Grade | None

    @property
    def layout(self) -> Layout | None:
        """The stack along its axis."""
        return self.survey.layout


def joint_case(record: Joint, reference: Reference) -> JointCase:
    """Look up what a joint's record names."""
    stack = record.stack
    fastener = next((each for each in stack if isinstance(each, Bolt | Screw | Stud)), None)
    thread = main_thread(stack, reference.threads)
    hole_thread = thread
    if isinstance(fastener, Stud):
        hole_thread = find_thread(fastener.metal_end.thread, reference.threads)
    asked = (fastener.strength if fastener else None) or (record.stated.strength if record.stated else None)
    grade = _grade(asked, "bolt", reference)
    row = grade.at(thread.major_mm) if grade and thread else None
    hole = next((each for each in stack if isinstance(each, Tapped | Insert)), None)
    material = reference.joint_tables.materials.get(hole.tapped) if hole and hole.tapped else None
    engagement = None
    asks = fastener is None or asks_for_engagement(fastener, record.duty)
    if hole is not None and hole_thread is not None and not isinstance(hole, Insert) and asks:
        engagement = engagement_needed(hole_thread, row, material)
    nut = _carrying_nut(stack)
    return JointCase(
        record=record,
        reference=reference,
        fastener=fastener,
        thread=thread,
        survey=survey(stack, reference),
        hole_thread=hole_thread,
        grade=grade,
        row=row,
        material=None if isinstance(hole, Insert) else material,
        engagement=engagement,
        nut=nut,
        nut_grade=_grade(nut.strength, "nut", reference) if nut else None,
    )


def asks_for_engagement(fastener: Bolt | Screw | Stud, duty: Duty) -> bool:
    """Whether thread is wanted by strength or by diameters: only of what clamps, never of plugs or adjusters.

    A plug, a drain plug, a bleed screw and a hollow bolt seal and are as long as their maker made them; an adjuster
    stands where it was set.
    """
    return duty != "adjust" and not (isinstance(fastener, Bolt) and fastener.bolt in _OWN_LENGTH)


def place_layouts(case: JointCase) -> tuple[tuple[str, Place, Layout | None], ...]:
    """Each named place with its stack laid out as it is there; empty where all places are alike."""
    return tuple(
        (name, place, survey(stack_at(case.record.stack, place), case.reference).layout if case.layout else None)
        for name, place in named_places(case.record)
    )


def least_engagement_mm(case: JointCase) -> float | None:
    """The least thread that any of the joint's holes holds, [mm]; None where it ends in no hole, or nobody knows."""
    laid = [layout for _, _, layout in place_layouts(case)] or [case.layout]
    held = [layout.engagement_mm for layout in laid if layout is not None and layout.ending == "hole"]
    return min((mm for mm in held if mm is not None), default=None)


def _carrying_nut(stack: tuple[Member, ...]) -> Nut | None:
    """The nut that carries: a thin one beside another only locks it."""
    carry = [each for each in stack if isinstance(each, Nut | Captive)]
    nuts = [each for each in carry if isinstance(each, Nut)]
    full = [each for each in nuts if each.nut != "thin" or len(carry) == 1]
    if full or len(nuts) < len(carry):
        return full[0] if full else None
    return nuts[0] if nuts else None


def _grade(text: str | None, part: str, reference: Reference) -> Grade | None:
    if text is None:
        return None
    try:
        return reference.strengths.find(text, part)
    except QuantityError:
        return None


def joint_loads(case: JointCase) -> tuple[Load, ...]:
    """Each part with the load at which it gives way, the weakest first; empty where the strength is not known."""
    if case.row is None or case.thread is None or case.layout is None:
        return ()
    return ways_to_give(
        case.thread,
        case.row,
        engaged_mm=least_engagement_mm(case),
        material=case.material,
        nut=case.nut_grade,
        hole_thread=case.hole_thread,
    )


def system_of(thread: Thread) -> System:
    """The system a thread's own standard uses, in which its lengths are sold."""
    return "inch" if thread.threads_per_inch is not None else "metric"
