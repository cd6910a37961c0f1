"""The words of content/words, and over them, entry by entry, those of another language in content/<language>/words."""

from __future__ import annotations

from collections.abc import Iterator
from copy import copy
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import create_model

from generator.errors import FILE_KEY, Fault, InputFaults
from generator.model.content.print.print_words import ON_EVERY_SHEET
from generator.model.content.words import FILES, Words
from generator.model.scalars import Strict
from generator.read.content.overlay import is_reviewed
from generator.read.yaml.fault_words import listed
from generator.read.yaml.folder import yaml_files
from generator.read.yaml.yaml_file import load_yaml_file

FOLDER = "words"


def read_words(content: Path, language: str = "en") -> Words:
    """Return the words under `content`. InputFaults, with places, for entries that are missing, misspelt or not used.

    Where there is a folder content/<language>/words its entries stand for the English ones, and the English ones for
    those that it lacks.
    """
    root, folders = content.parent, (content / FOLDER, content / language / FOLDER)
    faults = [fault for folder in folders for fault in _unread(folder, root)]
    read: dict[str, Any] = {}
    for kind, model in FILES.items():
        paths = [folder / f"{kind}.yaml" for folder in folders]
        entries: Strict | None = None
        for path in paths[: 1 + paths[1].exists()]:
            own = _standing_in(entries) if entries else model
            found = load_yaml_file(path, own, path.relative_to(root).as_posix())
            faults += found.faults
            if found.value is None:
                break
            entries = found.value
            read[kind] = entries.model_dump(by_alias=True)
    if faults:
        raise InputFaults(faults)
    words = Words(**read)
    return words if is_reviewed(content, language) else _marked(words, read_words(content))


def _marked(words: Words, english: Words) -> Words:
    """Return words of print that say on every sheet, in both languages, that nobody has reviewed them."""
    said = " ".join(dict.fromkeys(one.pages["unreviewed-sheet"] for one in (words, english)))
    texts = {template: dict(own) for template, own in words.print.items()}
    for template, id_ in ON_EVERY_SHEET:
        texts[template][id_] = f"*{said}* {texts[template][id_]}"
    return replace(words, print=texts)


def _standing_in(entries: Strict) -> type[Strict]:
    """Return the type of a file in which these entries stand for those that it lacks."""
    fields: dict[str, Any] = {}
    for name, field in type(entries).model_fields.items():
        value, kind = getattr(entries, name), field.annotation
        if isinstance(value, Strict):
            kind = _standing_in(value)
            value = kind()
        fields[name] = (kind, copy(field))
        fields[name][1].default = value
    return create_model(type(entries).__name__, __base__=type(entries), **fields)


def _unread(folder: Path, root: Path) -> Iterator[Fault]:
    """Yield a fault for every file of words that nothing reads."""
    paths, faults = yaml_files(folder, root) if folder.is_dir() else ([], [])
    yield from faults
    for path in paths:
        if path.stem not in FILES:
            name = path.relative_to(root).as_posix()
            yield Fault(
                name, 1, 1, FILE_KEY, "no words are read from this file", f"one of {listed(FILES)}, or remove it"
            )
