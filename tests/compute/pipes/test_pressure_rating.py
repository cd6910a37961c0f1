"""Pressure ratings against the published tables, at, just below and just above each step."""

from pathlib import Path

import pytest
import yaml

from generator.compute.flow.pipes.pressure_rating import PSI_PA, pressure_rating, rating_table
from generator.compute.flow.pipes.sizes import SIZES
from generator.compute.flow.pipes.velocity_limit import velocity_limit

PUBLISHED = yaml.safe_load((Path(__file__).parents[2] / "sources/water/pressure_ratings.yaml").read_text())
KG_CM2_PA = 98066.5
FOOT = 0.3048


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8 + 273.15


def rating_psi(material: str, size: str, temperature_k: float) -> float:
    pressure_pa = pressure_rating(material, size, temperature_k).pressure_pa
    assert pressure_pa is not None
    return pressure_pa / PSI_PA


@pytest.mark.parametrize("size", PUBLISHED["copper_m_annealed"]["rows"])
def test_copper_m_is_the_lower_of_tube_and_joint(size: str) -> None:
    joints = PUBLISHED["copper_joints"]["to_2_in" if size in ("1-1/4 in", "1-1/2 in", "2 in") else "to_1_in"]
    published = PUBLISHED["copper_m_annealed"]["rows"][size]
    for fahrenheit, tube, joint in zip((100, 150, 200), published, joints, strict=True):
        ours = rating_psi("copper-m", size, kelvin(fahrenheit))
        assert 0.955 * min(tube, joint) <= ours <= min(tube, joint)


@pytest.mark.parametrize("size", ["3/8 in", "1 in", "1-1/4 in", "2 in"])
def test_thick_copper_is_held_by_its_joint(size: str) -> None:
    """Type K tube is stronger than its soldered joint at every row; above a row the next counts."""
    joints = PUBLISHED["copper_joints"]["to_2_in" if size in ("1-1/4 in", "2 in") else "to_1_in"]
    for fahrenheit, joint in zip((99.9, 100.1, 149.9, 150.1, 199.9), (joints[i] for i in (0, 1, 1, 2, 2)), strict=True):
        assert rating_psi("copper-k", size, kelvin(fahrenheit)) == pytest.approx(joint)
    assert pressure_rating("copper-k", size, kelvin(200.1)).pressure_pa is None


@pytest.mark.parametrize("celsius", PUBLISHED["cpvc"]["rows"])
def test_cpvc_agrees_or_is_lower(celsius: int) -> None:
    """The published rows are round degF in whole degC; at 180 degF they say 97 psi for the standard's 100."""
    ours = pressure_rating("cpvc-cts", "1/2 in", celsius - 0.5 + 273.15).pressure_pa
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
        rows = rating_table(material, size)
        assert [k for k, _ in rows] == sorted(k for k, _ in rows)
        assert [p for _, p in rows] == sorted((p for _, p in rows), reverse=True)
        for (k, pressure), (_, following) in zip(rows, [*rows[1:], (None, None)], strict=True):
            assert pressure_rating(material, size, k).pressure_pa == pressure
            assert pressure_rating(material, size, k - 0.01).pressure_pa == pressure
            assert pressure_rating(material, size, k + 0.01).pressure_pa == following


def test_velocity_limits_of_the_copper_handbook() -> None:
    """Copper Tube Handbook (CDA): 8 ft/s cold, 5 ft/s hot to 140 degF, 2 to 3 ft/s above; public summary, read."""
    assert velocity_limit("copper-l", False, 300.0)[0] == pytest.approx(8.0 * FOOT)
    assert velocity_limit("copper-l", True, kelvin(140.0))[0] == pytest.approx(5.0 * FOOT)
    assert velocity_limit("copper-l", True, kelvin(140.1))[0] == pytest.approx(3.0 * FOOT)


def test_velocity_limit_of_metric_pipes() -> None:
    """EN 806-3 (2006) clause 4.4, read in an excerpt: 2.0 m/s but for dead legs."""
    assert velocity_limit("pex-metric", True, 320.0)[0] == 2.0
    assert velocity_limit("copper-metric", False, 285.0)[0] == 2.0
    assert velocity_limit("copper-metric", True, 320.0)[0] < 2.0
