"""The trade's constant beside the enthalpy balance: what "500" would have to be, and by how much it misses.

The trade computes power [Btu/h] = 500 x flow [gpm] x rise [degF]. With the flow metered at the inlet the balance gives

    K = rho(T_in) (h(T_out) - h(T_in)) / (T_out - T_in)

in the same units. Shown for comparison; no result of the handbook uses the constant.
"""

from __future__ import annotations

from collections.abc import Callable

from generator.compute.heat import balance as heating
from generator.compute.heat import water
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.said import say
from generator.si import BTU_J, FAHRENHEIT_K, GPM_M3_S, from_fahrenheit

TRADE_CONSTANT = 500.0  # Btu/h per gpm per degF; common practice, no source

# One Btu/h per gpm per degF in J/(m3 K). International Table Btu and US gallon: NIST SP 811 (2008), appendix B.8.
UNIT_J_M3_K = (BTU_J / 3600.0) / GPM_M3_S / FAHRENHEIT_K

INLETS_F = (40.0, 54.0, 70.0)
OUTLETS_F = (80.0, 100.0, 120.0, 140.0)


def constant(inlet_k: float, outlet_k: float, metered_k: float) -> float:
    """Return K [Btu/h per gpm per degF] from inlet to outlet [K], the flow metered in water at `metered_k` [K].

    K = rho(T_metered) (h_out - h_in) / (T_out - T_in); the trade's 500 (common practice, no source) lies near it:

    >>> round(constant(from_fahrenheit(50.0), from_fahrenheit(90.92), from_fahrenheit(50.0)))
    500
    """
    heat = water.density(metered_k) * (water.enthalpy(outlet_k) - water.enthalpy(inlet_k))
    return heat / (outlet_k - inlet_k) / UNIT_J_M3_K


def comparison() -> tuple[FigureTable, FigureTable, FigureTable]:
    """Return tables over outlet and inlet: K; how far 500 is from K metered at the inlet; the same at the outlet."""
    return (
        _table("constant", say("trade-constants"), _constant_cell),
        _table("cold", say("trade-difference-inlet"), _difference_cold),
        _table("hot", say("trade-difference-outlet"), _difference_hot),
    )


def _constant_cell(id_: str, inlet: Value, outlet: Value) -> Figure:
    step = _step(inlet, outlet, inlet)
    return Figure(id_, say("trade-constant"), step.result.value, "number", "neither", (step,))


def _difference_cold(id_: str, inlet: Value, outlet: Value) -> Figure:
    return _difference(id_, _step(inlet, outlet, inlet))


def _difference_hot(id_: str, inlet: Value, outlet: Value) -> Figure:
    return _difference(id_, _step(inlet, outlet, outlet))


def _difference(id_: str, step: Step) -> Figure:
    ratio = TRADE_CONSTANT / float(step.result.value) - 1.0
    missed = Step("500 / K − 1", (step.result,), Value(say("difference"), ratio, "ratio"), say("definition"))
    return Figure(id_, say("trade-difference"), ratio, "ratio", "neither", (step, missed))


def _step(inlet: Value, outlet: Value, metered: Value) -> Step:
    value = constant(float(inlet.value), float(outlet.value), float(metered.value))
    formula = f"K = ρ({metered.symbol}) × (h(T_out) − h(T_in)) / (T_out − T_in)"
    return Step(formula, (inlet, outlet), Value("K", value, "number"), heating.BALANCE, say("trade-units"))


def _table(name: str, title: str, cell: Callable[[str, Value, Value], Figure]) -> FigureTable:
    inlets = tuple(Value("T_in", from_fahrenheit(degrees_f), "temperature") for degrees_f in INLETS_F)
    rows = []
    for degrees_f in OUTLETS_F:
        outlet = Value("T_out", from_fahrenheit(degrees_f), "temperature")
        ids = [f"method.500.{name}.{degrees_f:.0f}.{inlet_f:.0f}" for inlet_f in INLETS_F]
        rows.append((outlet, tuple(cell(id_, inlet, outlet) for id_, inlet in zip(ids, inlets, strict=True))))
    return FigureTable(f"method.500.{name}", title, say("outlet-by-inlet"), inlets, tuple(rows))
