"""Random three-phase heaters, unbalanced ones too, against a network solved here with numpy.

The oracle is a nodal analysis with phasors of the whole network as it is wired: three sources, three conductors, each
element between its own two nodes, a stage on all three lines as a star with a floating point of its own. Nothing is
taken from the program but the resistance of a conductor, which tests of the tables hold.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pytest

from generator.compute.band import Band, Ends
from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.circuit_figures import circuit_result
from generator.compute.circuit.circuits import designed, site_circuits
from generator.errors import CannotCompute
from generator.model.heater import HeaterModel, Stage
from generator.model.results import CircuitResult
from generator.model.site import Site
from tests.compute.circuit_cases import basis, heater, metric_heater, metric_site, site
from tests.sample import sample

PAIRS = ("L1-L2", "L2-L3", "L3-L1")
COUNT = 4


@dataclass(frozen=True)
class Drawn:
    code: str
    site: Site
    heater: HeaterModel
    volts: float
    rated_v: float
    power_w: float


def drawn(chance: random.Random) -> Drawn:
    code = chance.choice(("us", "iec"))
    rated = 400.0 if code == "iec" else chance.choice((208.0, 240.0, 416.0))
    power_w, feeds = chance.uniform(3e3, 26e3), chance.choice((1, 2))
    make, at = (metric_heater, metric_site) if code == "iec" else (heater, site)
    model = make(f"{power_w / 1e3:.6f} kW", f"{rated:g} V", 3, feeds=feeds, factory_parts=1)
    cuts = sorted(chance.uniform(0.1, 0.9) for _ in range(COUNT - 1))
    shares = np.diff([0.0, *cuts, 1.0])
    kinds: tuple[str | None, ...] = chance.choice(((None,), PAIRS, (*PAIRS, None)))
    stages = tuple(
        stage.model_copy(update={"share": float(share), "lines": chance.choice(kinds)})
        for stage, share in zip(model.stages, shares, strict=True)
    )
    volts = rated * chance.uniform(0.82, 1.09)
    panel = {"rating": "1000 A", "demand": "10 A", "demand_method": "counted", "spaces": "12", "phases": "3"}
    supply = {"voltage": f"{volts:.4f} V", "phases": "3", "panel": panel}
    where = at(supply=supply, route={"length": f"{chance.uniform(2.0, 90.0):.2f} m"})
    model = model.model_copy(update={"stages": stages})
    return Drawn(code, where, model, where.supply.voltage_v, rated, model.ratings[0].power_w)


@dataclass(frozen=True)
class Solved:
    """Currents of the lines [A], power [W], and the greatest drop across a pair that is loaded, over the supply."""

    lines_a: np.ndarray
    power_w: float
    drop: float


def solved(one: Drawn, stages: Sequence[Stage], *, volts: float, ohm: float) -> Solved:
    """The network: nodes 0 to 2 are the heater's terminals, the rest the star points of stages on all three lines."""
    emf = volts / np.sqrt(3) * np.exp(-2j * np.pi * np.arange(3) / 3)
    stars = [stage for stage in stages if stage.lines is None]
    elements: list[tuple[int, int, float]] = []
    for stage in stages:
        conductance = one.power_w * stage.share / one.rated_v**2
        if stage.lines is None:
            point = 3 + next(place for place, star in enumerate(stars) if star is stage)
            elements += [(line, point, conductance) for line in range(3)]
        else:
            first = PAIRS.index(stage.lines)
            elements.append((first, (first + 1) % 3, conductance))
    nodes = 3 + len(stars)
    matrix, right = np.zeros((nodes, nodes), complex), np.zeros(nodes, complex)
    for a, b, conductance in elements:
        for here, there in ((a, b), (b, a)):
            matrix[here, here] += conductance
            matrix[here, there] -= conductance
    for line in range(3):
        matrix[line, line] += 1.0 / ohm
        right[line] += emf[line] / ohm
    at = np.linalg.solve(matrix, right)
    loaded = {pair for stage in stages for pair in ([stage.lines] if stage.lines else PAIRS)}
    between = {pair: abs(at[n] - at[(n + 1) % 3]) for n, pair in enumerate(PAIRS)}
    lines = np.zeros(3, complex)
    for a, b, conductance in elements:
        for here, there in ((a, b), (b, a)):
            if here < 3:
                lines[here] += conductance * (at[here] - at[there])
    return Solved(
        lines_a=np.abs(lines),
        power_w=float(sum(g * abs(at[a] - at[b]) ** 2 for a, b, g in elements)),
        drop=max(1.0 - between[pair] / volts for pair in loaded),
    )


NO_OHM = 1e-9


def of_feed(one: Drawn, feed: int, number: int) -> list[Stage]:
    """The feed's own among stages 1 to `number` of the heater."""
    own = one.heater.electrical.feeds[feed].stages
    return [one.heater.stages[n - 1] for n in sorted(own) if n <= number]


def as_rated_a(one: Drawn, feed: int) -> float:
    closed = (of_feed(one, feed, number) for number in range(1, COUNT + 1))
    return max(float(solved(one, some, volts=one.rated_v, ohm=NO_OHM).lines_a.max()) for some in closed if some)


def sized_for_a(one: Drawn, feed: int) -> float:
    """The marked rating to 5 % above the rated voltage, above it the supply's current: this handbook's own rule."""
    ratio = one.volts / one.rated_v
    return as_rated_a(one, feed) * (ratio if ratio > 1.05 else 1.0)


def values(circuit: CircuitResult) -> dict[str, float]:
    return {
        figure.id.rpartition(".")[2]: float(figure.value or 0.0) for figure in circuit.extra if figure.kind != "text"
    }


def held(one: Drawn, circuit: Circuit, feed: int) -> None:
    """Hold every electrical figure of a feed to the network."""
    ends = Ends(0.9, 1.0, 1.05), Ends(0.9 * one.volts, one.volts, 1.04 * one.volts)
    shown = circuit_result(circuit, Band(ends[1], ends[0], ends[0], ends[0], ends[0]))
    assert shown.load_current.value == pytest.approx(sized_for_a(one, feed), rel=1e-6)
    told, ohm = values(shown), circuit.wires(circuit.installed).conductor_ohm
    assert told["rated-current"] == pytest.approx(as_rated_a(one, feed), rel=1e-6)
    assert told["band-current"] == pytest.approx(
        1.05 * as_rated_a(one, feed) * 1.04 * one.volts / one.rated_v, rel=1e-6
    )
    worst = 0.0
    for number in range(1, COUNT + 1):
        closed, row = of_feed(one, feed, number), shown.line_currents[number - 1]
        if not closed:
            assert [figure.value for figure in row] == [0.0] * len(row)
            continue
        found = solved(one, closed, volts=one.volts, ohm=ohm)
        worst = max(worst, found.drop)
        lines = found.lines_a if len(row) == 3 else found.lines_a[:1]
        assert [figure.value for figure in row] == pytest.approx(list(lines), rel=1e-6, abs=1e-6)
        assert shown.power_by_stage[number - 1].value == pytest.approx(found.power_w, rel=1e-6)
    assert told["drop-ratio"] == pytest.approx(worst, rel=1e-6)


def test_every_current_power_and_drop_is_that_of_the_network() -> None:
    chance, tried, seen, unlike = random.Random(20261126), sample(60, 5000), 0, 0
    for _ in range(tried):
        one = drawn(chance)
        try:
            circuits = designed(one.site, one.heater, basis(one.code))
        except CannotCompute:  # a load beyond the tables
            continue
        for feed, circuit in enumerate(circuits):
            seen += 1
            unlike += any(stage.lines for stage in circuit.load.stages)
            held(one, circuit, feed)
    print(f"{tried} heaters, {seen} feeds, {unlike} of them with stages across a pair of lines")
    assert seen > 0.9 * tried and unlike > 0.4 * tried


def test_the_panel_is_judged_by_the_worst_line_of_the_whole_heater() -> None:
    chance, seen = random.Random(3), 0
    for _ in range(sample(25, 1000)):
        one = drawn(chance)
        try:
            _, findings = site_circuits(one.site, one.heater, basis(one.code))
        except CannotCompute:
            continue
        demand = next(found for found in findings if found.rule == "panel-demand")
        told = {value.symbol: value.value for value in demand.values}
        whole = solved(one, one.heater.stages, volts=one.rated_v, ohm=NO_OHM).lines_a.max()
        assert told["heater"] == pytest.approx(whole * max(1.0, one.volts / one.rated_v), rel=1e-6)
        seen += 1
    assert seen > 15
