"""Worked examples of circuits from exams and handbooks, and rules worked by hand: tests/sources/circuits/*.yaml."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from generator.compute.circuit.circuits import site_circuits
from generator.compute.circuit.drop.divider import deliver
from generator.compute.circuit.drop.voltage_drop import Wires, size_for_drop
from generator.compute.circuit.iec.capacity import capacity
from generator.compute.circuit.iec.conditions import Conditions as IecConditions
from generator.compute.circuit.iec.conductor import resistance_ohm_m as iec_resistance
from generator.compute.circuit.load import loads
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.circuit.us.ampacity import ampacity
from generator.compute.circuit.us.conditions import Conditions
from generator.compute.circuit.us.conductor import resistance_ohm_m as us_resistance
from generator.compute.circuit.us.grounding import ground, ground_steps
from generator.model.heater import Rating, Stage
from tests.compute.circuit_cases import basis, heater, metric_heater, metric_site, plain, site

SOURCES = Path(__file__).parents[1] / "sources" / "circuits"
FOOT = 0.3048
# What an example says of itself; every other key is a result.
TOLD = ("name", "source", "mark", "given")


def examples(file: str, key: str = "examples") -> list[Any]:
    found = plain(SOURCES / f"{file}.yaml")[key]
    return [pytest.param(example, id=example["name"]) for example in found]


def asserted(example: dict[str, Any]) -> dict[str, Any]:
    """The keys of an example that state a result; at least one, and each must be known to its test."""
    found = {key: value for key, value in example.items() if key not in TOLD}
    assert found, "the example states no result"
    return found


def us_conditions(given: dict[str, str]) -> Conditions:
    return Conditions(
        method=basis("us").methods.methods[given["method"]] if "method" in given else None,
        material=given.get("material", "copper"),
        insulation="stated by its temperature",
        insulation_c=int(given.get("insulation_c", 90)),
        ambient_c=float(given.get("ambient_c", 30)),
        carrying=int(given.get("carrying", 2)),
        termination_c=int(given.get("termination_c", 75)),
    )


def test_there_are_enough_examples_and_each_names_its_source() -> None:
    found = [example for file in SOURCES.glob("*.yaml") for some in plain(file).values() for example in some]
    assert len(found) >= 25
    assert all(example["name"] and example["source"] and example["mark"] for example in found)


@pytest.mark.parametrize("example", examples("us_ampacity"))
def test_ampacity(example: dict[str, Any]) -> None:
    found = ampacity(example["given"]["size"], us_conditions(example["given"]), basis("us"))
    values = {"corrected_a": found.corrected_a, "usable_a": found.usable_a}
    for key, value in asserted(example).items():
        assert values[key] == pytest.approx(float(value), abs=1e-9)


@pytest.mark.parametrize("example", examples("us_circuits"))
def test_whole_circuit(example: dict[str, Any]) -> None:
    given = example["given"]
    feeds = int(given.get("feeds", 1))
    model = heater(
        f"{float(given['power_w']) / 1000} kW",
        f"{given['voltage_v']} V",
        int(given["phases"]),
        feeds,
        int(given.get("factory_parts", 0)),
    )
    own = feeds * (3 if given["phases"] == "3" else 2)
    where = site(
        supply={"voltage": f"{given.get('supply_v', given['voltage_v'])} V", "phases": given["phases"]},
        route={
            "ambient": f"{given.get('ambient_c', 30)} degC",
            "terminations": f"{given.get('termination_c', 75)} degC",
            "other_conductors": str(int(given.get("carrying", own)) - own),
        },
        use={"continuous": given.get("continuous", "yes"), "reason": "as the example says"},
    )
    for circuit in site_circuits(where, model, basis("us"))[0]:
        figures = {figure.id.rpartition(".")[2]: figure.value for figure in circuit.extra}
        found = {
            "floor_a": circuit.floor.value,
            "recommended_a": circuit.recommended.value,
            "ceiling_a": circuit.ceiling.value,
            "device_a": circuit.device.value,
            "conductor": circuit.conductor.value,
            "ground": circuit.ground.value,
            "supply_current_a": figures["supply-current"],
            "supply_power_w": figures["supply-power"],
        }
        for key, value in asserted(example).items():
            if isinstance(found[key], float):
                assert found[key] == pytest.approx(float(value), rel=1e-4), key
            else:
                assert found[key] == value, key


@pytest.mark.parametrize("example", examples("us_grounding"))
def test_grounding_conductor(example: dict[str, Any]) -> None:
    given = example["given"]
    material = given.get("material", "copper")
    sizes = {"needed": given["needed"], "installed": given["installed"]}
    found = ground(basis("us"), material, device_a=float(given["device_a"]), **sizes)
    assert found.size == example["ground"]
    assert ground_steps(found, material, basis("us"))[-1].result.value == found.size


def drop_at_current(size: str, current_a: float, length_m: float, voltage_v: float, name: str) -> float:
    """The divider's drop, its load chosen so that the stated current flows."""
    if name == "us":
        ohm = us_resistance(size, us_conditions({}), basis("us")) * length_m
    else:
        ohm = iec_resistance(size, basis("iec")) * length_m
    load_ohm = voltage_v / current_a - 2 * ohm
    rating = Rating(voltage_v=voltage_v, phases=1, power_w=voltage_v**2 / load_ohm)
    stage = Stage(share=1.0, closes_at_m3_s=2e-5, opens_at_m3_s=1e-5)
    found = deliver([stage], SupplyConnection(rating, voltage_v, False, False), conductor_ohm=ohm, supply_v=voltage_v)
    assert found.current_a == pytest.approx(current_a, rel=1e-12)
    return found.drop_v


@pytest.mark.parametrize("example", examples("voltage_drop"))
def test_voltage_drop(example: dict[str, Any]) -> None:
    given = example["given"]
    length_m = float(given["length_m"]) if "length_m" in given else float(given["length_ft"]) * FOOT
    found = drop_at_current(
        given["size"], float(given["current_a"]), length_m, float(given["voltage_v"]), given["basis"]
    )
    assert found == pytest.approx(float(example["drop_v"]), rel=float(example["tolerance"]))


@pytest.mark.parametrize("example", examples("voltage_drop", "sizes"))
def test_size_for_a_long_run(example: dict[str, Any]) -> None:
    given = example["given"]
    volts, amps = float(given["voltage_v"]), float(given["current_a"])
    model = heater(f"{volts * amps / 1000} kW", f"{volts:g} V")
    rating = model.ratings[0]
    (load,) = loads(model, SupplyConnection(rating, volts, False, False), "x", site=True)
    wires = Wires(
        "14 AWG",
        float(given["length_ft"]) * FOOT,
        lambda size: us_resistance(size, us_conditions({}), basis("us")),
        basis("us").header.sizes,
        {"branch circuit": float(given["limit"])},
    )
    assert size_for_drop(load, wires) == example["size"]


@pytest.mark.parametrize("example", examples("iec", "capacities"))
def test_capacity(example: dict[str, Any]) -> None:
    given = example["given"]
    method, insulation, loaded = given["column"].split()
    conditions = IecConditions(
        method_id=method,
        method=basis("iec").methods.methods[method],
        insulation=insulation,
        insulation_c=70,
        loaded=int(loaded),
        ambient_c=float(given["ambient_c"]),
        circuits=int(given.get("circuits", 1)),
        grouping=None if given.get("alone") else "bunched",
        terminations_c=70,
    )
    found = capacity(given["size"], conditions, basis("iec"))
    assert found.usable_a == pytest.approx(float(example["capacity_a"]), rel=float(example["tolerance"]))


@pytest.mark.parametrize("example", examples("iec", "circuits"))
def test_iec_circuit(example: dict[str, Any]) -> None:
    given = example["given"]
    volts, phases = given.get("voltage_v", "230"), given.get("phases", "1")
    model = metric_heater(f"{float(given['power_w']) / 1000} kW", f"{volts} V", int(phases))
    where = metric_site(
        supply={"voltage": f"{volts} V", "phases": phases},
        route={"method": given["method"], "other_circuits": given.get("other_circuits", "0")},
    )
    ((circuit,), _) = site_circuits(where, model, basis("iec"))
    assert circuit.device.value == float(example["device_a"])
    assert (circuit.conductor.value, circuit.ground.value) == (example["conductor"], example["ground"])
