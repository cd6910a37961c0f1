"""Tables as a workbook for spreadsheets (Office Open XML, ECMA-376): a sheet a table, which filters by its head."""

from __future__ import annotations

import datetime
import io
from collections.abc import Mapping, Sequence

import xlsxwriter

from generator.render.cells import Cell

_WIDEST = 400  # pixels of a column; longer texts run on in the cell
# Nothing is guessed from a text: not a formula, an address, a number.
_OPTIONS = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}


def workbook(tables: Mapping[str, Sequence[Mapping[str, Cell]]], date: datetime.date) -> bytes:
    """Return a workbook with a sheet for each table that has rows: the same bytes for the same tables and date.

    Numbers are numbers. A text is one even where it begins like a formula, and stays one when the cell is edited.
    """
    file = io.BytesIO()
    made = xlsxwriter.Workbook(file, _OPTIONS)
    made.set_properties({"created": datetime.datetime.combine(date, datetime.time())})
    bold, text = made.add_format({"bold": True}), made.add_format({"quote_prefix": True})
    for name, rows in tables.items():
        if not rows:
            continue
        sheet, heads = made.add_worksheet(name), list(rows[0])
        for column, head in enumerate(heads):
            sheet.write_string(0, column, head, bold)
        for line, row in enumerate(rows, 1):
            for column, head in enumerate(heads):
                cell = row[head]
                if isinstance(cell, str):
                    sheet.write_string(line, column, cell, text)
                elif cell is not None:
                    sheet.write_number(line, column, cell)
        sheet.freeze_panes(1, 0)
        sheet.autofilter(0, 0, len(rows), len(heads) - 1)
        sheet.autofit(_WIDEST)
    made.close()
    return file.getvalue()
