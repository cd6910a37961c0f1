"""What the keys of the YAML files mean, from content/keys.yaml."""

from __future__ import annotations

from pathlib import Path

from generator.model.content.key_words import KeyWords
from generator.read.yaml.yaml_file import read_yaml_file

FILE = "keys.yaml"


def read_key_words(content: Path) -> KeyWords:
    """Return the words of the keys. InputFaults with all the file's faults."""
    return read_yaml_file(content / FILE, KeyWords, f"{content.name}/{FILE}")
