"""A copy of the demo with a fleet: the keys of its seedling house, and a table of rows beside them."""

import csv
import io
from pathlib import Path

import pytest

from generator.errors import InputFaults
from generator.model.inputs import Inputs
from generator.read.handbook import read_handbook
from tests.changes.project import copy_of_demo

FLEET = """\
table: rooms.csv
columns:
  id: {heading: Room}
  title: {heading: Name}
  route.length: {heading: Run, unit: m}
  water.static_pressure: {heading: Pressure, unit: kPa}
  fixtures[1].flow: {heading: Flow}
unread: [Note]
site:
"""
HEADINGS = ["Room", "Name", "Run", "Pressure", "Flow", "Note"]
ROW = ["room-1", "First, room", "30", "250", "2.4 L/min", "by the door"]


def table(*rows: list[str], headings: list[str] = HEADINGS, between: str = ",") -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=between).writerows([headings, *rows])
    return out.getvalue()


def project(
    root: Path, content: str | bytes, fleet: str = FLEET, *, name: str = "rooms.csv", without: str = ""
) -> Path:
    """The data of a project whose fleet has the table `content`; the one shared line with `without` left out."""
    folders = copy_of_demo(root, {"rill-4m"}, {"seedling-house"})
    file = folders.data / "sites" / "seedling-house.yaml"
    own = ("id:", "title:", "# ", "shutoffs", "contacts", "serial_number", "  power: isolator", "  water: ball valve")
    shared = [line for line in file.read_text().splitlines() if not line.startswith(own)]
    assert not without or sum(without in line for line in shared) == 1
    shared = [line for line in shared if not (without and without in line)]
    text = fleet.replace("rooms.csv", name) + "".join(f"  {line}\n" for line in shared)
    (folders.data / "fleets").mkdir()
    (folders.data / "fleets" / "rooms.yaml").write_text(text)
    (folders.data / "fleets" / name).write_bytes(content.encode() if isinstance(content, str) else content)
    return folders.data


def faults(data: Path) -> list[str]:
    with pytest.raises(InputFaults) as refused:
        read_handbook(data)
    return [str(fault) for fault in refused.value.faults]


def by_id(inputs: Inputs) -> dict[str, object]:
    return {site.id: site for site in inputs.sites}
