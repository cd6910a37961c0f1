"""Pipe dimensions against published inside diameters, the `fluids` package, and each standard's own rule."""

import math
from pathlib import Path

import fluids
import pytest
import yaml

from generator.compute.flow.pipes.run import pipe_runs
from generator.errors import CannotCompute
from generator.si import INCH_M
from tests.compute.wet_cases import PIPES, SIZES, run

PUBLISHED = yaml.safe_load((Path(__file__).parents[2] / "sources/water/pipe_dimensions.yaml").read_text())
INSIDE = [
    (table["material"], size, inside * (0.001 if table.get("unit_mm") else INCH_M))
    for table in PUBLISHED
    for size, inside in table["inside"].items()
]
WHERE = ("water", "cold_run", 0)


def nominal(size: str) -> float:
    """Nominal size [in] of a text such as 1-1/4 in."""
    whole, _, part = size.removesuffix(" in").rpartition("-")
    top, _, bottom = part.partition("/")
    return (float(whole) if whole else 0.0) + float(top) / float(bottom or 1)


@pytest.mark.parametrize(("material", "size", "inside_m"), INSIDE)
def test_inside_diameter_is_the_published_one(material: str, size: str, inside_m: float) -> None:
    assert SIZES[material][size].bore_m == pytest.approx(inside_m, abs=0.00052 * INCH_M)


def test_every_size_of_a_material_with_published_bores_is_checked() -> None:
    checked = {table["material"]: set(table["inside"]) for table in PUBLISHED}
    assert all(set(SIZES[material]) == sizes for material, sizes in checked.items())


@pytest.mark.parametrize(("material", "schedule"), [("galvanized", "40"), ("pvc-40", "40D1785")])
def test_schedule_40_as_in_fluids(material: str, schedule: str) -> None:
    for size, ours in SIZES[material].items():
        _, _, outside, wall = fluids.nearest_pipe(NPS=nominal(size), schedule=schedule)
        assert ours.outside_m == pytest.approx(outside, abs=0.0001)
        assert ours.wall_m == pytest.approx(wall, abs=0.00002)


@pytest.mark.parametrize("material", ["copper-k", "copper-l", "copper-m", "cpvc-cts", "pex"])
def test_copper_tube_size_is_an_eighth_over_nominal(material: str) -> None:
    for size, ours in SIZES[material].items():
        assert ours.outside_m / INCH_M == pytest.approx(nominal(size) + 0.125)


@pytest.mark.parametrize(("material", "ratio", "least_in"), [("cpvc-cts", 11.0, 0.068), ("pex", 9.0, 0.070)])
def test_wall_follows_the_dimension_ratio(material: str, ratio: float, least_in: float) -> None:
    """SDR: outside over least wall (ASTM F412), with the least wall that the standard sets for small sizes."""
    for ours in SIZES[material].values():
        expected = max(ours.outside_m / ratio / INCH_M, least_in)
        assert ours.wall_m / INCH_M == pytest.approx(expected, abs=0.0006)


def test_wall_of_the_metric_series_follows_its_formula() -> None:
    """ISO 4065: e = d / (2 S + 1) with S = 10^0.5 for series 3.2, rounded up to a tenth of a millimetre."""
    for ours in SIZES["pex-metric"].values():
        millimetres = ours.outside_m * 1000.0 / (2.0 * math.sqrt(10.0) + 1.0)
        assert ours.wall_m * 1000.0 == pytest.approx(math.ceil(millimetres * 10.0) / 10.0)


@pytest.mark.parametrize("material", PIPES.materials)
def test_bores_rise_with_size(material: str) -> None:
    bores = [size.bore_m for size in SIZES[material].values()]
    assert bores == sorted(bores)


def test_heavier_copper_is_narrower() -> None:
    for size in SIZES["copper-m"]:
        assert SIZES["copper-k"][size].bore_m < SIZES["copper-l"][size].bore_m < SIZES["copper-m"][size].bore_m


def test_unknown_material_names_the_nearest() -> None:
    with pytest.raises(CannotCompute, match="did you mean 'copper-l'") as refused:
        pipe_runs((run("coper-l", "1/2 in", 1.0),), "cold", PIPES)
    assert refused.value.where == (*WHERE, "material")


def test_size_that_a_material_lacks_lists_what_it_has() -> None:
    with pytest.raises(CannotCompute, match="15 mm") as refused:
        pipe_runs((run("copper-metric", "1/2 in", 1.0),), "cold", PIPES)
    assert refused.value.where == (*WHERE, "size")
