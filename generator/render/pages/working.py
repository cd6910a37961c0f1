"""Working laid out for a reader: formulas set, numbers put in, and table cells that share a formula taken together."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from markupsafe import Markup

from generator.model.content.words import Units
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.render.escape import plain_text
from generator.render.format import parts

_SUBSCRIPT = re.compile(r"(?<=[A-Za-zΔρη])_([A-Za-z0-9]+(?:[,-][A-Za-z0-9]+)*)")


@dataclass(frozen=True, slots=True)
class CellLine:
    """The varying numbers of one cell in one step: the cell's row and column heads, inputs and result."""

    row: Value
    column: Value
    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class SharedStep:
    """One step of many cells: its formula and source once, the inputs equal in all, one line a cell for the rest."""

    step: Step
    constant: tuple[Value, ...]
    symbols: tuple[str, ...]
    lines: tuple[CellLine, ...]


@lru_cache(maxsize=4096)
def formula_markup(formula: str) -> Markup:
    """Return a formula in plain symbols as HTML: the `out` of `T_out` set as a subscript."""
    harmless = str(plain_text(formula)).replace("&#95;", "_")
    return Markup(_SUBSCRIPT.sub(r"<sub>\1</sub>", harmless).replace("_", "&#95;"))


def put_in(step: Step, units: Units) -> str:
    """Return the formula with its inputs' numbers in place of their symbols, or "" where it names none of them."""
    shown = {value.symbol: parts(value.value, value.kind, value.side, units=units)[0] for value in step.inputs}
    if not shown:
        return ""
    names = "|".join(re.escape(symbol) for symbol in sorted(shown, key=len, reverse=True))
    symbol = re.compile(rf"(?<![\w,-])({names})(²?)(?![\w]|[,-]\w)")
    text = symbol.sub(lambda match: f"({shown[match[1]]})²" if match[2] else shown[match[1]], step.formula)
    return "" if text == step.formula else text


def shared_steps(table: FigureTable) -> tuple[SharedStep, ...]:
    """Return the working of a table's cells, those with the same chain of formulas taken together."""
    groups: dict[tuple[tuple[str, str, str], ...], list[tuple[Value, Value, Figure]]] = {}
    for row, cells in table.rows:
        for column, cell in zip(table.columns, cells, strict=True):
            chain = tuple((step.formula, step.source, step.note) for step in cell.steps)
            groups.setdefault(chain, []).append((row, column, cell))
    return tuple(
        _shared([(row, column, cell.steps[place]) for row, column, cell in cells])
        for chain, cells in groups.items()
        for place in range(len(chain))
    )


def _shared(steps: list[tuple[Value, Value, Step]]) -> SharedStep:
    first = steps[0][2]
    every = [(*step.inputs, step.result) for _, _, step in steps]
    same = [len(set(values)) == 1 for values in zip(*every, strict=True)]
    if all(same):
        return SharedStep(first, first.inputs, (), ())
    constant = tuple(value for value, equal in zip(first.inputs, same, strict=False) if equal)
    varying = [place for place, equal in enumerate(same) if not equal]
    lines = tuple(
        CellLine(row, column, tuple(values[place] for place in varying))
        for (row, column, _), values in zip(steps, every, strict=True)
    )
    return SharedStep(first, constant, tuple(every[0][place].symbol for place in varying), lines)


def reasons(table: FigureTable) -> dict[str, str]:
    """Return why cells of a table are not plain numbers: state -> reason, each once, in order of appearance."""
    cells = [cell for _, row in table.rows for cell in row]
    return {cell.state: cell.reason for cell in cells if cell.state != "ok" and cell.reason}
