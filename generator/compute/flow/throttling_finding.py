"""The finding `throttle-on-outlet`: at which flow a valve before the heater, set for it, starves the heater."""

from __future__ import annotations

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pressure_working import BALANCE
from generator.compute.flow.throttling import inlet_fails_below_m3_s
from generator.compute.severity import ok_or_attention
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule

# Valves of globe pattern, which a hand can leave half closed (common practice, no source); a stop counts as one.
REGULATING = ("globe-valve", "stop-valve")

_VALUES = ("least", "flow", "outlet", "inlet")
_BELOW = (*_VALUES, "fails")
RULE = Rule(
    "throttle-on-outlet",
    {
        "holds": _VALUES,
        "starves-below": _BELOW,
        "starves-always": _VALUES,
        "regulated-starves-below": _BELOW,
        "regulated-starves-always": _VALUES,
    },
)


def _regulating_valve(at: Operating) -> bool:
    return any(run.fittings.get(valve, 0) for run in at.site.water.cold_run for valve in REGULATING)


def throttling_finding(at: Operating) -> Finding:
    """Return `throttle-on-outlet`: at which flow a throttled inlet takes the heater below its working pressure.

    An instruction, so `ok`: with the valves open nothing is wrong, and a shutoff valve stands before every heater.
    `attention` where a valve of globe pattern, which regulates flow (common practice, no source), is before the heater
    and setting the working flow with it would starve the heater: sooner or later someone will.
    """
    fails, q = inlet_fails_below_m3_s(at), at.working_m3_s
    values: tuple[Value, ...] = (
        Value("least", at.model.water.working_pressure.least_pa, "pressure", "at_least"),
        Value("flow", q, "flow"),
        Value("outlet", at.way.at_switches(q), "pressure", "at_most"),
        Value("inlet", at.way.behind_inlet_valve(q), "pressure", "at_most"),
    )
    case = "starves-always" if fails is not None else "holds"
    if fails is not None and fails < at.greatest_m3_s:
        case, values = "starves-below", (*values, Value("fails", fails, "flow", "at_least"))
    regulated = fails is not None and fails >= q and _regulating_valve(at)
    if regulated:
        case = f"regulated-{case}"
    return RULE.judge(case, ok_or_attention(not regulated), values, source=BALANCE).at(at.site.id)
