"""A language that nobody speaks: the English words with an accent on every vowel, and each vowel twice.

Its texts are about 40 % longer, as those of many languages are, and a word that is left in English shows itself: it has
a vowel without an accent. What is no word stays: places for values, marks, addresses, code.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import yaml

from generator.folders import Folders
from generator.model.content.symptoms import Who
from generator.read.content.overlay import WORDS
from tests.changes.project import copy_of_demo, edit
from tests.frozen import ROOT

ACCENTS = str.maketrans({plain: accented * 2 for plain, accented in zip("aeiouyAEIOUY", "áéíóúýÁÉÍÓÚÝ", strict=True)})
# What stands in a text and is no word of it: places, tags, marks of links, entities, names of files, addresses.
_KEPT = re.compile(
    r"\{[^{}]*\}|<[^<>]*>|&#?\w+;|\]\([^)]*\)|`[^`]*`|\b[\w./-]+\.(?:yaml|md|html|json|csv|pdf|toml)\b|https?://\S+"
)
_WORDS_OF_FILES = ("words", "findings", "notices", "faults")
_SINGLE = ("stated.yaml", "print/card_form.yaml", "print/record_form.yaml")
# Jinja: code, which stays, but for the texts in it, and comments, of which the first says what the page is.
_CODE = re.compile(r"\{%.*?%\}|\{\{.*?\}\}|\{#.*?#\}", re.DOTALL)
_ATTRIBUTE = re.compile(r'\b(aria-label|alt|title|placeholder|data-label)="([^"]*)"')
_STRING = re.compile(r'"([^"\\\n]*)"')
_FIRST = re.compile(r"(title|audience|folder): ([^;#]*)")


def other(text: str) -> str:
    """Return a text in the language."""
    parts, end = [], 0
    for found in _KEPT.finditer(text):
        kept = _ATTRIBUTE.sub(lambda one: f'{one[1]}="{other(one[2])}"', found[0]) if found[0][0] == "<" else found[0]
        parts += [text[end : found.start()].translate(ACCENTS), kept]
        end = found.end()
    return "".join([*parts, text[end:].translate(ACCENTS)])


def project_in(tag: str, root: Path) -> Folders:
    """Return a project of two sites in the language under a tag, as if somebody had reviewed it."""
    copy_of_demo(root, {"rill-3", "tarn-18"}, {"potting-shed", "creamery"})
    shutil.copytree(ROOT / "content", root / "content")
    shutil.copy(ROOT / "mkdocs.yml", root)
    folders = Folders(root)
    edit(folders, "handbook.yaml", "language: en", f"language: {tag}")
    write_language(folders.content, tag)
    reviewed = folders.content / tag / "reviewed.yaml"
    reviewed.write_text("reviewed_by: N. N., licensed electrician\ndate: 2026-11-02\n", encoding="utf-8")
    return folders


def write_language(content: Path, tag: str) -> None:
    """Write the folder of a language under `content`, with every word and every page of the handbook."""
    for path, text in _files(content):
        own = content / tag / path
        own.parent.mkdir(parents=True, exist_ok=True)
        own.write_text(text, encoding="utf-8")


def _files(content: Path) -> Iterator[tuple[str, str]]:
    for folder in _WORDS_OF_FILES:
        for path in sorted((content / folder).rglob("*.yaml")):
            yield path.relative_to(content).as_posix(), _yaml(path, every=folder in ("words", "findings"))
    for name in _SINGLE:
        yield name, _yaml(content / name, every=False)
    trades = yaml.safe_load((content / "trades.yaml").read_text(encoding="utf-8"))
    yield "trades.yaml", yaml.safe_dump({other(trade): rules for trade, rules in trades.items()}, allow_unicode=True)
    for path in sorted((content / "pages").rglob("*.j2")):
        yield path.relative_to(content).as_posix(), template(path.read_text(encoding="utf-8"))


def _yaml(path: Path, *, every: bool) -> str:
    data = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)  # every value as it is written
    return yaml.safe_dump(_other(data, every=every), allow_unicode=True, sort_keys=False, width=1000)


# Keys of a finding's file whose values are codes; `passed` belongs to the English file alone.
_CODES = {"rule", "when", "unless", "say", "case", "fact", "id", "gather"}


def _other(data: Any, *, every: bool, words: bool = False) -> Any:
    """Return the words of a file in the language, all else as it stands; `every`: each text is words."""
    if isinstance(data, str):
        return other(data) if words or every else data
    if isinstance(data, list):
        return [_other(one, every=every, words=words) for one in data]
    return {key: _below(key, value, every=every) for key, value in data.items() if not _codes(key, value)}


def _codes(key: str, value: Any) -> bool:
    """Return whether these are the cases of a finding that need no line: they stand in the English file alone."""
    return key == "passed" and isinstance(value, list)


def _below(key: str, value: Any, *, every: bool) -> Any:
    triggers = key == "when" and isinstance(value, list) and any(isinstance(one, dict) for one in value)  # of a notice
    if (key in _CODES and not triggers) or (key == "who" and value in get_args(Who)):
        return value
    if key == "choices":  # a text there names the choices of another value
        return {name: one if isinstance(one, str) else _other(one, every=every) for name, one in value.items()}
    return _other(value, every=every, words=key in WORDS)


def template(text: str) -> str:
    """Return a page's template in the language: its text, the texts in its code, its title."""
    first, _, rest = text.partition("\n")
    if first.startswith("{#"):
        first = _FIRST.sub(lambda found: f"{found[1]}: {found[2].translate(ACCENTS)}", first)
    pieces: list[str] = []

    def put_by(found: re.Match[str]) -> str:
        pieces.append(_code(found[0]))
        return f"\ue000{len(pieces) - 1}\ue001"

    words = other(_CODE.sub(put_by, rest))
    return "\n".join([first, re.sub("\ue000([0-9]+)\ue001", lambda found: pieces[int(found[1])], words)])


def _code(code: str) -> str:
    """Return a piece of code with its texts in the language: what begins with a capital or has a space is one."""
    if code.startswith("{#"):
        return code
    return _STRING.sub(lambda found: f'"{other(found[1])}"' if _is_text(found) else found[0], code)


def _is_text(found: re.Match[str]) -> bool:
    """Return whether a text in code is one that is read: no key of a mapping, nothing compared, no address or code."""
    text, before, after = found[1], found.string[: found.start()].rstrip(), found.string[found.end() :].lstrip()
    if before.endswith(("==", "!=", "[")) or after.startswith((":", "==", "!=")) or "/" in text or "<" in text:
        return False
    return bool(re.search(r"[A-Za-z]{2}", text)) and (text[0].isupper() or " " in text)
