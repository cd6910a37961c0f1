"""The way of the water as a strip: a part a line, from the supply above to the fixtures below.

Symbols after ISO 14617 (from memory): a valve as two triangles, with an arrow where it throttles; a check valve as one
with a bar; a strainer as a dashed bar in a box; a meter as a circle; a vessel as a circle with its membrane; a
regulator as a valve with its spring; a test point as a capped stub, a drain as a valve to the air. What is not there,
but asked for, is dashed. Where there are several fixtures, each hangs on a branch of its own; cold water enters a
mixing valve from its side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from markupsafe import Markup

from generator.model.content.drawing_words import DrawingWord
from generator.model.content.words import Style
from generator.model.documents.drawings import PartKind, PipePart, PipingDrawing
from generator.render.drawing.canvas import WIDTH, Canvas, Place, broken
from generator.render.drawing.speech import Speech

PIPE, TEXT = 18.0, 44.0  # where the pipe runs, and where the words begin [px]
ASIDE = 26.0  # how far a branch runs beside it
LINE, GAP = 16.0, 10.0  # height of a line of words, and between two parts
WORDS: dict[PartKind, DrawingWord] = {
    "supply": "part-supply",
    "shutoff": "part-shutoff",
    "turn-down": "part-turn-down",
    "union": "part-union",
    "screen": "part-screen",
    "check": "part-check",
    "meter": "part-meter",
    "backflow": "part-backflow",
    "softener": "part-softener",
    "filter": "part-filter",
    "hose": "part-hose",
    "regulator": "part-regulator",
    "test-point": "part-test-point",
    "drain": "part-drain",
    "expansion": "part-expansion",
    "relief": "part-relief",
    "mixing": "part-mixing",
}
VALVE = "M{x} {y}l-7 -8h14l-14 16h14z"
SYMBOLS: dict[PartKind, str] = {
    "supply": "M{x} {y}m-7 -7h14l-7 12z",
    "shutoff": VALVE,
    "turn-down": VALVE + "M{x} {y}m-11 7l22 -14m0 0l-6 0m6 0l-3 5",
    "union": "M{x} {y}m-7 -3h14m-14 6h14",
    "screen": "M{x} {y}m-8 -8h16v16h-16zm0 16l16 -16",
    "check": "M{x} {y}m-7 -6h14l-7 12zm0 12h14",
    "meter": "M{x} {y}m-8 0a8 8 0 1 1 16 0a8 8 0 1 1 -16 0m8 0l4 -5",
    "backflow": "M{x} {y}m-9 -9h18v18h-18zm3 3h12l-6 10zm0 12h12",
    "softener": "M{x} {y}m-8 -9h16v18h-16zm0 6h16m-16 6h16",
    "filter": "M{x} {y}m-8 -8h16v16h-16zm0 8h16",
    "hose": "M{x} {y}m0 -9c-9 4 9 5 0 9c-9 4 9 5 0 9",
    "regulator": VALVE + "M{x} {y}h11m-4 -5a5 5 0 0 1 8 5a5 5 0 0 1 -8 5z",
    "test-point": "M{x} {y}h10m0 -5v10",
    "drain": "M{x} {y}h4l8 -5v10l-8 -5m8 0h5m0 0l-3 -3m3 3l-3 3",
    "expansion": "M{x} {y}m-8 0a8 8 0 1 1 16 0a8 8 0 1 1 -16 0h16",
    "relief": VALVE + "M{x} {y}h12m0 0l-4 -3m4 3l-4 3",
    "mixing": VALVE + "M{x} {y}l9 -6v12z",
    "heater": "M{x} {y}m-12 -11h24v22h-24zm4 11l3 -5l4 10l4 -10l3 5",
    "fixture": "M{x} {y}m-5 -7h10v5m-10 -5v12m0 0l-3 5m3 -5l3 5",
}


def piping(record: PipingDrawing, style: Style) -> Markup:
    """Return the drawing of a site's pipework."""
    say, y, told, last = Speech(style), GAP, [], max(part.branch for part in record.parts)
    lines = [broken(_words(part, say), WIDTH - TEXT - _aside(part)) for part in record.parts]
    heights = [GAP + LINE * max(len(one), 1) for one in lines]
    sheet = Canvas(math.fsum(heights) + 2.0 * GAP)
    for before, part, texts, height in zip((None, *record.parts), record.parts, lines, heights, strict=False):
        middle, x = y + 0.5 * height, PIPE + _aside(part)
        _pipe(sheet, part, y, height=height, begins=before is None or before.branch != part.branch, last=last)
        if (symbol := SYMBOLS.get(part.kind)) is not None:
            dashed = "" if part.standing == "there" else " dashed"
            sheet.path(f"part{dashed}", symbol.format(x=f"{x:g}", y=f"{middle:g}"))
        for place, text in enumerate(texts):
            bold = part.standing != "there" or part.kind == "heater"
            at = Place(TEXT + _aside(part), middle + 4.5 + LINE * (place - 0.5 * (len(texts) - 1)))
            sheet.label(text, [at], bold=bold)
        told.append(_words(part, say))
        y += height
    return sheet.svg(say.word("piping-title"), f"{'; '.join(told)}.", "piping")


def _aside(part: PipePart) -> float:
    return ASIDE if part.branch else 0.0


def _pipe(sheet: Canvas, part: PipePart, y: float, *, height: float, begins: bool, last: int) -> None:
    """Draw the pipe beside a part: down the strip, and from it to the branch that begins here."""
    middle, x = y + 0.5 * height, PIPE + _aside(part)
    kind = "pipe hot" if part.hot and part.kind != "heater" else "pipe cold"
    end = middle if part.kind == "fixture" else y + height
    if part.branch:
        if part.branch < last:
            sheet.path(kind, f"M{PIPE:g} {y:g}V{y + height:g}")
        start = f"M{PIPE:g} {y - 2.0:g}V{y + 2.0:g}H{x:g}" if begins else f"M{x:g} {y:g}"
        sheet.path(kind, f"{start}V{end:g}")
    else:
        sheet.path(kind, f"M{x:g} {y:g}V{end:g}")
    if part.kind == "mixing":
        sheet.path("pipe cold", f"M{x + 9.0:g} {middle:g}h8")


def _words(part: PipePart, say: Speech) -> str:
    return " ".join(_pieces(part, say))


def _pieces(part: PipePart, say: Speech) -> Iterator[str]:
    if part.standing != "there":
        entry: DrawingWord = "part-to-fit" if part.standing == "to fit" else "part-ask"
        yield say.word(entry, part=say.style.words.drawings[WORDS[part.kind]])
        return
    if part.count > 1:
        yield f"{part.count} ×"
    named = part.named.replace(" mm", "\u00a0mm").replace(" in ", "\u00a0in ")
    if part.kind in WORDS:
        yield say.style.words.drawings[WORDS[part.kind]] + ("," if named or part.length else "")
    if part.named:
        yield named + ("," if part.length else "")
    if part.length is not None:
        yield say.show(part.length)
