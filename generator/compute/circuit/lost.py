"""What a heater still does with one line of a three-phase supply open, or with one of its feeds off.

A heater that has lost a line is warm, not cold: the elements across the two lines left have full voltage, and those of
the other two pairs stand in series across them. Source: Ohm's and Kirchhoff's laws; resistive load, the supply holds
its voltage, drop of the conductors left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.compute.circuit.drop.divider import KIRCHHOFF, conductances, deliver
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.flow.operating_point import Operating
from generator.compute.heat import balance
from generator.compute.heat.stages import rating_for_supply
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.heater import HeaterModel, Rating, Stage
from generator.model.results import LINES
from generator.model.said import say
from generator.si import added

NOTE = say("lost-note")
MODEL_NOTE = say("lost-model-note")
# How power and current are found: with a line open, and with a feed off.
_OPEN = ("P = V² × (G_left + 1 / (1 / G_one + 1 / G_other))", "I = P / V")
_OFF = (say("feeds-left"), say("greatest-of-feed"))


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


@dataclass(frozen=True, slots=True)
class _Left:
    """What a heater does with something lost: key of ids, who is lost, power [W] and current [A] of each feed, and how
    power and current are found."""

    key: str
    lost: str
    by_feed: tuple[tuple[float, float], ...]
    how: tuple[str, str]

    @property
    def power_w(self) -> float:
        """The power of all feeds together [W]."""
        return added(power_w for power_w, _ in self.by_feed)

    @property
    def head(self) -> Value:
        """The head of its row."""
        return Value("lost", self.lost, "text")


def lost_table(prefix: str, at: Operating, inlet_k: float) -> FigureTable | None:
    """Return power, outlet [K] at an inlet [K] and each feed's current with a line open and with a feed off.

    None where no stage is on at work, and for one feed on one pair of lines, which is cold then. Ids `<prefix>.lost.…`.
    """
    supply, model = at.site.supply, at.model
    connection = _connected(rating_for_supply(model, supply.voltage_v, supply.phases), supply.voltage_v)
    found = tuple(_left(model, at.closed, connection)) if at.closed else ()
    if not found:
        return None
    rows = []
    for left in found:
        id_ = f"{prefix}.lost.{left.key}"
        power, *currents = _cells(id_, model, left, volts=connection.voltage_v)
        rows.append((left.head, (power, _outlet(id_, at, left, inlet_k=inlet_k), *currents)))
    columns = _columns(model, say("power-left-head"), say("outlet-left-head"))
    conditions = (Value("Q", at.working_m3_s, "flow"), Value("T_in", inlet_k, "temperature"))
    return FigureTable(f"{prefix}.lost", say("lost"), say("lost-head"), columns, tuple(rows), NOTE, conditions)


def model_lost_tables(model: HeaterModel) -> tuple[FigureTable, ...]:
    """Return by rating the power and each feed's current with every stage on and a line open or a feed off.

    None for a rating of one feed on one pair of lines, which is cold then. Ids `model.<id>.lost.<rating>.…`.
    """
    found = (_model_table(model, rating) for rating in model.ratings)
    return tuple(table for table in found if table.rows)


def _model_table(model: HeaterModel, rating: Rating) -> FigureTable:
    id_ = f"model.{model.id}.lost.{rating.voltage_v:.0f}-v-{rating.phases}-phase"
    every, connection = range(1, len(model.stages) + 1), _connected(rating, rating.voltage_v)
    rows = tuple(
        (left.head, _cells(f"{id_}.{left.key}", model, left, volts=rating.voltage_v))
        for left in _left(model, tuple(every), connection)
    )
    three = rating.phases == 3
    title = say("lost-three-phase", model=model.title) if three else say("lost-single-phase", model=model.title)
    conditions, columns = (Value("V", rating.voltage_v, "voltage"),), _columns(model, say("power-left-head"))
    return FigureTable(id_, title, say("lost-head"), columns, rows, MODEL_NOTE, conditions)


def _connected(rating: Rating, volts: float) -> SupplyConnection:
    return SupplyConnection(rating, volts, to_neutral=False, neutral=False)


def _columns(model: HeaterModel, *names: str) -> tuple[Value, ...]:
    feeds = (say("current-of-feed-head", feed=feed.name) for feed in model.electrical.feeds)
    return tuple(Value(head, head, "text") for head in (*names, *feeds))


def _left(model: HeaterModel, closed: Sequence[int], connection: SupplyConnection) -> Iterator[_Left]:
    """Yield what is left of these stages with each line open in turn, then with each of several feeds off."""
    names = [feed.name for feed in model.electrical.feeds]
    feeds = [
        [model.stages[number - 1] for number in closed if number in feed.stages] for feed in model.electrical.feeds
    ]
    if connection.phases == 3:
        for place, line in enumerate(LINES):
            by_feed = tuple(line_open(own, connection, place) for own in feeds)
            yield _Left(line.lower(), say("line-open", line=line), by_feed, _OPEN)
    for off in range(len(feeds)) if len(feeds) > 1 else ():
        by_feed = tuple((0.0, 0.0) if off == place else _whole(own, connection) for place, own in enumerate(feeds))
        yield _Left(f"feed-{off + 1}", say("feed-off", feed=names[off]), by_feed, _OFF)


def _whole(stages: Sequence[Stage], connection: SupplyConnection) -> tuple[float, float]:
    """Return power [W] and greatest line current [A] of a feed that lacks nothing."""
    if not stages:
        return 0.0, 0.0
    found = deliver(stages, connection, conductor_ohm=0.0, supply_v=connection.voltage_v)
    return found.power_w, found.current_a


def _cells(id_: str, model: HeaterModel, left: _Left, *, volts: float) -> tuple[Figure, ...]:
    """Return the power left, and what each feed carries, at a voltage [V]."""
    at_v, power = (Value("V", volts, "voltage"),), Value("P", left.power_w, "power")

    def current(place: int, current_a: float) -> Figure:
        step = Step(left.how[1], at_v, Value("I", current_a, "current"), KIRCHHOFF)
        label = say("current-of-feed", feed=model.electrical.feeds[place].name)
        return Figure(f"{id_}.current-{place + 1}", label, current_a, "current", "neither", (step,))

    step = Step(left.how[0], at_v, power, KIRCHHOFF)
    return (
        Figure(f"{id_}.power", say("power-left"), left.power_w, "power", "neither", (step,)),
        *(current(place, current_a) for place, (_, current_a) in enumerate(left.by_feed)),
    )


def _outlet(id_: str, at: Operating, left: _Left, *, inlet_k: float) -> Figure:
    flow_m3_s = at.working_m3_s
    ceiling_k = at.model.water.cut_out_k
    outlet_k = float(balance.capped_outlet_k(inlet_k, flow_m3_s, left.power_w, ceiling_k=ceiling_k))
    power, flow = Value("P", left.power_w, "power"), Value("Q", flow_m3_s, "flow")
    outlet = Value("T_out", outlet_k, "temperature")
    warmed = balance.outlet_step(balance.inlet_values(inlet_k), power, flow, outlet=outlet)
    return Figure(f"{id_}.outlet", say("outlet-left"), outlet_k, "temperature", "neither", (warmed,))
