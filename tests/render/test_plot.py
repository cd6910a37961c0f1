"""A plot shows its points where they are, in the handbook's unit, and says the same in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.model.water_results import Curve
from generator.render.plot import BOTTOM, LEFT, RIGHT, TOP, draw
from generator.units import to_si


def curve(points: list[tuple[float, float]], title: str = "Throttled at the outlet") -> Curve:
    si = tuple((to_si(x, "flow", "gpm"), to_si(y, "pressure", "psi")) for x, y in points)
    return Curve("c", title, "flow", "flow", "pressure", "pressure", si)


def test_a_line_runs_from_corner_to_corner() -> None:
    plot = draw([curve([(0, 0), (2, 50), (4, 100)])], "us")
    assert (
        plot.lines[0].points == f"{LEFT:g},{BOTTOM:g} {(LEFT + RIGHT) / 2:g},{(TOP + BOTTOM) / 2:g} {RIGHT:g},{TOP:g}"
    )
    assert [tick.text for tick in plot.y_ticks] == ["0", "20", "40", "60", "80", "100"]
    assert [tick.text for tick in plot.x_ticks] == ["0", "1", "2", "3", "4"]
    assert (plot.x_label, plot.y_label) == ("flow, gpm", "pressure, psi")


def test_the_unit_is_the_handbook_s() -> None:
    assert draw([curve([(0, 0), (4, 100)])], "si").y_label == "pressure, kPa"


def test_words_say_where_a_line_starts_and_ends() -> None:
    words = draw([curve([(0, 50), (4, 40)])], "us").description.replace("\u00a0", " ")
    assert words == (
        "Throttled at the outlet: pressure from 50.0 psi at 0.00 gpm to 40.0 psi at 4.00 gpm, "
        "least 40.0 psi, greatest 50.0 psi."
    )


def test_lines_of_one_plot_differ_by_more_than_colour() -> None:
    plot = draw([curve([(0, 50), (4, 40)]), curve([(0, 0), (4, 40)], "Throttled at the inlet")], "us")
    assert [line.name for line in plot.lines] == ["Throttled at the outlet", "Throttled at the inlet"]
    assert len({line.dash for line in plot.lines}) == 2


@given(st.lists(st.floats(-1e3, 1e3), min_size=2, max_size=20), st.floats(0.01, 50.0))
def test_no_point_leaves_the_frame(ys: list[float], step: float) -> None:
    plot = draw([curve([(place * step, y) for place, y in enumerate(ys)])], "us")
    for pair in plot.lines[0].points.split():
        x, y = map(float, pair.split(","))
        assert LEFT <= x <= RIGHT
        assert TOP <= y <= BOTTOM
    assert 2 <= len(plot.y_ticks) <= 8


def test_a_level_line_is_drawn() -> None:
    assert len(draw([curve([(0, 5), (1, 5)])], "us").y_ticks) >= 2


def test_a_curve_needs_points() -> None:
    with pytest.raises(ValueError, match="empty"):
        draw([curve([])], "us")
