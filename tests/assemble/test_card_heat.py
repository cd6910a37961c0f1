"""The rows of the card's heat table hold every peak, and its stages are those in use while it may be on."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.assemble.card.choose import card_water
from generator.assemble.card.heat import SAME_M3_S, _with_peaks, _within
from generator.assemble.documents import SiteView
from generator.model.figures import Figure, Sentence, Value
from generator.model.results import FlowWindow
from generator.model.state import State
from tests.assemble.joint_sites import joined


@pytest.fixture(scope="module")
def views() -> tuple[SiteView, ...]:
    return joined().book.sites


def summer(heat: dict[int, int]) -> list[tuple[Value, tuple[Figure, ...]]]:
    """Rows by flow, each with a stage that is off and one that gives so many kelvin."""
    return [
        (
            Value("Q", flow * SAME_M3_S, "flow"),
            (Figure("a", "A", None, "temperature", state="not-closed"), Figure("b", "B", 300.0 + k, "temperature")),
        )
        for flow, k in heat.items()
    ]


@given(st.dictionaries(st.integers(1, 40), st.integers(0, 9), min_size=1, max_size=12), st.sets(st.integers(1, 40)))
def test_at_no_flow_is_the_water_hotter_than_the_rows_on_both_sides(heat: dict[int, int], marked: set[int]) -> None:
    """Below the first row no hotter than the hottest of all; and no row is added that a marked one covers."""
    chosen = {flow for flow in marked if flow in heat}
    found = _with_peaks(summer(heat), chosen)
    assert chosen <= found <= set(heat)
    for flow, hot in heat.items():
        left, right = [one for one in found if one <= flow], [one for one in found if one >= flow]
        sides = [heat[max(left)]] if left else [max(heat.values())] if found else []
        sides += [heat[min(right)]] if right else []
        assert hot <= max(sides), (flow, sorted(found))
    for flow in found - chosen:
        beside = [max((one for one in chosen if one < flow), default=None)]
        beside.append(min((one for one in chosen if one > flow), default=None))
        assert all(one is None or heat[one] < heat[flow] for one in beside), flow


def test_a_peak_between_two_flows_is_held_against_those_beside_it() -> None:
    """By hand: 5 K at flow 2 stand between 1 K and 3 K, whatever is hotter farther on."""
    assert _with_peaks(summer({1: 1, 2: 5, 3: 3, 9: 9}), {1, 3, 9}) == {1, 2, 3, 9}
    assert _with_peaks(summer({1: 9, 5: 1, 6: 5, 7: 3}), {1, 5, 7}) == {1, 5, 6, 7}


def test_the_stages_of_a_card_are_those_in_use_while_it_may_be_on(views: tuple[SiteView, ...]) -> None:
    seen = set()
    for view in views:
        water = card_water(view)
        assert (water is None) == view.unfit_supply, view.spec.id
        if water is None:
            continue
        on = not view.stays_off and not view.window.why_empty
        seen.add(on)
        numbers = list(range(1, int(view.window.number) + 1)) if on else []
        assert [row.number for row in water.stages] == numbers, view.spec.id
        feeds = {stage: feed.name for feed in view.heater.electrical.feeds for stage in feed.stages}
        assert [row.feed for row in water.stages] == [feeds[number] for number in numbers]
        assert bool(water.heat) == (not view.stays_off), view.spec.id
        assert (water.allowed is not None) <= on
    assert seen == {True, False}


@pytest.mark.parametrize(
    ("least", "greatest", "state", "within"),
    [
        (1e-4, 3e-4, "ok", True),
        (2e-4, 2e-4, "ok", True),
        (2.1e-4, 3e-4, "ok", False),
        (1e-4, 1.9e-4, "ok", False),
        (1e-4, None, "no-bound", True),
        (1e-4, None, "none", False),
        (None, 3e-4, "ok", False),
    ],
)
def test_a_flow_lies_within_a_window_whose_ends_are_known(
    least: float | None, greatest: float | None, state: State, within: bool
) -> None:
    """2e-4 m3/s, by hand; without an upper bound no flow is too great."""
    ends = Figure("l", "L", least, "flow"), Figure("g", "G", greatest, "flow", state=state)
    assert _within(2e-4, FlowWindow(1, *ends)) is within
    assert not _within(2e-4, FlowWindow(1, *ends, why_empty=Sentence("", (), "window-no-flow")))
