"""Flow windows as they are shown: never with crossed ends, never too narrow to set, the same on pages and cards."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.assemble.card import card_stages
from generator.assemble.settable import settable
from generator.build import Folders, Loaded, load
from generator.model.figures import Figure
from generator.model.results import FlowWindow
from generator.render.format import NBSP, parts, show_quantity

ROOT = Path(__file__).parents[2]
L_MIN = 1e-3 / 60.0  # by definition of the litre and the minute


def _window(least: float, greatest: float) -> FlowWindow:
    ends = (("least", least, "up"), ("greatest", greatest, "down"))
    return FlowWindow(1, *(Figure(f"w.{name}", name, flow, "flow", side) for name, flow, side in ends))


def _shown(figure: Figure) -> list[float]:
    assert isinstance(figure.value, float)
    return [float(text.split(NBSP)[0]) for text in parts(figure.value, figure.kind, figure.side, "both")]


@given(st.floats(1e-5, 5e-4), st.floats(0.0, 1e-4))
def test_the_printed_ends_never_cross(least: float, width: float) -> None:
    shown = settable(_window(least, least + width))
    if shown.why_empty:
        assert shown.least.value is None and shown.greatest.value is None
        assert shown.least.state == shown.greatest.state == "none"
    else:
        assert all(low <= high for low, high in zip(_shown(shown.least), _shown(shown.greatest), strict=True))


def test_ends_that_would_be_printed_crossed_are_told_as_too_narrow() -> None:
    narrow = _window(2.41 * L_MIN, 2.49 * L_MIN)
    assert _shown(narrow.least)[1] > _shown(narrow.greatest)[1]
    shown = settable(narrow)
    assert shown.why_empty is not None and shown.why_empty.template.startswith("Too narrow to set")


def test_a_window_that_a_tap_holds_is_left_alone() -> None:
    wide = _window(2.4 * L_MIN, 2.9 * L_MIN)
    assert settable(wide) is wide
    open_ended = replace(wide, greatest=replace(wide.greatest, value=None, state="no bound"))
    assert settable(open_ended) is open_ended


@pytest.fixture(scope="module")
def loaded() -> Loaded:
    return load(Folders(ROOT))


def test_pages_and_cards_show_the_same_narrow_window(loaded: Loaded) -> None:
    view = next(view for view in loaded.book.sites if view.spec.id == "packing-house")
    narrow = tuple(replace(_window(3.03 * L_MIN, 3.08 * L_MIN), number=window.number) for window in view.result.windows)
    changed = replace(view, result=replace(view.result, windows=narrow))
    assert show_quantity(3.03 * L_MIN, "flow", "up", "si") != show_quantity(3.08 * L_MIN, "flow", "down", "si")
    assert all(window.why_empty for window in changed.windows)
    assert changed.window.why_empty == changed.windows[0].why_empty
    assert [stage.why_empty for stage in card_stages(changed)] == [window.why_empty for window in changed.windows]
