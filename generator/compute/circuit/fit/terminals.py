"""Whether the heater's terminals take the conductors: their metal and their size."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.values import choice, text
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import Terminals
from generator.model.site import Site

MATERIAL = Rule(
    "terminal-material",
    {"marked": ("metal",), "not-marked": ("metal",)},
    lists={"marked_for": ("metal",)},
    stops=("not-marked",),
)
SIZES = ("size", "smallest", "largest")
SIZE = Rule("terminal-size", {"fits": SIZES, "does-not-fit": SIZES}, stops=("does-not-fit",))


def terminal_material(site: Site, terminals: Terminals, sources: Mapping[str, str]) -> Judgement:
    """Judge the conductors' metal against what the terminals are marked for."""
    metal = site.route.conductor
    fits = metal in terminals.conductors
    lists = {"marked_for": tuple({"metal": choice("metal", one)} for one in terminals.conductors)}
    case, values, source = "marked" if fits else "not-marked", (choice("metal", metal),), sources[MATERIAL.name]
    return MATERIAL.judge(case, "ok" if fits else "stop", values, lists=lists, source=source)


def terminal_size(size: str, terminals: Terminals, sources: Mapping[str, str]) -> Judgement:
    """Judge one conductor size against the range of sizes the terminals take."""
    fits = not smaller(size, terminals.smallest) and not smaller(terminals.largest, size)
    values = (text("size", size), text("smallest", terminals.smallest), text("largest", terminals.largest))
    return SIZE.judge("fits" if fits else "does-not-fit", "ok" if fits else "stop", values, source=sources[SIZE.name])
