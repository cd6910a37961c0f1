"""The tables of a pocket page hold what the functions give that the site is computed and its record judged by."""

import math
from collections.abc import Iterator

import pytest
from CoolProp.CoolProp import PropsSI

from generator.build import Loaded
from generator.compute.heat.hottest import Circumstances, hottest_water
from generator.compute.known import Known, known
from generator.compute.record.expected import Day, expected
from generator.compute.record.pocket_tables import _allowed, pocket_tables
from generator.model.documents.pocket_tables import PocketTables
from generator.model.records import Expected
from tests.assemble.joint_sites import inputs
from tests.compute.record.phasors import by_phasors

GIVEN = inputs()
FITTING = [facts for site in GIVEN.sites if not (facts := known(site, GIVEN)).unfit]
RATIOS = (0.02, 0.5, 0.9, 1.0, 1.05, 1.6)


def tables(facts: Known) -> PocketTables:
    found = pocket_tables(facts)
    assert found is not None
    return found


def test_a_site_whose_supply_does_not_fit_has_none() -> None:
    unfit = [facts for site in GIVEN.sites if (facts := known(site, GIVEN)).unfit]
    assert unfit and {pocket_tables(facts) for facts in unfit} == {None}


def test_heat_by_inlet_and_outlet_is_that_of_water() -> None:
    """CoolProp, equation of state of Wagner and Pruss (IAPWS-95), at 0.1 MPa."""
    found, pascal = tables(FITTING[0]), 1e5
    for row, inlet_k in list(zip(found.heat_j_m3, found.temperatures_k, strict=True))[1:-1:4]:
        for heat, outlet_k in list(zip(row, found.temperatures_k, strict=True))[1:-1:3]:
            density = PropsSI("D", "T", inlet_k, "P", pascal, "Water")
            cold, hot = (PropsSI("H", "T", kelvin, "P", pascal, "Water") for kelvin in (inlet_k, outlet_k))
            assert heat == pytest.approx(density * (hot - cold), rel=1e-4, abs=50.0)


def rows(facts: Known, volts: float, item: str) -> Iterator[Expected]:
    day = Day(facts.heat.season.coldest_k, volts)
    return (row for row in expected(facts, day) if row.item == item)


def of(row: Expected) -> tuple[str, int, str]:
    return row.named("feed"), int(float(row.named("stage"))), row.named("line")


@pytest.mark.parametrize("facts", FITTING, ids=lambda facts: facts.at.site.id)
def test_amps_are_those_that_a_record_expects(facts: Known) -> None:
    found = tables(facts)
    for volts in (found.volts[0], facts.at.site.supply.voltage_v, found.volts[1]):
        asked = {of(row): row for row in rows(facts, volts, "amps")}
        lines = {
            (one.feed, stage.number, one.line): math.sqrt(math.fsum(one.squares_s2) * volts**2)
            for stage in found.stages
            for one in stage.lines
        }
        assert asked.keys() == lines.keys()
        for key, row in asked.items():
            assert row.value is not None and row.least is not None and row.greatest is not None
            assert lines[key] == pytest.approx(row.value.value)
            assert lines[key] * found.input[0] == pytest.approx(row.least.value)
            assert lines[key] * found.input[1] == pytest.approx(row.greatest.value)


@pytest.mark.parametrize("facts", FITTING, ids=lambda facts: facts.at.site.id)
def test_amps_of_unequal_pairs_are_those_of_phasors(facts: Known) -> None:
    """Kirchhoff: the volts of three pairs as sides of a triangle in the plane, each element its conductance times its
    own volts, each line the sum of what its elements bring it, in complex numbers; on one pair Ohm alone."""
    found = tables(facts)
    nominal = facts.at.site.supply.voltage_v
    volts = tuple(nominal * part for part in (0.97, 1.02, 0.93)[: len(found.pairs)])
    for stage in found.stages:
        power_w = 0.0
        for circuit in facts.circuits:
            amps, watts = by_phasors(circuit, stage.number, volts)
            power_w += watts
            told = [one for one in stage.lines if one.feed == circuit.load.name]
            for one, expected_a in zip(told, amps, strict=True):
                squared = math.fsum(weight * volt**2 for weight, volt in zip(one.squares_s2, volts, strict=True))
                assert math.sqrt(max(squared, 0.0)) == pytest.approx(expected_a, rel=1e-9, abs=1e-9)
        told_w = math.fsum(weight * volt**2 for weight, volt in zip(stage.power_s, volts, strict=True))
        assert told_w == pytest.approx(power_w, rel=1e-9)


@pytest.mark.parametrize("facts", FITTING, ids=lambda facts: facts.at.site.id)
@pytest.mark.parametrize("ratio", RATIOS)
def test_the_hottest_water_is_found_where_the_handbook_finds_it(facts: Known, ratio: float) -> None:
    heat, supply, found = facts.heat, facts.at.site.supply, tables(facts)
    power = ratio * (heat.band.volts.greatest / supply.voltage_v) ** 2
    on = Circumstances(supply.voltage_v, supply.phases, found.summer_k, power, heat.band.flows.least)
    one = hottest_water(facts.at.model, on, heat.burns)[heat.selected - 1]
    if not one.held:
        assert ratio * found.summer_j_m3 == pytest.approx(one.power_w / one.flow_m3_s)


@pytest.mark.parametrize("facts", FITTING, ids=lambda facts: facts.at.site.id)
def test_what_is_told_as_unusual_lies_beyond_what_the_site_states(facts: Known) -> None:
    """Supply as a record asks for it; inlet, and the flow at which one more stage is on for certain, beyond it."""
    found, site, season = tables(facts), facts.at.site, facts.heat.season
    (volts, *_) = rows(facts, site.supply.voltage_v, "volts")
    assert volts.least is not None and volts.greatest is not None
    assert found.supply_v == (volts.least.value, volts.greatest.value)
    assert found.volts[0] < found.supply_v[0] < site.supply.voltage_v < found.supply_v[1] < found.volts[1]
    assert found.inlet_k[0] <= season.coldest_k < season.warmest_k <= found.inlet_k[1] == found.summer_k
    assert facts.at.model.water.greatest_outlet_k < found.cut_out_k == facts.at.model.water.cut_out_k
    for stage, following in zip(found.stages, facts.at.model.stages[1:], strict=False):
        if stage.next_on_m3_s is not None:
            assert stage.next_on_m3_s > following.closes_at_m3_s
    for stage in found.stages:
        unread = [(one.feed, one.line, one.unread_a) for one in stage.lines]
        full = [by_phasors(one, stage.number, (site.supply.voltage_v,) * len(found.pairs))[0] for one in facts.circuits]
        for (feed, line, amps), most in zip(unread, [amps for feed_a in full for amps in feed_a], strict=True):
            assert 0.9 * most <= amps <= most * (1.0 + 1e-9), (feed, line)  # what the wire leaves of it


def test_where_the_cut_out_keeps_the_limit_a_reading_may_reach_it() -> None:
    """A limit above the cut-out and what it overshoots by: whatever is read up to there, the limit is kept."""
    facts = FITTING[0]
    cut_out_k = facts.at.model.water.cut_out_k
    kept, not_kept = (_allowed(facts.heat, limit_k) for limit_k in (cut_out_k + 5.0, cut_out_k - 15.0))
    assert kept is not None and kept.held_k == cut_out_k
    assert not_kept is not None and not_kept.held_k == 0.0


def test_an_inlet_that_was_estimated_may_lie_beyond_the_estimate(loaded: Loaded) -> None:
    """5 degF to either side: site_data/tolerances.yaml, common practice, no source."""
    site = next(one for one in loaded.inputs.sites if one.water.inlet.method == "climate")
    facts = known(site, loaded.inputs)
    ends = facts.heat.season.coldest_k - 5.0 / 1.8, facts.heat.season.warmest_k + 5.0 / 1.8
    assert tables(facts).inlet_k == pytest.approx(ends)


@pytest.mark.parametrize("facts", FITTING, ids=lambda facts: facts.at.site.id)
def test_power_goes_with_the_square_of_the_volts(facts: Known) -> None:
    """Ohm and Joule; below the drop-out of a stage it cannot be on."""
    found = tables(facts)
    for stage, powers_w in zip(found.stages, facts.heat.powers.full_w, strict=False):
        for volts in found.volts:
            power_w = math.fsum(stage.power_s) * volts**2
            assert power_w == pytest.approx(powers_w * (volts / facts.at.site.supply.voltage_v) ** 2)
        opens = [one.opens_at_m3_s for one in facts.at.model.stages[: stage.number]]
        assert stage.drops_out_m3_s == pytest.approx(max(opens) * facts.heat.band.flows.least)
        assert stage.unread_w <= powers_w * (1.0 + 1e-9)


def test_a_volume_may_take_up_what_leads_from_the_warmest_inlet_to_the_limit() -> None:
    """CoolProp at 0.1 MPa, one cubic meter metered at the inlet."""
    heat, pascal = FITTING[0].heat, 1e5
    inlet_k, limit_k = heat.band.warmest_k.greatest, heat.band.warmest_k.greatest + 30.0
    density = PropsSI("D", "T", inlet_k, "P", pascal, "Water")
    cold, hot = (PropsSI("H", "T", kelvin, "P", pascal, "Water") for kelvin in (inlet_k, limit_k))
    found = _allowed(heat, limit_k)
    assert found is not None
    assert found.heat_j_m3 == pytest.approx(density * (hot - cold), rel=1e-4)


@pytest.mark.parametrize("facts", FITTING, ids=lambda facts: facts.at.site.id)
def test_a_stage_turns_on_and_drops_out_no_farther_off_than_its_switch_may_be(facts: Known) -> None:
    """Drop-out at the least of the band, the next on at the greatest; with a selector nothing turns on by itself."""
    stages, flows = facts.at.model.stages, facts.heat.band.flows
    for found in tables(facts).stages:
        opens = max(stage.opens_at_m3_s for stage in stages[: found.number])
        assert found.drops_out_m3_s == pytest.approx(opens * flows.least)
        if facts.at.model.stage_selector or found.number == len(stages):
            assert found.next_on_m3_s is None
        else:
            assert found.next_on_m3_s == pytest.approx(stages[found.number].closes_at_m3_s * flows.greatest)
