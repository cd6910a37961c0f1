"""Pressure ratings against the published tables, at, just below and just above each step."""

from pathlib import Path

import pytest
import yaml
from scipy.constants import psi

from generator.compute.flow.pipes.pressure_rating import rating_pa
from generator.compute.flow.pipes.run import PipeRun, pipe_runs
from generator.model.tables.pipes import Dimensions, Strength
from tests.compute.wet_cases import PIPES, SIZES, run

PUBLISHED = yaml.safe_load((Path(__file__).parents[2] / "sources/water/pressure_ratings.yaml").read_text())
KG_CM2_PA = 98066.5
FOOT = 0.3048


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8 + 273.15


def pipe(material: str, size: str, side: str = "cold") -> PipeRun:
    return pipe_runs((run(material, size, 1.0),), side, PIPES)[0]


def rating_psi(material: str, size: str, temperature_k: float) -> float:
    pressure_pa = pipe(material, size).rating_pa(temperature_k)
    assert pressure_pa is not None
    return pressure_pa / psi


@pytest.mark.parametrize("size", PUBLISHED["copper_m_annealed"]["rows"])
def test_copper_m_is_the_lower_of_tube_and_joint(size: str) -> None:
    joints = PUBLISHED["copper_joints"]["to_2_in" if size in ("1-1/4 in", "1-1/2 in", "2 in") else "to_1_in"]
    published = PUBLISHED["copper_m_annealed"]["rows"][size]
    for fahrenheit, tube, joint in zip((100, 150, 200), published, joints, strict=True):
        ours = rating_psi("copper-m", size, kelvin(fahrenheit))
        assert 0.955 * min(tube, joint) <= ours <= min(tube, joint) * (1.0 + 1e-12)  # the last digit of psi and back


@pytest.mark.parametrize("size", ["3/8 in", "1 in", "1-1/4 in", "2 in"])
def test_thick_copper_is_held_by_its_joint(size: str) -> None:
    """Type K tube is stronger than its soldered joint at every row; above a row the next counts."""
    joints = PUBLISHED["copper_joints"]["to_2_in" if size in ("1-1/4 in", "2 in") else "to_1_in"]
    for fahrenheit, joint in zip((99.9, 100.1, 149.9, 150.1, 199.9), (joints[i] for i in (0, 1, 1, 2, 2)), strict=True):
        assert rating_psi("copper-k", size, kelvin(fahrenheit)) == pytest.approx(joint)
    assert pipe("copper-k", size).rating_pa(kelvin(200.1)) is None


@pytest.mark.parametrize("celsius", PUBLISHED["cpvc"]["rows"])
def test_cpvc_agrees_or_is_lower(celsius: int) -> None:
    """The published rows are round degF in whole degC; at 180 degF they say 97 psi for the standard's 100."""
    ours = pipe("cpvc-cts", "1/2 in").rating_pa(celsius - 0.5 + 273.15)
    published = PUBLISHED["cpvc"]["rows"][celsius] * KG_CM2_PA
    assert ours is not None
    assert 0.88 * published <= ours <= 1.04 * published


@pytest.mark.parametrize("size", PUBLISHED["pvc"]["at_73_f"])
def test_pvc_is_its_rating_times_the_published_factor(size: str) -> None:
    for fahrenheit, factor in PUBLISHED["pvc"]["factors"].items():
        published = PUBLISHED["pvc"]["at_73_f"][size] * factor
        assert 0.96 * published <= rating_psi("pvc-40", size, kelvin(fahrenheit)) <= published + 1e-9


@pytest.mark.parametrize("fahrenheit", PUBLISHED["pex"]["rows"])
def test_pex(fahrenheit: int) -> None:
    assert rating_psi("pex", "1/2 in", kelvin(fahrenheit)) == pytest.approx(PUBLISHED["pex"]["rows"][fahrenheit])


@pytest.mark.parametrize("case", PUBLISHED["worked"], ids=lambda case: case["source"])
def test_worked_examples(case: dict) -> None:
    ours = rating_psi(case["material"], case["size"], kelvin(case["temperature_f"]))
    assert ours == pytest.approx(case["psi"])


@pytest.mark.parametrize("material", SIZES)
def test_steps_take_the_next_higher_row_and_end_at_the_last(material: str) -> None:
    for size in SIZES[material]:
        found = pipe(material, size)
        kelvins = [k for k, _ in found.strength.pressures or found.strength.derated]
        rated = [found.rating_pa(k) for k in kelvins]
        assert kelvins == sorted(kelvins)
        assert rated == sorted((p for p in rated if p is not None), reverse=True)
        for k, pressure, following in zip(kelvins, rated, [*rated[1:], None], strict=True):
            assert found.rating_pa(k - 0.01) == pressure
            assert found.rating_pa(k + 0.01) == following


def test_velocity_limits_of_the_copper_handbook() -> None:
    """Copper Tube Handbook (CDA): 8 ft/s cold, 5 ft/s hot to 140 degF, 2 to 3 ft/s above; public summary, read."""
    assert pipe("copper-l", "1/2 in").velocity_limit(300.0)[0] == pytest.approx(8.0 * FOOT)
    assert pipe("copper-l", "1/2 in", "hot").velocity_limit(kelvin(140.0))[0] == pytest.approx(5.0 * FOOT)
    assert pipe("copper-l", "1/2 in", "hot").velocity_limit(kelvin(140.1))[0] == pytest.approx(3.0 * FOOT)


def test_velocity_limit_of_metric_pipes() -> None:
    """EN 806-3 (2006) clause 4.4, read in an excerpt: 2.0 m/s but for dead legs."""
    assert pipe("pex-metric", "20 mm", "hot").velocity_limit(320.0)[0] == 2.0
    assert pipe("copper-metric", "15 mm").velocity_limit(285.0)[0] == 2.0
    assert pipe("copper-metric", "15 mm", "hot").velocity_limit(320.0)[0] < 2.0


def test_a_pipe_is_rated_only_as_hot_as_each_of_its_parts() -> None:
    """A joint rated to 200 degF on a tube whose metal bears 6000 psi at 100 and 300 degF: above 200 degF nothing."""
    joint, tube = ((kelvin(200.0), 100.0 * psi),), ((kelvin(100.0), 6000.0 * psi), (kelvin(300.0), 4700.0 * psi))
    both = Strength(pressures=joint, stresses=tube, least_wall_m=0.0007)
    assert rating_pa(both, Dimensions(0.0159, 0.0007), kelvin(199.0)) == 100.0 * psi
    assert rating_pa(both, Dimensions(0.0159, 0.0007), kelvin(201.0)) is None
