"""One YAML file to one typed input, with its places and its faults."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Generic

from generator.errors import FILE_KEY, Fault, InputFaults, dotted
from generator.model.inputs import Place
from generator.read.validate import Model, validate
from generator.read.yaml_marks import Document, Path, parse


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

    def places(self, kind: str, subject: str) -> dict[Path, Place]:
        """Return the place of every value, by (kind, subject, *key path)."""
        if not self.document:
            return {}
        spot, texts = self.document.spot, self.document.texts
        return {
            (kind, subject, *path): Place(self.name, *spot(path), texts.get(path, "")) for path in self.document.values
        }


def load_yaml_file(file: FilePath, model: type[Model], name: str) -> YamlFile[Model]:
    """Read and validate a file; never raises for what is in it. `name` is the name shown in faults."""
    try:
        content = file.read_bytes()
    except OSError as error:
        fault = Fault(name, 1, 1, FILE_KEY, f"this cannot be read: {error.strerror}", "a file that may be read")
        return YamlFile(name, file.stem, None, None, (fault,))
    document, faults = parse(content, name)
    value = None
    if document:
        value, more = validate(document, model, name)
        told = {(fault.line, fault.column) for fault in faults}
        faults += [fault for fault in more if (fault.line, fault.column) not in told]
    return YamlFile(name, file.stem, None if faults else value, document, tuple(faults))


def read_yaml_file(file: FilePath, model: type[Model], name: str) -> Model:
    """Return a file as a `model`; InputFaults, with all its faults, otherwise. `name` is the name shown in faults."""
    loaded = load_yaml_file(file, model, name)
    if loaded.value is None:
        raise InputFaults(loaded.faults)
    return loaded.value
