"""What a model can do, and what the water of a site comes to: rise, range, the year, burns and pressures."""

from __future__ import annotations

from collections.abc import Sequence

from generator.assemble.documents import ModelView, SiteView
from generator.model.documents.drawings import (
    BurnDrawing,
    PressureDrawing,
    RangeDrawing,
    RiseDrawing,
    Switching,
    YearDrawing,
)
from generator.model.figures import Value
from generator.model.tables.burns import BurnTable


def rise(view: ModelView, rating: int = 0) -> RiseDrawing | None:
    """Return the rise of a model at one line of its nameplate; None without flows to show it over."""
    curves = view.result.rise_curves[rating] if view.result.rise_curves else ()
    drawn = {int(curve.title) for curve in curves}
    switching = (Switching(one.number, one.closes_at, one.opens_at) for one in view.result.stages)
    return (
        RiseDrawing(view.spec.title, curves, tuple(one for one in switching if one.stage in drawn)) if curves else None
    )


def model_range(views: Sequence[ModelView]) -> RangeDrawing:
    """Return what each model of the range can do at the first line of its nameplate."""
    return RangeDrawing(
        tuple(
            (one.spec.title, one.result.rise_curves[0], tuple(stage.closes_at_m3_s for stage in one.spec.stages))
            for one in views
            if one.result.rise_curves and one.result.rise_curves[0]
        )
    )


def year(view: SiteView) -> YearDrawing | None:
    """Return the inlet through the year; None where only winter and summer are known, or the supply does not fit."""
    result = view.result
    if result.water is None or result.hottest_by_month is None:
        return None
    inlet = result.water.inlet
    if inlet.months is None or inlet.months_k is None:
        return None
    return YearDrawing(
        months=tuple(str(head.value) for head, _ in inlet.months.rows),
        inlet_k=inlet.months_k,
        hottest_k=tuple(outlet_k for _, outlet_k in result.hottest_by_month.points),
        limit=result.limit,
        coldest=result.winter_inlet,
        warmest=result.summer_inlet,
        hottest=result.hottest,
    )


def burn(view: SiteView, tables: Sequence[BurnTable]) -> BurnDrawing | None:
    """Return how soon the published tables say that this site's hottest water burns; None where none is known."""
    if view.unfit_supply:
        return None
    rows = tuple(
        (f"{table.describes} ({table.document})", tuple((row.temperature_k, row.time_s) for row in table.burns))
        for table in tables
        if not table.beside
    )
    return BurnDrawing(rows, view.result.hottest, view.result.hottest_top) if rows else None


def pressure(view: SiteView) -> PressureDrawing | None:
    """Return the pressure along the way; None where no water flows."""
    water, bounds = view.result.water, view.heater.water.working_pressure
    if water is None or not water.working_flow.value:
        return None
    figures = {one.id.rpartition(".")[2]: one for one in water.figures}
    return PressureDrawing(
        along=water.along,
        least=Value("least", bounds.least_pa, "pressure", "at_least"),
        greatest=Value("greatest", bounds.greatest_pa, "pressure", "at_most"),
        working_flow=water.working_flow,
        at_work=figures["pressure-at-heater"],
        at_rest=figures["pressure-at-rest"],
    )
