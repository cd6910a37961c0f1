"""Shares written in rounded per cent stand for simple fractions, everywhere the same: stages, elements, circuits."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from generator.compute.circuit.circuits import model_circuits
from generator.compute.circuit.element_table import element_tables
from generator.compute.heat.figures.stages import stage_results
from generator.model.heater import HeaterModel
from tests.compute.circuit_cases import basis, demo_model, heater
from tests.compute.wet_cases import TOLERANCES


def shares(*texts: str) -> list[float]:
    model = heater()
    stages = [
        stage.model_dump(by_alias=True) | {"share": text} for stage, text in zip(model.stages, texts, strict=True)
    ]
    data = model.model_dump(by_alias=True) | {"stages": stages}
    return [stage.share for stage in HeaterModel.model_validate(data).stages]


def test_a_sixth_of_eighteen_kilowatts_takes_twelve_and_a_half_amperes() -> None:
    """3 kW at 240 V: 12.5 A by Ohm's law, in the stage table as in the circuit's."""
    tarn = demo_model("tarn-18")
    stages = stage_results("x", tarn, 240.0, phases=1)
    assert [stage.current.value for stage in stages] == pytest.approx([12.5 * n for n in range(1, 7)], abs=1e-12)
    assert [stage.power.value for stage in stages] == pytest.approx([3000.0 * n for n in range(1, 7)], abs=1e-9)
    first = element_tables(tarn, TOLERANCES)[0].rows[0][1]
    assert first[0].value == pytest.approx(12.5, abs=1e-12)
    assert first[3].value == pytest.approx(240.0**2 / 3000.0, abs=1e-12)
    for circuit in model_circuits(tarn, basis("us"))[:2]:
        assert circuit.load_current.value == pytest.approx(37.5, abs=1e-12)


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        (("16.67 %", "16.67 %", "33.33 %", "33.33 %"), (1 / 6, 1 / 6, 1 / 3, 1 / 3)),
        (("25 %", "25 %", "25 %", "25 %"), (0.25,) * 4),
        (("16.7 %", "16.7 %", "33.3 %", "33.3 %"), (0.167, 0.167, 0.333, 0.333)),  # too far from the fractions
        (("33.33 %", "33.33 %", "16.9 %", "16.44 %"), (0.3333, 0.3333, 0.169, 0.1644)),  # not every one is near
        (("20.1 %", "19.9 %", "29.9 %", "29.9 %"), (0.201 / 0.998, 0.199 / 0.998, 0.299 / 0.998, 0.299 / 0.998)),
        (("20.1 %", "20.1 %", "29.9 %", "30.1 %"), (0.201 / 1.002, 0.201 / 1.002, 0.299 / 1.002, 0.301 / 1.002)),
    ],
)
def test_all_shares_are_fractions_or_none_is(written: tuple[str, ...], meant: tuple[float, ...]) -> None:
    assert shares(*written) == pytest.approx(meant, abs=1e-15)


def three_stages(share: str) -> HeaterModel:
    """9.606 kW at 240 V in three stages whose shares are written alike."""
    model = heater("9.606 kW")
    stage = model.stages[0].model_dump(by_alias=True) | {"share": share}
    feed = {"name": "A", "stages": ["1", "2", "3"]}
    electrical = model.electrical.model_dump(by_alias=True) | {"feeds": [feed]}
    data = model.model_dump(by_alias=True) | {"stages": [stage] * 3, "electrical": electrical}
    return HeaterModel.model_validate(data)


@pytest.mark.parametrize("share", ["33.3 %", "33.33 %", "33.3333 %", "33.4 %"])
def test_shares_in_rounded_per_cent_leave_no_load_out(share: str) -> None:
    """9606 W / 240 V = 40.025 A, and 125 % of it is 50.03 A: above the 50 A device and the 50 A of 8 AWG copper.

    NFPA 70 2023, 240.6(A): 60 A is next; table 310.16, 75 degC: 8 AWG 50 A, 6 AWG 65 A (both from memory).
    """
    (circuit,) = model_circuits(three_stages(share), basis("us"))
    assert circuit.load_current.value == pytest.approx(9606.0 / 240.0, rel=1e-12)
    assert (circuit.device.value, circuit.conductor.value) == (60.0, "6 AWG")


def test_shares_further_from_a_whole_are_refused() -> None:
    with pytest.raises(ValidationError, match="do not add up to 100 %"):
        three_stages("33.2 %")
