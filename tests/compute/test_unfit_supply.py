"""A supply that does not fit the heater: nothing computed at its power is published anywhere in the results."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from generator.compute.active_notices import site_values
from generator.compute.site import compute_site
from generator.compute.unfit_supply import JUDGED
from generator.compute.verdict.built import UNFIT_SUPPLY
from generator.compute.verdict.notice_facts import Placed, holds
from generator.model.documents.walk import walk
from generator.model.figures import Figure, FigureTable
from generator.model.results import SiteResult
from generator.model.site import Site
from tests.compute.test_delivered import inputs
from tests.finding_texts import said, speaker


def on(volts: float, name: str = "potting-shed", **supply: Any) -> tuple[Site, SiteResult]:
    site = next(one for one in inputs().sites if one.id == name)
    changed = site.supply.model_copy(update={"voltage_v": volts, **supply})
    site = site.model_copy(update={"supply": changed})
    return site, compute_site(site, inputs())


def figures(found: SiteResult) -> dict[str, Figure]:
    return {figure.id: figure for figure in walk(found, Figure)}


def seen(figure: Figure) -> tuple[Any, ...]:
    """All that a reader of the results could take from a figure."""
    return (figure.value, figure.state, figure.reason, figure.steps)


def heads(found: SiteResult) -> list[tuple[Any, ...]]:
    """The heads of every table, which are read off as well."""
    return [(one.id, one.columns, [row[0] for row in one.rows], one.conditions) for one in walk(found, FigureTable)]


def at_power(site: Site, share: float) -> SiteResult:
    """The site's results with its heater's nameplate power changed to this share of it."""
    model = inputs().model(site.heater)
    ratings = tuple(rating.model_copy(update={"power_w": share * rating.power_w}) for rating in model.ratings)
    changed = model.model_copy(update={"ratings": ratings})
    models = tuple(changed if one.id == model.id else one for one in inputs().models)
    return compute_site(site, replace(inputs(), models=models, sites=(site,)))


def unfit_sites() -> Iterator[Site]:
    for site in inputs().sites:
        for share in (1.3, 0.7):
            volts = share * site.supply.voltage_v
            yield site.model_copy(update={"supply": site.supply.model_copy(update={"voltage_v": volts})})
    creamery = next(one for one in inputs().sites if one.id == "creamery")
    panel = creamery.supply.panel.model_copy(update={"phases": 1})
    yield creamery.model_copy(update={"supply": creamery.supply.model_copy(update={"panel": panel})})


# What may rest on the nameplate's power where the supply does not fit: the element's ohms, which are its own.
OWN = re.compile(r"\.stage\.\d+\.resistance$")


@pytest.mark.parametrize("share", [1.07, 0.93])
def test_nothing_that_moves_with_the_power_is_published_where_the_supply_does_not_fit(share: float) -> None:
    """By experiment, whatever its name: two runs with the nameplate's power apart tell what rests on it."""
    for site in unfit_sites():
        one, other = at_power(site, 1.0), at_power(site, share)
        assert any(found.rule in UNFIT_SUPPLY and found.severity == "stop" for found in one.findings)
        mine, others = figures(one), figures(other)
        moved = {id_ for id_ in mine.keys() | others.keys() if id_ not in others or id_ not in mine}
        moved |= {id_ for id_ in mine.keys() & others.keys() if seen(mine[id_]) != seen(others[id_])}
        assert all(OWN.search(id_) for id_ in moved if mine.get(id_) and mine[id_].value is not None), site.id
        tables = [
            [(table.id, table.columns, [row[0] for row in table.rows]) for table in walk(r.water, FigureTable)]
            for r in (one, other)
        ]
        assert tables[0] == tables[1]
        for found, again in zip(one.findings, other.findings, strict=True):
            if found.rule not in ("supply-voltage", "supply-phases") and not found.rule.startswith("existing-"):
                assert found == again, found.id
            if found.rule not in ("supply-voltage", "supply-phases"):
                assert found.found == again.found, found.id


def test_where_the_supply_fits_the_experiment_finds_much_that_moves() -> None:
    site = next(one for one in inputs().sites if one.id == "packing-house")
    one, other = figures(at_power(site, 1.0)), figures(at_power(site, 1.07))
    assert sum(seen(one[id_]) != seen(other[id_]) for id_ in one.keys() & other.keys()) > 60


def test_no_figure_of_a_circuit_that_must_not_be_built_has_a_value() -> None:
    """Cable made for dry places, in a wet one: no size, device, run or verdict of a size tried may be read off."""
    site = next(one for one in inputs().sites if one.id == "packing-house")
    route = site.route.model_copy(update={"method": "nm-cable", "insulation": "NM-B", "wet": True})
    found = compute_site(site.model_copy(update={"route": route}), inputs())
    assert next(one for one in found.findings if one.rule == "wiring-method").severity == "stop"
    assert found.hottest.value is not None
    of_circuit = [*walk(found.circuits, Figure), *found.delivered]
    assert len(of_circuit) > 40
    assert {(figure.value, figure.state) for figure in of_circuit} == {(None, "stop")}


@pytest.mark.parametrize("volts", [240.0, 133.0, 95.0])
def test_a_figure_without_value_says_why(volts: float) -> None:
    _, found = on(volts)
    blank = [figure for figure in walk(found, Figure) if figure.state == "stop"]
    assert len(blank) > 40
    for figure in blank:
        assert figure.value is None and not figure.steps
        assert "o not connect" in speaker().worded(figure.reason)


@pytest.mark.parametrize("volts", [131.0, 120.0, 97.0])
def test_a_supply_at_the_edge_still_publishes(volts: float) -> None:
    _, found = on(volts)
    assert found.hottest.value is not None
    assert not [figure for figure in walk(found, Figure) if figure.state == "stop"]


def test_no_figure_of_the_inlet_is_lost_and_each_id_names_one_figure() -> None:
    _, found = on(240.0)
    assert found.winter_inlet.value is not None
    seen: dict[str, Figure] = {}
    assert all(seen.setdefault(figure.id, figure) == figure for figure in walk(found, Figure))


def test_the_findings_say_that_they_were_not_judged() -> None:
    _, found = on(240.0)
    severities = {one.rule: one.severity for one in found.findings}
    assert (severities["supply-voltage"], severities["hottest-water"]) == ("stop", "stop")
    for rule in ("tankless-limit", "target-reached", "stage-idle", "fixture-demand", "mixing-valve", "voltage-drop"):
        assert severities[rule] == "attention"
    for one in found.findings:
        if one.rule not in JUDGED:
            assert said(one).startswith("Not judged")
            assert "supply-voltage" in said(one, "do")
    _, fitting = on(120.0)
    assert [one.rule for one in found.findings] == [one.rule for one in fitting.findings]


def test_a_stop_of_a_circuit_that_is_there_stays_one_and_is_locked_off() -> None:
    _, found = on(208.0, "bunkhouse")
    assert next(one for one in found.findings if one.rule == "existing-conductor").case == "us-unprotected"
    _, found = on(120.0, "bunkhouse")
    stays = next(one for one in found.findings if one.rule == "existing-conductor")
    assert (stays.severity, stays.case) == ("stop", "not-judged-stop")
    assert said(stays, "do").startswith("Lock it off.") and "supply-voltage" in said(stays, "do")


def test_a_three_phase_heater_on_a_panel_of_one_phase_is_unfit_too() -> None:
    site = next(one for one in inputs().sites if one.id == "creamery")
    panel = site.supply.panel.model_copy(update={"phases": 1})
    _, found = on(208.0, "creamery", panel=panel)
    assert found.hottest.state == "stop"
    assert all(figure.value is None for figure in walk(found.circuits, Figure))


def test_unknown_water_counts_as_too_hot_for_the_notices() -> None:
    site, found = on(240.0)
    model = inputs().model(site.heater)
    placed = Placed(site, model, found, inputs().basis_of(site))
    assert holds("limit-below-hottest", model, placed)
    assert site_values(placed)["hottest"].kind == "text"
