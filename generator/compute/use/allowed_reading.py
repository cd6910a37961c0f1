"""The hottest water that may be read on the day of the test, so that the warmest day keeps the limit too.

Closing a tap slowly in January proves nothing for August: the water enters warmer then, and the supply may be higher.
The reading is carried to the warmest inlet and the greatest supply voltage of the site's band; the heater's own input
and switching flows are in the reading. At one flow the heat that the water
takes goes with the power, and the power of a resistive element with the square of its voltage:

    rho(T_now) (h(T_allowed) - h(T_now)) = rho(T_warmest) (h(T_limit) - h(T_warmest)) (V / V_greatest)^2

which is, within about a hundredth of the rise, T_allowed = T_now + (T_limit - T_warmest) (V / V_greatest)^2. Behind a
thermostatic mixing valve the valve is set and tested instead, so the limit is that of the fixtures without one.
Source: steady-flow energy balance (`heat.balance`), Ohm and Joule.
"""

from __future__ import annotations

from generator.compute.band import Band
from generator.compute.heat import balance
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.plumbing import PlumbingLimits
from generator.model.site import Site

# The first column: the least supply with what its circuit loses at the most, a twentieth (NFPA 70 recommends less).
LOST = 0.05
INLETS = 3  # rows, from the coldest inlet to the warmest
NOTE = (
    "Measured at the heater's outlet while a tap closes slowly. Take the next lower inlet and the next lower volts; "
    "below the first row, as many degrees less as the inlet is colder. Volts below the first column: mend the supply "
    "first. An inlet above the last row: the site's warmest inlet is wrong, so stop and have it corrected."
)
_RULE = "h(T_allowed) = h(T_now) + ρ(T_warmest) (h(T_limit) − h(T_warmest)) / ρ(T_now) × (V / V_greatest)²"


def allowed_reading_k(inlet_k: float, volts: float, *, limit_k: float, warmest_k: float) -> float:
    """Return the hottest reading allowed [K] at an inlet [K] and a voltage, as a part of the greatest.

    Every flow gives the same. At the warmest inlet and the greatest voltage it is the limit itself:

    >>> round(allowed_reading_k(295.0, 1.0, limit_k=322.0, warmest_k=295.0), 6)
    322.0
    """
    flow_m3_s = 1e-4
    power_w = balance.power_for_outlet_w(warmest_k, limit_k, flow_m3_s) * volts**2
    return balance.outlet_k(inlet_k, flow_m3_s, power_w)


def allowed_readings(
    prefix: str, site: Site, band: Band, *, default_limit_k: float, code: PlumbingLimits
) -> FigureTable | None:
    """Return the greatest readings [K] by inlet and by volts at the heater, rounded down.

    None where every fixture has a mixing valve that holds its limit, and where the warmest inlet itself is not below
    the limit: no reading is allowed then, and the findings stop the heater. Ids
    `<prefix>.allowed.inlet-<n>.volts-<which>`.
    """
    coldest_k, warmest_k, volts = band.coldest_k.least, band.warmest_k.greatest, band.volts
    by_fixture = ((fixture, fixture_limit_k(fixture, default_limit_k, code)) for fixture in site.fixtures)
    limits = [limit_k for fixture, limit_k in by_fixture if not fixture.guarded(limit_k)]
    if not limits or min(limits) <= warmest_k:
        return None
    limit_k, most_v = min(limits), volts.greatest
    conditions = (
        Value("T_limit", limit_k, "temperature", "down"),
        Value("T_warmest", warmest_k, "temperature"),
        Value("V_greatest", most_v, "voltage"),
    )
    inlets = [coldest_k + (warmest_k - coldest_k) * place / (INLETS - 1) for place in range(INLETS)]
    by_name = {"low": (1.0 - LOST) * volts.least, "least": volts.least, "stated": volts.nominal, "greatest": most_v}

    def cell(id_: str, inlet_k: float, now_v: float) -> Figure:
        allowed_k = allowed_reading_k(inlet_k, now_v / most_v, limit_k=limit_k, warmest_k=warmest_k)
        now = Value("T_now", inlet_k, "temperature"), Value("V", now_v, "voltage", "up")
        return _cell(id_, allowed_k, (*now, *conditions))

    def row(number: int, inlet_k: float) -> tuple[Value, tuple[Figure, ...]]:
        id_ = f"{prefix}.allowed.inlet-{number}.volts"
        cells = (cell(f"{id_}-{name}", inlet_k, now_v) for name, now_v in by_name.items())
        return Value("T_now", inlet_k, "temperature", "up"), tuple(cells)

    rows = tuple(row(number, inlet_k) for number, inlet_k in enumerate(inlets, start=1))
    title = "Hottest reading allowed today"
    columns = tuple(Value("V", now_v, "voltage", "up") for now_v in by_name.values())
    return FigureTable(f"{prefix}.allowed", title, "inlet now, by volts now", columns, rows, NOTE, conditions)


def _cell(id_: str, allowed_k: float, inputs: tuple[Value, ...]) -> Figure:
    result = Value("T_allowed", allowed_k, "temperature", "down")
    step = Step(_RULE, inputs, result, f"{balance.BALANCE}; {balance.JOULE}")
    return Figure(id_, "Hottest reading allowed", allowed_k, "temperature", "down", (step,))
