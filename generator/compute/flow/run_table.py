"""The table of a site's pipe runs at the working flow: bore, velocity and its limit, loss, and the trade's check."""

from __future__ import annotations

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pipes.friction import HAZEN_WILLIAMS
from generator.compute.flow.pipes.friction import SOURCE as FRICTION_SOURCE
from generator.compute.flow.pipes.run import PipeRun
from generator.model.figures import Figure, FigureTable, Step, Value
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
    id_, q = f"{prefix}.{run.label.replace(' ', '-')}", at.working_m3_s
    flow, bore = Value("Q", q, "flow"), Value("D", run.bore_m, "length")
    lengths = (Value("L", run.length_m, "length"), Value("L_fittings", run.fitting_lengths * run.bore_m, "length"))
    loss_pa, check_pa = at.way.friction_pa(run, q), run.hazen_williams_pa(q, at.way.density_kg_m3)
    inside = Step("D = outside − 2 × wall, as made", (), bore, run.sizes_from)
    fast = Step("v = Q / (π D² / 4)", (flow, bore), Value("v", velocity, "velocity", "up"), "continuity")
    most = Step("v_limit", (), Value("v_limit", limit, "velocity", "down"), limit_source)
    heads = Value("K", run.fitting_heads, "number")
    darcy = Step(
        "Δp = (f × (L + L_fittings) / D + K) × ρ v² / 2",
        (flow, bore, *lengths, heads),
        Value("Δp", loss_pa, "pressure", "up"),
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
    label = run.label.capitalize()
    return (
        Figure(f"{id_}.bore", f"{label}, inside diameter", run.bore_m, "length", "down", (inside,)),
        Figure(f"{id_}.velocity", f"{label}, velocity", velocity, "velocity", "up", (fast,), state),
        Figure(f"{id_}.limit", f"{label}, velocity limit", limit, "velocity", "down", (most,)),
        Figure(f"{id_}.loss", f"{label}, pressure loss", loss_pa, "pressure", "up", (darcy,)),
        Figure(f"{id_}.check", f"{label}, by Hazen-Williams", check_pa, "pressure", "nearest", (trade,)),
    )


def run_table(prefix: str, at: Operating, target_k: float) -> FigureTable:
    """Return every run at the working flow: bore, velocity and its limit, loss, and the trade's check beside it."""
    heads = ("inside diameter", "velocity", "velocity limit", "pressure loss", "by Hazen-Williams")
    columns = tuple(Value(head, head, "text") for head in heads)
    rows = tuple(
        (
            Value("run", f"{speed[0].label}: {speed[0].size} {speed[0].material.title}", "text"),
            _run_cells(prefix, at, speed),
        )
        for speed in speeds(at, target_k)
    )
    note = (
        "Hazen-Williams knows no temperature: for cold water in small pipe it comes out lower. Hot runs are taken with "
        "cold water, as at a cold start."
    )
    conditions = (
        Value("working flow", at.working_m3_s, "flow"),
        Value("water", at.way.water_k, "temperature"),
    )
    title = "Pipe runs at the working flow"
    return FigureTable(f"{prefix}.runs", title, "run", columns, rows, note, conditions)
