"""The parts of a site's pocket page: its short page, its faults, and the tasks that someone stands before there.

The tasks are worded once, for every site; here they are made for this site and its heater alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from generator.assemble.documents import SiteView
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


class Pocket:
    """What a site's pocket page is made of: all pages by id, the site's texts by page, and how another is made."""

    def __init__(self, pages: Mapping[str, Page], texts: Mapping[str, str], text_of: Callable[[Page], str]) -> None:
        self._pages, self._texts, self._text_of = pages, texts, text_of

    def names(self, page: Page, units: Units) -> Mapping[str, Any]:
        """Return what the template of a pocket page reads besides: its parts, and the data of its calculator."""
        site = page.subject
        assert isinstance(site, SiteView)
        return {"parts": self._parts(page, site), "calculator": calculator_data(site, units)}

    def _parts(self, page: Page, site: SiteView) -> tuple[Part, ...]:
        first, faults = f"sites/{site.spec.id}", f"sites/{site.spec.id}/faults"
        others = tuple(self._pages[one] for one in (faults, *BROUGHT) if one in self._pages)

        def text_of(one: Page) -> str:
            return self._texts[one.id] if one.kind == "site" else self._text_of(one)

        return bundle(page, self._pages[first], others, text_of=text_of)
