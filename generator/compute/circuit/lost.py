"""What a heater still does with one line of a three-phase supply open, or with one of its feeds off.

A heater that has lost a line is warm, not cold: the elements across the two lines left have full voltage, and those of
the other two pairs stand in series across them. Source: Ohm's and Kirchhoff's laws; resistive load, the supply holds
its voltage, drop of the conductors left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.compute.circuit.drop.divider import KIRCHHOFF, conductances, deliver
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.flow.operating_point import Operating
from generator.compute.heat import balance
from generator.compute.heat.stages import rating_for_supply
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.heater import Stage
from generator.model.results import LINES

NOTE = (
    "With the stages on that the working flow turns on, at the stated supply, without the drop of the conductors. "
    "Outlet at the coldest inlet and the working flow; at another, measure the rise and compare the currents."
)
# How power and current are found: with a line open, and with a feed off.
_OPEN = ("P = V² × (G_left + 1 / (1 / G_one + 1 / G_other))", "I = P / V")
_OFF = ("P = sum of the stages of the feeds left", "I = greatest line current of the feed, 0 of the one that is off")


def line_open(stages: Sequence[Stage], connection: SupplyConnection, line: int) -> tuple[float, float]:
    """Return the power [W] and the current [A] of the two lines left, with one line (0 for L1) of three open.

    P = V^2 (G_left + G_one G_other / (G_one + G_other)): G_left the conductance across the two lines left, the others
    those of the pairs that share the open line. A balanced load keeps half its power:

    >>> from generator.model.heater import Rating
    >>> one = Stage(share=1.0, closes_at_m3_s=2e-5, opens_at_m3_s=1e-5)
    >>> heater = SupplyConnection(Rating(voltage_v=208.0, phases=3, power_w=13500.0), 208.0, False, False)
    >>> round(line_open([one], heater, 2)[0], 6)  # by hand: two lines left of a delta, 1 + 1/2 of 3 parts
    6750.0
    """
    across = conductances(stages, connection)
    left = next(pair for pair in across if line not in pair)
    one, other = (across[pair] for pair in across if pair != left)
    siemens = across[left] + (one * other / (one + other) if one + other else 0.0)
    return connection.voltage_v**2 * siemens, connection.voltage_v * siemens


def lost_table(prefix: str, at: Operating, inlet_k: float) -> FigureTable | None:
    """Return power, outlet [K] at an inlet [K] and each feed's current with a line open and with a feed off.

    None where no stage is on at work, and for one feed on one pair of lines, which is cold then. Ids `<prefix>.lost.…`.
    """
    supply, model = at.site.supply, at.model
    rating = rating_for_supply(model, supply.voltage_v, supply.phases)
    connection = SupplyConnection(rating, supply.voltage_v, to_neutral=False, neutral=False)
    rows = tuple(_rows(f"{prefix}.lost", at, connection, inlet_k=inlet_k)) if at.closed else ()
    if not rows:
        return None
    feeds = (f"current, feed {feed.name}" for feed in model.electrical.feeds)
    columns = tuple(Value(head, head, "text") for head in ("power left", "outlet", *feeds))
    conditions = (Value("Q", at.working_m3_s, "flow"), Value("T_in", inlet_k, "temperature"))
    title = "With one line open or one feed off"
    return FigureTable(f"{prefix}.lost", title, "lost", columns, rows, NOTE, conditions)


def _rows(
    prefix: str, at: Operating, connection: SupplyConnection, *, inlet_k: float
) -> Iterator[tuple[Value, tuple[Figure, ...]]]:
    feeds = [[number for number in at.closed if number in feed.stages] for feed in at.model.electrical.feeds]
    names = [feed.name for feed in at.model.electrical.feeds]

    def stages(numbers: Sequence[int]) -> list[Stage]:
        return [at.model.stages[number - 1] for number in numbers]

    if connection.phases == 3:
        for place, line in enumerate(LINES):
            left = [line_open(stages(numbers), connection, place) for numbers in feeds]
            head = Value("lost", f"{line} open", "text")
            yield head, _cells(f"{prefix}.{line.lower()}", at, left, how=_OPEN, inlet_k=inlet_k)
    for off in range(len(feeds)) if len(feeds) > 1 else ():
        left = [(0.0, 0.0) if off == place else _whole(stages(own), connection) for place, own in enumerate(feeds)]
        head = Value("lost", f"feed {names[off]} off", "text")
        yield head, _cells(f"{prefix}.feed-{off + 1}", at, left, how=_OFF, inlet_k=inlet_k)


def _whole(stages: Sequence[Stage], connection: SupplyConnection) -> tuple[float, float]:
    """Return power [W] and greatest line current [A] of a feed that lacks nothing."""
    if not stages:
        return 0.0, 0.0
    found = deliver(stages, connection, conductor_ohm=0.0, supply_v=connection.voltage_v)
    return found.power_w, found.current_a


def _cells(
    id_: str, at: Operating, left: Sequence[tuple[float, float]], *, how: tuple[str, str], inlet_k: float
) -> tuple[Figure, ...]:
    power_w, flow_m3_s = sum(power_w for power_w, _ in left), at.working_m3_s
    outlet_k = float(balance.capped_outlet_k(inlet_k, flow_m3_s, power_w, ceiling_k=at.model.water.cut_out_k))
    power, outlet = Value("P", power_w, "power"), Value("T_out", outlet_k, "temperature")
    volts, flow = (Value("V", at.site.supply.voltage_v, "voltage"),), Value("Q", flow_m3_s, "flow")
    warmed = balance.outlet_step(balance.inlet_values(inlet_k), power, flow, outlet=outlet)

    def current(place: int, current_a: float) -> Figure:
        step = Step(how[1], volts, Value("I", current_a, "current"), KIRCHHOFF)
        label = f"Current, feed {at.model.electrical.feeds[place].name}"
        return Figure(f"{id_}.current-{place + 1}", label, current_a, "current", "nearest", (step,))

    return (
        Figure(f"{id_}.power", "Power left", power_w, "power", "nearest", (Step(how[0], volts, power, KIRCHHOFF),)),
        Figure(f"{id_}.outlet", "Outlet", outlet_k, "temperature", "nearest", (warmed,)),
        *(current(place, current_a) for place, (_, current_a) in enumerate(left)),
    )
