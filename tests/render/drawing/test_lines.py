"""Curves stand where their points are, in the page's unit, and say the same in words; nothing leaves the frame."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.model.documents.drawings import LinesDrawing
from generator.model.figures import Value
from generator.model.water_results import Curve
from generator.render.drawing.axes import LEFT, RIGHT, TOP
from generator.render.drawing.canvas import WIDTH
from generator.render.drawing.lines import BOTTOM, lines
from generator.units import to_si
from tests.render.drawing.svg_reader import axes_of, points, read, spans
from tests.styles import SI, US


def curve(pairs: list[tuple[float, float]], title: str = "Throttled at the outlet") -> Curve:
    si = tuple((to_si(x, "flow", "gpm"), to_si(y, "pressure", "psi")) for x, y in pairs)
    return Curve("c", title, "flow", "flow", "pressure", "pressure", si)


def test_a_line_runs_from_corner_to_corner() -> None:
    found = read(lines(LinesDrawing("Pressure", (curve([(0, 0), (2, 50), (4, 100)]),)), US))
    (line,) = found.of_class("line")
    assert points(line) == [(LEFT, BOTTOM), ((LEFT + RIGHT) / 2, (TOP + BOTTOM) / 2), (RIGHT, TOP)]
    assert {"0", "20", "40", "60", "80", "100", "1", "2", "3", "4", "pressure, psi; flow, gpm"} <= set(found.texts)


def test_the_unit_is_that_of_the_page() -> None:
    assert "pressure, kPa; flow, L/min" in read(lines(LinesDrawing("P", (curve([(0, 0), (4, 100)]),)), SI)).texts


def test_words_say_where_a_line_starts_and_ends() -> None:
    words = read(lines(LinesDrawing("P", (curve([(0, 50), (4, 40)]),)), US)).words("desc")
    start = "Throttled at the outlet: pressure from 50.0 psi at 0.00 gpm to 40.0 psi at 4.00 gpm, "
    assert words == f"{start}min 40.0 psi, max 50.0 psi."


def test_lines_differ_by_more_than_colour_and_are_named_in_the_key() -> None:
    both = (curve([(0, 50), (4, 40)]), curve([(0, 0), (4, 40)], "Throttled at the inlet"))
    found = read(lines(LinesDrawing("P", both), US))
    kinds = [one.get("class") for one in found.of_class("line") if one.tag.endswith("polyline")]
    assert len(set(kinds)) == 2
    assert {"Throttled at the outlet", "Throttled at the inlet"} <= set(found.texts)


def test_a_level_stands_where_it_is_and_is_named() -> None:
    least = Value("least working pressure", to_si(25.0, "pressure", "psi"), "pressure", "at_least")
    found = read(lines(LinesDrawing("P", (curve([(0, 50), (4, 40)]),), least), US))
    _, y_axis = axes_of(found, BOTTOM)
    assert y_axis.number(spans(found.of_class("limit")[0])[0][0]) == pytest.approx(25.0, abs=0.2)
    assert "least working pressure 25.0 psi" in found.texts


@given(st.lists(st.floats(-1e3, 1e3), min_size=2, max_size=20), st.floats(0.01, 50.0))
def test_no_point_leaves_the_frame(ys: list[float], step: float) -> None:
    found = read(lines(LinesDrawing("P", (curve([(place * step, y) for place, y in enumerate(ys)]),)), US))
    for x, y in points(found.of_class("line")[0]):
        assert LEFT <= x <= RIGHT <= WIDTH and TOP <= y <= BOTTOM


def test_a_curve_needs_points() -> None:
    with pytest.raises(ValueError):
        lines(LinesDrawing("P", (curve([]),)), US)
