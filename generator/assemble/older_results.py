"""What a results file of an earlier program does not hold as a figure, and its inputs tell all the same.

The torque of the supply terminals is a figure since it is a quantity. It is what stands in the model's file, word for
word, so that an older file's inputs tell it: a terminal that is to be tightened again must not pass for unchanged.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from pydantic_core import PydanticCustomError

from generator.assemble.results_json import unit_of
from generator.model.quantity import TORQUE
from generator.model.results_file import StoredFigure, StoredResults

_KEY = "electrical.terminals.torque"
_LABEL = "Tightening torque of the supply terminals"


def with_torques(results: StoredResults) -> StoredResults:
    """Return results with the torque of every model and site, as far as the inputs name one with its unit."""
    return replace(results, figures={**dict(_torques(results.inputs)), **results.figures})


def _torques(inputs: Mapping[str, Mapping[str, str]]) -> Iterator[tuple[str, StoredFigure]]:
    by_model = {
        values["id"]: figure
        for file, values in inputs.items()
        if "/models/" in file and "id" in values and (figure := _figure(values.get(_KEY, ""))) is not None
    }
    yield from ((f"model.{id_}.torque", figure) for id_, figure in by_model.items())
    for file, values in inputs.items():
        if "/sites/" in file and "id" in values and values.get("heater") in by_model:
            yield f"site.{values['id']}.torque", by_model[values["heater"]]


def _figure(text: str) -> StoredFigure | None:
    """Return the torque that a text states; None for what is no torque, such as the words of an older file."""
    try:
        return StoredFigure(_LABEL, TORQUE.parse(text), unit_of("torque"), "torque", "nearest", "ok", "")
    except PydanticCustomError:
        return None
