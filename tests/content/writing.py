"""The writing rules that a program can check: each function takes a text and returns in words what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import yaml

from generator.units import KINDS
from tests.frozen import ROOT

CONTENT = ROOT / "content"
PAGES = CONTENT / "pages"

# A step begins with one of these verbs, or with a word that forbids.
VERBS = frozenset((Path(__file__).parent / "verbs.txt").read_text(encoding="utf-8").split())
FORBIDDING = frozenset({"never"})

WEAK = re.compile(r"\b(should|please|simply|obviously|basically|as needed|if necessary|and/or|etc)\b", re.IGNORECASE)
BRITISH = re.compile(
    r"\b(colours?|coloured|discolou?red?ing|litres?|metres?|centres?|labelled|gauge (?=wire)|aluminium|moulds?|vapour"
    r"|programme|grey|licence|tyres?|neighbour\w*|behaviour)\b",
    re.IGNORECASE,
)
MARKS = re.compile("[\u00ae\u2122\u00a9]|https?://|\\bwww\\.")

_WORDED_UNITS = (
    "minutes",
    "minute",
    "seconds",
    "second",
    "hours",
    "hour",
    "gallons",
    "liters",
    "volts",
    "amps",
    "ohms",
)
_WORDED_UNITS += ("amperes", "degrees", "inches", "feet", "pounds", "watts", "°F", "°C", "Ω", "mm²", "percent")
_UNITS = sorted({unit for _, names in KINDS.values() for unit in names} | set(_WORDED_UNITS), key=len, reverse=True)
QUANTITY = re.compile(rf"(?<![\w.(])\d+(?:[.,/]\d+)?[ \u00a0]?(?:{'|'.join(map(re.escape, _UNITS))})(?![\w/])")

_JINJA = re.compile(r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?#\}", re.DOTALL)
_CODE = re.compile(r"`[^`]*`")
_STEP = re.compile(r"^ *\d+\. +(.*)$", re.MULTILINE)
_ANY_STEP = re.compile(r"^ *(?:\d+|\{\{ loop\.index \}\})\. ")
_EMBEDDED = re.compile(r"^\{\{ embedded\([^)]*\) \}\} *")
_HEADING = re.compile(r"^(#+) (.*)$", re.MULTILINE)
_PANEL = re.compile(r"^\{\{ (?:section|notice)\(")
_CAPITALS = re.compile(r"\b[A-Z]{2,}\b")


def templates() -> list[Path]:
    """Every page template."""
    return sorted(PAGES.rglob("*.md.j2"))


def data_texts() -> Iterator[tuple[str, str, str]]:
    """Yield (file, key, text) for every text of the notices and of fault finding; the key is that of the mapping."""
    for path in sorted([*(CONTENT / "notices").glob("*.yaml"), *(CONTENT / "faults").glob("*.yaml")]):
        data = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
        yield from ((f"{path.parent.name}/{path.name}", key, text) for key, text in _texts(data, ""))


def _texts(data: Any, key: str) -> Iterator[tuple[str, str]]:
    if isinstance(data, dict):
        for name, value in data.items():
            yield from _texts(value, name)
    elif isinstance(data, list):
        for value in data:
            yield from _texts(value, key)
    else:
        yield key, data


def prose(template: str) -> str:
    """Return a template's own words: without Jinja and without code."""
    return _CODE.sub(" ", _JINJA.sub(" ", template))


def steps(template: str) -> list[str]:
    """Return the numbered steps that a template words itself, without the notice embedded in them."""
    return [_EMBEDDED.sub("", step) for step in _STEP.findall(template) if not _EMBEDDED.sub("", step).startswith("{{")]


def not_imperative(texts: Iterable[str]) -> list[str]:
    """A step begins with a verb that commands."""
    found = []
    for text in texts:
        first = re.match(r"\W*([A-Za-z]+)", text)
        if first is None or first[1].lower() not in VERBS | FORBIDDING or first[1] != first[1].capitalize():
            found.append(f"does not begin with a command: {text}")
    return found


def weak_words(text: str) -> list[str]:
    """No "should" for a must, no filler."""
    return [f"weak word: {found[0]}" for found in WEAK.finditer(text)]


def other_spellings(text: str) -> list[str]:
    """One spelling, American, throughout."""
    return [f"not the spelling of this handbook: {found[0]}" for found in BRITISH.finditer(text)]


def bare_quantities(text: str) -> list[str]:
    """A number with a unit comes from the data, through the formatter, with its source."""
    return [f"a number typed into the text: {found[0]}" for found in QUANTITY.finditer(text)]


def outside_marks(text: str) -> list[str]:
    """No trade mark and no address of another host."""
    return [f"a trade mark or an address: {found[0]}" for found in MARKS.finditer(text)]


def late_notices(template: str) -> list[str]:
    """A notice panel stands before the steps it guards: in a section with steps, a step follows every panel."""
    found = []
    for heading, lines in sections(template):
        numbers = [number for number, line in enumerate(lines) if _ANY_STEP.match(line)]
        late = [line for number, line in enumerate(lines) if _PANEL.match(line) and numbers and number > numbers[-1]]
        found += [f"after the last step of '{heading}': {line}" for line in late]
    return found


def sections(template: str) -> list[tuple[str, list[str]]]:
    """Return (heading, lines) of each section."""
    found: list[tuple[str, list[str]]] = [("", [])]
    for line in template.splitlines():
        heading = _HEADING.match(line)
        if heading:
            found.append((heading[2], []))
        else:
            found[-1][1].append(line)
    return found


def jumping_headings(template: str) -> list[str]:
    """One heading of the first level, first; no level is skipped on the way down."""
    levels = [len(marks) for marks, _ in _HEADING.findall(template)]
    found = [] if levels[:1] == [1] and levels.count(1) == 1 else ["not exactly one title, first"]
    jumps = [(before, after) for before, after in zip(levels, levels[1:], strict=False) if after > before + 1]
    return found + [f"a heading of level {after} below one of level {before}" for before, after in jumps]


def abbreviations(text: str) -> set[str]:
    """The words in capitals that a reader may have to look up."""
    return set(_CAPITALS.findall(text))


def crowded_steps(texts: Iterable[str]) -> list[str]:
    """One action a step: a step is one sentence."""
    return [f"two sentences in one step: {text}" for text in texts if re.search(r"[.!] +[A-Z]", text.rstrip(". "))]
