"""Which flow a hand can set: windows wide enough, and the one that leads a site's page and card."""

from __future__ import annotations

import math
from collections.abc import Sequence

from generator.compute.verdict.off import stays_off
from generator.model.heater import HeaterModel
from generator.model.results import FlowWindow, SiteResult
from generator.model.site import Site
from generator.model.tables.tolerances import SettingError
from generator.si import GALLON_M3


def selected_stage(site: Site, model: HeaterModel) -> int:
    """Return the most stages that close at a site: the one selected where there is a selector, else all."""
    stages = len(model.stages)
    return min(site.selected_stage or stages, stages) if model.stage_selector else stages


def least_width_m3_s(greatest_m3_s: float, setting: SettingError) -> float:
    """Return how far apart [m3/s] the ends of a window lie at least for a hand to set a flow below its greatest.

    >>> error = SettingError(flow_m3_s=3.785e-6, share=0.03, source="common practice, no source")
    >>> round(least_width_m3_s(1e-4, error) * 60e3, 3)  # at 6 L/min the 0.06 gpm govern: 0.06 × 3.785 L/min, by hand
    0.227
    """
    return max(setting.flow_m3_s, setting.share * greatest_m3_s)


def wide_enough(least_m3_s: float, greatest_m3_s: float, setting: SettingError) -> bool:
    """Return whether a hand can set a flow [m3/s] between these two; the greatest may be infinite."""
    return math.isinf(greatest_m3_s) or greatest_m3_s - least_m3_s >= least_width_m3_s(greatest_m3_s, setting)


def can_be_set(window: FlowWindow) -> bool:
    """Return whether a hand can set a flow in the window; one without a known least flow holds none."""
    ends_known = window.greatest.state == "no-bound" or isinstance(window.greatest.value, float)
    return window.why_empty is None and isinstance(window.least.value, float) and ends_known


# What a bucket is marked with, by family of the code basis [m3]: a gallon, or five liters. Common practice, no source.
CONTAINER_M3 = {"nfpa70": GALLON_M3, "iec60364": 5e-3}


def fill_time_s(volume_m3: float, flow_m3_s: float) -> float:
    """Return how long [s] a volume [m3] takes to fill at a steady flow [m3/s]: t = V / Q, conservation of volume.

    ZeroDivisionError without a flow.

    >>> round(fill_time_s(0.003785411784, 0.003785411784 / 60.0), 1)  # a gallon at one gallon a minute, by hand
    60.0
    """
    return volume_m3 / flow_m3_s


def leading(windows: Sequence[FlowWindow], site: Site, model: HeaterModel) -> FlowWindow:
    """Return the window of the stage selected; without a selector the highest that can be set, else the last."""
    if model.stage_selector:
        return windows[selected_stage(site, model) - 1]
    return next((window for window in reversed(windows) if can_be_set(window)), windows[-1])


def has_window(result: SiteResult, site: Site, model: HeaterModel) -> bool:
    """Return whether a flow may be set at a site: its heater need not stay off, and a stage in use has a window."""
    in_use = result.windows[: selected_stage(site, model)]
    return not stays_off(result) and any(can_be_set(window) for window in in_use)
