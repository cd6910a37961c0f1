"""Heaters of several sites on one panel are judged together, by sums worked by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from generator.compute.compute_all import compute
from generator.model.figures import Finding
from generator.model.heater import HeaterModel
from generator.model.site import Site
from generator.read.handbook import read_handbook
from tests.compute.circuit_cases import heater, metric_heater, metric_site, site
from tests.finding_texts import said
from tests.frozen import DATA

BARN = {"id": "barn", "rating": "200 A", "demand": "112 A", "spaces": "12", "demand_method": "counted", "phases": "3"}


def named(one: Site, name: str) -> Site:
    return one.model_copy(update={"id": name, "title": f"The {name}"})


def at(name: str, panel: dict[str, str], **changes: Any) -> Site:
    return named(site(supply={"panel": panel}, **changes), name)


def judged(sites: list[Site], *models: HeaterModel, basis: str = "us") -> dict[str, dict[str, Finding]]:
    """The findings by site and rule, of sites that are all there is in the handbook."""
    base = read_handbook(DATA)
    inputs = replace(
        base,
        settings=base.settings.model_copy(update={"code_basis": basis}),
        models=models or (heater(),),
        sites=tuple(sites),
    )
    return {result.id: {found.rule: found for found in result.findings} for result in compute(inputs).sites}


def told(found: Finding) -> dict[str, Any]:
    return {value.symbol: value.value for value in found.values}


NAMES = ("dairy", "office", "shed")


def test_three_heaters_of_40_amperes_do_not_fit_where_one_does() -> None:
    """112 A + 3 x 40 A = 232 A on 200 A, a stop at each of the three; 112 A + 1.25 x 40 A = 162 A for one alone."""
    found = judged([at(name, BARN) for name in NAMES])
    for name in NAMES:
        one = found[name]["panel-demand"]
        assert one.severity == "stop"
        assert told(one)["total"] == pytest.approx(112.0 + 3 * 9600.0 / 240.0)
        others = {row["site"].value: row["current"].value for row in one.lists["others"]}
        assert others == {f"The {other}": pytest.approx(40.0) for other in NAMES if other != name}
    (alone,) = judged([at("shed", BARN)]).values()
    assert alone["panel-demand"].severity == "ok"


def test_the_other_heaters_are_named_in_words() -> None:
    """Worked by hand: 112 A and three heaters of 40 A; none where the panel has no name."""
    found = judged([at(name, BARN) for name in NAMES])
    assert said(found["dairy"]["panel-demand"]) == (
        "Demand already on the panel 112 A (counted), heater 40 A. Other heaters on panel barn: The office 40 A, "
        "The shed 40 A. 232 A together, 262 A with the factor for a continuous load, on a panel rated 200 A."
    )
    (alone,) = judged([at("dairy", BARN)]).values()
    assert "No other site of this handbook names panel barn." in said(alone["panel-spaces"])
    (unnamed,) = judged([at("dairy", {key: value for key, value in BARN.items() if key != "id"})]).values()
    assert "eaters on panel" not in said(unnamed["panel-spaces"])
    assert "names panel" not in said(unnamed["panel-spaces"])


@pytest.mark.parametrize("panel", [BARN | {"id": "other-barn"}, {k: v for k, v in BARN.items() if k != "id"}])
def test_another_panel_is_not_counted(panel: dict[str, str]) -> None:
    found = judged([at("dairy", BARN), at("office", panel), at("shed", panel | {"id": "third"})])
    assert {one["panel-demand"].severity for one in found.values()} == {"ok"}
    assert told(found["dairy"]["panel-demand"])["total"] == pytest.approx(152.0)


@pytest.mark.parametrize(
    ("demand", "continuous", "severity"),
    [("120 A", "no", "ok"), ("121 A", "no", "stop"), ("100 A", "yes", "ok"), ("101 A", "yes", "attention")],
)
def test_the_sum_at_its_edges(demand: str, continuous: str, severity: str) -> None:
    """Two of 40 A on 200 A: 120 A + 80 A, and 100 A + 125 % of 80 A, fit exactly."""
    use = {"continuous": continuous, "reason": "minutes at a time"}
    found = judged([at(name, BARN | {"demand": demand}, use=use) for name in ("dairy", "shed")])
    assert {one["panel-demand"].severity for one in found.values()} == {severity}


def test_each_heater_has_its_own_factor() -> None:
    """105 A + 1.25 x 40 A + 40 A = 195 A with the factor of the one that is continuous."""
    seldom = {"use": {"continuous": "no", "reason": "minutes at a time"}}
    found = judged([at("dairy", BARN | {"demand": "105 A"}), at("shed", BARN | {"demand": "105 A"}, **seldom)])
    for one in found.values():
        assert told(one["panel-demand"])["cautious"] == pytest.approx(195.0)


def test_the_spaces_are_shared_too() -> None:
    """Two poles a heater: four spaces for two of them, and none for one whose device is there already."""
    three = BARN | {"spaces": "3", "demand": "20 A"}
    found = judged([at("dairy", three), at("shed", three)])
    for one in found.values():
        assert one["panel-spaces"].severity == "stop"
        assert told(one["panel-spaces"])["needed"] == 4
    existing = {"device": "50 A", "poles": "2", "conductor": "8 AWG", "ground": "10 AWG"}
    found = judged([at("dairy", three), at("shed", three, existing_circuit=existing)])
    assert {one["panel-spaces"].severity for one in found.values()} == {"ok"}
    assert told(found["dairy"]["panel-spaces"])["needed"] == 2
    two = BARN | {"spaces": "1"}
    found = judged([at("dairy", two), at("shed", two, existing_circuit=existing)])
    assert {name: one["panel-spaces"].severity for name, one in found.items()} == {"dairy": "stop", "shed": "ok"}


def test_the_metric_basis_counts_them_too() -> None:
    """7.2 kW at 230 V is 31.3 A: 20 A + 62.6 A on 80 A; two poles each, the neutral included."""
    panel = {"id": "barn", "rating": "80 A", "demand": "20 A", "spaces": "3"}
    sites = [named(metric_site(supply={"panel": panel}), name) for name in ("dairy", "shed")]
    found = judged(sites, metric_heater(), basis="iec")
    for one in found.values():
        assert told(one["panel-demand"])["total"] == pytest.approx(20.0 + 2 * 7200.0 / 230.0)
        assert (one["panel-demand"].severity, one["panel-spaces"].severity) == ("stop", "stop")
    (alone,) = judged(sites[:1], metric_heater(), basis="iec").values()
    assert (alone["panel-demand"].severity, alone["panel-spaces"].severity) == ("ok", "ok")
