"""The hottest water while throttling, with its working."""

from __future__ import annotations

from generator.compute.heat import balance as heating
from generator.compute.heat.hottest import Hottest
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
