"""Heated water that has nowhere to go: thermal expansion, and whether a relief valve is called for.

Severity, and why:
- `thermal-expansion`: `attention` when a check valve, a backflow preventer or a regulator closes the system: water is
  nearly incompressible, so the little it swells raises the pressure until something gives. `ok` on an open supply.
  Where no plumbing code is held for the site it says so: whether that code wants expansion control is for the reader.
- `relief-valve`: `attention` when valves on both sides can shut hot water in, or a check valve does so with the fixture
  at the end of every use: whether this heater needs a relief valve is for its listing and the local code, which this
  handbook cannot decide. `ok` where nothing can, or only a person who closes the valve before the heater with the
  fixture closed; deferred all the same.
"""

from __future__ import annotations

from generator.compute.flow.operating_point import Operating
from generator.compute.heat import water
from generator.compute.plumbing import plumbing
from generator.compute.sources import sources
from generator.model.figures import Figure, Finding, Severity, Step, Value
from generator.model.finding_rules import Rule
from generator.model.said import say
from generator.si import added

CODE_EXPANSION = plumbing("thermal-expansion")
CODE_RELIEF = sources(plumbing("relief-valve"), say("instructions-and-listing"))


_CLOSED = ("hottest", "swells", "device")
EXPANSION = Rule("thermal-expansion", {"closed": _CLOSED, "closed-not-held": _CLOSED, "open": ("swells",)})
RELIEF = Rule("relief-valve", {"check-valve": ("device",), "between-valves": (), "shut-by-hand": (), "open": ()})


def expansion_m3(at: Operating, hottest_k: float) -> float:
    """Return by how much [m3] the water of heater and hot run swells from the coldest inlet to the hottest water."""
    held_m3 = at.model.water.volume_m3 + added(run.volume_m3 for run in at.way.hot)
    return held_m3 * (at.way.density_kg_m3 / water.density(hottest_k) - 1.0)


def expansion_figure(prefix: str, at: Operating, hottest_k: float) -> Figure:
    """Return the swelling of the water in heater and hot run."""
    held_m3 = at.model.water.volume_m3 + added(run.volume_m3 for run in at.way.hot)
    swells = expansion_m3(at, hottest_k)
    inputs = (
        Value("V", held_m3, "volume"),
        Value("T_cold", at.way.water_k, "temperature"),
        Value("ρ_cold", at.way.density_kg_m3, "density"),
        Value("T_hot", hottest_k, "temperature"),
        Value("ρ_hot", water.density(hottest_k), "density"),
    )
    step = Step("ΔV = V × (ρ_cold / ρ_hot − 1)", inputs, Value("ΔV", swells, "volume", "at_least"), water.SOURCE)
    return Figure(f"{prefix}.expansion", say("swelling"), swells, "volume", "at_least", (step,))


def _closer(at: Operating) -> tuple[Value, ...]:
    """Return the device that closes the system by its name; nothing where a plain check valve does."""
    device = at.site.water.closing_device
    return () if device is None else (Value("device", device.name, "text"),)


def thermal_expansion(at: Operating, hottest_k: float) -> Finding:
    """Return `thermal-expansion`: whether the supply is closed, and by how much its water swells."""
    swells = Value("swells", expansion_m3(at, hottest_k), "volume", "at_least")
    hottest = Value("hottest", hottest_k, "temperature", "at_least")
    if at.site.water.closed:
        case = "closed" if at.plumbing.held else "closed-not-held"
        closed = EXPANSION.judge(case, "attention", (hottest, swells, *_closer(at)), source=CODE_EXPANSION)
        return closed.at(at.site.id)
    return EXPANSION.judge("open", "ok", (swells,), source=CODE_EXPANSION).at(at.site.id)


def relief_valve(at: Operating) -> Finding:
    """Return `relief-valve`: whether hot water can be shut in between valves; the decision is deferred."""
    check, before = at.site.water.closed, any(run.shuts for run in at.way.cold)
    after = any(run.shuts for run in at.way.hot)
    case, severity = _shut_in(check, before, after)
    return RELIEF.judge(case, severity, _closer(at) if check else (), source=CODE_RELIEF).at(at.site.id)


def _shut_in(check: bool, before: bool, after: bool) -> tuple[str, Severity]:
    if check:
        return "check-valve", "attention"
    if before and after:
        return "between-valves", "attention"
    return ("shut-by-hand", "ok") if before else ("open", "ok")
