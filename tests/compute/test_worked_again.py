"""Every working is worked out again from its own formula and numbers, as a reader with a calculator would.

Oracle: arithmetic, and for the density and enthalpy of water CoolProp (IAPWS-95) at one bar. A formula with words, or
with a symbol that the step gives no number for, is left to other tests.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI

from generator.build import Loaded
from generator.compute.compute_all import compute
from generator.model.documents.walk import walk
from generator.model.figures import Figure, Step
from tests.assemble.joint_sites import inputs
from tests.finding_texts import speaker

BAR = 1e5
FUNCTIONS = {
    "min": min,
    "max": max,
    "sqrt": math.sqrt,
    "pi": math.pi,
    "h": lambda kelvin: PropsSI("H", "T", kelvin, "P", BAR, "Water"),
    "rho": lambda kelvin: PropsSI("D", "T", kelvin, "P", BAR, "Water"),
}
# What stands for what in Python, in this order, after the symbols have been exchanged.
SIGNS = (
    (r"×", "*"),
    (r"÷", "/"),
    (r"−", "-"),
    (r"√(\d+)", r"sqrt(\1)"),
    (r"√", "sqrt"),
    (r"π ", "pi * "),
    (r"ρ\(", "rho("),
    (r"\) \(", ") * ("),
    (r"(\d+) %", r"(\1 / 100)"),
)
LEGAL = re.compile(r"(?:v\d+|(?:min|max|sqrt|h|rho)\(|pi|\d+(?:\.\d+)?|[-+*/(), ])*")
IN_MINUTES = "E = P × minutes a day × days"  # the one formula whose numbers are not SI
VERDICTS = {"yes": True, "no": False, "passes": True, "fails": False}


def steps(loaded: Loaded) -> Iterator[tuple[str, Step]]:
    for results in (loaded.results, speaker().worded(compute(inputs()))):
        for figure in walk(results, Figure):
            yield from ((figure.id, step) for step in figure.steps)


def evaluated(text: str, step: Step) -> Any:
    """What a formula gives with the numbers of its step; None for one that is not of numbers and symbols alone."""
    given: dict[str, Any] = {}
    for value in step.inputs:
        given.setdefault(value.symbol, []).append(value.value)
    text, names = text.replace("²", "**2"), {}  # which Python would count among the letters of a name
    for place, symbol in enumerate(sorted(given, key=len, reverse=True)):
        values = given[symbol]
        if not any(isinstance(one, str) for one in values):
            names[f"v{place}"] = values if len(values) > 1 else values[0]
            text = re.sub(rf"(?<!\w){re.escape(symbol)}(?!\w)", f"v{place}", text)
    for sign, python in SIGNS:
        text = re.sub(sign, python, text)
    if not LEGAL.fullmatch(text):
        return None
    return eval(text, {"__builtins__": {}}, FUNCTIONS | names)  # noqa: S307 - nothing but numbers, signs and FUNCTIONS


def first_part(text: str) -> str:
    """A formula without the remark behind it."""
    depth = 0
    for place, sign in enumerate(text):
        depth += {"(": 1, ")": -1}.get(sign, 0)
        if depth == 0 and text[place : place + 2] == ", ":
            return text[:place]
    return text


def test_each_working_gives_its_result(loaded: Loaded) -> None:
    tried, wrong = set(), {}
    for where, step in steps(loaded):
        name, equals, right = step.formula.partition(" = ")
        result = step.result
        if not equals or name not in (result.symbol, f"h({result.symbol})") or isinstance(result.value, str):
            continue
        found = evaluated(first_part(right), step)
        if found is None or step.formula == IN_MINUTES:
            continue
        tried.add(step.formula)
        water = "h(" in step.formula or "ρ(" in step.formula
        told = FUNCTIONS["h"](result.value) if name.startswith("h(") else result.value
        if found != pytest.approx(told, rel=1e-3 if water else 1e-9, abs=1e-9):
            wrong[step.formula] = (where, found, told)
    assert not wrong, "\n".join(f"{formula}: {values}" for formula, values in wrong.items())
    assert len(tried) >= 60, sorted(tried)


def test_each_comparison_gives_its_verdict(loaded: Loaded) -> None:
    tried, wrong = set(), {}
    for where, step in steps(loaded):
        parts = re.split(r" ([<>≤]) ", step.formula.partition(": ")[2] or step.formula)
        if len(parts) != 3 or step.result.value not in VERDICTS:
            continue
        left, right = (evaluated(part, step) for part in parts[::2])
        if left is None or right is None or math.isclose(left, right, rel_tol=1e-6):
            continue
        tried.add(step.formula)
        if (left > right if parts[1] == ">" else left < right) is not VERDICTS[step.result.value]:
            wrong[step.formula] = (where, left, right, step.result.value)
    assert not wrong
    assert len(tried) >= 8, sorted(tried)
