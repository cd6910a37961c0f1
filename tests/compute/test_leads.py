"""The leads of a heater are those of its ratings and of its connection at the site.

Oracle: one insulated conductor for each line and one for the neutral where there is one, and an equipment grounding
conductor, always (NFPA 70 (2023) 200.2, 250.110 and 422.10, from memory).
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from generator.build import load
from generator.compute.circuit.circuits import model_circuits, site_circuits
from generator.errors import CannotCompute, InputFaults
from generator.model.figures import Finding
from generator.model.heater import HeaterModel, Rating
from generator.model.site import Site
from tests.compute.circuit_cases import basis, demo_model, demo_site, heater, leads, metric_heater, metric_site, site
from tests.finding_texts import said
from tests.frozen import copied


@pytest.mark.parametrize(
    ("model", "where", "told"),
    [
        ({"leads": leads(1, neutral=False)}, ("electrical", "leads"), "a lead 'line 1'"),
        ({"phases": 3, "leads": leads(2, neutral=False)}, ("electrical", "leads"), "a lead 'line 3'"),
        (
            {"neutral_needed": "yes", "leads": leads(2, neutral=False)},
            ("electrical", "leads"),
            "a lead 'neutral'",
        ),
        ({"leads": leads(2, neutral=False)[:-1]}, ("electrical", "leads"), "a lead 'ground'"),
        ({"leads": leads(2, neutral=True)}, ("electrical", "leads", 2, "role"), "a lead 'neutral'"),
        ({"leads": leads(3, neutral=False)}, ("electrical", "leads", 2, "role"), "a lead 'line 3'"),
        (
            {"voltage": "120 V", "power": "2.88 kW", "neutral_needed": "no", "leads": leads(1, neutral=True)},
            ("electrical", "neutral_needed"),
            "rated 120 V, which stands between line and neutral",
        ),
    ],
)
def test_leads_that_do_not_fit_are_refused_at_the_model(
    model: dict[str, Any], where: tuple[str | int, ...], told: str
) -> None:
    with pytest.raises(CannotCompute) as refusal:
        model_circuits(heater(**model), basis("us"))
    assert refusal.value.where == where
    assert told in refusal.value.wrong


def test_an_iec_heater_of_two_line_leads_is_refused() -> None:
    """IEC 60038:2009, table 1, from memory: 230 V stands between line and neutral of 230/400 V."""
    with pytest.raises(CannotCompute, match="a lead 'line'"):
        model_circuits(metric_heater(leads=leads(2, neutral=True)), basis("iec"))


@pytest.mark.parametrize("name", ["rill-3", "beck-9", "tarn-18"])
def test_the_demo_s_leads_fit(name: str) -> None:
    assert model_circuits(demo_model(name), basis("us"))


def judged(place: Site, model: HeaterModel, code: str = "us") -> Finding:
    circuits, findings = site_circuits(place, model, basis(code))
    found = next(one for one in findings if one.rule == "heater-leads")
    assert (circuits[0].device.value is None) == (found.severity == "stop"), "such a circuit must not be built"
    return found


def of_three_lines(neutral: bool = False) -> HeaterModel:
    single = Rating.model_validate({"voltage": "240 V", "phases": "1", "power": "9.6 kW"})
    model = heater(phases=3, neutral_needed="yes" if neutral else "no")
    return model.model_copy(update={"ratings": (*model.ratings, single)})


def test_a_metric_heater_on_two_lines_is_stopped() -> None:
    us_site = demo_site("packing-house")
    supply = us_site.supply.model_copy(update={"neutral_present": True})
    route = us_site.route.model_copy(update={"terminations_k": 343.15})
    sizes = {"smallest": "14 AWG", "largest": "4 AWG"}
    rill = demo_model("rill-4m")
    terminals = rill.electrical.terminals.model_copy(update=sizes)
    rill = rill.model_copy(update={"electrical": rill.electrical.model_copy(update={"terminals": terminals})})
    found = judged(us_site.model_copy(update={"supply": supply, "route": route}), rill)
    assert found.severity == "stop"
    assert [row["lead"].value for row in found.lists["leads"]] == ["line", "neutral", "ground"]
    taken = "Its connection to this supply: two lines and a neutral."
    assert said(found) == f"The heater's leads: line, neutral, ground. {taken}"


def test_a_line_lead_may_be_left_unused_by_a_single_phase_rating() -> None:
    assert judged(site(), of_three_lines()).severity == "ok"
    assert judged(site(supply={"phases": "3"}), of_three_lines()).severity == "ok"
    with_neutral = judged(site(supply={"neutral_present": "yes"}), of_three_lines(neutral=True))
    assert with_neutral.severity == "ok"


def test_a_heater_of_two_lines_is_stopped_between_line_and_neutral() -> None:
    found = judged(metric_site(), metric_heater(leads=leads(2, neutral=True)), "iec")
    assert found.severity == "stop"


def test_a_neutral_without_a_lead_is_stopped() -> None:
    found = judged(site(), heater(neutral_needed="yes", leads=leads(2, neutral=False)))
    assert found.severity == "stop"


def test_the_refusal_names_file_line_and_key(tmp_path: Path) -> None:
    folders = copied(tmp_path)
    path = tmp_path / "site_data" / "models" / "tarn-18.yaml"
    text, removed = re.subn(r"    - \{role: line 3, colour: blue\}\n", "", path.read_text(encoding="utf-8"))
    assert removed == 1
    path.write_text(text, encoding="utf-8")
    line = next(number for number, words in enumerate(text.splitlines(), 1) if "role: line 1" in words)
    with pytest.raises(InputFaults) as refused:
        load(folders)
    (fault,) = refused.value.faults
    assert fault.file.endswith("models/tarn-18.yaml")
    assert (fault.line, fault.key) in ((line, "electrical.leads"), (line - 1, "electrical.leads"))
    assert "line 3" in fault.wrong


@pytest.mark.parametrize(
    ("three_v", "single_v", "case"),
    [("400 V", "230 V", "star"), ("415 V", "240 V", "star"), ("240 V", "240 V", "fit"), ("208 V", "208 V", "fit")],
)
def test_a_star_heater_is_not_put_across_two_lines(three_v: str, single_v: str, case: str) -> None:
    """L1, L2, L3 and N: a heater of 400 V and 230 V has its elements between line and neutral (400 / sqrt(3) = 231)."""
    three = Rating.model_validate({"voltage": three_v, "phases": "3", "power": "9.6 kW"})
    single = Rating.model_validate({"voltage": single_v, "phases": "1", "power": "9.6 kW"})
    model = heater(phases=3, neutral_needed="yes", leads=leads(3, neutral=True))
    model = model.model_copy(update={"ratings": (three, single)})
    place = site(supply={"voltage": "208 V" if single_v == "208 V" else "240 V", "neutral_present": "yes"})
    found = judged(place, model)
    assert (found.case, found.severity) == (case, "ok" if case == "fit" else "stop")
    if case == "star":
        told = {value.symbol: value.value for value in found.values}
        assert (f"{told['rated']:g} V", f"{told['between']:g} V") == (single_v, three_v)
