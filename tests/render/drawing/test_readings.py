"""What was read over what was predicted: by value."""

import re

import pytest

from generator.assemble.drawings.readings import readings
from generator.assemble.selection import selected
from generator.build import Loaded
from generator.render.drawing.axes import TOP
from generator.render.drawing.readings import ROW
from generator.render.drawing.readings import readings as draw
from generator.render.pages.write import render_pages
from tests.frozen import ROOT
from tests.render.drawing.svg_reader import Axis, Read, read
from tests.styles import US


def percents(found: Read, bottom: float) -> Axis:
    texts = [(one.get("x"), one.get("y"), one.text) for one in found.root.iter() if one.tag.endswith("}text")]
    marks = [(float(x or 0), float(text or 0)) for x, y, text in texts if y == f"{bottom + 15.0:g}" and x]
    return Axis(min(marks), max(marks))


@pytest.mark.parametrize("name", ["packing-house", "creamery"])
def test_each_reading_stands_where_its_share_is_and_its_bar_is_as_wide_as_its_spread(loaded: Loaded, name: str) -> None:
    result = next(one for one in loaded.results.sites if one.id == name)
    (visit,) = result.visits
    record = readings(visit, result.expected)
    bottom = TOP + ROW * len(record.points)
    found = read(draw(record, US))
    axis = percents(found, bottom)
    heat = [(point.heat_w, point.predicted_w) for point in visit.points if point.heat_w]
    electric = [(point.electric_w, point.predicted_w) for point in visit.points if point.electric_w]
    circles = [one for one in found.of_class("heat") if float(one.get("cy", "0")) < bottom]
    squares = [one for one in found.of_class("read") if one.tag.endswith("rect") and float(one.get("y", "0")) < bottom]
    places = [float(one.get("cx", "nan")) for one in circles], [float(one.get("x", "nan")) + 4.0 for one in squares]
    for at, expected in zip(places, (heat, electric), strict=True):
        shares = [100.0 * read_.best / predicted for read_, predicted in expected]
        assert [axis.number(place) for place in at] == pytest.approx(shares, abs=0.2)
    bars = {re.match(r"M([\d.]+) [\d.]+H([\d.]+)", one.get("d", "")) for one in found.of_class("range")}
    ends = sorted(axis.number(float(end)) for bar in bars if bar for end in bar.groups())
    spread = [100.0 * (one.best + sign * one.spread) / of for one, of in heat + electric for sign in (-1, 1)]
    assert ends == pytest.approx(sorted(spread), abs=0.2)
    # The nameplate's tolerance of the input, -10 to +5 %: IEC 60335-1 (2010) 10.1, from memory.
    band = next(one for one in found.of_class("area") if one.get("y") == f"{TOP:g}")
    left, width = float(band.get("x", "nan")), float(band.get("width", "nan"))
    assert [axis.number(left), axis.number(left + width)] == pytest.approx([90.0, 105.0], abs=0.3)


def test_the_details_of_a_site_show_it_with_words_for_who_cannot_see_it(loaded: Loaded) -> None:
    pages = {one.page.id: one.text for one in render_pages(ROOT / "content", selected(loaded.book, sites=["creamery"]))}
    (svg,) = re.findall(r'<svg class="drawing readings".*?</svg>', pages["sites/creamery/details"])
    assert svg.count('class="range"') == 4
    assert read(svg).words("title") == "Power read over power predicted on 2026-04-14"
