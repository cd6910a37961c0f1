"""The working of the pressure at the heater: from the supply, along cold runs and devices, to the switches."""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.flow.heater_loss import CURVE_SOURCE, SCREEN_SOURCE
from generator.compute.flow.pipes.friction import SOURCE as FRICTION_SOURCE
from generator.compute.flow.pipes.run import PipeRun
from generator.compute.flow.pipes.stated_loss import SOURCE as LOSS_SOURCE
from generator.compute.flow.pipes.stated_loss import StatedLoss
from generator.compute.flow.supply_pressure import SOURCE as TEST_SOURCE
from generator.compute.flow.supply_pressure import fall_pa
from generator.compute.flow.waterway import Waterway
from generator.compute.sources import sources
from generator.model.figures import Step, Value
from generator.model.said import say
from generator.si import added

BALANCE = say("pressure-balance")


def pressure_steps(way: Waterway, flow_m3_s: float) -> tuple[Step, ...]:
    """Return the working of the pressure at the heater's switches at a flow."""
    steps = [*_supply_steps(way, flow_m3_s), *(step for run in way.cold for step in _run_steps(way, run, flow_m3_s))]
    lift = Value("Δz", added(run.rise_m for run in way.cold), "length")
    static = Value("p_static", way.static_pa, "pressure", "at_most")
    at_heater = Value("p_inlet", way.at_heater(flow_m3_s), "pressure", "at_most")
    losses = tuple(step.result for step in steps)
    held = any(device.regulates for run in way.cold for device in run.devices)
    summed = " − ".join(("p_static", "ρ g Δz", *(loss.symbol for loss in losses)))
    note = say("behind-regulator") if held else ""
    steps.append(Step(f"p_inlet = {summed}", (static, lift, *losses), at_heater, BALANCE, note))
    return (*steps, _screen_step(way, flow_m3_s, at_heater))


def rest_step(way: Waterway) -> Step:
    """Return the working of the pressure at the heater with no flow."""
    lift = Value("Δz", added(run.rise_m for run in way.cold), "length")
    inputs = Value("p_static", way.static_pa, "pressure", "at_least"), lift
    held = tuple(
        Value("p_regulator", device.outlet_pa, "pressure", "at_least")
        for run in way.cold
        for device in run.devices
        if device.regulates
    )
    formula = say("rest-behind-regulator") if held else "p = p_static − ρ g Δz"
    result = Value("p", way.at_heater(0.0), "pressure", "at_least")
    return Step(formula, (*inputs, *held), result, BALANCE)


def _supply_steps(way: Waterway, flow_m3_s: float) -> Iterator[Step]:
    """Yield the working of what the supply falls by as water runs, where it is tested."""
    test = way.flow_test
    if test is not None:
        inputs = (
            Value("p_test", test.static_pa, "pressure"),
            Value("p_residual", test.residual_pa, "pressure"),
            Value("Q", flow_m3_s, "flow"),
            Value("Q_test", test.flow_m3_s, "flow"),
        )
        fall = Value("Δp_supply", fall_pa(test, flow_m3_s), "pressure", "at_least")
        formula = "Δp_supply = (p_test − p_residual) × (Q / Q_test)^1.85"
        yield Step(
            formula, inputs, fall, TEST_SOURCE, say("tested", document=test.document, date=test.date.isoformat())
        )


def _run_steps(way: Waterway, run: PipeRun, flow_m3_s: float) -> Iterator[Step]:
    """Yield the working of what the devices of a run lose, and of what its pipe does."""
    for place, device in enumerate(run.devices, start=1):
        yield loss_step(f"Δp_{run.number}.{place}", device, flow_m3_s)
    loss = Value(f"Δp_{run.number}", way.friction_pa(run, flow_m3_s), "pressure", "at_least")
    inputs = (
        Value("T", way.water_k, "temperature"),
        Value("ρ", way.density_kg_m3, "density"),
        Value("μ", way.viscosity_pa_s, "viscosity"),
        Value("Q", flow_m3_s, "flow"),
        Value("D", run.bore_m, "length", "at_most"),
        Value("L", run.length_m, "length"),
        Value("L_fittings", run.fitting_lengths * run.bore_m, "length"),
        Value("K", run.fitting_heads, "number"),
        Value("v", run.velocity_m_s(flow_m3_s), "velocity"),
    )
    formula = f"Δp_{run.number} = (f × (L + L_fittings) / D + K) × ρ v² / 2"
    note = say("run-from", run=run.label, size=run.size, material=run.material.title, source=run.sizes_from)
    yield Step(formula, inputs, loss, FRICTION_SOURCE, note)


def loss_step(symbol: str, device: StatedLoss, flow_m3_s: float) -> Step:
    """Return the working of what a device with a stated loss loses at a flow."""
    stated = device.device
    inputs = (
        Value("Δp_stated", stated.loss_pa, "pressure", "at_least"),
        Value("Q", flow_m3_s, "flow"),
        Value("Q_stated", stated.flow_m3_s, "flow"),
        Value("n", device.exponent(flow_m3_s), "number"),
    )
    result = Value(symbol, device.loss_pa(flow_m3_s), "pressure", "at_least")
    return Step(f"{symbol} = Δp_stated × (Q / Q_stated)^n", inputs, result, LOSS_SOURCE, stated.name)


def _screen_step(way: Waterway, flow_m3_s: float, at_heater: Value) -> Step:
    inputs = (
        at_heater,
        Value("Δp_clean", way.heater.clean_pa(flow_m3_s), "pressure", "at_least"),
        Value(say("free-area"), way.heater.screen_open, "ratio", "at_most"),
    )
    result = Value("p", way.at_switches(flow_m3_s), "pressure", "at_most")
    return Step(say("behind-screen"), inputs, result, sources(SCREEN_SOURCE, CURVE_SOURCE))
