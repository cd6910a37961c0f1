"""What the search takes for the same, from content/search.yaml."""

from __future__ import annotations

from pathlib import Path

from generator.model.content.search_words import SearchWords
from generator.read.yaml.yaml_file import read_yaml_file


def read_search_words(file: Path) -> SearchWords:
    """Return the words of the search. InputFaults with all the file's faults."""
    return read_yaml_file(file, SearchWords, file.name)
