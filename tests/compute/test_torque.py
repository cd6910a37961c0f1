"""The torque of the supply terminals: what is marked, unless no terminal of the size is tightened so."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from pydantic import ValidationError

from generator.compute.circuit.fit.torque import require_plausible_torque, terminal_torque
from generator.errors import CannotCompute
from generator.model.heater import HeaterModel
from generator.units import from_si
from tests.compute.circuit_cases import basis, demo_model, heater
from tests.frozen import ROOT

GREATEST = yaml.safe_load((ROOT / "tests/sources/torque.yaml").read_text(encoding="utf-8"))["greatest"]


def tightened(torque: str, largest: str = "4 AWG") -> HeaterModel:
    terminals = {"temperature": "75 degC", "conductors": ["copper"], "smallest": "14 AWG"}
    return heater(terminals=terminals | {"largest": largest, "torque": torque})


@pytest.mark.parametrize(("text", "lbf_in"), [("35 lbf in", 35.0), ("3 lbf ft", 36.0), ("2 N m", 17.7015)])
def test_the_figure_is_what_is_marked(text: str, lbf_in: float) -> None:
    """1 lbf in = 0.1129848 N m: NIST SP 811 (2008) appendix B.8, from memory."""
    figure = terminal_torque("model.x", tightened(text), basis("us"))
    assert (figure.id, figure.kind, figure.side, figure.state) == ("model.x.torque", "torque", "nearest", "ok")
    assert isinstance(figure.value, float)
    assert from_si(figure.value, "torque", "lbf in") == pytest.approx(lbf_in, rel=1e-5)


@pytest.mark.parametrize("row", GREATEST, ids=lambda row: row["largest"])
def test_a_torque_above_what_any_connector_of_the_size_bears_is_refused(row: dict[str, Any]) -> None:
    require_plausible_torque(tightened(f"{row['lbf_in']} lbf in", row["largest"]), basis("us"))
    if row["lbf_in"] == 500:
        return  # the field itself takes no more
    with pytest.raises(CannotCompute) as refused:
        require_plausible_torque(tightened(f"{row['lbf_in'] + 1} lbf in", row["largest"]), basis("us"))
    assert refused.value.where == ("electrical", "terminals", "torque")
    assert f"no more than {row['largest']}" in refused.value.wrong


@pytest.mark.parametrize(
    "text", ["0 lbf in", "4.9 lbf in", "501 lbf in", "42 lbf ft", "57 N m", "-300 lbf ft", "25 lb in", "green", "x"]
)
def test_what_no_terminal_is_tightened_to_is_refused_by_the_reader(text: str) -> None:
    with pytest.raises(ValidationError):
        tightened(text, "4/0 AWG")


@pytest.mark.parametrize("name", ["rill-3", "rill-4m", "beck-9", "tarn-18"])
def test_a_slipped_digit_in_the_demo_is_refused(name: str) -> None:
    model = demo_model(name)
    for factor in (10.0, 0.1):
        slipped = model.electrical.terminals.torque_n_m * factor
        with pytest.raises((CannotCompute, ValidationError)):
            terminals = model.electrical.terminals.model_dump() | {"torque_n_m": slipped}
            electrical = model.electrical.model_dump() | {"terminals": terminals}
            slip = HeaterModel.model_validate(model.model_dump() | {"electrical": electrical})
            require_plausible_torque(slip, basis("iec" if name == "rill-4m" else "us"))
