"""Many sites of one kind from a table: what they share, and which column of the table holds what differs."""

from __future__ import annotations

import re
from typing import Any, Literal

from pydantic import Field, model_validator

from generator.model.scalars import Strict, Text, refuse

Separator = Literal["comma", "semicolon", "tab"]
Key = tuple[str | int, ...]
_PART = re.compile(r"([A-Za-z_][A-Za-z0-9_]*)((?:\[[1-9][0-9]{0,2}\])*)")
_CSV, PARQUET = TABLES = (".csv", ".parquet")  # how the name of a table ends
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _.-]*")


class Column(Strict):
    """A column of the table by its heading; `unit` stands behind each of its numbers that has none."""

    heading: Text
    unit: Text | None = None


class Fleet(Strict):
    """A file of site_data/fleets/. `site`: keys of a site that all rows share. `columns`: key path of a site, such as
    `fixtures[1].flow`, to the column that it is read from; an empty cell leaves what is shared. `unread`: columns that
    are for people alone.
    """

    table: Text
    separator: Separator = "comma"
    site: dict[str, Any] = Field(min_length=1)
    columns: dict[str, Column] = Field(min_length=1)
    unread: tuple[Text, ...] = ()

    @model_validator(mode="after")
    def _names_a_table_and_keys(self) -> Fleet:
        if not (_NAME.fullmatch(self.table) and self.table.endswith(TABLES)):
            expected = f"the name of a file ending in {' or '.join(TABLES)}"
            raise refuse(f"'{self.table}' is no table beside this file", expected, "table")
        if self.table.endswith(PARQUET) and "separator" in self.model_fields_set:
            raise refuse("nothing stands between the columns of Parquet", "leave the key out", "separator")
        for path in self.columns:
            key_of(path)
        if "id" not in self.columns:
            raise refuse("no column gives the id", "id: {heading: the column that holds it}", "columns")
        return self


def key_of(path: str) -> Key:
    """Return a key path as written, items counted from 1, as keys and places from 0."""
    key: list[str | int] = []
    for part in path.split("."):
        found = _PART.fullmatch(part)
        if not found:
            raise refuse(f"'{path}' is no key of a site", "a key such as route.length or fixtures[1].flow", "columns")
        key.append(found[1])
        key += [int(number) - 1 for number in re.findall(r"[0-9]+", found[2])]
    return tuple(key)
