"""Whether the figures that a record proved still stand as it proved them.

As with decisions (`verdict.decisions`), what counts is whether a figure grew worse, not whether a word of a card
changed. A size, or a rating set by hand, has no better side: any other one is another circuit than was tested.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from generator.compute.verdict.decisions import ROUNDING, SAME, Worse
from generator.model.figures import Figure
from generator.model.readings import Proved, Record
from generator.model.records import Lapsed, ProofLapse
from generator.model.results import SiteResult

# By the end of a figure's id: on which side it is worse; None: any other value is another thing than was proved.
WORSE: Mapping[str, Worse | None] = {
    r"hottest\.\d+": "above",
    r"limit": "below",
    r"supply\.greatest": "above",
    r"water\.inlet\.hottest": "above",
    r"stage\.\d+\.power": "above",
    r"circuit\.[a-z]\.expected": "above",
    r"circuit\.[a-z]\.device": None,
    r"circuit\.[a-z]\.conductor": None,
    r"torque": None,
}


def provable(result: SiteResult) -> Iterator[tuple[str, Figure]]:
    """Yield the figures that a record may prove, by their id without `site.<id>.`."""
    prefix = f"site.{result.id}."
    circuits = (figure for one in result.circuits for figure in (one.device, one.conductor, one.expected_current))
    figures = (
        *result.hottest_by_stage,
        result.limit,
        result.water.inlet.hottest if result.water else None,
        *result.supply_range[1:],
        *(stage.power for stage in result.stages),
        *circuits,
        result.torque,
    )
    for figure in figures:
        if figure is not None:
            yield figure.id.removeprefix(prefix), figure


def lapses(record: Record, result: SiteResult) -> tuple[Lapsed, ...]:
    """Return the figures that the record proved and that are worse, another, or gone now."""
    now = dict(provable(result))
    found = ((name, lapse(name, proved, now.get(name))) for name, proved in record.reading.proves.items())
    return tuple(Lapsed(name, why) for name, why in found if why)


def lapse(name: str, proved: Proved, now: Figure | None) -> ProofLapse | None:
    """Return why a figure no longer stands as it was proved, None where it does.

    A figure that is printed to the nearest may have been copied half a step off.

    >>> from generator.model.figures import Value
    >>> then = Proved("120 degF", Value("at", 322.0, "temperature"))
    >>> lapse("hottest.4", then, Figure("hottest", "Hottest", 321.0, "temperature", "at_least"))
    >>> lapse("hottest.4", then, Figure("hottest", "Hottest", 323.0, "temperature", "at_least"))
    'worse'
    """
    if now is None or now.value is None or now.state != "ok":
        return "another"
    if now.kind == "text" or proved.value is None:
        return None if str(now.value) == proved.text else "another"
    if proved.value.kind != now.kind:
        return "another"
    side = next((side for pattern, side in WORSE.items() if re.fullmatch(pattern, name)), None)
    then, value = float(proved.value.value), float(now.value)
    slack = ROUNDING.get(now.kind, 0.0) / 2.0 if now.side == "nearest" else 0.0
    slack += SAME * abs(value)
    if side is None:
        return "another" if abs(value - then) > max(slack, COPIED * abs(value)) else None
    beyond = value - then if side == "above" else then - value
    return "worse" if beyond > slack else None


# A figure without a worse side, copied as it was printed, lies within a hundredth of itself.
COPIED = 0.01
