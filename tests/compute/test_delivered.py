"""A site with its circuit's voltage drop: what must be reached counts it, what must not be passed does not."""

from __future__ import annotations

from functools import cache

import pytest

from generator.compute.heat.balance import flow_for_outlet_m3_s, outlet_k
from generator.compute.site import compute_site
from generator.model.figures import Figure, FigureTable
from generator.model.inputs import Inputs
from generator.model.results import SiteResult
from generator.model.site import ExistingCircuit
from generator.read.handbook import read_handbook
from tests.finding_texts import speaker
from tests.frozen import DATA

FOOT = 0.3048


@cache
def inputs() -> Inputs:
    return read_handbook(DATA)


def result(name: str, feet: float | None = None) -> SiteResult:
    site = next(one for one in inputs().sites if one.id == name)
    if feet is not None:
        site = site.model_copy(update={"route": site.route.model_copy(update={"length_m": feet * FOOT})})
    return compute_site(site, inputs())


def severity(found: SiteResult, rule: str) -> str:
    return next(finding.severity for finding in found.findings if finding.rule == rule)


def test_a_long_run_leaves_no_window_and_says_what_would_help() -> None:
    """600 ft: a quarter of the power is lost: the target is reached only below the flow that closes the stage."""
    near, far = result("packing-house"), result("packing-house", 600.0)
    assert near.windows[3].why_empty is None
    assert far.windows[3].why_empty is not None
    assert severity(far, "target-reached") == "stop"
    assert next(f.case for f in far.findings if f.rule == "target-reached") == "drop-too-great"
    assert severity(far, "fixture-demand") == "attention"


def both(near: FigureTable, far: FigureTable) -> list[tuple[Figure, Figure]]:
    """The cells at the flows of both tables: a drop moves the ends of the window, and with them their rows."""
    short, long = ({cell.id: cell for _, cells in table.rows for cell in cells} for table in (near, far))
    shared = short.keys() & long.keys()
    assert len(shared) > len(short) / 2
    return [(short[name], long[name]) for name in sorted(shared)]


@pytest.mark.parametrize("name", ["packing-house", "creamery", "seedling-house", "bunkhouse"])
def test_hot_ends_keep_the_full_power_and_cold_ends_count_the_drop(name: str) -> None:
    near, far = result(name, 1.0), result(name, 300.0)
    assert [figure.value for figure in near.hottest_by_stage] == [figure.value for figure in far.hottest_by_stage]
    for one, other in both(near.outlet_summer, far.outlet_summer):
        assert one == other
    for one, other in both(near.outlet_winter, far.outlet_winter):
        assert one.side == other.side == "down"
        assert one.value is None or other.value is None or float(other.value) < float(one.value)
    for power, left in zip((stage.power for stage in far.stages), far.delivered, strict=True):
        assert 0.0 < float(left.value or 0) < float(power.value or 0)
        assert left.steps[-1].result.value == left.value


def test_the_greatest_flow_by_hand() -> None:
    """Target reached by the power that the divider leaves: both ends recomputed from the published powers."""
    found = result("packing-house")
    window, left, full = found.windows[3], float(found.delivered[3].value or 0), float(found.supply_power.value or 0)
    winter, summer = float(found.winter_inlet.value or 0), float(found.summer_inlet.value or 0)
    target, limit = float(found.target.value or 0), float(found.limit.value or 0)
    assert window.greatest.value == pytest.approx(flow_for_outlet_m3_s(winter, target, left))
    assert outlet_k(summer, float(window.least.value or 0), full) <= limit
    assert left < full


def test_both_tables_say_which_power_they_hold() -> None:
    found = speaker().worded(result("packing-house"))
    assert "voltage drop leaves" in found.outlet_winter.note
    assert "full power" in found.outlet_summer.note


def test_the_conductors_that_are_there_count() -> None:
    """An existing circuit of thick conductors brings more than the one that would be laid."""
    base = next(one for one in inputs().sites if one.id == "packing-house")
    there = ExistingCircuit.model_validate({"device": "50 A", "poles": "2", "conductor": "2 AWG", "ground": "8 AWG"})
    thick = compute_site(base.model_copy(update={"existing_circuit": there}), inputs())
    assert float(thick.delivered[3].value or 0) > float(result("packing-house").delivered[3].value or 0)


def test_a_basin_that_the_drop_starves_is_told() -> None:
    """Farm stand: about 2.86 kW asked, 2.65 kW left of 2.88 kW by 85 ft of thin cable."""
    found = result("farm-stand", 85.0)
    assert float(found.delivered[1].value or 0) == pytest.approx(2652.0, abs=2.0)
    assert severity(found, "fixture-demand") == "attention"
    assert severity(result("farm-stand", 1.0), "fixture-demand") == "ok"


@pytest.mark.parametrize("name", ["packing-house", "creamery"])
def test_what_is_delivered_is_the_sum_of_the_feeds(name: str) -> None:
    """One feed's working stands as it is; that of several ends in their sum."""
    found = result(name)
    for number, figure in enumerate(found.delivered):
        feeds = [circuit.power_by_stage[number] for circuit in found.circuits]
        assert figure.value == pytest.approx(sum(float(feed.value or 0.0) for feed in feeds))
        steps = [step for feed in feeds for step in feed.steps]
        assert list(figure.steps[: len(steps)]) == steps
        assert len(figure.steps) == len(steps) + (len(feeds) > 1)
