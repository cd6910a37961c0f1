"""The language of the handbook: the folder content/<language>/, whose words and pages lie over the English ones."""

from __future__ import annotations

import re
from pathlib import Path

from generator.errors import FILE_KEY, Fault, InputFaults
from generator.model.inputs import FilePlace
from generator.model.settings import ENGLISH, LANGUAGE
from generator.read.content.overlay import REVIEWED, read_reviewed

# What a language can have of its own: folders of words and pages, and files.
_FILES = ("search.yaml", "stated.yaml", "trades.yaml", "print/card_form.yaml", "print/record_form.yaml")
_PARTS = ("assets", "faults", "findings", "notices", "pages", "publish", "words", *_FILES)


def languages(content: Path) -> tuple[str, ...]:
    """Return the languages besides English that have a folder under `content`, in order."""
    return tuple(sorted(path.name for path in content.iterdir() if path.is_dir() and re.fullmatch(LANGUAGE, path.name)))


def check_language(content: Path, language: str, chosen: FilePlace) -> None:
    """Do nothing for English and for a language with a folder in which every file stands for an English one.

    `chosen` is where the language is named. InputFaults, with their places, otherwise.
    """
    if language == ENGLISH:
        return
    folder, known = content / language, languages(content)
    if language not in known:
        wrong = f"there is no folder {content.name}/{language}"
        expected = f"one of {', '.join((ENGLISH, *known))}, or such a folder with its words"
        raise InputFaults([Fault(chosen.file, chosen.line, chosen.column, "language", wrong, expected)])
    reviewed = read_reviewed(content, language)
    faults = list(reviewed.faults) if reviewed else []
    for path in sorted(path for path in folder.rglob("*") if path.is_file() and not path.name.startswith(".")):
        inside = path.relative_to(folder)
        if inside.as_posix() == REVIEWED:
            continue
        if not inside.as_posix().startswith(_PARTS) or not (content / inside).is_file():
            name, wrong = path.relative_to(content.parent).as_posix(), "this file stands for no English one"
            faults.append(Fault(name, 1, 1, FILE_KEY, wrong, f"the path of an English file of {', '.join(_PARTS)}"))
    if faults:
        raise InputFaults(faults)


def in_language(content: Path, name: str, language: str) -> Path:
    """Return the file `name` of content/ that stands whole for its English namesake in a language, else the latter."""
    own = content / language / name
    return own if language != ENGLISH and own.is_file() else content / name
