"""The values that the text states, from content/stated.yaml."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from generator.errors import InputFaults
from generator.model.content.stated import Stated, StatedFile
from generator.model.settings import ENGLISH
from generator.read.content.overlay import load_in_language


def read_stated(content: Path, language: str = ENGLISH) -> Mapping[str, Stated]:
    """Return the stated values by id, in the words of a language where it has them. InputFaults with all faults."""
    file = load_in_language(content, "stated.yaml", StatedFile, language=language)
    if file.value is None:
        raise InputFaults(file.faults)
    return {stated.id: stated for stated in file.value.values}
