"""What a sound element measures: Ohm's law, and the tolerance of the nameplate.

Source of the tolerance: IEC 60335-1 (2010) 10.1, table 1 (from memory): input from 10 % below to 5 % above the marking.
Ohm and Joule: R = V^2 / P and I = P / V. The 5 % between cold and hot resistance: common practice, no source.
"""

import pytest

from generator.compute.circuit.element_table import element_tables
from generator.compute.sources import parts_of
from generator.model.figures import Figure
from generator.model.tables.tolerances import ColdResistance, InputTolerance
from tests.compute.circuit_cases import demo_model
from tests.compute.wet_cases import TOLERANCES
from tests.finding_texts import speaker

# Worked by hand for four equal stages, 9.6 kW at 240 V: 2.4 kW a stage, 10 A and 24 ohm.
BY_HAND = {
    1: (10.0, 9.0, 10.5, 24.0, 24.0 * 0.95 / 1.05, 24.0 / 0.9),
    4: (40.0, 36.0, 42.0, 24.0, 24.0 * 0.95 / 1.05, 24.0 / 0.9),
}


def row(number: int) -> tuple[Figure, ...]:
    (table,) = element_tables(demo_model("beck-9"), TOLERANCES)
    return table.rows[number - 1][1]


@pytest.mark.parametrize("number", BY_HAND)
def test_currents_and_resistances_worked_by_hand(number: int) -> None:
    assert [figure.value for figure in row(number)] == pytest.approx(BY_HAND[number])


def test_the_range_rounds_outward() -> None:
    """A sound element must never be called faulty by rounding."""
    assert [figure.side for figure in row(1)][1:3] == ["down", "up"]
    assert [figure.side for figure in row(1)][4:6] == ["down", "up"]


def test_the_range_holds_the_resistances_of_the_input_tolerance() -> None:
    """V^2/P at 105 % and at 90 % of the rated power must both count as sound."""
    least, greatest = float(row(1)[4].value or 0), float(row(1)[5].value or 0)
    assert least <= 240.0**2 / (2400.0 * 1.05) <= greatest
    assert least <= 240.0**2 / (2400.0 * 0.90) <= greatest * (1 + 1e-12)


def test_every_cell_shows_its_working_and_has_its_own_id() -> None:
    cells = [
        figure
        for table in element_tables(demo_model("tarn-18"), TOLERANCES)
        for _, cells in table.rows
        for figure in cells
    ]
    assert len({figure.id for figure in cells}) == len(cells)
    assert all(figure.steps and figure.steps[-1].source for figure in cells)


def test_one_table_a_rating() -> None:
    model = demo_model("tarn-18")
    tables = element_tables(model, TOLERANCES)
    assert [table.conditions[0].value for table in tables] == [rating.voltage_v for rating in model.ratings]
    assert len({table.id for table in tables}) == len(model.ratings)


def test_where_lines_carry_different_currents_only_resistance_is_listed() -> None:
    """One greatest current hides a dead stage: stages 2 and 3 of such a heater have the same."""
    *single, three = speaker().worded(element_tables(demo_model("tarn-18"), TOLERANCES))
    assert [[column.value for column in table.columns][0] for table in single] == ["Current, stages 1 to n"] * 2
    assert [cells[0].kind for _, cells in three.rows] == ["resistance"] * 6


def test_the_range_is_that_of_the_file_of_tolerances() -> None:
    """By hand, of 10 A and 24 ohm with -8 %, +4 % and 3 % cold: 9.2 to 10.4 A, 24 × 0.97 / 1.04 to 24 / 0.92 ohm."""
    other = TOLERANCES.model_copy(
        update={
            "input": InputTolerance(below=0.08, above=0.04, source="the input"),
            "cold_resistance": ColdResistance(below=0.03, source="the cold"),
        }
    )
    cells = element_tables(demo_model("beck-9"), other)[0].rows[0][1]
    assert [one.value for one in cells] == pytest.approx([10, 9.2, 10.4, 24, 24 * 0.97 / 1.04, 24 / 0.92])
    used = [{value.symbol: value.value for value in one.steps[-1].inputs[1:]} for one in cells]
    assert used[1:3] == [{"below": 0.08}, {"above": 0.04}]
    assert used[4:] == [{"cold": 0.03, "above": 0.04}, {"below": 0.08}]
    assert [one.steps[-1].source for one in cells][1:3] == ["the input"] * 2
    assert parts_of(cells[4].steps[-1].source) == ("the input", "the cold")
    assert cells[5].steps[-1].source == "the input"
