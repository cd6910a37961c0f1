"""A supply that does not fit the heater: nothing reckoned at its power is published anywhere in the results."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Any

import pytest

from generator.assemble.results_json import walk
from generator.compute.notice_facts import Placed, holds
from generator.compute.notices import site_values
from generator.compute.site import compute_site
from generator.compute.unfit_supply import REST_ON_POWER
from generator.model.figures import Figure, FigureTable
from generator.model.finding_rules import NOT_JUDGED
from generator.model.results import SiteResult
from generator.model.site import Site
from generator.rules import declared_rules
from tests.compute.test_delivered import inputs
from tests.finding_texts import said


def on(volts: float, name: str = "potting-shed", **supply: Any) -> tuple[Site, SiteResult]:
    site = next(one for one in inputs().sites if one.id == name)
    changed = site.supply.model_copy(update={"voltage_v": volts, **supply})
    site = site.model_copy(update={"supply": changed})
    return site, compute_site(site, inputs())


def reckoned(found: SiteResult) -> Iterator[Figure]:
    """Every figure that rests on the power of the supply."""
    yield from (found.supply_power, found.hottest, *found.hottest_by_stage, *found.delivered)
    for stage in found.stages:
        yield from (stage.power, stage.current)
    for window in found.windows:
        yield from (window.least, window.greatest)
    for circuit in found.circuits:
        yield from (circuit.device, circuit.conductor, circuit.expected_current, *chain(*circuit.line_currents))
        yield from (one for one in circuit.extra if "supply" in one.id or "drop" in one.id)
    for table in walk(found, FigureTable):
        if "outlet" in table.id or "voltage-drop" in table.id:
            yield from (cell for _, cells in table.rows for cell in cells)
        if table.id.endswith(".fixtures"):
            yield from (
                c for _, cells in table.rows for c in cells if c.id.endswith((".stage", ".coldest", ".warmest"))
            )
    yield from (figure for figure in walk(found, Figure) if ".energy-" in figure.id or ".cost-" in figure.id)


@pytest.mark.parametrize("volts", [240.0, 133.0, 95.0])
def test_no_figure_rests_on_a_power_that_must_not_be(volts: float) -> None:
    _, found = on(volts)
    figures = list(reckoned(found))
    assert len(figures) > 40
    for figure in figures:
        assert (figure.value, figure.state) == (None, "stop"), figure.id
        assert "o not connect" in figure.reason
        assert not figure.steps


@pytest.mark.parametrize("volts", [131.0, 120.0, 97.0])
def test_a_supply_at_the_edge_still_publishes(volts: float) -> None:
    _, found = on(volts)
    assert found.hottest.value is not None
    assert not [figure for figure in reckoned(found) if figure.state == "stop"]


def test_no_figure_of_the_inlet_is_lost_and_each_id_names_one_figure() -> None:
    _, found = on(240.0)
    assert found.winter_inlet.value is not None
    seen: dict[str, Figure] = {}
    assert all(seen.setdefault(figure.id, figure) == figure for figure in walk(found, Figure))


def test_the_findings_say_that_they_were_not_judged() -> None:
    _, found = on(240.0)
    severities = {one.rule: one.severity for one in found.findings}
    assert (severities["supply-voltage"], severities["hottest-water"]) == ("stop", "stop")
    for rule in ("target-reached", "greatest-outlet", "stage-idle", "fixture-demand", "mixing-valve", "voltage-drop"):
        assert severities[rule] == "attention"
    for one in found.findings:
        if one.rule in REST_ON_POWER:
            assert said(one).startswith("Not judged")
            assert "supply-voltage" in said(one, "do")
    _, fitting = on(120.0)
    assert [one.rule for one in found.findings] == [one.rule for one in fitting.findings]


def test_every_rule_that_rests_on_the_power_can_say_that_it_was_not_judged() -> None:
    rules = declared_rules()
    for name in REST_ON_POWER & rules.keys():
        assert rules[name].cases[NOT_JUDGED] == ("cause",)


def test_a_three_phase_heater_on_a_panel_of_one_phase_is_unfit_too() -> None:
    site = next(one for one in inputs().sites if one.id == "creamery")
    panel = site.supply.panel.model_copy(update={"phases": 1})
    _, found = on(208.0, "creamery", panel=panel)
    assert found.hottest.state == "stop"
    assert all(figure.value is None for figure in reckoned(found))


def test_unknown_water_counts_as_too_hot_for_the_notices() -> None:
    site, found = on(240.0)
    model = inputs().model(site.heater)
    placed = Placed(site, model, found, inputs().basis_of(site))
    assert holds("limit-below-hottest", model, placed)
    assert site_values(placed)["hottest"].kind == "text"
