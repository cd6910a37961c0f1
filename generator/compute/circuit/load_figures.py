"""The load of a feed as figures with working: current, powers, and the conductors that the connection takes."""

from __future__ import annotations

from generator.compute.band import Band
from generator.compute.circuit.load import HIGHEST_SUPPLY_RATIO, Load
from generator.compute.circuit.values import amps, percent, volts
from generator.compute.sources import NAMEPLATE
from generator.model.figures import Figure, Step, Value
from generator.model.said import say

OHM = say("ohm")
MARKED = say("marked-governs")
REFUSED = say("not-connected")


def load_current(load: Load, source: str) -> Figure:
    """Return the current the circuit is sized for: as marked, or at a supply above its ordinary range."""
    steps = (*_rated_steps(load), _supply_current(load), _taken(load, source))
    return Figure(f"{load.id}.load-current", say("load-current"), load.current_a, "current", "at_least", steps)


def connection_figures(load: Load) -> tuple[Figure, ...]:
    """Return rated current, current and power at the supply voltage, and the conductors in words."""
    rated, supply = _rated_steps(load), _supply_current(load)
    inputs = (_power(load), volts("V", load.connection.voltage_v), volts("V_rated", load.connection.rating.voltage_v))
    result = Value("P_supply", load.supply_power_w, "power")
    power = Step("P_supply = P_feed × (V / V_rated)²", inputs, result, OHM)
    return (
        Figure(f"{load.id}.rated-current", say("rated-current"), load.rated_current_a, "current", "at_least", rated),
        Figure(
            f"{load.id}.supply-current",
            say("supply-current"),
            load.supply_current_a,
            "current",
            "at_least",
            (*rated, supply),
        ),
        Figure(
            f"{load.id}.supply-power", say("supply-power"), load.supply_power_w, "power", "neither", (rated[0], power)
        ),
        Figure(f"{load.id}.conductors", say("conductors"), conductors_in_words(load), "text"),
    )


def band_current(load: Load, band: Band) -> Figure:
    """Return the greatest line current [A] that a sound heater takes of the feed over its band; no rule judges it.

    I_band = input × I_rated × V_max / V_rated: elements that take more than marked have less resistance (Ohm). Of
    the drop in the conductors, which would lower it, nothing is taken off.
    """
    taken, volts_most, rated_v = band.input.greatest, band.volts.greatest, load.connection.rating.voltage_v
    amps_most = taken * load.rated_current_a * volts_most / rated_v
    inputs = (
        Value("input", taken, "ratio", "at_least"),
        amps("I_rated", load.rated_current_a, "at_least"),
        volts("V_max", volts_most),
        volts("V_rated", rated_v),
    )
    result = amps("I_band", amps_most, "at_least")
    step = Step("I_band = input × I_rated × V_max / V_rated", inputs, result, OHM, say("sized-by-load"))
    return Figure(
        f"{load.id}.band-current", say("band-current"), amps_most, "current", "at_least", (*_rated_steps(load), step)
    )


def conductors_in_words(load: Load) -> str:
    """Return what is pulled to the heater, such as `2 line conductors, no neutral, 1 ground`."""
    lines = load.connection.lines
    neutral = say("one-neutral") if load.connection.neutral else say("no-neutral")
    return say(
        "conductors-pulled", lines=say("several-lines", lines=lines) if lines > 1 else say("one-line"), neutral=neutral
    )


def _power(load: Load) -> Value:
    return Value("P_feed", load.rated_power_w, "power")


def _rated_steps(load: Load) -> tuple[Step, Step]:
    rating = load.connection.rating
    inputs = (percent("share", load.share), Value("P_rated", rating.power_w, "power"))
    share = Step("P_feed = share × P_rated", inputs, _power(load), NAMEPLATE)
    current = (_power(load), volts("V_rated", rating.voltage_v))
    return share, Step(_formula(load), current, amps("I_rated", load.rated_current_a, "at_least"), OHM)


def _supply_current(load: Load) -> Step:
    connection = load.connection
    inputs = (
        amps("I_rated", load.rated_current_a, "at_least"),
        volts("V", connection.voltage_v),
        volts("V_rated", connection.rating.voltage_v),
    )
    return Step("I_supply = I_rated × V / V_rated", inputs, amps("I_supply", load.supply_current_a, "at_least"), OHM)


def _taken(load: Load, source: str) -> Step:
    rated, supply = (
        amps("I_rated", load.rated_current_a, "at_least"),
        amps("I_supply", load.supply_current_a, "at_least"),
    )
    taken = amps("I", load.current_a, "at_least")
    if load.supply_governs:
        return Step("I = max(I_rated, I_supply)", (rated, supply), taken, source)
    note = MARKED if load.connection.ratio <= HIGHEST_SUPPLY_RATIO else REFUSED
    return Step("I = I_rated", (rated,), taken, source, note)


def _formula(load: Load) -> str:
    if load.connection.phases == 1:
        return "I_rated = P_feed / V_rated"
    if any(stage.lines for stage in load.stages):
        return say("rated-of-lines")
    return "I_rated = P_feed / (√3 × V_rated)"
