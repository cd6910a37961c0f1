"""Field types for the YAML scalars that are not quantities: texts, counts, yes/no, dates, ids, sizes.

Every scalar reaches these as the text that stands in the file (YAML's own guesses, such as `no` or `1.10`, are never
used), so each type states exactly the texts it takes.
"""

from __future__ import annotations

import datetime
import re
import unicodedata
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    WithJsonSchema,
)
from pydantic_core import PydanticCustomError, core_schema

FIRST_YEAR, LAST_YEAR = 1990, 2099  # a date outside them is a slip


class Strict(BaseModel):
    """Base of every input: frozen, no unknown keys, YAML keys by alias, Python names with their SI unit."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, str_strip_whitespace=True)


def refuse(wrong: str, expected: str, *at: str | int) -> PydanticCustomError:
    """Return the error for a value, or for the key path `at` inside the object being validated."""
    return PydanticCustomError("entry", "{wrong}; {expected}", {"wrong": wrong, "expected": expected, "at": list(at)})


def _count(value: Any) -> int:
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    if isinstance(value, str) and re.fullmatch(r"[0-9]{1,6}", value):
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
    expected = f"write year-month-day from {FIRST_YEAR} to {LAST_YEAR}, such as 2026-09-14"
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", str(value)):
        raise refuse(f"'{value}' is not a date", expected)
    try:
        found = datetime.date.fromisoformat(str(value))
    except ValueError:
        raise refuse(f"'{value}' is not a day of the calendar", expected) from None
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise refuse(f"'{value}' lies beyond the years that a handbook is written in", expected)
    return found


def _visible(value: str) -> str:
    """Return a text that shows a letter, digit or sign at its start; refuse one of accents alone."""
    if unicodedata.category(value[0])[0] == "M":
        raise refuse(f"'{value}' starts with an accent that stands on nothing", "begin with a letter or a digit")
    return value


def decimal_of(value: Any) -> float:
    """Return a decimal number without unit as a float; refuse anything else."""
    if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,9})?", str(value)):
        raise refuse(f"'{value}' is not a decimal number", "write a number such as 0.14")
    return float(value)


@dataclass(frozen=True, slots=True)
class Matching:
    """A pydantic annotation: a text that matches `pattern` as a whole; `expected` puts the pattern in words."""

    pattern: str
    expected: str

    def _validate(self, value: Any) -> str:
        if isinstance(value, str) and re.fullmatch(self.pattern, value):
            return value
        raise refuse(f"'{value}' is not allowed here", self.expected)

    def __get_pydantic_core_schema__(self, source: Any, _handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Validate the text against the pattern."""
        return core_schema.no_info_plain_validator_function(self._validate)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, _handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Describe the text to editors."""
        return {"type": "string", "pattern": f"^({self.pattern})$", "description": self.expected}


Count = Annotated[
    int, BeforeValidator(_count), Field(ge=0, le=100000), WithJsonSchema({"type": "integer", "minimum": 0})
]
YesNo = Annotated[bool, BeforeValidator(_yes_no), WithJsonSchema({"enum": ["yes", "no", True, False]})]
Date = Annotated[datetime.date, BeforeValidator(_date), WithJsonSchema({"type": "string", "format": "date"})]
Text = Annotated[str, Field(min_length=1), AfterValidator(_visible)]
Decimal = Annotated[float, BeforeValidator(decimal_of), WithJsonSchema({"type": "number", "minimum": 0})]
ID = Matching(
    r"(?!(con|prn|aux|nul|com[0-9]|lpt[0-9])$)(?=.{1,64}$)[a-z][a-z0-9]*(-[a-z0-9]+)*",
    "write up to 64 lower-case letters, digits and single hyphens, such as beck-9 (but not con, nul or the like)",
)
Identifier = Annotated[str, ID]
_AWG = re.compile(r"#? ?([1-9][0-9]?|[1-4]/0) ?(awg|AWG)?")
_MM2 = re.compile(r"([0-9.]+) ?(mm2|mm²|mm\^2|sqmm|sq mm)")


def _conductor(value: Any) -> Any:
    """Return a conductor's size as this handbook writes it: 8 AWG for #8, 2.5 mm2 for 2.5mm². A bare 8 stays one."""
    text = str(value)
    if (found := _AWG.fullmatch(text)) and (found[2] or text.startswith("#")):
        return f"{found[1]} AWG"
    if found := _MM2.fullmatch(text):
        return f"{found[1]} mm2"
    return value


ConductorSize = Annotated[
    str,
    Matching(
        r"([1-9][0-9]?|[1-4]/0) AWG|(?=[0-9.]*[1-9])[0-9]{1,4}(\.[0-9]{1,2})? mm2",
        "write a conductor size such as 12 AWG, 1/0 AWG or 2.5 mm2",
    ),
    BeforeValidator(_conductor),
]
PipeSize = Annotated[
    str,
    Matching(
        "([1-9][0-9]?-)?[1-9][0-9]?(/[1-9][0-9]?)? in|[1-9][0-9]{0,2} mm",
        "write a nominal size such as 1/2 in, 1-1/4 in or 15 mm",
    ),
]
