"""The outlet flow by flow as the page of a site shows it: read as it says, never below what leaves in summer, never
above what the stages on give in winter. The truth is computed with CoolProp (tests/compute/outlet_reading.py)."""

from __future__ import annotations

import numpy as np
import pytest

from generator.assemble.documents import SiteView
from generator.build import Loaded
from generator.model.figures import FigureTable
from generator.render.format import NBSP, show
from tests.compute.outlet_reading import UNIT, Row, outlets_k, warmest_reading
from tests.compute.test_outlet_reading import NOISE_K, full_w, here, reaching_w, supply_m3_s
from tests.print.random_sites import random_views
from tests.styles import style

STEP = {"gpm": 0.01, "L/min": 0.05}


@pytest.fixture(scope="module")
def views(loaded: Loaded) -> tuple[SiteView, ...]:
    found = (*loaded.book.sites, *(view for _, view in random_views(loaded.inputs, 23, 15)))
    return tuple(view for view in found if not view.unfit_supply)


def by_flow(view: SiteView) -> FigureTable:
    assert view.result.outlet_by_flow
    return view.result.outlet_by_flow


def printed(view: SiteView, unit: str, column: int) -> list[tuple[float, float]]:
    """The flow as it is printed, and the temperature printed beside it [K]; infinite where the cut-out opens."""
    units, rows = UNIT[unit][0], []
    for head, cells in by_flow(view).rows:
        flow, cell = (show(one, style(units)).split(NBSP)[0] for one in (head, cells[column]))
        shown = float(cell) if cells[column].value is not None else np.inf
        rows.append((float(flow), (shown - 32.0) / 1.8 + 273.15 if units == "us" else shown + 273.15))
    return rows


@pytest.mark.parametrize("unit", UNIT)
def test_between_two_rows_the_hotter_is_never_below_what_leaves_in_summer(
    views: tuple[SiteView, ...], unit: str
) -> None:
    read = 0
    for view in views:
        shown, inlet_k = printed(view, unit, 2), float(view.result.summer_inlet.value or 0.0)
        rows = tuple(Row(flow, (told_k,)) for flow, told_k in shown)
        assert [row.flow for row in rows] == sorted(row.flow for row in rows)
        most = min(rows[-1].flow, supply_m3_s(view) / UNIT[unit][1]) if rows else 0.0
        flows = np.round(np.arange(rows[0].flow if rows else 0.0, most, STEP[unit]), 3)
        if len(flows):
            powers = full_w(view)[: here(view)]
            true_k = outlets_k(view.heater, inlet_k, flows * UNIT[unit][1], powers, falling=True)
            for flow, leaves_k in zip(flows, true_k, strict=True):
                told_k = warmest_reading(rows, float(flow), 1)
                assert told_k is not None and leaves_k <= told_k + NOISE_K, (view.spec.id, flow)
            read += len(flows)
    assert read > 1000 * STEP["gpm"] / STEP[unit]


@pytest.mark.parametrize("unit", UNIT)
def test_the_stages_on_give_at_least_what_a_row_says_in_winter(views: tuple[SiteView, ...], unit: str) -> None:
    """At the flow as it is printed, with the stages that the row says are on."""
    built = [view for view in views if all(one.value is not None for one in view.result.delivered)]
    assert len(built) > 12
    for view in built:
        inlet_k = float(view.result.winter_inlet.value or 0.0)
        for (flow, told_k), (_, (on, *_)) in zip(printed(view, unit, 1), by_flow(view).rows, strict=True):
            powers = np.array(reaching_w(view)[: int(on.value or 0)])
            flows = np.array([flow * UNIT[unit][1]])
            (true_k,) = outlets_k(view.heater, inlet_k, flows * 1.0, list(powers), falling=False)
            opened = [one.closes_at_m3_s > flows[0] for one in view.heater.stages[: len(powers)]]
            if not any(opened):
                assert told_k <= true_k + NOISE_K or told_k == np.inf, (view.spec.id, flow)


def test_every_switching_flow_of_the_stages_in_use_has_a_row_and_the_stages_on_there(
    views: tuple[SiteView, ...],
) -> None:
    for view in views:
        rows = {float(head.value): int(cells[0].value or 0) for head, cells in by_flow(view).rows}
        stages, most = view.heater.stages[: here(view)], supply_m3_s(view)
        wanted = [flow for one in stages for flow in (one.closes_at_m3_s, one.opens_at_m3_s) if flow <= most]
        for flow in wanted:
            (near,) = {on for other, on in rows.items() if abs(other - flow) < 1e-12}
            assert near == max(number for number, one in enumerate(stages, 1) if one.opens_at_m3_s <= flow)


def test_the_curves_meet_the_rows(views: tuple[SiteView, ...]) -> None:
    """A tooth begins at the flow where its last stage drops out, with the water that its row says."""
    seen = 0
    for view in views:
        curves = {curve.id.split(".", 3)[3]: curve for curve in view.result.outlet_curves}
        for head, (on, _, summer) in by_flow(view).rows:
            names = head.symbol.split(", ")
            if f"drops-out-{int(on.value or 0)}" in names and summer.value is not None:
                flow, outlet = curves[f"summer.{int(on.value or 0)}"].points[0]
                assert flow == pytest.approx(float(head.value))
                assert outlet == pytest.approx(float(summer.value), abs=0.01)
                seen += 1
    assert seen > 20


def test_the_hottest_row_is_the_hottest_water(views: tuple[SiteView, ...]) -> None:
    for view in views:
        rows = [cells[2] for _, cells in by_flow(view).rows]
        most, hottest = supply_m3_s(view), view.result.hottest
        if view.result.hottest_flow and float(view.result.hottest_flow.value or 0.0) <= most and hottest.state == "ok":
            told = max(float(one.value) for one in rows if one.value is not None)
            assert told == pytest.approx(float(hottest.value or 0.0), abs=0.01), view.spec.id
