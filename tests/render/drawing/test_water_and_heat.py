"""Rise, range, year, burns, pressures, pipework and mounting, read back from their drawings."""

import math
import re
from dataclasses import replace
from xml.etree.ElementTree import Element

import pytest
from CoolProp.CoolProp import PropsSI

from generator.assemble.documents import SiteView
from generator.assemble.drawings import heat
from generator.assemble.drawings.mounting import mounting
from generator.assemble.drawings.piping import piping
from generator.build import Loaded
from generator.compute.heat.figures.rise_curves import rise_curves
from generator.model.content.words import Style
from generator.render.drawing import burn, pressure, rise, year
from generator.render.drawing.mounting import mounting as draw_mounting
from generator.render.drawing.piping import ASIDE, PIPE
from generator.render.drawing.piping import piping as draw_piping
from generator.units import from_si, to_si
from tests.render.drawing.svg_reader import Read, axes_of, points, read, spans


def site(loaded: Loaded, name: str) -> tuple[SiteView, Style]:
    view = next(one for one in loaded.book.sites if one.spec.id == name)
    return view, Style(view.units, loaded.book.words)


def test_the_rise_of_a_model_is_its_power_over_its_flow(loaded: Loaded) -> None:
    # Heat balance with CoolProp's water: a general-purpose library, enthalpies at 4 bar, from 12 degC.
    view = next(one for one in loaded.book.models if one.spec.id == "beck-9")
    record = heat.rise(view)
    assert record is not None
    found = read(rise.rise(record, Style("us", loaded.book.words)))
    x_axis, y_axis = axes_of(found, rise.BOTTOM)
    inlet_k, rating = 285.15, view.spec.ratings[0]
    density, enthalpy = (PropsSI(one, "T", inlet_k, "P", 4e5, "Water") for one in "DH")
    lines = [points(one) for one in found.of_class("line")]
    assert len(lines) == len(view.spec.stages) == 4
    share = 0.0
    for line, stage in zip(lines, view.spec.stages, strict=True):
        share += stage.share
        assert x_axis.number(line[0][0]) == pytest.approx(from_si(stage.opens_at_m3_s, "flow", "gpm"), abs=0.02)
        for x, y in line[1:]:
            gained = share * rating.power_w / (density * to_si(x_axis.number(x), "flow", "gpm"))
            outlet_k = min(PropsSI("T", "H", enthalpy + gained, "P", 4e5, "Water"), view.spec.water.cut_out_k)
            assert y_axis.number(y) == pytest.approx(1.8 * (outlet_k - inlet_k), rel=0.02, abs=0.4)


def test_a_rise_shows_where_stages_turn_on_and_where_they_drop_out(loaded: Loaded) -> None:
    for view in loaded.book.models:
        record = heat.rise(view)
        assert record is not None
        found = read(rise.rise(record, Style("us", loaded.book.words)))
        x_axis, _ = axes_of(found, rise.BOTTOM)
        steps = sorted(float(one.get("d", "").split()[0][1:]) for one in found.of_class("step"))
        flows = [one.opens_at_m3_s for one in view.spec.stages] + [one.closes_at_m3_s for one in view.spec.stages[1:]]
        shown = [from_si(flow, "flow", "gpm") for flow in sorted(flows)]
        assert [x_axis.number(place) for place in steps] == pytest.approx(shown, abs=0.02), view.spec.id
        lines = [points(line) for line in found.of_class("line")]
        for curve, line in zip(record.curves, lines, strict=True):
            x, y = found.text_at(f"{curve.title} on")
            assert x == pytest.approx(line[-1][0] - 3.0, abs=0.1) and abs(y - line[-1][1]) <= 32.0
        told = re.findall(r"(\d+) on: ([\d.]+) °F at ([\d.]+) gpm", found.words("desc"))
        own = [(curve.title, *curve.points[at]) for curve in record.curves for at in (0, -1)]
        for (stages, warmer, flow), (title, flow_m3_s, rise_k) in zip(told, own, strict=True):
            assert stages == title and 0.0 <= 1.8 * rise_k - float(warmer) + 1e-6 < 1.0  # what one can count on
            assert float(flow) == pytest.approx(from_si(flow_m3_s, "flow", "gpm"), abs=0.006)
        ends = {y for line in lines for _, y in line} | {rise.BOTTOM}
        assert all(float(one.get("d", "").partition("V")[2]) in ends for one in found.of_class("step"))


def test_lines_of_the_range_and_of_burns_are_told_apart_without_colour(loaded: Loaded) -> None:
    record = heat.model_range(loaded.book.models)
    found = read(rise.model_range(record, loaded.book.style))
    lines = [points(one) for one in found.root if one.tag.endswith("polyline")]
    for letter, (title, *_), line in zip("abcdefghijkl", record.models, lines, strict=False):
        assert f"{letter} {title}" in found.texts
        x, y = found.text_at(letter)
        assert min(abs(y - py) for px, py in line if abs(px - x) < 0.2) <= 14.0, letter
    view, style = site(loaded, "packing-house")
    drawn = heat.burn(view, loaded.book.burn_sources)
    assert drawn is not None
    kinds = [one.get("class") for one in read(burn.burn(drawn, style)).root if (one.get("d") or "").endswith("h21")]
    assert len(kinds) == len(set(kinds)) >= 4


def test_a_model_of_the_range_gives_what_its_stages_give_once_they_are_on(loaded: Loaded) -> None:
    record = heat.model_range(loaded.book.models)
    found = read(rise.model_range(record, loaded.book.style))
    x_axis, y_axis = axes_of(found, rise.BOTTOM)
    lines = [points(one) for one in found.root if one.tag.endswith("polyline")]
    assert [title for title, *_ in record.models] == [one.spec.title for one in loaded.book.models]
    assert len(lines) == len(record.models)
    for line, view in zip(lines, loaded.book.models, strict=True):
        first = from_si(view.spec.stages[0].closes_at_m3_s, "flow", "gpm")
        assert x_axis.number(line[0][0]) == pytest.approx(first, abs=0.02)
        table = view.result.rise_tables[0]
        for head, cells in table.rows:
            on = [
                cell
                for cell, stage in zip(cells, view.spec.stages, strict=True)
                if stage.closes_at_m3_s <= float(head.value)
            ]
            if on and isinstance(on[-1].value, float):
                x = x_axis.place(from_si(float(head.value), "flow", "gpm"))
                about = [
                    pair for pair in zip(line, line[1:], strict=False) if pair[0][0] - 0.2 <= x <= pair[1][0] + 0.2
                ]
                most, least = (y_axis.number(pick(y for pair in about for _, y in pair)) for pick in (min, max))
                assert least - 0.5 <= 1.8 * on[-1].value <= most + 0.5  # between the two points about it


@pytest.mark.parametrize("name", ["creamery", "farm-stand"])
def test_each_month_has_its_inlet_and_its_hottest_water(loaded: Loaded, name: str) -> None:
    view, style = site(loaded, name)
    record = heat.year(view)
    assert record is not None and view.result.water is not None and view.result.water.inlet.months_k is not None
    found = read(year.year(record, style))
    at, number = {}, re.compile(r"\d+")
    for one in found.root.iter():
        if one.get("text-anchor") == "end" and number.fullmatch(one.text or ""):
            at[float(one.text or 0)] = float(one.get("y", "nan")) - 4.5
    (low, y_low), (high, y_high) = min(at.items()), max(at.items())

    def degrees(y: float) -> float:
        return low + (y - y_low) * (high - low) / (y_high - y_low)

    inlets = view.result.water.inlet.months_k
    drawn = {line: [degrees(y) for _, y in points(found.of_class(line)[0])] for line in ("cool", "warm")}
    assert drawn["cool"] == pytest.approx([from_si(one, "temperature", "degF") for one in inlets], abs=0.5)
    # The flow, the power and so the rise of the hottest water are those of every month: it lies as far over each inlet.
    risen = float(view.result.hottest.value or 0.0) - float(view.result.summer_inlet.value or 0.0)
    rises = [hot - cold for hot, cold in zip(drawn["warm"], drawn["cool"], strict=True)]
    assert rises == pytest.approx([1.8 * risen] * 12, abs=1.2)
    (limit,) = [spans(one)[0][0] for one in found.of_class("limit") if spans(one)]
    assert degrees(limit) == pytest.approx(from_si(float(record.limit.value or 0.0), "temperature", "degF"), abs=0.5)
    assert found.words("desc").count("inlet") >= 12


def test_a_site_without_months_has_no_year(loaded: Loaded) -> None:
    assert heat.year(site(loaded, "packing-house")[0]) is None


def test_burn_times_stand_as_published_and_this_water_beside_them(loaded: Loaded) -> None:
    # U.S. Consumer Product Safety Commission, document 5098, from memory: 120 degF 5 min, 130 30 s, 140 6 s, 150 2 s.
    view, style = site(loaded, "bunkhouse")
    record = heat.burn(view, loaded.book.burn_sources)
    assert record is not None and len(record.tables) == 2
    found = read(burn.burn(record, style))
    x_axis, _ = axes_of(found, burn.BOTTOM)
    times = {
        float(one.text or 0): float(one.get("y", "nan")) - 4.5 for one in found.root.iter() if one.text in ("1", "100")
    }
    decade = (times[1.0] - times[100.0]) / 2.0
    (path,) = [
        one.get("d", "") for one in found.of_class("thin") if "V" in one.get("d", "") and one.get("class") == "thin"
    ]
    levels = [float(one) for one in re.findall(r"[V ]([\d.]+)", path)]
    ends = [x_axis.number(float(one)) for one in re.findall(r"H([\d.]+)", path)]
    assert ends == pytest.approx([120.0, 130.0, 140.0, 150.0], abs=0.2)
    seconds = [10.0 ** ((times[1.0] - level) / decade) for level in levels]
    assert seconds[:4] == pytest.approx([300.0, 30.0, 6.0, 2.0], rel=0.03)
    (here,) = [one for one in found.of_class("worst") if "V" in one.get("d", "")]
    place = float(here.get("d", "").split()[0][1:])
    assert x_axis.number(place) == pytest.approx(
        from_si(float(view.result.hottest.value or 0), "temperature", "degF"), abs=0.2
    )
    assert "hottest water here 132 °F" in found.texts


@pytest.mark.parametrize(("name", "unit"), [("packing-house", "psi"), ("seedling-house", "kPa")])
def test_pressures_are_those_of_the_results_at_both_ends(loaded: Loaded, name: str, unit: str) -> None:
    view, style = site(loaded, name)
    record = heat.pressure(view)
    assert record is not None and view.result.water is not None
    found = read(pressure.pressure(record, style))
    marks = {float(one.text or 0): float(one.get("y", "nan")) - 4.5 for one in _marks(found)}
    (low, y_low), (high, y_high) = min(marks.items()), max(marks.items())

    def shown(y: float) -> float:
        return low + (y - y_low) * (high - low) / (y_high - y_low)

    figures = {
        one.id.rpartition(".")[2]: float(one.value) for one in view.result.water.figures if isinstance(one.value, float)
    }
    rest, work = ([shown(y) for _, y in points(found.of_class(line)[0])] for line in ("cool", "line"))
    places = [one.place for one in record.along]
    expected = view.spec.water.static_pressure
    assert rest[0] == pytest.approx(from_si(expected.greatest_pa, "pressure", unit), rel=0.01)
    assert work[0] <= from_si(expected.least_pa, "pressure", unit) * 1.01
    switches = places.index("switches")
    assert rest[switches] == pytest.approx(from_si(figures["pressure-at-rest"], "pressure", unit), rel=0.01)
    assert work[-1] == pytest.approx(from_si(figures["pressure-at-fixture"], "pressure", unit), rel=0.01, abs=0.4)
    least = view.heater.water.working_pressure.least_pa
    (target,) = [spans(one)[0][0] for one in found.of_class("target") if spans(one)]
    assert shown(target) == pytest.approx(from_si(least, "pressure", unit), rel=0.02, abs=0.3)
    greatest = view.heater.water.working_pressure.greatest_pa
    for text, pascal in (
        ("min to work {}", least),
        ("max {}", greatest),
        ("{} at the flow switches", to_si(figures["pressure-at-heater"], "pressure", "Pa")),
        ("taps shut, {} at the heater", to_si(figures["pressure-at-rest"], "pressure", "Pa")),
    ):
        pattern = re.compile(re.escape(text).replace(r"\{\}", rf"([\d.]+) {unit}"))
        (number,) = [match[1] for one in found.texts if (match := pattern.fullmatch(one))]
        assert float(number) == pytest.approx(from_si(pascal, "pressure", unit), rel=0.005, abs=0.1)
    told = re.findall(rf"([\d.]+) {unit} shut, (−?[\d.]+) {unit} running", found.words("desc"))
    for (at_rest, at_work), one in zip(told, record.along, strict=True):
        between = float(at_rest) - from_si(one.at_rest_pa, "pressure", unit)
        assert -1e-6 <= between < 1.0 + 1e-6  # the most that a gauge may have to bear
        assert -1e-6 <= from_si(one.at_work_pa, "pressure", unit) - float(at_work.replace("−", "-")) < 1.0 + 1e-6


def _marks(found: Read) -> list[Element]:
    return [
        one for one in found.root.iter() if one.get("text-anchor") == "end" and re.fullmatch(r"\d+", one.text or "")
    ]


def test_the_pipework_stands_in_the_order_of_flow_with_what_is_asked_for(loaded: Loaded) -> None:
    view, style = site(loaded, "creamery")
    found = read(draw_piping(piping(view, {}), style))
    texts = found.texts
    order = ["supply", "shutoff, gate valve", "check valve", "shutoff, ball valve", "union", view.heater.title]
    order += ["valve: turn down here, ball valve", "mixing valve, ASSE 1017, 110 °F", "rinse hose, 2.10 gpm"]
    assert [texts.index(one) for one in order] == sorted(texts.index(one) for one in order)
    severities = {one.rule: one.severity for one in view.result.findings}
    for rule, part in (
        ("thermal-expansion", "expansion tank"),
        ("relief-valve", "relief valve"),
        ("mixing-valve", "mixing valve"),
    ):
        asked = f"ask about: {part}, see Checks"
        assert (asked in texts) == (severities[rule] == "attention"), rule
        assert (f"TO FIT: {part}, see Checks" in texts) == (severities[rule] == "stop"), rule
    assert any("dashed" in one.get("class", "") for one in found.of_class("part"))


def test_a_check_valve_that_is_there_stands_on_the_cold_side_once(loaded: Loaded) -> None:
    """Stated of the water, or as a fitting of a run; it is drawn before the heater, by its place and by its colour."""
    view, _ = site(loaded, "potting-shed")
    for stated, fitted in ((True, False), (True, True), (False, True), (False, False)):
        fittings = {"check-valve": 1} if fitted else {}
        (first, *others) = view.spec.water.cold_run
        runs = (first.model_copy(update={"fittings": fittings}), *others)
        water = view.spec.water.model_copy(update={"check_valve": stated, "cold_run": runs})
        parts = piping(replace(view, spec=view.spec.model_copy(update={"water": water})), {}).parts
        checks = [(place, part.hot) for place, part in enumerate(parts) if part.kind == "check"]
        heater = next(place for place, part in enumerate(parts) if part.kind == "heater")
        assert [hot for _, hot in checks] == ([False] if stated or fitted else [])
        assert all(place < heater for place, _ in checks)
        assert {part.branch for part in parts} == {0}  # one fixture: all water runs through all parts


def test_a_length_of_pipe_is_rounded_up(loaded: Loaded) -> None:
    view, style = site(loaded, "creamery")
    runs = tuple(one.model_copy(update={"length_m": 27.5}) for one in view.spec.water.hot_run)  # 90.22 ft
    water = view.spec.water.model_copy(update={"hot_run": runs})
    longer = replace(view, spec=view.spec.model_copy(update={"water": water}))
    texts = " ".join(read(draw_piping(piping(longer, {}), style)).texts)
    told = [float(one) for one in re.findall(r"copper-l, ([\d.]+) ft", texts)]
    assert told[-1] >= 90.22 and told[-1] < 91.1


def test_each_of_several_fixtures_hangs_on_its_own_branch_behind_its_own_valve(loaded: Loaded) -> None:
    view, style = site(loaded, "creamery")
    record = piping(view, {})
    assert [(one.kind, one.branch) for one in record.parts if one.branch] == [
        ("mixing", 1),
        ("fixture", 1),
        ("mixing", 2),
        ("fixture", 2),
    ]
    found = read(draw_piping(record, style))
    starts = {one: found.text_at(one)[0] for one in ("rinse hose, 2.10 gpm", "hand basin, 0.45 gpm")}
    aside, trunk = set(starts.values()), found.text_at(view.heater.title)[0]
    assert aside == {trunk + ASIDE}
    leave = [one for one in found.of_class("pipe", "hot") if f"H{PIPE + ASIDE:g}" in one.get("d", "")]
    assert [one.get("d", "").startswith(f"M{PIPE:g} ") for one in leave] == [True, True]
    cold = [one for one in found.of_class("pipe", "cold") if one.get("d", "").endswith("h8")]
    asked = [PIPE + 9.0]  # on the way to both
    assert [float(one.get("d", "M").split()[0][1:]) for one in cold] == asked + 2 * [PIPE + ASIDE + 9.0]


def test_a_valve_that_is_asked_for_stands_on_the_branch_that_has_none(loaded: Loaded) -> None:
    view, style = site(loaded, "creamery")
    rinse, basin = view.spec.fixtures
    bare = basin.model_copy(update={"mixing_valve": None})
    lacks = replace(view, spec=view.spec.model_copy(update={"fixtures": (rinse, bare)}))
    found = tuple(replace(one, severity="stop") if one.rule == "mixing-valve" else one for one in view.result.findings)
    lacks = replace(lacks, result=replace(view.result, findings=found))
    texts = read(draw_piping(piping(lacks, {}), style)).texts
    asked = "TO FIT: mixing valve, see Checks"
    assert texts.count(asked) == 1
    assert texts.index("rinse hose, 2.10 gpm") < texts.index(asked) < texts.index("hand basin, 0.45 gpm")


def test_test_points_and_drains_are_drawn_where_they_are_stated(loaded: Loaded) -> None:
    view, style = site(loaded, "creamery")
    water = view.spec.water
    cold = (water.cold_run[0], water.cold_run[1].model_copy(update={"taps": ("test point", "drain")}))
    hot = tuple(run.model_copy(update={"taps": ("test point",)}) for run in water.hot_run)
    spec = view.spec.model_copy(update={"water": water.model_copy(update={"cold_run": cold, "hot_run": hot})})
    heater = view.heater.model_copy(update={"water": view.heater.water.model_copy(update={"drain": True})})
    texts = read(draw_piping(piping(replace(view, spec=spec, heater=heater), {}), style)).texts
    own = f"drain, {view.heater.title}"
    order = ["union", "test point", "drain", view.heater.title, own, "valve: turn down here, ball valve"]
    assert [texts.index(one) for one in order] == sorted(texts.index(one) for one in order)
    assert texts.count("test point") == 2 and texts.index(own) < len(texts) - texts[::-1].index("test point") - 1
    before = read(draw_piping(piping(view, {}), style)).texts
    assert not any("test point" in one or "drain" in one for one in before)


def test_a_model_hangs_to_scale_with_its_free_space(loaded: Loaded) -> None:
    view = next(one for one in loaded.book.models if one.spec.id == "beck-9")
    record = mounting(view)
    assert record is not None
    found = read(draw_mounting(record, Style("us", loaded.book.words)))
    front, side = found.of_class("free")
    body, profile = found.of_class("outline")

    def box(element: Element) -> list[float]:
        return [float(element.get(key, "nan")) for key in ("x", "y", "width", "height")]

    (_, fy, _, fh), (bx, by, bw, bh) = box(front), box(body)
    (sx, _, sw, _), (px, py, pw, ph) = box(side), box(profile)
    inch = bw / 11.0  # 11 in wide, 14 high, 4 deep; 4 above and beside, 12 below, 24 in front: beck-9.yaml
    assert bh == pytest.approx(14.0 * inch, rel=0.01) and pw == pytest.approx(4.0 * inch, rel=0.02)
    assert (by, bh) == (py, ph) and px == sx
    assert by - fy == pytest.approx(4.0 * inch, rel=0.02) and bx - box(front)[0] == pytest.approx(4.0 * inch, rel=0.02)
    assert fy + fh - by - bh == pytest.approx(12.0 * inch, rel=0.02)
    assert sx + sw - px - pw == pytest.approx(24.0 * inch, rel=0.02)
    taps = [one for one in found.of_class("tap") if float(one.get("cy", "nan")) <= fy + fh]
    cold, hot = (next(one for one in taps if line in one.get("class", "")) for line in ("cool", "warm"))
    assert float(hot.get("cx", "0")) < bx + bw / 2 < float(cold.get("cx", "0"))  # hot left, cold right, at the bottom
    assert math.isclose(float(hot.get("cy", "0")), by + bh, abs_tol=0.2)
    assert "11 in wide, 14 in high, 4 in deep" in found.texts
    assert {"a 4 in above", "b 12 in below", "c 4 in each side", "d 24 in in front"} <= set(found.texts)


def test_a_model_without_an_outline_has_no_drawing_of_it(loaded: Loaded) -> None:
    view = next(one for one in loaded.book.models if one.spec.id == "beck-9")
    hangs = view.spec.mounting.model_copy(update={"outline": None})
    bare = replace(view, spec=view.spec.model_copy(update={"mounting": hangs}))
    assert mounting(bare) is None


@pytest.mark.parametrize("share", [0.1, 3.0])
def test_the_last_curve_of_a_model_runs_to_the_flow_asked_for_or_past_its_own_turn_on(
    loaded: Loaded, share: float
) -> None:
    for heater in loaded.inputs.models:
        turns_on = heater.stages[-1].closes_at_m3_s
        for curves in rise_curves("x", heater, [0.01 * turns_on, share * turns_on]):
            end = float(curves[-1].points[-1][0])
            assert end == pytest.approx(3.0 * turns_on) if share > 1.0 else turns_on < end < 3.0 * turns_on
