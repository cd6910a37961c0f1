"""Burn times: rows in order, the next hotter row, never beyond; and against a third published account."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.heat.burn import burn_tables, exposure_in, hotter_row_k, shortest_exposure
from generator.model.said import Said
from generator.model.tables.burns import BurnTable
from tests.compute.heat_cases import source
from tests.compute.wet_cases import BURNS, fahrenheit, kelvin

THIRD = source("burns")
SAFETY_COMMISSION, KATCHER, SECOND_DEGREE, BABIES = BURNS
ADULTS = (SAFETY_COMMISSION, KATCHER)
by_document = pytest.mark.parametrize("table", BURNS, ids=lambda table: table.document[:8])


@by_document
def test_hotter_water_never_takes_longer(table: BurnTable) -> None:
    temperatures, times = ([getattr(row, name) for row in table.burns] for name in ("temperature_k", "time_s"))
    assert temperatures == sorted(set(temperatures))
    assert times == sorted(times, reverse=True)


@pytest.mark.parametrize("table", ADULTS)
def test_rows_agree_with_a_third_account_where_they_overlap(table: BurnTable) -> None:
    """The third account between its rows by log(time) over temperature, within itself alone."""
    known = [(celsius + 273.15, time_s) for celsius, time_s in THIRD["rows"]]
    compared = 0
    for row in table.burns:
        for (cool_k, long_s), (hot_k, short_s) in zip(known, known[1:], strict=False):
            if cool_k <= row.temperature_k <= hot_k + 1e-6:
                part = (row.temperature_k - cool_k) / (hot_k - cool_k)
                other_s = math.exp(math.log(long_s) + part * math.log(short_s / long_s))
                least, most = THIRD["ratio_between"]
                assert least < row.time_s / other_s < most, row
                compared += 1
    assert compared >= 3


@pytest.mark.parametrize(
    ("degrees_f", "table", "row_f", "time_s", "beyond"),
    [
        (119.9, SAFETY_COMMISSION, 120.0, 300.0, False),
        (120.0, SAFETY_COMMISSION, 120.0, 300.0, False),
        (120.1, SAFETY_COMMISSION, 130.0, 30.0, False),
        (137.0, SAFETY_COMMISSION, 140.0, 6.0, False),
        (151.0, SAFETY_COMMISSION, 150.0, 2.0, True),
        (124.0, KATCHER, 125.0, 90.0, False),
        (137.0, KATCHER, 140.0, 5.0, False),
        (155.1, KATCHER, 155.0, 1.0, True),
    ],
)
def test_the_next_hotter_row_stands_for_a_temperature(
    degrees_f: float, table: BurnTable, row_f: float, time_s: float, beyond: bool
) -> None:
    found = exposure_in(table, kelvin(degrees_f))
    assert fahrenheit(found.row.temperature_k) == pytest.approx(row_f)
    assert (found.row.time_s, found.beyond, found.table) == (time_s, beyond, table)


@given(st.floats(300.0, 372.0))
def test_the_time_is_a_printed_one_and_the_shortest_of_the_documents(temperature_k: float) -> None:
    found = shortest_exposure(temperature_k, BURNS)
    assert found.row in found.table.burns
    assert found.row.time_s == min(exposure_in(table, temperature_k).row.time_s for table in ADULTS)
    assert found.beyond or found.row.temperature_k >= temperature_k - 1e-6


@given(st.floats(300.0, 372.0), st.floats(0.0, 50.0))
def test_hotter_water_never_shows_a_longer_time(temperature_k: float, by_k: float) -> None:
    hotter, cooler = (shortest_exposure(k, BURNS) for k in (temperature_k + by_k, temperature_k))
    assert hotter.row.time_s <= cooler.row.time_s


@pytest.mark.parametrize(
    ("table", "celsius", "time_s"),
    [(SECOND_DEGREE, 60.0, 3.0), (SECOND_DEGREE, 55.0, 17.0), (BABIES, 60.0, 1.0), (BABIES, 65.5, 0.5)],
)
def test_babies_and_second_degree_burns_are_quicker_and_taken_by_no_finding(
    table: BurnTable, celsius: float, time_s: float
) -> None:
    """Second-degree burns: 3 s at 60 and 17 s at 55 degC; babies: 1 s at 140 and 0.5 s at 150 degF (reproductions)."""
    temperature_k = celsius + 273.15
    found = exposure_in(table, temperature_k)
    assert (found.row.time_s, found.beyond) == (time_s, False)
    if celsius >= 60.0:
        assert found.row.time_s < min(exposure_in(one, temperature_k).row.time_s for one in ADULTS)
    assert shortest_exposure(temperature_k, BURNS).table in ADULTS
    assert hotter_row_k(temperature_k, BURNS) == hotter_row_k(temperature_k, ADULTS)


def test_the_tables_for_readers_are_the_rows_of_the_documents_counted_from_one() -> None:
    shown = burn_tables(BURNS)
    assert [table.id for table in shown] == [f"burn.{number}" for number in range(1, len(BURNS) + 1)]
    for table, burns in zip(shown, BURNS, strict=True):
        assert isinstance(table.note, Said)
        assert str(table.note.values["describes"])[1:] == burns.describes[1:]
        for count, ((head, (words, time)), row) in enumerate(zip(table.rows, burns.burns, strict=True), 1):
            assert (words.id, time.id) == (f"{table.id}.{count}.words", f"{table.id}.{count}.time")
            assert (head.value, time.value, time.side) == (row.temperature_k, row.time_s, "down")
