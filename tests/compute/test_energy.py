"""What the heater uses at work, by hand: P × 60 s a minute, and P × minutes × 365 days, at a price a kilowatt hour."""

from __future__ import annotations

import pytest

from generator.compute.heat.stages import stage_powers_w
from generator.compute.use.energy import energy_figures
from generator.model.site import Tariff
from tests.compute.wet_cases import at_work, model, site


def test_a_minute_and_a_year_by_hand() -> None:
    """The packing house works at 9.6 kW, stage 4: 576 kJ = 0.16 kWh a minute; 90 minutes a day are 5256 kWh a year,
    which at 0.14 are 735.84."""
    place = site("packing-house")
    assert place.tariff == Tariff(price_per_kwh=0.14, currency="USD", minutes_a_day=90)
    powers = (2400.0, 4800.0, 7200.0, 9600.0)
    assert max(at_work(place).closed) == 4
    minute, year, cost = energy_figures("x", at_work(place), powers)
    assert minute.value == pytest.approx(576e3)
    assert year.value == pytest.approx(5256.0 * 3.6e6)
    assert cost.value == pytest.approx(735.84)
    assert [one.steps[-1].result.value for one in (minute, year, cost)] == [minute.value, year.value, cost.value]
    assert [value.value for value in year.steps[0].inputs] == [9600.0, 90, 365]
    assert cost.steps[1].inputs[1].value == 0.14


def test_without_a_tariff_only_the_minute_is_told() -> None:
    place = site("packing-house").model_copy(update={"tariff": None})
    powers = stage_powers_w(model(place.heater), 240.0, 1)
    (minute,) = energy_figures("x", at_work(place), powers)
    assert minute.id == "x.energy-a-minute"


def test_where_no_stage_turns_on_nothing_is_used() -> None:
    place = site("packing-house")
    still = tuple(one.model_copy(update={"flow_m3_s": 1e-6, "at_once": 1}) for one in place.fixtures)
    place = place.model_copy(update={"fixtures": still})
    at = at_work(place)
    assert not at.closed
    assert [one.value for one in energy_figures("x", at, (2400.0, 4800.0, 7200.0, 9600.0))] == [0.0, 0.0, 0.0]
