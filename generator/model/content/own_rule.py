"""A rule of the handbook's own: a condition over the figures of a site, and the words of what it finds.

One file of site_data/rules/. It says no formula: figures are compared with stated values, and these put together.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from generator.model.content.finding_words import ACT_SIGNS, VALUE_SIGNS, places
from generator.model.figures import Value
from generator.model.quantity import AnyQuantity
from generator.model.scalars import Identifier, Matching, Strict, Text, YesNo, refuse

Path = tuple[str | int, ...]
Name = Annotated[
    str,
    Matching(r"[a-z][a-z0-9_]{0,31}", "write a name in lower-case letters, such as hottest for {hottest} in texts"),
]
LINE_WORDS = 15
TESTS = ("above", "below", "between", "missing")
_OWN_TEXTS = ("line", "found", "why", "do")


class Condition(Strict):
    """One comparison of a figure, or several conditions of which `all` or `any` hold.

    `figure`: the id of a figure without `site.<id>.`, or its end from a point on; `*` stands for any one part.
    `name`: how the texts call it.
    `between`: both ends belong to it. `missing`: no figure of that id has a value.
    """

    figure: Text | None = None
    name: Name | None = None
    above: AnyQuantity | None = None
    below: AnyQuantity | None = None
    between: tuple[AnyQuantity, AnyQuantity] | None = None
    missing: YesNo | None = None
    all: Annotated[tuple[Condition, ...] | None, Field(min_length=1)] = None
    any: Annotated[tuple[Condition, ...] | None, Field(min_length=1)] = None

    @property
    def stated(self) -> tuple[Value, ...]:
        """The values that the figure is compared with."""
        return tuple(one for one in (self.above, self.below, *(self.between or ())) if one is not None)

    def tests(self, path: Path = ()) -> Iterator[tuple[Path, Condition]]:
        """Yield every comparison in it with its key path."""
        if self.figure is not None:
            yield path, self
        for key, parts in (("all", self.all), ("any", self.any)):
            for index, part in enumerate(parts or ()):
                yield from part.tests((*path, key, index))

    @model_validator(mode="after")
    def _one_form(self) -> Self:
        forms = [key for key in ("figure", "all", "any") if getattr(self, key) is not None]
        if len(forms) != 1:
            raise refuse("a condition is one of figure, all and any", "figure with a test, or a list under all or any")
        tests = [key for key in TESTS if getattr(self, key) is not None]
        if forms != ["figure"] and (tests or self.name):
            raise refuse(f"{forms[0]} stands with {tests[0] if tests else 'name'}", "the test beside its figure")
        if forms == ["figure"] and len(tests) != 1:
            raise refuse("a figure has one test", f"one of {', '.join(TESTS)}", "figure")
        if self.missing is False:
            raise refuse("a figure is missing or it is tested otherwise", "missing: yes", "missing")
        return self

    @model_validator(mode="after")
    def _ends_in_order(self) -> Self:
        if self.between is not None:
            least, greatest = self.between
            if least.kind != greatest.kind or least.kind == "text" or float(least.value) >= float(greatest.value):
                raise refuse("the two ends are out of order", "two figures of one kind, the lower one first", "between")
        return self


class OwnRule(Strict):
    """A rule of the handbook's own. `trade`: who settles it, one of those of content/trades.yaml."""

    id: Identifier
    title: Text
    severity: Literal["attention", "stop"] = "attention"
    trade: Text
    when: Condition
    line: Text
    found: Text
    why: Text
    do: Text
    source: Text

    @property
    def values(self) -> tuple[str, ...]:
        """The names of the values that its texts may show."""
        return tuple(name for _, test in self.when.tests() for name in names_of(test))

    @model_validator(mode="after")
    def _names_stand_once(self) -> Self:
        seen: set[str] = set()
        for path, test in self.when.tests():
            if test.name in seen:
                raise refuse(f"another figure is called '{test.name}' too", "one name a figure", "when", *path, "name")
            seen |= {test.name} if test.name else set()
        return self

    @model_validator(mode="after")
    def _texts_show_what_is_named(self) -> Self:
        known = set(self.values)
        for key in _OWN_TEXTS:
            text: str = getattr(self, key)
            left = [name for name in places(text) if name not in known]
            if left or re.search(r"[{}]", re.sub(r"\{[a-z][a-z0-9_]*\}", "", text)):
                wrong = f"no value is called '{left[0]}' here" if left else "a brace holds no name of a value"
                expected = f"one of {', '.join(sorted(known))}" if known else "name: a name, beside the figure"
                raise refuse(wrong, expected, key)
        if len(self.line.split()) > LINE_WORDS:
            raise refuse(f"the line has {len(self.line.split())} words", f"at most {LINE_WORDS}", "line")
        signs = len(re.sub(r"\{\w+\}", " " * VALUE_SIGNS, self.do)) + len(self.id)
        if self.severity == "stop" and signs > ACT_SIGNS:
            wrong = f"what to do about a stop has {signs} signs with the id of the rule"
            raise refuse(wrong, f"at most {ACT_SIGNS}, for it stands in a line", "do")
        return self


def names_of(test: Condition) -> tuple[str, ...]:
    """Return the names of the values that a comparison gives its texts: the figure's, and those it is compared with."""
    if test.name is None or test.missing:
        return ()
    ends = ("least", "greatest") if test.between else ("limit",)
    return (test.name, *(f"{test.name}_{end}" for end in ends))
