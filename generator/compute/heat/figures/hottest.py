"""The hottest water while throttling, with its working, as stated and at the top of the band."""

from __future__ import annotations

import math
from dataclasses import replace

from generator.compute.band import Band
from generator.compute.heat import balance as heating
from generator.compute.heat.hottest import Hottest
from generator.compute.heat.water import BOILING_K
from generator.model.figures import Figure, Step, Value


def hottest_figure(prefix: str, hottest: Hottest, inlet_k: float, *, cut_out_k: float) -> Figure:
    """Return the hottest water with its working, the inlet and the model's cut-out given [K].

    Id `<prefix>.hottest.<n>`; state "at-cut-out" where only the cut-out holds it.
    """
    inlet, outlet_k = heating.inlet_values(inlet_k), hottest.temperature_k
    power, flow = Value("P", hottest.power_w, "power"), Value("Q", hottest.flow_m3_s, "flow", "down")
    outlet = Value("T", outlet_k, "temperature", "up")
    id_, label = (
        f"{prefix}.hottest.{hottest.number}",
        f"Hottest water while throttling, {hottest.number} stages selected",
    )
    if not hottest.held:
        step, reason = (
            heating.outlet_step(inlet, power, flow, outlet=outlet),
            "just above the flow at which a stage opens",
        )
        return Figure(id_, label, outlet_k, "temperature", "up", (step,), reason=reason)
    formula = "T = T_cut-out, since h(T_in) + P / (ρ(T_in) × Q) ≥ h(T_cut-out)"
    cut_out = Value("T_cut-out", cut_out_k, "temperature", "up")
    step = Step(formula, (*inlet, power, flow, cut_out), outlet, heating.BALANCE)
    reason = "this or hotter, held by the cut-out alone"
    return Figure(id_, label, outlet_k, "temperature", "up", (step,), "at-cut-out", reason)


def with_band(figure: Figure, coolest: Hottest, top: Hottest) -> Figure:
    """Return the figure with both ends of its band; held by the cut-out, the hotter row by which it is judged."""
    high_k = top.judged_k if math.isfinite(top.judged_k) else BOILING_K
    return replace(figure, band=(coolest.temperature_k, high_k))


def top_figure(prefix: str, top: Hottest, *, band: Band, cut_out_k: float) -> Figure:
    """Return the hottest water at the top of the band, with its working; id `<prefix>.hottest.<n>.top`."""
    figure = hottest_figure(prefix, top, band.warmest_k.greatest, cut_out_k=cut_out_k)
    volts, taken = band.volts, band.input
    step = Step(
        "P_top ÷ P = input × (V_greatest ÷ V)²",
        (
            Value("input", taken.greatest, "ratio", "up"),
            Value("V_greatest", volts.greatest, "voltage"),
            Value("V", volts.nominal, "voltage"),
        ),
        Value("P_top ÷ P", band.power.greatest, "ratio", "up"),
        heating.JOULE,
        "at the greatest voltage and input, the warmest inlet and the least drop-out flows",
    )
    label = f"{figure.label}, at the top of the band"
    return replace(figure, id=f"{figure.id}.top", label=label, steps=(step, *figure.steps))
