"""A new file of readings to fill in: every key of a visit, with what is expected there as a comment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.compute.verdict.proof import provable
from generator.model.content.words import RecordWord, Style
from generator.model.records import Expected
from generator.model.results import SiteResult
from generator.render.format import NBSP, show, written

HEAD = "# yaml-language-server: $schema=../../schema/reading.schema.json"
PARTS = ("water", "circuit", "measurement")
INSTRUMENTS = ("thermometer", "flow_meter", "voltmeter", "clamp", "gauge", "tester", "torque_tool")
# By item of the record, the key of a circuit's test.
TESTS = {
    "device": "device",
    "ground-continuity": "ground_continuity",
    "polarity": "polarity",
    "phase-sequence": "phase_sequence",
    "torque": "torque",
    "loop": "loop",
    "no-flow": "no_flow",
}
TRIPS = {
    "residual-current-kind": "kind",
    "residual-current-rated": "rated",
    "residual-current": "trips",
    "residual-current-5": "trips_at_5",
    "residual-current-button": "button",
}
VALVES = {
    "valve-standard": "standard",
    "valve-setting": "setting",
    "valve-least-flow": "least_flow",
    "valve-full-flow": "full_flow",
    "valve-shuts-off": "shuts_off",
}
Rows = Sequence[Expected]


def reading_text(result: SiteResult, site: str, heater: str, *, card: str, style: Style) -> str:
    """Return the text of a file to fill in, for a site and a heater of these titles, and the code of its card."""
    rows = result.expected
    lines = (
        HEAD,
        f"# {_word('head', style, site=site, heater=heater)}",
        "kind: commissioning",
        f"card: {card}  # {_word('card', style)}",
        "serial:",
        "people:",
        *(f"  - {{part: {part}, role: , licence: }}" for part in PARTS),
        "instruments:",
        *(f"  {name}: {{kind: , serial: , calibrated_until: , within: }}" for name in INSTRUMENTS),
        *_water(rows, style),
        "circuits:",
        *_circuits(rows, style),
        "volts_at: heater",
        "points:",
        *_points(rows, style),
        *_switching(rows, style),
        *_hottest(rows, style),
        *_valves(rows, style),
        "handed_over:",
        *(f"  {key}:  # {_word('is-yes', style)}" for key in ("users_shown", "card_fixed", "labels_fixed")),
        f"result:  # {_word('result', style)}",
        f"next_check:  # {_word('day', style)}",
        *_proves(result, style),
    )
    return "\n".join(lines).replace(NBSP, " ") + "\n"


def _word(name: RecordWord, style: Style, **values: str) -> str:
    return style.words.record[name].format(**values)


def limits_words(row: Expected, style: Style) -> str:
    """Return between what a field of the record passes, as a reader sees it."""
    if row.value is not None and row.value.symbol == "yes":
        return _word("is-yes", style)
    if row.value is not None and row.value.kind == "text":
        return show(row.value, style)
    least, greatest = (show(end, style) if end else "" for end in (row.least, row.greatest))
    if least and greatest:
        unit = greatest.partition(NBSP)[2]
        return (
            least
            if least == greatest
            else _word("between", style, least=least.removesuffix(f"{NBSP}{unit}"), greatest=greatest)
        )
    if row.greatest and row.greatest.value == 0.0:
        return greatest
    return _word("at-least", style, least=least) if least else _word("at-most", style, greatest=greatest)


def expected_words(row: Expected, style: Style) -> str:
    """Return what a field is expected to hold, and between what it passes where that is something else."""
    limits = limits_words(row, style) if row.least or row.greatest else ""
    value = show(row.value, style) if row.value and row.value.symbol != "yes" else ""
    if not value or not limits:
        return value or limits
    return limits if limits == value else _word("expected", style, value=value, limits=limits)


def _line(key: str, row: Expected, style: Style) -> str:
    return f"{key}:  # {limits_words(row, style)}"


def _of(rows: Rows, item: str) -> Iterator[Expected]:
    return (row for row in rows if row.item == item)


def _water(rows: Rows, style: Style) -> Iterator[str]:
    yield "purge:"
    yield from (f"  {_line('after_last_air', row, style)}" for row in _of(rows, "purge"))
    yield "leak:"
    for row, most in zip(_of(rows, "leak"), _of(rows, "leak-pressure"), strict=True):
        about = _word("expected", style, value=show(row.at[0], style), limits=limits_words(most, style))
        yield f"  pressure:  # {about}"
        yield f"  {_line('time', row, style)}"
    yield from (f"  {_line('drop', row, style)}" for row in _of(rows, "leak-drop"))
    flowing = list(_of(rows, "flowing-pressure"))
    if flowing:
        yield "pressure:"
        yield from (f"  static:  # {expected_words(row, style)}" for row in _of(rows, "static-pressure"))
        yield from (f"  {_line('flowing', row, style)}" for row in flowing)
        yield from (f"  flow:  # {_at(row, style)}" for row in flowing)


def _circuits(rows: Rows, style: Style) -> Iterator[str]:
    for feed in dict.fromkeys(row.named("feed") for row in _of(rows, "device")):
        own = [row for row in rows if row.named("feed") == feed]
        yield f"  - feed: {feed}"
        for row in own:
            if row.item == "interrupting":
                yield f"    interrupting:  # {_word('interrupting', style)}"
                yield "    fault_current:"
            elif row.item in TESTS:
                yield f"    {_line(TESTS[row.item], row, style)}"
            if row.item == "insulation":
                yield f"    insulation: {{volts: {show(row.at[0], style)}, least: }}  # {limits_words(row, style)}"
        yield from _full_load(own, style)
        trips = [row for row in own if row.item in TRIPS]
        if any(row.asked for row in trips):
            yield "    residual_current:"
            yield from (f"      {_line(TRIPS[row.item], row, style)}" for row in trips)


def _full_load(own: Rows, style: Style) -> Iterator[str]:
    """Yield the volts of a feed at no load and at full load, with what each pair is expected to fall by."""
    falls = list(_of(own, "volts-full-load"))
    if not falls:
        return
    blanks = ", ".join(f"{row.named('pair')}: " for row in falls)
    alike = dict.fromkeys(expected_words(row, style) for row in falls)
    yield "    volts:"
    yield f"      no_load: {{{blanks}}}"
    yield f"      full_load: {{{blanks}}}  # {_word('lower-by', style, fall=', '.join(alike))}"


def _points(rows: Rows, style: Style) -> Iterator[str]:
    """Yield a point for each number of stages in use, with what each instrument is to read there."""
    volts = list(_of(rows, "volts"))
    for stage in dict.fromkeys(row.named("stage") for row in _of(rows, "amps")):
        amps = [row for row in _of(rows, "amps") if row.named("stage") == stage]
        yield f"  - stages: {float(stage):.0f}"
        yield f"    flow:  # {_word('flow', style)}"
        yield "    inlet:"
        rises = [row for row in _of(rows, "rise") if row.named("stage") == stage]
        yield from (f"    outlet:  # {_rise(row, style)}" for row in rises) if rises else ["    outlet:"]
        yield "    volts:"
        yield from (f"      {_line(row.named('pair'), row, style)}" for row in volts)
        yield "    amps:"
        for feed in dict.fromkeys(row.named("feed") for row in amps):
            yield f"      {feed}:"
            yield from (f"        {_line(row.named('line'), row, style)}" for row in amps if row.named("feed") == feed)


def _rise(row: Expected, style: Style) -> str:
    limits = _word("over-inlet", style, limits=limits_words(row, style))
    return _word("holds-at", style, limits=limits, at=_at(row, style))


def _at(row: Expected, style: Style) -> str:
    return ", ".join(show(value, style) for value in row.at)


def _switching(rows: Rows, style: Style) -> Iterator[str]:
    yield "switching:"
    drops = {row.named("stage"): row for row in _of(rows, "drops-out")}
    for row in _of(rows, "turns-on"):
        yield f"  - stage: {float(row.named('stage')):.0f}"
        yield f"    {_line('turns_on', row, style)}"
        yield f"    {_line('drops_out', drops[row.named('stage')], style)}"


def _hottest(rows: Rows, style: Style) -> Iterator[str]:
    for row in _of(rows, "hottest"):
        yield "hottest:"
        yield from (f"  {key}:" for key in ("stages", "inlet"))
        yield f"  outlet:  # {_word('holds-at', style, limits=limits_words(row, style), at=_at(row, style))}"
        yield from (f"  {key}:" for key in ("volts", "flow"))


def _valves(rows: Rows, style: Style) -> Iterator[str]:
    fixtures = dict.fromkeys(row.named("fixture") for row in _of(rows, "valve-setting"))
    if fixtures:
        yield "valves:"
    for fixture in fixtures:
        yield f'  - fixture: "{fixture}"'
        yield "    type:"
        own = (row for row in rows if row.item in VALVES and row.named("fixture") == fixture)
        yield from (f"    {_line(VALVES[row.item], row, style)}" for row in own)


def _proves(result: SiteResult, style: Style) -> Iterator[str]:
    """Yield the figures that a visit may prove, with the values they have, in the first of the handbook's units."""
    yield f"proves:  # {_word('proves', style)}"
    yield from (f"  {name}: {written(figure, style)}" for name, figure in provable(result))
