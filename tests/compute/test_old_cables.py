"""Conductors of a circuit that is there already, judged by the type that is marked on them.

Ampacities by hand from NFPA 70 (2023) Tables 310.16 and 310.15(B)(1)(1), agreed with secondary copies. That cable
without B has conductors of 60 degC: 334.112 and discussions of its change of 1984 (secondary copies).
"""

from __future__ import annotations

import pytest

from generator.compute.circuit.circuits import site_circuits
from generator.model.figures import Finding
from tests.compute.circuit_cases import basis, heater, metric_heater, metric_site, site
from tests.finding_texts import said

THERE = {"device": "40 A", "poles": "2", "conductor": "8 AWG", "ground": "10 AWG"}
HOT = {"method": "nm-cable", "insulation": "NM-B", "ambient": "40 degC"}


def conductor(insulation: str | None, route: dict[str, str], place: str = "indoor") -> Finding:
    """The finding about the conductors of an existing circuit for 7.2 kW at 240 V, 30 A, not continuous."""
    old = THERE | ({"insulation": insulation} if insulation else {})
    use = {"continuous": "no", "reason": "short turns"}
    at = site(existing_circuit=old, route=route, use=use, place={"kind": place})
    _, findings = site_circuits(at, heater("7.2 kW"), basis("us"))
    return next(one for one in findings if one.rule == "existing-conductor")


@pytest.mark.parametrize(
    ("insulation", "route", "ampacity_a"),
    [
        (None, HOT, 40.0),  # NM-B: 55 × 0.91, held to the 60 degC column
        ("NM", HOT, 40.0 * 0.82),  # 60 degC throughout
        ("unmarked", HOT, 40.0 * 0.82),
        ("cloth", HOT, 40.0 * 0.82),
        ("THW", {"method": "emt", "ambient": "40 degC"}, 50.0 * 0.88),  # 75 degC
        ("RHW", {"method": "emt", "ambient": "40 degC"}, 50.0 * 0.88),
        ("XHHW", {"method": "emt", "ambient": "40 degC"}, 50.0),  # dry: 55 × 0.91, held to terminals of 75 degC
        ("XHHW", {"method": "emt", "ambient": "40 degC", "wet": "yes"}, 50.0 * 0.88),  # wet: 75 degC
    ],
)
def test_an_old_type_is_corrected_from_its_own_column(
    insulation: str | None, route: dict[str, str], ampacity_a: float
) -> None:
    found = conductor(insulation, route)
    values = {value.symbol: value.value for value in found.values}
    assert values["ampacity"] == pytest.approx(ampacity_a)
    assert f"copper {insulation or 'NM-B'} in" in said(found)


def test_old_cable_fails_where_the_new_one_carries() -> None:
    """40 A: 8 AWG NM-B is protected to 40 A; of NM, 32.8 A, the next standard rating is 35 A."""
    assert (conductor(None, HOT).severity, conductor("NM", HOT).case) == ("ok", "us-unprotected")
    assert "NM-B" in said(conductor(None, HOT), "do")  # what is to be read on the sheath


@pytest.mark.parametrize("insulation", ["NM", "cloth", "unmarked"])
def test_an_old_type_that_is_for_dry_places_alone_stops_where_it_is_damp(insulation: str) -> None:
    found = conductor(insulation, HOT, place="damp")
    assert (found.severity, found.case) == ("stop", "us-unfit")
    assert f"{insulation} is not for a place as wet as this" in said(found)


def test_the_circuit_to_install_keeps_the_type_of_the_route() -> None:
    old = THERE | {"insulation": "NM"}
    at = site(existing_circuit=old, route=HOT)
    (new,), _ = site_circuits(at, heater("7.2 kW"), basis("us"))
    (same,), _ = site_circuits(site(existing_circuit=THERE, route=HOT), heater("7.2 kW"), basis("us"))
    assert new.conductor.value == same.conductor.value


def test_old_pvc_where_the_route_is_xlpe() -> None:
    """Method C, 4 mm2, two loaded, in 30 degC: PVC 36 A (IEC 60364-5-52 B.52.2), XLPE held to terminals of 70 degC."""
    old = {"device": "40 A", "poles": "2", "conductor": "4 mm2", "ground": "4 mm2", "insulation": "PVC"}
    at = metric_site(existing_circuit=old, route={"insulation": "XLPE", "terminations": "90 degC"})
    model = metric_heater()
    model = model.model_copy(
        update={
            "electrical": model.electrical.model_copy(
                update={"terminals": model.electrical.terminals.model_copy(update={"temperature_k": 363.15})}
            )
        }
    )
    _, findings = site_circuits(at, model, basis("iec"))
    found = next(one for one in findings if one.rule == "existing-conductor")
    assert {value.symbol: value.value for value in found.values}["capacity"] == pytest.approx(36.0)
    assert found.severity == "stop"
