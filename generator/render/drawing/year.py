"""The inlet of each month and the hottest water that it gives, against the limit."""

from __future__ import annotations

from markupsafe import Markup

from generator.model.content.words import Style
from generator.model.documents.drawings import YearDrawing
from generator.render.drawing.axes import LEFT, RIGHT, TOP, Axes, Scale, draw_axes, draw_level, round_ticks
from generator.render.drawing.canvas import Canvas, KeyEntry, Place
from generator.render.drawing.speech import Speech

BOTTOM = 190.0
KIND = "temperature"


def year(record: YearDrawing, style: Style) -> Markup:
    """Return the drawing of a year of twelve months."""
    say, sheet = Speech(style), Canvas(BOTTOM + 19.0)
    limit = say.at(record.limit.value, KIND) if isinstance(record.limit.value, float) else None
    numbers = [say.at(one, KIND) for one in (*record.inlet_k, *record.hottest_k)]
    marks = round_ticks(min(numbers), max(numbers if limit is None else [*numbers, limit]))
    on = Axes(Scale(0.5, 12.5, LEFT, RIGHT), Scale(marks[0], marks[-1], BOTTOM, TOP), (), tuple(marks))
    draw_axes(sheet, on, say.word("year-axes", sign=say.sign(KIND)))
    for month, name in enumerate(record.months, 1):
        sheet.label(name[:1], [Place(on.x.at(month), BOTTOM + 15.0, "middle")])
    for kind, values in (("cool", record.inlet_k), ("warm", record.hottest_k)):
        places = [on.at(month, say.at(one, KIND)) for month, one in enumerate(values, 1)]
        sheet.polyline(kind, places)
        for x, y in places:
            sheet.circle(f"dot {kind}", x, y, radius=2.5)
    key = [
        KeyEntry("line", "warm", say.word("year-hottest", hottest=say.show(record.hottest))),
        KeyEntry(
            "line", "cool", say.word("year-inlet", least=say.number(record.coldest), most=say.show(record.warmest))
        ),
    ]
    if limit is not None:
        draw_level(sheet, on, "limit", number=limit)
        key.append(KeyEntry("line", "limit", say.word("limit", limit=say.show(record.limit))))
    sheet.key(key)
    by_month = [
        say.word(
            "month-words",
            month=name,
            inlet=say.quantity(inlet_k, KIND),
            hottest=say.quantity(hottest_k, KIND, "at_least"),
        )
        for name, inlet_k, hottest_k in zip(record.months, record.inlet_k, record.hottest_k, strict=True)
    ]
    return sheet.svg(say.word("year-title"), " ".join([*(f"{one.text}." for one in key), *by_month]), "year")
