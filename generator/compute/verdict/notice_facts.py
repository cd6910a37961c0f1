"""The facts that make a safety notice apply: each a question about a heater model and, where known, its site.

A fact that needs a site is false for a model alone. What each needs stands in FACTS of model/content/notices.py.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from generator.compute.verdict.set_flow import has_window
from generator.compute.verdict.too_hot import too_hot
from generator.model.content.notices import FACTS
from generator.model.heater import HeaterModel
from generator.model.results import SiteResult
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis

# Above this the water is hard. United States Geological Survey, classes of water hardness: hard is 121 mg/L and more
# as calcium carbonate (0.120 kg/m3 is the top of moderately hard).
HARD_KG_M3 = 0.120


@dataclass(frozen=True, slots=True)
class Placed:
    """A heater at its site: what the site facts are asked about."""

    site: Site
    model: HeaterModel
    result: SiteResult
    basis: CodeBasis


MODEL_FACTS: dict[str, Callable[[HeaterModel], bool]] = {
    "always": lambda _model: True,
    "several-feeds": lambda model: len(model.electrical.feeds) > 1,
    "several-ratings": lambda model: len(model.ratings) > 1,
    "three-phase-model": lambda model: any(rating.phases == 3 for rating in model.ratings),
    "neutral-lead": lambda model: any(lead.role == "neutral" for lead in model.electrical.leads),
    "stage-selector": lambda model: model.stage_selector,
    "indoor-enclosure": lambda model: model.enclosure == "indoor",
}

SITE_FACTS: dict[str, Callable[[Placed], bool]] = {
    "freezing-place": lambda at: at.site.place.freezing,
    "outdoor-place": lambda at: at.site.place.kind == "outdoor",
    "wet-place": lambda at: at.site.place.damp or at.site.route.wet,
    "bathing-place": lambda at: _serves(at.site, "shower", "tub"),
    "public-fixture": lambda at: _serves(at.site, "public lavatory"),
    "aluminum-conductor": lambda at: at.site.route.conductor == "aluminum",
    "three-phase-supply": lambda at: at.site.supply.phases == 3,
    "check-valve": lambda at: at.site.water.closed,
    "us-basis": lambda at: at.basis.header.family == "nfpa70",
    "iec-basis": lambda at: at.basis.header.family == "iec60364",
    "disconnect-out-of-sight": lambda at: at.site.place.disconnect == "lockable",
    "no-disconnect": lambda at: at.site.place.disconnect == "none",
    "existing-circuit": lambda at: at.site.existing_circuit is not None,
    "hard-water": lambda at: (at.site.water.hardness_kg_m3 or 0.0) > HARD_KG_M3,
    "flow-window": lambda at: has_window(at.result, at.site, at.model),
    "limit-below-hottest": lambda at: too_hot(at.result.hottest, at.result.limit),
}


def _serves(site: Site, *kinds: str) -> bool:
    return any(fixture.kind in kinds for fixture in site.fixtures)


def holds(fact: str, model: HeaterModel, at: Placed | None) -> bool:
    """Return whether a fact holds for a model, and for its site where one is given. KeyError for an unknown fact."""
    if fact in MODEL_FACTS:
        return MODEL_FACTS[fact](model)
    return at is not None and SITE_FACTS[fact](at)


def may_hold(fact: str, model: HeaterModel | None, at: Placed | None) -> bool:
    """Return whether a fact holds or, of what is not known here, may hold. KeyError for an unknown fact."""
    known = model is not None and (at is not None or FACTS[fact] == "model")
    return not known or (model is not None and holds(fact, model, at))
