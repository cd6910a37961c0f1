"""Which flows have a row in an outlet table: where stages turn on and drop out, the site's own, and round ones.

The outlet is a sawtooth over the flow: it jumps at each switching flow. Between two rows the number of closed stages
must not change, or a reading between them tells too little; so every switching flow has its row, and the others are
there for convenience.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from generator.compute.heat.window import Window
from generator.model.figures import BoundKind, Value
from generator.model.heater import HeaterModel
from generator.model.outlet_flows import (
    DROPS_OUT,
    GREATEST,
    LEAST,
    NAMED,
    ROUND,
    TURNS_ON,
    WORKING,
    Most,
    Switching,
    switching,
)
from generator.si import GPM_M3_S

# A row closer to a switching flow than the coarsest flow shown could, rounded, change places with it.
APART_M3_S = 0.1e-3 / 60.0
# A round flow this near (relative) to a row that stands for something tells nothing more.
ROUND_APART, OWN_APART = 0.05, 0.005
# The last digits of a flow as it is shown: 0.01 gpm and 0.1 L/min.
SHOWN_STEPS_M3_S = (0.01 * GPM_M3_S, APART_M3_S)

Named = tuple[float, str]


def flow_key(flow_m3_s: float) -> str:
    """Return the part of an id that names a flow: whole cubic millimetres a second, such as `126180-mm3-s`."""
    return f"{round(flow_m3_s * 1e9)}-mm3-s"


def row_key(head: Value) -> str:
    """Return the part of an id that names a row: a flow of the site by its name, any other by its flow."""
    first = head.symbol.split(", ")[0]
    return first if first in NAMED else flow_key(float(head.value))


def counted_m3_s(head: Value, falling: bool) -> float:
    """Return the flow [m3/s] that the cells of a row are computed at: the row's own, on the safe side of what it shows.

    The coolest outlet at a flow that is shown rounded up is that at the greatest flow it is shown as.
    """
    flow = float(head.value)
    if falling or head.bound != "at_least":
        return flow
    return max(math.ceil(flow / step - 1e-9) * step for step in SHOWN_STEPS_M3_S)


def own_flows(working_m3_s: float, window: Window | None) -> tuple[Named, ...]:
    """Return the flows [m3/s] that a site works at, those that there are: working flow, ends of the flow window.

    The limit sets the least end, so the warmest table shows it; the target the greatest, which the coldest shows.
    """
    named = [(working_m3_s, WORKING)]
    if window is not None and window.usable:
        named += [(window.least.flow_m3_s, LEAST), (window.greatest.flow_m3_s, GREATEST)]
    return tuple((flow, name) for flow, name in named if 0.0 < flow < math.inf)


def winter_rows(
    model: HeaterModel, own: Sequence[Named], round_m3_s: Sequence[float], *, most: Most
) -> tuple[Value, ...]:
    """Return the rows of the coolest outlets, which follow the flows at which stages turn on.

    The flow of a stage that turns on rounds up: below it nothing is promised. The others round down, so that the
    outlet at the flow that is shown is no cooler than the cell (see counted_m3_s). Where supply or pressure cut
    the round flows the greatest flow that they allow closes the table.
    """
    beyond = 0.0 < most.flow_m3_s < max(round_m3_s)
    named = [*(one for one in own if one[1] != LEAST), *[(most.flow_m3_s, most.name)][:beyond]]
    return _rows(_switching(model, (TURNS_ON,)), named, round_m3_s, most_m3_s=most.flow_m3_s, bound="at_most")


def summer_rows(
    model: HeaterModel, own: Sequence[Named], round_m3_s: Sequence[float], *, most: Most
) -> tuple[Value, ...]:
    """Return the rows of the hottest outlets, rounded up: the outlet at the flow shown is no hotter than the cell."""
    named = [one for one in own if one[1] != GREATEST]
    return _rows(
        _switching(model, (TURNS_ON, DROPS_OUT)), named, round_m3_s, most_m3_s=most.flow_m3_s, bound="at_least"
    )


def model_rows(model: HeaterModel, round_m3_s: Sequence[float]) -> tuple[Value, ...]:
    """Return the rows for a model alone, rounded up."""
    return _rows(_switching(model, (TURNS_ON, DROPS_OUT)), (), round_m3_s, most_m3_s=None, bound="at_least")


def by_flow_rows(model: HeaterModel, in_use: int, own: Sequence[Named], *, most: Most) -> tuple[Value, ...]:
    """Return the rows of the site's own table: every switching flow of the stages in use, and the flows it works at.

    The greatest of the window rounds down, as it does where it is published; the others up. None is beyond `most`.
    """
    stages = {switching(word, number) for word in (TURNS_ON, DROPS_OUT) for number in range(1, in_use + 1)}
    switches = [(flow, name) for flow, name in _switching(model, (TURNS_ON, DROPS_OUT)) if name in stages]
    rows = _rows(switches, own, (), most_m3_s=most.flow_m3_s, bound="at_least")
    within = (head for head in rows if float(head.value) <= most.flow_m3_s)
    return tuple(replace(head, bound="at_most") if head.symbol == GREATEST else head for head in within)


def _switching(model: HeaterModel, words: Iterable[Switching]) -> list[Named]:
    return [
        (stage.closes_at_m3_s if word == TURNS_ON else stage.opens_at_m3_s, switching(word, number))
        for word in words
        for number, stage in enumerate(model.stages, start=1)
    ]


def _rows(
    switches: Sequence[Named],
    own: Sequence[Named],
    round_m3_s: Sequence[float],
    *,
    most_m3_s: float | None,
    bound: BoundKind,
) -> tuple[Value, ...]:
    """Return the flows in order, each with the names that it has. Nothing but a switching flow passes the greatest."""
    named: dict[str, tuple[float, list[str]]] = {}
    for flow, name in switches:
        named.setdefault(flow_key(flow), (flow, []))[1].append(name)
    fixed = [flow for flow, _ in named.values()]
    within = [*own, *((flow, ROUND) for flow in round_m3_s)]
    for flow, name in within:
        if most_m3_s is not None and flow > most_m3_s:
            continue
        if flow_key(flow) in named:
            if name != ROUND:
                named[flow_key(flow)][1].append(name)
        elif _clear(flow, name, fixed, rows=[other for other, _ in named.values()]):
            named[flow_key(flow)] = (flow, [name])
    return tuple(
        Value(", ".join(names), flow, "flow", "at_least" if any(TURNS_ON in name for name in names) else bound)
        for flow, names in sorted(named.values())
    )


def _clear(flow: float, name: str, switches: Iterable[float], *, rows: Iterable[float]) -> bool:
    """Whether a flow lies far enough from the rows there are to have one of its own."""
    apart = ROUND_APART if name == ROUND else OWN_APART
    off_switches = all(abs(flow - other) >= APART_M3_S for other in switches)
    return off_switches and all(abs(flow - other) >= apart * other for other in rows)
