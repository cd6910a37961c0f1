"""Heated water that has nowhere to go: thermal expansion, and whether a relief valve is called for.

Severity, and why:
- `thermal-expansion`: `attention` when a check valve (or whatever else stops backflow) closes the system: water is
  nearly incompressible, so the little it swells raises the pressure until something gives. `ok` on an open supply.
- `relief-valve`: `attention` when valves on both sides can shut hot water in, or a check valve does so with the fixture
  at the end of every use: whether this heater needs a relief valve is for its listing and the local code, which this
  handbook cannot decide. `ok` where nothing can, or only a person who closes the valve before the heater with the
  fixture closed; deferred all the same.
"""

from __future__ import annotations

from generator.compute.finding import finding
from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pipes.fittings import FITTINGS
from generator.compute.heat import water
from generator.compute.plumbing import plumbing
from generator.model.figures import Figure, Finding, Step, Value
from generator.model.site import Run

CODE_EXPANSION = plumbing("thermal-expansion")
CODE_RELIEF = f"{plumbing('relief-valve')}; instructions, listing and nameplate of the heater"


def expansion_m3(at: Operating, hottest_k: float) -> float:
    """Return by how much [m3] the water of heater and hot run swells from the coldest inlet to the hottest water."""
    held_m3 = at.model.water.volume_m3 + sum(run.volume_m3 for run in at.way.hot)
    return held_m3 * (at.way.density_kg_m3 / water.density(hottest_k) - 1.0)


def expansion_figure(prefix: str, at: Operating, hottest_k: float) -> Figure:
    """Return the swelling of the water in heater and hot run."""
    held_m3 = at.model.water.volume_m3 + sum(run.volume_m3 for run in at.way.hot)
    swells = expansion_m3(at, hottest_k)
    inputs = (
        Value("V", held_m3, "volume"),
        Value("T_cold", at.way.water_k, "temperature"),
        Value("ρ_cold", at.way.density_kg_m3, "density"),
        Value("T_hot", hottest_k, "temperature"),
        Value("ρ_hot", water.density(hottest_k), "density"),
    )
    step = Step("ΔV = V × (ρ_cold / ρ_hot − 1)", inputs, Value("ΔV", swells, "volume", "up"), water.SOURCE)
    return Figure(f"{prefix}.expansion", "Swelling of the water in heater and hot run", swells, "volume", "up", (step,))


def _has_check_valve(at: Operating) -> bool:
    in_pipe = any(run.fittings.get("check-valve", 0) > 0 for run in at.site.water.cold_run)
    return at.site.water.check_valve or in_pipe


def thermal_expansion(at: Operating, hottest_k: float) -> Finding:
    """Return `thermal-expansion`: whether the supply is closed, and by how much its water swells."""
    swells = Value("swells", expansion_m3(at, hottest_k), "volume", "up")
    hottest = Value("hottest", hottest_k, "temperature", "up")
    why = "Water swells as it is heated and hardly compresses: shut in, it raises the pressure until something gives."
    if _has_check_valve(at):
        template = (
            "A check valve closes the supply; heated to {hottest}, the water of heater and hot run swells by {swells}."
        )
        do = "Fit thermal expansion control, such as an expansion tank, where the local code wants it for this heater."
        found = (template, (hottest, swells))
        return finding(at.site, "thermal-expansion", "attention", found, why, do, CODE_EXPANSION)
    template = "The supply is open to the main: the {swells} by which heated water swells can flow back."
    do = "Check that no check valve, backflow preventer or pressure-reducing valve was added."
    return finding(at.site, "thermal-expansion", "ok", (template, (swells,)), why, do, CODE_EXPANSION)


def _can_shut(runs: tuple[Run, ...]) -> bool:
    return any(FITTINGS[kind].closes for run in runs for kind, count in run.fittings.items() if count)


def relief_valve(at: Operating) -> Finding:
    """Return `relief-valve`: whether hot water can be shut in between valves; the decision is deferred."""
    check, before = _has_check_valve(at), _can_shut(at.site.water.cold_run)
    after = _can_shut(at.site.water.hot_run)
    why = "Hot water shut in between two valves, with heat still in the elements, can raise the pressure without limit."
    do = "Ask the listing and the local authority whether a relief valve is wanted here, and fit it before use."
    if check:
        found = "A check valve stands before the heater: every tap that closes shuts hot water in behind it."
        return finding(at.site, "relief-valve", "attention", (found, ()), why, do, CODE_RELIEF)
    if before and after:
        found = "Valves stand before and after the heater, so hot water can be shut in between them."
        return finding(at.site, "relief-valve", "attention", (found, ()), why, do, CODE_RELIEF)
    found = "No valve is stated before the heater, so the water that swells can flow back."
    do = "Follow the heater's listing and the local code, which decide whether a relief valve is wanted."
    if before:
        found = (
            "No valve after the heater is stated; hot water is shut in only when the valve before the heater is closed "
            "while the fixture is closed too."
        )
        do = f"Open the fixture before the valve before the heater is closed. {do}"
    return finding(at.site, "relief-valve", "ok", (found, ()), why, do, CODE_RELIEF)
