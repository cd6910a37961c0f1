"""The hottest water that may be read on the day of the test, so that the warmest day keeps the limit too.

Closing a tap slowly in January proves nothing for August: the water enters warmer then, and the supply may be higher.
The reading is carried to the warmest inlet and the greatest supply voltage of the site's band; the heater's own input
and switching flows are in the reading. At one flow the heat that the water takes goes with the power, and the power
of a resistive element with the square of its voltage:

    rho(T_now) (h(T_allowed) - h(T_now)) = rho(T_warmest) (h(T_limit) - h(T_warmest)) (V / V_max)^2

which is, within about a hundredth of the rise, T_allowed = T_now + (T_limit - T_warmest) (V / V_max)^2. Behind a
thermostatic mixing valve the valve is set and tested instead, so the limit is that of the fixtures without one.
Source: steady-flow energy balance (`heat.balance`), Ohm and Joule.
"""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.band import Band
from generator.compute.heat import balance
from generator.compute.heat.burn import hotter_row_k
from generator.compute.sources import sources
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.compute.use.guard import guarded
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.heater import HeaterModel
from generator.model.said import say
from generator.model.site import Site
from generator.model.tables.burns import BurnTable
from generator.model.tables.plumbing import PlumbingLimits

# The first column: the least supply with what its circuit loses at the most, a twentieth (NFPA 70 recommends less).
LOST = 0.05
INLETS = 3  # rows, from the coldest inlet to the warmest
NOTE = say("allowed-note")
_HELD = "T_allowed ≥ T_cut-out"
_RULE = "h(T_allowed) = h(T_now) + ρ(T_warmest) (h(T_limit) − h(T_warmest)) / ρ(T_now) × (V / V_max)²"


def allowed_reading_k(inlet_k: float, volts: float, *, limit_k: float, warmest_k: float, held_k: float = 0.0) -> float:
    """Return the hottest reading allowed [K] at an inlet [K] and a voltage, as a part of the greatest.

    `held_k`: what the cut-out holds where that keeps the limit (`kept_by_cut_out_k`), which a reading may always reach.

    Every flow gives the same. At the warmest inlet and the greatest voltage it is the limit itself:

    >>> round(allowed_reading_k(295.0, 1.0, limit_k=322.0, warmest_k=295.0), 6)
    322.0
    """
    flow_m3_s = 1e-4
    power_w = balance.power_for_outlet_w(warmest_k, limit_k, flow_m3_s) * volts**2
    return max(held_k, balance.outlet_k(inlet_k, flow_m3_s, power_w))


def kept_by_cut_out_k(model: HeaterModel, limit_k: float, burns: Sequence[BurnTable]) -> float:
    """Return the cut-out's setting [K] where what it lets pass, the burn tables' next hotter row, keeps a limit [K].

    Else zero. Water that the cut-out holds today it holds on the warmest day too.
    """
    cut_out_k = model.water.cut_out_k
    return cut_out_k if hotter_row_k(cut_out_k, burns) <= limit_k else 0.0


def open_limit_k(site: Site, default_limit_k: float, code: PlumbingLimits) -> float | None:
    """Return the lowest limit [K] of the fixtures that no mixing valve holds to theirs; None where all have one."""
    by_fixture = ((fixture, fixture_limit_k(fixture, default_limit_k, code)) for fixture in site.fixtures)
    return min((limit_k for fixture, limit_k in by_fixture if not guarded(fixture, limit_k, code)), default=None)


def allowed_readings(
    prefix: str, site: Site, band: Band, *, default_limit_k: float, code: PlumbingLimits, held_k: float = 0.0
) -> FigureTable | None:
    """Return the greatest readings [K] by inlet and by volts at the heater, rounded down.

    `held_k` as in `allowed_reading_k`. None where every fixture has a mixing valve that holds its limit, and where the
    warmest inlet itself is not below the limit: no reading is allowed then, and the findings stop the heater. Ids
    `<prefix>.allowed.inlet-<n>.volts-<which>`.
    """
    coldest_k, warmest_k, volts = band.coldest_k.least, band.warmest_k.greatest, band.volts
    limit_k, most_v = open_limit_k(site, default_limit_k, code), volts.greatest
    if limit_k is None or limit_k <= warmest_k:
        return None
    conditions = (
        Value("T_limit", limit_k, "temperature", "at_most"),
        Value("T_warmest", warmest_k, "temperature"),
        Value("V_max", most_v, "voltage"),
    )
    inlets = [coldest_k + (warmest_k - coldest_k) * place / (INLETS - 1) for place in range(INLETS)]
    by_name = {"low": (1.0 - LOST) * volts.least, "least": volts.least, "stated": volts.nominal, "greatest": most_v}

    def cell(id_: str, inlet_k: float, now_v: float) -> Figure:
        allowed_k = allowed_reading_k(inlet_k, now_v / most_v, limit_k=limit_k, warmest_k=warmest_k, held_k=held_k)
        now = Value("T_now", inlet_k, "temperature"), Value("V", now_v, "voltage", "at_least")
        held = (Value("T_cut-out", held_k, "temperature", "at_most"),) if held_k else ()
        return _cell(id_, allowed_k, (*now, *conditions, *held))

    def row(number: int, inlet_k: float) -> tuple[Value, tuple[Figure, ...]]:
        id_ = f"{prefix}.allowed.inlet-{number}.volts"
        cells = (cell(f"{id_}-{name}", inlet_k, now_v) for name, now_v in by_name.items())
        return Value("T_now", inlet_k, "temperature", "at_least"), tuple(cells)

    rows = tuple(row(number, inlet_k) for number, inlet_k in enumerate(inlets, start=1))
    title = say("allowed-today")
    columns = tuple(Value("V", now_v, "voltage", "at_least") for now_v in by_name.values())
    return FigureTable(f"{prefix}.allowed", title, say("allowed-corner"), columns, rows, NOTE, conditions)


def _cell(id_: str, allowed_k: float, inputs: tuple[Value, ...]) -> Figure:
    result = Value("T_allowed", allowed_k, "temperature", "at_most")
    held = any(value.symbol == "T_cut-out" for value in inputs)
    step = Step(f"{_RULE}; {_HELD}" if held else _RULE, inputs, result, sources(balance.BALANCE, balance.JOULE))
    return Figure(id_, say("allowed-reading"), allowed_k, "temperature", "at_most", (step,))
