"""The findings about a site's fixtures: demand, use at once, flow limits in law (`mixing-valve` in `mixing_finding`).

Severity, and why:
- `fixture-demand`: `attention` when a fixture alone asks for no more than cold water, which is likely a slip, or does
  not get its target in the coldest month, with the power that the circuit's voltage drop leaves: people will turn the
  flow down, which heats the water beyond what is counted on. No danger by itself.
- `simultaneous-use`: the same for all fixtures in use at once.
- `fixture-flow-limit`: `attention` for a flow above the US legal or code limit of that kind of fixture: it cannot be
  bought or passed as such, and the heater is sized for water that will not run.
"""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.finding import finding
from generator.compute.flow.operating_point import OFF, Operating
from generator.compute.heat import balance as heating
from generator.compute.plumbing import plumbing
from generator.compute.use.fixture_limit import fixture_limit
from generator.compute.use.fixtures import Climate, Duty, duties, smallest_heater, together
from generator.compute.use.mixing_finding import mixing_valve
from generator.model.figures import Finding, Severity, Value
from generator.model.heater import HeaterModel
from generator.model.rules import Family
from generator.si import GPM_M3_S

# kind: greatest flow [m3/s], who says so. Kinds without a limit of their own are left out.
FLOW_LIMITS: dict[str, tuple[float, str]] = {
    "lavatory": (2.2 * GPM_M3_S, plumbing("flow-lavatory")),
    "kitchen sink": (2.2 * GPM_M3_S, plumbing("flow-lavatory")),
    "shower": (2.5 * GPM_M3_S, plumbing("flow-shower")),
    "public lavatory": (0.5 * GPM_M3_S, plumbing("flow-public-lavatory")),
}
LABELS = "voluntary labels ask for less: lavatory 1.5 gpm, shower 2.0 gpm (WaterSense)"

LOOK_AT_TARGET = "Look at the target, or leave what asks for it off the heater."

_MEND = {"beyond-supply": "Settle `working-flow` first.", "below-working-pressure": "Settle `working-pressure` first."}


def _demand_values(duty: Duty, climate: Climate) -> tuple[Value, ...]:
    return (
        Value("fixture", duty.name, "text"),
        Value("flow", duty.flow_m3_s, "flow"),
        Value("target", duty.target_k, "temperature"),
        Value("inlet", climate.winter_k, "temperature", "down"),
        Value("needed", duty.needed_w, "power", "up"),
        Value("power", duty.reach_w, "power", "down"),
        Value("outlet", duty.winter_k, "temperature", "down"),
        Value("stage", duty.at_stage, "count"),
    )


def _demand(at: Operating, climate: Climate, rule: str, duty: Duty, models: Sequence[HeaterModel]) -> Finding:
    """Return whether one duty is met in the coldest month, with the smallest heater of the range that would."""
    why = "People who get water too cool turn the flow down; that heats it, and in summer heats it too far."
    source = heating.BALANCE
    if duty.target_k <= climate.winter_k:
        values = tuple(
            value for value in _demand_values(duty, climate) if value.symbol in ("fixture", "target", "inlet")
        )
        found = ("The cold water is {inlet} or warmer, and {fixture} asks for {target}: it needs no heater.", values)
        return finding(at.site, rule, "attention", found, why, LOOK_AT_TARGET, source)
    best = smallest_heater(at, models, climate, duty.flow_m3_s, duty.needed_w)
    named = f" The smallest of the range that would: {best.title}." if best else " No heater of the range would."
    values = _demand_values(duty, climate)
    asks = "From {inlet}, {fixture} ({flow}) needs {needed} to reach {target}; "
    if duty.off:
        do = _MEND.get(duty.off, "Let the fixture pass more water, or choose another heater." + named)
        return finding(at.site, rule, "attention", (f"{asks}{OFF[duty.off]}.", values), why, do, source)
    template = f"{asks}stage {{stage}} gives {{power}} after the voltage drop, and {{outlet}}."
    if duty.stage is None:
        higher = " select a higher stage," if at.selected < len(at.model.stages) else ""
        do = f"Reduce the flow or the target,{higher} or choose another heater." + named
        return finding(at.site, rule, "attention", (template, values), why, do, source)
    smaller = best is not None and best.id != at.model.id
    do = f"Nothing; {best.title} would do." if smaller and best else "Nothing."
    return finding(at.site, rule, "ok", (template, values), why, do, source)


def fixture_demand(at: Operating, climate: Climate, models: Sequence[HeaterModel]) -> Finding:
    """Return `fixture-demand`: the fixture that is hardest to serve alone in the coldest month."""
    hardest = min(duties(at, climate), key=lambda duty: (duty.stage is not None, duty.reach_w - duty.needed_w))
    return _demand(at, climate, "fixture-demand", hardest, models)


def simultaneous_use(at: Operating, climate: Climate, models: Sequence[HeaterModel]) -> Finding:
    """Return `simultaneous-use`: all fixtures in use at once in the coldest month."""
    if sum(fixture.at_once for fixture in at.site.fixtures) <= 1:
        why = "Fixtures that run together share the heater's flow and heat."
        found = ("One fixture runs at a time here.", ())
        return finding(at.site, "simultaneous-use", "ok", found, why, "Nothing.", "stated for the site")
    return _demand(at, climate, "simultaneous-use", together(at, climate), models)


def fixture_flow_limit(at: Operating, family: Family) -> Finding:
    """Return `fixture-flow-limit`: the fixture nearest to, or furthest above, the limit of its kind.

    The limits are those of the United States and hold on its basis alone; on another the local ones are for the reader.
    """
    limited = [(fixture, *FLOW_LIMITS[fixture.kind]) for fixture in at.site.fixtures if fixture.kind in FLOW_LIMITS]
    why = "A fixture sold or passed under the limit gives less than is reckoned with here, so the water comes hotter."
    if family != "nfpa70":
        found = ("This handbook knows flow limits of fixtures in the United States only; none is judged here.", ())
        do, source = "Check the limits that hold at the site.", "no limit of this code basis"
        return finding(at.site, "fixture-flow-limit", "ok", found, why, do, source)
    if not limited:
        found = ("None of the fixtures is of a kind with a flow limit of its own.", ())
        return finding(at.site, "fixture-flow-limit", "ok", found, why, "Nothing.", f"US limits; {LABELS}")
    fixture, limit, source = max(limited, key=lambda entry: entry[0].flow_m3_s / entry[1])
    severity: Severity = "attention" if fixture.flow_m3_s > limit * (1.0 + 1e-9) else "ok"
    values = (
        Value("fixture", fixture.name, "text"),
        Value("flow", fixture.flow_m3_s, "flow"),
        Value("limit", limit, "flow", "down"),
    )
    template = "{fixture} is taken to pass {flow}; the limit in US law or model code is {limit}."
    do = "Check the limits that hold at the site." if severity == "ok" else "Reckon with the flow of a lawful fixture."
    return finding(at.site, "fixture-flow-limit", severity, (template, values), why, do, f"{source}; {LABELS}")


def fixture_findings(
    at: Operating, climate: Climate, models: Sequence[HeaterModel], family: Family
) -> tuple[Finding, ...]:
    """Return the findings of this module; `models` is the whole range, `family` that of the site's code basis."""
    return (
        fixture_demand(at, climate, models),
        simultaneous_use(at, climate, models),
        fixture_flow_limit(at, family),
        fixture_limit(at.site, climate.limit_k),
        mixing_valve(at, climate),
    )
