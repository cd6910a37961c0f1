"""The findings about pressure and flow at a site.

Severity, and why:
- `static-pressure`: `stop` when the heater sees more than the model's greatest working pressure at rest: its shell and
  switches are not made for it. `attention` above 80 psi on the US basis, whose plumbing codes call for a
  pressure-reducing valve.
- `working-pressure`: `stop` when no stage can close, however the outlet is set: the heater will not heat. `attention`
  when the working flow leaves less than the least working pressure, or a selected stage cannot close.
- `working-flow`: `stop` when what the fixtures ask for turns no stage on, for want of flow or of pressure: the heater
  stays cold in ordinary use.
  `attention` when supply and pipework cannot bring what they ask for.
- `fixture-pressure`: `attention` when less pressure is left at the fixture than the plumbing code's table asks for.
- `pressure-sag`: `attention` when a sag of less than a fifth of the static pressure drops a stage at work: mains and
  wells move that much when others draw (a fifth: common practice, no source).
- `filter-screen`: `attention` when the screen loses twice what it loses clean, or is near to costing the least working
  pressure or the working flow: a nuisance that grows unseen. Where even a clean screen would leave too little the
  screen is not to blame: `working-pressure` tells what is.
"""

from __future__ import annotations

import math

from generator.compute.finding import finding
from generator.compute.flow.heater_loss import SCREEN_SHARE, SCREEN_SOURCE
from generator.compute.flow.operating_point import BALANCE, Operating
from generator.compute.flow.pipes.pressure_rating import PSI_PA
from generator.compute.flow.stage_reach import StageReach
from generator.compute.heat.stages import NAMEPLATE
from generator.compute.plumbing import plumbing
from generator.model.figures import Finding, Severity, Value
from generator.model.rules import Family
from generator.model.site import Fixture

REDUCING_VALVE_PA = 80.0 * PSI_PA
CODE_STATIC = plumbing("static-pressure")
CODE_FIXTURE = plumbing("fixture-pressure")
SAG_SHARE = 0.2
DIRTY_SCREEN = 0.7
SCREEN_MARGIN = 1.25

_SAG = "pressure balance with the outlet as at work; a fifth as margin: common practice, no source"
_SIMPLE_PSI, _BALANCED_PSI = 8.0, 20.0


def static_pressure(at: Operating, family: Family) -> Finding:
    """Return `static-pressure`: the pressure at rest against the model's greatest and, on the US basis, 80 psi."""
    rest_pa, greatest_pa = at.way.at_heater(0.0), at.model.water.working_pressure.greatest_pa
    values: tuple[Value, ...] = (
        Value("static", at.way.static_pa, "pressure", "up"),
        Value("rest", rest_pa, "pressure", "up"),
        Value("greatest", greatest_pa, "pressure", "down"),
    )
    template = "The supply stands at {static}, the heater at {rest} with no flow; the model takes up to {greatest}"
    severity: Severity = "ok"
    source = NAMEPLATE
    do = "Measure the static pressure with every tap shut, at night as well, when it is highest."
    if family == "nfpa70":
        values += (Value("code", REDUCING_VALVE_PA, "pressure", "down"),)
        template += ", and plumbing codes call for a pressure-reducing valve above {code}"
        source = f"{CODE_STATIC}; {NAMEPLATE}"
        if max(rest_pa, at.way.static_pa) > REDUCING_VALVE_PA * (1.0 + 1e-9):
            severity, do = "attention", "Fit a pressure-reducing valve, and thermal expansion control behind it."
    if rest_pa > greatest_pa:
        severity, do = "stop", "Fit a pressure-reducing valve before any water reaches the heater."
    why = "Too much pressure strains the heater, its switches, hoses and joints at every moment, not only in use."
    return finding(at.site, "static-pressure", severity, (f"{template}.", values), why, do, source)


def working_pressure(at: Operating, reach: tuple[StageReach, ...]) -> Finding:
    """Return `working-pressure`: what the heater gets as its stages close and at work, against its least."""
    least_pa, at_work_pa = at.model.water.working_pressure.least_pa, at.way.at_switches(at.working_m3_s)
    selected = [found for found in reach if found.state != "not-selected"]
    closing = [found for found in selected if found.state == "ok"]
    values = (
        Value("flow", at.working_m3_s, "flow"),
        Value("pressure", at_work_pa, "pressure", "down"),
        Value("least", least_pa, "pressure", "up"),
        Value("closing", len(closing), "count"),
        Value("selected", len(selected), "count"),
    )
    severity: Severity = "ok"
    do = "Read the pressure at the heater while water runs, and record it."
    if at_work_pa < least_pa or len(closing) < len(selected):
        severity = "attention"
        do = "Use wider or shorter pipe, open every valve before the heater, or raise the supply pressure."
    if not closing:
        severity = "stop"
        do = f"{do[:-1]}; until then the heater cannot heat here."
    template = (
        "At the working flow of {flow} the heater has {pressure}, and needs {least}. {closing} of the {selected} "
        "stages in use can close on this supply."
    )
    why = "Below its least working pressure the heater's switches do not work as stated: stages stay open or chatter."
    return finding(at.site, "working-pressure", severity, (template, values), why, do, f"{BALANCE}; {NAMEPLATE}")


def working_flow(at: Operating) -> Finding:
    """Return `working-flow`: what the fixtures ask for against what the supply brings and what closes the stages."""
    first = at.model.stages[0].closes_at_m3_s
    values: tuple[Value, ...] = (
        Value("wanted", at.wanted_m3_s, "flow"),
        Value("greatest", at.greatest_m3_s, "flow", "down"),
        Value("closed", len(at.closed), "count"),
        Value("first", first, "flow", "up"),
    )
    severity: Severity = "ok"
    do = "Measure the flow at the fixture with a jug and a watch, and record it."
    if at.wanted_m3_s > at.greatest_m3_s:
        severity = "attention"
        do = "Use wider or shorter pipe, or ask for less flow at the fixtures."
    if not at.closed:
        severity = "stop"
        do = "Let the fixture pass more water, or choose a heater whose first stage turns on at this flow."
    template = (
        "The fixtures ask for {wanted}; supply and pipework bring up to {greatest}. At that working flow {closed} "
        "stages turn on; the first turns on at {first}."
    )
    if not at.greatest_m3_s:
        values = (Value("static", at.way.static_pa, "pressure", "down"),)
        template = "No water flows: the height of the pipework uses up the static pressure of {static}."
        do = (
            "Raise the supply pressure or hang the heater and the fixtures lower; correct water.static_pressure and "
            f"the rise of the runs in sites/{at.site.id}.yaml where they are stated wrong."
        )
    elif at.why_off(at.working_m3_s) == "below-working-pressure":
        template += " There the heater has less than its least working pressure."
        do = "Settle `working-pressure`: without its pressure no stage turns on."
    why = "A stage heats only while the flow that closes it is there; the flow is what pressure and pipework leave."
    return finding(at.site, "working-flow", severity, (template, values), why, do, f"{BALANCE}; {NAMEPLATE}")


def fixture_needs_pa(fixture: Fixture) -> float:
    """Return the flowing pressure that the plumbing code's table asks for at a fixture [Pa].

    A shower with a balancing or thermostatic valve, and any tub, 20 psi; all else 8 psi (a rinse bay as a hose tap).
    """
    balanced = fixture.kind == "tub" or (fixture.kind == "shower" and fixture.mixing_valve)
    return (_BALANCED_PSI if balanced else _SIMPLE_PSI) * PSI_PA


def fixture_pressure(at: Operating) -> Finding:
    """Return `fixture-pressure`: what is left at the end of the hot run at the working flow, against the code."""
    needed = max(at.site.fixtures, key=fixture_needs_pa)
    left_pa, needed_pa = at.way.at_fixture(at.working_m3_s), fixture_needs_pa(needed)
    values = (
        Value("left", left_pa, "pressure", "down"),
        Value("flow", at.working_m3_s, "flow"),
        Value("needed", needed_pa, "pressure", "up"),
        Value("fixture", needed.name, "text"),
    )
    severity: Severity = "ok" if left_pa >= needed_pa else "attention"
    do = "Nothing." if severity == "ok" else "Use wider or shorter pipe, or a fixture made for low pressure."
    template = "At {flow} the fixtures have {left}; the table asks for {needed} at the {fixture}."
    why = "A fixture without its pressure gives a thin stream, and a balancing valve may not work."
    return finding(at.site, "fixture-pressure", severity, (template, values), why, do, f"{BALANCE}; {CODE_FIXTURE}")


def pressure_sag(at: Operating, reach: tuple[StageReach, ...]) -> Finding:
    """Return `pressure-sag`: how far the static pressure may fall at work before a stage drops out."""
    why = "A supply sags when others draw from it. A stage that drops out then leaves the user with colder water."
    dropping = [(found.drop_out_pa, found) for found in reach if found.drop_out_pa is not None]
    static = Value("static", at.way.static_pa, "pressure", "down")
    if not dropping:
        template = "No stage is closed at the working flow on a supply of {static}, so none can drop out."
        return finding(at.site, "pressure-sag", "ok", (template, (static,)), why, "See `working-flow`.", _SAG)
    drop_pa, first = max(dropping, key=lambda pair: (pair[0], pair[1].number))
    spare_pa = at.way.static_pa - drop_pa
    values = (
        static,
        Value("drop", drop_pa, "pressure", "up"),
        Value("spare", spare_pa, "pressure", "down"),
        Value("stage", first.number, "count"),
        Value("reason", first.drop_out_reason, "text"),
    )
    severity: Severity = "ok" if spare_pa >= SAG_SHARE * at.way.static_pa else "attention"
    do = "Draw water elsewhere in the building while commissioning and see that the stages hold."
    if severity == "attention":
        do = "Find what else draws on this supply; give the heater a pipe of its own, a wider one, or a lower stage."
    template = "From {static} the supply may sag by {spare}, to {drop}, before stage {stage} drops out: {reason}."
    return finding(at.site, "pressure-sag", severity, (template, values), why, do, _SAG)


def least_screen(at: Operating) -> float:
    """Return the free share of the screen (0..1) below which it costs the least working pressure or the flow.

    1 or more where even a clean screen does not hold them.
    """
    flow, least_pa = at.working_m3_s, at.model.water.working_pressure.least_pa
    clean_pa = SCREEN_SHARE * at.way.heater.clean_pa(flow)
    spare_pa = min(at.way.at_heater(flow) - least_pa, at.way.left_for_outlet(flow) + at.way.heater.screen_pa(flow))
    if clean_pa <= 0.0:
        return 0.0
    return 1.0 / math.sqrt(1.0 + spare_pa / clean_pa) if spare_pa > 0.0 else 1.0


def _screen_values(at: Operating) -> tuple[Value, ...]:
    return (
        Value("open", at.way.heater.screen_open, "ratio", "down"),
        Value("lost", at.way.heater.screen_pa(at.working_m3_s), "pressure", "up"),
        Value("flow", at.working_m3_s, "flow"),
    )


def filter_screen(at: Operating) -> Finding:
    """Return `filter-screen`: what the screen costs as it is, and how far it may clog."""
    is_open, least = at.way.heater.screen_open, least_screen(at)
    why = "A clogged screen takes pressure before the heater, as a valve shut there does, and stages drop out."
    template, values = "The screen is {open} free and costs {lost} more than clean at {flow}.", _screen_values(at)
    clogged = is_open < DIRTY_SCREEN or (least < 1.0 and is_open < SCREEN_MARGIN * least)
    severity: Severity = "attention" if clogged else "ok"
    do = "Clean the screen when the heater is serviced, and whenever the flow has fallen."
    if clogged:
        do = "Shut off power, then water, and clean the screen now; then measure the pressure again."
    if least < 1.0:
        template += " Below {least} free it would cost the working pressure or the flow."
        values += (Value("least", least, "ratio", "up"),)
    else:
        template += " Even a clean one leaves the working pressure or the flow short here."
        do = f"Settle `working-pressure` and `working-flow`: what is short here is not the screen's alone. {do}"
    return finding(at.site, "filter-screen", severity, (template, values), why, do, SCREEN_SOURCE)


def pressure_findings(at: Operating, reach: tuple[StageReach, ...], family: Family) -> tuple[Finding, ...]:
    """Return the findings of this module; `family` is that of the site's code basis."""
    return (
        static_pressure(at, family),
        working_pressure(at, reach),
        working_flow(at),
        fixture_pressure(at),
        pressure_sag(at, reach),
        filter_screen(at),
    )
