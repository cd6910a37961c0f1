"""Outlet and rise tables: values, states at, below and above each limit, working, ids."""

from __future__ import annotations

from typing import Any

import pytest

from generator.compute.heat import balance as heating
from generator.compute.heat.figures.outlet import outlet_table
from generator.compute.heat.figures.rise import REFERENCE_INLET_K, rise_table, rise_tables
from generator.compute.heat.outlet import Heated
from generator.compute.heat.stages import stage_powers_w
from generator.model.figures import Figure, FigureTable, Value
from generator.model.heater import HeaterModel
from generator.model.outlet_flows import Most
from tests.compute.heat_cases import heater
from tests.compute.wet_cases import GPM, MODELS, kelvin, model

FLOWS = (0.4, 0.5, 0.69, 0.7, 1.0, 2.0)
FOUR = heater([0.4, 0.55, 0.7, 0.9], [0.32, 0.46, 0.6, 0.78])
NO_SELECTOR = heater([0.4, 0.7], [0.3, 0.6], selector=False, power_w=3000.0)


def heads(*flows_gpm: float) -> tuple[Value, ...]:
    return tuple(Value("Q", flow * GPM, "flow") for flow in flows_gpm)


def table(model_: object = FOUR, inlet_f: float = 54.0, limit_f: float = 120.0, **keys: object) -> FigureTable:
    return outlets(model_, heads(*FLOWS), inlet_f, limit_k=kelvin(limit_f), **keys)  # type: ignore[arg-type]


def outlets(
    model_: HeaterModel, rows: tuple[Value, ...], inlet_f: float = 54.0, limit_k: float = kelvin(120.0), **keys: Any
) -> FigureTable:
    return outlet_table(
        "t", "T", Heated(model_, stage_powers_w(model_, 240.0, 1), kelvin(inlet_f), limit_k, **keys), heads=rows
    )


def cell(found: FigureTable, stage: int, gpm: float) -> Figure:
    return found.rows[FLOWS.index(gpm)][1][stage - 1]


def test_a_cell_is_the_energy_balance() -> None:
    figure = cell(table(), 4, 2.0)
    assert figure.value == pytest.approx(heating.outlet_k(kelvin(54.0), 2.0 * GPM, 9600.0), abs=1e-9)
    assert (figure.state, figure.side, figure.kind) == ("ok", "up", "temperature")


def test_the_coolest_counts_a_stage_from_its_turn_on_flow_and_not_just_below() -> None:
    assert cell(table(bound="at_most"), 3, 0.69).state == "not-on"
    assert cell(table(bound="at_most"), 3, 0.69).value is None
    assert cell(table(bound="at_most"), 3, 0.7).value is not None


def test_the_hottest_counts_a_stage_down_to_its_drop_out_flow_and_not_just_below() -> None:
    """Stage 3 of FOUR turns on at 0.70 and drops out at 0.60 gpm; stage 4 at 0.90 and 0.78."""
    flows = heads(0.59, 0.6, 0.69)
    found = outlets(FOUR, flows)
    states = [row[1][2].value is not None for row in found.rows]
    assert states == [False, True, True]
    assert found.rows[0][1][2].steps[0].formula == "Q < Q_open"


def test_a_stage_that_drops_out_early_gives_no_power_in_the_column_of_a_later_one() -> None:
    """At 0.30 gpm stage 2, which drops out at 0.20, is on alone: half the power."""
    odd = heater([0.4, 0.5], [0.38, 0.2], power_w=3000.0)
    found = outlets(odd, heads(0.3))
    assert found.rows[0][1][1].value == pytest.approx(heating.outlet_k(kelvin(54.0), 0.3 * GPM, 1500.0), abs=1e-9)


def test_without_a_selector_the_next_stage_takes_the_cell_above_its_turn_on_flow() -> None:
    """At that very flow both states are shown: up to it the outlet comes down the column of fewer stages."""
    flows = heads(0.69, 0.7, 0.71)
    found = outlets(NO_SELECTOR, flows, bound="at_most")
    assert [row[1][0].state for row in found.rows] == ["ok", "ok", "next-stage-on"]
    assert [row[1][1].state for row in found.rows] == ["not-on", "ok", "ok"]


@pytest.mark.parametrize(
    ("limit", "above"),
    [("limit", "above-limit"), ("greatest_outlet", "above-model-limit"), ("cut_out", "above-cut-out")],
)
def test_each_limit_acts_just_above_itself(limit: str, above: str) -> None:
    """Limits far above the outlet but one, which is set just above and just below it."""
    outlet_k = heating.outlet_k(kelvin(54.0), 1.0 * GPM, 9600.0)

    def state(limit_k: float) -> Figure:
        limits = {"limit": 370.0, "greatest_outlet": 370.0, "cut_out": 371.0} | {limit: limit_k}
        water = {"greatest_outlet_k": limits["greatest_outlet"], "cut_out_k": limits["cut_out"]}
        tight = FOUR.model_copy(update={"water": FOUR.water.model_copy(update=water)})
        found = outlets(tight, heads(*FLOWS), limit_k=limits["limit"])
        return cell(found, 4, 1.0)

    assert state(outlet_k + 0.001).state == "ok"
    figure = state(outlet_k - 0.001)
    assert figure.state == above
    assert figure.reason
    assert (figure.value is None) == (above == "above-cut-out")


def test_water_that_would_boil_is_above_the_cut_out() -> None:
    hot = heater([0.06], [0.05], power_w=20e3)
    found = outlets(hot, heads(0.1))
    assert found.rows[0][1][0].state == "above-cut-out"


def test_a_flow_that_the_supply_cannot_bring_has_no_outlet() -> None:
    found = table(most=Most(1.0 * GPM, "beyond-supply"))
    assert cell(found, 4, 1.0).value is not None
    assert (cell(found, 4, 2.0).state, cell(found, 4, 2.0).value) == ("beyond-supply", None)


def test_a_flow_that_takes_the_working_pressure_has_no_outlet() -> None:
    """Falling or rising: what a stage does without its pressure nobody says."""
    for bound in ("at_least", "at_most"):
        found = table(most=Most(1.0 * GPM, "below-working-pressure"), bound=bound)
        assert cell(found, 4, 1.0).value is not None
        for stage in (1, 4):
            short = cell(found, stage, 2.0)
            assert (short.state, short.value) == ("below-working-pressure", None)
            assert [value.value for value in short.steps[0].inputs] == [2.0 * GPM, 1.0 * GPM]


def test_every_cell_shows_its_working_and_ids_are_unique_and_keyed_by_flow() -> None:
    found = table()
    cells = [figure for _, row in found.rows for figure in row]
    assert all(figure.steps for figure in cells)
    assert len({figure.id for figure in cells}) == len(cells)
    assert cell(found, 1, 2.0).id == "t.stage.1.at.126180-mm3-s"


def test_working_ends_in_the_value_of_the_cell() -> None:
    figures = [figure for _, row in table().rows for figure in row if figure.value is not None]
    assert figures
    assert all(figure.steps[-1].result.value == figure.value for figure in figures)


@pytest.mark.parametrize("name", MODELS)
def test_rises_of_the_demo_models_at_each_rating(name: str) -> None:
    heater_model = model(name)
    tables = rise_tables(f"model.{name}.rise", heater_model, [gpm * GPM for gpm in FLOWS])
    assert len({found.id for found in tables}) == len(tables) == len(heater_model.ratings)
    for found, rating in zip(tables, heater_model.ratings, strict=True):
        figure = next(cells[-1] for head, cells in found.rows if head.value == 2.0 * GPM)
        if figure.state == "ok":
            expected = heating.outlet_k(REFERENCE_INLET_K, 2.0 * GPM, rating.power_w) - REFERENCE_INLET_K
            assert figure.value == pytest.approx(expected, rel=3e-3)  # shares are stated to 0.1 %
            assert figure.steps[-1].result.value == figure.value


def test_the_rise_hardly_depends_on_the_reference_inlet() -> None:
    """The claim beside REFERENCE_INLET_K: less than 0.5 % from 4 to 27 degC."""
    rating, flows = FOUR.ratings[0], [2.0 * GPM]
    rises = [
        rise_table("r", FOUR, rating, flows_m3_s=flows, inlet_k=273.15 + t).rows[-1][1][-1].value
        for t in (4.0, 12.0, 20.0, 27.0)
    ]
    assert all(isinstance(rise, float) and rise == pytest.approx(rises[1], rel=5e-3) for rise in rises)
