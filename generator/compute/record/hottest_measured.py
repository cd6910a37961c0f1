"""The finding `hottest-measured`: whether the hottest water that was met keeps its limit on the warmest day too.

Severity: `stop` where a reading, carried to the warmest inlet, the greatest voltage and the drop-out flow below it,
passes the limit of a fixture without a mixing valve that holds it: what was read is no estimate. `ok` where it does
not, and where nothing was read, which is `commissioned`'s to say.
"""

from __future__ import annotations

from generator.compute.heat import balance
from generator.compute.known import Known
from generator.compute.severity import ok_or_stop
from generator.compute.use.allowed_reading import open_limit_k
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule

_FOUND = ("met", "limit", "hottest")
RULE = Rule(
    "hottest-measured", {"none": (), "valves-only": ("met",), "within": _FOUND, "above": _FOUND}, stops=("above",)
)


def hottest_measured(facts: Known) -> Finding:
    """Return the finding `hottest-measured` of a site."""
    heat, site = facts.heat, facts.at.site
    if heat.met_k is None:
        return RULE.judge("none", "ok", source=balance.BALANCE).at(site.id)
    met = Value("met", heat.met_k, "temperature", "at_least")
    limit_k = open_limit_k(site, heat.default_limit_k, facts.at.plumbing.limits)
    if limit_k is None:
        return RULE.judge("valves-only", "ok", (met,), source=balance.BALANCE).at(site.id)
    top = Value("hottest", heat.at_top[heat.selected - 1].temperature_k, "temperature", "at_least")
    within = heat.met_k <= limit_k
    values = (met, Value("limit", limit_k, "temperature", "at_most"), top)
    return RULE.judge("within" if within else "above", ok_or_stop(within), values, source=balance.BALANCE).at(site.id)
