"""The temperature limiter, 422.47, and what the nameplate says of a relief valve.

Storage and instantaneous heaters have, besides the control, a limiter that opens every ungrounded conductor and is
reset by hand or replaced. Exception 2: an instantaneous heater of not more than 1 gal (4 L) that is identified as
suitable. Editions to 2020 also required a marking that a relief valve is to be fitted; in a secondary copy of the 2023
edition it is absent, so the valve rests on the plumbing code and the instructions, and a nameplate without the marking
settles nothing. The volume alone never settles it either: the nameplate is to be read in every case.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.model.figures import Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import HeaterModel
from generator.si import GALLON_M3

EXEMPT_VOLUME_M3 = GALLON_M3
VOLUMES = ("volume", "exempt")
LIMITER_MARKING = Rule("limiter-marking", {"small": VOLUMES, "large": VOLUMES})


def limiter_marking(model: HeaterModel, sources: Mapping[str, str]) -> Judgement:
    """Judge whether the exception for a small instantaneous heater can apply."""
    small = model.water.volume_m3 <= EXEMPT_VOLUME_M3 * (1.0 + 1e-9)
    values = (Value("volume", model.water.volume_m3, "volume", "up"), Value("exempt", EXEMPT_VOLUME_M3, "volume"))
    source = sources[LIMITER_MARKING.name]
    return LIMITER_MARKING.judge("small" if small else "large", "ok" if small else "attention", values, source=source)
