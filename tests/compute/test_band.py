"""The band of a site, held against the published ranges.

ANSI C84.1 (2020), table 1, Range A, service voltage: 114 to 126 V of 120, 228 to 252 V of 240. IEC 60038 (2009), table
1: 230 V within 10 %. IEC 60335-1 (2010) 10.1, table 1: input 5 % above to 10 % below. All from memory.
"""

from __future__ import annotations

import pytest

from generator.compute.band import Band, band
from generator.compute.circuit.fit.supply_match import supply_voltage
from generator.compute.circuit.supply_connection import connect
from generator.compute.heat.inlet import season
from generator.model.heater import HeaterModel
from generator.model.site import Site
from tests.compute.circuit_cases import basis, plain
from tests.compute.wet_cases import DATA, TOLERANCES, model, site

KNOWN = {"known_by": "recording of a week", "document": "recorder 3", "date": "2026-09-14"}


def stating(name: str, least: str, greatest: str) -> Site:
    data = plain(DATA / "sites" / f"{name}.yaml")
    data["supply"]["voltage_range"] = {"least": least, "greatest": greatest} | KNOWN
    return Site.model_validate(data)


def of(place: Site, code: str = "us", heater: HeaterModel | None = None) -> Band:
    service = basis(code).header.service_voltage
    return band(place, heater or model(place.heater), season(place), service=service, held_to=TOLERANCES)


@pytest.mark.parametrize(
    ("name", "code", "ends"),
    [
        ("potting-shed", "us", (114, 120, 126)),
        ("packing-house", "us", (228, 240, 252)),
        ("seedling-house", "iec", (207, 230, 253)),
    ],
)
def test_a_supply_that_nobody_recorded_is_in_the_service_range(name: str, code: str, ends: tuple[float, ...]) -> None:
    place = site(name)
    place = place.model_copy(update={"supply": place.supply.model_copy(update={"voltage_range": None})})
    volts = of(place, code).volts
    assert (volts.least, volts.nominal, volts.greatest) == pytest.approx(ends)


def test_a_stated_range_takes_its_place() -> None:
    volts = of(stating("bunkhouse", "233 V", "246 V")).volts
    assert (volts.least, volts.nominal, volts.greatest) == (233.0, 240.0, 246.0)


def test_power_goes_with_the_input_and_the_square_of_the_volts() -> None:
    """By hand: 1.05 x (252/240)^2 = 1.157625; 0.9 x (228/240)^2 = 0.81225."""
    power = of(site("bunkhouse")).power
    assert (power.least, power.nominal, power.greatest) == pytest.approx((0.81225, 1.0, 1.157625))


def test_only_an_estimated_inlet_has_a_margin() -> None:
    estimated, measured = of(site("creamery")), of(site("farm-stand"))
    assert estimated.warmest_k.greatest - estimated.warmest_k.nominal == pytest.approx(5.0 / 1.8)
    assert estimated.coldest_k.nominal - estimated.coldest_k.least == pytest.approx(5.0 / 1.8)
    for ends in (measured.coldest_k, measured.warmest_k):
        assert ends.least == ends.nominal == ends.greatest


@pytest.mark.parametrize(("own", "within"), [(None, 0.10), (0.03, 0.03), (0.0, 0.0)])
def test_the_switching_flows_have_the_tolerance_of_their_model(own: float | None, within: float) -> None:
    place, heater = site("bunkhouse"), model("beck-9").model_copy(update={"flow_tolerance": own})
    flows = of(place, heater=heater).flows
    assert (flows.least, flows.greatest) == pytest.approx((1.0 - within, 1.0 + within))


@pytest.mark.parametrize(
    ("code", "volts", "severity"),
    [
        ("us", 0.95, "ok"),
        ("us", 0.949, "attention"),
        ("us", 1.051, "attention"),
        ("iec", 0.90, "ok"),
        ("iec", 0.899, "attention"),
        ("iec", 1.10, "ok"),
        ("iec", 1.101, "stop"),
    ],
)
def test_a_supply_is_ordinary_in_the_same_range(code: str, volts: float, severity: str) -> None:
    place, rules = site("potting-shed" if code == "us" else "seedling-house"), basis(code)
    heater = model(place.heater)
    rated = heater.ratings[0].voltage_v
    at = connect(heater, heater.ratings[0], volts * rated, to_neutral=())
    found = supply_voltage(at, rules.rules.sources, rules.header.service_voltage)
    assert found.severity == severity
