"""Says which pages the site has, and makes their fragments.

This is the first of two steps and knows nothing of the site generator beyond the shape of a made page.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from decoder.drawings.hexagons import ruler
from decoder.findings import Finding
from decoder.fleet import FleetVehicle
from decoder.head_kinds import HeadKind
from decoder.identify import build_index, state_of
from decoder.kinds import HardwareKind
from decoder_site.links import Links
from decoder_site.loading import Loaded
from decoder_site.making import MadePage
from decoder_site.paper_pages import assembly_pages, gauge_pages, plating_page
from decoder_site.templating import Templates
from decoder_site.views.circlips import ring_groups
from decoder_site.views.drags import drag_tables
from decoder_site.views.entry_tables import EntryTable, coat_table, galvanic_table
from decoder_site.views.facts import Facts
from decoder_site.views.how_good import how_good_view
from decoder_site.views.identify import SCRIPTS as IDENTIFY_SCRIPTS
from decoder_site.views.identify import identify_view
from decoder_site.views.kinds import KindTile, KindView, kind_drawing, kind_view
from decoder_site.views.lookalikes import bands, others
from decoder_site.views.marks import mark_groups, mark_view
from decoder_site.views.measures import Citations
from decoder_site.views.notes import Notes
from decoder_site.views.overviews import assembly_overview, vehicle_map
from decoder_site.views.sizes import families, size_view
from decoder_site.views.small_parts import disagreements, small_parts
from decoder_site.views.sources import source_views
from decoder_site.views.spanners import spanner_view, systems
from decoder_site.views.strengths import grade_groups, grade_view
from decoder_site.views.torque import SCRIPTS as TORQUE_SCRIPTS
from decoder_site.views.torque import torque_view
from decoder_site.views.usage import Usage
from decoder_site.views.vehicles import ListSection, Vehicles, record_stamp
from decoder_site.views.words import plural


def site_pages(loaded: Loaded) -> Iterator[MadePage]:
    """Every generated page."""
    site = _Site(loaded)
    yield site.front()
    yield site.identify()
    yield site.how_good()
    yield from site.sizes()
    yield site.lookalikes()
    yield from site.marks()
    yield from site.spanners()
    yield site.torque()
    yield from gauge_pages(site.page, loaded.reference)
    yield from site.strengths()
    yield from site.kinds()
    yield site.circlips()
    yield from site.vehicles()
    yield site.sources()
    yield site.search()
    yield site.kept()
    yield site.not_kept()


@dataclass(frozen=True, slots=True)
class _Parent:
    address: str
    title: str


@dataclass(frozen=True, slots=True)
class _Group:
    anchor: str
    title: str
    sections: tuple[ListSection, ...]

    @property
    def level(self) -> int:
        return 3 if self.title else 2


class _Site:
    def __init__(self, loaded: Loaded) -> None:
        self.loaded, self.reference, self.place = loaded, loaded.reference, loaded.place
        self.citations = Citations(dict(self.reference.sources), self.place)
        known: dict[str, Mapping[str, str]] = {
            "mark": {mark.id: mark.title for mark in self.reference.marks},
            "joint kind": {name: kind.title for name, kind in self.reference.joint_kinds.items()},
            "source": {name: source.title for name, source in self.reference.sources.items()},
        }
        for name, records in (
            ("nut", self.reference.nuts),
            ("washer", self.reference.washers),
            ("head", self.reference.heads),
            ("finish", self.reference.finishes),
            ("material", self.reference.materials),
        ):
            known[name] = {record.id: record.title for record in records}
        self.facts = Facts(self.reference, self.citations, known)
        self.usage = Usage(loaded.fleet, self.reference)
        self.templates = Templates()

    def page(
        self,
        address: str,
        template: str,
        title: str,
        description: str,
        *,
        label: str = "",
        edit: str = "",
        styles: tuple[str, ...] = (),
        scripts: tuple[str, ...] = (),
        **view: Any,
    ) -> MadePage:
        """One page. `label` is its name in the navigation; a page without one stays out of it."""
        links = Links(address, self.loaded.as_files)
        return MadePage(
            address=address,
            title=title,
            label=label or title,
            description=description,
            fragment=self.templates.fragment(template, links, **view),
            edit_path=self.place.path(edit) if edit else None,
            in_nav=bool(label),
            styles=styles,
            scripts=scripts,
        )

    def front(self) -> MadePage:
        counts = {"sizes": len(self.reference.threads), "spanners": len(self.reference.spanners)}
        return self.page(
            "",
            "front",
            self.loaded.site_name,
            "Tells the bolts, nuts and washers of old vehicles apart, and says where each one goes.",
            label="Start",
            site_name=self.loaded.site_name,
            counts=counts,
        )

    def identify(self) -> MadePage:
        vehicles = self.loaded.fleet.vehicles
        return self.page(
            "identify/",
            "identify",
            "Identify",
            "Type or tap what you can measure and see; it says what the fastener can be, how sure that is, and what "
            "to measure next.",
            label="Identify",
            styles=("assets/styles/identify.css",),
            scripts=IDENTIFY_SCRIPTS,
            view=identify_view(self.reference),
            vehicles=tuple(
                (slug, f"{vehicle.record.title}{' (invented)' if vehicle.is_invented else ''}")
                for slug, vehicle in vehicles.items()
            ),
        )

    def torque(self) -> MadePage:
        return self.page(
            "torque/",
            "torque",
            "Torque",
            "How tight a bolt of a known size and grade is done up: a band with what it rests on, without a network.",
            label="Torque",
            styles=("assets/styles/torque.css",),
            scripts=TORQUE_SCRIPTS,
            view=torque_view(self.reference),
        )

    def how_good(self) -> MadePage:
        return self.page(
            "how-good/",
            "how_good",
            "How good is it?",
            "How often the identification is right, how far to believe it when it is sure, and where it fails: "
            "measured on simulated parts.",
            view=how_good_view(self.loaded.measured, state_of(build_index(self.reference)), self.loaded.built_on),
        )

    def lookalikes(self) -> MadePage:
        return self.page(
            "look-alikes/",
            "lookalikes",
            "Look-alikes",
            "Threads that start in each other's nuts and then bind or strip, pair by pair and in both directions.",
            label="Look-alikes",
            bands=tuple(bands(self.reference)),
        )

    def search(self) -> MadePage:
        return self.page(
            "search/",
            "search",
            "Search",
            "Find a size, a spanner, a head mark, a vehicle or a joint.",
            scripts=("assets/scripts/search.js",),
        )

    def kept(self) -> MadePage:
        vehicles = self.loaded.fleet.vehicles
        return self.page(
            "kept/",
            "kept",
            "Kept on this phone",
            "What this phone keeps of the site, how old it is, and what you typed and ticked, to export or delete.",
            styles=("assets/styles/kept.css",),
            scripts=("assets/scripts/offline.js", "assets/scripts/my-data.js", "assets/scripts/kept-page.js"),
            vehicles=tuple((slug, vehicle.record.title) for slug, vehicle in vehicles.items()),
        )

    def not_kept(self) -> MadePage:
        return self.page(
            "not-kept/",
            "not_kept",
            "Not kept on this phone",
            "Stands in for a page that is not kept on this phone while there is no network.",
            scripts=("assets/scripts/offline.js", "assets/scripts/kept-page.js"),
        )

    def sizes(self) -> Iterator[MadePage]:
        yield self.page(
            "sizes/",
            "sizes",
            "Thread sizes",
            "Threads of old vehicles by family: outside diameter and pitch in millimetres and inches.",
            label="Sizes",
            families=tuple(families(self.reference)),
            count=len(self.reference.threads),
        )
        for thread in self.reference.threads:
            view = size_view(thread, self.reference, self.citations)
            yield self.page(
                f"sizes/{thread.slug}/",
                "size",
                thread.designation,
                f"{thread.designation}: {view.family_name}, {view.major.words}, {view.pitch.words}. "
                "Heads, nuts, spanners and look-alikes.",
                edit=_table(thread.provenance.file),
                size=view,
                others=others(thread, self.reference),
                with_it=small_parts(thread, self.reference, self.citations),
                ruler=Markup(ruler(50)),
                counts=self.usage.counts("size", thread.slug),
            )

    def marks(self) -> Iterator[MadePage]:
        yield self.page(
            "head-marks/",
            "marks",
            "Head marks",
            "Marks on bolt heads, nuts and studs: what each claims, who set the rule, and what it does not say.",
            label="Head marks",
            groups=tuple(mark_groups(self.reference)),
            count=len(self.reference.marks),
        )
        for mark in self.reference.marks:
            notes = Notes()
            view = mark_view(mark, self.reference, self.facts, self.place, notes)
            yield self.page(
                f"head-marks/{mark.id}/",
                "mark",
                f"{mark.title} ({mark.on})",
                f"{mark.title} on a {mark.on}: what it can mean, and what it does not tell.",
                edit=f"marks/{mark.id}.yml",
                mark=view,
                notes=notes.listed,
                counts=self.usage.counts("mark", mark.id),
            )

    def spanners(self) -> Iterator[MadePage]:
        yield self.page(
            "spanners/",
            "spanners",
            "Spanners",
            "Spanner markings, what they open, and which heads they fit or round.",
            label="Spanners",
            systems=tuple(systems(self.reference)),
        )
        for spanner in self.reference.spanners:
            view = spanner_view(spanner, self.reference, self.citations)
            yield self.page(
                f"spanners/{spanner.slug}/",
                "spanner",
                f"Spanner {spanner.marking}",
                f"Spanner {spanner.marking}: opens {view.jaw.words}; the heads it fits, and those it rounds.",
                edit=_table(spanner.provenance.file),
                spanner=view,
                counts=self.usage.counts("spanner", spanner.slug),
            )

    def strengths(self) -> Iterator[MadePage]:
        yield self.page(
            "strength/",
            "strengths",
            "Strength grades",
            "Strength grades by standard: proof, yield and tensile stress by size. No mark: strength not known.",
            label="Strength",
            groups=tuple(grade_groups(self.reference)),
        )
        for grade in self.reference.strengths:
            yield self.page(
                f"strength/{grade.slug}/",
                "strength",
                grade.name,
                f"{grade.name}: proof, yield and tensile stress by size, with the document each was read in.",
                edit=_table(grade.provenance.file),
                grade=grade_view(grade, self.reference, self.citations),
            )

    def circlips(self) -> MadePage:
        return self.page(
            "circlips/",
            "circlips",
            "Circlips",
            "Circlips by shaft, bore and groove: diameter and width of the groove, thickness of the ring.",
            label="Circlips",
            groups=tuple(ring_groups(self.reference, self.citations)),
        )

    def kinds(self) -> Iterator[MadePage]:
        yield from self._kind_pages(
            "joint-kinds",
            "joint kind",
            "Joints",
            "What is usual in each kind of joint, what never goes in, how it is tightened and how it fails.",
            self.reference.joint_kinds.values(),
            sections=("usual", "never", "renew"),
        )
        yield from self._kind_pages(
            "nuts",
            "nut",
            "Nuts",
            "Kinds of nut: which lock, which may be used again, and where each must not go.",
            self.reference.nuts,
            sections=_HARDWARE_SECTIONS,
        )
        yield from self._kind_pages(
            "washers",
            "washer",
            "Washers",
            "Kinds of washer: what each does, and where it never goes.",
            self.reference.washers,
            sections=_HARDWARE_SECTIONS,
        )
        yield from self._kind_pages(
            "heads-and-drives",
            "head",
            "Heads and drives",
            "Shapes of head and what turns them: how a length is measured, what fits, what goes wrong.",
            self.reference.heads,
            sections=("turned_with", "length", "says", "use", "goes_wrong", "told_apart"),
        )
        yield self._entries_page(
            "finishes",
            "finish",
            "Finishes",
            "Coatings: how to know them, and what they change.",
            self.reference.finishes,
            tables=(coat_table(self.reference, self.citations),),
        )
        yield self._entries_page(
            "materials",
            "material",
            "Materials",
            "What parts are made of, and how to tell.",
            self.reference.materials,
            tables=(galvanic_table(self.reference, self.citations),),
        )

    def _kind_pages(
        self, folder: str, subject: str, title: str, lede: str, records: Iterable[Any], *, sections: Collection[str]
    ) -> Iterator[MadePage]:
        ordered = sorted(records, key=lambda each: (_in_short(each) == _A_DRIVE, each.title.casefold(), each.id))
        tiles = tuple(
            KindTile(f"{folder}/{record.id}/", record.title, _in_short(record), kind_drawing(record))
            for record in ordered
        )
        yield self.page(f"{folder}/", "kinds", title, lede, label=title, title_=title, lede=lede, kinds=tiles)
        for record in ordered:
            notes = Notes()
            view = self._kind(folder, subject, record, sections, notes)
            yield self.page(
                f"{folder}/{record.id}/",
                "kind",
                record.title,
                view.about or f"{record.title}: what it is, where it goes and where it never does.",
                edit=f"{folder}/{record.id}.yml",
                kind=view,
                drags=drag_tables(record.id, self.reference, self.citations, notes) if folder == "nuts" else (),
                notes=notes.listed,
                parent=_Parent(f"{folder}/", title),
            )

    def _entries_page(
        self,
        folder: str,
        subject: str,
        title: str,
        lede: str,
        records: Iterable[Any],
        *,
        tables: tuple[EntryTable, ...],
    ) -> MadePage:
        ordered = sorted(records, key=lambda record: (record.title.casefold(), record.id))
        notes = Notes()
        entries = tuple(self._kind(folder, subject, record, (), notes) for record in ordered)
        return self.page(
            f"{folder}/",
            "entries",
            title,
            lede,
            label=title,
            title_=title,
            lede=lede,
            entries=entries,
            tables=tables,
            notes=notes.listed,
        )

    def _kind(self, folder: str, subject: str, record: Any, sections: Collection[str], notes: Notes) -> KindView:
        return kind_view(
            record,
            self.facts,
            self.place.at(f"{folder}/{record.id}.yml"),
            notes,
            sections=sections,
            # A hexagon head is on nearly every joint: a list of them would lead nowhere.
            counts=() if subject == "head" else self.usage.counts(subject, record.id),
        )

    def vehicles(self) -> Iterator[MadePage]:
        views = Vehicles(self.reference, self.facts, self.place, _by_joint(self.loaded.findings))
        vehicles = self.loaded.fleet.vehicles.values()
        yield self.page(
            "vehicles/",
            "vehicles",
            "Vehicles",
            "Vehicles whose joints are recorded: what goes in, which spanner, how tight.",
            label="Vehicles",
            vehicles=tuple(views.vehicle(vehicle) for vehicle in vehicles),
        )
        for vehicle in vehicles:
            yield from self._vehicle(vehicle, views)

    def _vehicle(self, vehicle: FleetVehicle, views: Vehicles) -> Iterator[MadePage]:
        view = views.vehicle(vehicle)
        address = f"vehicles/{vehicle.slug}/"
        about = " Invented, to show how records work." if view.is_invented else ""
        yield self.page(
            address,
            "vehicle",
            view.title,
            f"{view.title}: its assemblies and joints.{about}",
            edit=f"{address}vehicle.yml",
            styles=("assets/styles/working.css",),
            scripts=("assets/scripts/ticks.js",),
            vehicle=view,
            map=vehicle_map(vehicle, Links(address, self.loaded.as_files)),
        )
        assemblies = {slug: views.assembly(assembly) for slug, assembly in vehicle.assemblies.items()}
        for assembly in vehicle.assemblies.values():
            shown = assemblies[assembly.slug]
            yield self.page(
                f"{address}{assembly.slug}/",
                "assembly",
                f"{shown.title}, {view.title}",
                f"{shown.title} of {view.title}: {plural(len(shown.joints), 'joint')}, with hardware, spanners and "
                f"tightening.{about}",
                edit=f"{address}{assembly.slug}.yml",
                styles=("assets/styles/working.css",),
                scripts=("assets/scripts/my-data.js", "assets/scripts/ticks.js"),
                vehicle=view,
                assembly=shown,
                overview=assembly_overview(assembly, linked=True),
                stamps={key: record_stamp(joint.record) for key, joint in assembly.joints.items()},
                pairs=views.lookalikes(assembly),
            )
            yield from assembly_pages(self.page, view, assembly, shown, self.loaded)
        usage = self.usage.by_vehicle[vehicle.slug]
        for folder, title, lede, subjects in _LISTS:
            groups = tuple(
                _Group(f"{prefix}list", heading, tuple(views.sections(usage, subject, prefix)))
                for subject, heading, prefix in subjects
                if usage.uses[subject]
            )
            yield self.page(
                f"{address}{folder}/",
                "vehicle_list",
                f"{title}, {view.title}",
                f"{title} of {view.title}, each with the joints that use it.{about}",
                vehicle=view,
                title_=title,
                lede=lede,
                groups=groups,
            )
        yield plating_page(self.page, vehicle, view, assemblies, self.loaded, self.citations)

    def sources(self) -> MadePage:
        return self.page(
            "sources/",
            "sources",
            "Sources",
            "Every document that a figure on this site was read in, and how much of it was read.",
            label="Sources",
            sources=tuple(source_views(self.reference, self.place)),
            disagreements=disagreements(self.reference),
        )


#: Fields of a nut or washer that deserve a heading.
_HARDWARE_SECTIONS = ("use", "never", "reuse", "test", "temperature", "drag", "partners", "practice")

#: A vehicle's own lists: folder, title, what it is for, and its subjects with their headings and anchor prefixes.
_LISTS: tuple[tuple[str, str, str, tuple[tuple[str, str, str], ...]], ...] = (
    ("sizes", "Joints by thread size", "Which joints a thread belongs to.", (("size", "", ""),)),
    ("head-marks", "Joints by head mark", "Which joints a marked part belongs to.", (("mark", "", ""),)),
    (
        "spanners",
        "Joints by spanner",
        "Which joints a spanner is for. Where no width is recorded, every width that standards give is listed.",
        (("spanner", "", ""),),
    ),
    (
        "kinds",
        "Joints by kind",
        "Which joints hold a kind of nut, washer, finish or material.",
        (
            ("joint kind", "Kinds of joint", "joint-"),
            ("nut", "Nuts", "nut-"),
            ("washer", "Washers", "washer-"),
            ("finish", "Finishes", "finish-"),
            ("material", "Materials", "material-"),
        ),
    ),
)


def _table(file: str) -> str:
    return f"reference/{file.rpartition('/')[2]}"


#: What a list says of a drive; heads come before drives.
_A_DRIVE = "what turns it"


def _in_short(record: Any) -> str:
    """What a list says of a kind beside its title."""
    if isinstance(record, HardwareKind):
        return f"lock: {record.lock}"
    return _A_DRIVE if isinstance(record, HeadKind) and record.sort == "drive" else ""


def _by_joint(findings: Iterable[Finding]) -> Mapping[str, tuple[Finding, ...]]:
    """Findings by the joint they stand in: `…/vehicles/<vehicle>/<assembly>.yml` and `joints.<key>.…`."""
    by_joint: dict[str, list[Finding]] = {}
    for finding in findings:
        parts = finding.file.split("/")
        field = finding.field.split(".")
        if "vehicles" in parts and len(field) > 1 and field[0] == "joints":
            vehicle, file = parts[parts.index("vehicles") + 1 :][:2]
            by_joint.setdefault(f"{vehicle}/{file.removesuffix('.yml')}/{field[1]}", []).append(finding)
    return {joint: tuple(found) for joint, found in by_joint.items()}
