"""One YAML file to one typed input, with its places and its faults."""

from __future__ import annotations

import os
import stat
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any, Generic

from generator.errors import FILE_KEY, Fault, InputFaults, dotted
from generator.model.inputs import FilePlace
from generator.read.yaml.validate import Model, validate
from generator.read.yaml.yaml_marks import Document, Path, parse

MOST_BYTES = 2_000_000  # a model or a site takes about 4 kB, the longest table 20 kB


@dataclass(frozen=True, slots=True)
class YamlFile(Generic[Model]):
    """What was read of a file: `value` is None when it has faults, `document` when it is not YAML at all."""

    name: str
    stem: str
    value: Model | None
    document: Document | None
    faults: tuple[Fault, ...]

    def fault(self, path: Path, wrong: str, expected: str) -> Fault:
        """Return a fault at a key path of this file."""
        line, column = self.document.spot(path) if self.document else (1, 1)
        return Fault(self.name, line, column, dotted(path), wrong, expected)

    def text(self, path: Path) -> str:
        """Return the text that stands at a key path of this file; empty where none does."""
        return self.document.texts.get(path, "") if self.document else ""

    def places(self, kind: str, subject: str) -> dict[Path, FilePlace]:
        """Return the place of every value, by (kind, subject, *key path)."""
        return {(kind, subject, *path): self.place(path) for path in self.paths}

    @property
    def paths(self) -> Collection[Path]:
        """The key path of every value."""
        return self.document.values.keys() if self.document else ()

    def place(self, path: Path) -> FilePlace:
        """Return the place of a value; KeyError where none stands at this key path."""
        if path not in self.paths or self.document is None:
            raise KeyError(path)
        return FilePlace(self.name, *self.document.spot(path), self.text(path))


class Places(Mapping[Path, FilePlace]):
    """The place of every value in many files, by (kind, their stem, *key path), made when it is asked for.

    Ten thousand sites have half a million places, of which a run asks for a few.
    """

    def __init__(self, kind: str, files: Iterable[YamlFile[Any]]) -> None:
        self._kind, self._files = kind, {file.stem: file for file in files}

    def __getitem__(self, path: Path) -> FilePlace:
        kind, stem, *rest = path
        if kind != self._kind:
            raise KeyError(path)
        return self._files[str(stem)].place(tuple(rest))

    def __iter__(self) -> Iterator[Path]:
        return ((self._kind, stem, *path) for stem, file in self._files.items() for path in file.paths)

    def __len__(self) -> int:
        return sum(len(file.paths) for file in self._files.values())


def load_yaml_file(file: FilePath, model: type[Model], name: str) -> YamlFile[Model]:
    """Read and validate a file; never raises for what is in it. `name` is the name shown in faults."""
    content = content_of(file, name)
    if isinstance(content, Fault):
        return YamlFile(name, file.stem, None, None, (content,))
    document, faults = parse(content, name)
    value = None
    if document:
        value, more = validate(document, model, name)
        refused = {(fault.line, fault.column) for fault in faults}
        faults += [fault for fault in more if (fault.line, fault.column) not in refused]
    return YamlFile(name, file.stem, None if faults else value, document, tuple(faults))


def read_yaml_file(file: FilePath, model: type[Model], name: str) -> Model:
    """Return a file as a `model`; InputFaults, with all its faults, otherwise. `name` is the name shown in faults."""
    loaded = load_yaml_file(file, model, name)
    if loaded.value is None:
        raise InputFaults(loaded.faults)
    return loaded.value


def content_of(file: FilePath, name: str, most_bytes: int = MOST_BYTES) -> bytes | Fault:
    """Return what stands in a plain file of the project, or why it is not read: a pipe would keep a reader waiting."""

    def refused(wrong: str, expected: str) -> Fault:
        return Fault(name, 1, 1, FILE_KEY, wrong, expected)

    try:
        found = file.stat()
        if not stat.S_ISREG(found.st_mode):
            return refused("this is no plain file", "a file of text, no folder, pipe or device")
        root = file.parents[name.count("/")]  # a folder that is a link was linked for all to see: its files are read
        if file.is_symlink() and not file.resolve().is_relative_to(root.resolve()):
            return refused("this is a link that leads out of the project", "a file of the project's own")
        if found.st_size > most_bytes:
            wrong = f"this file has {found.st_size} bytes"
            return refused(wrong, f"at most {most_bytes}; part it, or take out what is not for the handbook")
        with file.open("rb") as opened:
            return opened.read(most_bytes)
    except (OSError, RuntimeError) as error:  # RuntimeError: a link that leads to itself
        why = os.strerror(error.errno) if isinstance(error, OSError) and error.errno else "a link leads to itself"
        return refused(f"this cannot be read: {why}", "a file that may be read")
