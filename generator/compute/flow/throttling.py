"""Where to throttle: the same flow made by a valve before the heater and by one after it.

A valve after the heater takes up what is left once the water has passed the heater, so the heater keeps nearly the
supply's pressure. A valve before it takes the pressure first: the heater is left with no more than its own loss, the
hot run and the outlet need at that flow, which is less the smaller the flow. Under its least working pressure the
switches no longer work as stated, and stages drop out just when the flow is turned down. The outlet is taken as fully
open, the fixture without loss of its own, when the inlet is throttled; a fixture's loss would leave the heater more.
"""

from __future__ import annotations

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pressure_working import BALANCE
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.said import say
from generator.model.state import State
from generator.model.water_results import Curve

CURVE_POINTS = 33


def inlet_fails_below_m3_s(at: Operating) -> float | None:
    """Return the flow [m3/s] below which a throttled inlet leaves less than the least working pressure.

    None where it does at no flow.
    """
    least_pa = at.model.water.working_pressure.least_pa
    return at.way.flow_holding(lambda flow: least_pa - at.way.behind_inlet_valve(flow))


def table_flows(at: Operating) -> dict[float, str]:
    """Return the flows of the table [m3/s], rising, each with the name that its figures' ids hold.

    They are each selectable stage's activation, the working and the greatest flow; where two agree, the first names it.
    """
    named = [
        (stage.closes_at_m3_s, f"stage-{number}") for number, stage in enumerate(at.model.stages[: at.selected], 1)
    ]
    named += [(at.working_m3_s, "working"), (at.greatest_m3_s, "greatest")]
    names = dict(reversed(named))
    return {flow: names[flow] for flow in sorted(names) if 0.0 < flow <= at.greatest_m3_s}


def _cells(prefix: str, at: Operating, flow_m3_s: float, *, name: str) -> tuple[Figure, ...]:
    id_, least_pa = f"{prefix}.throttling.{name}", at.model.water.working_pressure.least_pa
    flow = Value("Q", flow_m3_s, "flow")
    taken_pa = at.way.left_for_outlet(flow_m3_s)
    outlet_pa, inlet_pa = at.way.at_switches(flow_m3_s), at.way.behind_inlet_valve(flow_m3_s)
    found = []
    for end, label, value_pa, formula in (
        ("outlet", say("pressure-outlet-throttled"), outlet_pa, say("outlet-throttled-balance")),
        ("inlet", say("pressure-inlet-throttled"), inlet_pa, say("inlet-throttled-balance")),
    ):
        inputs = (flow, Value(say("valve"), taken_pa, "pressure")) if end == "inlet" else (flow,)
        step = Step(formula, inputs, Value("p", value_pa, "pressure", "at_most"), BALANCE)
        state: State = "ok" if value_pa >= least_pa else "below-working-pressure"
        found.append(Figure(f"{id_}.{end}", label, value_pa, "pressure", "at_most", (step,), state))
    step = Step(say("valve-takes-up"), (flow,), Value(say("valve"), taken_pa, "pressure"), BALANCE)
    return (*found, Figure(f"{id_}.valve", say("valve-pressure"), taken_pa, "pressure", "neither", (step,)))


def throttling_table(prefix: str, at: Operating) -> FigureTable:
    """Return the pressure at the heater, by flow, throttled at the outlet and at the inlet."""
    heads = (say("outlet-throttled"), say("inlet-throttled"), say("pressure-of-valve"))
    columns = tuple(Value(head, head, "text") for head in heads)
    rows = tuple(
        (Value(say("flow"), flow, "flow"), _cells(prefix, at, flow, name=name))
        for flow, name in table_flows(at).items()
    )
    least = Value(say("least-working-pressure"), at.model.water.working_pressure.least_pa, "pressure", "at_least")
    title, note = say("throttling"), say("throttling-note")
    return FigureTable(f"{prefix}.throttling", title, say("flow"), columns, rows, note, (least,))


def pressure_curves(prefix: str, at: Operating) -> tuple[Curve, ...]:
    """Return the pressure at the heater over the flow to the greatest, throttled at the outlet and at the inlet.

    None where no water flows.
    """
    if not at.greatest_m3_s:
        return ()
    flows = [at.greatest_m3_s * index / (CURVE_POINTS - 1) for index in range(CURVE_POINTS)]
    return tuple(
        Curve(
            f"{prefix}.curve.{name}",
            title,
            say("flow"),
            "flow",
            say("pressure-axis"),
            "pressure",
            tuple((flow, pressure(flow)) for flow in flows),
        )
        for name, title, pressure in (
            ("outlet", say("curve-outlet-throttled"), at.way.at_switches),
            ("inlet", say("curve-inlet-throttled"), at.way.behind_inlet_valve),
        )
    )
