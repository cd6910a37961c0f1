"""A document to a typed input, or to located faults."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from generator.errors import Fault, dotted
from generator.read.yaml.fault_words import missing_key, nearest, unknown_key, words
from generator.read.yaml.shapes import keys_of, may_be_left_out, shape_at
from generator.read.yaml.yaml_marks import Document, Path

Model = TypeVar("Model", bound=BaseModel)


def validate(document: Document, model: type[Model], file: str) -> tuple[Model | None, list[Fault]]:
    """Return the document as a `model`, or None and what is wrong with it. `file` is the name shown in faults."""
    try:
        return model.model_validate(document.data, by_alias=True, by_name=False), []
    except ValidationError as error:
        details = [entry for entry in error.errors(include_url=False) if not _is_an_echo(entry)]
    meant = set(_meant(details, model))
    faults: dict[Path, Fault] = {}
    for entry in details:
        path, fault = _fault(entry, document, model, file=file)
        # The branches of a union each complain of the same value: the first stands for all.
        if path not in meant:
            faults.setdefault(path, fault)
    return None, list(faults.values())


def _fault(error: ErrorDetails, document: Document, model: type[BaseModel], *, file: str) -> tuple[Path, Fault]:
    path, spot = error["loc"], None
    if error["type"] == "missing":
        wrong, expected = missing_key(shape_at(model, path))
    elif error["type"] == "extra_forbidden":
        wrong, expected = unknown_key(str(path[-1]), shape_at(model, path[:-1]))
        spot = document.keys[path]
    else:
        path = _written(path, document)
        wrong, expected = words(error, shape_at(model, path))
        if error["input"] == "" and may_be_left_out(model, path):
            expected += ", or leave the key out"
        path = (*path, *error.get("ctx", {}).get("at", ()))
    line, column = spot or document.spot(path)
    return path, Fault(file, line, column, dotted(path), wrong, expected)


def _is_an_echo(error: ErrorDetails) -> bool:
    """Whether a list is called too short only because an item in it, told of already, could not be read."""
    return error["type"] == "too_short" and len(error["input"]) >= error["ctx"]["min_length"]


def _meant(details: list[ErrorDetails], model: type[BaseModel]) -> Iterator[Path]:
    """Yield the paths of missing keys that stand there misspelt: the unknown key's fault names them."""
    missing = {error["loc"] for error in details if error["type"] == "missing"}
    for error in details:
        parent = error["loc"][:-1]
        if error["type"] == "extra_forbidden":
            near = nearest(str(error["loc"][-1]), keys_of(shape_at(model, parent)))
            if near and (*parent, near) in missing:
                yield (*parent, near)


def _written(path: Path, document: Document) -> Path:
    """Return the part of an error's path that stands in the file: past it pydantic names the branches of a union."""
    while path and path not in document.values:
        path = path[:-1]
    return path
