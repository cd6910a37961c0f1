"""Friction against the `fluids` package, textbook examples and published tables."""

import math
import random
from pathlib import Path

import fluids
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.flow.pipes import friction
from generator.compute.heat import water
from tests.compute.wet_cases import PIPES, SIZES

PUBLISHED = yaml.safe_load((Path(__file__).parents[2] / "sources/water/friction.yaml").read_text())
GPM, INCH, FOOT, PSI, PSF = 3.785411784e-3 / 60.0, 0.0254, 0.3048, 6894.757293168361, 47.88025898033584
STANDARD_WATER = 999.1  # kg/m3 near 60 degF


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8 + 273.15


def random_cases(count: int) -> list[tuple[float, float]]:
    chance = random.Random(20070)
    return [(10.0 ** chance.uniform(3.4, 7.0), 10.0 ** chance.uniform(-6.0, -1.7)) for _ in range(count)]


@pytest.mark.parametrize(("reynolds", "roughness"), random_cases(200))
def test_factor_equals_the_same_correlation_in_fluids(reynolds: float, roughness: float) -> None:
    expected = fluids.friction.Colebrook(reynolds, roughness)
    assert friction.darcy_factor(reynolds, roughness) == pytest.approx(expected, rel=1e-10)


@pytest.mark.parametrize(("reynolds", "roughness"), random_cases(200))
def test_colebrook_is_solved(reynolds: float, roughness: float) -> None:
    x = 1.0 / math.sqrt(friction.colebrook(reynolds, roughness))
    assert x == pytest.approx(-2.0 * math.log10(roughness / 3.7 + 2.51 * x / reynolds), rel=1e-12)


@given(st.floats(1.0, 900.0))
def test_laminar_factor(reynolds: float) -> None:
    assert friction.darcy_factor(reynolds, 1e-4) == fluids.friction.friction_laminar(reynolds)


@given(st.floats(1.0, 1e7), st.floats(0.0, 0.02))
def test_factor_never_understates_what_fluids_gives(reynolds: float, roughness: float) -> None:
    assert friction.darcy_factor(reynolds, roughness) >= fluids.friction_factor(reynolds, roughness) * (1.0 - 5e-3)


@given(st.floats(0.0, 0.05), st.floats(2.0, 7.0))
def test_loss_has_no_jump_and_never_falls_as_flow_grows(roughness: float, exponent: float) -> None:
    below, above = 10.0**exponent, 10.0**exponent * (1.0 + 1e-9)
    less, more = (friction.darcy_factor(re, roughness) * re * re for re in (below, above))
    assert less < more < less * (1.0 + 1e-6)


@pytest.mark.parametrize("id_", PIPES.materials)
def test_below_500_laminar_is_the_greater_factor_for_every_pipe(id_: str) -> None:
    for size in SIZES[id_].values():
        assert friction.colebrook(500.0, PIPES.materials[id_].roughness_m / size.bore_m) < 0.9 * 64.0 / 500.0


def test_reynolds_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="Reynolds"):
        friction.colebrook(0.0, 0.0)


@pytest.mark.parametrize("case", PUBLISHED["moody"], ids=lambda case: case["source"])
def test_moody_examples(case: dict) -> None:
    factor = friction.darcy_factor(case["reynolds"], case["relative_roughness"])
    assert factor == pytest.approx(case["factor"], rel=case["reading"])


def test_plumbing_example() -> None:
    case = PUBLISHED["plumbing"]
    bore = case["bore_ft"] * FOOT
    velocity = friction.velocity_m_s(case["flow_gpm"] * GPM, bore)
    reynolds = friction.reynolds_number(velocity, bore, case["density_kg_m3"], viscosity_pa_s=case["viscosity_pa_s"])
    factor = friction.darcy_factor(reynolds, 1.5e-6 / bore)
    loss = factor * case["length_ft"] * FOOT / bore * 0.5 * case["density_kg_m3"] * velocity**2
    assert loss / PSF == pytest.approx(case["loss_psf"], rel=0.015)


@pytest.mark.parametrize("fahrenheit", PUBLISHED["by_temperature"]["psi_per_100_ft"])
def test_loss_falls_with_temperature_as_published(fahrenheit: int) -> None:
    case = PUBLISHED["by_temperature"]
    velocity, flow = case["velocity_ft_s"] * FOOT, case["flow_gpm"] * GPM
    bore = math.sqrt(4.0 * flow / math.pi / velocity)
    density, viscosity = water.density(kelvin(fahrenheit)), water.viscosity(kelvin(fahrenheit))
    factor = friction.darcy_factor(
        friction.reynolds_number(velocity, bore, density, viscosity_pa_s=viscosity), 1.5e-6 / bore
    )
    loss = factor * 100.0 * FOOT / bore * 0.5 * density * velocity**2
    assert loss / PSI == pytest.approx(case["psi_per_100_ft"][fahrenheit], rel=0.02)


@pytest.mark.parametrize("case", PUBLISHED["hazen_williams"], ids=lambda case: case["source"])
def test_hazen_williams_examples(case: dict) -> None:
    flow, bore = case["flow_gpm"] * GPM, case["bore_in"] * INCH
    loss = friction.hazen_williams_pa(flow, bore, FOOT, c=case["c"], density_kg_m3=STANDARD_WATER)
    if "psi_per_ft" in case:
        assert loss / PSI == pytest.approx(case["psi_per_ft"], rel=0.005)
    else:
        feet = loss / (STANDARD_WATER * friction.GRAVITY_M_S2) / FOOT
        assert 100.0 * feet == pytest.approx(case["feet_per_100_ft"], rel=0.005)


@pytest.mark.parametrize(
    "row", PUBLISHED["copper_handbook"]["rows"], ids=lambda row: f"{row['size']} {row['flow_gpm']}"
)
def test_hazen_williams_table_of_copper(row: dict) -> None:
    bore = SIZES["copper-l"][row["size"]].bore_m
    loss = friction.hazen_williams_pa(row["flow_gpm"] * GPM, bore, FOOT, c=150.0, density_kg_m3=STANDARD_WATER) / PSI
    assert loss == pytest.approx(row["psi_per_ft"], rel=0.03, abs=0.0005)


@pytest.mark.parametrize(
    ("id_", "surface"), [("copper-l", "Brass"), ("pex", "Brass"), ("galvanized", "Galvanized iron")]
)
def test_roughness_as_in_fluids(id_: str, surface: str) -> None:
    """Moody's drawn tubing and galvanized iron, which `fluids` lists in millimetres rounded from feet."""
    assert PIPES.materials[id_].roughness_m == pytest.approx(fluids.friction._roughness[surface], rel=0.02)
