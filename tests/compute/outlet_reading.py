"""An outlet table read as the page Expected temperatures says, from its printed texts, and what really leaves.

The truth is computed apart from the program: CoolProp's enthalpies and densities at 1 bar, the nameplate's power by the
square of the voltage, and stages that turn on at closes_at as the flow rises and drop out below opens_at as it falls.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from CoolProp.CoolProp import PropsSI

from generator.compute.heat.water import FloatArray
from generator.model.content.words import Units
from generator.model.documents.card import HeatRow
from generator.model.figures import Figure, FigureTable, Value
from generator.model.heater import HeaterModel
from generator.render.format import MINUS, NBSP, show
from tests.compute.wet_cases import GPM
from tests.styles import style

BAR = 1e5
LITRE_MIN = 1e-3 / 60.0
UNIT: dict[str, tuple[Units, float]] = {"gpm": ("us", GPM), "L/min": ("si", LITRE_MIN)}


@dataclass(frozen=True, eq=False)
class Row:
    """A row as it is printed: its flow in the unit read, and in each column a temperature [K], or None, or inf where
    the cut-out opens."""

    flow: float
    cells: tuple[float | None, ...]


def printed(table: FigureTable, unit: str) -> tuple[Row, ...]:
    units, _ = UNIT[unit]
    rows = (Row(_number(head, units), tuple(_temperature(cell, units) for cell in cells)) for head, cells in table.rows)
    return tuple(sorted(rows, key=lambda row: row.flow))


def on_card(heat: Sequence[HeatRow], unit: str) -> tuple[Row, ...]:
    """The rows of the front of a quick card that say how warm the water is in summer."""
    units, _ = UNIT[unit]
    rows = (Row(_number(one.flow, units), (_temperature(one.summer, units),)) for one in heat if one.summer)
    return tuple(sorted(rows, key=lambda row: row.flow))


def warmest_on_card(rows: tuple[Row, ...], flow: float) -> float:
    """As the front says: the hotter of the rows around the flow, and below the first row the worst of all."""
    readings = rows if flow < rows[0].flow else around(rows, flow)
    return max(cell for row in readings for cell in row.cells if cell is not None)


def _temperature(cell: Figure, units: Units) -> float | None:
    if cell.value is None:
        return np.inf if cell.state == "above-cut-out" else None
    return _kelvin(_number(cell, units), units)


def _kelvin(shown: float, units: Units) -> float:
    return (shown - 32.0) / 1.8 + 273.15 if units == "us" else shown + 273.15


def _number(item: Figure | Value, units: Units) -> float:
    return float(show(item, style(units)).split(NBSP)[0].replace(MINUS, "-"))


def _column(row: Row, selected: int) -> int | None:
    """The selected stage's column, or the nearest to the left of it that says a temperature."""
    return next((place for place in reversed(range(selected)) if row.cells[place] is not None), None)


@cache
def around(rows: tuple[Row, ...], flow: float) -> tuple[Row, ...]:
    """The rows of this flow, or those next below it and next above it; one where the table ends."""
    same = tuple(row for row in rows if abs(row.flow - flow) < 1e-9)
    ends = {max((row.flow for row in rows if row.flow < flow), default=None)}
    ends |= {min((row.flow for row in rows if row.flow > flow), default=None)}
    return same or tuple(row for row in rows if row.flow in ends)


def warmest_reading(rows: tuple[Row, ...], flow: float, selected: int) -> float | None:
    """The hotter of the rows around the flow; None where no row says a temperature."""
    cells = [row.cells[place] for row in around(rows, flow) if (place := _column(row, selected)) is not None]
    return max((cell for cell in cells if cell is not None), default=None)


def coldest_reading(rows: tuple[Row, ...], flow: float, selected: int) -> float | None:
    """The cooler of the rows around the flow, both in the column farther left; None: nothing can be counted on."""
    near = around(rows, flow)
    places = [place for row in near if (place := _column(row, selected)) is not None]
    off_the_table = not rows[0].flow - 1e-9 <= flow <= rows[-1].flow + 1e-9
    if off_the_table or len(places) < len(near):
        return None
    cells = [row.cells[min(places)] for row in near]
    return None if None in cells else min(cell for cell in cells if cell is not None)


def outlets_k(
    model: HeaterModel, inlet_k: float, flows_m3_s: FloatArray, powers_w: Sequence[float], falling: bool
) -> FloatArray:
    """What really leaves [K] at each flow, at most the cut-out: the hottest state possible, or the coolest.

    `powers_w` is what each of the stages that may close takes, by itself.
    """
    power = np.zeros_like(flows_m3_s)
    for stage, power_w in zip(model.stages, powers_w, strict=False):
        on = flows_m3_s > stage.opens_at_m3_s if falling else flows_m3_s >= stage.closes_at_m3_s
        power += np.where(on, power_w, 0.0)
    density, enthalpy = (PropsSI(what, "T", inlet_k, "P", BAR, "Water") for what in ("D", "H"))
    most = PropsSI("H", "T", model.water.cut_out_k, "P", BAR, "Water")
    heated = np.minimum(enthalpy + power / (density * flows_m3_s), most)
    return np.asarray(PropsSI("T", "H", heated, "P", BAR, "Water"))
