"""Whether a cause of a fault is possible at a heater: one that stages cannot be chosen on has no selector set wrong."""

from __future__ import annotations

from collections.abc import Collection

from generator.compute.verdict.notice_facts import Placed, may_hold
from generator.model.heater import HeaterModel
from generator.model.results import SiteResult
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis


def possible_in(where: Collection[str], model: HeaterModel) -> bool:
    """Return whether one of the facts holds for a heater or, of its unknown site, may; without facts it does."""
    return not where or any(may_hold(fact, model, None) for fact in where)


def possible_at(
    where: Collection[str], site: Site, model: HeaterModel, *, result: SiteResult, basis: CodeBasis
) -> bool:
    """Return whether one of the facts holds at a site; without facts it does."""
    at = Placed(site, model, result, basis)
    return not where or any(may_hold(fact, model, at) for fact in where)
