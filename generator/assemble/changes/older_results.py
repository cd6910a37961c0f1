"""What a results file of an earlier program does not hold as a figure, and its inputs tell all the same.

The torque of the supply terminals is a figure since it is a quantity. It is what stands in the model's file, word for
word, so that an older file's inputs tell it: a terminal that is to be tightened again must not pass for unchanged.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from pydantic_core import PydanticCustomError

from generator.assemble.reader_texts import ROOT as TEXTS
from generator.assemble.results_json import unit_of
from generator.model.documents.results_file import StoredFigure, StoredResults
from generator.model.quantity import TORQUE

_KEY = "electrical.terminals.torque"


def with_torques(results: StoredResults, label: str) -> StoredResults:
    """Return results with the torque of every model and site, called `label`, as far as the inputs name one."""
    return replace(results, figures={**dict(_torques(results.inputs, label)), **results.figures})


def _torques(inputs: Mapping[str, Mapping[str, str]], label: str) -> Iterator[tuple[str, StoredFigure]]:
    by_model = {
        values["id"]: figure
        for file, values in inputs.items()
        if "/models/" in file and "id" in values and (figure := _figure(values.get(_KEY, ""), label)) is not None
    }
    yield from ((f"model.{id_}.torque", figure) for id_, figure in by_model.items())
    for file, values in inputs.items():
        if "/sites/" in file and "id" in values and values.get("heater") in by_model:
            yield f"site.{values['id']}.torque", by_model[values["heater"]]


def _figure(text: str, label: str) -> StoredFigure | None:
    """Return the torque that a text states; None for what is no torque, such as the words of an older file."""
    try:
        return StoredFigure(label, TORQUE.parse(text), unit_of("torque"), "torque", "nearest", "ok", "")
    except PydanticCustomError:
        return None


def with_like_texts(one: StoredResults, other: StoredResults) -> StoredResults:
    """Return results without the texts that the field reads, where the other side was made before they were kept."""
    if any(file.startswith(TEXTS) for file in other.inputs):
        return one
    return replace(one, inputs={file: texts for file, texts in one.inputs.items() if not file.startswith(TEXTS)})
