"""The hottest reading allowed today: held against CoolProp, by heating the same flow on the warmest day."""

from __future__ import annotations

import itertools
from pathlib import Path
from typing import Any

import pytest
import yaml
from CoolProp.CoolProp import PropsSI

from generator.compute.band import Band, band
from generator.compute.heat.inlet import Season
from generator.compute.use.allowed_reading import INLETS, allowed_readings, kept_by_cut_out_k
from generator.model.figures import FigureTable
from generator.model.site import Site
from generator.render.format import show
from tests.compute.circuit_cases import basis
from tests.compute.wet_cases import BURNS, LIMITS, TOLERANCES, kelvin, model, site, valve, with_fixtures
from tests.styles import US

BAR, ROOT = 1e5, Path(__file__).parents[2]
LIMIT_K, DEFAULT_K = kelvin(110.0), kelvin(120.0)
HELD: Any = {"default_limit_k": DEFAULT_K, "code": LIMITS}


def bare(limit_k: float = LIMIT_K) -> Site:
    place = site("farm-stand")
    changes = {"mixing_valve": None, "limit_k": limit_k, "target_k": kelvin(90.0)}
    return with_fixtures(place, place.fixtures[0].model_copy(update=changes))


def ends(place: Site, coldest_f: float = 46.0, warmest_f: float = 72.0) -> Band:
    season = Season(kelvin(coldest_f), kelvin(warmest_f))
    return band(place, model(place.heater), season, service=basis("us").header.service_voltage, held_to=TOLERANCES)


def table(place: Site, coldest_f: float = 46.0, warmest_f: float = 72.0) -> FigureTable:
    found = allowed_readings("site.t", place, ends(place, coldest_f, warmest_f), **HELD)
    assert found
    return found


def on_the_warmest_day_k(reading_k: float, inlet_k: float, volts: float, warmest_k: float, most_v: float) -> float:
    """What leaves at the same flow on the warmest day, with the power of the greatest volts."""
    density, now, hot = (
        PropsSI("D", "T", inlet_k, "P", BAR, "Water"),
        PropsSI("H", "T", inlet_k, "P", BAR, "Water"),
        PropsSI("H", "T", reading_k, "P", BAR, "Water"),
    )
    power_a_flow = density * (hot - now) * (most_v / volts) ** 2
    warm, thin = (PropsSI(what, "T", warmest_k, "P", BAR, "Water") for what in ("H", "D"))
    return float(PropsSI("T", "H", warm + power_a_flow / thin, "P", BAR, "Water"))


def test_the_reading_allowed_is_the_limit_on_the_warmest_day() -> None:
    found, volts = table(bare()), site("farm-stand").supply.voltage_v
    for head, cells in found.rows:
        for column, cell in zip(found.columns, cells, strict=True):
            assert isinstance(cell.value, float)
            warm_k = on_the_warmest_day_k(
                cell.value, float(head.value), float(column.value), kelvin(72.0), 1.05 * volts
            )
            assert warm_k == pytest.approx(LIMIT_K, abs=0.005)


def test_as_printed_and_read_at_the_next_lower_inlet_and_volts_the_limit_holds() -> None:
    """The row and the column at or below the day's inlet and volts, the reading at what is printed there."""
    found, volts = table(bare()), site("farm-stand").supply.voltage_v
    heads = [float(show(head, US).split("\u00a0")[0]) for head, _ in found.rows]
    columns = [float(show(column, US).split("\u00a0")[0]) for column in found.columns]
    for inlet_f, part in itertools.product(range(46, 73), (0.91, 0.95, 0.97, 1.0, 1.03, 1.05)):
        row, column = sum(head <= inlet_f for head in heads) - 1, sum(one <= part * volts + 1e-9 for one in columns) - 1
        if row < 0 or column < 0:
            continue
        reading_k = kelvin(float(show(found.rows[row][1][column], US).split("\u00a0")[0]))
        warm_k = on_the_warmest_day_k(reading_k, kelvin(inlet_f), part * volts, kelvin(72.0), 1.05 * volts)
        assert warm_k <= LIMIT_K + 0.005, (inlet_f, part)


def test_the_rule_in_words_lies_within_a_hundredth_of_the_rise() -> None:
    found = table(bare())
    for head, cells in found.rows:
        for volts, cell in zip(found.columns, cells, strict=True):
            rise_k = (LIMIT_K - kelvin(72.0)) * (float(volts.value) / float(found.columns[-1].value)) ** 2
            assert isinstance(cell.value, float)
            assert 0.0 <= float(head.value) + rise_k - cell.value <= 0.01 * rise_k + 1e-6


def test_rows_go_from_the_coldest_to_the_warmest_inlet_and_colder_water_allows_less() -> None:
    found = table(bare())
    assert [found.rows[0][0].value, found.rows[-1][0].value] == [kelvin(46.0), kelvin(72.0)]
    assert len(found.rows) == INLETS
    for lower, higher in itertools.pairwise(cells for _, cells in found.rows):
        assert all(float(a.value or 0) < float(b.value or 0) for a, b in zip(lower, higher, strict=True))


def test_at_the_warmest_inlet_and_the_greatest_volts_the_limit_itself_is_allowed() -> None:
    assert table(bare()).rows[-1][1][-1].value == pytest.approx(LIMIT_K, abs=1e-6)


def test_fixtures_behind_a_valve_do_not_count_and_alone_leave_no_table() -> None:
    tap = bare().fixtures[0]
    valved = tap.model_copy(update={"mixing_valve": valve(), "limit_k": kelvin(100.0)})
    assert table(with_fixtures(bare(), tap, valved)).conditions[0].value == pytest.approx(LIMIT_K)
    assert allowed_readings("t", with_fixtures(bare(), valved), ends(bare()), **HELD) is None


def test_an_inlet_as_warm_as_the_limit_allows_no_reading() -> None:
    assert allowed_readings("t", bare(), ends(bare(), warmest_f=110.0), **HELD) is None


def test_the_card_of_a_site_that_may_be_switched_on_says_how_the_hottest_water_is_proved() -> None:
    parts = yaml.safe_load((ROOT / "content" / "print" / "card_form.yaml").read_text(encoding="utf-8"))["start_up"]
    texts = [step["text"] for part in parts for step in part["steps"]]
    assert texts and not [text for text in texts if "must not pass {limit}" in text]
    assert [part["when"] for part in parts if part.get("content") == "hottest"] == ["no-valve"]


def test_what_the_cut_out_holds_may_be_read_on_any_day() -> None:
    """What a cut-out lets pass is taken as the next row of the burn tables: a limit above it is kept all year."""
    heater = model("rill-3")
    cut_out_k = heater.water.cut_out_k
    assert kept_by_cut_out_k(heater, cut_out_k + 20.0, BURNS) == cut_out_k
    assert kept_by_cut_out_k(heater, cut_out_k, BURNS) == 0.0, "it senses late"
    sink = bare(cut_out_k + 20.0).fixtures[0].model_copy(update={"kind": "service sink"})
    place = with_fixtures(bare(), sink)
    free = allowed_readings("site.t", place, ends(place), **HELD)
    held = allowed_readings("site.t", place, ends(place), **HELD, held_k=cut_out_k)
    assert free and held
    assert float(free.rows[0][1][0].value or 0.0) < cut_out_k
    assert all(float(cell.value or 0.0) >= cut_out_k for _, cells in held.rows for cell in cells)
    assert held.rows[-1][1][-1].value == free.rows[-1][1][-1].value


def test_the_rule_names_the_cut_out_exactly_where_it_holds_the_reading() -> None:
    """Nothing leaves hotter than the cut-out, so it stands in the rule only where a reading may come near it."""
    found, held_k = allowed_readings("t", bare(), ends(bare()), **HELD), kelvin(108.0)
    held = allowed_readings("t", bare(), ends(bare()), **HELD, held_k=held_k)
    for table_, cut_out in ((found, False), (held, True)):
        assert table_
        for _, cells in table_.rows:
            for cell in cells:
                (step,) = cell.steps
                assert ("T_cut-out" in step.formula) is cut_out
                assert ("T_cut-out" in [value.symbol for value in step.inputs]) is cut_out
