"""How long water of a temperature takes to burn skin, as published; each document's rows are kept apart.

The documents differ in end point and in whose skin they describe, so rows are never merged, interpolated or
extrapolated: a temperature takes the time of the next hotter row of one document, which is the safe side.
Both tables: from memory, and public reproductions agree (a hospital's page for Katcher's, the agency's own sentences
for the other); check them against the documents before relying on a digit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.model.figures import Figure, FigureTable, Value
from generator.si import from_fahrenheit


@dataclass(frozen=True, slots=True)
class BurnRow:
    """One row: temperature [K], time to burn [s] (the shorter end of a range), and how the document qualifies it."""

    temperature_k: float
    time_s: float
    qualifier: str


@dataclass(frozen=True, slots=True)
class BurnTable:
    """One published table, coolest row first: the document, whose skin and which burn, how it was obtained."""

    document: str
    describes: str
    obtained: str
    rows: tuple[BurnRow, ...]


@dataclass(frozen=True, slots=True)
class Exposure:
    """The row that stands for a temperature; `beyond` when the water is hotter than the table's hottest row."""

    table: BurnTable
    row: BurnRow
    beyond: bool


def _rows(*rows: tuple[float, float, str]) -> tuple[BurnRow, ...]:
    """Return rows printed in degF, which si.py turns into kelvins exactly."""
    return tuple(BurnRow(from_fahrenheit(degrees_f), time_s, qualifier) for degrees_f, time_s, qualifier in rows)


SAFETY_COMMISSION = BurnTable(
    "U.S. Consumer Product Safety Commission, document 5098, Tap Water Scalds",
    "third-degree burns to adults",
    "from memory; a public reproduction agrees",
    _rows((120, 300, "about"), (130, 30, "about"), (140, 6, "about"), (150, 2, "about")),
)
KATCHER = BurnTable(
    "Katcher 1981, Scald burns from hot tap water, JAMA 246:1219-1222, as usually tabulated",
    "scald burns to adults",
    "from memory; a public reproduction agrees",
    _rows(
        (120, 300, "more than"),
        (125, 90, "as little as"),
        (130, 30, "about"),
        (135, 10, "about"),
        (140, 5, "less than"),
        (145, 3, "less than"),
        (150, 1.5, "about"),
        (155, 1, "about"),
    ),
)
TABLES = (SAFETY_COMMISSION, KATCHER)


def exposure_in(table: BurnTable, temperature_k: float) -> Exposure:
    """Return the next hotter row of one table for water at `temperature_k` [K], or its hottest row marked beyond."""
    for row in table.rows:
        if temperature_k <= row.temperature_k + 1e-9:
            return Exposure(table, row, False)
    return Exposure(table, table.rows[-1], True)


def shortest_exposure(temperature_k: float) -> Exposure:
    """Return the exposure of the table that gives the shortest time for water at `temperature_k` [K]."""
    return min((exposure_in(table, temperature_k) for table in TABLES), key=lambda found: found.row.time_s)


def hotter_row_k(temperature_k: float) -> float:
    """Return the temperature [K] of the next row of any table that is hotter than this one, infinite where none is.

    >>> hotter_row_k(400.0)
    inf
    """
    rows = (row.temperature_k for table in TABLES for row in table.rows)
    return min((row_k for row_k in rows if row_k > temperature_k + 1e-9), default=math.inf)


def burn_tables() -> tuple[FigureTable, ...]:
    """Return every published table in full, for readers, one a document, coolest row first."""
    return tuple(_shown(number, table) for number, table in enumerate(TABLES, 1))


def _shown(number: int, table: BurnTable) -> FigureTable:
    columns = (Value("words", "in the document's words", "text"), Value("time", "time until the burn", "text"))
    rows = []
    for row, burn in enumerate(table.rows, 1):
        id_ = f"burn.{number}.{row}"
        words = Figure(f"{id_}.words", "In the document's words", burn.qualifier, "text")
        time = Figure(f"{id_}.time", "Time until the burn", burn.time_s, "time", "down")
        rows.append((Value("T", burn.temperature_k, "temperature"), (words, time)))
    note = f"{table.describes[0].upper()}{table.describes[1:]}. Obtained: {table.obtained}."
    return FigureTable(f"burn.{number}", table.document, "water at", columns, tuple(rows), note)
