"""The table of a site's pipe runs at the working flow: bore, velocity and its limit, loss, and the trade's check."""

from __future__ import annotations

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pipes.friction import HAZEN_WILLIAMS
from generator.compute.flow.pipes.friction import SOURCE as FRICTION_SOURCE
from generator.compute.flow.pipes.run import PipeRun
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.said import say
from generator.model.state import State


def speeds(at: Operating, target_k: float) -> list[tuple[PipeRun, float, float, str]]:
    """Return (run, velocity, limit [m/s], source) for every run at the working flow."""
    found = []
    for run in (*at.way.cold, *at.way.hot):
        limit, source = run.velocity_limit(target_k)
        found.append((run, run.velocity_m_s(at.working_m3_s), limit, source))
    return found


def _run_cells(prefix: str, at: Operating, speed: tuple[PipeRun, float, float, str]) -> tuple[Figure, ...]:
    run, velocity, limit, limit_source = speed
    id_, q = f"{prefix}.{run.key}", at.working_m3_s
    flow, bore = Value("Q", q, "flow"), Value("D", run.bore_m, "length")
    lengths = (Value("L", run.length_m, "length"), Value("L_fittings", run.fitting_lengths * run.bore_m, "length"))
    loss_pa, check_pa = at.way.friction_pa(run, q), run.hazen_williams_pa(q, at.way.density_kg_m3)
    inside = Step(say("bore-as-made"), (), bore, run.sizes_from)
    fast = Step("v = Q / (π D² / 4)", (flow, bore), Value("v", velocity, "velocity", "at_least"), say("continuity"))
    most = Step("v_limit", (), Value("v_limit", limit, "velocity", "at_most"), limit_source)
    heads = Value("K", run.fitting_heads, "number")
    darcy = Step(
        "Δp = (f × (L + L_fittings) / D + K) × ρ v² / 2",
        (flow, bore, *lengths, heads),
        Value("Δp", loss_pa, "pressure", "at_least"),
        FRICTION_SOURCE,
    )
    c = Value("C", run.material.hazen_williams_c, "number")
    trade = Step(
        "Δp = ρ g × 10.67 × (L + L_fittings) × Q^1.852 / (C^1.852 × D^4.8704) + K × ρ v² / 2",
        (flow, bore, *lengths, c, heads),
        Value("Δp", check_pa, "pressure"),
        HAZEN_WILLIAMS,
    )
    state: State = "ok" if velocity <= limit * (1.0 + 1e-9) else "above-limit"
    name = run.title
    return (
        Figure(f"{id_}.bore", say("run-bore", run=name), run.bore_m, "length", "at_most", (inside,)),
        Figure(f"{id_}.velocity", say("run-velocity", run=name), velocity, "velocity", "at_least", (fast,), state),
        Figure(f"{id_}.limit", say("run-velocity-limit", run=name), limit, "velocity", "at_most", (most,)),
        Figure(f"{id_}.loss", say("run-loss", run=name), loss_pa, "pressure", "at_least", (darcy,)),
        Figure(f"{id_}.check", say("run-check", run=name), check_pa, "pressure", "neither", (trade,)),
    )


def _head(run: PipeRun) -> Value:
    return Value("run", say("run-of", run=run.label, size=run.size, material=run.material.title), "text")


def run_table(prefix: str, at: Operating, target_k: float) -> FigureTable:
    """Return every run at the working flow: bore, velocity and its limit, loss, and the trade's check beside it."""
    heads = (say("bore"), say("velocity"), say("velocity-limit"), say("loss"), say("by-hazen-williams"))
    columns = tuple(Value(head, head, "text") for head in heads)
    rows = tuple((_head(speed[0]), _run_cells(prefix, at, speed)) for speed in speeds(at, target_k))
    conditions = (
        Value(say("at-working-flow"), at.working_m3_s, "flow"),
        Value(say("water"), at.way.water_k, "temperature"),
    )
    return FigureTable(f"{prefix}.runs", say("runs"), say("run"), columns, rows, say("runs-note"), conditions)
