"""What the field reads and nothing computes, as texts by id: notices, fault finding, stated values, steps of tasks.

They stand among the inputs of a run, so that `handbook changes` tells of each as it does of a value in a file.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from generator.errors import dotted
from generator.model.content.notices import Notice
from generator.model.content.stated import Stated
from generator.model.content.symptoms import SymptomBook
from generator.model.scalars import Strict

Texts = dict[str, dict[str, str]]
ROOT = "content/"  # what the names of their files begin with


def reader_texts(
    notices: Iterable[Notice],
    symptoms: SymptomBook,
    stated: Iterable[Stated],
    *,
    steps: Mapping[str, Mapping[str, str]],
) -> Texts:
    """Return the texts: {file or folder: {key: text}}; a key begins with the id of what the text is of.

    `steps`: the steps of each task by id, as its template has them, by the template's file.
    """
    groups: Mapping[str, Iterable[Any]] = {
        "notices": notices,
        "faults": symptoms.symptoms,
        "faults/_safe_states.yaml": symptoms.safe_states.values(),
        "stated.yaml": stated,
    }
    found = {f"{ROOT}{name}": dict(_of(group)) for name, group in groups.items()}
    return found | {file: {f"step.{name}": text for name, text in texts.items()} for file, texts in steps.items()}


def _of(group: Iterable[Strict]) -> Iterator[tuple[str, str]]:
    for one in group:
        entry = one.model_dump(mode="json", by_alias=True, exclude_defaults=True)
        for path, text in _leaves(entry, (entry["id"],)):
            yield dotted(path), text


def _leaves(node: Any, path: tuple[str | int, ...]) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Yield the texts of an entry by their paths; an entry of a list that has an id goes by that."""
    if isinstance(node, dict):
        for key, part in node.items():
            yield from _leaves(part, (*path, key))
    elif isinstance(node, list):
        for place, part in enumerate(node):
            name = part.get("id", place) if isinstance(part, dict) else place
            yield from _leaves(part, (*path, name))
    elif node is not None:
        yield path, str(node)
