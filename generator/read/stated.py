"""The values that the text states and nothing computes, from content/stated.yaml."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from generator.model.stated import Stated, StatedFile
from generator.read.yaml_file import read_yaml_file


def read_stated(file: Path) -> Mapping[str, Stated]:
    """Return the stated values by id. InputFaults with all the file's faults."""
    return {stated.id: stated for stated in read_yaml_file(file, StatedFile, file.name).values}
