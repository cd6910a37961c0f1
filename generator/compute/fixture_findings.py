"""The findings about a site's fixtures: demand, use at once, flow limits in law, mixing valves.

Severity, and why:
- `fixture-demand`: `attention` when a fixture alone does not get its target in the coldest month, with the power that
  the circuit's voltage drop leaves: people will turn the flow down, which heats the water beyond what was reckoned
  with. No danger by itself.
- `simultaneous-use`: the same for all fixtures in use at once.
- `fixture-flow-limit`: `attention` for a flow above the US legal or code limit of that kind of fixture: it cannot be
  bought or passed as such, and the heater is sized for water that will not run.
- `mixing-valve`: `attention` when the plumbing code asks for a limiting valve at the fixture and none is stated
  (`hottest-water` is `stop` when the water there can pass the limit today), or when the valve and the heater work
  against each other, so that the user gets swings of temperature: the stage gives more heat than the fixture's flow can
  take at its target, the hot share alone does not close the stage, or the valve's own least flow or hot excess is not
  met.
"""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute import heating
from generator.compute.finding import finding
from generator.compute.fixture_limit import KIND_LIMITS, fixture_limit, fixture_limit_k, needs_limiting_valve
from generator.compute.fixtures import Climate, Duty, duties, smallest_heater, together
from generator.compute.operating_point import Operating
from generator.compute.scald_finding import Family
from generator.compute.stages import closed_stages
from generator.model.figures import Finding, Severity, Value
from generator.model.heater import HeaterModel
from generator.model.site import Fixture

GPM_M3_S = 3.785411784e-3 / 60.0
# kind: greatest flow [m3/s], who says so. Kinds without a limit of their own are left out.
FLOW_LIMITS: dict[str, tuple[float, str]] = {
    "lavatory": (2.2 * GPM_M3_S, "10 CFR 430.32(o): 2.2 gpm at 60 psi"),
    "kitchen sink": (2.2 * GPM_M3_S, "10 CFR 430.32(o): 2.2 gpm at 60 psi"),
    "shower": (2.5 * GPM_M3_S, "10 CFR 430.32(p): 2.5 gpm at 80 psi"),
    "public lavatory": (0.5 * GPM_M3_S, "IPC (2021) table 604.4: 0.5 gpm"),
}
_PART = "{hot_flow} of {flow} passes the heater for hot water at {at_limit}; stage {stage} closes at {closes}."
LABELS = "voluntary labels ask for less: lavatory 1.5 gpm, shower 2.0 gpm (WaterSense)"

VALVE_FLOW_M3_S = 0.5 * GPM_M3_S
VALVE_EXCESS_K = 20.0 / 1.8
VALVE_SOURCE = (
    "hot supply 20 °F above the setting: ASSE 1017 (2023), scope; least flow 0.5 gpm: common practice, no source; "
    "use the valve's own listing"
)


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
    best = smallest_heater(at.site, models, climate, duty.flow_m3_s, duty.needed_w)
    named = f" The smallest of the range that would: {best.title}." if best else " No heater of the range would."
    values = _demand_values(duty, climate)
    asks = "From {inlet}, {fixture} ({flow}) needs {needed} to reach {target}; "
    if not duty.at_stage:
        do = "Let the fixture pass more water, or choose another heater." + named
        return finding(at.site, rule, "attention", (f"{asks}no stage closes at this flow.", values), why, do, source)
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


def _hot_m3_s(duty: Duty) -> float:
    """Return the flow [m3/s] through the heater when the valve takes hot water at the limit temperature."""
    return duty.hot_share * duty.flow_m3_s


def _stays_open(at: Operating, duty: Duty) -> bool:
    """Return whether the heater's part of the flow does not close the stage that serves the fixture."""
    return duty.at_stage > 0 and duty.at_stage not in closed_stages(_hot_m3_s(duty), at.model, at.site.selected_stage)


def _mixing_troubles(at: Operating, fixture: Fixture, duty: Duty) -> list[str]:
    """Return what sets this valve and this heater against each other, in words."""
    troubles = []
    if duty.summer_k > fixture.target_k:
        troubles.append("the stage gives more heat than this flow takes at its target")
    if _stays_open(at, duty):
        troubles.append("the heater's part of the flow does not close the stage that it needs")
    if fixture.flow_m3_s < VALVE_FLOW_M3_S * (1.0 - 1e-9):
        troubles.append("the flow is below what such valves are listed for")
    if at.model.water.greatest_outlet_k - fixture.target_k < VALVE_EXCESS_K:
        troubles.append("the heater cannot give water as much hotter than the target as such valves need")
    return troubles


def mixing_valve(at: Operating, climate: Climate) -> Finding:
    """Return `mixing-valve`: a valve that is missing, else one that disagrees with the heater, else any."""
    why = (
        "A heater with fixed stages puts in the same heat however hot and cold are shared: adding cold at a fixed flow "
        "cools nothing. A valve that wants cooler water shuts the hot side, the heater runs hotter, and a stage opens."
    )
    served = list(zip(at.site.fixtures, duties(at, climate), strict=True))
    bare = next((pair for pair in served if needs_limiting_valve(pair[0]) and not pair[0].mixing_valve), None)
    if bare is not None:
        return _valve_missing(at, climate, *bare)
    valved = [pair for pair in served if pair[0].mixing_valve]
    if not valved:
        found = ("No fixture has a mixing valve: what leaves the heater is what the user gets.", ())
        return finding(at.site, "mixing-valve", "ok", found, why, "See `hottest-water`.", heating.BALANCE)
    fixture, duty = max(valved, key=lambda pair: len(_mixing_troubles(at, *pair)))
    troubles = _mixing_troubles(at, fixture, duty)
    template, values = _mixing_found(at, climate, fixture, duty)
    source = f"{heating.BALANCE}; {VALVE_SOURCE}"
    if not troubles:
        do = "Set and test the valve as its maker says, with the heater at work."
        return finding(at.site, "mixing-valve", "ok", (template, values), why, do, source)
    told = "; ".join(troubles)
    more = "Select a lower stage, let" if at.model.stage_selector else "Let"
    do = f"{more} more water run, or use a valve listed for instantaneous heaters and this flow."
    return finding(at.site, "mixing-valve", "attention", (f"{template} So {told}.", values), why, do, source)


def _valve_missing(at: Operating, climate: Climate, fixture: Fixture, duty: Duty) -> Finding:
    """Return `mixing-valve` for a fixture at which the plumbing code asks for a valve and none is stated."""
    kind = KIND_LIMITS[fixture.kind]
    template = (
        "The {fixture} has no mixing valve; United States plumbing codes ask for one at a {kind} that limits the water "
        "to {limit}, whatever heats it."
    )
    values = [
        Value("fixture", fixture.name, "text"),
        Value("kind", fixture.kind, "text"),
        Value("limit", kind.limit_k, "temperature", "down"),
    ]
    if _stays_open(at, duty):
        template += f" With such a valve {_PART} So the valve and this heater do not fit each other yet."
        values += _part_values(at, climate, fixture, duty)
    why = "Stages and cut-out do not limit the water at a fixture: a stage that sticks sends hotter water to the user."
    do = "Fit the listed limiting valve, one made for instantaneous heaters and this flow, and state it here."
    return finding(at.site, "mixing-valve", "attention", (template, tuple(values)), why, do, kind.source)


def _part_values(at: Operating, climate: Climate, fixture: Fixture, duty: Duty) -> tuple[Value, ...]:
    """Return the values of the sentence `_PART`."""
    return (
        Value("flow", fixture.flow_m3_s, "flow"),
        Value("hot_flow", _hot_m3_s(duty), "flow", "down"),
        Value("at_limit", fixture_limit_k(fixture, climate.limit_k), "temperature", "down"),
        Value("stage", duty.at_stage, "count"),
        Value("closes", at.model.stages[duty.at_stage - 1].closes_at_m3_s, "flow", "up"),
    )


def _mixing_found(at: Operating, climate: Climate, fixture: Fixture, duty: Duty) -> tuple[str, tuple[Value, ...]]:
    values = [
        Value("fixture", fixture.name, "text"),
        Value("flow", fixture.flow_m3_s, "flow"),
        Value("target", fixture.target_k, "temperature"),
    ]
    if not duty.at_stage:
        return "At {flow} no stage closes for the {fixture}, whatever its valve is set to ({target}).", tuple(values)
    opens = at.model.stages[duty.at_stage - 1].opens_at_m3_s
    hot_k = heating.capped_outlet_k(climate.summer_k, opens, duty.power_w, at.model.water.cut_out_k)
    values += [
        *_part_values(at, climate, fixture, duty)[1:],
        Value("mixed", duty.summer_k, "temperature", "up"),
        Value("opens", opens, "flow", "down"),
        Value("hot", hot_k, "temperature", "up"),
    ]
    template = (
        "With stage {stage} closed the {fixture} gets {mixed} at {flow} at the warmest inlet, however hot and cold are "
        "shared; its target is {target}. A valve that shuts the hot side down to {opens} meets water at up to {hot}. "
        f"In the coldest month {_PART}"
    )
    return template, tuple(values)


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
