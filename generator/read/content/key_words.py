"""What the keys of the YAML files mean, from content/keys.yaml."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pydantic import RootModel

from generator.model.scalars import Strict, Text
from generator.read.yaml.yaml_file import read_yaml_file

FILE = "keys.yaml"


class KeyWord(Strict):
    """What a key means, and an example of it as it is written; None: what it holds makes the example."""

    says: Text
    example: Any = None


class KeyWords(RootModel[dict[str, dict[str, KeyWord]]]):
    """The words by the name of a type of `model/` and the key."""

    def of(self, lineage: tuple[str, ...], key: str) -> KeyWord | None:
        """Return the word of a key of a type by the names of that type and those that it grows from, nearest first."""
        return next((self.root[name][key] for name in lineage if key in self.root.get(name, {})), None)


def read_key_words(content: Path) -> KeyWords:
    """Return the words of the keys. InputFaults with all the file's faults."""
    return read_yaml_file(content / FILE, KeyWords, f"{content.name}/{FILE}")
