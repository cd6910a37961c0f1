"""Heaters made for the thermal tests, in SI or in the trade's units."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import yaml

from generator.compute.band import Band, Ends
from generator.model.heater import HeaterModel
from tests.compute.wet_cases import GPM, kelvin, model

SOURCES = Path(__file__).parents[1] / "sources" / "heat"


def source(name: str) -> Any:
    return yaml.safe_load((SOURCES / f"{name}.yaml").read_text(encoding="utf-8"))


def heater(
    closes_gpm: Sequence[float],
    opens_gpm: Sequence[float],
    power_w: float = 9600.0,
    voltage_v: float = 240.0,
    selector: bool = True,
    shares: Sequence[float] | None = None,
    greatest_outlet_f: float = 140.0,
    cut_out_f: float = 150.0,
) -> HeaterModel:
    """A single-phase heater with these stages; equal shares unless given. The rest is a demo heater's."""
    base = model("beck-9").model_dump()
    count = len(closes_gpm)
    shares = shares or [1.0 / count] * count
    base["ratings"] = [{"voltage_v": voltage_v, "phases": 1, "power_w": power_w}]
    base["stages"] = [
        {"share": share, "closes_at_m3_s": closes * GPM, "opens_at_m3_s": opens * GPM}
        for share, closes, opens in zip(shares, closes_gpm, opens_gpm, strict=True)
    ]
    base["stage_selector"] = selector
    base["electrical"]["feeds"] = [{"name": "A", "stages": list(range(1, count + 1))}]
    base["water"].update(greatest_outlet_k=kelvin(greatest_outlet_f), cut_out_k=kelvin(cut_out_f))
    return HeaterModel.model_validate(base)


def no_band(winter_k: float, summer_k: float, volts: float = 240.0) -> Band:
    """The band of a heater that is just as stated."""
    as_stated = Ends(1.0, 1.0, 1.0)
    supply, coldest, warmest = (Ends(one, one, one) for one in (volts, winter_k, summer_k))
    return Band(supply, as_stated, as_stated, coldest, warmest)
