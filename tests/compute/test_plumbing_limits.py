"""A plumbing basis has numbers of its own: each limit that another basis sets otherwise moves what is judged by it."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from generator.compute.plumbing import plumbing_at, strictest
from generator.compute.site import judge_site
from generator.errors import CannotCompute, InputFaults
from generator.model.figures import Finding
from generator.model.inputs import Inputs
from generator.read.handbook import read_handbook
from tests.compute.wet_cases import GPM, LIMITS, PSI, kelvin
from tests.frozen import DATA

RULES = "plumbing/us/rules.yaml"


@pytest.fixture(scope="module")
def demo() -> Inputs:
    return read_handbook(DATA)


def edited(tmp_path: Path, old: str, new: str) -> Path:
    """The demo with a second basis, a copy of the first with one number changed, named by every site at home."""
    folder = tmp_path / "site_data"
    shutil.copytree(DATA, folder)
    text = (folder / RULES).read_text(encoding="utf-8")
    assert text.count(old) == 1
    (folder / "plumbing" / "nz").mkdir()
    (folder / "plumbing" / "nz" / "rules.yaml").write_text(text.replace(old, new), encoding="utf-8")
    settings = folder / "handbook.yaml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("plumbing_basis: us", "plumbing_basis: nz"), encoding="utf-8"
    )
    return folder


def judged(inputs: Inputs, site_id: str, rule: str) -> Finding:
    site = next(one for one in inputs.sites if one.id == site_id)
    return next(one for one in judge_site(site, inputs) if one.rule == rule)


@pytest.mark.parametrize(
    ("old", "new", "site_id", "rule", "case"),
    [
        (
            "    shower: {at_most: 120 degF",
            "    shower: {at_most: 95 degF",
            "bunkhouse",
            "fixture-limit",
            "above-rules",
        ),
        ("    shower: {at_most: 2.5 gpm", "    shower: {at_most: 1.2 gpm", "bunkhouse", "fixture-flow-limit", "above"),
        ("{at_most: 140 degF", "{at_most: 100 degF", "farm-stand", "tankless-limit", "above"),
        ("{at_most: 80 psi", "{at_most: 30 psi", "bunkhouse", "static-pressure", "above-code"),
        ("{at_least: 8 psi", "{at_least: 38 psi", "farm-stand", "fixture-pressure", "short"),
        ("other: 0.5 gal", "other: 0.11 gal", "bunkhouse", "delivery", "too-long"),
        ("hotter_by: 20 delta", "hotter_by: 55 delta", "farm-stand", "mixing-valve", "missing-unsuited"),
        (
            "public lavatory: {at_most: 110",
            "public lavatory: {at_most: 90",
            "farm-stand",
            "hottest-water",
            "above-coded",
        ),
    ],
)
def test_another_number_moves_what_is_judged(
    demo: Inputs, tmp_path: Path, old: str, new: str, site_id: str, rule: str, case: str
) -> None:
    before = judged(demo, site_id, rule)
    after = judged(read_handbook(edited(tmp_path, old, new)), site_id, rule)
    assert after.case == case
    assert (before.case, before.values, before.lists) != (after.case, after.values, after.lists)


def test_a_standard_of_valves_is_that_of_the_basis(tmp_path: Path) -> None:
    inputs = read_handbook(
        edited(tmp_path, "shower: ASSE 1016/ASME A112.1016/CSA B125.16 type T or T/P", "shower: ZZ 9")
    )
    found = judged(inputs, "bunkhouse", "hottest-water")
    named = [row["standard"].value for rows in found.lists.values() for row in rows if "standard" in row]
    assert named and set(named) == {"ZZ 9"}


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("rule: static-pressure}", "rule: static}", "limits.static_pressure.rule: 'static' is none of the rules"),
        ("    tub: {at_most: 120 degF, rule: limit-tub}\n", "", "limits.temperatures: no limit is given for a tub"),
        ("{at_most: 80 psi", "{at_most: 80 gpm", "limits.static_pressure.at_most: '80 gpm': 'gpm' is a flow"),
        ("  hot-run:\n", "  hot-runs:\n", "limits.hot_run.rule: 'hot-run' is none of the rules"),
    ],
)
def test_a_limit_that_cannot_hold_is_told_with_its_place(tmp_path: Path, old: str, new: str, told: str) -> None:
    with pytest.raises(InputFaults) as faults:
        read_handbook(edited(tmp_path, old, new))
    assert f": {told}" in str(faults.value)
    assert str(faults.value).startswith("site_data/plumbing/nz/rules.yaml:")


def test_without_a_basis_the_strictest_of_all_that_are_held_hold(demo: Inputs) -> None:
    site = next(one for one in demo.sites if one.id == "seedling-house")
    looser = LIMITS.model_copy(
        update={
            "temperatures": {
                kind: one.model_copy(update={"at_most_k": kelvin(140.0 if kind == "shower" else 105.0)})
                for kind, one in LIMITS.temperatures.items()
            },
            "fixture_pressure": LIMITS.fixture_pressure.model_copy(update={"with_valve_pa": 30.0 * PSI}),
            "mixing_valve": LIMITS.mixing_valve.model_copy(update={"least_flow_m3_s": 0.1 * GPM}),
            "hot_run": LIMITS.hot_run.model_copy(update={"other_m3": 9.0 * LIMITS.hot_run.other_m3}),
            "static_pressure": LIMITS.static_pressure.model_copy(update={"at_most_pa": 99.0 * PSI}),
            "tankless_temperature": LIMITS.tankless_temperature.model_copy(update={"at_most_k": kelvin(99.0)}),
            "handbook_temperature": LIMITS.handbook_temperature.model_copy(update={"at_most_k": kelvin(98.0)}),
        }
    )
    for pair in ([LIMITS, looser], [looser, LIMITS]):
        found = strictest(pair)
        assert found.temperatures["shower"].at_most_k == pytest.approx(kelvin(120.0))
        assert found.temperatures["tub"].at_most_k == pytest.approx(kelvin(105.0))
        assert found.fixture_pressure.with_valve_pa == pytest.approx(30.0 * PSI)
        assert found.fixture_pressure.at_least_pa == LIMITS.fixture_pressure.at_least_pa
        assert found.mixing_valve.least_flow_m3_s == pytest.approx(0.5 * GPM)
        assert found.hot_run == LIMITS.hot_run
        assert found.static_pressure == LIMITS.static_pressure
        assert found.tankless_temperature.at_most_k == pytest.approx(kelvin(99.0))
        assert found.handbook_temperature.at_most_k == pytest.approx(kelvin(98.0))
    assert not plumbing_at(site, demo).held
    with pytest.raises(CannotCompute, match="no plumbing basis"):
        plumbing_at(site, replace(demo, plumbing={}))
