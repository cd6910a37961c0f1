"""A part of the handbook: some models and sites instead of all."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from generator.assemble.documents import Book, ModelView
from generator.errors import HandbookError
from generator.model.inputs import Inputs


def selected(book: Book, models: Collection[str] = (), sites: Collection[str] = ()) -> Book:
    """Return the book with only these models and sites; without any named, the whole book.

    A site brings its heater with it; models named without sites bring the sites that use them. HandbookError for an
    id that does not exist.
    """
    if not models and not sites:
        return book
    _known("model", models, [view.spec.id for view in book.models])
    _known("site", sites, [view.spec.id for view in book.sites])
    kept_sites = tuple(view for view in book.sites if view.spec.id in sites or (not sites and view.heater.id in models))
    kept_ids = {*models, *(view.heater.id for view in kept_sites)}
    site_ids = {view.spec.id for view in kept_sites}
    kept_models = tuple(_with_sites(view, site_ids) for view in book.models if view.spec.id in kept_ids)
    return replace(book, models=kept_models, sites=kept_sites)


def inputs_of(inputs: Inputs, sites: Collection[str] = ()) -> Inputs:
    """Return the inputs of these sites and their heaters alone; without any named, all.

    HandbookError for an id that does not exist.
    """
    if not sites:
        return inputs
    _known("site", sites, [site.id for site in inputs.sites])
    kept = tuple(site for site in inputs.sites if site.id in sites)
    heaters = {site.heater for site in kept}
    return replace(inputs, sites=kept, models=tuple(model for model in inputs.models if model.id in heaters))


def site_book(page_ids: Collection[str], site: str, heater: str) -> list[str]:
    """Return the pages of a book for one site, in order: its own with record and faults, its heater, the emergency."""
    wanted = (f"sites/{site}", f"sites/{site}/details", f"sites/{site}/faults", f"models/{heater}", "emergency")
    return [id_ for id_ in wanted if id_ in page_ids]


def _with_sites(view: ModelView, site_ids: Collection[str]) -> ModelView:
    return replace(view, sites=tuple(site for site in view.sites if site.id in site_ids))


def _known(what: str, named: Collection[str], known: Collection[str]) -> None:
    unknown = [name for name in named if name not in known]
    if unknown:
        raise HandbookError(f"no {what} has the id {', '.join(unknown)}; the {what}s are {', '.join(known)}")
