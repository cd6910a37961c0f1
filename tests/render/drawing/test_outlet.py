"""The curve of the outlet, read back from the drawing, against the tables and against a heat balance done otherwise."""

import bisect
import re
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI

from generator.assemble.documents import SiteView
from generator.assemble.drawings.outlet import outlet
from generator.build import Loaded
from generator.model.content.words import Style
from generator.render.drawing.outlet import BOTTOM
from generator.render.drawing.outlet import outlet as draw
from generator.render.drawing.speech import Speech
from generator.units import from_si, to_si
from tests.render.drawing.svg_reader import Axis, Points, Read, axes_of, points, read, spans

GPM, L_MIN = to_si(1.0, "flow", "gpm"), to_si(1.0, "flow", "L/min")
SITES = ("packing-house", "bunkhouse", "creamery", "farm-stand", "potting-shed", "seedling-house")


def drawn(loaded: Loaded, name: str) -> tuple[SiteView, Read, Axis, Axis]:
    view = next(one for one in loaded.book.sites if one.spec.id == name)
    record = outlet(view)
    assert record is not None
    found = read(draw(record, Style(view.units, loaded.book.words)))
    return view, found, *axes_of(found, BOTTOM)


def teeth(found: Read, line: str) -> list[Points]:
    return [points(one) for one in found.of_class(line) if one.tag.endswith("polyline")]


def height_at(line: Points, x: float) -> float:
    """Where a line is at a place, between its points."""
    xs = [point[0] for point in line]
    assert xs[0] - 0.2 <= x <= xs[-1] + 0.2, (x, xs)
    place = min(max(bisect.bisect_left(xs, x), 1), len(xs) - 1)
    (x0, y0), (x1, y1) = line[place - 1], line[place]
    return y0 + (x - x0) / (x1 - x0) * (y1 - y0) if x1 != x0 else y0


@pytest.mark.parametrize("name", SITES)
def test_every_row_of_the_table_is_met_by_the_curve(loaded: Loaded, name: str) -> None:
    view, found, x_axis, y_axis = drawn(loaded, name)
    units, met = view.units, 0
    flow_unit, unit = ("L/min", "degC") if units == "si" else ("gpm", "degF")
    lines = {"winter": teeth(found, "cool"), "summer": teeth(found, "warm")}
    assert len(lines["winter"]) == len(lines["summer"])
    for row in view.first_page.rows:
        number = int(float(row.on.value or 0.0))
        if not number:
            continue
        flow = from_si(float(row.flow.value), "flow", flow_unit)
        x = x_axis.place(flow)
        for season, figure in (("winter", row.winter), ("summer", row.summer)):
            if isinstance(figure.value, float):
                shown = y_axis.number(height_at(lines[season][number - 1], x))
                told, inlet = (
                    from_si(float(one), "temperature", unit)
                    for one in (figure.value, getattr(view.result, f"{season}_inlet").value)
                )
                # The table counts a flow as it may be read from one shown to 0.1 L/min, the curve counts it as it is.
                assert shown == pytest.approx(told, abs=0.4 + (told - inlet) * 0.1 * L_MIN / float(row.flow.value))
                met += 1
    assert met >= 4


def test_a_person_reads_1_4_gpm_and_57_degf_within_2_degf(loaded: Loaded) -> None:
    # Heat balance with CoolProp's water: a general-purpose library, enthalpies at 4 bar.
    view, found, x_axis, y_axis = drawn(loaded, "packing-house")
    powers = [one.value for one in view.result.delivered]
    inlet_k, flow = to_si(57.0, "temperature", "degF"), 1.4 * GPM
    density = PropsSI("D", "T", inlet_k, "P", 4e5, "Water")
    enthalpy = PropsSI("H", "T", inlet_k, "P", 4e5, "Water") + float(powers[3] or 0.0) / (density * flow)
    truth = from_si(PropsSI("T", "H", enthalpy, "P", 4e5, "Water"), "temperature", "degF")
    x = x_axis.place(1.4)
    winter, summer = (
        y_axis.number(height_at(teeth(found, line)[3], x)) for line in ("cool", "warm")
    )  # inlets of 55 and 60 degF
    assert winter + (57.0 - 55.0) / (60.0 - 55.0) * (summer - winter) == pytest.approx(truth, abs=2.0)
    assert winter < truth < summer


@pytest.mark.parametrize("name", SITES)
def test_both_branches_of_the_hysteresis_are_drawn(loaded: Loaded, name: str) -> None:
    view, found, x_axis, _ = drawn(loaded, name)
    unit = "L/min" if view.units == "si" else "gpm"
    record = outlet(view)
    assert record is not None
    for line in ("warm", "cool"):
        curves = teeth(found, line)
        steps = [one for one in found.of_class("step", line)]
        places = sorted(float(one.get("d", "").split()[0][1:]) for one in steps)
        offs = [from_si(float(one.drops_out.value or 0.0), "flow", unit) for one in record.switching]
        ons = [from_si(float(one.turns_on.value or 0.0), "flow", unit) for one in record.switching[1:]]
        assert [x_axis.number(place) for place in places] == pytest.approx(sorted(offs + ons), abs=0.02)
        for number, (curve, off) in enumerate(zip(curves, offs, strict=True)):
            assert x_axis.number(curve[0][0]) == pytest.approx(off, abs=0.01)
            if number + 1 < len(curves):
                assert x_axis.number(curve[-1][0]) == pytest.approx(ons[number], abs=0.01)
    band = [points(one) for one in found.of_class("between")]
    assert [one for line in band for one in line] == [
        point
        for cool, warm in zip(teeth(found, "cool"), teeth(found, "warm"), strict=True)
        for point in [*warm, *reversed(cool)]
    ]


def level(found: Read, kind: str) -> float | None:
    heights = [span[0] for one in found.of_class(kind) for span in spans(one)]
    return heights[0] if heights else None


@pytest.mark.parametrize("name", SITES)
def test_limit_target_window_worst_and_work_stand_where_the_results_say(loaded: Loaded, name: str) -> None:
    view, found, x_axis, y_axis = drawn(loaded, name)
    result, page, si = view.result, view.first_page, view.units == "si"
    flow_unit, unit = ("L/min", "degC") if si else ("gpm", "degF")

    def shown(value: Any, kind: str) -> float:
        return from_si(float(value), kind, unit if kind == "temperature" else flow_unit)

    for kind, figure in (("limit", result.limit), ("target", result.target)):
        at = level(found, kind)
        assert at is not None and y_axis.number(at) == pytest.approx(shown(figure.value, "temperature"), abs=0.2)
    (worst,) = [one for one in found.of_class("worst") if float(one.get("cy", "0")) < BOTTOM]
    assert result.hottest_flow is not None
    assert x_axis.number(float(worst.get("cx", "nan"))) == pytest.approx(
        shown(result.hottest_flow.value, "flow"), abs=0.02
    )
    assert y_axis.number(float(worst.get("cy", "nan"))) == pytest.approx(
        shown(result.hottest.value, "temperature"), abs=0.3
    )
    windows = [one for one in found.of_class("win") if float(one.get("y", "0")) < BOTTOM]
    assert bool(windows) == (page.window_ends[0] is not None)
    for one in windows:
        left, width = (float(one.get(key, "nan")) for key in ("x", "width"))
        least, greatest = (end.value if end else None for end in page.window_ends)
        assert x_axis.number(left) == pytest.approx(shown(least, "flow"), abs=0.02)
        if greatest is not None:
            assert x_axis.number(left + width) == pytest.approx(shown(greatest, "flow"), abs=0.02)
    if page.at_work is not None:
        flow, winter, summer = page.at_work
        dots = [one for one in found.of_class("dot") if float(one.get("cy", "0")) < BOTTOM]
        for dot, figure in zip(dots, (winter, summer), strict=True):
            assert x_axis.number(float(dot.get("cx", "nan"))) == pytest.approx(shown(flow.value, "flow"), abs=0.02)
            assert y_axis.number(float(dot.get("cy", "nan"))) == pytest.approx(
                shown(figure.value, "temperature"), abs=0.3
            )


@pytest.mark.parametrize("name", SITES)
def test_each_tooth_and_each_dot_bears_its_own_number(loaded: Loaded, name: str) -> None:
    view, found, *_ = drawn(loaded, name)
    record, say = outlet(view), Speech(Style(view.units, loaded.book.words))
    assert record is not None
    assert ("outlet, °C, over flow, L/min" if view.units == "si" else "outlet, °F, over flow, gpm") in found.texts
    ends = {f"{one.title} on": tooth[-1] for one, tooth in zip(record.curves[::2], teeth(found, "cool"), strict=True)}
    labels = [text for text in found.texts if re.fullmatch(r"\d+ on", text)]
    assert len(ends) >= len(labels) == len(set(labels)) >= len(ends) - 1 and set(labels) <= set(ends)
    for label in labels:
        (x, y), (end_x, end_y) = found.text_at(label), ends[label]
        assert x == pytest.approx(end_x - 3.0, abs=0.1) and abs(y - end_y) <= 32.0, label
    dots = [one for one in found.of_class("dot") if float(one.get("cy", "0")) < BOTTOM]
    for dot, figure in zip(dots, (record.at_work or ())[1:], strict=True):
        beside = [
            one.text
            for one in found.of_class("strong")
            if abs(float(one.get("x", "nan")) - float(dot.get("cx", "nan"))) <= 9.0
            and abs(float(one.get("y", "nan")) - float(dot.get("cy", "nan"))) <= 16.0
        ]
        assert say.number(figure) in beside


def test_its_numbers_are_said_to_who_cannot_see_it(loaded: Loaded) -> None:
    _, found, *_ = drawn(loaded, "packing-house")
    words = found.words("desc")
    for text in ("hottest 122 °F at 0.80 gpm", "limit 130 °F", "window 1.20 to 1.42 gpm", "at 1.40 gpm: 100 to 107 °F"):
        assert text in words and text in found.texts
    assert "Stage 4 turns on at 1.20 gpm, drops out below 1.08 gpm." in words


def test_the_hottest_water_s_number_does_not_lie_on_the_limit(loaded: Loaded) -> None:
    for name in ("seedling-house", "packing-house"):
        view, found, *_ = drawn(loaded, name)
        shown = Speech(Style(view.units, loaded.book.words)).show(view.result.hottest).replace("\u00a0", " ")
        at, (_, y) = level(found, "limit"), found.text_at(shown)
        assert at is not None and not y - 10.0 < at < y + 1.0, name


def test_no_window_is_drawn_while_it_says_stop(loaded: Loaded) -> None:
    _, found, *_ = drawn(loaded, "bunkhouse")
    assert not found.of_class("win")
