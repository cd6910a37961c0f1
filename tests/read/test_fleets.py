"""Sites from a table: each row as if it were a file of its own, and each fault at its row and column."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.assemble.results_json import input_texts
from generator.compute.site import judge_site
from generator.read.fleets import read_fleets
from generator.read.handbook import read_handbook
from generator.read.yaml import yaml_file
from tests.read.fleet_project import FLEET, HEADINGS, ROW, by_id, faults, project, table


def test_a_row_is_the_site_that_a_file_would_be(tmp_path: Path) -> None:
    data = project(tmp_path, table(ROW, ["room-2", "Second", "45 ft", "", "", ""]))
    file = (data / "sites" / "seedling-house.yaml").read_text()
    for old, new in (
        ("id: seedling-house", "id: as-a-file"),
        ("title: Seedling house hand basin", 'title: "First, room"'),
    ):
        assert file.count(old) == 1
        file = file.replace(old, new)
    file = file.replace("length: 18 m", "length: 30 m").replace("300 kPa", "250 kPa").replace("2.5 L", "2.4 L")
    keys = ("shutoffs", "contacts", "serial_number", "  power: isolator", "  water: ball valve")
    lines = [line for line in file.splitlines() if not line.startswith(keys)]
    (data / "sites" / "as-a-file.yaml").write_text("\n".join(lines) + "\n")
    inputs = read_handbook(data)
    found = by_id(inputs)
    assert list(found) == ["as-a-file", "seedling-house", "room-1", "room-2"]
    assert found["room-1"].model_copy(update={"id": "as-a-file"}) == found["as-a-file"]  # type: ignore[attr-defined]
    assert found["room-2"].route.length_m == pytest.approx(45.0 * 0.3048)  # type: ignore[attr-defined]
    assert found["room-2"].water == found["seedling-house"].water  # type: ignore[attr-defined]
    judged = {
        site.id: [(one.rule, one.case, one.severity) for one in judge_site(site, inputs)] for site in inputs.sites
    }
    assert judged["room-1"] == judged["as-a-file"]


def test_inputs_of_rows_are_kept_apart_and_found_at_their_cells(tmp_path: Path) -> None:
    inputs = read_handbook(project(tmp_path, table(ROW, ["room-2", *ROW[1:]])))
    texts = input_texts(inputs)
    rooms = {file: keys["id"] for file, keys in texts.items() if "rooms.csv" in file}
    start = "site_data/fleets/rooms.csv/sites/"
    assert rooms == {f"{start}room-1": "room-1", f"{start}room-2": "room-2"}
    assert texts[f"{start}room-1"]["water.static_pressure"] == "250 kPa"
    place = inputs.places["site", "room-2", "route", "length"]
    assert (place.file, place.line, place.column) == ("site_data/fleets/rooms.csv", 3, 3)


def test_places_of_rows_are_made_when_they_are_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """So many rows make no more of them than one: half a million for ten thousand sites took most of reading."""
    made: list[str] = []
    real = yaml_file.FilePlace
    monkeypatch.setattr(yaml_file, "FilePlace", lambda *given: made.append(given[0]) or real(*given))
    read_handbook(project(tmp_path / "one", table(ROW)))
    few = len(made)
    inputs = read_handbook(project(tmp_path / "many", table(*([f"room-{n}", *ROW[1:]] for n in range(50)))))
    assert len(made) == 2 * few > 0
    places = inputs.places
    assert len(list(places)) == len(places) == len(dict(places.items())) > 50 * 20
    for file in read_fleets(tmp_path / "many" / "site_data" / "fleets", tmp_path / "many")[0]:
        assert len(set(file.paths)) == len(list(file.paths)) == len(file.paths)
    assert ("site", "room-49", "route", "length") in places and ("site", "room-49", "rout") not in places
    for unknown in (("site", "room-50", "id"), ("model", "room-49", "id"), ("site", "room-49", "route", 0)):
        assert places.get(unknown) is None


@pytest.mark.parametrize(
    ("column", "cell", "said"),
    [
        (2, "thirty", "rooms.csv:3:3: route.length: 'thirty' is not a decimal number"),
        (3, "2l", "rooms.csv:3:4: water.static_pressure: '2l': 'l' is a volume"),
        (4, "0.7 kW", "rooms.csv:3:5: fixtures[1].flow: '0.7 kW': 'kW' is a power"),
        (0, "Room 2", "rooms.csv:3:1: id: 'Room 2'"),
        (0, "room-1", "rooms.csv:3:1: id: 'room-1' is the id of line 2 too"),
        (
            0,
            "seedling-house",
            "rooms.csv:3:1: id: 'seedling-house' is the id of site_data/sites/seedling-house.yaml too",
        ),
        (0, "", "rooms.csv:3:1: id: this key is missing"),
        (1, "a\u200bb", "rooms.csv:3:"),
    ],
)
def test_a_cell_is_refused_at_its_row_and_column(tmp_path: Path, column: int, cell: str, said: str) -> None:
    wrong = ["room-2", *ROW[1:]]
    wrong[column] = cell
    found = faults(project(tmp_path, table(ROW, wrong)))
    assert len(found) == 1
    assert found[0].startswith(f"site_data/fleets/{said}")


def test_what_every_row_shares_is_told_once(tmp_path: Path) -> None:
    rows = [[f"room-{number}", *ROW[1:]] for number in range(50)]
    found = faults(project(tmp_path, table(*rows), without="method: C"))
    assert len(found) == 1
    assert found[0].startswith("site_data/fleets/rooms.yaml:")
    assert "site.route.method: this key is missing" in found[0] or "site: this key is missing" in found[0]


@pytest.mark.parametrize(
    ("text", "fleet", "said"),
    [
        (table(ROW, headings=[*HEADINGS[:-1], "Remark"]), FLEET, "rooms.csv:1:6: file: nothing is read from"),
        (table(ROW, headings=["Room", "Name", "Rum", *HEADINGS[3:]]), FLEET, "rooms.yaml:5:27: columns.route.length"),
        (table(ROW, headings=["Room", *HEADINGS[:-1]]), FLEET, "rooms.csv:1:2: file: the heading 'Room' stands"),
        (table([*ROW, "more"]), FLEET, "rooms.csv:2:7: file: the row has 7 cells for 6 headings"),
        (table(), FLEET, "rooms.csv:1:1: file: the table has no row"),
        ("", FLEET, "rooms.csv:1:1: file: the table has no row"),
        ('Room,Name\n"room-1', FLEET, "rooms.csv:2:1: file: this is no table"),
        (table(ROW), FLEET.replace("route.length", "route.lenght"), "rooms.yaml:5:"),
        (table(ROW), FLEET.replace("fixtures[1]", "fixtures[9]"), "rooms.csv:2:5: fixtures[9].flow: the sites of"),
        (table(ROW), FLEET.replace("  id: {heading: Room}\n", ""), "rooms.yaml:2:"),
        (table(ROW), FLEET.replace("rooms.csv", "../rooms.csv"), "rooms.yaml:1:"),
        (table(ROW), FLEET.replace("rooms.csv", "halls.csv"), "halls.csv:1:1: file: this cannot be read"),
    ],
)
def test_a_table_that_does_not_fit_is_refused(tmp_path: Path, text: str, fleet: str, said: str) -> None:
    found = faults(project(tmp_path, text, fleet))
    assert [one for one in found if one.startswith(f"site_data/fleets/{said}")], found


def test_tables_as_spreadsheets_write_them(tmp_path: Path) -> None:
    """A byte order mark, semicolons, empty lines and line ends of two signs."""
    text = "\ufeff" + table(ROW, [""] * 6, ["room-2", *ROW[1:]], between=";")
    data = project(tmp_path, text, FLEET.replace("columns:", "separator: semicolon\ncolumns:", 1))
    assert {"room-1", "room-2"} <= by_id(read_handbook(data)).keys()
