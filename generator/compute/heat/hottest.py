"""The hottest water that a user could meet while throttling.

As the flow falls the outlet grows hotter until a stage opens; just above the flow at which stage k opens, all stages
with no higher opening flow are still closed. The hottest water is the hottest of these points at the warmest inlet,
held at the cut-out, which senses late: there the value is the least it can be. This is the heater's ordinary range,
with nothing broken. That the supply might never bring the flow that closes a stage is left out: pressure changes
through the day, and the result errs to the hot side.
"""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.heat import balance as heating
from generator.compute.heat.burn import hotter_row_k
from generator.compute.heat.stages import power_of_w
from generator.model.figures import Figure, Step, Value
from generator.model.heater import HeaterModel
from generator.model.state import State

AT_CUT_OUT: State = "at-cut-out"


@dataclass(frozen=True, slots=True)
class Hottest:
    """The hottest water with at most `number` stages selected: the figure and its value [K], and the flow [m3/s] and
    the count of stages closed at which it occurs."""

    number: int
    figure: Figure
    temperature_k: float
    flow_m3_s: float
    closed: int

    @property
    def held(self) -> bool:
        """Whether only the cut-out keeps the water from growing hotter."""
        return self.figure.state == AT_CUT_OUT

    @property
    def judged_k(self) -> float:
        """The temperature to judge by [K]: itself or, held by the cut-out, the burn tables' next hotter row.

        A cut-out senses late and hot elements go on heating, so the water is at least as hot as its setting; infinite
        where no table has a hotter row.
        """
        return hotter_row_k(self.temperature_k) if self.held else self.temperature_k


def drop_out_points(model: HeaterModel, number: int) -> tuple[tuple[float, tuple[int, ...]], ...]:
    """Return (flow [m3/s], stages closed just above it) for every flow at which one of stages 1 to `number` opens."""
    opens_at = {index: stage.opens_at_m3_s for index, stage in enumerate(model.stages[:number], start=1)}
    return tuple(
        (flow, tuple(index for index, opens in opens_at.items() if opens <= flow)) for flow in opens_at.values()
    )


def _hottest(
    prefix: str, model: HeaterModel, number: int, voltage_v: float, phases: int, inlet: tuple[Value, ...]
) -> Hottest:
    cut_out_k, inlet_k = model.water.cut_out_k, float(inlet[0].value)

    def at(point: tuple[float, tuple[int, ...]]) -> tuple[float, float, float, int]:
        flow_m3_s, closed = point
        power_w = power_of_w(model, closed, voltage_v, phases)
        outlet_k = heating.capped_outlet_k(inlet_k, flow_m3_s, power_w, cut_out_k)
        return max(inlet_k, outlet_k), flow_m3_s, power_w, len(closed)

    outlet_k, flow_m3_s, power_w, closed = max(at(point) for point in drop_out_points(model, number))
    power, flow = Value("P", power_w, "power"), Value("Q", flow_m3_s, "flow", "down")
    outlet, cut_out = (Value(name, k, "temperature", "up") for name, k in (("T", outlet_k), ("T_cut-out", cut_out_k)))
    state: State = "ok"
    reason = "just above the flow at which a stage opens"
    step = heating.outlet_step(inlet, power, flow, outlet)
    if outlet_k >= cut_out_k:
        state, reason = AT_CUT_OUT, "this or hotter, held by the cut-out alone"
        formula = "T = T_cut-out, since h(T_in) + P / (ρ(T_in) × Q) ≥ h(T_cut-out)"
        step = Step(formula, (*inlet, power, flow, cut_out), outlet, heating.BALANCE)
    label = f"Hottest water while throttling, {number} stages selected"
    figure = Figure(f"{prefix}.hottest.{number}", label, outlet_k, "temperature", "up", (step,), state, reason)
    return Hottest(number, figure, outlet_k, flow_m3_s, closed)


def hottest_water(
    prefix: str, model: HeaterModel, voltage_v: float, phases: int, inlet_k: float
) -> tuple[Hottest, ...]:
    """Return the hottest water with at most 1, 2, ... stages selected, at the warmest inlet [K].

    Ids `<prefix>.hottest.<n>`; state "at-cut-out" where only the cut-out holds it.
    """
    inlet = heating.inlet_values(inlet_k)
    numbers = range(1, len(model.stages) + 1)
    return tuple(_hottest(prefix, model, number, voltage_v, phases, inlet) for number in numbers)
