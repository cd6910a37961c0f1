"""A static pressure that moves between a least and a greatest: each rule looks at its adverse end."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from generator.compute.flow.operating_point import Operating, flow_bounds, operating_figures
from generator.compute.flow.pipe_findings import pipe_findings
from generator.compute.flow.pressure_findings import pressure_findings
from generator.compute.flow.stage_reach import stage_reach
from generator.compute.root import falling_root
from generator.model.figures import Finding
from generator.model.site import Site
from generator.model.site_water import PressureRange
from tests.compute.wet_cases import PSI, at_work, kelvin, site, steady, with_water
from tests.compute.wet_random import by_chance, random_site
from tests.finding_texts import said

# What a rule of pressure is judged at: too much of it at the greatest, too little at the least.
AT_GREATEST = ("static-pressure", "cold-pipe-rating", "hot-pipe-material", "pipe-velocity")
AT_LEAST = ("working-pressure", "working-flow", "fixture-pressure", "filter-screen")


def moving(least_psi: float, greatest_psi: float) -> PressureRange:
    return PressureRange.model_validate({"least": least_psi * PSI, "greatest": greatest_psi * PSI})


def found(place: Site) -> dict[str, Finding]:
    at = at_work(place)
    wet = (
        *pressure_findings(at, stage_reach(at)),
        *pipe_findings(at, kelvin(70.0), kelvin(140.0), target_k=kelvin(105.0)),
    )
    return {finding.rule: finding for finding in wet}


@by_chance
def test_each_rule_is_judged_at_its_adverse_end(chance: random.Random) -> None:
    place = random_site(chance)
    least = chance.uniform(5.0, 150.0)
    greatest = least + chance.uniform(1.0, 60.0)
    both = found(with_water(place, static_pressure=moving(least, greatest)))
    low = found(with_water(place, static_pressure=steady(least)))
    high = found(with_water(place, static_pressure=steady(greatest)))
    for rules, alone in ((AT_LEAST, low), (AT_GREATEST, high)):
        for rule in rules:
            assert both[rule] == alone[rule]


@by_chance
def test_the_flows_that_pressure_allows_are_those_of_both_ends(chance: random.Random) -> None:
    place = random_site(chance)
    least = chance.uniform(5.0, 150.0)
    greatest = least + chance.uniform(1.0, 60.0)
    both = at_work(with_water(place, static_pressure=moving(least, greatest)))
    low = at_work(with_water(place, static_pressure=steady(least)))
    high = at_work(with_water(place, static_pressure=steady(greatest)))
    assert flow_bounds(both).least == flow_bounds(high).least
    assert flow_bounds(both).greatest == flow_bounds(low).greatest
    rest = {figure.id: figure.value for figure in operating_figures("x", both)}
    assert rest["x.pressure-at-rest"] == high.way.at_heater(0.0)
    assert rest["x.pressure-at-heater"] == low.way.at_switches(low.working_m3_s)


def _flow_with(at: Operating, valve: float, static_pa: float) -> float:
    """The flow that a supply of this pressure gives through an outlet valve set to k = `valve`; 0 without."""
    way = replace(at.way, static_pa=static_pa)
    return falling_root(lambda flow: way.left_for_outlet(flow) - valve * flow**2, 0.0, 1.0) or 0.0


@pytest.mark.parametrize("greatest", [50.0, 60.0, 80.0, 110.0, 140.0])
@pytest.mark.parametrize("share", [0.4, 0.5, 0.6, 0.7, 0.9])
def test_a_pump_between_its_two_pressures_drops_a_stage_or_not(greatest: float, share: float) -> None:
    """A pump switch of 40/60 psi is common practice, no source. The tap is set just as the pump stops."""
    place = with_water(site("packing-house"), static_pressure=moving(share * greatest, greatest))
    at = at_work(place)
    strongest = at_work(with_water(place, static_pressure=steady(greatest)))
    flow = _flow_with(at, strongest.valve, share * greatest * PSI)
    pressure_pa = replace(at.way, static_pa=share * greatest * PSI).at_switches(flow)
    opens = at.model.stages[len(strongest.closed) - 1].opens_at_m3_s
    drops = flow < opens or pressure_pa < at.model.water.working_pressure.least_pa
    sag = found(place)["pressure-sag"]
    assert (sag.case, sag.severity) == (("drops-out", "attention") if drops else ("holds", "ok"))
    assert "falls to" in said(sag)
    assert ("cut-in" in said(sag, "do")) is drops


def test_both_a_pump_that_drops_stages_and_one_that_does_not_are_met() -> None:
    cases = {
        found(with_water(site("packing-house"), static_pressure=moving(least, 60.0)))["pressure-sag"].case
        for least in (20.0, 55.0)
    }
    assert cases == {"holds", "drops-out"}
