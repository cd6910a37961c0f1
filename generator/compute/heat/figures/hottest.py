"""The hottest water while throttling, with its working, as stated and at the top of the band."""

from __future__ import annotations

import math
from dataclasses import replace

from generator.compute.band import Band
from generator.compute.heat import balance as heating
from generator.compute.heat.hottest import Hottest
from generator.compute.heat.water import BOILING_K
from generator.compute.sources import NAMEPLATE
from generator.model.figures import Figure, Step, Value
from generator.model.said import say


def hottest_figure(prefix: str, hottest: Hottest, inlet_k: float, *, cut_out_k: float) -> Figure:
    """Return the hottest water with its working, the inlet and the model's cut-out given [K].

    Id `<prefix>.hottest.<n>`; state "at-cut-out" where only the cut-out holds it.
    """
    inlet, outlet_k = heating.inlet_values(inlet_k), hottest.temperature_k
    power, flow = Value("P", hottest.power_w, "power"), Value("Q", hottest.flow_m3_s, "flow", "at_most")
    outlet = Value("T", outlet_k, "temperature", "at_least")
    id_, label = f"{prefix}.hottest.{hottest.number}", say("hottest", stages=hottest.number)
    if not hottest.held:
        step = heating.outlet_step(inlet, power, flow, outlet=outlet)
        return Figure(id_, label, outlet_k, "temperature", "at_least", (step,), reason=say("above-drop-out"))
    cut_out = Value("T_cut-out", cut_out_k, "temperature", "at_least")
    step = Step(say("held-by-cut-out"), (*inlet, power, flow, cut_out), outlet, heating.BALANCE)
    return Figure(id_, label, outlet_k, "temperature", "at_least", (step,), "at-cut-out", say("this-or-hotter"))


def hottest_flow(prefix: str, hottest: Hottest) -> Figure:
    """Return the flow [m3/s] of the hottest water: where a stage drops out as a tap is turned down.

    Id `<prefix>.hottest.<n>.flow`.
    """
    step = Step("Q = Q_open", (), Value("Q", hottest.flow_m3_s, "flow", "at_least"), NAMEPLATE)
    id_ = f"{prefix}.hottest.{hottest.number}.flow"
    return Figure(id_, say("hottest-flow"), hottest.flow_m3_s, "flow", "at_least", (step,))


def with_band(figure: Figure, coolest: Hottest, top: Hottest) -> Figure:
    """Return the figure with both ends of its band; held by the cut-out, the hotter row by which it is judged."""
    high_k = top.judged_k if math.isfinite(top.judged_k) else BOILING_K
    return replace(figure, band=(coolest.temperature_k, high_k))


def top_figure(prefix: str, top: Hottest, *, band: Band, cut_out_k: float) -> Figure:
    """Return the hottest water at the top of the band, with its working; id `<prefix>.hottest.<n>.top`."""
    figure = hottest_figure(prefix, top, band.warmest_k.greatest, cut_out_k=cut_out_k)
    volts, taken = band.volts, band.input
    step = Step(
        "P_top ÷ P = input × (V_max ÷ V)²",
        (
            Value("input", taken.greatest, "ratio", "at_least"),
            Value("V_max", volts.greatest, "voltage"),
            Value("V", volts.nominal, "voltage"),
        ),
        Value("P_top ÷ P", band.power.greatest, "ratio", "at_least"),
        heating.JOULE,
        say("top-of-band"),
    )
    label = say("hottest-at-top", stages=top.number)
    return replace(figure, id=f"{figure.id}.top", label=label, steps=(step, *figure.steps))
