"""A feed from its breaker through the disconnect to the elements, one conductor below the other.

Symbols: a circuit-breaker as an arc over a gap (IEEE 315) or a contact with a cross (IEC 60617), a disconnect as an
open contact, a residual-current device as a ring about the conductors it sums, an element as a rectangle.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from markupsafe import Markup

from generator.model.content.drawing_words import DrawingWord
from generator.model.content.words import Style
from generator.model.documents.drawings import DrawnWire, Role, WiringDrawing
from generator.render.drawing.canvas import Canvas, KeyEntry, Place, one_line
from generator.render.drawing.speech import Speech

FIRST, APART, FOOT = 36.0, 33.0, 20.0  # heights of the first wire, between two, and below the last [px]
PANEL, DISCONNECT, HEATER = (1.0, 78.0), (148.0, 200.0), (214.0, 357.0)
BREAKER, RING, SWITCH, TERMINAL = (18.0, 44.0), 62.0, (162.0, 187.0), 226.0
ELEMENTS, EACH = 289.0, 4  # where elements begin, and up to how many stand one by one
MARKS: dict[Role, str] = {"line": "L", "line 1": "L1", "line 2": "L2", "line 3": "L3", "neutral": "N"}
# Colours that are drawn as they are; any other is drawn in the ink of the page, and named like all.
COLOURS = ("black", "red", "blue", "white", "brown", "grey", "gray", "orange", "green", "green and yellow")


def wiring(record: WiringDrawing, style: Style) -> Markup:
    """Return the drawing of a feed."""
    say, rows = Speech(style), {wire.role: FIRST + APART * place for place, wire in enumerate(record.wires)}
    bottom = FIRST + APART * (len(rows) - 1) + FOOT
    sheet = Canvas(bottom + 4.0)
    _boxes(sheet, record, bottom, say=say)
    for wire in record.wires:
        _wire(sheet, record, wire, y=rows[wire.role], say=say)
    _poles(sheet, record, rows)
    groups = _groups(record)
    for place, (across, stages) in enumerate(groups):
        x = ELEMENTS + (place + 0.5) * (HEATER[1] - 4.0 - ELEMENTS) / len(groups)
        _element(sheet, [rows[role] for role in across], ",".join(map(str, stages)), x=x)
    sheet.key(_key(record, groups, say))
    return sheet.svg(*wiring_words(record, style), "wiring")


def wiring_words(record: WiringDrawing, style: Style) -> tuple[str, str]:
    """Return what the drawing of a feed is called, and what it tells in words."""
    say = Speech(style)
    return _named(record, "wiring-title", say), " ".join(_words(record, say))


def mark(role: Role, american: bool) -> str:
    """Return what a terminal is marked."""
    return MARKS.get(role) or ("GND" if american else "PE")


def _named(record: WiringDrawing, entry: DrawingWord, say: Speech) -> str:
    text = say.word(entry)
    return f"{text}, {record.feed}" if record.feed else text


def _boxes(sheet: Canvas, record: WiringDrawing, bottom: float, *, say: Speech) -> None:
    for (left, right), dashed in ((PANEL, False), (DISCONNECT, record.disconnect == "none"), (HEATER, False)):
        sheet.rect("box dashed" if dashed else "box", left, 17.0, width=right - left, height=bottom - 17.0)
    sheet.label(_named(record, "panel", say), [Place(1.0, 12.5)], bold=True)
    sheet.label(_named(record, "heater", say), [Place(357.0, 12.5, "end")], bold=True)
    middle = 0.5 * sum(DISCONNECT)
    sheet.label(say.word("disconnect"), [Place(middle, 12.0, "middle"), Place(148.0, 12.5)], bold=True)


def _wire(sheet: Canvas, record: WiringDrawing, wire: DrawnWire, *, y: float, say: Speech) -> None:
    spans = [(10.0, TERMINAL)]
    if wire.switched:
        spans = [(8.0, BREAKER[0]), (BREAKER[1], SWITCH[0]), (SWITCH[1], TERMINAL)]
    d = "".join(f"M{start:g} {y:g}H{end:g}" for start, end in spans)
    colour = wire.colour.replace(" ", "-") if wire.colour in COLOURS else "other"
    sheet.path("halo", d)
    sheet.path(f"w {colour}", d)
    if not wire.switched:
        sheet.rect("bar", 8.0, y - 5.0, width=6.0, height=10.0)
    sheet.circle("term", TERMINAL, y, radius=5.0)
    sheet.label(one_line(say.show(wire.size), 68.0), [Place(82.0, y - 4.0)])
    sheet.label(one_line(_short(wire.colour, say), 68.0) if wire.colour else "", [Place(82.0, y + 13.0)])
    sheet.label(mark(wire.role, record.american), [Place(235.0, y - 4.0)], bold=True)
    if wire.lead_colour:
        sheet.label(one_line(_short(wire.lead_colour, say), 120.0), [Place(235.0, y + 13.0)])


def _short(colour: str, say: Speech) -> str:
    return say.word("green-and-yellow") if colour == "green and yellow" else colour


def _poles(sheet: Canvas, record: WiringDrawing, rows: dict[Role, float]) -> None:
    """Draw breaker and disconnect in each conductor they open, what ties their poles, and the ring that sums them."""
    switched = [rows[wire.role] for wire in record.wires if wire.switched]
    start, end = BREAKER
    for y in switched:
        if record.american:
            sheet.path("sw", f"M{start:g} {y:g}A14 11 0 0 1 {end:g} {y:g}")
        else:
            sheet.path("sw", f"M{start:g} {y:g}L{end - 2:g} {y - 10:g}M{end - 3:g} {y - 3:g}l6 6m0 -6l-6 6")
        sheet.path("sw", f"M{SWITCH[0]:g} {y:g}L{SWITCH[1] - 2:g} {y - 11:g}")
    if len(switched) > 1:
        x, up = 0.5 * (start + end), 9.0 if record.american else 5.0
        at = f"M{x:g} {switched[0] - up:g}V{switched[-1] - up:g}"
        sheet.path("tie", f"{at}M{SWITCH[0] + 12:g} {switched[0] - 5:g}V{switched[-1] - 5:g}")
    summed = [rows[wire.role] for wire in record.wires if wire.role != "ground"]
    if record.guard != "none" and summed:
        tall = 0.5 * (summed[-1] - summed[0]) + 9.0
        kind = "sw" if record.guard == "stated" else "sw dashed"
        sheet.path(kind, f"M{RING - 6:g} {summed[0] - 9 + tall:g}a6 {tall:g} 0 1 1 12 0a6 {tall:g} 0 1 1 -12 0z")


def _groups(record: WiringDrawing) -> list[tuple[tuple[Role, ...], tuple[int, ...]]]:
    """Return what is drawn as one element: each stage's own, or where they are many all that stand alike."""
    if len(record.elements) <= EACH:
        return [(one.across, (one.stage,)) for one in record.elements]
    ways = dict.fromkeys(one.across for one in record.elements)
    return [(way, tuple(one.stage for one in record.elements if one.across == way)) for way in ways]


def _element(sheet: Canvas, ends: Sequence[float], stages: str, *, x: float) -> None:
    """Draw an element across two conductors, or three with its tap on the one between, its stages in it."""
    top, bottom = min(ends), max(ends)
    middle = top + 0.5 * APART  # between the first two rows: on none of a conductor that it only crosses
    one = stages if "," not in stages else "…"
    sheet.path("lead", f"M{TERMINAL + 5:g} {top:g}H{x:g}V{bottom:g}H{TERMINAL + 5:g}")
    for between in (end for end in ends if top < end < bottom):  # of three lines
        sheet.path("lead", f"M{TERMINAL + 5:g} {between:g}H{x:g}")
        sheet.circle("node", x, between, radius=2.5)
    sheet.rect("element", x - 7.5, middle - 8.5, width=15.0, height=17.0)
    sheet.label(one, [Place(x, middle + 4.5, "middle")], bold=len(one) == 1)


def _key(record: WiringDrawing, groups: list[tuple[tuple[Role, ...], tuple[int, ...]]], say: Speech) -> list[KeyEntry]:
    texts = [_device(record, say), *_place(record, say), _torque(record, say), *_guard(record, say)]
    if record.disconnect != "in sight":
        texts.append(say.word("disconnect-lockable" if record.disconnect == "lockable" else "disconnect-none"))
    if len(record.elements) > EACH:
        texts += [_across(record, across, stages, say=say) for across, stages in groups]
    return [KeyEntry("", "", text, bold=place == 0) for place, text in enumerate(texts)]


def _device(record: WiringDrawing, say: Speech) -> str:
    entries: dict[str, DrawingWord] = {
        "new": "breaker",
        "nameplate": "breaker",
        "as found": "breaker-as-found",
        "to install": "breaker-to-install",
    }
    return say.word(entries[record.state], device=say.show(record.device), poles=say.show(record.poles))


def _place(record: WiringDrawing, say: Speech) -> Iterator[str]:
    """Yield where the breaker is found, where that is on file."""
    if record.panel and record.breaker:
        yield say.word("breaker-place", panel=record.panel, number=record.breaker)
    elif record.breaker:
        yield say.word("breaker-number", number=record.breaker)


def _torque(record: WiringDrawing, say: Speech) -> str:
    both = Speech(replace(say.style, units="us")).show(record.torque)
    si = Speech(replace(say.style, units="si")).show(record.torque)
    return say.word("terminals", torque=f"{both} ({si})")


def _guard(record: WiringDrawing, say: Speech) -> Iterator[str]:
    entries: dict[tuple[str, bool], DrawingWord] = {
        ("stated", False): "rcd",
        ("stated", True): "rcd",
        ("too large", False): "rcd-too-large",
        ("to fit", True): "gfci-to-fit",
        ("to fit", False): "rcd-to-fit",
        ("ask", True): "gfci-ask",
        ("ask", False): "rcd-ask",
    }
    if record.guard != "none":
        text = say.style.words.drawings[entries[record.guard, record.american]]
        yield text.format(rating=record.guard_rating) if record.guard in ("stated", "too large") else text


def _across(record: WiringDrawing, across: tuple[Role, ...], stages: tuple[int, ...], *, say: Speech) -> str:
    ends = "–".join(mark(role, record.american) for role in across)
    return say.word("elements-across", ends=ends, stages=", ".join(map(str, stages)))


def _words(record: WiringDrawing, say: Speech) -> Iterator[str]:
    yield f"{_device(record, say)}."
    yield from (f"{text}." for text in _place(record, say))
    for wire in record.wires:
        yield say.word(
            "wire-words",
            mark=mark(wire.role, record.american),
            size=say.show(wire.size),
            colour=_colours(wire),
        )
    yield from (f"{_across(record, one.across, (one.stage,), say=say)}." for one in record.elements)
    yield f"{_torque(record, say)}."
    yield from (f"{text}." for text in _guard(record, say))


def _colours(wire: DrawnWire) -> str:
    return ", ".join(dict.fromkeys(one for one in (wire.colour, wire.lead_colour) if one))
