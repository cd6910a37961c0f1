"""Reading a whole folder: the demo, what a folder can lack, the same result every time, and no traceback ever."""

import copy
import json
import shutil
from functools import reduce
from operator import getitem
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.errors import InputFaults
from generator.model.heater import HeaterModel
from generator.model.inputs import FilePlace
from generator.model.settings import Settings
from generator.model.site import Site
from generator.model.tables.basis_header import BasisHeader
from generator.model.tables.codes import CodeTable, Methods
from generator.read.handbook import read_handbook
from generator.read.yaml.validate import validate
from generator.read.yaml.yaml_file import read_yaml_file
from generator.read.yaml.yaml_marks import parse
from tests.frozen import DATA
from tests.read.conftest import SMALL, Handbook


def faults_of(folder: Path) -> list[str]:
    with pytest.raises(InputFaults) as raised:
        read_handbook(folder)
    return str(raised.value).splitlines()


def test_the_demo_reads() -> None:
    inputs = read_handbook(DATA)
    assert [model.id for model in inputs.models] == ["beck-9", "rill-3", "rill-4m", "tarn-18"]
    assert {site.heater for site in inputs.sites} == {model.id for model in inputs.models}
    assert set(inputs.codes) == {"us", "iec"}
    assert inputs.basis_of(next(site for site in inputs.sites if site.id == "seedling-house")).id == "iec"
    assert inputs.codes["us"].tables["ampacity"].cell("8 AWG", "copper 75") == 50


def test_places_name_the_file_the_spot_and_the_text(handbook: Handbook) -> None:
    inputs = handbook.read()
    site, model, table = "site_data/sites/shed.yaml", "site_data/models/brook-6.yaml", "codes/test/ampacity.yaml"
    assert inputs.places["site", "shed", "route", "length"] == FilePlace(site, 21, 11, "35 ft")
    assert inputs.places["site", "shed", "route"] == FilePlace(site, 17, 1)
    assert inputs.places["model", "brook-6", "stages", 1, "share"] == FilePlace(model, 11, 13, "60 %")
    assert inputs.places["handbook", "handbook", "units"] == FilePlace("site_data/handbook.yaml", 7, 8, "both")
    assert inputs.places["code", "test.ampacity", "rows", "8 AWG", 1] == FilePlace(f"site_data/{table}", 13, 15)


def test_the_folder_that_a_site_lies_in_is_its_group(handbook: Handbook) -> None:
    """Unless it states one; places name the file where it lies, and an id stands once in all folders."""
    sites = handbook.folder / "sites"
    (sites / "North yard").mkdir()
    shutil.move(sites / "shed.yaml", sites / "North yard" / "shed.yaml")
    inputs = handbook.read()
    (shed,) = (site for site in inputs.sites if site.id == "shed")
    assert shed.group == "North yard"
    assert inputs.places["site", "shed", "route", "length"].file == "site_data/sites/North yard/shed.yaml"
    handbook.edit("sites/North yard/shed.yaml", "\nheater:", "\ngroup: Hill\nheater:")
    assert {site.id: site.group for site in handbook.read().sites}["shed"] == "Hill"
    shutil.copy(sites / "North yard" / "shed.yaml", sites / "shed.yaml")
    assert [(fault.file, fault.key) for fault in handbook.faults()] == [("site_data/sites/North yard/shed.yaml", "id")]


def test_two_readings_are_the_same(handbook: Handbook) -> None:
    assert handbook.read() == handbook.read()


def test_a_bad_handbook_gives_the_same_faults_from_anywhere(
    handbook: Handbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    handbook.edit("sites/shed.yaml", "length: 35 ft", "length: 35")
    absolute = faults_of(handbook.folder)
    monkeypatch.chdir(handbook.folder.parent)
    assert faults_of(Path("site_data")) == absolute
    monkeypatch.chdir(handbook.folder / "sites")
    assert faults_of(Path("..") / ".." / "site_data") == absolute
    assert absolute[0].startswith("site_data/sites/shed.yaml:21:11: ")


def test_a_missing_folder_is_told(tmp_path: Path) -> None:
    (fault,) = faults_of(tmp_path / "site_data")
    assert fault == "site_data:1:1: file: there is no such folder; the folder that holds handbook.yaml"


@pytest.mark.parametrize(
    ("gone", "told"),
    [
        ("handbook.yaml", "site_data/handbook.yaml:1:1: file: this cannot be read: No such file or directory"),
        ("models", "site_data/models:1:1: file: this cannot be read: No such file or directory"),
        ("sites", "site_data/sites:1:1: file: this cannot be read: No such file or directory"),
        ("codes", "site_data/codes:1:1: file: this cannot be read: No such file or directory"),
        ("codes/test/basis.yaml", "site_data/codes/test/basis.yaml:1:1: file: this file is missing"),
        ("codes/test/wiring_methods.yaml", "site_data/codes/test/wiring_methods.yaml:1:1: file: this file is missing"),
    ],
)
def test_a_part_that_is_gone_is_told(handbook: Handbook, gone: str, told: str) -> None:
    path = handbook.folder / gone
    shutil.rmtree(path) if path.is_dir() else path.unlink()
    assert any(fault.startswith(told) for fault in faults_of(handbook.folder))


def test_a_folder_in_place_of_a_file_is_told(handbook: Handbook) -> None:
    (handbook.folder / "sites" / "barn.yaml").mkdir()
    (fault,) = faults_of(handbook.folder)
    assert fault.startswith("site_data/sites/barn.yaml:1:1: file: this is no plain file; ")


def test_a_file_that_would_be_passed_over_is_told(handbook: Handbook) -> None:
    shutil.copy(handbook.folder / "sites" / "shed.yaml", handbook.folder / "sites" / "barn.yml")
    (fault,) = faults_of(handbook.folder)
    assert fault == (
        "site_data/sites/barn.yml:1:1: file: a file that ends in .yml is not read; name it barn.yaml, or move it away"
    )


def test_other_files_and_hidden_ones_are_left_alone(handbook: Handbook) -> None:
    for name in (".shed.yaml.swp", ".#shed.yaml", "README.md", "shed.yaml~"):
        (handbook.folder / "sites" / name).write_text("\0", encoding="utf-8")
    assert handbook.faults() == []


def test_an_id_that_stands_twice_is_told(handbook: Handbook) -> None:
    shutil.copy(handbook.folder / "sites" / "shed.yaml", handbook.folder / "sites" / "barn.yaml")
    assert faults_of(handbook.folder) == [
        "site_data/sites/barn.yaml:1:5: id: 'shed' is not the file's name; write barn, or name the file shed.yaml",
        "site_data/sites/shed.yaml:1:5: id: 'shed' is the id of site_data/sites/barn.yaml too; "
        "one id a file, and it stays",
    ]


def test_a_handbook_without_heaters_is_told(handbook: Handbook) -> None:
    for file in (*handbook.folder.glob("models/*"), *handbook.folder.glob("sites/*")):
        file.unlink()
    assert faults_of(handbook.folder) == [
        "site_data/models:1:1: file: there is no heater model here; write one, such as my-heater.yaml"
    ]


def test_a_single_file_is_read_or_refused(tmp_path: Path) -> None:
    file = tmp_path / "handbook.yaml"
    shutil.copy(SMALL / "handbook.yaml", file)
    assert read_yaml_file(file, Settings, "a.yaml").title == "Small handbook"
    file.write_text("title:", encoding="utf-8")
    with pytest.raises(InputFaults, match=r"a\.yaml:1:7: title: this has no value; write a text"):
        read_yaml_file(file, Settings, "a.yaml")


WRONG: list[Any] = ["", "x", "0", "9" * 400, [], {}, ["x"], {"x": "y"}, [[]], [{}], {"x": []}]
KINDS = {
    "handbook.yaml": Settings,
    "models/brook-6.yaml": HeaterModel,
    "sites/shed.yaml": Site,
    "codes/test/basis.yaml": BasisHeader,
    "codes/test/wiring_methods.yaml": Methods,
    "codes/test/ampacity.yaml": CodeTable,
}


@pytest.mark.parametrize("file", KINDS)
def test_no_wrong_value_anywhere_comes_to_more_than_faults(file: str) -> None:
    document, _ = parse((SMALL / file).read_bytes(), file)
    assert document
    for path in document.values:
        for wrong in WRONG:
            data = {"whole": copy.deepcopy(document.data)}
            *parents, last = "whole", *path
            reduce(getitem, parents, data)[last] = wrong
            changed, _ = parse(json.dumps(data["whole"]).encode(), file)
            if changed:  # not the empty file
                value, faults = validate(changed, KINDS[file], file)
                assert (value is None) == bool(faults), (path, wrong)


FILES = sorted(path.relative_to(SMALL).as_posix() for path in SMALL.rglob("*.yaml"))
LINES = [line for name in FILES for line in (SMALL / name).read_text(encoding="utf-8").splitlines()]


@pytest.fixture(scope="module")
def worn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("worn") / "site_data"
    shutil.copytree(SMALL, folder)
    return folder


@settings(max_examples=300)
@given(data=st.data())
def test_a_damaged_handbook_is_read_or_refused_with_faults(worn: Path, data: st.DataObject) -> None:
    """Bytes at random, a scalar changed at random, or a line of another file: inputs or faults, nothing else."""
    file = worn / data.draw(st.sampled_from(FILES))
    whole = file.read_bytes()
    text = whole.decode()
    at = data.draw(st.integers(0, len(text)))
    scalars = st.sampled_from(["", "null", "x", "[]", "{}", "[1]", "{a: b}", "0", "-1 ft", "9" * 400, "nan", "'"])
    damaged = data.draw(
        st.one_of(
            st.binary(max_size=200),
            st.builds(
                lambda new, length: (text[:at] + new + text[at + length :]).encode(), st.text(), st.integers(0, 30)
            ),
            st.builds(lambda new: _with_value(text, at, new).encode(), scalars),
            st.builds(lambda line: _with_line(text, at, line).encode(), st.sampled_from(LINES)),
        )
    )
    file.write_bytes(damaged)
    try:
        read_handbook(worn)
    except InputFaults as error:
        assert error.faults
        assert all(str(fault).count("\n") == 0 and fault.line >= 1 and fault.column >= 1 for fault in error.faults)
    finally:
        file.write_bytes(whole)


def _with_value(text: str, at: int, new: str) -> str:
    """The text with the value after the first colon past `at` replaced."""
    start = text.find(": ", at) + 2
    end = min(position for position in (text.find(mark, start) for mark in ",}\n") if position >= 0) if start > 1 else 0
    return text[: max(start, 0)] + new + text[end:]


def _with_line(text: str, at: int, line: str) -> str:
    lines = text.splitlines()
    lines[text[:at].count("\n") : text[:at].count("\n") + 1] = [line]
    return "\n".join(lines) + "\n"
