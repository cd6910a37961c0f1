"""To which side each figure, and each value of a finding, rounds: the safe one, over every site that tests know.

`sides.yaml` says it, by the kind of bound; a figure or value that it does not name fails, and so does a line of it that
no site has.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import Any

import pytest

from generator.build import Loaded
from generator.compute.compute_all import compute
from generator.model.documents.walk import walk
from generator.model.figures import Figure, FigureTable, Finding, Value
from tests.assemble.joint_sites import inputs
from tests.compute.circuit_cases import plain
from tests.print.random_sites import random_views

_FILE = plain(Path(__file__).with_name("sides.yaml"))
SIDES = {section: _FILE[section] for section in ("figures", "findings")}
WORKING = _FILE["working"]
# A symbol of mathematics, such as I_rated or Δp_1: not a name in words. What counts the parts of it is left out.
_SYMBOL = re.compile(r"([A-Za-zΔρ]{1,2}(?:_[A-Za-z-]+)?)(?:_[\d.]+)?")
OPPOSITE = {"up": "down", "down": "up"}
# Seeds of sites that, with the demo's and the unlike ones, meet every value together.
DRAWS = (1018, 1034, 1050, 1052, 1098, 1151, 2299)
MONTHS = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
]
# Parts of an id that count or name: a number, a conductor size, a rating, a feed's letter, a line.
_COUNTS = re.compile(r"\d+|[\d-]+-(awg|kcmil|mm2)|\d+-v-\d-phase|l[123]|[a-h]|all")


@pytest.fixture(scope="module")
def results(loaded: Loaded) -> list[Any]:
    found = [view.result for seed in DRAWS for _, view in random_views(loaded.inputs, seed, 1)]
    return [loaded.results, compute(inputs()), *found]


def family(id_: str) -> str:
    """The id without what names its owner and without what it counts."""
    _, _, *parts = id_.split(".")
    flows = [place for place, part in enumerate(parts) if place and parts[place - 1] == "at"]
    kept = [part for place, part in enumerate(parts) if place not in flows and not _COUNTS.fullmatch(part)]
    return ".".join("month" if part in MONTHS else re.sub(r"-\d+$", "", part) for part in kept)


def asked(results: list[Any]) -> Iterator[tuple[str, str, str, str]]:
    """Yield (section, name, side, where) for every figure with a value, and every rounded value of a finding."""
    for result in results:
        for figure in walk(result, Figure):
            if figure.value is None:
                continue
            yield "figures", family(figure.id), figure.side, figure.id
        for found in walk(result, Finding):
            rows = (row.values() for rows in found.lists.values() for row in rows)
            for value in (*found.values, *chain.from_iterable(rows)):
                if value.kind not in ("text", "count", "choice"):
                    yield "findings", f"{found.rule}.{re.sub(r'_?[0-9]+$', '', value.symbol)}", value.side, found.id


def test_each_rounds_to_the_side_of_its_bound(results: list[Any]) -> None:
    met: dict[str, set[str]] = {"figures": set(), "findings": set()}
    named = {
        section: {name: side for side, names in by_side.items() for name in names.split()}
        for section, by_side in SIDES.items()
    }
    wrong = set()
    for section, name, side, where in asked(results):
        met[section].add(name)
        if name not in named[section]:
            wrong.add(f"say in sides.yaml to which side {name} rounds")
        elif side != named[section][name]:
            wrong.add(f"{name} rounds {side}, as in {where}")
    assert not wrong, "\n".join(sorted(wrong))
    assert {section: set(names) - met[section] for section, names in named.items()} == {
        "figures": set(),
        "findings": set(),
    }


def test_a_name_has_one_side() -> None:
    for by_side in SIDES.values():
        names = [name for some in by_side.values() for name in some.split()]
        assert len(names) == len(set(names))


def in_working(results: list[Any]) -> Iterator[tuple[str, str, str]]:
    """Yield (symbol and kind, where, side) for each number of a working and of a table's heads."""
    for result in results:
        for figure in walk(result, Figure):
            for value in chain.from_iterable((*step.inputs, step.result) for step in figure.steps):
                yield from _named(value, family(figure.id))
        for table in walk(result, FigureTable):
            for value in (*table.columns, *table.conditions, *(head for head, _ in table.rows)):
                yield from _named(value, f"table {family(table.id)}")


def _named(value: Value, where: str) -> Iterator[tuple[str, str, str]]:
    named = isinstance(value.symbol, str) and value.kind not in ("text", "count", "choice")
    if named and (symbol := _SYMBOL.fullmatch(value.symbol)):
        yield f"{symbol[1]} {value.kind}", where, value.side


def test_each_number_of_a_working_rounds_to_the_side_of_its_bound(results: list[Any]) -> None:
    """As `working` says: of the symbol in one family of figures, else of the symbol anywhere."""
    asked: dict[str, set[str]] = {}
    for side, names in WORKING.items():
        for name in names:
            asked.setdefault(name, set()).add(side)
    wrong, met = set(), set()
    for name, where, side in in_working(results):
        entry = next((one for one in (f"{name} @ {where}", name) if one in asked), None)
        if entry is None:
            continue
        met.add((entry, side))
        if side not in asked[entry]:
            wrong.add(f"{name} @ {where} rounds {side}")
    assert not wrong, "\n".join(sorted(wrong))
    assert {(name, side) for name, sides in asked.items() for side in sides} - met == set()


def test_the_working_does_not_round_against_its_figure(results: list[Any]) -> None:
    """The last step of a figure gives the figure: were it rounded the other way, the working would contradict it."""
    seen = 0
    for result in results:
        for figure in walk(result, Figure):
            if not figure.steps or figure.kind in ("text", "count", "choice"):
                continue
            for value in (step.result for step in figure.steps):
                if value.value == figure.value and value.kind == figure.kind:
                    seen += 1
                    assert value.side != OPPOSITE.get(figure.side), (figure.id, value.symbol)
    assert seen > 1000
