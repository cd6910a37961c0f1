"""What the basis cannot state is refused, with its place in the YAML."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from generator.compute.circuit.circuits import model_circuits, site_circuits
from generator.errors import CannotCompute
from tests.compute.circuit_cases import basis, heater, metric_heater, metric_site, site

US = [
    (("route", "method"), {"route": {"method": "knob-and-tube"}}),
    (("route", "insulation"), {"route": {"insulation": "NM-B"}}),
    (("route", "ambient"), {"route": {"ambient": "85 degC", "insulation": "THWN"}}),
    (("route", "ambient"), {"route": {"method": "uf-cable", "insulation": "UF-B", "ambient": "56 degC"}}),
    (("route",), {"route": {"ambient": "84 degC", "other_conductors": "40"}}),
]
IEC = [
    (("route", "method"), {"route": {"method": "emt"}}),
    (("route", "insulation"), {"route": {"insulation": "THWN-2"}}),
    (("route", "conductor"), {"route": {"conductor": "aluminum"}}),
    (("route", "ambient"), {"route": {"ambient": "61 degC"}}),
    (("route", "other_circuits"), {"route": {"other_circuits": "20"}}),
    (("route", "other_circuits"), {"route": {"method": "D1", "other_circuits": "1"}}),
    (("route", "arrangement"), {"route": {"method": "B1", "arrangement": "perforated tray"}}),
    (("route", "terminations"), {"route": {"terminations": "60 degC"}}),
]


@pytest.mark.parametrize(("where", "changes"), US)
def test_us_refusal_is_located(where: tuple[str, ...], changes: dict[str, Any]) -> None:
    with pytest.raises(CannotCompute) as refusal:
        site_circuits(site(**changes), heater(), basis("us"))
    assert refusal.value.where == where
    assert refusal.value.wrong and refusal.value.expected


def test_a_size_that_the_metal_does_not_come_in_is_not_proposed() -> None:
    """Table 310.16 has no 14 AWG aluminum; what is expected must not name it."""
    old = {"device": "15 A", "poles": "2", "conductor": "14 AWG", "ground": "10 AWG"}
    with pytest.raises(CannotCompute) as refusal:
        site_circuits(site(existing_circuit=old, route={"conductor": "aluminum"}), heater(), basis("us"))
    assert "14 AWG" not in refusal.value.expected
    assert "12 AWG" in refusal.value.expected
    assert "aluminum" in refusal.value.expected


@pytest.mark.parametrize(("where", "changes"), [*US, *IEC])
def test_no_refusal_holds_a_whole_table(where: tuple[str, ...], changes: dict[str, Any]) -> None:
    us = (where, changes) in US
    at, model = (site(**changes), heater()) if us else (metric_site(**changes), metric_heater())
    with pytest.raises(CannotCompute) as refusal:
        site_circuits(at, model, basis("us" if us else "iec"))
    assert len(refusal.value.wrong) < 200


def test_a_route_has_a_length() -> None:
    with pytest.raises(ValidationError):
        site(route={"length": "0 ft"})


@pytest.mark.parametrize(("where", "changes"), IEC)
def test_iec_refusal_is_located(where: tuple[str, ...], changes: dict[str, Any]) -> None:
    with pytest.raises(CannotCompute) as refusal:
        site_circuits(metric_site(**changes), metric_heater(), basis("iec"))
    assert refusal.value.where == where


def test_a_three_phase_heater_on_a_single_phase_supply_is_refused() -> None:
    with pytest.raises(CannotCompute) as refusal:
        site_circuits(site(), heater(phases=3), basis("us"))
    assert refusal.value.where == ("supply", "phases")


def test_a_buried_single_circuit_is_not_refused() -> None:
    ((circuit,), _) = site_circuits(
        metric_site(route={"method": "D1", "ambient": "20 degC"}), metric_heater(), basis("iec")
    )
    assert circuit.conductor.value == "4 mm2"


def test_a_marking_below_the_load_is_refused_where_the_model_states_it() -> None:
    with pytest.raises(CannotCompute) as refusal:
        model_circuits(heater(maximum_device="35 A"), basis("us"))
    assert refusal.value.where == ("electrical", "feeds", 0, "maximum_device")


@pytest.mark.parametrize(
    ("power", "parts", "where"),
    [
        ("70 kW", 4, ("electrical", "feeds", 0)),  # no conductor of the basis carries it
        ("18 kW", 0, ("electrical", "feeds", 0)),  # not subdivided at all
        ("24 kW", 2, ("electrical", "feeds", 0)),  # two parts of 50 A
        ("18 kW", 3, ("electrical", "feeds", 0, "factory_protection")),  # three devices of one stage leave one bare
    ],
)
def test_a_large_heater_not_subdivided_is_refused_where_the_model_states_it(
    power: str, parts: int, where: tuple[str | int, ...]
) -> None:
    with pytest.raises(CannotCompute) as refusal:
        model_circuits(heater(power, factory_parts=parts), basis("us"))
    assert refusal.value.where == where
