"""What was read over what was predicted, with its uncertainty: a row a point, in percent."""

from __future__ import annotations

from markupsafe import Markup

from generator.model.content.words import Style
from generator.model.documents.drawings import Reading, ReadingsDrawing
from generator.render.drawing.axes import LEFT, RIGHT, TOP, Scale, round_ticks, tick_text
from generator.render.drawing.canvas import Canvas, KeyEntry, Place
from generator.render.drawing.speech import Speech

ROW, APART = 34.0, 7.0  # height of a row, its two marks from its middle
PERCENT = 100.0


def readings(record: ReadingsDrawing, style: Style) -> Markup:
    """Return the drawing of a visit. ValueError without readings."""
    say, bottom = Speech(style), TOP + ROW * len(record.points)
    sheet, scale = Canvas(bottom + 19.0), _scale(record)
    if record.band is not None:
        least, greatest = (scale.at(PERCENT * end) for end in record.band)
        sheet.rect("area", least, TOP, width=greatest - least, height=bottom - TOP)
    for tick in round_ticks(scale.least, scale.most):
        sheet.path("grid", f"M{scale.at(tick):g} {TOP:g}V{bottom:g}")
        sheet.label(tick_text(tick), [Place(scale.at(tick), bottom + 15.0, "middle")])
    sheet.path("axis", f"M{scale.at(PERCENT):g} {TOP:g}V{bottom:g}")
    sheet.text(say.word("readings-axes"), Place(0.0, 12.5))
    for place, (stages, read) in enumerate(record.points):
        middle = TOP + ROW * (place + 0.5)
        sheet.label(str(stages), [Place(2.0, middle + 4.5)], bold=True)
        for one in read:
            _bar(sheet, one, scale, y=middle + (APART if one.electric else -APART))
    sheet.key(
        [
            KeyEntry("dot", "read heat", say.word("by-heat")),
            KeyEntry("square", "read", say.word("by-volts-and-amps")),
            *([KeyEntry("area", "area", say.word("sound-band"))] if record.band else []),
        ]
    )
    words = " ".join(
        say.word("reading-words", stages=stages, percent=", ".join(f"{PERCENT * one.share:.0f}" for one in read))
        for stages, read in record.points
    )
    return sheet.svg(say.word("readings-title", date=record.date), words, "readings")


def _scale(record: ReadingsDrawing) -> Scale:
    every = [1.0, *(record.band or ())]
    every += [one.share + sign * one.spread for _, read in record.points for one in read for sign in (-1.0, 1.0)]
    ticks = round_ticks(PERCENT * min(every), PERCENT * max(every))
    return Scale(ticks[0], ticks[-1], LEFT, RIGHT - 8.0)


def _bar(sheet: Canvas, one: Reading, scale: Scale, *, y: float) -> None:
    x, start, end = (scale.at(PERCENT * (one.share + sign * one.spread)) for sign in (0.0, -1.0, 1.0))
    sheet.path("range", f"M{start:g} {y:g}H{end:g}M{start:g} {y - 4:g}v8M{end:g} {y - 4:g}v8")
    if one.electric:
        sheet.rect("read", x - 4.0, y - 4.0, width=8.0, height=8.0)
    else:
        sheet.circle("read heat", x, y, radius=4.5)
