"""Which flow a hand can set: windows wide enough, and the one that leads a site's page and card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from generator.compute.verdict.off import stays_off
from generator.model.figures import Figure, Sentence, Value
from generator.model.heater import HeaterModel
from generator.model.results import FlowWindow, SiteResult
from generator.model.site import Site
from generator.si import GPM_M3_S

# A flow cannot be set or held closer than this by hand: common practice, no source. The two ends of a window this wide
# stay apart when each is rounded inward to 0.01 gpm or 0.1 L/min.
SETTABLE_M3_S = 0.06 * GPM_M3_S
SETTABLE_SHARE = 0.03

_CLOSER = "Only flows about {about} fit, within less than {settable} of each other: closer than a flow can be set."


def selected_stage(site: Site, model: HeaterModel) -> int:
    """Return the most stages that close at a site: the one selected where there is a selector, else all."""
    stages = len(model.stages)
    return min(site.selected_stage or stages, stages) if model.stage_selector else stages


def settable(window: FlowWindow) -> FlowWindow:
    """Return the window; of one too narrow to set, an empty one that is marked narrow and says so."""
    least, greatest = window.least.value, window.greatest.value
    if not (isinstance(least, float) and isinstance(greatest, float)):
        return window
    width_m3_s = max(SETTABLE_M3_S, SETTABLE_SHARE * greatest)
    if greatest - least >= width_m3_s:
        return window
    about, closer = Value("about", greatest, "flow"), Value("settable", width_m3_s, "flow", "up")
    ends = without_flow(window.least), without_flow(window.greatest)
    return FlowWindow(window.number, *ends, Sentence(_CLOSER, (about, closer)), narrow=True)


def without_flow(end: Figure) -> Figure:
    """Return the end of a window that holds no flow to set."""
    return replace(end, value=None, state="none")


def can_be_set(window: FlowWindow) -> bool:
    """Return whether a hand can set a flow in the window; one without a known least flow holds none."""
    ends_known = window.greatest.state == "no-bound" or isinstance(window.greatest.value, float)
    return window.why_empty is None and isinstance(window.least.value, float) and ends_known


def leading(windows: Sequence[FlowWindow], site: Site, model: HeaterModel) -> FlowWindow:
    """Return the window of the stage selected; without a selector the highest that can be set, else the last."""
    if model.stage_selector:
        return windows[selected_stage(site, model) - 1]
    return next((window for window in reversed(windows) if can_be_set(window)), windows[-1])


def has_window(result: SiteResult, site: Site, model: HeaterModel) -> bool:
    """Return whether a flow may be set at a site: its heater need not stay off, and a stage in use has a window."""
    in_use = result.windows[: selected_stage(site, model)]
    return not stays_off(result) and any(can_be_set(window) for window in in_use)
