"""What holds for the whole handbook (site_data/handbook.yaml)."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from generator.model.quantity import Flow, Length, WaterTemperature
from generator.model.scalars import Date, Identifier, Strict, Text, YesNo, refuse


class LabelSize(Strict):
    """A size of label stock [m]."""

    width_m: Length = Field(alias="width")
    height_m: Length = Field(alias="height")


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
    language: Literal["en"] = "en"
    units: Literal["us", "si", "both"]
    paper: Literal["letter", "a4"]
    code_basis: Identifier
    plumbing_basis: Identifier | None = None
    limit_temperature_k: WaterTemperature = Field(alias="limit_temperature")
    flows_shown_m3_s: Annotated[tuple[Flow, ...], AfterValidator(_rising)] = Field(
        alias="flows_shown", min_length=1, max_length=12
    )
    base_address: Text | None = None
    mark_changes: YesNo = True
    panel_label: LabelSize = LabelSize(width_m=0.1016, height_m=0.0508)
    heater_label: LabelSize = LabelSize(width_m=0.0762, height_m=0.0254)
