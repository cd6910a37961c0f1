"""The numbers put in where the symbols stand."""

from __future__ import annotations

import pytest

from generator.model.figures import Step, Value
from generator.render.format import NBSP
from generator.render.pages.working import put_in

V = Value("V_rated", 240.0, "voltage")
P = Value("P", 9600.0, "power")


@pytest.mark.parametrize(
    ("formula", "inputs", "text"),
    [
        ("R = V_rated² / P", (V, P), "R = (240 V)² / 9.60 kW"),
        ("I = P / V_rated", (V, P), "I = 9.60 kW / 240 V"),
        ("Ps = P × (V / V_rated)²", (V, P), "Ps = 9.60 kW × (V / 240 V)²"),
        ("A = B", (V,), ""),
    ],
)
def test_numbers_take_the_place_of_symbols(formula: str, inputs: tuple[Value, ...], text: str) -> None:
    step = Step(formula, inputs, Value("x", 1.0, "number"), "arithmetic")
    assert put_in(step, "us").replace(NBSP, " ") == text
