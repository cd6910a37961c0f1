"""Who says so where a finding rests on a plumbing or energy rule, and the limits that hold at a site.

A finding is made without knowing the basis: its source holds a mark for the rule, and the site's basis fills it in.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from generator.compute.sources import parts_of, sources
from generator.errors import CannotCompute
from generator.model.figures import Finding
from generator.model.inputs import Inputs
from generator.model.said import say
from generator.model.site import Site
from generator.model.tables.clauses import Clauses
from generator.model.tables.plumbing import LIMITED_KINDS, Limit, PlumbingLimits

_PLUMBING = "<plumbing:"
_MARK = re.compile(rf"{_PLUMBING}([a-z-]+)>")
NOT_HELD = say("plumbing-not-held")


SomeLimit = TypeVar("SomeLimit", bound=Limit)


@dataclass(frozen=True, slots=True)
class Plumbing:
    """The limits that hold at a site; `held`: they are those of a basis that is held for it."""

    limits: PlumbingLimits
    held: bool


def plumbing_at(site: Site, inputs: Inputs) -> Plumbing:
    """Return the limits of the site's plumbing basis; without one, the strictest of all that the handbook holds.

    CannotCompute where it holds none at all.
    """
    own = inputs.plumbing_of(site)
    if own is not None:
        taken = {name: valve for name, valve in own.limits.valves.items() if not valve.elsewhere}
        return Plumbing(own.limits.model_copy(update={"valves": taken}), held=True)
    if not inputs.plumbing:
        raise CannotCompute(
            ("plumbing_basis",), "no plumbing basis is held here, so no water has a limit", "add plumbing/us/rules.yaml"
        )
    return Plumbing(strictest([basis.limits for basis in inputs.plumbing.values()]), held=False)


def strictest(bases: list[PlumbingLimits]) -> PlumbingLimits:
    """Return of each limit the one that asks most; flows and valve standards are those of the first basis."""
    update = {
        "temperatures": {
            kind: min((one.temperatures[kind] for one in bases), key=lambda limit: (limit.at_most_k, limit.advised))
            for kind in LIMITED_KINDS
        },
        "handbook_temperature": min((one.handbook_temperature for one in bases), key=lambda limit: limit.at_most_k),
        "tankless_temperature": min((one.tankless_temperature for one in bases), key=lambda limit: limit.at_most_k),
        "static_pressure": min((one.static_pressure for one in bases), key=lambda limit: limit.at_most_pa),
        "fixture_pressure": _each(max, [one.fixture_pressure for one in bases], "at_least_pa", "with_valve_pa"),
        "hot_run": _each(min, [one.hot_run for one in bases], "public_lavatory_m3", "other_m3"),
        "mixing_valve": _each(max, [one.mixing_valve for one in bases], "least_flow_m3_s", "hotter_by_k"),
    }
    return bases[0].model_copy(update=update)


def _each(extreme: Callable[[Iterable[float]], float], limits: Sequence[SomeLimit], *names: str) -> SomeLimit:
    """Return the first limit with the extreme of all in each of its values."""
    return limits[0].model_copy(update={name: extreme(getattr(one, name) for one in limits) for name in names})


def plumbing(rule: str) -> str:
    """Return the mark that stands for who asks for a rule of plumbing."""
    return f"{_PLUMBING}{rule}>"


def cited(findings: Iterable[Finding], rules: Clauses | None) -> tuple[Finding, ...]:
    """Return the findings with every mark filled in by `rules`, the site's plumbing basis; None: it has none."""
    filled = ((one, _filled(one.source, rules)) for one in findings)
    return tuple(one if source is one.source else replace(one, source=source) for one, source in filled)


def _filled(source: str, rules: Clauses | None) -> str:
    if _PLUMBING not in source:
        return source
    found = [(part, _MARK.fullmatch(part)) for part in parts_of(source)]
    if not any(mark for _, mark in found):
        return source
    if rules is None:
        return sources(*(NOT_HELD if mark else part for part, mark in found))
    return sources(*(rules.source_of(mark[1]) if mark else part for part, mark in found))
