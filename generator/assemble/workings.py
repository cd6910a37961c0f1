"""The figures and tables of a site or a heater with their working, for the page that holds nothing else."""

from __future__ import annotations

from dataclasses import dataclass

from generator.model.documents.walk import walk
from generator.model.figures import Figure, FigureTable
from generator.model.results import ModelResult, SiteResult


@dataclass(frozen=True, slots=True)
class Workings:
    """Every figure that shows its working, each once, and every table: the cells of a table stand in it alone."""

    figures: tuple[Figure, ...]
    tables: tuple[FigureTable, ...]


def workings(result: ModelResult | SiteResult) -> Workings:
    """Return the workings of the results of a site or a heater, in their order."""
    tables = {table.id: table for table in walk(result, FigureTable)}
    cells = {figure.id for table in tables.values() for _, row in table.rows for figure in row}
    figures = {figure.id: figure for figure in walk(result, Figure) if figure.steps and figure.id not in cells}
    return Workings(tuple(figures.values()), tuple(tables.values()))
