"""The words of one file of content/ in another language: its entries lie over the English ones, one by one.

An entry of a list says which English one it stands for by the keys that are no words (`id`, `notice`, `fact`). Only
words may be given: what a notice is shown for, or a step's safe state, is the same in every language, and may stand
there as it does in English, so that a translator can begin with a copy of the English file.

What keeps people alive stands beside its English text until somebody has reviewed the translation (`reviewed.yaml`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path as FilePath
from typing import Any, Literal, get_origin

from pydantic import BaseModel

from generator.errors import Fault, dotted
from generator.model.content.finding_words import places
from generator.model.content.reviewed import Reviewed
from generator.model.settings import ENGLISH
from generator.read.yaml.fault_words import listed, unknown
from generator.read.yaml.validate import Model
from generator.read.yaml.yaml_file import YamlFile, content_of, load_yaml_file
from generator.read.yaml.yaml_marks import Document, Path, parse

# The keys that are words: of notices, of symptoms with their safe states, of stated values, of the card's form.
_OF_NOTICES = {"title", "hazard", "consequence", "avoidance", "do", "because", "line", "source"}
_OF_SYMPTOMS = {"title", "also", "stop", "question", "here", "check", "remedy", "steps", "second_way"}
_OF_STATED = {"label", "source"}
_OF_CARD = {"title", "who", "name", "text", "expected"}
REVIEWED = "reviewed.yaml"
WORDS = _OF_NOTICES | _OF_SYMPTOMS | _OF_STATED | _OF_CARD
# The files whose words keep people alive.
SAFETY = ("notices/", "faults/_safe_states.yaml", "print/card_form.yaml")
_ANY_NUMBER = "also"  # the words that people type: each language has its own


def load_in_language(content: FilePath, inside: str, model: type[Model], *, language: str) -> YamlFile[Model]:
    """Read the file `inside` content/, and lay over it the one at the same place in content/<language>/, if any.

    Never raises for what is in them: the value is None where either has faults.
    """
    file = load_yaml_file(content / inside, model, f"{content.name}/{inside}")
    over = content / language / inside
    if file.value is None or language == ENGLISH or not over.is_file():
        return file
    name = f"{content.name}/{language}/{inside}"
    text = content_of(over, name)
    document, faults = (None, [text]) if isinstance(text, Fault) else parse(text, name)
    if document is None or faults:
        return replace(file, value=None, faults=tuple(faults))
    beside = inside.startswith(SAFETY) and not is_reviewed(content, language)
    overlay = _Overlay(name, document, beside=beside)
    value = overlay.over(file.value, document.data, (), written=file.document.data if file.document else None)
    return replace(file, value=None if overlay.faults else value, faults=tuple(overlay.faults))


def read_reviewed(content: FilePath, language: str) -> YamlFile[Reviewed] | None:
    """Read who has reviewed a language; None where nobody has. Never raises for what is in the file."""
    path = content / language / REVIEWED
    return load_yaml_file(path, Reviewed, f"{content.name}/{language}/{REVIEWED}") if path.is_file() else None


def is_reviewed(content: FilePath, language: str) -> bool:
    """Return whether what a language says may stand without the English: in English itself, always."""
    reviewed = None if language == ENGLISH else read_reviewed(content, language)
    return language == ENGLISH or (reviewed is not None and reviewed.value is not None)


class _Overlay:
    """A file of another language as it is laid over; gathers what is wrong in it."""

    def __init__(self, name: str, document: Document, *, beside: bool) -> None:
        self.name, self.document, self.beside = name, document, beside
        self.faults: list[Fault] = []

    def over(self, english: Model, data: Any, path: Path, *, written: Any) -> Model:
        """Return an English entry with the words of `data` in the place of its own; `written`: as its file has it."""
        if not isinstance(data, dict):
            self._fault(path, "no keys stand here", "one 'key: words' a line")
            return english
        names = {field.alias or key: key for key, field in type(english).model_fields.items()}
        update = {}
        for key, value in data.items():
            at = (*path, key)
            if key not in names:
                self._fault(at, *unknown(key, "a key here", names))
                continue
            own, as_written = getattr(english, names[key]), _part(written, key)
            if key in WORDS and not _is_code(english, names[key]):
                update[names[key]] = self._words(own, value, at, written=as_written)
            elif value != as_written:
                update[names[key]] = self._below(own, value, at, written=as_written)
        return english.model_copy(update=update)

    def _words(self, english: Any, value: Any, path: Path, *, written: Any) -> Any:
        """Return the words that stand for a text, or for a list of texts."""
        if isinstance(english, str):
            text = self._text([english], value, path)
            return f"{text} ({ENGLISH}: {english})" if self._stands_beside(path) else text
        if not isinstance(english, tuple) or not isinstance(value, list):
            self._fault(path, "the English entry has no words of this kind", "the same keys and lists as there")
            return english
        if len(value) != len(english) and path[-1] != _ANY_NUMBER:
            self._fault(path, f"there are {len(value)} texts here", f"{len(english)}, as in the English entry")
            return english
        if any(isinstance(one, BaseModel) for one in english):  # steps, which their place names
            return tuple(
                self.over(one, text, (*path, at), written=_part(written, at))
                for at, (one, text) in enumerate(zip(english, value, strict=True))
            )
        if path[-1] == _ANY_NUMBER:
            return tuple(self._text(english, text, (*path, at)) for at, text in enumerate(value))
        return tuple(
            self._words(one, text, (*path, at), written=None)
            for at, (one, text) in enumerate(zip(english, value, strict=True))
        )

    def _stands_beside(self, path: Path) -> bool:
        """Return whether a text keeps its English one beside it: those of notices but titles, of cautions on cards."""
        of_form = self.name.endswith("_form.yaml")
        return self.beside and (path[0] == "cautions" if of_form else "title" not in path and "source" not in path)

    def _text(self, english: Iterable[str], value: Any, path: Path) -> str:
        wanted = {name for text in english for name in places(text)}
        if not isinstance(value, str) or not value.strip():
            self._fault(path, "no text stands here", "the words in this language")
            return ""
        if set(places(value)) != wanted:
            expected = f"the places {', '.join(f'{{{name}}}' for name in sorted(wanted))}" if wanted else "no braces"
            self._fault(path, f"'{value}' does not have the places for its values", f"write {expected}")
        return value.strip()

    def _below(self, english: Any, value: Any, path: Path, *, written: Any) -> Any:
        """Return what lies below a key that is no word: entries with words; anything else must be as in English."""
        if isinstance(english, BaseModel):
            return self.over(english, value, path, written=written)
        if isinstance(english, tuple) and english and isinstance(english[0], BaseModel) and isinstance(value, list):
            return self._entries(english, value, path, written=written)
        if value != english:
            self._fault(path, f"'{value}' is not what the English entry has", f"write {english}, or leave the key out")
        return english

    def _entries(
        self, english: tuple[BaseModel, ...], value: list[Any], path: Path, *, written: Any
    ) -> tuple[BaseModel, ...]:
        entries = list(english)
        for index, data in enumerate(value):
            meant = [at for at, one in enumerate(english) if isinstance(data, dict) and _is_named(one, data)]
            copied = [at for at in meant if _keys(_part(written, at)) == _keys(data)]
            meant = copied if len(copied) == 1 else meant
            if len(meant) == 1:
                entries[meant[0]] = self.over(entries[meant[0]], data, (*path, index), written=_part(written, meant[0]))
            elif meant:
                names = listed(", ".join(f"{key}: {name}" for key, name in _named(english[at])) for at in meant)
                self._fault(
                    (*path, index), f"{len(meant)} English entries are named so", f"all the keys of one: {names}"
                )
            else:
                names = listed(dict.fromkeys(": ".join(next(_named(one))) for one in english))
                self._fault((*path, index), "no English entry is named so", f"one of {names}")
        return tuple(entries)

    def _fault(self, path: Path, wrong: str, expected: str) -> None:
        line, column = self.document.spot(path)
        self.faults.append(Fault(self.name, line, column, dotted(path), wrong, expected))


def _part(written: Any, key: Any) -> Any:
    """Return what stands below a key or a place of a list; None where nothing does."""
    if isinstance(written, dict):
        return written.get(key)
    return written[key] if isinstance(written, list) and isinstance(key, int) and key < len(written) else None


def _is_code(entry: BaseModel, field: str) -> bool:
    """Return whether a field holds one of a few codes, as who of a cause does: no words, whatever its name."""
    return get_origin(type(entry).model_fields[field].annotation) is Literal


def _named(entry: BaseModel) -> Iterator[tuple[str, str]]:
    """Yield the keys and texts by which an entry can be told from its neighbours."""
    for key, field in type(entry).model_fields.items():
        value = getattr(entry, key)
        if key not in WORDS and isinstance(value, str):
            yield field.alias or key, value


def _keys(entry: Any) -> dict[str, Any]:
    """Return the keys of an entry as written that are no words."""
    return {key: value for key, value in entry.items() if key not in WORDS} if isinstance(entry, dict) else {}


def _is_named(entry: BaseModel, data: Mapping[str, Any]) -> bool:
    own = dict(_named(entry))
    given = {key: value for key, value in data.items() if key in own}
    return bool(given) and given.items() <= own.items()
