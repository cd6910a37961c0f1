"""Cells of tables for spreadsheets."""

from __future__ import annotations

Cell = str | float | int | None
# What a spreadsheet takes for the beginning of a formula (OWASP, CSV Injection; from memory).
FORMULA = ("=", "+", "-", "@", "\t", "\r")


def harmless(cell: Cell) -> Cell:
    """Return a cell that a spreadsheet shows as it stands: a quotation mark goes before what it takes for a formula."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA) else cell
