"""What the band leaves of a window and of the target, by the balance of energy with CoolProp's water."""

from __future__ import annotations

from dataclasses import replace

import pytest
from CoolProp.CoolProp import PropsSI

from generator.build import Loaded
from generator.compute.heat.figures.margin import margin_figure, shortfall_figure
from generator.compute.known import Known, known
from generator.compute.site import compute_site
from generator.model.documents.walk import walk
from generator.model.figures import Figure, Value
from tests.finding_texts import speaker


def outlet_k(inlet_k: float, flow_m3_s: float, power_w: float) -> float:
    mass = flow_m3_s * PropsSI("D", "T", inlet_k, "P", 1e5, "Water")
    enthalpy = PropsSI("H", "T", inlet_k, "P", 1e5, "Water") + power_w / mass
    return float(PropsSI("T", "H", enthalpy, "P", 1e5, "Water"))


def at(loaded: Loaded, name: str) -> Known:
    """A site of the demo without its records: of one that was measured the input is the measured one."""
    return known(next(site for site in loaded.inputs.sites if site.id == name), replace(loaded.inputs, records=()))


def margin(facts: Known, number: int) -> Figure:
    found = margin_figure("x", facts.heat.windows[number - 1], facts.heat)
    assert found is not None
    return found


def test_the_margin_of_a_window_at_the_top_of_the_band(loaded: Loaded) -> None:
    """Supply at 244 of 240 V, as stated, and input 5 % above, at the least flow, from the warmest inlet."""
    facts = at(loaded, "packing-house")
    for number in (1, 2, 3, 4):
        window = facts.heat.windows[number - 1]
        if not window.usable:
            continue
        top_w = 1.05 * (244.0 / 240.0) ** 2 * facts.heat.powers.full_w[number - 1]
        hot_k = outlet_k(facts.heat.season.warmest_k, window.least.flow_m3_s, top_w)
        assert hot_k < facts.at.model.water.cut_out_k
        left_k = facts.heat.limits.allowed_k - hot_k
        found = margin(facts, number)
        assert found.value == pytest.approx(left_k, abs=0.02)
        assert (found.state, found.side) == ("ok" if left_k >= 0.0 else "above-limit", "down")


def test_the_band_empties_no_window(loaded: Loaded) -> None:
    """One that is too hot at the top of the band is published as it is for the heater as stated, with what it lacks."""
    met = set()
    for site in loaded.inputs.sites:
        facts = known(site, loaded.inputs)
        for window, shown in zip(facts.heat.windows, compute_site(site, loaded.inputs).windows, strict=True):
            assert (shown.why_empty is None) is window.usable
            assert (shown.margin is not None) is window.usable
            met |= {shown.margin.state if shown.margin else "none"}
    assert met == {"none", "ok", "above-limit"}


def test_the_target_is_missed_at_the_least_supply(loaded: Loaded) -> None:
    """233 V of 240, as stated: 0.9425 of the power; what the drop leaves of it at 1.4 gpm."""
    facts = at(loaded, "packing-house")
    cold_k = facts.heat.season.coldest_k
    reached_k = outlet_k(cold_k, facts.at.working_m3_s, (233.0 / 240.0) ** 2 * facts.heat.powers.reach_w[3])
    found = shortfall_figure("x", facts.at, facts.heat)
    assert found.value == pytest.approx(facts.heat.limits.target_k - reached_k, abs=0.02)
    assert (found.state, found.side) == ("below-target", "up")
    modest = replace(facts.heat, limits=replace(facts.heat.limits, target_k=reached_k - 1.0))
    enough = shortfall_figure("x", facts.at, modest)
    assert (enough.value, enough.state) == (0.0, "ok")


def test_no_shortfall_where_no_stage_is_on(loaded: Loaded) -> None:
    facts = at(loaded, "packing-house")
    trickle = replace(facts.at, wanted_m3_s=0.1 * facts.at.model.stages[0].closes_at_m3_s)
    found = shortfall_figure("x", trickle, facts.heat)
    assert (found.value, found.state) == (None, "not-on")
    assert speaker().worded(found).reason == "no stage turns on at this flow"


def test_the_inlets_of_a_site_are_shown_in_one_way(loaded: Loaded) -> None:
    """A stated value that is shared has one text: to the nearest, not down here and up there."""
    for result in loaded.results.sites:
        shared = {result.winter_inlet.value, result.summer_inlet.value}
        shown = replace(result, allowed=None)  # its rows are looked up with a reading, and round to be safe
        figures = [figure.side for figure in walk(shown, Figure) if figure.value in shared]
        values = [value.side for value in walk(shown, Value) if value.value in shared]
        assert len(figures) >= 2 and len(values) > 10
        assert {*figures, *values} == {"nearest"}, result.id


def test_the_limit_holds_up_to_a_voltage_beyond_the_supply_exactly_where_it_holds_in_the_whole_band(
    loaded: Loaded,
) -> None:
    """More volts are more heat (Joule): the greatest supply keeps the limit where it lies below that voltage only."""
    kept = []
    for site in loaded.results.sites:
        (found,) = [one for one in site.findings if one.rule == "hottest-water"]
        shown = {value.symbol: value.value for value in found.values}
        top_k = shown.get("top", shown.get("top_held"))
        if "holds" in shown:
            kept.append(found.case)
            assert (float(shown["holds"]) >= float(shown["supply"])) is (float(top_k) <= float(shown["limit"])), site.id
        elif found.case == "within":
            assert "top_held" in shown, site.id
    assert {"within", "band-any-supply"} <= set(kept)
