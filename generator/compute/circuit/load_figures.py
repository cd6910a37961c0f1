"""The load of a feed as figures with working: current, powers, and the conductors that the connection takes."""

from __future__ import annotations

from generator.compute.circuit.load import Load
from generator.compute.circuit.working import amps, percent, volts
from generator.model.figures import Figure, Step, Value

NAMEPLATE = "nameplate of the model"
OHM = "Ohm's law; resistive load, power factor 1"


def load_current(load: Load, source: str) -> Figure:
    """Return the current the circuit is sized for: the greater of as rated and at the supply voltage."""
    rating = load.connection.rating
    power = Value("P", load.rated_power_w, "power")
    share = Step(
        "P = share x Pr", (percent("share", load.share), Value("Pr", rating.power_w, "power")), power, NAMEPLATE
    )
    rated = amps("Ir", load.rated_current_a)
    by_power = Step(_formula(load), (power, volts("Vr", rating.voltage_v)), rated, OHM)
    supply = amps("Is", load.supply_current_a)
    inputs = (rated, volts("V", load.connection.voltage_v), volts("Vr", rating.voltage_v))
    by_voltage = Step("Is = Ir x V / Vr", inputs, supply, OHM)
    taken = Step("I = the greater", (rated, supply), amps("I", load.current_a, "up"), source)
    steps = (share, by_power, by_voltage, taken)
    return Figure(f"{load.id}.load-current", "Load current", load.current_a, "current", "up", steps)


def connection_figures(load: Load) -> tuple[Figure, ...]:
    """Return rated current, current and power at the supply voltage, and the conductors in words."""
    step = Step(_formula(load), (Value("P", load.rated_power_w, "power"),), amps("Ir", load.rated_current_a), OHM)
    power = Step(
        "Ps = P x (V / Vr)^2",
        (
            Value("P", load.rated_power_w, "power"),
            volts("V", load.connection.voltage_v),
            volts("Vr", load.connection.rating.voltage_v),
        ),
        Value("Ps", load.supply_power_w, "power"),
        OHM,
    )
    return (
        Figure(f"{load.id}.rated-current", "Current as rated", load.rated_current_a, "current", "up", (step,)),
        Figure(f"{load.id}.supply-current", "Current at the supply", load.supply_current_a, "current", "up", (power,)),
        Figure(f"{load.id}.supply-power", "Power at the supply", load.supply_power_w, "power", "nearest", (power,)),
        Figure(f"{load.id}.conductors", "Conductors", conductors_in_words(load), "text"),
    )


def conductors_in_words(load: Load) -> str:
    """Return what is pulled to the heater, such as `2 line conductors, no neutral, 1 ground`."""
    lines = load.connection.lines
    neutral = "1 neutral" if load.connection.neutral else "no neutral"
    return f"{lines} line conductor{'s' if lines > 1 else ''}, {neutral}, 1 ground"


def _formula(load: Load) -> str:
    if load.connection.phases == 1:
        return "Ir = P / Vr"
    if any(stage.lines for stage in load.stages):
        return "Ir = the greatest line current, phasor sum of the stages across their pairs of lines"
    return "Ir = P / (sqrt(3) x Vr)"
