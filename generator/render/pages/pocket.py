"""The parts of a site's pocket page: its short page, its faults, and the tasks that someone stands before there.

The tasks are worded once, for every site; here they are made for this site and its heater alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from generator.assemble.documents import ModelView, SiteView
from generator.assemble.pages import Page
from generator.model.content.words import Units
from generator.render.pages.bundle import Part, bundle
from generator.render.pages.calculator import calculator_data

# The general pages that a pocket page brings along, in the order in which they are needed.
BROUGHT = (
    "emergency",
    "before-you-start",
    "installation/purge-and-leak-test",
    "installation/circuit-tests",
    "installation/meter",
    "installation/first-start",
)


class TextOf(Protocol):
    """Renders a page, with names of its own beside those that every page has."""

    def __call__(self, page: Page, own: Mapping[str, Any]) -> str:
        """Return the text of the page."""


class Pocket:
    """What the pocket pages of a handbook are made of: all its pages, the texts made already, and how one is made."""

    def __init__(self, pages: Sequence[Page], texts: Mapping[str, str], text_of: TextOf) -> None:
        self._pages = {page.id: page for page in pages}
        self._models = {one.spec.id: one for page in pages if isinstance(one := page.subject, ModelView)}
        self._texts, self._text_of = texts, text_of

    def names(self, page: Page, units: Units) -> Mapping[str, Any]:
        """Return what the template of a pocket page reads besides: its parts, and the data of its calculator."""
        site = page.subject
        assert isinstance(site, SiteView)
        return {"parts": self._parts(page, site), "calculator": calculator_data(site, units)}

    def _parts(self, page: Page, site: SiteView) -> tuple[Part, ...]:
        first, faults = f"sites/{site.spec.id}", f"sites/{site.spec.id}/faults"
        others = tuple(self._pages[one] for one in (faults, *BROUGHT) if one in self._pages)
        alone = {"sites": (site,), "models": (self._models[site.heater.id],)}

        def text_of(one: Page) -> str:
            return self._texts[one.id] if one.kind == "site" else self._text_of(one, alone)

        return bundle(page, self._pages[first], others, text_of=text_of)
