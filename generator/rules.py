"""Every rule that compute declares, found where it is declared: nothing lists them a second time.

Two families of code may judge by a rule of one name, each with cases of its own.
"""

from __future__ import annotations

import pkgutil
from collections.abc import Mapping
from importlib import import_module

from generator import compute
from generator.model.finding_rules import Names, Rule


def declared_rules() -> Mapping[str, Rule]:
    """Return the rules by name. ValueError where two of one name declare the same case."""
    names = (module.name for module in pkgutil.walk_packages(compute.__path__, f"{compute.__name__}."))
    declared = {
        id(rule): rule for name in names for rule in vars(import_module(name)).values() if isinstance(rule, Rule)
    }
    found: dict[str, Rule] = {}
    for rule in declared.values():
        found[rule.name] = joined(found[rule.name], rule) if rule.name in found else rule
    return found


def joined(one: Rule, other: Rule) -> Rule:
    """Return two rules of one name as one. ValueError where both declare the same case."""
    if twice := one.cases.keys() & other.cases.keys():
        raise ValueError(f"two rules called {one.name} declare the case {', '.join(sorted(twice))}")
    lists, choices = _union(one.lists, other.lists), _union(one.choices, other.choices)
    return Rule(one.name, {**one.cases, **other.cases}, lists, choices, (*one.stops, *other.stops))


def _union(one: Names, other: Names) -> Names:
    """Return the names of both, of a list or choice that both have those of either."""
    return {key: tuple(dict.fromkeys((*one.get(key, ()), *other.get(key, ())))) for key in {**one, **other}}
