"""The temperature limiter, 422.47, and what the nameplate says of a relief valve.

Storage and instantaneous heaters have, besides the control, a limiter that opens every ungrounded conductor and is
reset by hand or replaced. Exception 2: an instantaneous heater of not more than 1 gal (4 L) that is identified as
suitable. Editions to 2020 also required a marking that a relief valve is to be fitted; in a secondary copy of the 2023
edition it is absent, so the valve rests on the plumbing code and the instructions, and a nameplate without the marking
settles nothing. The volume alone never settles it either: the nameplate is to be read in every case.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import Judgement
from generator.model.figures import Sentence, Severity, Value
from generator.model.heater import HeaterModel
from generator.si import GALLON_M3

EXEMPT_VOLUME_M3 = GALLON_M3


def limiter_marking(model: HeaterModel, sources: Mapping[str, str]) -> Judgement:
    """Judge whether the exception for a small instantaneous heater can apply."""
    small = model.water.volume_m3 <= EXEMPT_VOLUME_M3 * (1.0 + 1e-9)
    values = (Value("volume", model.water.volume_m3, "volume", "up"), Value("exempt", EXEMPT_VOLUME_M3, "volume"))
    template = (
        "The heater holds {volume}; the exception for instantaneous heaters identified as suitable ends at {exempt}. "
        "Whether this one is so identified stands on its nameplate: verify it there."
    )
    why = "Water shut in and heated bursts the vessel, or scalds, unless a limiter and a relief valve stop it."
    do = (
        "Verify on the nameplate a limiter that opens every line conductor and is reset by hand, and fit the relief "
        "valve that the nameplate asks for."
    )
    if small:
        do = f"Verify on the nameplate that the heater is identified as suitable without. Where it is not: {do}"
    do = (
        f"{do} A nameplate that names no relief valve does not settle it: fit the valve that the plumbing code or the "
        "instructions ask for."
    )
    severity: Severity = "ok" if small else "attention"
    return Judgement("limiter-marking", severity, Sentence(template, values), why, do, sources["limiter-marking"])
