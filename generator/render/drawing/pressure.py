"""The pressure along the way of the water, every tap shut and at work, and between which the flow switches work."""

from __future__ import annotations

from markupsafe import Markup

from generator.model.content.drawing_words import DrawingWord
from generator.model.content.words import Style
from generator.model.documents.drawings import PressureDrawing
from generator.model.water_results import PressurePlace
from generator.render.drawing.axes import LEFT, RIGHT, TOP, Axes, Scale, draw_axes, draw_level, round_ticks
from generator.render.drawing.canvas import Canvas, KeyEntry, Place
from generator.render.drawing.speech import Speech

BOTTOM = 190.0
KIND = "pressure"
NAMES: dict[str, DrawingWord] = {
    "supply": "at-supply",
    "cold": "after-cold-run",
    "switches": "at-switches",
    "heater": "behind-heater",
    "hot": "after-hot-run",
}


def pressure(record: PressureDrawing, style: Style) -> Markup:
    """Return the drawing of the pressures of a site."""
    say, sheet = Speech(style), Canvas(BOTTOM + 19.0)
    bounds = [
        (say.at(float(one.value), KIND), kind) for one, kind in ((record.least, "target"), (record.greatest, "limit"))
    ]
    rest, work = ([say.at(pa, KIND) for pa in one] for one in _pressures(record))
    marks = round_ticks(min(0.0, *work), max(*rest, *work, bounds[0][0]))
    count = len(record.along)
    on = Axes(Scale(0.5, count + 0.5, LEFT, RIGHT), Scale(marks[0], marks[-1], BOTTOM, TOP), (), tuple(marks))
    draw_axes(sheet, on, say.word("pressure-axes", sign=say.sign(KIND)))
    for number in range(1, count + 1):
        sheet.label(str(number), [Place(on.x.at(number), BOTTOM + 15.0, "middle")])
    for level, kind in bounds:
        draw_level(sheet, on, kind, number=level)
    for kind, values in (("cool", rest), ("line", work)):
        sheet.polyline(kind, [on.at(place, one) for place, one in enumerate(values, 1)])
    switches = next(place for place, one in enumerate(record.along, 1) if one.place == "switches")
    sheet.circle("worst", *on.at(switches, work[switches - 1]), radius=5.0)
    sheet.key([*_key(record, say), *(KeyEntry("", "", text) for text in _named(record, say))])
    words = [f"{one.text}." for one in _key(record, say)]
    words += [
        say.word("place-words", place=name, rest=say.quantity(one.at_rest_pa, KIND, "at_least"), work=_work(one, say))
        for name, one in zip(_named(record, say), record.along, strict=True)
    ]
    return sheet.svg(say.word("pressure-title"), " ".join(words), "pressure")


def _pressures(record: PressureDrawing) -> tuple[list[float], list[float]]:
    return [one.at_rest_pa for one in record.along], [one.at_work_pa for one in record.along]


def _key(record: PressureDrawing, say: Speech) -> list[KeyEntry]:
    flow = say.show(record.working_flow)
    return [
        KeyEntry("line", "cool", say.word("at-rest", pressure=say.show(record.at_rest))),
        KeyEntry("line", "line", say.word("at-work-pressure", flow=flow)),
        KeyEntry("dot", "worst", say.word("at-heater", pressure=say.show(record.at_work))),
        KeyEntry("line", "target", say.word("least-pressure", pressure=say.show(record.least))),
        KeyEntry("line", "limit", say.word("greatest-pressure", pressure=say.show(record.greatest))),
    ]


def _named(record: PressureDrawing, say: Speech) -> list[str]:
    return [
        f"{place} {say.style.words.drawings[NAMES[one.place]].format(run=one.number)}"
        for place, one in enumerate(record.along, 1)
    ]


def _work(one: PressurePlace, say: Speech) -> str:
    return say.quantity(one.at_work_pa, KIND, "at_most")
