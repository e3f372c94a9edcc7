"""Loads every reference table and reference record once, and checks that they agree with one another."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from decoder.circlips import Circlips, load_circlips
from decoder.disagreements import Disagreement, load_disagreements
from decoder.findings import BadDataError
from decoder.head_kinds import HeadKind, load_head_kinds
from decoder.hexagons import Hexagons, load_hexagons
from decoder.joint_kinds import load_joint_kinds
from decoder.joint_tables import JointTables, load_joint_tables
from decoder.kinds import Finish, HardwareKind, Kinds, Material, load_kinds
from decoder.marks import Marks, load_marks
from decoder.nut_drag import Drags, load_nut_drags
from decoder.nut_heights import NutHeights, load_nut_heights
from decoder.paths import reference_root
from decoder.plating_rules import PlatingRules, load_plating
from decoder.records import JointKind
from decoder.sources import Source, load_sources
from decoder.spanners import Spanners, load_spanners
from decoder.split_pins import SplitPins, load_split_pins
from decoder.strength import Strengths, load_strengths
from decoder.tables import gather
from decoder.thread_uses import ThreadUse, load_thread_uses
from decoder.threads import Threads, load_threads
from decoder.washers import Washers, load_washers


@dataclass(frozen=True, slots=True)
class Reference:
    """All that is known about fasteners in general, apart from any vehicle."""

    root: Path
    sources: Mapping[str, Source]
    threads: Threads
    thread_uses: tuple[ThreadUse, ...]
    hexagons: Hexagons
    spanners: Spanners
    strengths: Strengths
    marks: Marks
    nuts: Kinds[HardwareKind]
    nut_drags: Drags
    nut_heights: NutHeights
    washers: Kinds[HardwareKind]
    washer_sizes: Washers
    split_pins: SplitPins
    circlips: Circlips
    heads: Kinds[HeadKind]
    finishes: Kinds[Finish]
    materials: Kinds[Material]
    joint_kinds: Mapping[str, JointKind]
    joint_tables: JointTables
    plating: PlatingRules
    disagreements: tuple[Disagreement, ...]


def load_reference(root: Path | None = None) -> Reference:
    """Read the reference data below `root`, by default the ones that came with the package.

    Raises
    ------
    BadDataError
        With every mistake in every table.
    """
    folder = root or reference_root()
    try:
        return _load(folder)
    except BadDataError:
        # Once more, to the end: the first broken table must not hide the mistakes of the others.
        sources = load_sources(folder)
        gather((*(partial(load, folder, sources) for load in _LOADERS), partial(load_disagreements, folder)))
        raise


_LOADERS: tuple[Callable[[Path, Collection[str]], object], ...] = (
    load_threads,
    load_hexagons,
    load_spanners,
    load_washers,
    load_split_pins,
    load_circlips,
    load_strengths,
    load_marks,
    load_kinds,
    load_head_kinds,
    load_nut_drags,
    load_nut_heights,
    load_joint_kinds,
    load_joint_tables,
    load_plating,
)


def _load(folder: Path) -> Reference:
    sources = load_sources(folder)
    strengths = load_strengths(folder, sources)
    kinds = load_kinds(folder, sources)
    threads = load_threads(folder, sources)
    return Reference(
        root=folder,
        sources=sources,
        threads=threads,
        thread_uses=load_thread_uses(folder, sources, threads),
        hexagons=load_hexagons(folder, sources),
        spanners=load_spanners(folder, sources),
        strengths=strengths,
        marks=load_marks(folder, sources, strengths),
        nuts=kinds.nuts,
        nut_drags=load_nut_drags(folder, sources),
        nut_heights=load_nut_heights(folder, sources),
        washers=kinds.washers,
        washer_sizes=load_washers(folder, sources),
        split_pins=load_split_pins(folder, sources),
        circlips=load_circlips(folder, sources),
        heads=load_head_kinds(folder, sources),
        finishes=kinds.finishes,
        materials=kinds.materials,
        joint_kinds=load_joint_kinds(folder, sources),
        joint_tables=load_joint_tables(folder, sources),
        plating=load_plating(folder, sources),
        disagreements=load_disagreements(folder),
    )
