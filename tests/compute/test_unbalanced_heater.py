"""A three-phase heater whose stages load its lines unlike: its current is that of phasors, wherever a rule asks for it.

The oracle is worked here with numpy: each element's current is a complex number, each line's the difference of two
(Kirchhoff's current law on a symmetrical supply). 18 kW on 240 V would be 43.3 A in each line if it were balanced.
"""

from __future__ import annotations

import random
from typing import Any

import numpy as np
import pytest

from generator.compute.circuit.circuit_figures import circuit_result
from generator.compute.circuit.circuits import designed, model_circuits, site_circuits
from generator.compute.circuit.load import loads
from generator.compute.circuit.supply_connection import NORTH_AMERICAN, connect
from generator.compute.circuit.us.subdivision import part_limit_a, part_limits
from generator.errors import CannotCompute
from generator.model.figures import Finding
from generator.model.heater import HeaterModel
from tests.compute.circuit_cases import basis, heater, metric_heater, metric_site, site

PAIRS = ("L1-L2", "L2-L3", "L3-L1")
TWO_PAIRS = ("L1-L2", "L1-L2", "L2-L3", "L2-L3")
ONE_PAIR = ("L1-L2",) * 4


def line_currents_a(powers_w: list[tuple[str | None, float]], volts: float) -> np.ndarray:
    """Currents [A] of the three lines by phasors; an element that names no pair is a star of three equal ones."""
    phase = np.exp(-2j * np.pi * np.arange(3) / 3)
    across = phase - np.roll(phase, -1)  # line to line: 1-2, 2-3, 3-1
    across *= volts / abs(across)
    lines = np.zeros(3, complex)
    for pair, power in powers_w:
        if pair is None:
            lines += power / 3 / (volts / np.sqrt(3)) * phase
            continue
        place = PAIRS.index(pair)
        current = power / volts**2 * across[place]
        lines[place] += current
        lines[(place + 1) % 3] -= current
    return np.abs(lines)


def unbalanced(model: HeaterModel, lines: tuple[str | None, ...]) -> HeaterModel:
    """The heater with each stage across the pair of lines named for it."""
    pairs = zip(model.stages, lines, strict=True)
    return model.model_copy(update={"stages": tuple(stage.model_copy(update={"lines": pair}) for stage, pair in pairs)})


def three_phase(lines: tuple[str | None, ...], volts: str = "240 V", **more: Any) -> HeaterModel:
    return unbalanced(heater("18 kW", volts, 3, **more), lines)


def heater_current_a(model: HeaterModel) -> float:
    rating = model.ratings[0]
    return loads(model, connect(model, rating, rating.voltage_v, to_neutral=NORTH_AMERICAN), "x", site=True)[
        0
    ].heater_current_a


@pytest.mark.parametrize(("lines", "amperes"), [(TWO_PAIRS, 64.95), (ONE_PAIR, 75.0), ((None,) * 4, 43.30)])
def test_the_heater_takes_what_its_worst_line_takes(lines: tuple[str | None, ...], amperes: float) -> None:
    """37.5 A across each of two pairs is 37.5 x sqrt(3) in the shared line; 18 kW across one pair is 75 A."""
    assert line_currents_a([(pair, 4500.0) for pair in lines], 240.0).max() == pytest.approx(amperes, abs=0.005)
    assert heater_current_a(three_phase(lines)) == pytest.approx(amperes, abs=0.005)


RANDOM = random.Random(20260914)
MIXED = [tuple(RANDOM.choice((*PAIRS, None)) for _ in range(4)) for _ in range(20)]


@pytest.mark.parametrize("lines", MIXED)
def test_any_mix_of_pairs_is_the_current_of_phasors(lines: tuple[str | None, ...]) -> None:
    model = three_phase(lines, "208 V")
    powers = [(stage.lines, 18e3 * stage.share) for stage in model.stages]
    assert heater_current_a(model) == pytest.approx(line_currents_a(powers, 208.0).max(), rel=1e-9)


@pytest.mark.parametrize("lines", [TWO_PAIRS, ONE_PAIR])
def test_above_48_amperes_in_one_line_a_heater_that_is_not_subdivided_is_refused(lines: tuple[str, ...]) -> None:
    """NFPA 70 2023, 422.11(F)(1), from memory: rated more than 48 A, its elements are subdivided to 48 A a part."""
    with pytest.raises(CannotCompute, match="above 48 A"):
        model_circuits(three_phase(lines), basis("us"))
    found = us(three_phase(lines))["element-subdivision"]
    assert found.severity == "stop"


def test_a_part_of_it_has_a_device_of_60_amperes_at_most() -> None:
    """422.11(F)(1): 60 A a part, however much more the marking would allow; one feed a pair, 37.5 A each."""
    model = three_phase(TWO_PAIRS, feeds=2, maximum_device="80 A")
    rating = model.ratings[0]
    for load in loads(model, connect(model, rating, 240.0, to_neutral=NORTH_AMERICAN), "x", site=True):
        assert part_limits(load, basis("us")) is not None
        assert part_limit_a(load, basis("us")) == 60.0
    for circuit in model_circuits(model, basis("us")):
        assert circuit.ceiling.value == 60.0
    assert us(model)["element-subdivision"].severity == "ok"


def us(model: HeaterModel, panel_a: int = 125, demand_a: int = 70) -> dict[str, Finding]:
    panel = {"rating": f"{panel_a} A", "demand": f"{demand_a} A"}
    _, findings = site_circuits(site(supply={"phases": "3", "panel": panel}), model, basis("us"))
    return {finding.rule: finding for finding in findings}


def test_the_panel_carries_the_current_of_the_worst_line() -> None:
    """70 A + 64.95 A = 135 A on 125 A; balanced, it would be 113 A."""
    found = us(three_phase(TWO_PAIRS))["panel-demand"]
    assert found.severity == "stop"
    told = {value.symbol: value.value for value in found.values}
    assert told["total"] == pytest.approx(134.95, abs=0.005)
    assert us(three_phase((None,) * 4))["panel-demand"].severity == "ok"


def test_the_panel_of_the_metric_basis_does_too() -> None:
    """18 kW, 400 V, on two pairs: 22.5 A x sqrt(3) = 38.97 A; 45 A + 38.97 A = 84 A on 80 A."""
    assert line_currents_a([(pair, 4500.0) for pair in TWO_PAIRS], 400.0).max() == pytest.approx(38.97, abs=0.005)
    supply = {"voltage": "400 V", "phases": "3", "panel": {"rating": "80 A", "demand": "45 A"}}
    model = unbalanced(metric_heater("18 kW", "400 V", 3), TWO_PAIRS)
    _, findings = site_circuits(metric_site(supply=supply), model, basis("iec"))
    found = next(finding for finding in findings if finding.rule == "panel-demand")
    assert found.severity == "stop"
    assert next(v.value for v in found.values if v.symbol == "total") == pytest.approx(83.97, abs=0.005)


@pytest.mark.parametrize("lines", [(None, "L1-L2", None, "L2-L3"), ("L3-L1", None, None, "L1-L2")])
def test_stages_that_load_all_lines_beside_stages_across_a_pair(lines: tuple[str | None, ...]) -> None:
    """A run of no length to speak of, so that the phasors above, which know no drop, are the answer."""
    model = three_phase(lines)
    where = site(supply={"voltage": "240 V", "phases": "3"}, route={"length": "0.01 ft"})
    (circuit,) = map(circuit_result, designed(where, model, basis("us")))
    assert circuit.lines == ("L1", "L2", "L3")
    for number, row in enumerate(circuit.line_currents, 1):
        wanted = line_currents_a([(pair, 4500.0) for pair in lines[:number]], 240.0)
        assert [figure.value for figure in row] == pytest.approx(list(wanted), rel=2e-5)
    assert circuit.load_current.value == pytest.approx(max(line_currents_a([(one, 4500.0) for one in lines], 240.0)))
