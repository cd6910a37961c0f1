"""How a card gets shorter when its page does not hold it: the one list of what goes, first to last.

Never dropped: circuit, flow window, hottest water, stops, notices about injury, the steps that may be taken, room for
readings where the heater may be switched on, the deferral and the place of the full page. Each function takes the texts
of a card and returns them without something.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from generator.model.words import CardWord, Words
from generator.render.typst_texts import Texts

FEW = 2


def without(key: str, kept: int) -> Callable[[Texts], Texts]:
    """Return a drop that keeps the first so many of a list."""
    return lambda texts: texts | {key: texts[key][:kept]}


def one_row_of_readings(texts: Texts) -> Texts:
    """Keep room for one set of readings."""
    return texts | {"reading_rows": min(1, texts["reading_rows"])}


def injury_only(texts: Texts) -> Texts:
    """Keep the notices about injury; those about damage go."""
    return texts | {"notices": [notice for notice in texts["notices"] if notice["signal"] != "notice"]}


def fewer_flows(texts: Texts) -> Texts:
    """Leave out the round flows of the outlet tables; those that stand for something at the site stay."""
    return _with_rows(texts, lambda row: row["stands_for"] != "round")


def switching_flows_only(texts: Texts) -> Texts:
    """Keep the flows of the outlet tables at which stages switch: between them a reading is on the safe side."""
    return _with_rows(texts, lambda row: row["stands_for"] == "switching")


def no_outlets(texts: Texts) -> Texts:
    """Leave out the outlet tables whole: one without its switching flows reads too cool."""
    return texts | {"outlets": []}


def stops_found_only(texts: Texts) -> Texts:
    """Keep what failed, not what to do; the page of the site says it."""
    return texts | {"stops": [stop | {"do": ""} for stop in texts["stops"]]}


def found_only(texts: Texts) -> Texts:
    """Keep what was found at the points to watch, not what to do; who settled one stays."""
    points = [point if point["decision"] else point | {"do": ""} for point in texts["attentions"]]
    return texts | {"attentions": points}


def first_unit(texts: Texts) -> Texts:
    """Show the tables in the first unit only."""
    outlets = [
        outlet
        | {
            "rows": [
                row | {"flow": _first(row["flow"]), "cells": [_first(cell) for cell in row["cells"]]}
                for row in outlet["rows"]
            ]
        }
        for outlet in texts["outlets"]
    ]
    return texts | {
        "outlets": outlets,
        "stages": [stage | {"window": stage["window"][:1]} for stage in texts["stages"]],
    }


def no_consequences(texts: Texts) -> Texts:
    """Keep hazard and avoidance of each notice."""
    return texts | {"notices": [notice | {"consequence": ""} for notice in texts["notices"]]}


# (subject, the name of the words for what is left out, how); of two with one subject, the later goes further.
DROPS: tuple[tuple[str, CardWord, Callable[[Texts], Texts]], ...] = (
    ("checks", "left-out-some-checks", without("checks", FEW)),
    ("readings", "left-out-a-reading", one_row_of_readings),
    ("checks", "left-out-checks", without("checks", 0)),
    ("damage", "left-out-damage", injury_only),
    ("flows", "left-out-some-flows", fewer_flows),
    ("remedies", "left-out-remedies", found_only),
    ("points", "left-out-some-points", without("attentions", FEW)),
    ("units", "left-out-units", first_unit),
    ("points", "left-out-points", without("attentions", 0)),
    ("consequences", "left-out-consequences", no_consequences),
    ("flows", "left-out-flows-between", switching_flows_only),
    ("flows", "left-out-outlets", no_outlets),
    ("stages", "left-out-stages", without("stages", 0)),
    ("stops", "left-out-stop-remedies", stops_found_only),
)


def drop_words(words: Words) -> list[str]:
    """Return what a card says of each place of DROPS that it leaves out."""
    return [words.card[word] for _, word, _ in DROPS]


def shortened(texts: Texts, drops: Iterable[int]) -> Texts:
    """Return the texts without what the given places of DROPS take away, and the words that say so.

    The texts hold the words of each place as `drops`.
    """
    words: dict[str, str] = {}
    for place in drops:
        subject, _, drop = DROPS[place]
        texts = drop(texts)
        words[subject] = texts["drops"][place]
    return texts | {"left_out": list(words.values())}


def _first(item: dict[str, Any]) -> dict[str, Any]:
    return item | {"parts": item["parts"][:1]}


def _with_rows(texts: Texts, kept: Callable[[Texts], bool]) -> Texts:
    return texts | {"outlets": [outlet | {"rows": list(filter(kept, outlet["rows"]))} for outlet in texts["outlets"]]}
