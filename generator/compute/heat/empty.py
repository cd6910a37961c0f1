"""Why a window holds no flow that a hand can set: a case and its numbers, for the rules and the figures of the room."""

from __future__ import annotations

import math

from generator.compute.heat.window import Window
from generator.compute.verdict.set_flow import least_width_m3_s
from generator.model.figures import Value


def empty_case(window: Window) -> tuple[str, tuple[Value, ...]]:
    """Return why, and with which numbers: `narrow`, `no-flow`, `warm-inlet` or `crossed`; `usable` for a usable one."""
    least, greatest = window.least, window.greatest
    if window.usable:
        return "usable", ()
    if window.narrow:
        about = Value("about", greatest.flow_m3_s, "flow")
        width_m3_s = least_width_m3_s(greatest.flow_m3_s, window.setting)
        return "narrow", (about, Value("settable", width_m3_s, "flow", "at_least"))
    for_least = Value("for_least", least.reason, "text")
    if not math.isinf(least.flow_m3_s):
        ends = (Value("least", least.flow_m3_s, "flow", "at_least"), for_least)
        return "crossed", (
            *ends,
            Value("greatest", greatest.flow_m3_s, "flow", "at_most"),
            Value("for_greatest", greatest.reason, "text"),
        )
    heated = [bound.heating for bound in window.least_bounds if bound.heating]
    warm = next((one for one in heated if one.needless), None)
    if warm is None:
        return "no-flow", (for_least,)
    hottest = Value("hottest_allowed", min(one.outlet_k for one in heated), "temperature", "at_most")
    return "warm-inlet", (Value("summer_inlet", warm.inlet_k, "temperature"), hottest)


def empty_values(window: Window) -> tuple[Value, ...]:
    """Return the numbers of why a window holds no flow that a hand can set; none for a usable one."""
    return empty_case(window)[1]
