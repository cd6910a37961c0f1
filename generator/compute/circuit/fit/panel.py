"""Whether a panel has room for every heater on it: pole spaces, and demand against rating.

The demand that a site states is the panel's without the heaters of this handbook, and the spaces are those free before
any of them is connected. Sites that name the same panel share both.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from generator.compute.circuit.load import Load
from generator.compute.circuit.values import amps, count, text
from generator.model.figures import Severity, Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import Panel, Site

SPACE_VALUES = ("needed", "free", "poles", "existing", "panel")
SPACES = Rule(
    "panel-spaces",
    {"enough": SPACE_VALUES, "too-few": SPACE_VALUES},
    lists={"others": ("site", "poles")},
    stops=("too-few",),
)
DEMAND_VALUES = ("demand", "method", "heater", "total", "cautious", "rating", "panel")
DEMAND = Rule(
    "panel-demand",
    {"within": DEMAND_VALUES, "above": DEMAND_VALUES},
    lists={"others": ("site", "current")},
    stops=("above",),
)


@dataclass(frozen=True, slots=True)
class Share:
    """What one site's heater takes of its panel.

    `heater_a`: current [A] of its greatest line; `factor`: that of a continuous load; `poles`: of its devices;
    `existing`: poles that are there already.
    """

    site: str
    heater_a: float
    factor: float
    poles: int
    existing: int

    @property
    def spaces(self) -> int:
        """Pole spaces that its new devices need; the poles of an existing device are there already."""
        return max(0, self.poles - self.existing)


def share(site: Site, circuits: Sequence[Load], *, poles: int, factor: float) -> Share:
    """Return what a site's heater, by the loads of its `circuits` of `poles` each, takes of the panel."""
    heater_a = circuits[0].heater_current_a * max(1.0, circuits[0].connection.ratio)
    existing = site.existing_circuit.poles if site.existing_circuit else 0
    return Share(site.title, heater_a, factor, poles * len(circuits), existing)


def panel_spaces(panel: Panel, own: Share, others: Sequence[Share], *, sources: Mapping[str, str]) -> Judgement:
    """Judge the free spaces for the new devices of all heaters on the panel. A heater that needs none is no matter."""
    needed = own.spaces + sum(other.spaces for other in others)
    values = (
        count("needed", needed),
        count("free", panel.spaces),
        count("poles", own.poles),
        count("existing", own.existing),
        *_named(panel),
    )
    rows = tuple({"site": text("site", other.site), "poles": count("poles", other.spaces)} for other in others)
    fits = own.spaces == 0 or needed <= panel.spaces
    case, lists = "enough" if fits else "too-few", {"others": rows}
    return SPACES.judge(case, "ok" if fits else "stop", values, lists=lists, source=sources[SPACES.name])


def panel_demand(panel: Panel, own: Share, others: Sequence[Share], *, sources: Mapping[str, str]) -> Judgement:
    """Judge the demand already on the panel plus all heaters on it [A] against its rating.

    Each heater counts at the full current of its greatest line, as if all stood on one line and ran at once: no
    diversity. `stop` when even the plain sum is above the rating, `attention` when the sum is with each heater's
    factor for a continuous load.
    """
    every = (own, *others)
    total = panel.demand_a + math.fsum(one.heater_a for one in every)
    cautious = panel.demand_a + math.fsum(one.factor * one.heater_a for one in every)
    most_a = panel.rating_a * (1.0 + 1e-9)
    severity: Severity = "stop" if total > most_a else "attention" if cautious > most_a else "ok"
    values = (
        amps("demand", panel.demand_a, "at_least"),
        text("method", panel.demand_method),
        amps("heater", own.heater_a, "at_least"),
        amps("total", total, "at_least"),
        amps("cautious", cautious, "at_least"),
        amps("rating", panel.rating_a),
        *_named(panel),
    )
    rows = tuple(
        {"site": text("site", one.site), "current": amps("current", one.heater_a, "at_least")} for one in others
    )
    case = "within" if severity == "ok" else "above"
    return DEMAND.judge(case, severity, values, lists={"others": rows}, source=sources[DEMAND.name])


def _named(panel: Panel) -> tuple[Value, ...]:
    return () if panel.id is None else (text("panel", panel.id),)
