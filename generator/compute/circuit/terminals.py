"""Whether the heater's terminals take the conductors: their metal and their size."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import judgement
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.working import text
from generator.model.finding_rules import Judgement
from generator.model.heater import Terminals
from generator.model.site import Site


def terminal_material(site: Site, terminals: Terminals, sources: Mapping[str, str]) -> Judgement:
    """Judge the conductors' metal against what the terminals are marked for."""
    metal = site.route.conductor
    fits = metal in terminals.conductors
    values = (text("metal", metal), text("marked", " and ".join(terminals.conductors)))
    template = "The conductors are {metal}; the heater's terminals are marked for {marked}."
    why = "A metal that the terminal is not made for works loose and corrodes, and the joint burns."
    do = "Use conductors of a marked metal, or splice a length of it on with a connector listed for both metals."
    return judgement(
        "terminal-material", "ok" if fits else "stop", template, values, why, do, sources["terminal-material"]
    )


def terminal_size(size: str, terminals: Terminals, sources: Mapping[str, str]) -> Judgement:
    """Judge one conductor size against the range of sizes the terminals take."""
    fits = not smaller(size, terminals.smallest) and not smaller(terminals.largest, size)
    values = (text("size", size), text("smallest", terminals.smallest), text("largest", terminals.largest))
    template = "The conductors are {size}; the heater's terminals take {smallest} to {largest}."
    why = "A conductor that does not fit is not clamped as tested; strands cut off to make it fit take ampacity away."
    do = (
        "Splice to a size that the terminal takes and that carries the load, in a box with listed connectors, or use "
        "another heater."
    )
    return judgement("terminal-size", "ok" if fits else "stop", template, values, why, do, sources["terminal-size"])
