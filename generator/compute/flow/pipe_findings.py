"""The findings about a site's pipes: material, rating, velocity, metals that do not go together; and their table.

Severity, and why:
- `hot-pipe-material`: `stop` for a pipe that codes do not allow for hot water, or that is not rated for the supply's
  pressure at the hottest water the heater can give, which is what its cut-out lets pass, not the target: a switch that
  sticks or heat left in the elements brings it there. The pipe softens and bursts, and what comes out scalds.
- `cold-pipe-rating`: `stop` for a cold pipe under a pressure above its rating at the warmest inlet: it may burst.
- `pipe-velocity`: `attention` above the material's velocity limit at work: wear, hammer and noise over years, no
  danger at once.
- `mixed-metals`: `attention` where galvanized steel meets copper, or the heater's copper alloy: the zinc goes first
  and the joint leaks after years, unless a dielectric union keeps the metals apart.
"""

from __future__ import annotations

from itertools import pairwise

from generator.compute.finding import finding, listed
from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pipes.friction import HAZEN_WILLIAMS
from generator.compute.flow.pipes.friction import SOURCE as FRICTION_SOURCE
from generator.compute.flow.pipes.pressure_rating import pressure_rating
from generator.compute.flow.pipes.run import PipeRun
from generator.compute.flow.pipes.velocity_limit import velocity_limit
from generator.compute.plumbing import plumbing
from generator.model.figures import Figure, FigureTable, Finding, Severity, Step, Value
from generator.model.state import State

CODE_HOT = plumbing("hot-pipe")
CODE_METALS = plumbing("mixed-metals")

_REFUSED = "{run}, {material}, is not for hot water: codes leave it out of hot-water distribution."
_UNRATED = "{run}, {material}, has no rating at {water}, the hottest water it can meet."
_RATED = "{run}, {material}, withstands {rating} at {water}, the hottest it can meet; the pressure is up to {pressure}."


def greatest_static_pa(at: Operating) -> float:
    """Return the greatest pressure at rest anywhere in the pipework [Pa], at its lowest point."""
    height, lowest = 0.0, 0.0
    for run in (*at.way.cold, *at.way.hot):
        height += run.rise_m
        lowest = min(lowest, height)
    return at.way.static_pa - at.way.specific_weight_pa_m * lowest


def _judged(run: PipeRun, water_k: float, pressure_pa: float, hot: bool) -> tuple[float, Severity, str]:
    """Return (spare share of the rating, severity, template) of one run; the spare is below 0 where it fails."""
    rating = pressure_rating(run.material.id, run.size, water_k).pressure_pa
    if hot and not run.material.hot:
        return -2.0, "stop", _REFUSED
    if rating is None:
        return -1.0, "stop", _UNRATED
    spare = 1.0 - pressure_pa / rating
    return spare, "stop" if spare < 0.0 else "ok", _RATED


def _rating_finding(at: Operating, rule: str, hot: bool, water_k: float, why: str, do: str) -> Finding:
    """Return the finding on the run, hot or cold, with the least to spare at this water temperature [K]."""
    pressure_pa = greatest_static_pa(at)
    runs = at.way.hot if hot else at.way.cold
    worst = min(runs, key=lambda run: _judged(run, water_k, pressure_pa, hot)[0])
    _, severity, template = _judged(worst, water_k, pressure_pa, hot)
    rating = pressure_rating(worst.material.id, worst.size, water_k)
    values = [
        Value("run", worst.label.capitalize(), "text"),
        Value("material", f"{worst.size} {worst.material.title}", "text"),
        Value("water", water_k, "temperature", "up"),
        Value("pressure", pressure_pa, "pressure", "up"),
    ]
    if rating.pressure_pa is not None:
        values.append(Value("rating", rating.pressure_pa, "pressure", "down"))
    source = f"{CODE_HOT}; {rating.source}" if hot else rating.source
    do = "Nothing." if severity == "ok" else do
    return finding(at.site, rule, severity, (template, tuple(values)), why, do, source)


def hot_pipe_material(at: Operating, hottest_k: float) -> Finding:
    """Return `hot-pipe-material`: the hot runs at the cut-out, or at `hottest_k` [K] where that is hotter."""
    why = (
        "Plastic loses strength as it warms. A pipe that holds today's water can burst on the hottest the heater can "
        "give, when someone turns the tap down."
    )
    do = "Replace it with pipe listed for hot water at this temperature and pressure, such as copper, CPVC or PEX."
    return _rating_finding(at, "hot-pipe-material", True, max(hottest_k, at.model.water.cut_out_k), why, do)


def cold_pipe_rating(at: Operating, summer_k: float) -> Finding:
    """Return `cold-pipe-rating`: the cold runs against the pressure at rest, at the warmest inlet [K]."""
    why = "Every pipe before the heater stands under the full supply pressure day and night."
    do = "Fit a pressure-reducing valve, or replace the pipe with one rated for this pressure."
    return _rating_finding(at, "cold-pipe-rating", False, summer_k, why, do)


def _speeds(at: Operating, target_k: float) -> list[tuple[PipeRun, float, float, str]]:
    """Return (run, velocity, limit [m/s], source) for every run at the working flow."""
    found = []
    for run in (*at.way.cold, *at.way.hot):
        limit, source = velocity_limit(run.material.id, run in at.way.hot, target_k)
        found.append((run, run.velocity_m_s(at.working_m3_s), limit, source))
    return found


def pipe_velocity(at: Operating, target_k: float) -> Finding:
    """Return `pipe-velocity`: the run nearest to, or furthest beyond, its limit at the working flow."""
    run, velocity, limit, source = max(_speeds(at, target_k), key=lambda found: found[1] / found[2])
    values = (
        Value("flow", at.working_m3_s, "flow"),
        Value("run", run.label, "text"),
        Value("material", f"{run.size} {run.material.title}", "text"),
        Value("velocity", velocity, "velocity", "up"),
        Value("limit", limit, "velocity", "down"),
    )
    severity: Severity = "attention" if velocity > limit * (1.0 + 1e-9) else "ok"
    do = "Nothing." if severity == "ok" else "Use a wider pipe there, or less flow."
    template = (
        "At {flow} the fastest water for its pipe runs at {velocity} in {run} ({material}); the limit is {limit}."
    )
    why = "Fast water wears copper from inside, hammers when a tap shuts and is heard."
    return finding(at.site, "pipe-velocity", severity, (template, values), why, do, source)


def _metal_joints(at: Operating) -> list[str]:
    """Return the places where galvanized steel meets copper or the heater, in words."""
    places = [(run.label, run.material.family) for run in at.way.cold]
    places.append(("the heater", "copper"))
    places += [(run.label, run.material.family) for run in at.way.hot]
    pairs = pairwise(places)
    return [f"{one} and {other}" for (one, a), (other, b) in pairs if {a, b} == {"steel", "copper"}]


def mixed_metals(at: Operating) -> Finding:
    """Return `mixed-metals`: whether galvanized steel meets copper, where a dielectric union belongs."""
    joints = _metal_joints(at)
    why = "Where steel and copper touch in water the steel corrodes, soonest behind copper in the flow."
    if not joints:
        template = "No galvanized steel meets copper or the heater directly."
        return finding(at.site, "mixed-metals", "ok", (template, ()), why, "Nothing.", CODE_METALS)
    values = (Value("joints", listed([f"between {joint}" for joint in joints]), "text"),)
    do = "Fit a dielectric union or an approved brass fitting there; bond across it where the metal pipe is bonded."
    found = ("Galvanized steel meets copper {joints}.", values)
    return finding(at.site, "mixed-metals", "attention", found, why, do, CODE_METALS)


def pipe_findings(at: Operating, summer_k: float, hottest_k: float, target_k: float) -> tuple[Finding, ...]:
    """Return the findings of this module; temperatures [K]: warmest inlet, hottest water possible, target."""
    return (
        hot_pipe_material(at, hottest_k),
        cold_pipe_rating(at, summer_k),
        pipe_velocity(at, target_k),
        mixed_metals(at),
    )


def _run_cells(prefix: str, at: Operating, speed: tuple[PipeRun, float, float, str]) -> tuple[Figure, ...]:
    run, velocity, limit, limit_source = speed
    id_, q = f"{prefix}.{run.label.replace(' ', '-')}", at.working_m3_s
    flow, bore = Value("Q", q, "flow"), Value("D", run.bore_m, "length")
    lengths = (Value("L", run.length_m, "length"), Value("L_fittings", run.fitting_lengths * run.bore_m, "length"))
    loss_pa, check_pa = at.way.friction_pa(run, q), run.hazen_williams_pa(q, at.way.density_kg_m3)
    inside = Step("D = outside − 2 × wall, as made", (), bore, run.material.document)
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
        for speed in _speeds(at, target_k)
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
