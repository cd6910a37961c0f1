"""A marked maximum that its current does not call for is to be checked against the nameplate.

Oracle: NFPA 70 (2023) 422.11(E)(3): unmarked, 150 % of the rated current, the next standard size of 240.6(A) being
allowed; 422.11(F)(1): a part of a subdivided heater at not more than 60 A. IEC: the same 150 %, common practice, no
source, and the ratings of IEC 60898-1 (6 to 125 A). The rest from memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from generator.compute.circuit.circuits import model_marking, site_circuits
from generator.model.figures import Finding
from generator.model.heater import HeaterModel
from tests.compute.circuit_cases import basis, demo_model, demo_site, heater, metric_heater


def marked(model: HeaterModel, *devices: float | None) -> HeaterModel:
    """The model with these greatest devices [A] marked, a feed each."""
    feeds = [
        feed.model_copy(update={"maximum_device_a": device})
        for feed, device in zip(model.electrical.feeds, devices, strict=True)
    ]
    return model.model_copy(update={"electrical": model.electrical.model_copy(update={"feeds": tuple(feeds)})})


@pytest.mark.parametrize(
    ("device", "case"),
    [
        (None, "not-marked"),
        (40.0, "plausible"),
        (50.0, "plausible"),
        (60.0, "plausible"),
        (70.0, "check"),
        (500.0, "check"),
    ],
)
def test_a_heater_of_40_amperes_marks_60_at_most(device: float | None, case: str) -> None:
    """9.6 kW at 240 V: 40 A; 150 % of it is 60 A, a standard size."""
    found = model_marking(marked(heater("9.6 kW"), device), basis("us"))
    assert (found.case, found.severity) == (case, "attention" if case == "check" else "ok")
    if case == "check":
        ((row,),) = (found.lists["above"],)
        assert {name: value.value for name, value in row.items()} == {
            "feed": "A",
            "marked": device,
            "current": pytest.approx(40.0),
            "most": 60.0,
        }
        assert (row["current"].side, row["most"].side) == ("up", "down")


@pytest.mark.parametrize(
    ("code", "device", "odd"), [("us", 55.0, ["A"]), ("us", 45.0, []), ("iec", 45.0, ["A"]), ("iec", 40.0, [])]
)
def test_a_marking_of_no_standard_rating_is_to_be_checked(code: str, device: float, odd: list[str]) -> None:
    """45 A is a size of 240.6(A), and no rating of IEC 60898-1."""
    model = heater("9.6 kW") if code == "us" else metric_heater()
    if code == "iec":
        rating = model.ratings[0].model_copy(update={"power_w": 230.0 * 39.0})
        model = model.model_copy(update={"ratings": (rating,)})
    found = model_marking(marked(model, device), basis(code))
    assert [row["feed"].value for row in found.lists.get("odd", ())] == odd
    assert found.severity == ("attention" if odd else "ok")


def test_on_the_iec_basis_150_per_cent_and_the_next_rating_is_the_most() -> None:
    """A metric heater of I amperes: the least of 6, 10, 13, 16, 20, 25, 32, 40 ... not below 1.5 I."""
    model = metric_heater()
    current_a = model.ratings[0].power_w / model.ratings[0].voltage_v
    ratings = (6.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0)
    most = next(one for one in ratings if one >= 1.5 * current_a)
    above = next(one for one in ratings if one > most)
    assert model_marking(marked(model, most), basis("iec")).severity == "ok"
    found = model_marking(marked(model, above), basis("iec"))
    assert found.severity == "attention" and found.lists["above"][0]["most"].value == most


def test_a_part_of_a_subdivided_heater_marks_60_amperes_at_most() -> None:
    """18 kW on two feeds of 37.5 A at 240 V: 150 % would let 60 A stand, and the part's limit is 60 A."""
    tarn = demo_model("tarn-18")
    assert model_marking(marked(tarn, 60.0, 60.0), basis("us")).severity == "ok"
    found = model_marking(marked(tarn, 50.0, 70.0), basis("us"))
    assert [row["feed"].value for row in found.lists["above"]] == [tarn.electrical.feeds[1].name]
    large = heater("11.52 kW")  # 48 A: 150 % is 72 A, next 80 A; with 48 A it is not subdivided
    assert model_marking(marked(large, 80.0), basis("us")).severity == "ok"
    more = tarn.model_copy(update={"ratings": (tarn.ratings[0].model_copy(update={"power_w": 23040.0}),)})
    found = model_marking(marked(more, 70.0, 60.0), basis("us"))  # parts of 48 A: 80 A by 150 %, 60 A by 422.11(F)(1)
    assert [row["most"].value for row in found.lists["above"]] == [60.0]


def test_a_small_load_may_mark_20_amperes() -> None:
    """422.11(E)(2): 20 A for an appliance of 13.3 A or less."""
    assert model_marking(marked(heater("2.4 kW"), 20.0), basis("us")).severity == "ok"
    assert model_marking(marked(heater("2.4 kW"), 25.0), basis("us")).severity == "attention"


def finding_at(name: str, **changes: Any) -> Finding:
    site = demo_site(name)
    model = demo_model(site.heater)
    devices = changes.get("devices", tuple(feed.maximum_device_a for feed in model.electrical.feeds))
    _, findings = site_circuits(site, marked(model, *devices), basis("us"))
    return next(one for one in findings if one.rule == "marked-device")


def test_at_the_site_it_stands_too() -> None:
    assert finding_at("packing-house").severity == "ok"
    assert finding_at("packing-house", devices=(500.0,)).severity == "attention"
    assert finding_at("creamery").severity == "ok"  # at 208 V 30 A would be enough, and one marking serves 240 V too
