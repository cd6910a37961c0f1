"""A handbook read site by site: the sites and the faults of the whole, with no more in memory than is shared."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from generator.errors import CannotCompute, Fault, InputFaults
from generator.folders import Folders
from generator.read.apart import may_share, read_apart
from generator.read.handbook import read_handbook, read_sound
from tests.changes.project import copy_of_demo, edit
from tests.frozen import DATA

MODELS, SITES = {"rill-3", "rill-4m", "beck-9"}, {"potting-shed", "seedling-house", "farm-stand", "bunkhouse"}
WELL = "source: {id: stand-well, greatest_flow: 0.8 gpm}"


@pytest.fixture
def folders(tmp_path: Path) -> Folders:
    return copy_of_demo(tmp_path, MODELS, SITES)


def by_place(faults: Sequence[Fault]) -> list[Fault]:
    return sorted(faults, key=lambda one: (one.file, one.line, one.column, one.key, one.wrong))


def refused(folders: Folders) -> list[Fault]:
    with pytest.raises(InputFaults) as told:
        read_apart(folders.data, folders.tables)
    return by_place(told.value.faults)


def whole(folders: Folders) -> list[Fault]:
    return by_place(read_sound(folders.data, folders.tables)[1])


def test_its_sites_are_those_of_the_whole() -> None:
    apart, inputs = read_apart(DATA), read_handbook(DATA)
    assert tuple(apart.sites(apart.ids)) == inputs.sites and not apart.faults
    assert (apart.inputs.records, apart.inputs.installed) == (inputs.records, inputs.installed)
    assert apart.inputs.settings == inputs.settings and apart.inputs.models == inputs.models


def test_no_site_is_kept_and_who_shares_a_well_is_known() -> None:
    inputs, apart = read_handbook(DATA), read_apart(DATA)
    wells = [site for site in inputs.sites if site.water.source]
    assert not apart.inputs.sites and apart.sharing == {("source", "stand-well"): [site.id for site in wells]}
    for site in inputs.sites:
        assert apart.beside(site) == inputs.beside(site)
    assert apart.beside(*inputs.sites) == inputs.beside(*inputs.sites) == tuple(wells) and len(wells) > 1


def test_a_fault_of_a_site_alone_hides_no_other(folders: Folders) -> None:
    edit(folders, "sites/bunkhouse.yaml", "heater: beck-9", "heater: beck-10")
    apart = read_apart(folders.data, folders.tables)
    assert {site.id for site in apart.sites(apart.ids)} == SITES - {"bunkhouse"}
    assert apart.faults and by_place(apart.faults) == whole(folders)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (WELL, WELL.replace("0.8", "0.9")),  # another site states another flow of the same well
        (WELL, WELL.replace("id:", "idd:")),
        ("heater: rill-3", "heater: rill-33"),
        ("id: potting-shed", "id: potting-sched"),
    ],
)
def test_a_fault_that_bears_on_others_is_told_before_any_is_judged(folders: Folders, old: str, new: str) -> None:
    edit(folders, "sites/potting-shed.yaml", old, new)
    assert refused(folders) and refused(folders) == whole(folders)


def test_what_has_faults_of_all_is_refused(folders: Folders) -> None:
    edit(folders, "handbook.yaml", "code_basis: us", "code_basis: uss")
    assert refused(folders) == whole(folders)


def test_a_well_is_seen_however_it_is_written(folders: Folders) -> None:
    assert may_share(b'id: a\nsupply: {panel: {"\\x69d": shed}}')
    assert (
        may_share(b"id: a\nsource:\n  ? id\n  : well")
        and may_share(b"panel: {id: b}\nid: a")
        and not may_share(b"id: a\nheater: identical")
    )
    edit(folders, "sites/potting-shed.yaml", WELL, 'source: {"\\x69d": stand-well, greatest_flow: 0.8 gpm}')
    assert "potting-shed" in read_apart(folders.data, folders.tables).sharing["source", "stand-well"]


@pytest.mark.parametrize("site", ["bunkhouse", "potting-shed"])
def test_a_refusal_stands_where_the_whole_puts_it(folders: Folders, site: str) -> None:
    refusal = CannotCompute(("water", "cold_run", 0, "material"), "wrong", "right")
    apart, inputs = read_apart(folders.data, folders.tables), read_handbook(folders.data, folders.tables)
    assert apart.fault(site, refusal) == inputs.fault(("site", site), refusal)


def test_sites_in_folders_are_among_them(folders: Folders) -> None:
    for number, site in enumerate(sorted(SITES)):
        (folders.data / "sites" / f"Hall {number % 2}").mkdir(exist_ok=True)
        (folders.data / "sites" / f"{site}.yaml").rename(folders.data / "sites" / f"Hall {number % 2}" / f"{site}.yaml")
    apart = read_apart(folders.data, folders.tables)
    assert set(apart.ids) == SITES
    assert tuple(apart.sites(apart.ids)) == read_handbook(folders.data, folders.tables).sites


def test_two_files_of_one_name_are_refused_as_by_the_whole(folders: Folders) -> None:
    (folders.data / "sites" / "Hall").mkdir()
    shutil.copy(folders.data / "sites" / "bunkhouse.yaml", folders.data / "sites" / "Hall")
    told = refused(folders)
    assert told == whole(folders) and len(told) == 1
