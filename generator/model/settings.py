"""What holds for the whole handbook (site_data/handbook.yaml)."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from generator.model.quantity import Flow, WaterTemperature
from generator.model.scalars import Date, Identifier, Strict, Text


class Settings(Strict):
    """Publisher, revision, units shown, the flows of the printed tables, and the defaults a site may override."""

    title: Text
    publisher: Text
    contact: Text
    revision: Text
    date: Date
    language: Literal["en"] = "en"
    units: Literal["us", "si", "both"]
    paper: Literal["letter", "a4"]
    code_basis: Identifier
    limit_temperature_k: WaterTemperature = Field(alias="limit_temperature")
    flows_shown_m3_s: tuple[Flow, ...] = Field(alias="flows_shown", min_length=1, max_length=12)
    base_address: Text | None = None
