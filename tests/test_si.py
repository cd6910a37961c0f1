"""The relations of units to SI: right, written once, and every worked number of a docstring true."""

from __future__ import annotations

import ast
import doctest
import importlib
import pkgutil
import re
from pathlib import Path

import pytest
from scipy import constants

import generator
from generator import si

PACKAGE = Path(generator.__file__).parent
# Digits of a relation of units: where they stand again, the unit has been typed again.
DIGITS = re.compile(r"0\.3048|0\.0254|3\.785411|6894\.7|273\.15|459\.67|1055\.05|0\.45359|4\.44822")
OWNERS = {"si.py", "units.py"}
# A range named in a docstring; a label's size in the settings.
EXCEPT = {"compute/heat/water.py", "model/settings.py"}


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        (si.INCH_M, constants.inch),
        (si.FOOT_M, constants.foot),
        (si.POUND_FORCE_N, constants.pound_force),
        (si.GALLON_M3, constants.gallon_US),
        (si.GPM_M3_S, constants.gallon_US / constants.minute),
        (si.BTU_J, constants.Btu_IT),
        (si.FAHRENHEIT_K, constants.degree_Fahrenheit),
        (si.FREEZING_K, constants.zero_Celsius),
        (si.from_fahrenheit(120.0), constants.convert_temperature(120.0, "F", "K")),
        (si.to_fahrenheit(300.0), constants.convert_temperature(300.0, "K", "F")),
        (si.from_celsius(60.0), constants.convert_temperature(60.0, "C", "K")),
    ],
)
def test_a_relation_agrees_with_scipy(ours: float, theirs: float) -> None:
    """Outside: scipy.constants, which takes them from NIST and CODATA."""
    assert ours == pytest.approx(theirs, rel=1e-12)


def test_no_relation_is_written_a_second_time() -> None:
    again = [
        f"{path.relative_to(PACKAGE)}:{number}"
        for path in sorted(PACKAGE.rglob("*.py"))
        if path.name not in OWNERS and path.relative_to(PACKAGE).as_posix() not in EXCEPT
        for number, line in enumerate(path.read_text().splitlines(), start=1)
        if DIGITS.search(line)
    ]
    assert not again


def unworked(source: str) -> list[str]:
    """The public functions of a module that take numbers alone to a number, and whose docstring works none."""
    numbers = {"float", "int", "str", "Number"}
    return [
        node.name
        for node in ast.parse(source).body
        if isinstance(node, ast.FunctionDef)
        and not node.name.startswith("_")
        and node.returns is not None
        and ast.unparse(node.returns) in ("float", "Number")
        and {ast.unparse(each.annotation) for each in node.args.args if each.annotation} <= numbers
        and ">>> " not in (ast.get_docstring(node) or "")
    ]


@pytest.mark.parametrize("room", ["circuit", "heat", "flow", "use", "verdict"])
def test_each_formula_works_a_number(room: str) -> None:
    modules = {path: unworked(path.read_text(encoding="utf-8")) for path in (PACKAGE / "compute" / room).rglob("*.py")}
    assert modules
    assert {path.name: names for path, names in modules.items() if names} == {}


def test_a_formula_without_a_number_is_found() -> None:
    bare = "def f(a_k: float, n: int) -> float:\n    'Return it.'\n"
    assert unworked(bare) == ["f"]
    assert unworked(bare.replace("Return it.", ">>> f(1.0, 2)")) == unworked(bare.replace("int", "Site")) == []


def test_the_worked_numbers_of_docstrings_are_true() -> None:
    names = ["generator", *(one.name for one in pkgutil.walk_packages([str(PACKAGE)], "generator."))]
    done = [doctest.testmod(importlib.import_module(name)) for name in names if not name.endswith("__main__")]
    assert sum(one.attempted for one in done) >= 25
    assert not sum(one.failed for one in done)
