"""What the band leaves of a site's promises: the margin of a window to the limit, and the shortfall of the target.

A window is published for the heater as stated; at the top of its band the same flow comes out hotter.
"""

from __future__ import annotations

from generator.compute.band import Band
from generator.compute.flow.operating_point import Operating
from generator.compute.heat import balance as heating
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.window import Window
from generator.model.figures import Figure, Step, Value
from generator.model.said import because, say
from generator.model.state import State


def margin_figure(prefix: str, window: Window, case: ThermalCase) -> Figure | None:
    """Return what is left to the limit [K] at a window's least flow at the top of the band; None for one without flows.

    Below zero, with state "above-limit", where the water is hotter then. Id `<prefix>.window.<n>.margin`.
    """
    if not window.usable:
        return None
    band, limits, flow_m3_s = case.band, case.limits, window.least.flow_m3_s
    power_w, inlet_k = band.power.greatest * case.powers.full_w[window.number - 1], band.warmest_k.greatest
    cut_out_k = case.model.water.cut_out_k
    outlet_k = max(inlet_k, heating.capped_outlet_k(inlet_k, flow_m3_s, power_w, ceiling_k=cut_out_k))
    margin_k = limits.allowed_k - outlet_k
    outlet = Value("T_out", outlet_k, "temperature", "at_least")
    power, flow = Value("P_top", power_w, "power"), Value("Q_least", flow_m3_s, "flow")
    steps = (
        _power_step(case.powers.full_w[window.number - 1], power, band),
        heating.outlet_step(heating.inlet_values(inlet_k), power, flow, outlet=outlet),
        Step(
            say("margin-to-limit"),
            (Value("T_limit", limits.limit_k, "temperature", "at_most"), _greatest_outlet(case), outlet),
            Value("margin", margin_k, "temperature_difference", "at_most"),
            heating.BALANCE,
            "" if outlet_k < cut_out_k else say("cut-out-holds"),
        ),
    )
    label = say("margin", stage=window.number)
    state: State = "ok" if margin_k >= 0.0 else "above-limit"
    return Figure(
        f"{prefix}.window.{window.number}.margin", label, margin_k, "temperature_difference", "at_most", steps, state
    )


def _greatest_outlet(case: ThermalCase) -> Value:
    return Value(say("greatest-outlet-symbol"), case.limits.greatest_outlet_k, "temperature", "at_most")


def _power_step(full_w: float, power: Value, band: Band) -> Step:
    inputs = (
        Value("P", full_w, "power"),
        Value("input", band.input.greatest, "ratio", "at_least"),
        Value("V_max", band.volts.greatest, "voltage"),
        Value("V", band.volts.nominal, "voltage"),
    )
    return Step("P_top = P × input × (V_max ÷ V)²", inputs, power, heating.JOULE)


def shortfall_figure(prefix: str, at: Operating, case: ThermalCase) -> Figure:
    """Return by how much [K] the outlet misses the target at the coldest inlet, the working flow and the least supply.

    With what the voltage drop leaves of the power; zero where it is reached, none where no stage is on. Id
    `<prefix>.target-shortfall`.
    """
    id_, label = f"{prefix}.target-shortfall", say("short-of-target")
    closed, band = at.closed, case.band
    if not closed:
        why: State = at.why_off(at.working_m3_s) or "not-on"
        return Figure(id_, label, None, "temperature_difference", "at_least", (), why, because(why))
    reach_w, volts = case.powers.reach_w[max(closed) - 1], band.volts
    power_w = reach_w * (volts.least / volts.nominal) ** 2
    inlet_k, target_k, cut_out_k = case.season.coldest_k, case.limits.target_k, case.model.water.cut_out_k
    outlet_k = heating.capped_outlet_k(inlet_k, at.working_m3_s, power_w, ceiling_k=cut_out_k)
    short_k = max(0.0, target_k - outlet_k)
    power, outlet = Value("P_min", power_w, "power"), Value("T_out", outlet_k, "temperature", "at_most")
    supply = (
        Value("P", reach_w, "power"),
        Value("V_min", volts.least, "voltage"),
        Value("V", volts.nominal, "voltage"),
    )
    flow, target = Value("Q", at.working_m3_s, "flow"), Value("T_target", target_k, "temperature")
    result = Value("short", short_k, "temperature_difference", "at_least")
    steps = (
        Step("P_min = P × (V_min ÷ V)²", supply, power, heating.JOULE, say("after-drop")),
        heating.outlet_step(heating.inlet_values(inlet_k), power, flow, outlet=outlet),
        Step("short = max(0, T_target − T_out)", (target, outlet), result, heating.BALANCE),
    )
    state: State = "below-target" if short_k > 0.0 else "ok"
    return Figure(id_, label, short_k, "temperature_difference", "at_least", steps, state)
