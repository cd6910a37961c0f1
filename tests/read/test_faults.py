"""What a writer is told: each fault at its place, in words, all of a run together."""

from pathlib import Path

import pytest
import yaml

from tests.read.conftest import Handbook, place

CASES: list[dict[str, str]] = sum(
    yaml.safe_load(Path(__file__).with_name("fault_cases.yaml").read_text(encoding="utf-8")).values(), []
)
MODEL, SITE, SETTINGS, TABLE = "models/brook-6.yaml", "sites/shed.yaml", "handbook.yaml", "codes/test/ampacity.yaml"


def test_the_small_handbook_has_no_fault(handbook: Handbook) -> None:
    assert handbook.faults() == []


RESIDUAL = "guards: {residual_current: {bathroom: 30 mA, outdoor: 30 mA, agricultural: 300 mA}}"


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['key']}: {case['wrong']}")
def test_a_fault_is_told_once_at_its_place(handbook: Handbook, case: dict[str, str]) -> None:
    text = handbook.edit(case["file"], case["old"], case["new"])
    (fault,) = handbook.faults()
    assert (fault.key, fault.wrong, fault.expected) == (case["key"], case["wrong"], case["expected"])
    assert (fault.file, fault.line, fault.column) == (f"site_data/{case['file']}", *place(text))


def test_a_fault_reads_as_file_line_column_key_wrong_and_expected(handbook: Handbook) -> None:
    handbook.edit(SITE, "length: 35 ft", "length: 35")
    assert [str(fault) for fault in handbook.faults()] == [
        "site_data/sites/shed.yaml:21:11: route.length: '35' has no unit; "
        "write a length in ft, in, m, cm or mm, above 0 ft to 3000 ft"
    ]


@pytest.mark.parametrize(
    ("drop", "key"),
    [
        ("lighting", "voltage_drop: this states nothing for other_uses"),
        ("other_uses", "conductor_resistivity: this states nothing for copper"),
    ],
)
def test_a_basis_states_what_its_family_asks_for(handbook: Handbook, drop: str, key: str) -> None:
    handbook.edit("codes/test/basis.yaml", "family: nfpa70", "family: iec60364")
    handbook.edit("codes/test/basis.yaml", "  branch_circuit: {", f"  {drop}: {{")
    (fault,) = handbook.faults()
    assert str(fault).endswith(f"{key}; a basis of the family iec60364 needs it")


@pytest.mark.parametrize(
    ("left_out", "told"),
    [
        (RESIDUAL, "guards"),
        ("conventional_current: 1.45", "conventional_current"),
    ],
)
def test_an_iec_basis_states_its_guards_and_what_opens_a_breaker(handbook: Handbook, left_out: str, told: str) -> None:
    basis, resistivity = "codes/test/basis.yaml", "conductor_resistivity: {copper: {value: 0.0225, unit: ohm mm2/m}}"
    own = [resistivity, RESIDUAL, "conventional_current: 1.45"]
    handbook.edit(basis, "family: nfpa70", "family: iec60364")
    handbook.edit(basis, "  branch_circuit: {", "  other_uses: {")
    handbook.edit(
        basis,
        "guards:\n  ground_fault: {device: 50 A, voltage_to_ground: 150 V}\n  arc_fault: {device: 20 A, "
        "voltage: 130 V}\n  limiter: {exempt: 1 gal}",
        "\n".join(line for line in own if line != left_out),
    )
    assert told in [fault.key for fault in handbook.faults() if fault.file.endswith(basis)]


def test_a_long_value_is_cut_in_the_message(handbook: Handbook) -> None:
    handbook.edit(SITE, "id: shed", f"id: {'S' * 5000}")
    (fault,) = [fault for fault in handbook.faults() if fault.key == "id"]
    assert fault.wrong == f"'{'S' * 60}…' is not allowed here"


def test_all_faults_of_a_run_come_together(handbook: Handbook) -> None:
    handbook.edit(SITE, "length: 35 ft", "lenght: 35 ft")
    handbook.edit(SITE, "spaces: 4", "spaces: four")
    handbook.edit(MODEL, "power: 6 kW", "power: 6 gpm")
    handbook.edit(MODEL, "opens_at: 0.7 gpm", "opens_at: 0.9 gpm")
    handbook.edit(MODEL, "least: 25 psi", "least: 225 psi")
    handbook.edit("models/brook-3.yaml", "id: brook-3", "id: [")
    handbook.edit(SETTINGS, "units: both", "units: both\nunits: us")
    handbook.edit(TABLE, "table: ampacity", "table: other")
    assert [(fault.file.removeprefix("site_data/"), fault.line, fault.key) for fault in handbook.faults()] == [
        ("codes/test/ampacity.yaml", 1, "table"),
        ("handbook.yaml", 8, "units"),
        ("models/brook-3.yaml", 1, "file"),
        ("models/brook-6.yaml", 7, "ratings[1].power"),
        ("models/brook-6.yaml", 11, "stages[2].opens_at"),
        ("models/brook-6.yaml", 28, "water.working_pressure.least"),
        ("sites/shed.yaml", 15, "supply.panel.spaces"),
        ("sites/shed.yaml", 21, "route.lenght"),
    ]


def test_a_fault_in_a_model_is_not_told_again_of_its_sites(handbook: Handbook) -> None:
    handbook.edit(MODEL, "mass: 9 lb", "mass: 9")
    assert [fault.key for fault in handbook.faults()] == ["mass"]


def second_site(handbook: Handbook, old: str = "", new: str = "") -> str:
    """Write a second site like the first, `old` made `new`, both on panel 'barn'; return its text."""
    text = handbook.edit(SITE, "  panel:\n", "  panel:\n    id: barn\n")
    text = text.replace("id: shed\n", "id: dairy\n").replace("shed.hottest", "dairy.hottest").replace(old, new)
    (handbook.folder / "sites" / "dairy.yaml").write_text(text.replace("^", ""), encoding="utf-8")
    return text


def test_sites_that_state_a_panel_alike_share_it(handbook: Handbook) -> None:
    second_site(handbook)
    assert [one.supply.panel.id for one in handbook.read().sites] == ["barn", "barn"]


@pytest.mark.parametrize(
    ("key", "old", "new"),
    [
        ("rating", "100 A", "200 A"),
        ("demand", "40 A", "41 A"),
        ("demand_method", "connected load", "a guess"),
        ("spaces", "4", "5"),
        ("phases", "1", "3"),
    ],
)
def test_two_sites_cannot_state_one_panel_differently(handbook: Handbook, key: str, old: str, new: str) -> None:
    text = second_site(handbook, f"    {key}: {old}\n", f"    {key}: ^{new}\n")
    (fault,) = handbook.faults()
    assert (fault.file, fault.line) == ("site_data/sites/shed.yaml", place(text)[0])
    assert fault.key == f"supply.panel.{key}"
    assert fault.wrong == f"'{old}' is not what site_data/sites/dairy.yaml states of panel 'barn'"
    assert fault.expected == f"'{new}' in both, or a panel of another id"


def test_two_sites_cannot_state_one_water_source_differently(handbook: Handbook) -> None:
    handbook.edit(
        SITE, "  static_pressure: 50 psi", "  source: {id: well, greatest_flow: 5 gpm}\n  static_pressure: 50 psi"
    )
    text = second_site(handbook, "greatest_flow: 5 gpm", "greatest_flow: ^6 gpm")
    (fault,) = handbook.faults()
    assert (fault.file, fault.line) == ("site_data/sites/shed.yaml", place(text)[0])
    assert fault.key == "water.source.greatest_flow"
    assert fault.wrong == "'5 gpm' is not what site_data/sites/dairy.yaml states of water source 'well'"
    handbook.edit("sites/dairy.yaml", ", greatest_flow: 6 gpm", "")
    (fault,) = handbook.faults()
    assert fault.expected == "no value in both, or a water source of another id"
