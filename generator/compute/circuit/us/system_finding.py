"""Which lines of the supply a heater may take, by how the supply's transformer is connected.

A high-leg delta (240 V between lines) has two lines of 120 V to ground and one of 208 V, which is 240 V x sqrt(3)/2: to
the neutral it gives a 120 V heater three times its power, and a device marked 120/240 V is not made for it. A
corner-grounded delta has 240 V from two lines to ground, and no neutral. Sources: NFPA 70 (2023) 240.85, 110.15,
408.3(E), from memory, 240.85 agreed with secondary copies (mikeholt.com, changes of the 2002 edition).
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.circuit.values import text
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import Site

# Two lines below this [V] are those of 208Y/120 V, beside which a neutral carries current: halfway between 208 V plus
# 5 % and 240 V less 5 % (ANSI C84.1-2020 Range A, secondary copy: ustpower.com).
WYE_BELOW_V = 223.0
# A line to neutral of up to this [V] is one of 120 V, which a high-leg delta has too.
LOW_TO_NEUTRAL_V = 140.0
VALUES = ("system", "how")
SYSTEM = Rule(
    "supply-system",
    {
        case: VALUES
        for case in ("fits", "not-stated", "high-leg", "high-leg-neutral", "corner-grounded", "corner-grounded-neutral")
    },
    choices={"how": ("three-lines", "line-and-neutral", "two-lines", "lines-and-neutral")},
    stops=("corner-grounded-neutral",),
)


def wye(site: Site, connection: SupplyConnection) -> bool:
    """Return whether a neutral beside two lines carries current, as on a wye: as stated, else by voltage and panel."""
    if site.supply.system is not None:
        return site.supply.system == "wye"
    return site.supply.panel.phases == 3 or connection.voltage_v < WYE_BELOW_V


def supply_system(site: Site, connection: SupplyConnection, sources: Mapping[str, str]) -> Judgement:
    """Judge whether the heater's connection can be made from the supply's system, and from which lines."""
    system = site.supply.system
    how = "three-lines" if connection.phases == 3 else "two-lines"
    if connection.neutral:
        how = "line-and-neutral" if connection.to_neutral else "lines-and-neutral"
    values = (*(() if system is None else (text("system", system),)), text("how", how))
    case, severity = _case(site, connection)
    return SYSTEM.judge(case, severity, values, source=sources[SYSTEM.name])


def _case(site: Site, connection: SupplyConnection) -> tuple[str, Severity]:
    system, neutral = site.supply.system, connection.neutral
    if system is None:
        return ("not-stated", "attention") if _may_be_delta(site, connection) else ("fits", "ok")
    if system == "high-leg delta":
        return "high-leg-neutral" if neutral else "high-leg", "attention"
    if system == "corner-grounded delta":
        return ("corner-grounded-neutral", "stop") if neutral else ("corner-grounded", "attention")
    return "fits", "ok"


def _may_be_delta(site: Site, connection: SupplyConnection) -> bool:
    """Return whether a supply of which nobody has stated it can be a delta; 208 V between lines is a wye's."""
    if site.supply.panel.phases != 3:
        return False
    if connection.to_neutral:
        return connection.voltage_v <= LOW_TO_NEUTRAL_V
    return connection.voltage_v >= WYE_BELOW_V
