"""What holds for the whole handbook (site_data/handbook.yaml)."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from generator.model.quantity import Flow, QuantityField, WaterTemperature
from generator.model.scalars import Date, Identifier, Matching, Strict, Text, YesNo, refuse

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


class LabelSize(Strict):
    """A size of label stock [m]."""

    width_m: Stock = Field(alias="width")
    height_m: Stock = Field(alias="height")


def _rising(flows: tuple[float, ...]) -> tuple[float, ...]:
    for index, (before, flow) in enumerate(pairwise(flows), 1):
        if flow <= before:
            raise refuse("this flow is not above the one before it", "each flow once, the lowest first", index)
    return flows


class Settings(Strict):
    """Publisher, revision, units shown, the flows of the printed tables, and the defaults a site may override.

    `mark_changes`: whether the pages mark what moved since the last release. Labels are 4 in by 2 in for the panel and
    3 in by 1 in for the heater unless stated.
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
    mark_changes: YesNo = True
    panel_label: LabelSize = LabelSize(width_m=0.1016, height_m=0.0508)
    heater_label: LabelSize = LabelSize(width_m=0.0762, height_m=0.0254)
