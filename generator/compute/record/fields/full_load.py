"""What the volts at the heater are expected to fall by from no load to full load, and between what that passes.

By the voltage drop of the circuit with every stage in use on, at the site's voltage, and what service and feeder lose
besides; where volts at panel and heater were read at one moment, by the drop alone. More is a joint or a conductor that
heats; less, or volts that rise, readings that do not belong together.
"""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.drop.divider import KIRCHHOFF
from generator.compute.circuit.drop.voltage_drop import at_stage, own_stages
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.sources import sources
from generator.model.figures import Value
from generator.model.records import Expected

THREE_PAIRS = ("L1-L2", "L2-L3", "L3-L1")


def pairs(connection: SupplyConnection) -> tuple[str, ...]:
    """Return the pairs of lines between which the heater stands."""
    if connection.phases == 3:
        return THREE_PAIRS
    return ("L1-N",) if connection.to_neutral else ("L1-L2",)


def volts_under_load(circuit: Circuit, selected: int, *, size: str) -> Iterator[Expected]:
    """Yield the falls of a feed [V] with stages 1 to `selected` of the heater on, by line conductors of a size; nothing
    where none of these stages is its own."""
    own, limit = own_stages(circuit.load, selected), circuit.rules.basis.passes.full_load
    if not own:
        return
    found = at_stage(circuit.load, circuit.wires(size), own)
    shares = {"volts-full-load": limit.within + limit.service_and_feeder, "volts-circuit": limit.within}
    for item, above in shares.items():
        for place, pair in enumerate(pairs(circuit.load.connection)):
            drop_v = found.pair_v(place)
            yield Expected(
                item,
                "stages",
                sources(KIRCHHOFF, limit.source),
                of=(Value("feed", circuit.load.name, "text"), Value("pair", pair, "text")),
                value=Value("V_drop", drop_v, "voltage"),
                least=Value("V_drop", drop_v - limit.within * found.supply_v, "voltage", "at_least"),
                greatest=Value("V_drop", drop_v + above * found.supply_v, "voltage", "at_most"),
                asked=item == "volts-full-load",
            )
