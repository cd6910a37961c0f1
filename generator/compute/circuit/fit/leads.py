"""Whether the heater's leads are those of its connection: one for each line, one for a neutral, one to ground.

A lead made for the neutral that is joined to a line stands live behind whatever the heater switches.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.circuit.values import text, volts
from generator.errors import CannotCompute
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import HeaterModel, LeadRole

LINE_LEADS: Mapping[int, tuple[LeadRole, ...]] = {
    1: ("line",),
    2: ("line 1", "line 2"),
    3: ("line 1", "line 2", "line 3"),
}


TAKEN = ("one-line", "two-lines", "three-lines")
STAR_ROUNDING = 0.03
WITH_NEUTRAL = tuple(f"{lines}-and-neutral" for lines in TAKEN)
LEADS = Rule(
    "heater-leads",
    {"fit": ("taken",), "differ": ("taken",), "star": ("taken", "rated", "between")},
    lists={"leads": ("lead",)},
    choices={"taken": (*TAKEN, *WITH_NEUTRAL)},
    stops=("differ", "star"),
)


def require_leads(model: HeaterModel, connections: Sequence[SupplyConnection]) -> None:
    """Refuse, with CannotCompute, leads that do not fit the ratings: `connections` holds one for each of them."""
    electrical = model.electrical
    if all(one.to_neutral for one in connections) and not electrical.neutral_needed:
        wrong = f"the heater is rated {connections[0].rating.voltage_v:g} V, which stands between line and neutral"
        raise CannotCompute(("electrical", "neutral_needed"), wrong, "neutral_needed: yes, or another rating")
    neutral: tuple[LeadRole, ...] = ("neutral",) if any(one.neutral for one in connections) else ()
    wanted = (*LINE_LEADS[max(one.lines for one in connections)], *neutral, "ground")
    have = [lead.role for lead in electrical.leads]
    expected = f"the leads {', '.join(wanted)}"
    for role in wanted:
        if role not in have:
            wrong = f"ratings and neutral_needed call for a lead '{role}', and none is listed"
            raise CannotCompute(("electrical", "leads"), wrong, expected)
    for index, role in enumerate(have):
        if role not in wanted:
            wrong = f"no rating of the heater, nor neutral_needed, calls for a lead '{role}'"
            raise CannotCompute(("electrical", "leads", index, "role"), wrong, expected)


def heater_leads(model: HeaterModel, connection: SupplyConnection, sources: Mapping[str, str]) -> Judgement:
    """Judge the heater's leads against the connection at the site; `stop` where they differ.

    A heater of three line leads may leave one unused where it connects by a single-phase rating.
    """
    have = [lead.role for lead in model.electrical.leads]
    lines = sum(role != "neutral" and role != "ground" for role in have)
    spare = lines == 3 and connection.phases == 1
    fits = (lines == connection.lines or spare) and (not connection.neutral or "neutral" in have)
    star = _star_v(model, connection)
    rows = tuple({"lead": text("lead", lead)} for lead in have)
    taken = (WITH_NEUTRAL if connection.neutral else TAKEN)[connection.lines - 1]
    case = "star" if star is not None else "fit" if fits else "differ"
    between = () if star is None else (volts("rated", connection.rating.voltage_v), volts("between", star))
    values, source = (text("taken", taken), *between), sources[LEADS.name]
    return LEADS.judge(case, "ok" if case == "fit" else "stop", values, lists={"leads": rows}, source=source)


def _star_v(model: HeaterModel, connection: SupplyConnection) -> float | None:
    """Return the three-phase rating [V] of which a rating put across two lines is the voltage to neutral, else None.

    400 V of three phases is 230 V from each line to neutral (IEC 60038:2009, table 1, from memory): such a heater has
    its elements between line and neutral, and across two lines its neutral lead would be joined to one.
    """
    if connection.phases == 3 or connection.to_neutral:
        return None
    star_v = math.sqrt(3.0) * connection.rating.voltage_v
    return next((one.voltage_v for one in model.ratings if one.phases == 3 and _near(one.voltage_v, star_v)), None)


def _near(voltage_v: float, other_v: float) -> bool:
    """Return whether two rated voltages are the same but for their rounding, as 400 V is for 230 V."""
    return abs(voltage_v / other_v - 1.0) <= STAR_ROUNDING
