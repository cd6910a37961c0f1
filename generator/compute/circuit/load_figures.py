"""The load of a feed as figures with working: current, powers, and the conductors that the connection takes."""

from __future__ import annotations

from generator.compute.circuit.load import HIGHEST_SUPPLY_RATIO, Load
from generator.compute.circuit.working import amps, percent, volts
from generator.model.figures import Figure, Step, Value

NAMEPLATE = "nameplate of the model"
OHM = "Ohm's law; resistive load, power factor 1"
MARKED = "the marked rating governs within the ordinary range of a supply, to 5 % above"
REFUSED = "the heater must not be connected to this supply: the circuit is shown for its nameplate"


def load_current(load: Load, source: str) -> Figure:
    """Return the current the circuit is sized for: as marked, or at a supply above its ordinary range."""
    steps = (*_rated_steps(load), _supply_current(load), _taken(load, source))
    return Figure(f"{load.id}.load-current", "Load current", load.current_a, "current", "up", steps)


def connection_figures(load: Load) -> tuple[Figure, ...]:
    """Return rated current, current and power at the supply voltage, and the conductors in words."""
    rated, supply = _rated_steps(load), _supply_current(load)
    inputs = (_power(load), volts("V", load.connection.voltage_v), volts("V_rated", load.connection.rating.voltage_v))
    result = Value("P_supply", load.supply_power_w, "power")
    power = Step("P_supply = P_feed × (V / V_rated)²", inputs, result, OHM)
    return (
        Figure(f"{load.id}.rated-current", "Current as rated", load.rated_current_a, "current", "up", rated),
        Figure(
            f"{load.id}.supply-current",
            "Current at the supply",
            load.supply_current_a,
            "current",
            "up",
            (*rated, supply),
        ),
        Figure(
            f"{load.id}.supply-power", "Power at the supply", load.supply_power_w, "power", "nearest", (rated[0], power)
        ),
        Figure(f"{load.id}.conductors", "Conductors", conductors_in_words(load), "text"),
    )


def conductors_in_words(load: Load) -> str:
    """Return what is pulled to the heater, such as `2 line conductors, no neutral, 1 ground`."""
    lines = load.connection.lines
    neutral = "1 neutral" if load.connection.neutral else "no neutral"
    return f"{lines} line conductor{'s' if lines > 1 else ''}, {neutral}, 1 ground"


def _power(load: Load) -> Value:
    return Value("P_feed", load.rated_power_w, "power")


def _rated_steps(load: Load) -> tuple[Step, Step]:
    rating = load.connection.rating
    inputs = (percent("share", load.share), Value("P_rated", rating.power_w, "power"))
    share = Step("P_feed = share × P_rated", inputs, _power(load), NAMEPLATE)
    current = (_power(load), volts("V_rated", rating.voltage_v))
    return share, Step(_formula(load), current, amps("I_rated", load.rated_current_a, "up"), OHM)


def _supply_current(load: Load) -> Step:
    connection = load.connection
    inputs = (
        amps("I_rated", load.rated_current_a, "up"),
        volts("V", connection.voltage_v),
        volts("V_rated", connection.rating.voltage_v),
    )
    return Step("I_supply = I_rated × V / V_rated", inputs, amps("I_supply", load.supply_current_a, "up"), OHM)


def _taken(load: Load, source: str) -> Step:
    rated, supply = amps("I_rated", load.rated_current_a, "up"), amps("I_supply", load.supply_current_a, "up")
    taken = amps("I", load.current_a, "up")
    if load.supply_governs:
        return Step("I = max(I_rated, I_supply)", (rated, supply), taken, source)
    note = MARKED if load.connection.ratio <= HIGHEST_SUPPLY_RATIO else REFUSED
    return Step("I = I_rated", (rated,), taken, source, note)


def _formula(load: Load) -> str:
    if load.connection.phases == 1:
        return "I_rated = P_feed / V_rated"
    if any(stage.lines for stage in load.stages):
        return "I_rated = greatest line current, the stages' currents across their pairs of lines added as phasors"
    return "I_rated = P_feed / (√3 × V_rated)"
