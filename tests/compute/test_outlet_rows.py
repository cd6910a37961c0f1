"""Which flows have a row in an outlet table, the side each is shown on, and the flow that its cells are computed at.

The units are exact relations: 1 gpm is 3.785411784 L/min (NIST SP 811, appendix B.8). What is shown has two decimals in
gpm and one in L/min.
"""

from __future__ import annotations

import pytest

from generator.compute.heat import balance as heating
from generator.compute.heat.figures.outlet import outlet_table
from generator.compute.heat.figures.outlet_rows import by_flow_rows, counted_m3_s, row_key, summer_rows, winter_rows
from generator.compute.heat.outlet import Heated
from generator.compute.heat.stages import stage_powers_w
from generator.model.figures import BoundKind, Figure, Value
from generator.model.outlet_flows import GREATEST, LEAST, WORKING, Most
from tests.compute.heat_cases import heater
from tests.compute.wet_cases import GPM, kelvin
from tests.finding_texts import speaker

FOUR = heater([0.4, 0.55, 0.7, 0.9], [0.32, 0.46, 0.6, 0.78])
WIDE = Most(5.0 * GPM, "beyond-supply")
L_MIN = 1e-3 / 60.0


def winter(*own: tuple[float, str], flows: tuple[float, ...] = (2.0,), most: Most = WIDE) -> dict[float, Value]:
    rows = winter_rows(FOUR, [(gpm * GPM, name) for gpm, name in own], [flow * GPM for flow in flows], most=most)
    return {round(float(row.value) / GPM, 4): row for row in rows}


def cell(gpm: float, bound: BoundKind, *, row: BoundKind, most: Most | None = None) -> Figure:
    at = Heated(FOUR, stage_powers_w(FOUR, 240.0, 1), kelvin(54.0), kelvin(120.0), most, bound)
    table = outlet_table("t", "T", at, heads=(Value("Q", gpm * GPM, "flow", row),))
    return table.rows[0][1][3]


def test_a_flow_that_is_also_the_one_at_which_a_stage_turns_on_is_shown_no_smaller() -> None:
    """Below it nothing is promised; a flow that is not rounds down, since more flow is cooler water."""
    rows = winter((0.7, WORKING), (1.5, GREATEST))
    assert WORKING in rows[0.7].symbol and rows[0.7].side == "up"
    assert (rows[1.5].symbol, rows[1.5].side, rows[2.0].side) == (GREATEST, "down", "down")
    assert LEAST not in " ".join(row.symbol for row in winter((1.5, LEAST)).values())


def test_the_greatest_flow_itself_has_its_row_and_none_above_it() -> None:
    cut = winter(flows=(1.0, 2.5), most=Most(2.0 * GPM, "beyond-supply"))
    assert list(cut) == [0.4, 0.55, 0.7, 0.9, 1.0, 2.0]
    assert cut[2.0].symbol == Most(2.0 * GPM, "beyond-supply").name
    uncut = winter(flows=(1.0, 2.0), most=Most(2.0 * GPM, "beyond-supply"))
    assert list(uncut) == list(cut)
    assert uncut[2.0].symbol != cut[2.0].symbol, "the round flow, which nothing cuts"
    summer = summer_rows(FOUR, [(2.0 * GPM, WORKING)], [3.0 * GPM], most=Most(2.0 * GPM, "beyond-supply"))
    assert summer[-1].symbol == WORKING
    assert {row.side for row in summer} == {"up"}


@pytest.mark.parametrize(("apart_l_min", "stands"), [(0.0999, False), (0.1001, True)])
def test_a_row_that_shown_could_change_places_with_a_switching_flow_is_left_out(
    apart_l_min: float, stands: bool
) -> None:
    """0.1 L/min, the coarsest step shown, from stage 4's 0.9 gpm."""
    gpm = 0.9 + apart_l_min * L_MIN / GPM
    assert (WORKING in [row.symbol for row in winter((gpm, WORKING)).values()]) is stands


@pytest.mark.parametrize(("share", "stands"), [(1.004, False), (1.006, True)])
def test_an_own_flow_within_half_a_per_cent_of_another_tells_nothing_more(share: float, stands: bool) -> None:
    rows = winter((3.0, WORKING), (3.0 * share, GREATEST))
    assert (GREATEST in [row.symbol for row in rows.values()]) is stands


@pytest.mark.parametrize(("share", "stands"), [(1.04, False), (1.06, True)])
def test_a_round_flow_within_five_per_cent_of_another_tells_nothing_more(share: float, stands: bool) -> None:
    assert (round(3.0 * share, 4) in winter((3.0, WORKING), flows=(3.0 * share,))) is stands


def test_the_coolest_outlet_is_that_at_the_greatest_flow_the_row_is_shown_as() -> None:
    """1.003 gpm is shown rounded up as 1.01 gpm and 3.8 L/min, which is 1.0039 gpm: 1.01 gpm has the cooler outlet."""
    found = cell(1.003, "at_most", row="at_least")
    assert found.value == pytest.approx(heating.outlet_k(kelvin(54.0), 1.01 * GPM, 9600.0), abs=1e-9)
    assert 1.01 * GPM in [pytest.approx(value.value) for value in found.steps[-1].inputs if value.kind == "flow"]
    head = Value("Q", 1.009 * GPM, "flow", "at_least")  # 1.01 gpm; 3.9 L/min is 1.0303 gpm
    assert counted_m3_s(head, falling=False) == pytest.approx(3.9 * L_MIN)


@pytest.mark.parametrize(("bound", "row"), [("at_least", "at_least"), ("at_most", "at_most")])
def test_the_outlet_of_a_row_shown_on_its_safe_side_is_that_at_the_row_s_own_flow(
    bound: BoundKind, row: BoundKind
) -> None:
    found = cell(1.003, bound, row=row)
    assert found.value == pytest.approx(heating.outlet_k(kelvin(54.0), 1.003 * GPM, 9600.0), abs=1e-9)
    assert 1.003 * GPM in [value.value for value in found.steps[-1].inputs]


def test_why_a_stage_is_off_depends_on_where_the_flow_comes_from() -> None:
    """Falling it has dropped out, rising it has not turned on; that the supply ends is the same from both sides."""
    fell, rose = cell(0.5, "at_least", row="at_least"), cell(0.5, "at_most", row="at_most")
    assert fell.state == rose.state == "not-on"
    down, up = speaker().worded((fell.reason, rose.reason))
    assert "drop" in down and up and "drop" not in up
    most = Most(1.0 * GPM, "beyond-supply")
    short = [cell(2.0, bound, row="at_least", most=most) for bound in ("at_least", "at_most")]
    assert short[0].state == short[1].state == "beyond-supply"
    assert short[0].reason == short[1].reason != fell.reason


def test_a_row_is_named_in_ids_by_what_it_stands_for_else_by_its_flow() -> None:
    keys = [row_key(row) for row in winter((1.5, WORKING)).values()]
    assert keys == ["25236-mm3-s", "34700-mm3-s", "44163-mm3-s", "56781-mm3-s", "working-flow", "126180-mm3-s"]


def test_of_the_site_s_own_rows_only_the_greatest_flow_rounds_down() -> None:
    """A least flow, or one at which a stage turns on, shown smaller, or a greatest shown greater, promises too much."""
    own = [(1.1 * GPM, LEAST), (1.3 * GPM, WORKING), (1.6 * GPM, GREATEST)]
    rows = {row.symbol: row.side for row in by_flow_rows(FOUR, 4, own, most=WIDE)}
    assert rows.pop(GREATEST) == "down"
    assert {LEAST, WORKING} <= rows.keys() and len(rows) == 10
    assert set(rows.values()) == {"up"}
