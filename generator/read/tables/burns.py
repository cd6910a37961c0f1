"""The file burns.yaml, each of its tables held to its law."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from generator.errors import Fault
from generator.model.tables.burns import Burns
from generator.read.tables.table_laws import breaches
from generator.read.yaml.yaml_file import YamlFile, load_yaml_file

NAME = "burns.yaml"


def read_burns(folder: Path, root: Path) -> YamlFile[Burns]:
    """Return the file in a folder; never raises for what is in it. Its name is shown relative to `root`."""
    file = load_yaml_file(folder / NAME, Burns, (folder / NAME).relative_to(root).as_posix())
    faults = tuple(_lawless(file))
    return replace(file, value=None, faults=faults) if faults else file


def _lawless(file: YamlFile[Burns]) -> Iterator[Fault]:
    for place, table in enumerate(file.value.tables if file.value else ()):
        for breach in breaches(table, ()):
            yield file.fault(("tables", place, *breach.path), breach.wrong, breach.expected)
