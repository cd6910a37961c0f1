"""Which pipes are refused, and from which temperature, pressure or speed on."""

from dataclasses import replace

import pytest

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pipe_findings import (
    cold_pipe_rating,
    greatest_static_pa,
    hot_pipe_material,
    mixed_metals,
    pipe_velocity,
)
from generator.compute.flow.run_table import run_table
from generator.model.figures import Finding
from generator.model.site_water import StatedRun
from tests.compute.wet_cases import (
    FOOT,
    GPM,
    PIPES,
    PSI,
    at_work,
    kelvin,
    run,
    site,
    steady,
    with_fixtures,
    with_water,
)
from tests.finding_texts import said, speaker


def hot(*runs: StatedRun, psi: float = 58.0) -> Operating:
    return at_work(with_water(site("packing-house"), hot_run=runs, static_pressure=steady(psi)))


def values(found: Finding) -> dict[str, float | str]:
    return {value.symbol: value.value for value in speaker().worded(found.values)}


def test_pvc_is_refused_hot_however_cool() -> None:
    found = hot_pipe_material(hot(run("pvc-40", "1/2 in", 6.0)), kelvin(90.0))
    assert (found.severity, found.case) == ("stop", "not-for-hot-water")
    assert values(found) == {"run": 1, "material": "1/2 in PVC Schedule 40"}


def test_a_pipe_that_is_never_for_hot_water_is_named_before_one_without_a_rating() -> None:
    """By their order in the run either may come first; no water hotter than 200 degF has a rating in PEX."""
    pex, pvc = run("pex", "1/2 in", 6.0), run("pvc-40", "1/2 in", 6.0)
    for runs in ((pex, pvc), (pvc, pex)):
        found = hot_pipe_material(hot(*runs), kelvin(205.0))
        assert (found.case, values(found)["material"]) == ("not-for-hot-water", "1/2 in PVC Schedule 40")
    assert hot_pipe_material(hot(pex), kelvin(205.0)).case == "no-rating"


@pytest.mark.parametrize("material", [id_ for id_, material in PIPES.materials.items() if material.hot])
def test_hot_water_materials_hold_ordinary_pressure_at_140_degf(material: str) -> None:
    size = "15 mm" if material == "copper-metric" else "20 mm" if material == "pex-metric" else "3/4 in"
    assert hot_pipe_material(hot(run(material, size, 6.0)), kelvin(140.0)).severity == "ok"


@pytest.mark.parametrize(
    ("material", "temperature_f", "psi", "case"),
    [
        ("pex", 180.0, 100.0, "within"),
        ("pex", 180.0, 100.1, "above-rating"),
        ("pex", 180.1, 80.1, "above-rating"),
        ("pex", 200.1, 10.0, "no-rating"),
        ("cpvc-cts", 180.0, 99.9, "within"),
        ("cpvc-cts", 180.1, 20.0, "no-rating"),
        ("cpvc-cts", 160.0, 159.0, "within"),
        ("cpvc-cts", 160.1, 117.0, "above-rating"),
    ],
)
def test_plastic_is_judged_at_the_hottest_water(material: str, temperature_f: float, psi: float, case: str) -> None:
    found = hot_pipe_material(hot(run(material, "1/2 in", 6.0), psi=psi), kelvin(temperature_f))
    assert (found.case, found.severity) == (case, "ok" if case == "within" else "stop")
    held = values(found)
    assert held["water"] == kelvin(temperature_f)
    if case != "no-rating":
        assert held["pressure"] == pytest.approx(psi * PSI)
        assert (held["pressure"] > held["rating"]) is (case == "above-rating")


def test_the_cut_out_counts_where_ordinary_use_stays_cooler() -> None:
    """Water of 110 degF in use, but a cut-out at 185 degF: above what CPVC is rated for."""
    at = hot(run("cpvc-cts", "1/2 in", 6.0))
    hotter = at.model.water.model_copy(update={"cut_out_k": kelvin(185.0)})
    assert hot_pipe_material(at, kelvin(110.0)).severity == "ok"
    risky = replace(at, model=at.model.model_copy(update={"water": hotter}))
    assert hot_pipe_material(risky, kelvin(110.0)).severity == "stop"


def test_the_worst_hot_run_is_named() -> None:
    found = hot_pipe_material(hot(run("copper-l", "1/2 in", 6.0), run("pex", "1/2 in", 3.0)), kelvin(190.0))
    assert (values(found)["run"], values(found)["material"]) == (2, "1/2 in PEX SDR 9, copper tube size")
    assert said(found).startswith("Hot run 2, 1/2 in PEX SDR 9, ")


def test_pressure_counts_at_the_lowest_point() -> None:
    """A drop of 100 ft adds 43.3 psi (0.433 psi a foot)."""
    deep = with_water(site("packing-house"), cold_run=(run("copper-l", "3/4 in", 100.0, -100.0),))
    assert max(greatest_static_pa(at_work(deep)).values()) / PSI == pytest.approx(58.0 + 43.3, abs=0.1)


def test_a_cold_plastic_pipe_under_too_much_pressure_stops() -> None:
    pipe = (run("pex", "3/4 in", 60.0),)
    for psi, severity in ((160.0, "ok"), (160.5, "stop")):
        place = with_water(site("packing-house"), cold_run=pipe, static_pressure=steady(psi))
        assert cold_pipe_rating(at_work(place), kelvin(70.0)).severity == severity


@pytest.mark.parametrize(("gpm", "severity"), [(3.60, "ok"), (3.66, "attention")])
def test_five_feet_a_second_in_hot_copper(gpm: float, severity: str) -> None:
    """v = 0.4085 gpm / d^2: 5 ft/s in 1/2 in type L (0.545 in) is 3.635 gpm."""
    pipes = {"cold_run": (run("copper-l", "1 in", 5.0),), "hot_run": (run("copper-l", "1/2 in", 2.0),)}
    sink = site("packing-house").fixtures[0].model_copy(update={"flow_m3_s": gpm * GPM, "at_once": 1})
    place = with_fixtures(with_water(site("packing-house"), **pipes), sink)
    found = pipe_velocity(at_work(place), kelvin(110.0))
    assert (found.severity, found.case) == (severity, "within" if severity == "ok" else "above")
    held = values(found)
    assert (held["side"], held["run"], held["flow"]) == ("hot", 1, pytest.approx(gpm * GPM))
    assert held["velocity"] == pytest.approx(0.4085 * gpm / 0.545**2 * FOOT, rel=1e-3)
    assert held["limit"] == pytest.approx(5.0 * FOOT)


@pytest.mark.parametrize(
    ("cold", "warm", "joints"),
    [
        (("copper-l", "pex"), ("copper-l",), ()),
        (("galvanized", "copper-l"), ("copper-l",), ("between cold run 1 and cold run 2",)),
        (("galvanized",), ("copper-l",), ("between cold run 1 and the heater",)),
        (("galvanized", "pex"), ("pex", "galvanized"), ()),
        (
            ("copper-l",),
            ("galvanized", "copper-l"),
            ("between the heater and hot run 1", "between hot run 1 and hot run 2"),
        ),
    ],
)
def test_steel_against_copper_is_told(cold: tuple, warm: tuple, joints: tuple[str, ...]) -> None:
    place = with_water(
        site("packing-house"),
        cold_run=tuple(run(material, "3/4 in", 10.0) for material in cold),
        hot_run=tuple(run(material, "3/4 in", 10.0) for material in warm),
    )
    found = mixed_metals(at_work(place))
    assert (found.severity, found.case) == (("attention", "meet") if joints else ("ok", "apart"))
    assert len(found.lists["joints"]) == len(joints)
    if joints:
        assert said(found) == f"Galvanized steel meets copper {' and '.join(joints)}."


def test_table_shows_hazen_williams_beside() -> None:
    at = hot(run("copper-l", "1/2 in", 100.0))
    table = run_table("site.x.water", at, kelvin(110.0))
    _, cells = table.rows[-1]
    loss, check = (float(cell.value or 0.0) for cell in cells[-2:])
    assert 0.75 < check / loss < 1.0
    assert cells[1].value == pytest.approx(0.4085 * at.working_m3_s / GPM / 0.545**2 * FOOT, rel=1e-3)


def test_fittings_are_shown_as_the_length_of_pipe_that_they_cost() -> None:
    """Two elbows of 30 diameters each (Crane TP-410, from memory) in 1/2 in tube of type L, 0.545 in inside (ASTM B88,
    from memory): 2 x 30 x 13.84 mm are 0.83 m."""
    at = hot(run("copper-l", "1/2 in", 6.0, elbow_90=2))
    _, cells = run_table("x", at, kelvin(105.0)).rows[-1]
    lengths = [v.value for cell in cells for step in cell.steps for v in step.inputs if v.symbol == "L_fittings"]
    assert lengths == pytest.approx([2 * 30 * 0.545 * 0.0254] * 2)
