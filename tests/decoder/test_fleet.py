"""Vehicles are read with the place of every field, in the order that their record gives."""

from __future__ import annotations

from pathlib import Path

import pytest

from decoder.fleet import load_fleet
from tests.decoder.records_under_test import RECORD, VEHICLE, write_fleet


def test_joints_are_found_by_their_id_with_their_lines(tmp_path: Path) -> None:
    """Views lead each fact to its line."""
    fleet = load_fleet(write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": RECORD}))
    assert fleet.findings == ()
    joint = fleet.joint("test/record/cover-to-block")
    assert joint.id == "test/record/cover-to-block"
    assert joint.record.title == "Cover to block"
    assert fleet.line_of(joint.id, "stack", 2, "thickness") == ("site_data/vehicles/test/record.yml", 12)
    assert joint.line() == 3
    assert joint.line("tighten", "torque") == 3
    assert fleet.vehicles["test"].line("title") == 1
    assert fleet.vehicles["test"].is_invented


@pytest.mark.parametrize("joint_id", ["test/record", "test/record/none", "none/record/cover-to-block", "a/b/c/d", ""])
def test_an_id_that_names_nothing_is_a_key_error(joint_id: str, tmp_path: Path) -> None:
    """Never another joint."""
    fleet = load_fleet(write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": RECORD}))
    with pytest.raises(KeyError):
        fleet.joint(joint_id)


def test_assemblies_come_in_reading_order(tmp_path: Path) -> None:
    """As the vehicle lists them; one that it forgot comes last, and the check says so."""
    vehicle = VEHICLE.replace("[record]", "[zebra, record]")
    files = {"vehicle.yml": vehicle, "record.yml": RECORD, "zebra.yml": RECORD, "apple.yml": RECORD}
    fleet = load_fleet(write_fleet(tmp_path, files))
    assert list(fleet.vehicles["test"].assemblies) == ["zebra", "record", "apple"]


def test_a_folder_without_vehicles_is_an_empty_fleet(tmp_path: Path) -> None:
    """A site may start with tables alone."""
    assert list(load_fleet(tmp_path).vehicles) == []


def test_what_lies_in_the_wrong_place_is_named(tmp_path: Path) -> None:
    """A file among the vehicles, a folder with a bad name, a vehicle without its record."""
    root = write_fleet(tmp_path, {"record.yml": RECORD})
    (root / "vehicles" / "stray.yml").write_text("")
    (root / "vehicles" / "Bad Name").mkdir()
    (root / "vehicles" / ".hidden").mkdir()
    found = [(finding.file, finding.found) for finding in load_fleet(root).findings]
    assert found == [
        ("site_data/vehicles/Bad Name", "the name 'Bad Name'"),
        ("site_data/vehicles/stray.yml", "a file"),
        ("site_data/vehicles/test/vehicle.yml", "no such file"),
    ]


def test_assemblies_are_read_although_their_vehicle_cannot_be(tmp_path: Path) -> None:
    """All mistakes of a run together."""
    files = {"vehicle.yml": VEHICLE.replace("invented: yes\n", ""), "record.yml": RECORD.replace("seal", "seel")}
    fleet = load_fleet(write_fleet(tmp_path, files))
    assert [finding.field for finding in fleet.findings] == ["joints.cover-to-block.duty", "invented"]


def test_messages_name_the_folder_as_asked(tmp_path: Path) -> None:
    """An annotation needs the path from the repository's root."""
    root = write_fleet(tmp_path, {"vehicle.yml": VEHICLE, "record.yml": "a: 1\na: 2\n"})
    (finding,) = load_fleet(root, "sub/site_data").findings
    assert finding.file == "sub/site_data/vehicles/test/record.yml"
