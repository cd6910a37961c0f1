"""Values that cannot be are refused; values that are unlike what is usual are an open point, each named with its range.

The slips: a decimal point lost or moved, and a unit taken for another (common practice, no source).
"""

import re
from pathlib import Path

import pytest

from generator.compute.usual import usual_values
from generator.errors import InputFaults
from generator.model.heater import HeaterModel
from generator.model.site import Site
from generator.model.tables.usual import Usual
from generator.read.handbook import read_handbook
from generator.read.yaml.yaml_file import read_yaml_file
from tests.frozen import DATA, copied

USUAL = read_yaml_file(DATA / "usual.yaml", Usual, "site_data/usual.yaml")
MODEL, SITE = DATA / "models" / "beck-9.yaml", DATA / "sites" / "bunkhouse.yaml"
OF_MODEL = [
    ("mass: 9.5 lb", "mass: 0.001 lb", "mass"),
    ("volume: 0.12 gal", "volume: 0.0000001 gal", "water.volume"),
    ("volume: 0.12 gal", "volume: 9.5 gal", "water.volume"),
    ("above: 4 in, below: 12 in, sides: 4 in", "above: 0 in, below: 12 in, sides: 4 in", "mounting.clearances.above"),
    ("{flow: 3.0 gpm, loss: 17.0 psi}", "{flow: 3.0 gpm, loss: 170 psi}", "water.head_loss[4].loss"),
    ("power: 9.6 kW", "power: 96 kW", "ratings[1].power"),
    ("power: 9.6 kW", "power: 0.96 kW", "ratings[1].power"),
    ("closes_at: 1.20 gpm", "closes_at: 12.0 gpm", "stages[4].closes_at"),
    ("cut_out: 150 degF", "cut_out: 211 degF", "water.cut_out"),
    ("greatest_inlet: 95 degF", "greatest_inlet: 35 degF", "water.greatest_inlet"),
]
OF_SITE = [
    ("demand: 48 A", "demand: 1 A", "supply.panel.demand"),
    ("demand: 48 A", "demand: 1480 A", "supply.panel.demand"),
    ("length: 70 ft", "length: 700.5 ft", "route.length"),
    ("length: 70 ft", "length: 0.7 ft", "route.length"),
    ("ambient: 86 degF", "ambient: 8.6 degF", "route.ambient"),
    ("winter: 50 degF", "winter: 32.5 degF", "water.inlet.winter"),
    ("altitude: 1250 ft", "altitude: 12500 ft", "water.altitude"),
    ("length: 18 ft", "length: 1800 ft", "water.hot_run[1].length"),
    ("flow: 1.25 gpm", "flow: 12.5 gpm", "fixtures[1].flow"),
    ("target: 102 degF", "target: 38.9 degF", "fixtures[1].target"),
]


def slipped(folder: Path, file: Path, kind: type[HeaterModel] | type[Site], old: str, new: str) -> HeaterModel | Site:
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    path = folder / file.name
    path.write_text(text.replace(old, new), encoding="utf-8")
    return read_yaml_file(path, kind, path.name)


@pytest.mark.parametrize(
    ("kind", "file", "old", "new", "key"),
    [(HeaterModel, MODEL, *slip) for slip in OF_MODEL] + [(Site, SITE, *slip) for slip in OF_SITE],
    ids=lambda one: one if isinstance(one, str) else "",
)
def test_a_slip_is_an_open_point_that_names_its_key(
    tmp_path: Path, kind: type[HeaterModel] | type[Site], file: Path, old: str, new: str, key: str
) -> None:
    ranges = USUAL.models if kind is HeaterModel else USUAL.sites
    before = usual_values("one", slipped(tmp_path, file, kind, old, old), ranges)
    assert (before.severity, before.lists["unusual"]) == ("ok", ())
    after = usual_values("one", slipped(tmp_path, file, kind, old, new), ranges)
    assert after.severity == "attention"
    (row,) = after.lists["unusual"]
    assert row["key"].value == key
    assert not float(row["least"].value) <= float(row["value"].value) <= float(row["greatest"].value)
    usual = ranges[re.sub(r"\[\d+\]", "[]", key)]
    assert (row["least"].value, row["greatest"].value) == (usual.least.value, usual.greatest.value)
    assert row["value"].kind == row["least"].kind == row["greatest"].kind == usual.least.kind


def test_the_ends_of_a_range_are_usual(tmp_path: Path) -> None:
    usual = USUAL.models["mass"]
    for end in (usual.least, usual.greatest):
        model = slipped(tmp_path, MODEL, HeaterModel, "mass: 9.5 lb", f"mass: {float(end.value):.9f} kg")
        assert usual_values("one", model, {"mass": usual}).severity == "ok"


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("  mass:", "  weight:", "weight is no quantity of a HeaterModel; the key of a mass, such as mass or"),
        ("  mass:", "  title:", "title is no quantity of a HeaterModel; "),
        ("  mass:", '  "water.volume.of":', "water.volume.of is no quantity of a HeaterModel; "),
        ("{least: 1.5 lb,", "{least: 91 lb,", "the two ends are out of order"),
        ("{least: 1.5 lb,", "{least: 1.5 gal,", "the two ends are out of order"),
    ],
)
def test_a_range_of_what_is_no_quantity_is_refused_with_its_place(
    tmp_path: Path, old: str, new: str, told: str
) -> None:
    folders = copied(tmp_path)
    path = folders.data / "usual.yaml"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(InputFaults, match=rf"^site_data/usual.yaml:\d+:\d+: models\..*{re.escape(told)}"):
        read_handbook(folders.data)
