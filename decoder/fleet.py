"""The vehicles whose joints are recorded: `vehicles/<vehicle>/vehicle.yml` and one file an assembly beside it.

Loading reads and types; whether what the records say is right is for `decoder.checks`. Mistakes of shape are kept
with the fleet, so that one run reports them together with everything else that is wrong.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from decoder.build import Origin, build, record_files
from decoder.fields import KEY_SHAPE, KEY_WORDS
from decoder.findings import BadDataError, Finding
from decoder.records import READERS, Assembly, Joint, Vehicle
from decoder.yaml_source import MapNode, PathPart, read_yaml_file

_VEHICLE_FILE = "vehicle"

T = TypeVar("T", Assembly, Vehicle)


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetJoint:
    """A joint and where it stands. `key` is its lasting name within the assembly."""

    vehicle: str
    assembly: str
    key: str
    record: Joint
    origin: Origin

    @property
    def id(self) -> str:
        """`vehicle/assembly/joint`, as the command line and addresses name it."""
        return f"{self.vehicle}/{self.assembly}/{self.key}"

    @property
    def file(self) -> str:
        """The record's file, from the folder that holds the records' folder."""
        return self.origin.file

    def line(self, *path: PathPart) -> int:
        """Line of a field of this joint (`"stack", 0, "length"`), or of the nearest one around it."""
        return self.origin.line("joints", self.key, *path)


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetAssembly:
    """An assembly; `slug` is its file's name, `joints` are in the order of the file.

    `written` are the names of all joints of the file, unreadable ones too.
    """

    vehicle: str
    slug: str
    record: Assembly
    origin: Origin
    joints: Mapping[str, FleetJoint]
    written: tuple[str, ...]

    def line(self, *path: PathPart) -> int:
        """Line of a field of this file."""
        return self.origin.line(*path)


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetVehicle:
    """A vehicle; `assemblies` are in the reading order that its record gives, `files` are all that lie there."""

    slug: str
    record: Vehicle
    origin: Origin
    assemblies: Mapping[str, FleetAssembly]
    files: tuple[str, ...]

    @property
    def is_invented(self) -> bool:
        """True where every page must say that vehicle and values are made up."""
        return self.record.invented == "yes"

    def joints(self) -> Iterator[FleetJoint]:
        """Every joint, assembly by assembly."""
        for assembly in self.assemblies.values():
            yield from assembly.joints.values()

    def line(self, *path: PathPart) -> int:
        """Line of a field of `vehicle.yml`."""
        return self.origin.line(*path)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fleet:
    """All vehicles, by the name of their folder. `findings` are mistakes of shape: with one, the fleet is not whole."""

    vehicles: Mapping[str, FleetVehicle]
    findings: tuple[Finding, ...] = field(default=())

    def joints(self) -> Iterator[FleetJoint]:
        """Every joint of every vehicle."""
        for vehicle in self.vehicles.values():
            yield from vehicle.joints()

    def joint(self, joint_id: str) -> FleetJoint:
        """The joint named `vehicle/assembly/joint`; raises KeyError."""
        parts = joint_id.split("/")
        if len(parts) != 3:
            raise KeyError(joint_id)
        vehicle, assembly, key = parts
        return self.vehicles[vehicle].assemblies[assembly].joints[key]

    def line_of(self, joint_id: str, *path: PathPart) -> tuple[str, int]:
        """File and line of a field of a joint; raises KeyError where there is no such joint."""
        joint = self.joint(joint_id)
        return joint.file, joint.line(*path)


def load_fleet(root: Path, shown_as: str | None = None) -> Fleet:
    """Read every vehicle below `root/vehicles/`.

    Parameters
    ----------
    root : Path
        The records' folder (`site_data`). Without `vehicles/` in it the fleet is empty.
    shown_as : str, optional
        What messages call `root`, default its own name: `site_data/vehicles/<vehicle>/<assembly>.yml`.

    Returns
    -------
    Fleet
        What could be read; look at `findings`, or use `decoder.checks.load_checked_fleet`.
    """
    findings: list[Finding] = []
    folder = root / "vehicles"
    shown = f"{shown_as or root.name}/vehicles"
    vehicles: dict[str, FleetVehicle] = {}
    for path in sorted(folder.iterdir(), key=lambda path: path.name) if folder.is_dir() else ():
        if path.name.startswith("."):
            continue
        where = f"{shown}/{path.name}"
        if not path.is_dir():
            findings.append(_misplaced(where, "a file", "one folder a vehicle", "move it into a vehicle's folder"))
        elif not KEY_SHAPE.fullmatch(path.name):
            findings.append(_misplaced(where, f"the name '{path.name}'", KEY_WORDS, "rename the folder"))
        else:
            vehicle = _load_vehicle(path, where, findings)
            if vehicle is not None:
                vehicles[path.name] = vehicle
    return Fleet(vehicles=MappingProxyType(vehicles), findings=tuple(findings))


def _load_vehicle(folder: Path, shown_as: str, findings: list[Finding]) -> FleetVehicle | None:
    paths = {path.stem: path for path in record_files(folder, shown_as, findings)}
    vehicle_path = paths.pop(_VEHICLE_FILE, None)
    loaded: dict[str, FleetAssembly] = {}
    for slug, path in paths.items():
        read = _read(Assembly, path, f"{shown_as}/{path.name}", findings)
        if read is not None:
            record, origin = read
            loaded[slug] = _assembly(folder.name, slug, record, origin)
    if vehicle_path is None:
        findings.append(_misplaced(f"{shown_as}/vehicle.yml", "no such file", "the vehicle's own record", "write it"))
        return None
    read_vehicle = _read(Vehicle, vehicle_path, f"{shown_as}/{vehicle_path.name}", findings)
    if read_vehicle is None:
        return None
    vehicle, origin = read_vehicle
    order: list[str] = [*dict.fromkeys(slug for slug in vehicle.assemblies if slug in loaded)]
    order += [slug for slug in loaded if slug not in order]
    return FleetVehicle(
        slug=folder.name,
        record=vehicle,
        origin=origin,
        assemblies=MappingProxyType({slug: loaded[slug] for slug in order}),
        files=tuple(paths),
    )


def _assembly(vehicle: str, slug: str, record: Assembly, origin: Origin) -> FleetAssembly:
    joints = {
        key: FleetJoint(vehicle=vehicle, assembly=slug, key=key, record=joint, origin=origin)
        for key, joint in record.joints.items()
    }
    node = origin.root.entries.get("joints") if isinstance(origin.root, MapNode) else None
    return FleetAssembly(
        vehicle=vehicle,
        slug=slug,
        record=record,
        origin=origin,
        joints=MappingProxyType(joints),
        written=tuple(node.entries) if isinstance(node, MapNode) else (),
    )


def _read(cls: type[T], path: Path, shown_as: str, findings: list[Finding]) -> tuple[T, Origin] | None:
    try:
        root = read_yaml_file(path, shown_as)
    except BadDataError as error:
        findings.extend(error.findings)
        return None
    record = build(cls, root, shown_as, findings, readers=READERS)
    return None if record is None else (record, Origin(shown_as, root))


def _misplaced(file: str, found: str, expected: str, fix: str) -> Finding:
    return Finding(
        level="error", code="file-name", file=file, line=1, field="file", found=found, expected=expected, fix=fix
    )
