"""What holds for the whole handbook (site_data/handbook.yaml)."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from generator.model.quantity import Flow, QuantityField, WaterTemperature
from generator.model.scalars import Date, Identifier, Matching, Strict, Text, YesNo, refuse
from generator.model.site_contacts import Telephone

ENGLISH = "en"
# The tag of a language (BCP 47): its short code, and what tells it from its kin, such as es or pt-BR.
LANGUAGE = r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*"


def primary(language: str) -> str:
    """Return the short code of a language, which tells it from all but its kin: pt of pt-BR."""
    return language.partition("-")[0]


def _language(tag: str) -> str:
    if not re.fullmatch(LANGUAGE, tag):
        raise refuse(f"'{tag}' is no tag of a language", "write one such as en, es or pt-BR")
    return tag


Stock = Annotated[float, QuantityField("length", "0.4 in", "20 in")]
# Where a page may be: an address of the web, in letters that a code on a card and a browser take alike.
Address = Annotated[
    str,
    Matching(
        r"https?://([a-zA-Z0-9]([a-zA-Z0-9.-]*[a-zA-Z0-9])?|\[[0-9a-fA-F:]+\])(:[0-9]{1,5})?(/[a-zA-Z0-9._~%+-]*)*",
        "write an address that begins with https:// or http://, such as https://handbook.example.org",
    ),
]


Color = Annotated[str, Matching("#[0-9a-f]{6}", "write a color as #rrggbb in lower-case hexadecimal, such as #0b5f73")]
# A page by its address without ending, and a picture of content/assets.
PageId = Annotated[str, Matching("[a-z0-9-]+(/[a-z0-9-]+)*", "write the address of a page without its ending")]
Picture = Annotated[
    str,
    Matching(r"([A-Za-z0-9_-]+/)*[A-Za-z0-9_-]+\.(png|svg)", "write a PNG or SVG of content/assets, as logo.svg"),
]
# What is never left out: where safety stands, who is asked, and how far to trust the figures.
KEPT_PAGES = (
    *("index", "emergency", "safety", "before-you-start", "how-to-use", "who-to-ask", "findings", "search"),
    *("method", "sources", "revision", "licences", "models/index", "sites/index", "fault-finding/index"),
    *(
        "adjusting",
        "expected-temperatures",
        "commissioning",
        "decommissioning",
        "maintenance",
        "storage-and-freezing",
        "annual-check",
    ),
)


class Colors(Strict):
    """The accents of the pages, of light and dark screens; links and heads show them. None: the program's."""

    light: Color | None = None
    dark: Color | None = None


class LabelSize(Strict):
    """A size of label stock [m]."""

    width_m: Stock = Field(alias="width")
    height_m: Stock = Field(alias="height")


def _rising(flows: tuple[float, ...]) -> tuple[float, ...]:
    for index, (before, flow) in enumerate(pairwise(flows), 1):
        if flow <= before:
            raise refuse("this flow is not above the one before it", "each flow once, the lowest first", index)
    return flows


def _dispensable(left_out: tuple[str, ...]) -> tuple[str, ...]:
    for index, page in enumerate(left_out):
        if page in KEPT_PAGES or page.startswith(("installation/", "sites/", "models/", "fault-finding/", "pocket/")):
            raise refuse(f"the page '{page}' is needed for safety, or to trust what others say", "leave it in", index)
    return left_out


class Settings(Strict):
    """Publisher, revision, units shown, the flows of the printed tables, and the defaults a site may override.

    `mark_changes`: whether the pages mark what moved since the last release. Labels are 4 in by 2 in for the panel and
    3 in by 1 in for the heater unless stated. `address`: of the publisher, by post; `emergency`: the number of sites on
    the handbook's code basis that state none. `pages_first` come first in the menu, after the start and the emergency;
    `pages_left_out` stand neither in menu, search nor book, and can be reached where another page leads there.
    """

    title: Text
    publisher: Text
    contact: Text
    revision: Text
    date: Date
    language: Annotated[Text, AfterValidator(_language)] = ENGLISH
    units: Literal["us", "si", "both"]
    paper: Literal["letter", "a4"]
    code_basis: Identifier
    plumbing_basis: Identifier | None = None
    limit_temperature_k: WaterTemperature = Field(alias="limit_temperature")
    flows_shown_m3_s: Annotated[tuple[Flow, ...], AfterValidator(_rising)] = Field(
        alias="flows_shown", min_length=1, max_length=12
    )
    base_address: Address | None = None
    address: Text | None = None
    emergency: Telephone | None = None
    logo: Picture | None = None
    colors: Colors | None = None
    pages_first: tuple[PageId, ...] = ()
    pages_left_out: Annotated[tuple[PageId, ...], AfterValidator(_dispensable)] = ()
    mark_changes: YesNo = True
    panel_label: LabelSize = LabelSize(width_m=0.1016, height_m=0.0508)
    heater_label: LabelSize = LabelSize(width_m=0.0762, height_m=0.0254)

    @property
    def imprint(self) -> str:
        """The publisher, with its address where one is stated."""
        return f"{self.publisher}, {self.address}" if self.address else self.publisher
