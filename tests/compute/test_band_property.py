"""No `ok` of the hottest water becomes false anywhere in its band, recomputed forward with CoolProp.

The forward way knows nothing of the rule: it draws a supply, an input, a true drop-out flow for every stage and an
inlet within what the site and its heater may be, turns the tap down, and takes the outlet from the enthalpy of
IAPWS-95.
"""

from __future__ import annotations

import datetime
import random
from dataclasses import dataclass

from CoolProp.CoolProp import PropsSI

from generator.compute.band import Band, band
from generator.compute.circuit.delivered import Powers
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.hottest import Circumstances, hottest_at_top, hottest_water
from generator.compute.heat.hottest_finding import hottest_water_finding
from generator.compute.heat.inlet import season
from generator.compute.heat.tankless_finding import tankless_finding
from generator.compute.plumbing import Plumbing
from generator.compute.use.allowed_reading import allowed_readings, kept_by_cut_out_k, open_limit_k
from generator.compute.use.fixture_limit import limits
from generator.model.figures import Finding
from generator.model.heater import HeaterModel
from generator.model.site import Site, VoltageRange
from generator.model.site_water import Climate, Inlet
from tests.compute.circuit_cases import basis
from tests.compute.wet_cases import BURNS, LIMITS, TOLERANCES, kelvin, with_water
from tests.compute.wet_random import random_model, random_site
from tests.sample import sample

DEFAULT_K, BAR = kelvin(120.0), 1e5
# By kind of fixture what plumbing codes allow [degF]: IPC (2021) 412.3, 412.5, 419.5, from memory.
CODED = {"shower": 120.0, "tub": 120.0, "public lavatory": 110.0}


@dataclass(frozen=True)
class Drawn:
    site: Site
    heater: HeaterModel
    code: str


def drawn(chance: random.Random) -> Drawn:
    site, code = random_site(chance), chance.choice(("us", "iec"))
    volts = chance.choice((120.0, 208.0, 230.0, 240.0))
    low, high = volts * chance.uniform(0.9, 1.0), volts * chance.uniform(1.0, 1.08)
    known = {"known_by": "recording of a week", "document": "r", "date": datetime.date(2026, 9, 1)}
    stated = VoltageRange(least_v=max(low, 100.0), greatest_v=high, **known) if chance.random() < 0.5 else None
    supply = site.supply.model_copy(update={"voltage_v": volts, "phases": 1, "voltage_range": stated})
    if chance.random() < 0.3:
        mean, swing = kelvin(chance.uniform(40.0, 75.0)), chance.uniform(10.0, 45.0) / 1.8
        site = with_water(site, inlet=Inlet(climate=Climate(annual_mean_k=mean, monthly_range_k=swing)))
    heater = unlike_stages(random_model(chance, site.heater), chance)
    rated = volts * chance.uniform(0.95, 1.05)
    rating = heater.ratings[0].model_copy(
        update={"voltage_v": rated, "phases": 1, "power_w": chance.uniform(1.0e3, 9.0e3)}
    )
    tolerance = chance.choice((None, 0.0, 0.03, 0.2))
    heater = heater.model_copy(update={"ratings": (rating,), "flow_tolerance": tolerance})
    return Drawn(site.model_copy(update={"supply": supply}), heater, code)


def held_low(one: Drawn) -> Drawn:
    """The same with a cut-out that opens far below the limit of sinks that state one."""
    water = one.heater.water.model_copy(update={"cut_out_k": kelvin(118.0), "greatest_outlet_k": kelvin(118.0)})
    sinks = [
        fixture.model_copy(update={"kind": "service sink", "limit_k": kelvin(140.0), "mixing_valve": None})
        for fixture in one.site.fixtures
    ]
    site = one.site.model_copy(update={"fixtures": tuple(sinks)})
    return Drawn(site, one.heater.model_copy(update={"water": water}), one.code)


def unlike_stages(heater: HeaterModel, chance: random.Random) -> HeaterModel:
    """The heater with stages of unlike shares, as often as not."""
    if chance.random() < 0.5:
        return heater
    parts = [chance.uniform(0.3, 1.0) for _ in heater.stages]
    pairs = zip(heater.stages, parts, strict=True)
    return heater.model_copy(
        update={"stages": tuple(stage.model_copy(update={"share": part / sum(parts)}) for stage, part in pairs)}
    )


def judged(one: Drawn) -> tuple[Finding, Band]:
    case = cased(one)
    return hottest_water_finding(case), case.band


def cased(one: Drawn) -> ThermalCase:
    site, heater, inlet = one.site, one.heater, season(one.site)
    ends = band(site, heater, inlet, service=basis(one.code).header.service_voltage, held_to=TOLERANCES)
    stated = hottest_water(heater, Circumstances(site.supply.voltage_v, 1, inlet.warmest_k), BURNS)
    return ThermalCase(
        site,
        heater,
        inlet,
        limits(site, heater, DEFAULT_K, code=LIMITS),
        Powers((), ()),
        windows=(),
        hottest=stated,
        at_top=hottest_at_top(heater, 1, band=ends, burns=BURNS),
        band=ends,
        default_limit_k=DEFAULT_K,
        plumbing=Plumbing(LIMITS, held=True),
        obstacles=((),) * len(site.fixtures),
        burns=BURNS,
    )


def lowest_limit_k(site: Site) -> float:
    stated = ((one.limit_k or DEFAULT_K, kelvin(CODED.get(one.kind, 999.0))) for one in site.fixtures)
    return min(min(pair) for pair in stated)


def hottest_met_k(one: Drawn, volts: float, taken: float, drop_out: list[float], inlet_k: float) -> float:
    """The hottest outlet while the tap is turned down, with any number of stages selected, up to the cut-out."""
    heater, met = one.heater, inlet_k
    density, cold = (PropsSI(what, "T", inlet_k, "P", BAR, "Water") for what in ("D", "H"))
    each = taken * heater.ratings[0].power_w * (volts / heater.ratings[0].voltage_v) ** 2
    for selected in range(1, len(drop_out) + 1):
        for flow in drop_out[:selected]:
            on = [n for n in range(selected) if drop_out[n] <= flow]
            warm = cold + sum(each * heater.stages[n].share for n in on) / (density * flow)
            boils = PropsSI("H", "P", BAR, "Q", 0, "Water")
            outlet_k = heater.water.cut_out_k if warm >= boils else PropsSI("T", "H", warm, "P", BAR, "Water")
            met = max(met, min(outlet_k, heater.water.cut_out_k))
    return float(met)


def in_use(one: Drawn) -> int:
    """How many stages may be on as the selector stands, if there is one."""
    every = len(one.heater.stages)
    return min(one.site.selected_stage or every, every) if one.heater.stage_selector else every


def within(chance: random.Random, least: float, greatest: float) -> float:
    """An end, or anything between."""
    return chance.choice((least, greatest, chance.uniform(least, greatest)))


def met_in_band_k(one: Drawn, ends: Band, chance: random.Random) -> float:
    flows = [stage.opens_at_m3_s * within(chance, ends.flows.least, ends.flows.greatest) for stage in one.heater.stages]
    volts = within(chance, ends.volts.least, ends.volts.greatest)
    taken = within(chance, ends.input.least, ends.input.greatest)
    inlet_k = within(chance, ends.warmest_k.least, ends.warmest_k.greatest)
    return hottest_met_k(one, volts, taken, flows, inlet_k)


def met_at_the_top_k(one: Drawn, ends: Band) -> float:
    """What is met where supply, input and inlet are at their greatest and every stage drops out at its least flow."""
    flows = [stage.opens_at_m3_s * ends.flows.least for stage in one.heater.stages]
    return hottest_met_k(one, ends.volts.greatest, ends.input.greatest, flows, ends.warmest_k.greatest)


def test_no_ok_of_the_hottest_water_becomes_false_anywhere_in_its_band() -> None:
    chance, cases, tried = random.Random(20261126), dict[str, int](), sample(300, 10_000)
    for number in range(tried):
        one = drawn(chance)
        found, ends = judged(one)
        cases[found.case] = cases.get(found.case, 0) + 1
        if found.severity == "ok":
            assert met_at_the_top_k(one, ends) <= lowest_limit_k(one.site) + 1e-3, f"site {number}"
            for _ in range(3):
                assert met_in_band_k(one, ends, chance) <= lowest_limit_k(one.site) + 1e-3, f"site {number}"
    print(f"{tried} sites: {cases}")
    assert cases["within"] > tried / 20 and cases["band"] + cases["band-any-supply"] > tried / 50


def test_no_ok_of_the_limit_for_tankless_heaters_becomes_false_anywhere_in_its_band() -> None:
    """IPC 501.6, read in adoptions: 140 degF, whatever the fixture and its valve."""
    chance, seen, tried = random.Random(20261127), 0, sample(100, 10_000)
    for number in range(tried):
        one = drawn(chance)
        case = cased(one)
        if tankless_finding(case).severity != "ok":
            continue
        seen += 1
        assert met_at_the_top_k(one, case.band) <= kelvin(140.0) + 1e-3, f"site {number}"
        for _ in range(2):
            assert met_in_band_k(one, case.band, chance) <= kelvin(140.0) + 1e-3, f"site {number}"
    assert seen > tried / 20


def test_where_only_the_band_passes_the_limit_the_stated_heater_keeps_it_and_the_adverse_end_does_not() -> None:
    chance, seen = random.Random(7), 0
    for _ in range(sample(400, 4000)):
        one = drawn(chance)
        found, ends = judged(one)
        if not found.case.startswith("band"):
            continue
        seen += 1
        stated = [stage.opens_at_m3_s for stage in one.heater.stages]
        bare = [fixture for fixture in one.site.fixtures if not fixture.mixing_valve]
        limit_k = lowest_limit_k(one.site.model_copy(update={"fixtures": tuple(bare)}))
        selected = in_use(one)
        least = [flow * ends.flows.least for flow in stated]
        nominal = hottest_met_k(one, ends.volts.nominal, 1.0, stated[:selected], ends.warmest_k.nominal)
        adverse = hottest_met_k(
            one, ends.volts.greatest, ends.input.greatest, least[:selected], ends.warmest_k.greatest
        )
        assert nominal <= limit_k + 1e-3
        held = adverse >= one.heater.water.cut_out_k - 1e-3
        assert adverse > limit_k - 1e-3 or held
    assert seen > 5


def test_the_voltage_up_to_which_the_limit_holds_is_where_it_is_just_met() -> None:
    chance, seen = random.Random(11), 0
    for _ in range(sample(400, 4000)):
        one = drawn(chance)
        found, ends = judged(one)
        holds = {value.symbol: value.value for value in found.values}.get("holds")
        if found.case != "band" or not isinstance(holds, float):
            continue
        seen += 1
        stated = [stage.opens_at_m3_s * ends.flows.least for stage in one.heater.stages]
        selected = in_use(one)
        bare = tuple(fixture for fixture in one.site.fixtures if not fixture.mixing_valve)
        limit_k = lowest_limit_k(one.site.model_copy(update={"fixtures": bare}))
        met_k = hottest_met_k(one, holds, ends.input.greatest, stated[:selected], ends.warmest_k.greatest)
        assert met_k <= min(limit_k, one.heater.water.cut_out_k) + 1e-2
        assert met_k >= min(limit_k, one.heater.water.cut_out_k) - 1e-2
    assert seen > 3


def test_a_site_that_is_ok_passes_its_proof_at_the_tap() -> None:
    """Whatever heater of the band hangs there, its hottest reading is never above the table of the readings allowed.

    Also where the cut-out alone keeps the limit.
    """
    chance, seen, kept = random.Random(16), 0, 0
    for number in range(sample(200, 2000)):
        one = drawn(chance) if number % 4 else held_low(drawn(chance))
        found, ends = judged(one)
        limit_k = open_limit_k(one.site, DEFAULT_K, LIMITS)
        if found.case != "within" or limit_k is None:
            continue
        held_k = kept_by_cut_out_k(one.heater, limit_k, BURNS)
        table = allowed_readings("site.t", one.site, ends, default_limit_k=DEFAULT_K, code=LIMITS, held_k=held_k)
        assert table
        seen, kept = seen + 1, kept + bool(held_k and "top_held" in {value.symbol for value in found.values})
        inlet, cells = chance.choice(table.rows)
        place = chance.randrange(len(cells))
        flows = [stage.opens_at_m3_s * within(chance, ends.flows.least, 1.0) for stage in one.heater.stages]
        taken, volts = within(chance, 1.0, ends.input.greatest), float(table.columns[place].value)
        reading_k = hottest_met_k(one, volts, taken, flows, float(inlet.value))
        assert reading_k <= float(cells[place].value or 0.0) + 2e-2
    assert seen > 20 and kept > 10
