"""The finding `supply-measured`: whether the volts that were read lie in the range that the site is judged over.

Severity: `attention` where a reading lies above it, for hotter water and more current follow than were judged, or below
it by more than the heater's own circuit loses, for the heat is short. `ok` else, and where nothing was read.
"""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.known import Known
from generator.compute.severity import ok_or_attention
from generator.compute.sources import PRACTICE, STATED, sources
from generator.compute.use.allowed_reading import LOST
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule
from generator.model.readings import Reading

SOURCE = sources(STATED, PRACTICE)
_FOUND = ("lowest", "highest", "least", "greatest")
RULE = Rule("supply-measured", {"none": (), "within": _FOUND, "above": _FOUND, "below": _FOUND})


def supply_measured(facts: Known) -> Finding:
    """Return the finding `supply-measured` of a site, by all visits since it was commissioned."""
    site, volts = facts.at.site, facts.heat.band.volts
    read = [value for one in facts.judged for value in _read(one.record.reading)]
    if not read:
        return RULE.judge("none", "ok", source=SOURCE).at(site.id)
    values = (
        Value("lowest", min(read), "voltage"),
        Value("highest", max(read), "voltage"),
        Value("least", volts.least, "voltage", "at_least"),
        Value("greatest", volts.greatest, "voltage", "at_most"),
    )
    below = min(read) < volts.least * (1.0 - LOST)
    case = "above" if max(read) > volts.greatest else "below" if below else "within"
    return RULE.judge(case, ok_or_attention(case == "within"), values, source=SOURCE).at(site.id)


def _read(reading: Reading) -> Iterator[float]:
    """Yield the volts of a visit that its voltmeter can read [V]."""
    meter = reading.instruments.voltmeter
    every = [volts for point in reading.points for volts in point.volts.values()]
    every += [volts for one in reading.circuits if one.volts for volts in one.volts.every]
    every += [reading.hottest.volts] if reading.hottest else []
    yield from (volts for volts in every if meter is None or meter.reads(volts))
