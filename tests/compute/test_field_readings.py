"""Readings from the field on a four-stage unit: what the balance makes of them, with nothing tuned to fit."""

from __future__ import annotations

import pytest

from generator.compute.heat.balance import outlet_k, power_for_outlet_w
from tests.compute.heat_cases import source
from tests.compute.test_scald import basin, hottest_at, judge
from tests.compute.wet_cases import GPM, fahrenheit, kelvin

FIELD = source("field_readings")
READINGS = [tuple(row) for row in FIELD["readings"]]


def test_the_three_readings_at_stage_four_mean_one_power(capsys: pytest.CaptureFixture[str]) -> None:
    powers = [
        power_for_outlet_w(kelvin(inlet), kelvin(outlet), gpm * GPM)
        for gpm, inlet, stage, outlet in READINGS
        if stage == 4
    ]
    with capsys.disabled():
        print(f"\npower by the readings at stage 4: {', '.join(f'{power:.0f} W' for power in powers)}")
    assert len(powers) == 3
    assert max(powers) / min(powers) <= 1.0 + FIELD["powers_within"]
    low, high = FIELD["powers_about_w"]
    assert min(powers) == pytest.approx(low, abs=50.0)
    assert max(powers) == pytest.approx(high, abs=50.0)


def test_each_further_stage_adds_what_the_rule_of_thumb_roughly_says(capsys: pytest.CaptureFixture[str]) -> None:
    outlets = [outlet for gpm, _, _, outlet in READINGS if gpm == 2.0]
    stage_w = FIELD["supply_v"] * FIELD["stage_a"]
    for stage in (2, 3, 4):
        before, after = (
            fahrenheit(outlet_k(kelvin(54.0), 2.0 * GPM, stage_w * closed)) for closed in (stage - 1, stage)
        )
        predicted, measured = after - before, outlets[stage - 1] - outlets[stage - 2]
        with capsys.disabled():
            print(f"\nstage {stage} adds {measured:.1f} degF measured, {predicted:.2f} degF by 10 A at 220 V")
        assert measured == pytest.approx(predicted, rel=FIELD["added_rise_within"])


def test_only_the_scalding_reading_raises_the_finding_at_the_limit() -> None:
    limited = basin(FIELD["limit_f"])
    assert judge(hottest_at(*[FIELD["scalds_f"]] * 4), limited).severity == "stop"
    assert judge(hottest_at(*[FIELD["safe_f"]] * 4), limited).severity == "ok"
