"""The findings about temperatures at a site: hottest water, target, inlet, outlet of the model, stages without use.

Severity, and why (`hottest-water` in `scald_finding`):
- `target-reached`: `stop` when no stage has a flow that is active, safe and warm enough in winter: the heater cannot do
  what it was chosen for. `attention` when only a stage above the selected one has such a flow.
- `inlet-limit`: `stop` when the warmest inlet passes the model's greatest: the maker's limit, for which its safety
  devices are set.
- `greatest-outlet`: `attention` when throttling can pass the model's greatest outlet: outside what the maker states,
  and near the cut-out, which will then trip in use.
- `stage-idle`: `attention` when neither a stage nor any above it has such a flow: its power serves no one, yet the
  circuit must carry it.
"""

from __future__ import annotations

from generator.compute import heating
from generator.compute.scald import Hottest, selected_stage
from generator.compute.scald_finding import Family, hottest_water_finding
from generator.compute.stages import NAMEPLATE
from generator.model.figures import Finding, Sentence, Severity, Value
from generator.model.heater import HeaterModel
from generator.model.results import FlowWindow
from generator.model.site import Site

_TARGET_WHY = (
    "The flow must close the stage, keep the summer outlet within the limits and the winter outlet at the target."
)
_INLET_WHY = "Water that enters warmer than the maker allows leaves hotter at every flow and brings the cut-out nearer."
_OUTLET_WHY = "A flow that still holds stages closed can be too small for their power; the cut-out then trips in use."
_IDLE_WHY = "A stage without a flow that is active, safe and warm enough serves no one, yet its circuit must carry it."


def _finding(site: Site, rule: str, severity: Severity, found: Sentence, why: str, do: str, source: str) -> Finding:
    return Finding(f"{site.id}.{rule}", rule, severity, site.id, found, why, do, source)


def is_open(window: FlowWindow) -> bool:
    """Return whether some flow lies in the window."""
    return window.why_empty is None


def _unreached(window: FlowWindow, target: Value, inlet: Value) -> Sentence:
    """Return why the target is out of reach, by the empty window of the selected stage."""
    template = "At the winter inlet of {inlet}, no stage reaches {target} at a flow that is active and safe."
    why = window.why_empty or Sentence("")
    return Sentence(f"{template} {why.template}".strip(), (inlet, target, *why.values))


def _reached(window: FlowWindow, target: Value, inlet: Value) -> Sentence:
    """Return the window in which the target is reached."""
    values = [inlet, target, Value("stage", window.number, "count")]
    values.append(Value("least", float(window.least.value or 0.0), "flow", "up"))
    template = "At the winter inlet of {inlet}, stage {stage} reaches {target} from {least}"
    if window.greatest.value is None:
        return Sentence(f"{template} upward.", tuple(values))
    values.append(Value("greatest", window.greatest.value, "flow", "down"))
    return Sentence(f"{template} to {{greatest}}.", tuple(values))


def target_finding(
    site: Site, model: HeaterModel, windows: tuple[FlowWindow, ...], winter_k: float, target_k: float
) -> Finding:
    """Return `target-reached`: whether, and at which lowest stage, winter water [K] reaches the target [K] safely."""
    target, inlet = Value("target", target_k, "temperature"), Value("inlet", winter_k, "temperature", "down")
    selected, usable = selected_stage(site, model), [window for window in windows if is_open(window)]
    severity: Severity = "stop"
    if not usable:
        found = _unreached(windows[selected - 1], target, inlet)
        do = "Choose a heater of other power, another target or a mixing valve, or set the flow anew each season."
    else:
        found = _reached(usable[0], target, inlet)
        severity = "ok" if usable[0].number <= selected else "attention"
        do = "Set the flow on the outlet side, within the window of the stage in use, and measure the outlet."
        if severity == "attention":
            do = f"Select stage {usable[0].number}, once the hottest water at that stage is found safe."
    return _finding(site, "target-reached", severity, found, _TARGET_WHY, do, heating.BALANCE)


def inlet_finding(site: Site, model: HeaterModel, summer_k: float) -> Finding:
    """Return `inlet-limit`: the warmest inlet [K] against the model's greatest inlet."""
    greatest_k = model.water.greatest_inlet_k
    values = (Value("inlet", summer_k, "temperature", "up"), Value("greatest", greatest_k, "temperature", "down"))
    found = Sentence("The warmest inlet is {inlet}; the model takes water up to {greatest}.", values)
    severity: Severity = "stop" if summer_k > greatest_k else "ok"
    do = (
        "Measure the inlet in summer." if severity == "ok" else "Feed the heater from the cold main, or choose another."
    )
    return _finding(site, "inlet-limit", severity, found, _INLET_WHY, do, NAMEPLATE)


def outlet_finding(site: Site, model: HeaterModel, hottest: Hottest) -> Finding:
    """Return `greatest-outlet`: the hottest water while throttling against the model's greatest outlet."""
    greatest_k = model.water.greatest_outlet_k
    values = (
        Value("hottest", hottest.temperature_k, "temperature", "up"),
        Value("flow", hottest.flow_m3_s, "flow", "down"),
        Value("greatest", greatest_k, "temperature", "down"),
    )
    found = Sentence("Throttled to {flow} the outlet reaches {hottest}; the model's greatest is {greatest}.", values)
    severity: Severity = "attention" if hottest.temperature_k > greatest_k else "ok"
    do = "Nothing; measure the outlet at the lowest flow when commissioning."
    if severity == "attention":
        do = "Select a lower stage, or fit an outlet with a fixed flow that users cannot turn down."
    source = f"{heating.BALANCE}; {NAMEPLATE}"
    return _finding(site, "greatest-outlet", severity, found, _OUTLET_WHY, do, source)


def idle_finding(site: Site, model: HeaterModel, windows: tuple[FlowWindow, ...]) -> Finding:
    """Return `stage-idle`: stages that can be selected, with no open flow window at them or above them."""
    selected = selected_stage(site, model)
    last = max((window.number for window in windows[:selected] if is_open(window)), default=0)
    values = (Value("used", last, "count"), Value("selected", selected, "count"))
    if last == selected:
        found, do = Sentence("All {selected} stages in use have a flow window.", values[1:]), "Nothing."
        return _finding(site, "stage-idle", "ok", found, _IDLE_WHY, do, heating.BALANCE)
    template = "Of {selected} stages in use only the first {used} have a flow window."
    why = windows[selected - 1].why_empty or Sentence("")
    found = Sentence(f"{template} {why.template}".strip(), (*values, *why.values))
    do = "Choose a heater of less power, or raise the flow or the target that the site asks for."
    if model.stage_selector and last:
        do = f"Select stage {last}, or raise the flow or the target that the site asks for."
    return _finding(site, "stage-idle", "attention", found, _IDLE_WHY, do, heating.BALANCE)


def thermal_findings(
    site: Site,
    model: HeaterModel,
    windows: tuple[FlowWindow, ...],
    hottest: tuple[Hottest, ...],
    winter_k: float,
    summer_k: float,
    target_k: float,
    default_limit_k: float,
    family: Family,
) -> tuple[Finding, ...]:
    """Return the five findings of this module and `scald_finding`, in the order in which a reader needs them.

    `windows` and `hottest` for every stage of the model (`flow_window`, `hottest_water`); temperatures [K]:
    coldest and warmest inlet, the site's target, the handbook's limit; `family` of the site's code basis.
    """
    return (
        hottest_water_finding(site, model, hottest, default_limit_k, family),
        target_finding(site, model, windows, winter_k, target_k),
        inlet_finding(site, model, summer_k),
        outlet_finding(site, model, hottest[selected_stage(site, model) - 1]),
        idle_finding(site, model, windows),
    )
