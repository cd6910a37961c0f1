"""The file burns.yaml: how long water of a temperature takes to burn skin, as published, one table a document."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from pydantic import Field, model_validator

from generator.model.scalars import Strict, Text, YesNo, refuse
from generator.model.tables.codes import CodeTable
from generator.model.tables.pipes import TEMPERATURE

COLUMNS = ("time", "words")


@dataclass(frozen=True, slots=True)
class BurnRow:
    """One row: temperature [K], time to burn [s] (the shorter end of a range), and how the document qualifies it."""

    temperature_k: float
    time_s: float
    qualifier: str


class BurnTable(CodeTable):
    """One published table, coolest row first; `describes` says which burns, of whom.

    `beside`: shown to readers and taken by no finding, since its rows lie far apart or its burn is a lighter one.
    """

    law: Literal["burn"]
    unit: Literal["s"]
    describes: Text
    beside: YesNo = False

    @model_validator(mode="after")
    def _times_and_words(self) -> BurnTable:
        if self.columns != COLUMNS:
            raise refuse("these are not the columns of a burn table", f"write {' and '.join(COLUMNS)}", "columns")
        return self

    @cached_property
    def burns(self) -> tuple[BurnRow, ...]:
        """The rows in SI."""
        return tuple(
            BurnRow(TEMPERATURE.parse(row), self.cell(row, "time"), self.text(row, "words")) for row in self.rows
        )


class Burns(Strict):
    """The whole file."""

    tables: tuple[BurnTable, ...] = Field(min_length=1)
