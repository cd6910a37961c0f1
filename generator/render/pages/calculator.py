"""What the calculator of a pocket page is given: the site's tables, its fields as the files are read, how units are."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, get_args

from markupsafe import Markup

from generator.assemble.documents import SiteView
from generator.model.content.words import Units
from generator.model.documents.pocket_tables import Numbers, PocketTables, StageTable
from generator.model.quantity import Flow, MeasuredVoltage, QuantityField, ReadTemperature, Time, Volume
from generator.render.format import shown_as
from generator.units import KINDS, SPELLINGS, line_of, unit_meant, unit_names

# The fields of the form that are typed as quantities, each of the type by which a record holds it.
FIELDS = {
    "inlet": ReadTemperature,
    "outlet": ReadTemperature,
    "flow": Flow,
    "volume": Volume,
    "time": Time,
    "volts": MeasuredVoltage,
}
SHOWN = ("temperature", "flow", "power", "current", "voltage", "ratio")
HEAT_DIGITS = 9  # significant, of heat by volume: a millionth of a degree
WEIGHT_DIGITS = 12  # of what volts are weighted with: far below what rounding takes for noise


def calculator_data(view: SiteView, units: Units) -> Markup | None:
    """Return the data of a site's calculator as JSON for a page; None for a site without tables."""
    tables = view.result.pocket
    if tables is None:
        return None
    data = {
        "site": view.spec.id,
        "tables": _tables(tables),
        "fields": {name: _field(get_args(kind)[1]) for name, kind in FIELDS.items()},
        "kinds": {f"a {kind.replace('_', ' ')}": tuple(_spelled(kind)) for kind in KINDS},
        "shown": {kind: _shown(kind, units) for kind in SHOWN},
    }
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c"))


def _tables(tables: PocketTables) -> dict[str, Any]:
    return {
        "temperatures_k": tables.temperatures_k,
        "heat_j_m3": [_rounded(row, HEAT_DIGITS) for row in tables.heat_j_m3],
        "volts": tables.volts,
        "pairs": tables.pairs,
        "stages": [_stage(one) for one in tables.stages],
        "input": tables.input,
        "supply_v": tables.supply_v,
        "inlet_k": tables.inlet_k,
        "cut_out_k": tables.cut_out_k,
        "summer_k": tables.summer_k,
        "summer_j_m3": tables.summer_j_m3,
        "limit_k": tables.limit_k,
        "allowed": tables.allowed and {"heat_j_m3": tables.allowed.heat_j_m3, "held_k": tables.allowed.held_k},
    }


def _stage(stage: StageTable) -> dict[str, Any]:
    return {
        "number": stage.number,
        "power_s": _rounded(stage.power_s, WEIGHT_DIGITS),
        "unread_w": stage.unread_w,
        "lines": [
            {
                "feed": one.feed,
                "line": one.line,
                "squares_s2": _rounded(one.squares_s2, WEIGHT_DIGITS),
                "unread_a": one.unread_a,
            }
            for one in stage.lines
        ],
        "drops_out_m3_s": stage.drops_out_m3_s,
        "next_on_m3_s": stage.next_on_m3_s,
    }


def _field(field: QuantityField) -> dict[str, Any]:
    least, most = field.bounds
    return {
        "least": least,
        "most": most,
        "above": field.above,
        "expected": field.expected,
        "units": {unit: line_of(field.kind, unit_meant(unit)) for unit in _spelled(field.kind)},
    }


def _spelled(kind: str) -> Iterator[str]:
    """Yield every name of the units of a kind, in all spellings."""
    names = unit_names(kind)
    yield from names
    yield from (spelling for spelling, unit in SPELLINGS.items() if unit in names)


def _shown(kind: str, units: Units) -> dict[str, Any]:
    shown = shown_as(kind, units)
    scale, offset = line_of(kind, shown.unit)
    return {
        "unit": shown.unit,
        "sign": shown.sign,
        "decimals": shown.decimals,
        "dropZeros": shown.drop_zeros,
        "scale": scale,
        "offset": offset,
    }


def _rounded(numbers: Numbers, digits: int) -> list[float]:
    """Return numbers to so many figures, so that the page stays small."""
    return [float(f"{one:.{digits}g}") for one in numbers]
