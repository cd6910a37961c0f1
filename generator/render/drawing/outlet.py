"""The outlet of a site against the flow: a tooth for each number of stages on, the coldest inlet below, the warmest
above, the band between them shaded, and where a stage turns on as the flow grows and drops out as it falls."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from generator.model.content.words import Style
from generator.model.documents.drawings import OutletDrawing
from generator.model.figures import Figure
from generator.model.water_results import Curve
from generator.render.drawing.axes import TOP, Axes, axes, draw_axes, draw_level
from generator.render.drawing.canvas import SIZE, Canvas, KeyEntry, Place
from generator.render.drawing.speech import Speech
from generator.render.drawing.switching import Points, draw_switching

BOTTOM = 208.0


def outlet(record: OutletDrawing, style: Style) -> Markup:
    """Return the drawing. ValueError without curves."""
    say, sheet = Speech(style), Canvas(BOTTOM + 19.0)
    on = _axes(record, say)
    teeth = [(winter.title, _places(winter, on, say), _places(summer, on, say)) for winter, summer in _pairs(record)]
    if (ends := _window(record, on, say)) is not None:
        sheet.rect("win", ends[0], TOP, width=ends[1] - ends[0], height=BOTTOM - TOP)
    draw_axes(sheet, on, say.word("outlet-axes", outlet=say.sign("temperature"), flow=say.sign("flow")))
    for _, winter, summer in teeth:
        sheet.polygon("between", [*summer, *reversed(winter)])
    draw_switching(sheet, [winter for _, winter, _ in teeth], "step cool", bottom=BOTTOM)
    draw_switching(sheet, [summer for _, _, summer in teeth], "step warm", bottom=BOTTOM)
    for _, winter, summer in teeth:
        sheet.polyline("cool", winter)
        sheet.polyline("warm", summer)
    for kind, figure in (("target", record.target), ("limit", record.limit)):
        if isinstance(figure.value, float):
            draw_level(sheet, on, kind, number=say.at(figure.value, "temperature"))
    _marks(sheet, record, on, say=say)
    for number, winter, _ in teeth:
        x, y = winter[-1]
        below = [Place(x - 3.0, min(y + 15.0 + down, BOTTOM - 4.0), "end") for down in (0.0, 8.0, 16.0, -30.0)]
        sheet.label(say.word("stages-on", stages=number), below, bold=True)
    sheet.key(_key(record, say))
    return sheet.svg(say.word("outlet-title"), " ".join(_words(record, say)), "outlet")


def _pairs(record: OutletDrawing) -> list[tuple[Curve, Curve]]:
    return list(zip(record.curves[::2], record.curves[1::2], strict=True))


def _axes(record: OutletDrawing, say: Speech) -> Axes:
    points = [point for curve in record.curves for point in curve.points]
    temperatures = [y for _, y in points]
    temperatures += [one.value for one in (record.limit, record.target) if isinstance(one.value, float)]
    return axes([say.at(x, "flow") for x, _ in points], [say.at(y, "temperature") for y in temperatures], BOTTOM)


def _places(curve: Curve, on: Axes, say: Speech) -> Points:
    return [on.at(say.at(x, "flow"), say.at(y, "temperature")) for x, y in curve.points]


def _window(record: OutletDrawing, on: Axes, say: Speech) -> tuple[float, float] | None:
    least, greatest = (end.value if end else None for end in record.window)
    if not isinstance(least, float):
        return None
    most = min(say.at(greatest, "flow"), on.x.most) if isinstance(greatest, float) else on.x.most
    return on.x.at(say.at(least, "flow")), on.x.at(most)


def _marks(sheet: Canvas, record: OutletDrawing, on: Axes, *, say: Speech) -> None:
    """Draw the hottest water and the outlets at the flow of the fixtures, each with its number where there is room.

    A number stands first where it lies on neither level.
    """
    levels = (one.value for one in (record.limit, record.target) if isinstance(one.value, float))
    heights = [on.y.at(say.at(one, "temperature")) for one in levels]
    if record.at_work is not None:
        flow, winter, summer = record.at_work
        for figure, line in ((winter, "cool"), (summer, "warm")):
            if (at := _at(flow, figure, on, say=say)) is not None:
                sheet.circle(f"dot {line}", *at, radius=4.0)
                side = 15.0 if line == "cool" else -8.0
                sheet.label(say.number(figure), _around(at, side, heights), bold=True)
    if record.hottest is not None and (at := _at(record.hottest[1], record.hottest[0], on, say=say)) is not None:
        sheet.circle("worst", *at, radius=5.0)
        sheet.label(say.show(record.hottest[0]), _around(at, -9.0, heights), bold=True)


def _around(at: tuple[float, float], side: float, heights: list[float]) -> list[Place]:
    x, y = at
    places = [
        Place(x, y + side, "middle"),
        Place(x + 8.0, y + 4.5),
        Place(x - 8.0, y + 4.5, "end"),
        Place(x + 4.0, y + side),
        Place(x - 4.0, y + side, "end"),
    ]
    return sorted(places, key=lambda at: any(at.y - SIZE < height < at.y + 3.0 for height in heights))


def _at(flow: Figure, outlet: Figure, on: Axes, *, say: Speech) -> tuple[float, float] | None:
    if not isinstance(flow.value, float) or not isinstance(outlet.value, float):
        return None
    x, y = say.at(flow.value, "flow"), say.at(outlet.value, "temperature")
    return on.at(x, y) if on.within(x, y) else None


def _key(record: OutletDrawing, say: Speech) -> Iterator[KeyEntry]:
    winter, summer = record.inlets
    yield KeyEntry("line", "warm", say.word("summer-inlet", inlet=say.show(summer)))
    yield KeyEntry("line", "cool", say.word("winter-inlet", inlet=say.show(winter)))
    if record.limit.value is not None:
        yield KeyEntry("line", "limit", say.word("limit", limit=say.show(record.limit)))
    yield KeyEntry("line", "target", say.word("target", target=say.show(record.target)))
    if record.hottest is not None:
        yield KeyEntry("dot", "worst", _hottest(record.hottest, say))
    if record.window[0] is not None:
        yield KeyEntry("area", "win", _window_words(record.window, say))
    if record.at_work is not None:
        yield KeyEntry("dot", "dot", _work_words(record.at_work, say))


def _hottest(hottest: tuple[Figure, Figure], say: Speech) -> str:
    return say.word("hottest", outlet=say.show(hottest[0]), flow=say.show(hottest[1]))


def _window_words(window: tuple[Figure | None, Figure | None], say: Speech) -> str:
    least, greatest = window
    assert least is not None
    if greatest is None or greatest.value is None:
        return say.word("window-open", least=say.show(least))
    return say.word("window", least=say.number(least), greatest=say.show(greatest))


def _work_words(at_work: tuple[Figure, Figure, Figure], say: Speech) -> str:
    flow, winter, summer = at_work
    return say.word("at-work", flow=say.show(flow), winter=say.number(winter), summer=say.show(summer))


def _words(record: OutletDrawing, say: Speech) -> Iterator[str]:
    """Yield the drawing in words, for who cannot see it."""
    yield from (f"{entry.text}." for entry in _key(record, say))
    for one in record.switching:
        on, off = say.show(one.turns_on), say.show(one.drops_out)
        yield say.word("stage-switches", stage=one.stage, on=on, off=off)
