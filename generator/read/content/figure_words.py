"""The words of what compute says, from content/words/figures: one file a room, held to what is said in that room."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from generator.errors import FILE_KEY, Fault, InputFaults
from generator.model.content.figure_words import FigureWords
from generator.model.content.finding_words import places
from generator.model.finding_rules import Names
from generator.read.yaml.fault_words import listed, nearest, unknown
from generator.read.yaml.folder import yaml_files
from generator.read.yaml.yaml_file import YamlFile, load_yaml_file

FOLDER = "words/figures"


def read_figure_words(content: Path, said: Mapping[str, Names], *, language: str = "en") -> Mapping[str, str]:
    """Return the words of every text by key. InputFaults for all that is missing, unused or misspelt, with its place.

    `said`: by room the keys, each with the names of its values. Where there is content/<language>/words/figures its
    entries stand for the English ones, and the English ones for those that it lacks.
    """
    folder, other = content / FOLDER, content / language / FOLDER
    faults = [fault for one in (folder, other) if one.is_dir() for fault in _unread(one, content.parent, said)]
    texts: dict[str, str] = {}
    for room, keys in said.items():
        paths = [one / f"{room}.yaml" for one in (folder, other)]
        for path in paths[: 1 + paths[1].exists()]:
            file = load_yaml_file(path, FigureWords, path.relative_to(content.parent).as_posix())
            faults += [*file.faults, *_faults(file, keys, whole=path is paths[0])]
            texts |= file.value.root if file.value else {}
    if faults:
        raise InputFaults(faults)
    return texts


def _unread(folder: Path, root: Path, said: Mapping[str, Names]) -> Iterator[Fault]:
    """Yield a fault for every file of words that nothing reads."""
    paths, faults = yaml_files(folder, root)
    yield from faults
    for path in paths:
        if path.stem not in said:
            name, wrong = path.relative_to(root).as_posix(), "no words are read from this file"
            yield Fault(name, 1, 1, FILE_KEY, wrong, f"one of {listed(said)}, or remove it")


def _faults(file: YamlFile[FigureWords], keys: Names, *, whole: bool) -> Iterator[Fault]:
    """Yield a fault for each entry that nothing says, whose places are not its values, or (`whole`) that is missing."""
    if file.value is None:
        return
    texts = file.value.root
    for key, text in texts.items():
        if key not in keys:
            yield file.fault((key,), *unknown(key, "a text that is said here", keys))
        elif sorted(places(text)) != sorted(keys[key]) or "{" in (bare := _bare(text)) or "}" in bare:
            expected = f"the places {', '.join(f'{{{name}}}' for name in keys[key])}" if keys[key] else "no braces"
            yield file.fault((key,), f"'{text}' does not have the places for its values", f"write {expected}")
    misspelt = {nearest(key, keys) for key in texts.keys() - keys.keys()}
    for key in sorted(keys.keys() - texts.keys() - misspelt) if whole else ():
        yield file.fault((), f"the words of '{key}' are missing", f"write {key}: and its words")


def _bare(text: str) -> str:
    """Return a text without its places."""
    for name in places(text):
        text = text.replace(f"{{{name}}}", "")
    return text
