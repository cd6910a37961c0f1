"""How long water of a temperature takes to burn skin: the published row that stands for it.

The documents differ in end point and in whose skin they describe, so rows are never merged, interpolated or
extrapolated: a temperature takes the time of the next hotter row of one document, which is the safe side. Tables that
stand beside the others for readers are taken for no temperature.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.model.figures import Figure, FigureTable, Value
from generator.model.said import say
from generator.model.tables.burns import BurnRow, BurnTable


@dataclass(frozen=True, slots=True)
class Exposure:
    """The row that stands for a temperature; `beyond` when the water is hotter than the table's hottest row."""

    table: BurnTable
    row: BurnRow
    beyond: bool


def exposure_in(table: BurnTable, temperature_k: float) -> Exposure:
    """Return the next hotter row of one table for water at `temperature_k` [K], or its hottest row marked beyond."""
    for row in table.burns:
        if temperature_k <= row.temperature_k + 1e-9:
            return Exposure(table, row, False)
    return Exposure(table, table.burns[-1], True)


def shortest_exposure(temperature_k: float, tables: Sequence[BurnTable]) -> Exposure:
    """Return the exposure of the table that gives the shortest time for water at `temperature_k` [K]."""
    found = (exposure_in(table, temperature_k) for table in tables if not table.beside)
    return min(found, key=lambda one: one.row.time_s)


def hotter_row_k(temperature_k: float, tables: Sequence[BurnTable]) -> float:
    """Return the temperature [K] of the next row of any table that is hotter than this one, infinite where none is.

    >>> hotter_row_k(400.0, ())
    inf
    """
    rows = (row.temperature_k for table in tables if not table.beside for row in table.burns)
    return min((row_k for row_k in rows if row_k > temperature_k + 1e-9), default=math.inf)


def burn_tables(tables: Sequence[BurnTable]) -> tuple[FigureTable, ...]:
    """Return every published table in full, for readers, one a document, coolest row first."""
    return tuple(_shown(number, table) for number, table in enumerate(tables, 1))


def _shown(number: int, table: BurnTable) -> FigureTable:
    columns = (Value("words", say("burn-words-head"), "text"), Value("time", say("burn-time-head"), "text"))
    rows = []
    for row, burn in enumerate(table.burns, 1):
        id_ = f"burn.{number}.{row}"
        words = Figure(f"{id_}.words", say("burn-words"), burn.qualifier, "text")
        time = Figure(f"{id_}.time", say("burn-time"), burn.time_s, "time", "at_most")
        rows.append((Value("T", burn.temperature_k, "temperature"), (words, time)))
    describes = f"{table.describes[0].upper()}{table.describes[1:]}"
    note = say("burn-table", describes=describes, obtained=table.obtained)
    return FigureTable(f"burn.{number}", table.source, say("water-at"), columns, tuple(rows), note)
