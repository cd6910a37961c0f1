"""Processor time of the thermal side: outlet tables, windows and hottest water of the demo sites, and one outlet."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from recorded import Measured, cpu_ms_each

from generator.compute.heat.balance import outlet_k
from generator.compute.heat.figures.outlet import outlet_table
from generator.compute.heat.figures.window import window_figures
from generator.compute.heat.hottest import Circumstances, hottest_water
from generator.compute.heat.inlet import Season
from generator.compute.heat.outlet import Heated, outlet_grid_k
from generator.compute.heat.stages import stage_powers_w
from generator.compute.heat.window import StagePower, flow_window
from generator.compute.use.fixture_limit import Limits
from generator.model.figures import Value
from generator.model.water_results import FlowBounds
from tests.compute.wet_cases import BURNS, GPM, SITES, TOLERANCES, kelvin, model, site

FLOWS = [GPM * (0.5 + 0.25 * n) for n in range(8)]
HEADS = [Value("Q", flow, "flow") for flow in FLOWS]
WINTER, SUMMER, TARGET, LIMIT = kelvin(50.0), kelvin(70.0), kelvin(95.0), kelvin(120.0)
CASES = [(model(site(name).heater), site(name).supply) for name in SITES]
SEASON = Season(WINTER, SUMMER)
POWERS = [stage_powers_w(heater, supply.voltage_v, supply.phases) for heater, supply in CASES]


def tables() -> None:
    for (heater, _), powers in zip(CASES, POWERS, strict=True):
        for inlet in (WINTER, SUMMER):
            outlet_table("t", "T", Heated(heater, powers, inlet, LIMIT), heads=HEADS)


def arrays() -> None:
    for powers in POWERS:
        for inlet in (WINTER, SUMMER):
            outlet_grid_k(inlet, FLOWS, np.tile(powers, (len(FLOWS), 1)), ceiling_k=LIMIT)


def windows() -> None:
    for (heater, _), powers in zip(CASES, POWERS, strict=True):
        limits = Limits(TARGET, LIMIT, heater.water.greatest_outlet_k)
        for number, (power, stage) in enumerate(zip(powers, heater.stages, strict=True), start=1):
            found = flow_window(
                stage,
                StagePower(number, power, power),
                SEASON,
                limits=limits,
                given=FlowBounds((), ()),
                setting=TOLERANCES.setting,
            )
            window_figures("t", found)


def hottest() -> None:
    for heater, supply in CASES:
        hottest_water(heater, Circumstances(supply.voltage_v, supply.phases, SUMMER), BURNS)


if __name__ == "__main__":
    cells = 2 * len(FLOWS) * sum(map(len, POWERS))
    with Measured(__file__) as measured:
        for what, work, number in (
            (f"outlet tables of {len(CASES)} sites, 2 seasons, {cells} cells with working", tables, 20),
            (f"the same {cells} outlets without working, by arrays", arrays, 20),
            (f"flow windows of {len(CASES)} sites", windows, 20),
            (f"hottest water of {len(CASES)} sites", hottest, 20),
            ("one outlet", lambda: outlet_k(WINTER, GPM, 9600.0), 2000),
        ):
            measured.report(what, cpu_ms_each(work, number=number), "ms")
