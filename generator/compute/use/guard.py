"""Whether the mixing valve at a fixture guards its user.

It does where it senses temperature, is set to the limit or below, and is of a standard that is made for such a fixture.

What each standard covers is data of the plumbing basis (`limits.valves`). A valve marked with none that the basis
knows guards nobody: nothing says that it was ever tested to hold its setting.
"""

from __future__ import annotations

from generator.model.site import SAME_K, Fixture, MixingValve
from generator.model.tables.plumbing import PlumbingLimits

# Why the standard of a valve does not speak for it at a fixture.
UNLISTED = NO_STANDARD, OTHER_FIXTURE, SET_BEYOND = ("no-standard", "other-fixture", "set-beyond")


def unlisted(fixture: Fixture, valve: MixingValve, code: PlumbingLimits) -> tuple[str, ...]:
    """Return why the standard that a valve is marked with does not speak for it at a fixture, none where it does.

    Of several standards on its marking one is enough.
    """
    standards = [one for one in code.valves.values() if one.marked_on(valve.standard)]
    if not standards:
        return (NO_STANDARD,)
    fitting = [one for one in standards if fixture.kind in one.guards]
    if not fitting:
        return (OTHER_FIXTURE,)
    covered = any(one.at_most_k is None or valve.setting_k <= one.at_most_k + SAME_K for one in fitting)
    return () if covered else (SET_BEYOND,)


def guarded(fixture: Fixture, limit_k: float, code: PlumbingLimits) -> bool:
    """Return whether a valve that senses temperature, of a standard for such fixtures, holds the limit [K] there."""
    valve = fixture.mixing_valve
    if valve is None or valve.type == "pressure-balancing" or valve.setting_k > limit_k + SAME_K:
        return False
    return not unlisted(fixture, valve, code)
