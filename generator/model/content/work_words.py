"""Field work: what a person must go and do where something at a site is not what it was (content/work.yaml)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from generator.model.scalars import Identifier, Strict, Text, YesNo, refuse

Move = Literal["up", "down", "lost", "found", "moved", "stop"]
SiteMove = Literal["new", "gone", "cleared", "stays-off", "card", "other-window", "no-window"]
# The places for values in a rule's texts, by what it looks at; those of circuits are for figures of circuits.
_PLACES: Mapping[str, set[str]] = {
    "figure": {"old", "new", "circuits"},
    "input": {"old", "new", "key"},
    "finding": {"line"},
    "site": set(),
}
_MOVES: Mapping[str, set[str]] = {
    "figure": {"up", "down", "lost", "found", "moved"},
    "input": {"moved"},
    "finding": {"stop"},
}


def _several(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


Several = Annotated[tuple[Text, ...], BeforeValidator(_several)]
Moves = Annotated[tuple[Move, ...], BeforeValidator(_several)]


class WorkRule(Strict):
    """One rule: what it looks at, which moves of it, what to go and do (without `work`: nothing), why.

    `on_card`: only figures that the site's card shows. `runs`: the heater must run for it: a site with a stop is left
    out. `unless`: rules whose match at the site leaves this one out.
    """

    id: Identifier
    figure: Several = ()
    input: Several = ()
    finding: Several = ()
    site: SiteMove | None = None
    when: Moves = ()
    on_card: YesNo = False
    runs: YesNo = False
    unless: Several = ()
    work: YesNo = True
    text: Text
    why: Text
    trade: Text = Field("")

    @model_validator(mode="after")
    def _looks_at_one_thing(self) -> WorkRule:
        kinds = [kind for kind in _PLACES if getattr(self, kind)]
        if len(kinds) != 1:
            raise refuse("a rule looks at one thing", "write one of figure, input, finding and site")
        (kind,) = kinds
        unfit = set(self.when) - _MOVES.get(kind, set())
        if unfit or (kind in _MOVES and not self.when):
            expected = " or ".join(sorted(_MOVES.get(kind, {"no `when`"})))
            raise refuse(f"a {kind} does not move so", f"write {expected}", "when")
        unknown = set(re.findall(r"\{(\w*)\}", self.text)) - _PLACES[kind]
        if unknown:
            raise refuse(
                f"no value for {{{min(unknown)}}}", f"places of {', '.join(_PLACES[kind]) or 'nothing'}", "text"
            )
        if self.work and not self.trade:
            raise refuse("nobody is named for the work", "write `trade`, or `work: no`", "trade")
        return self


class WorkJoins(Strict):
    """How circuits are named: one, several, what stands before the last of them; and an input that is not there."""

    circuit: Text
    circuits: Text
    and_: Text = Field(alias="and")
    none: Text


class WorkRules(Strict):
    """The rules, in the order in which their work is listed at a site."""

    words: WorkJoins
    rules: Annotated[tuple[WorkRule, ...], Field(min_length=1)]
