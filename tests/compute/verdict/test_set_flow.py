"""Flow windows that a hand can set: never with crossed ends, never too narrow, and which of them leads."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.heat.figures.window import window_figures
from generator.compute.heat.window import Bound, Window
from generator.compute.verdict.set_flow import can_be_set, leading, selected_stage, wide_enough
from generator.model.figures import Figure, Sentence
from generator.model.results import FlowWindow
from generator.render.format import NBSP, parts
from tests.compute.heat_cases import heater
from tests.compute.wet_cases import GPM, TOLERANCES, site

SETTING = TOLERANCES.setting
L_MIN = 1e-3 / 60.0  # by definition of the litre and the minute


def _window(least: float, greatest: float, number: int = 1) -> FlowWindow:
    ends = (("least", least, "at_least"), ("greatest", greatest, "at_most"))
    return FlowWindow(number, *(Figure(f"w.{name}", name, flow, "flow", bound) for name, flow, bound in ends))


def _shown(figure: Figure) -> list[float]:
    assert isinstance(figure.value, float)
    return [float(text.split(NBSP)[0]) for text in parts(figure.value, figure.kind, figure.side, units="both")]


@given(st.floats(1e-5, 5e-4), st.floats(0.0, 1e-4))
def test_the_printed_ends_never_cross(least: float, width: float) -> None:
    bounds = Window(1, (Bound(least, "least"),), (Bound(least + width, "greatest"),), SETTING)
    shown = window_figures("w", bounds)
    if shown.why_empty:
        assert bounds.narrow and shown.narrow and not can_be_set(shown)
        assert shown.least.value is None and shown.greatest.value is None
        assert shown.least.state == shown.greatest.state == "none"
    else:
        assert bounds.usable and can_be_set(shown)
        assert all(low < high for low, high in zip(_shown(shown.least), _shown(shown.greatest), strict=True))


def test_ends_that_would_be_printed_crossed_are_told_as_too_narrow() -> None:
    narrow = _window(2.41 * L_MIN, 2.49 * L_MIN)
    assert _shown(narrow.least)[1] > _shown(narrow.greatest)[1]
    shown = window_figures("w", Window(1, (Bound(2.41 * L_MIN, "a"),), (Bound(2.49 * L_MIN, "b"),), SETTING))
    assert shown.why_empty is not None and shown.why_empty.say == "window-narrow"


@pytest.mark.parametrize(("share", "wide"), [(1.01, True), (0.99, False), (0.0, False), (-0.5, False)])
@pytest.mark.parametrize(("greatest", "width"), [(1e-4, 0.06 * GPM), (6e-4, 0.03 * 6e-4)])
def test_the_width_that_a_hand_needs(greatest: float, width: float, share: float, wide: bool) -> None:
    """0.06 gpm, or 3 % of the flow where that is more: common practice, no source."""
    assert wide_enough(greatest - share * width, greatest, SETTING) is wide


def test_a_window_without_a_greatest_flow_can_be_set() -> None:
    bounds = Window(1, (Bound(2.4 * L_MIN, "a"),), (Bound(math.inf, "b"),), SETTING)
    shown = window_figures("w", bounds)
    assert bounds.usable and can_be_set(shown)
    assert (shown.greatest.value, shown.greatest.state) == (None, "no-bound")


@pytest.mark.parametrize("state", ["stop", "none", "unknown"])
@pytest.mark.parametrize("end", ["least", "greatest"])
def test_a_window_with_an_unknown_end_cannot_be_set(end: str, state: str) -> None:
    known = _window(2.4 * L_MIN, 2.9 * L_MIN)
    unknown: Any = {end: replace(getattr(known, end), value=None, state=state)}
    assert not can_be_set(replace(known, **unknown))


def test_which_window_leads() -> None:
    """With a selector, that of the stage it is set to, or of all; without one, every stage is in use at its flow."""
    empty = replace(_window(1e-5, 5e-5, 3), why_empty=Sentence("None."))
    windows = (_window(1e-5, 5e-5, 1), _window(2e-5, 6e-5, 2), empty)
    place, flows = site("bunkhouse"), ([0.4, 0.6, 0.8], [0.3, 0.5, 0.7])
    selector, plain = heater(*flows), heater(*flows, selector=False)
    for selected, number in ((1, 1), (2, 2), (3, 3), (None, 3)):
        at = place.model_copy(update={"selected_stage": selected})
        assert leading(windows, at, selector).number == selected_stage(at, selector) == number
    at = place.model_copy(update={"selected_stage": None})
    assert leading(windows, at, plain).number == 2
    assert leading((empty,), at, plain) is empty
