"""What several rules say, from content/findings/_shared.yaml, put into the words of each rule that names it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from generator.errors import Fault
from generator.model.content.finding_words import TEXTS, FindingWords, SentencePart, SharedWords, Texts, places
from generator.model.finding_rules import Names, Rule
from generator.read.yaml.yaml_file import YamlFile, load_yaml_file
from generator.read.yaml.yaml_marks import Path as KeyPath

SHARED = "_shared.yaml"
_Texts = TypeVar("_Texts", bound=Texts)


@dataclass(frozen=True, slots=True)
class Shared:
    """The shared words of the folder called `name`, and their file where it has one."""

    name: str
    file: YamlFile[SharedWords] | None
    words: SharedWords

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong in the file by itself."""
        return self.file.faults if self.file else ()


def read_shared(folder: Path, name: str) -> Shared:
    """Return the shared words of a folder, none where it has no file of them. `name` is the folder's in faults."""
    path = folder / SHARED
    if not path.exists():
        return Shared(name, None, SharedWords())
    file = load_yaml_file(path, SharedWords, f"{name}/{SHARED}")
    return Shared(name, file, file.value or SharedWords())


def laid_over(words: SharedWords, other: SharedWords) -> SharedWords:
    """Return the shared words with those of another language in the place of theirs, one by one."""
    names = {**words.choices, **other.choices}
    choices = {name: {**words.choices.get(name, {}), **other.choices.get(name, {})} for name in names}
    return SharedWords(sentences={**words.sentences, **other.sentences}, choices=choices)


def other_faults(other: Shared, words: SharedWords) -> Iterator[Fault]:
    """Yield a fault for each shared entry of another language that is none of `words`, or has other places."""
    if other.file is None:
        return
    own: dict[KeyPath, str] = {("sentences", name): text for name, text in other.words.sentences.items()}
    theirs: dict[KeyPath, str] = {("sentences", name): text for name, text in words.sentences.items()}
    for codes, found in ((other.words.choices, own), (words.choices, theirs)):
        found.update({("choices", name, code): text for name, of in codes.items() for code, text in of.items()})
    for path, text in own.items():
        if path not in theirs:
            yield other.file.fault(path, "there is no such entry to stand for", f"one of {other_names(theirs, path)}")
        elif set(places(text)) != set(places(theirs[path])):
            yield other.file.fault(path, "it has not the places of the entry it stands for", theirs[path])


def other_names(entries: Iterable[KeyPath], path: KeyPath) -> str:
    """Return the names that stand beside one, for a fault."""
    return ", ".join(sorted(str(one[-1]) for one in entries if one[:-1] == path[:-1])) or "those of content/findings"


def filled_in(
    file: YamlFile[FindingWords], shared: SharedWords, rules: Mapping[str, Rule]
) -> tuple[YamlFile[FindingWords], list[Fault]]:
    """Return a rule's words with what is shared put in, and a fault for each name that nothing shared bears."""
    words = file.value
    if words is None:
        return file, []
    faults = [*_unknown_sentences(file, words, shared), *_unknown_choices(file, words, shared)]
    if faults:
        return replace(file, value=None), faults
    cases = {name: _said(case, shared) for name, case in words.cases.items()}
    declared = rules[words.rule].choices if words.rule in rules else {}
    choices: dict[str, Any] = {}
    for name, own in words.choices.items():
        if isinstance(own, str):
            known = shared.choices[own]
            own = {code: known[code] for code in declared.get(name, ()) if code in known}
        choices[name] = own
    return replace(file, value=_said(words, shared).model_copy(update={"cases": cases, "choices": choices})), []


def shared_faults(
    shared: Shared, files: Sequence[YamlFile[FindingWords]], rules: Mapping[str, Rule], *, said: Names
) -> Iterator[Fault]:
    """Yield a fault for each shared sentence, choice or code that is never used, and for what is wrong of `said`.

    `files` as they were read; `said`: the sentences that are said of what is no finding, with their values. Nothing
    where a file has faults of its own: what it would use is not known.
    """
    if shared.file is None or not all(file.value for file in files):
        return
    read, sentences = [file.value for file in files if file.value], shared.words.sentences
    for name in sentences.keys() - {part.say for words in read for _, part in _parts(words)} - said.keys():
        yield shared.file.fault(("sentences", name), "no text says this sentence", f"say: {name}, or leave it out")
    for name, values in said.items():
        if name not in sentences:
            yield shared.file.fault(("sentences",), f"the sentence '{name}' is missing", "its words")
        elif set(places(sentences[name])) != set(values):
            expected = f"the places {', '.join(f'{{{value}}}' for value in values)}"
            yield shared.file.fault(("sentences", name), "it has not the places for its values", expected)
    for name, codes in shared.words.choices.items():
        for code in codes.keys() - set(_taken(name, read, rules)):
            yield shared.file.fault(("choices", name, code), "no rule gives this code", "leave it out")


def _taken(name: str, read: Iterable[FindingWords], rules: Mapping[str, Rule]) -> Iterator[str]:
    """Yield the codes of a shared choice that some rule gives."""
    for words in read:
        for choice, own in words.choices.items():
            if own == name and words.rule in rules:
                yield from rules[words.rule].choices.get(choice, ())


def _said(texts: _Texts, shared: SharedWords) -> _Texts:
    """Return texts with the shared sentences in their places."""
    filled = {}
    for key in TEXTS:
        parts: tuple[SentencePart, ...] | None = getattr(texts, key)
        if parts is not None:
            filled[key] = tuple(
                part.model_copy(update={"text": shared.sentences[part.say], "say": None}) if part.say else part
                for part in parts
            )
    return texts.model_copy(update=filled)


def _parts(words: FindingWords) -> Iterator[tuple[KeyPath, SentencePart]]:
    """Yield every part of the words of a rule, with the key path of its text."""
    for path, texts in [((), words), *((("cases", name), case) for name, case in words.cases.items())]:
        for key in TEXTS:
            for part in getattr(texts, key) or ():
                yield (*path, key), part


def _unknown_sentences(file: YamlFile[FindingWords], words: FindingWords, shared: SharedWords) -> Iterator[Fault]:
    for path, part in _parts(words):
        if part.say is not None and part.say not in shared.sentences:
            known = ", ".join(sorted(shared.sentences)) or f"none: {SHARED} has none"
            yield file.fault(path, f"no shared sentence is called '{part.say}'", f"one of {known}")


def _unknown_choices(file: YamlFile[FindingWords], words: FindingWords, shared: SharedWords) -> Iterator[Fault]:
    for name, own in words.choices.items():
        if isinstance(own, str) and own not in shared.choices:
            known = ", ".join(sorted(shared.choices)) or f"none: {SHARED} has none"
            yield file.fault(("choices", name), f"no shared choice is called '{own}'", f"one of {known}")
