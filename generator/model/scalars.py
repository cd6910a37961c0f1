"""Field types for the YAML scalars that are not quantities: texts, counts, yes/no, dates, ids, sizes.

Every scalar reaches these as the text that stands in the file (YAML's own guesses, such as `no` or `1.10`, are never
used), so each type states exactly the texts it takes.
"""

from __future__ import annotations

import datetime
import re
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema
from pydantic_core import PydanticCustomError


class Strict(BaseModel):
    """Base of every input: frozen, no unknown keys, YAML keys by alias, Python names with their SI unit."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, str_strip_whitespace=True)


def refuse(wrong: str, expected: str, *at: str | int) -> PydanticCustomError:
    """Return the error for a value, or for the key path `at` inside the object being validated."""
    return PydanticCustomError("entry", "{wrong}; {expected}", {"wrong": wrong, "expected": expected, "at": list(at)})


def _count(value: Any) -> int:
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    if isinstance(value, str) and re.fullmatch(r"\d{1,6}", value):
        return int(value)
    raise refuse(f"'{value}' is not a whole number", "write a count such as 2, with no unit")


def _yes_no(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    if value in ("yes", "true"):
        return True
    if value in ("no", "false"):
        return False
    raise refuse(f"'{value}' is neither yes nor no", "write yes or no")


def _date(value: Any) -> datetime.date:
    if isinstance(value, datetime.date):
        return value
    try:
        return datetime.date.fromisoformat(str(value))
    except ValueError:
        raise refuse(f"'{value}' is not a date", "write year-month-day, such as 2026-09-14") from None


def _matching(pattern: str, expected: str) -> BeforeValidator:
    def check(value: Any) -> str:
        if isinstance(value, str) and re.fullmatch(pattern, value):
            return value
        raise refuse(f"'{value}' is not allowed here", expected)

    return BeforeValidator(check)


Count = Annotated[
    int, BeforeValidator(_count), Field(ge=0, le=100000), WithJsonSchema({"type": "integer", "minimum": 0})
]
YesNo = Annotated[bool, BeforeValidator(_yes_no), WithJsonSchema({"enum": ["yes", "no", True, False]})]
Date = Annotated[datetime.date, BeforeValidator(_date), WithJsonSchema({"type": "string", "format": "date"})]
Text = Annotated[str, Field(min_length=1)]
Identifier = Annotated[
    str,
    _matching(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", "write lower-case letters, digits and single hyphens, such as beck-9"),
]
ConductorSize = Annotated[
    str,
    _matching(r"(\d{1,2}|[1-4]/0) AWG|\d+(\.\d+)? mm2", "write a conductor size such as 12 AWG, 1/0 AWG or 2.5 mm2"),
]
PipeSize = Annotated[
    str, _matching(r"(\d+-)?\d+(/\d+)? in|\d+ mm", "write a nominal size such as 1/2 in, 1-1/4 in or 15 mm")
]
Decimal = Annotated[
    float,
    BeforeValidator(lambda value: float(value) if re.fullmatch(r"\d+(\.\d+)?", str(value)) else _not_decimal(value)),
    WithJsonSchema({"type": "number", "minimum": 0}),
]


def _not_decimal(value: Any) -> float:
    raise refuse(f"'{value}' is not a decimal number", "write a number such as 0.14")
