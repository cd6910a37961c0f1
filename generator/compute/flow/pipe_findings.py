"""The findings about a site's pipes: material, rating, velocity, metals that do not go together.

Severity, and why:
- `hot-pipe-material`: `stop` for a pipe that codes do not allow for hot water, or that is not rated for the supply's
  pressure at the hottest water the heater can give, which is what its cut-out lets pass, not the target: a switch that
  sticks or heat left in the elements brings it there. The pipe softens and bursts, and what comes out scalds.
- `cold-pipe-rating`: `stop` for a cold pipe under a pressure above its rating at the warmest inlet: it may burst.
  `attention` (`band`) where only the margin of an estimated inlet brings it there, which no person can settle.
- `pipe-velocity`: `attention` above the material's velocity limit at work: wear, hammer and noise over years, no
  danger at once.
- `mixed-metals`: `attention` where galvanized steel meets copper, or the heater's copper alloy: the zinc goes first
  and the joint leaks after years, unless a dielectric union keeps the metals apart.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pipes.run import PipeRun
from generator.compute.flow.run_table import speeds
from generator.compute.plumbing import plumbing
from generator.compute.severity import ok_or_attention, ok_or_stop
from generator.compute.sources import sources
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Rule
from generator.model.said import say

CODE_HOT = plumbing("hot-pipe")
CODE_METALS = plumbing("mixed-metals")

_PIPE = ("run", "material", "water", "pressure", "rating")
_PIPES = {"within": _PIPE, "above-rating": _PIPE, "no-rating": ("run", "material", "water")}
HOT = Rule(
    "hot-pipe-material",
    {**_PIPES, "not-for-hot-water": ("run", "material")},
    stops=("above-rating", "no-rating", "not-for-hot-water"),
)
COLD = Rule("cold-pipe-rating", {**_PIPES, "band": _PIPE}, stops=("above-rating", "no-rating"))
_SPEED = ("flow", "side", "run", "material", "velocity", "limit")
VELOCITY = Rule("pipe-velocity", {"within": _SPEED, "above": _SPEED}, choices={"side": ("cold", "hot")})
METALS = Rule(
    "mixed-metals",
    {"apart": (), "meet": ()},
    lists={"joints": ("joint", "before", "after")},
    choices={"joint": ("cold", "into-heater", "out-of-heater", "hot")},
)


def greatest_static_pa(at: Operating) -> dict[tuple[bool, int], float]:
    """Return by run (hot, number) the greatest pressure at rest that it can meet [Pa].

    That is the pressure at the lowest point of all runs that no regulator parts from it.
    """
    zones: list[tuple[list[PipeRun], float]] = []
    way, pressure_pa, highest_pa = at.way.at_greatest, at.way.greatest_static_pa, at.way.greatest_static_pa
    members: list[PipeRun] = []
    for run in (*way.cold, *way.hot):
        if any(device.regulates for device in run.devices):
            zones.append((members, highest_pa))
            members = []
            pressure_pa = highest_pa = min(pressure_pa, *(device.outlet_pa for device in run.devices))
        pressure_pa -= way.specific_weight_pa_m * run.rise_m
        highest_pa = max(highest_pa, pressure_pa)
        members.append(run)
    zones.append((members, highest_pa))
    return {(run.hot, run.number): greatest_pa for runs, greatest_pa in zones for run in runs}


def _judged(run: PipeRun, water_k: float, pressure_pa: float) -> tuple[float, str]:
    """Return (spare share of the rating, case) of one run; the spare is below 0 where it fails."""
    rating = run.rating_pa(water_k)
    if run.hot and not run.material.hot:
        return -2.0, "not-for-hot-water"
    if rating is None:
        return -1.0, "no-rating"
    spare = 1.0 - pressure_pa / rating
    return spare, "above-rating" if spare < 0.0 else "within"


def _rating_finding(at: Operating, rule: Rule, runs: Sequence[PipeRun], *, water_k: float) -> Finding:
    """Return the finding on the run with the least to spare at this water temperature [K]."""
    pressures_pa = greatest_static_pa(at)
    worst = min(runs, key=lambda run: _judged(run, water_k, pressures_pa[run.hot, run.number])[0])
    pressure_pa = pressures_pa[worst.hot, worst.number]
    _, case = _judged(worst, water_k, pressure_pa)
    rating = worst.rating_pa(water_k)
    values = [
        Value("run", worst.number, "count"),
        Value("material", say("size-of", size=worst.size, material=worst.material.title), "text"),
        Value("water", water_k, "temperature", "at_least" if worst.hot else "neither"),
        Value("pressure", pressure_pa, "pressure", "at_least"),
    ]
    if rating is not None:
        values.append(Value("rating", rating, "pressure", "at_most"))
    source = sources(CODE_HOT, worst.strength.source) if worst.hot else worst.strength.source
    given = tuple(value for value in values if value.symbol in rule.cases[case])
    return rule.judge(case, ok_or_stop(case == "within"), given, source=source).at(at.site.id)


def hot_pipe_material(at: Operating, hottest_k: float) -> Finding:
    """Return `hot-pipe-material`: the hot runs at the cut-out, or at `hottest_k` [K] where that is hotter."""
    return _rating_finding(at, HOT, at.way.hot, water_k=max(hottest_k, at.model.water.cut_out_k))


def cold_pipe_rating(at: Operating, summer_k: float, warmest_k: float | None = None) -> Finding:
    """Return `cold-pipe-rating`: the cold runs against the pressure at rest, at the warmest inlet [K].

    `warmest_k`: the warmest that an estimated inlet may be [K], by its margin; None where the inlet is measured.
    """
    stated = _rating_finding(at, COLD, at.way.cold, water_k=summer_k)
    if warmest_k is None or stated.severity != "ok":
        return stated
    top = _rating_finding(at, COLD, at.way.cold, water_k=warmest_k)
    return top if top.severity == "ok" else replace(top, case="band", severity="attention")


def pipe_velocity(at: Operating, target_k: float) -> Finding:
    """Return `pipe-velocity`: the run nearest to, or furthest beyond, its limit at the greatest working flow."""
    run, velocity, limit, source = max(speeds(at.at_greatest, target_k), key=lambda found: found[1] / found[2])
    values = (
        Value("flow", at.at_greatest.working_m3_s, "flow"),
        Value("side", "hot" if run.hot else "cold", "text"),
        Value("run", run.number, "count"),
        Value("material", say("size-of", size=run.size, material=run.material.title), "text"),
        Value("velocity", velocity, "velocity", "at_least"),
        Value("limit", limit, "velocity", "at_most"),
    )
    case = "above" if velocity > limit * (1.0 + 1e-9) else "within"
    return VELOCITY.judge(case, ok_or_attention(case == "within"), values, source=source).at(at.site.id)


def _metal_joints(at: Operating) -> Iterator[Row]:
    """Yield the joints at which galvanized steel meets copper, or the heater, which is of copper."""
    for before, after in pairwise((*at.way.cold, None, *at.way.hot)):
        if {run.material.family if run else "copper" for run in (before, after)} == {"steel", "copper"}:
            within = "hot" if before and before.hot else "cold"
            joint = "into-heater" if after is None else "out-of-heater" if before is None else within
            ends = (("before", before), ("after", after))
            numbers = {name: Value(name, run.number, "count") for name, run in ends if run}
            yield {"joint": Value("joint", joint, "text"), **numbers}


def mixed_metals(at: Operating) -> Finding:
    """Return `mixed-metals`: whether galvanized steel meets copper, where a dielectric union belongs."""
    joints = tuple(_metal_joints(at))
    case, severity = "meet" if joints else "apart", ok_or_attention(not joints)
    return METALS.judge(case, severity, lists={"joints": joints}, source=CODE_METALS).at(at.site.id)


def pipe_findings(
    at: Operating, summer_k: float, hottest_k: float, *, target_k: float, warmest_k: float | None = None
) -> tuple[Finding, ...]:
    """Return the findings of this module; temperatures [K]: warmest inlet, hottest water possible, target, and the
    warmest that the inlet may be by its margin."""
    return (
        hot_pipe_material(at, hottest_k),
        cold_pipe_rating(at, summer_k, warmest_k),
        pipe_velocity(at, target_k),
        mixed_metals(at),
    )
