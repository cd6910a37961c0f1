"""What is left with a line open or a feed off: held against numpy phasors and CoolProp."""

import random
from dataclasses import replace

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from generator.compute.circuit.lost import line_open, lost_table, model_lost_tables
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.flow.operating_point import Operating
from generator.model.figures import FigureTable
from generator.model.heater import Rating, Stage
from tests.compute.wet_cases import kelvin, model, operating, site, waterway
from tests.compute.wet_random import by_chance
from tests.finding_texts import speaker

PAIRS = {"L1-L2": (0, 1), "L2-L3": (1, 2), "L3-L1": (2, 0)}


def by_phasors(stages: list[Stage], rating: Rating, volts: float, line: int) -> tuple[float, list[float]]:
    """Power and the three line currents, each line through 1e-9 ohm, the open one through 1e12: nodal analysis."""
    source = volts / np.sqrt(3.0) * np.exp(-2j * np.pi * np.arange(3) / 3.0)
    lines = np.diag([1e-12 if place == line else 1e9 for place in range(3)]).astype(complex)
    load = np.zeros((3, 3), complex)
    for stage in stages:
        for a, b in [PAIRS[stage.lines]] if stage.lines else list(PAIRS.values()):
            siemens = rating.power_w * stage.share / rating.voltage_v**2 / (1 if stage.lines else 3)
            load[[a, b], [a, b]] += siemens
            load[[a, b], [b, a]] -= siemens
    at_heater = np.linalg.solve(lines + load, lines @ source)
    currents = load @ at_heater
    return float(np.real(at_heater @ np.conj(currents))), [float(abs(current)) for current in currents]


@by_chance
def test_an_open_line_as_phasors_have_it(chance: random.Random) -> None:
    count = chance.randint(1, 6)
    stages = [
        Stage(share=chance.uniform(0.02, 0.3), closes_at_m3_s=2e-5, opens_at_m3_s=1e-5, lines=lines)
        for lines in chance.choices([*PAIRS, None], k=count)
    ]
    rating = Rating(voltage_v=chance.choice([208.0, 240.0, 400.0]), phases=3, power_w=chance.uniform(3e3, 4e4))
    volts, line = rating.voltage_v * chance.uniform(0.9, 1.05), chance.randrange(3)
    power_w, current_a = line_open(stages, SupplyConnection(rating, volts, False, False), line)
    expected_w, currents = by_phasors(stages, rating, volts, line)
    assert power_w == pytest.approx(expected_w, rel=1e-6, abs=1e-3)
    assert sorted(currents)[1:] == pytest.approx([current_a, current_a], rel=1e-6, abs=1e-3)
    assert currents[line] == pytest.approx(0.0, abs=1e-6)


def lost_at(name: str) -> tuple[Operating, FigureTable | None]:
    place = site(name)
    heater = model(place.heater)
    at = operating(place, heater, waterway(place, heater, kelvin(50.0)))
    return at, lost_table("site.t", at, kelvin(50.0))


def test_half_is_left_of_a_balanced_heater_and_the_outlet_says_so() -> None:
    """Tarn 18 on 208 V three-phase, six equal elements, two a pair: 6.75 of 13.5 kW, and half of it with a feed off."""
    at, table = lost_at("creamery")
    assert table is not None and len(at.closed) == 6
    heads = [head.value for head, _ in speaker().worded(table.rows)]
    assert heads == [
        "L1 open",
        "L2 open",
        "L3 open",
        "feed A off",
        "feed B off",
    ]
    for _, (power, outlet, *currents) in table.rows:
        assert power.value == pytest.approx(6750.0, rel=1e-4)
        water = [("P", 101325.0), ("T", kelvin(50.0))]
        density, cold = (PropsSI(key, *water[0], *water[1], "Water") for key in ("D", "H"))
        hot = cold + 6750.0 / (density * at.working_m3_s)
        assert outlet.value == pytest.approx(PropsSI("T", "P", 101325.0, "H", hot, "Water"), abs=0.02)
        assert len(currents) == 2
    off = table.rows[3][1]
    assert off[2].value == 0.0 and float(off[3].value or 0.0) > 0.0
    one_open = table.rows[0][1]
    assert float(one_open[2].value or 0.0) + float(one_open[3].value or 0.0) == pytest.approx(6750.0 / 208.0, rel=1e-4)


def test_a_heater_with_nothing_left_has_no_table() -> None:
    """One feed on two lines, or on line and neutral, is cold with either open; so is one that no flow turns on."""
    assert lost_at("packing-house")[1] is None
    assert lost_at("potting-shed")[1] is None
    at, _ = lost_at("creamery")
    assert lost_table("site.t", replace(at, wanted_m3_s=1e-6), kelvin(50.0)) is None


def test_what_a_model_does_with_a_line_open_as_phasors_have_it() -> None:
    """Tarn 18 on 208 V of three phases: its two feeds each have one element across each pair of lines."""
    heater = model("tarn-18")
    single, *others, three = model_lost_tables(heater)
    assert [len(table.rows) for table in (single, *others, three)] == [2, 2, 5]
    rating = heater.ratings[-1]
    by_feed = [[heater.stages[number - 1] for number in feed.stages] for feed in heater.electrical.feeds]
    for line, (_, cells) in enumerate(three.rows[:3]):
        found = [by_phasors(stages, rating, rating.voltage_v, line) for stages in by_feed]
        power, *currents = [cell.value for cell in cells]
        assert power == pytest.approx(sum(power_w for power_w, _ in found), rel=1e-6)
        assert currents == pytest.approx([max(lines) for _, lines in found], rel=1e-6)
    assert [cell.value for cell in single.rows[0][1]] == pytest.approx([9000.0, 0.0, 37.5]), "feed A off: by hand"
    assert model_lost_tables(model("beck-9")) == ()
