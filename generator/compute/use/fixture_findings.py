"""The findings about a site's fixtures: demand, use at once, flow limits in law (`mixing-valve` in `mixing_finding`).

Severity, and why:
- `fixture-demand`: `attention` when a fixture alone asks for no more than cold water, which is likely a slip, or does
  not get its target in the coldest month at the stage in use, with the power that the circuit's voltage drop leaves:
  people will turn the flow down, which heats the water beyond what is counted on. Or when no one setting of the
  selector gives one fixture its target and keeps another's limit. No danger by itself.
  A higher stage is named as a remedy only where it keeps the limit in summer.
- `simultaneous-use`: the same for all fixtures in use at once.
- `fixture-flow-limit`: `attention` for a flow above the limit in law or code of that kind of fixture: it cannot be
  bought or passed as such, and the heater is sized for water that will not run.
"""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.flow.operating_point import Operating
from generator.compute.heat import balance as heating
from generator.compute.plumbing import plumbing
from generator.compute.severity import ATTENTION, OK, ok_or_attention
from generator.compute.sources import STATED, sources
from generator.compute.use.fixture_limit import fixture_limit
from generator.compute.use.fixtures import Duty, Terms, duties, selections, smallest_heater, together
from generator.compute.use.mixing_finding import mixing_valve
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule
from generator.model.heater import HeaterModel

ADVISED = plumbing("flow-advised")

_NEED = ("target", "inlet")
_ASKS = (*_NEED, "flow", "needed")
_OFF = (*_ASKS, "off")
_GETS = (*_ASKS, "stage", "power", "outlet")
_CASES = {
    "no-need": _NEED,
    "beyond-supply": _OFF,
    "below-working-pressure": _OFF,
    "not-on": (*_OFF, "best"),
    "short": (*_GETS, "best"),
    "short-higher": (*_GETS, "best"),
    "met": (*_GETS, "would", "smaller"),
}
_OFF_CODES = {"off": ("beyond-supply", "below-working-pressure", "not-on")}
DEMAND = Rule(
    "fixture-demand",
    {
        "two-stages": ("fixture", "stage", "other", "most", "limit"),
        **{case: ("fixture", *names) for case, names in _CASES.items()},
    },
    choices=_OFF_CODES,
)
AT_ONCE = Rule("simultaneous-use", {"one-at-a-time": (), **_CASES}, choices=_OFF_CODES)
_LIMIT = ("fixture", "flow", "limit")
FLOW_LIMIT = Rule("fixture-flow-limit", {"none-held": (), "none-limited": (), "within": _LIMIT, "above": _LIMIT})


def _judged(at: Operating, terms: Terms, duty: Duty, *, models: Sequence[HeaterModel]) -> tuple[str, tuple[Value, ...]]:
    """Return whether one duty is met in the coldest month, with the smallest heater of the range that would.

    The case and its values.
    """
    need = (
        Value("target", duty.target_k, "temperature"),
        Value("inlet", terms.winter_k, "temperature"),
    )
    if duty.target_k <= terms.winter_k:
        return "no-need", need
    best = smallest_heater(at, models, terms, duty=duty)
    named = (Value("best", best.title, "text"),) if best else ()
    asks = (*need, Value("flow", duty.flow_m3_s, "flow"), Value("needed", duty.needed_w, "power", "at_least"))
    if duty.off:
        return duty.off, (*asks, Value("off", duty.off, "text"), *(named if duty.off == "not-on" else ()))
    gets = (
        *asks,
        Value("stage", duty.at_stage, "count"),
        Value("power", duty.reach_w, "power", "at_most"),
        Value("outlet", duty.winter_k, "temperature", "at_most"),
    )
    if duty.stage is None:
        higher = any(number > at.selected for number in selections(at, terms, duty))
        return "short-higher" if higher else "short", (*gets, *named)
    would = (Value("would", duty.stage, "count"),) if duty.stage < duty.at_stage else ()
    smaller = best is not None and best.id != at.model.id
    return "met", (*gets, *would, *((Value("smaller", best.title, "text"),) if smaller and best else ()))


def _two_stages(at: Operating, terms: Terms, asked: Sequence[Duty]) -> tuple[Value, ...]:
    """Return the two fixtures that no one setting of the selector serves, by what each takes; none where one does."""
    served = [(found, duty) for duty in asked if not duty.off and (found := selections(at, terms, duty))]
    if not (at.model.stage_selector and served):
        return ()
    high, low = max(served, key=lambda one: min(one[0])), min(served, key=lambda one: max(one[0]))
    if min(high[0]) <= max(low[0]):
        return ()
    return (
        Value("fixture", high[1].name, "text"),
        Value("stage", min(high[0]), "count"),
        Value("other", low[1].name, "text"),
        Value("most", max(low[0]), "count"),
        Value("limit", low[1].limit_k, "temperature", "at_most"),
    )


def fixture_demand(at: Operating, terms: Terms, models: Sequence[HeaterModel]) -> Finding:
    """Return `fixture-demand`: two fixtures that one selector cannot serve, else the one hardest to serve alone in the
    coldest month."""
    asked = duties(at, terms)
    if apart := _two_stages(at, terms, asked):
        return DEMAND.judge("two-stages", ATTENTION, apart, source=heating.BALANCE).at(at.site.id)
    hardest = min(asked, key=lambda duty: (duty.stage is not None, duty.reach_w - duty.needed_w))
    case, values = _judged(at, terms, hardest, models=models)
    values = (Value("fixture", hardest.name, "text"), *values)
    return DEMAND.judge(case, ok_or_attention(case == "met"), values, source=heating.BALANCE).at(at.site.id)


def simultaneous_use(at: Operating, terms: Terms, models: Sequence[HeaterModel]) -> Finding:
    """Return `simultaneous-use`: all fixtures in use at once in the coldest month."""
    if sum(fixture.at_once for fixture in at.site.fixtures) <= 1:
        return AT_ONCE.judge("one-at-a-time", OK, source=STATED).at(at.site.id)
    case, values = _judged(at, terms, together(at, terms), models=models)
    return AT_ONCE.judge(case, ok_or_attention(case == "met"), values, source=heating.BALANCE).at(at.site.id)


def fixture_flow_limit(at: Operating) -> Finding:
    """Return `fixture-flow-limit`: the fixture nearest to, or furthest above, the limit of its kind.

    Only where a plumbing basis is held; elsewhere the local limits are for the reader.
    """
    flows, subject = at.plumbing.limits.flows, at.site.id
    limited = [(fixture, flows[fixture.kind]) for fixture in at.site.fixtures if fixture.kind in flows]
    if not at.plumbing.held:
        return FLOW_LIMIT.judge("none-held", OK, source=ADVISED).at(subject)
    if not limited:
        return FLOW_LIMIT.judge("none-limited", OK, source=ADVISED).at(subject)
    fixture, limit = max(limited, key=lambda entry: entry[0].flow_m3_s / entry[1].at_most_m3_s)
    values = (
        Value("fixture", fixture.name, "text"),
        Value("flow", fixture.flow_m3_s, "flow"),
        Value("limit", limit.at_most_m3_s, "flow", "at_most"),
    )
    case, severity = ("above", ATTENTION) if fixture.flow_m3_s > limit.at_most_m3_s * (1.0 + 1e-9) else ("within", OK)
    return FLOW_LIMIT.judge(case, severity, values, source=sources(plumbing(limit.rule), ADVISED)).at(subject)


def fixture_findings(at: Operating, terms: Terms, models: Sequence[HeaterModel]) -> tuple[Finding, ...]:
    """Return the findings of this module; `models` is the whole range."""
    return (
        fixture_demand(at, terms, models),
        simultaneous_use(at, terms, models),
        fixture_flow_limit(at),
        fixture_limit(at.site, terms.limit_k, at.plumbing.limits),
        mixing_valve(at, terms),
    )
