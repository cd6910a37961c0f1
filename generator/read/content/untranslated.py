"""What a language lacks: texts and pages that the handbook says in English for want of words of its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from generator.errors import Fault
from generator.read.content.overlay import WORDS
from generator.read.yaml.yaml_file import content_of
from generator.read.yaml.yaml_marks import parse

# The folders of words, and whether every text in their files is words; else those of the keys that are.
_FOLDERS = {"words": True, "findings": True, "notices": False, "faults": False}
_FILES = ("stated.yaml", "print/card_form.yaml", "print/record_form.yaml")
# Keys of a finding's words that hold codes.
_CODES = {"rule", "when", "unless", "say", "choices"}


@dataclass(frozen=True, slots=True)
class Untranslated:
    """How many texts of a file of words, or whether a page, stands in English; `path` is below content/."""

    path: str
    texts: int

    @property
    def is_page(self) -> bool:
        """Whether it is the template of a page, which stands whole for the English one."""
        return self.path.startswith("pages/")


def untranslated(content: Path, language: str) -> tuple[Untranslated, ...]:
    """Return what of the English words and pages the folder content/<language>/ has none for, in order of path."""
    paths = [path for folder in _FOLDERS for path in sorted((content / folder).rglob("*.yaml"))]
    files = [(path, _FOLDERS[path.relative_to(content).parts[0]]) for path in paths]
    files += [(content / name, False) for name in _FILES]
    counted = []
    for path, every in files:
        inside = path.relative_to(content).as_posix()
        lacking = _count(path, every) - _count(content / language / inside, every)
        counted.append(Untranslated(inside, max(0, lacking)))
    for path in sorted((content / "pages").rglob("*.j2")):
        inside = path.relative_to(content).as_posix()
        counted.append(Untranslated(inside, int(not (content / language / inside).is_file())))
    return tuple(sorted((one for one in counted if one.texts), key=lambda one: one.path))


def _count(path: Path, every: bool) -> int:
    """Return how many texts a file has; none where there is no such file."""
    text = content_of(path, path.name) if path.is_file() else None
    if text is None or isinstance(text, Fault):
        return 0
    document, _ = parse(text, path.name)
    return sum(1 for _ in _texts(document.data, every)) if document else 0


def _texts(data: Any, every: bool, words: bool = False) -> Iterator[str]:
    if isinstance(data, str) and (every or words):
        yield data
    elif isinstance(data, list):
        for one in data:
            yield from _texts(one, every, words)
    elif isinstance(data, dict):
        for key, value in data.items():
            if key not in _CODES and not (key == "passed" and isinstance(value, list)):
                yield from _texts(value, every, key in WORDS)
