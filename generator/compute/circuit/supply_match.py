"""Whether the supply suits the heater: voltage, frequency, phases, neutral."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.connection import Connection
from generator.compute.circuit.findings import judgement
from generator.compute.circuit.load import HIGHEST_SUPPLY_RATIO
from generator.compute.circuit.working import count, percent, text, volts
from generator.compute.heat.balance import power_at_voltage_w
from generator.compute.verdict.supply import LOWEST_ORDINARY, ORDINARY_RATIO
from generator.model.figures import Severity, Value
from generator.model.finding_rules import Judgement
from generator.model.heater import HeaterModel
from generator.model.site import Site

# Supply over rated voltage. The two limits at which we say stop are this handbook's own: above, the elements outrun
# their circuit; below, a heater so starved is on the wrong system.
LOWEST = 0.80
SAME_FREQUENCY_HZ = 0.5

# Whether the supply has a neutral, in words.
_NEUTRAL = {
    True: "the supply has one",
    False: "the supply has none",
    None: "whether the supply has one is not stated",
}


def supply_voltage(connection: Connection, sources: Mapping[str, str]) -> Judgement:
    """Judge the supply voltage against the rated one; power and rise go with the square."""
    rating, ratio = connection.rating, connection.ratio
    power = power_at_voltage_w(rating.power_w, rating.voltage_v, connection.voltage_v)
    values = (
        volts("supply", connection.voltage_v),
        volts("rated", rating.voltage_v),
        Value("power", power, "power"),
        Value("rated_power", rating.power_w, "power"),
        percent("share", ratio**2),
    )
    template = "The supply is {supply} and the heater is rated {rated}: it takes {power}, {share} of its {rated_power}."
    why = "A resistance takes power, and so gives rise, with the square of the voltage."
    return judgement(
        "supply-voltage", _severity(ratio), template, values, why, _what_to_do(ratio), sources["supply-voltage"]
    )


def _severity(ratio: float) -> Severity:
    if LOWEST_ORDINARY - 1e-9 <= ratio <= ORDINARY_RATIO + 1e-9:
        return "ok"
    return "attention" if LOWEST <= ratio <= HIGHEST_SUPPLY_RATIO else "stop"


def _what_to_do(ratio: float) -> str:
    if ratio > HIGHEST_SUPPLY_RATIO:
        return "Do not connect: elements and circuit would overheat. Use a heater rated for this supply."
    if ratio > 1.0:
        return "Ask the maker whether the heater may run at this voltage, and size its circuit for the current there."
    if ratio < LOWEST:
        return "Do not connect: the heater is for another system. Use a heater rated for this supply."
    return "Read the rise and the flow limits for this voltage, not for the rated one."


def supply_frequency(site: Site, model: HeaterModel, sources: Mapping[str, str]) -> Judgement:
    """Judge the supply frequency against the heater's."""
    values = (
        Value("supply", site.supply.frequency_hz, "frequency"),
        Value("rated", model.frequency_hz, "frequency"),
    )
    same = abs(site.supply.frequency_hz - model.frequency_hz) <= SAME_FREQUENCY_HZ
    why = "Elements work at any frequency; relays, timers and the control's own supply may not."
    return judgement(
        "supply-frequency",
        "ok" if same else "attention",
        "The supply is {supply} and the heater is marked {rated}.",
        values,
        why,
        "Ask the maker whether the heater is listed for this frequency before it is connected.",
        sources["supply-frequency"],
    )


def supply_phases(site: Site, connection: Connection, sources: Mapping[str, str]) -> Judgement:
    """Judge the phases of panel, supply and heater against one another."""
    panel = site.supply.panel.phases
    served = panel >= site.supply.phases
    how = "three lines" if connection.phases == 3 else "one line and neutral" if connection.to_neutral else "two lines"
    values = (count("panel", panel), count("supply", site.supply.phases), text("how", how))
    template = "Phases at the panel: {panel}; of the supply to the heater: {supply}; the heater connects to {how}."
    why = "A panel cannot feed more phases than it has, and three-phase elements need all three."
    do = "Do not connect. Feed the heater from a three-phase panel, or use a single-phase heater."
    return judgement("supply-phases", "ok" if served else "stop", template, values, why, do, sources["supply-phases"])


def supply_neutral(site: Site, connection: Connection, sources: Mapping[str, str]) -> Judgement:
    """Judge whether the neutral that the connection takes is there; `attention` where none is stated but needed."""
    present = site.supply.neutral_present
    values = (
        text("needed", "needs a neutral" if connection.neutral else "needs no neutral"),
        text("there", _NEUTRAL[present]),
    )
    severity: Severity = "ok"
    do = "Have a neutral conductor run from the panel, or use a heater that needs none."
    if connection.neutral and not present:
        severity = "attention" if present is None else "stop"
    if present is None:
        do = "Find out whether the supply has a neutral conductor, and state it."
    why = "A grounding conductor is never a neutral: current in it makes metal that people touch live."
    template = "The heater {needed}; {there}."
    return judgement("supply-neutral", severity, template, values, why, do, sources["supply-neutral"])
