"""YAML text to plain data in which every scalar is text, with the place of every key and value.

YAML's own guesses (`no`, `1.10`, `12:30`) are never used: a field's type decides later what a text means. A null (`~`,
`null`, or nothing at all) is the empty text. What a writer can stumble over without noticing is refused: duplicate
keys, anchors, aliases, merge keys, tags, tabs, invisible characters, a second document.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import yaml

from generator.errors import FILE_KEY, Fault, dotted

Path = tuple[str | int, ...]
Spot = tuple[int, int]  # line and column, counted from 1
_Node = yaml.AliasEvent | yaml.ScalarEvent | yaml.SequenceStartEvent | yaml.MappingStartEvent
Data = str | list["Data"] | dict[str, "Data"]

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NULLS = ("", "~", "null", "Null", "NULL")
# Tabs; control, no-break, zero-width and direction characters, fillers, blanks and tags that cannot be seen, which
# make two texts look alike; a byte order mark; characters of private use, which no font has.
_UNWANTED = re.compile(
    "[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\xa0\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f"
    "\u2028-\u202f\u2060-\u206f\u2800\u3164\ue000-\uf8ff\ufe00-\ufe0f\ufeff\uffa0\ufff0-\uffff"
    "\U000e0000-\U000e0fff\U000f0000-\U0010ffff]"
)
DEEPEST = 50  # levels of lists and mappings in each other; the deepest file of the demo has seven
MOST_VALUES = 20_000  # of one file; the longest of the program has 2,111
_HINTS = {
    "mapping values are not allowed": "put a text that holds ': ' in quotation marks, and line up the keys",
    "found character that cannot start any token": "put a text that starts with @, %, ` or the like in quotation marks",
    "found unknown escape character": "write \\\\ for a backslash between double quotation marks",
    "found unexpected end of stream": "close the quotation mark",
    "did not find expected ',' or ']'": "close the bracket that is opened here, and part its items with commas",
    "did not find expected ',' or '}'": "close the brace that is opened here, and part its items with commas",
    "found undefined tag handle": "leave the tag out",
    "exceeded maximum nesting depth": "a file that nests a few levels deep",
}
_GENERAL_HINT = "line up the keys, with a colon and a space after each, and close every bracket and quotation mark"


@dataclass(frozen=True, slots=True)
class Document:
    """A file's data, and where each key and value stands, by key path (list items by index from 0)."""

    data: Data
    keys: Mapping[Path, Spot]
    values: Mapping[Path, Spot]
    texts: Mapping[Path, str]

    def spot(self, path: Path) -> Spot:
        """Return where to send a reader for `path`: a text itself, the key of a list or mapping, else the parent."""
        while path and path not in self.values:
            path = path[:-1]
        return self.values[path] if path in self.texts else self.keys.get(path, self.values[path])

    def of(self, prefixes: Collection[Path]) -> Document:
        """Return of the places those at and below these key paths and at the heads above them, and no data."""

        def near(path: Path) -> bool:
            return any(path[: len(one)] == one or one[: len(path)] == path for one in prefixes)

        keys = {path: spot for path, spot in self.keys.items() if near(path)}
        values = {path: spot for path, spot in self.values.items() if near(path)}
        return Document({}, keys, values, {path: text for path, text in self.texts.items() if near(path)})


class _Stop(Exception):
    """Nothing more of this file can be read."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault


def parse(content: bytes, file: str) -> tuple[Document | None, list[Fault]]:
    """Return the document of a file's bytes and what is wrong with its YAML; None when it cannot be read at all.

    `file` is the name shown in faults. Never raises.
    """
    text, faults = text_of(content, file)
    if faults:
        return None, faults
    builder = _DocumentBuilder(file)
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            builder.take(event)
        return builder.document(), builder.faults
    except _Stop as stop:
        return None, [*builder.faults, stop.fault]
    except yaml.YAMLError as error:
        return None, [*builder.faults, _syntax_fault(error, file)]


def text_of(content: bytes, file: str, allowed: str = "") -> tuple[str, list[Fault]]:
    """Return the text of a file's bytes, and what nobody could see in it but for the characters `allowed`."""
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        spot = _line_and_column(content[: error.start].decode("utf-8"))
        return "", [Fault(file, *spot, FILE_KEY, "this is not UTF-8 text", "save the file as UTF-8")]
    return text, [one for sign, one in _unwanted_characters(text, file) if sign not in allowed]


def _unwanted_characters(text: str, file: str) -> Iterator[tuple[str, Fault]]:
    """Yield each unwanted character with one fault, at the first place where it stands."""
    firsts: dict[str, int] = {}
    for found in _UNWANTED.finditer(text):
        firsts.setdefault(found[0], found.start())
    for character, at in firsts.items():
        times = text.count(character)
        wrong = f"{_name(character)} stands here" + (f" and in {times - 1} more places" if times > 1 else "")
        expected = "use plain spaces, and save as UTF-8"
        yield character, Fault(file, *_line_and_column(text[:at]), FILE_KEY, wrong, expected)


def _name(character: str) -> str:
    names = {"\t": "a tab", "\ufeff": "a byte order mark", "\xa0": "a no-break space"}
    return names.get(character, f"the invisible character U+{ord(character):04X}")


def _line_and_column(before: str) -> Spot:
    return before.count("\n") + 1, len(before) - before.rfind("\n")


def _syntax_fault(error: yaml.YAMLError, file: str) -> Fault:
    problem, mark = "the text cannot be read", None
    if isinstance(error, yaml.MarkedYAMLError):
        problem, mark = error.problem or problem, error.problem_mark
        # An unclosed bracket or quotation mark is noticed far below: send the reader to where it opens.
        if problem.startswith(("did not find expected ','", "found unexpected end")) and error.context_mark:
            mark = error.context_mark
    hint = next((hint for start, hint in _HINTS.items() if problem.startswith(start)), _GENERAL_HINT)
    return Fault(file, *_spot(mark), FILE_KEY, f"this is not YAML: {problem}", hint)


@dataclass(slots=True)
class _Open:
    """A list or mapping that is being filled; `key` is the mapping's key that waits for its value, to keep or not."""

    data: Any
    path: Path
    key: str | None = None
    keep: bool = True


@dataclass(slots=True)
class _DocumentBuilder:
    """Builds a document from the parser's events; keeps a stack, so that deep nesting cannot exhaust Python's."""

    file: str
    faults: list[Fault] = field(default_factory=list)
    keys: dict[Path, Spot] = field(default_factory=dict)
    values: dict[Path, Spot] = field(default_factory=dict)
    texts: dict[Path, str] = field(default_factory=dict)
    stack: list[_Open] = field(default_factory=list)
    root: Any = None
    taken: int = 0

    def take(self, event: yaml.Event) -> None:
        """Take the parser's next event."""
        if isinstance(event, _Node):
            self._take_node(event)
        elif isinstance(event, yaml.CollectionEndEvent):
            self.stack.pop()
        elif isinstance(event, yaml.DocumentStartEvent) and self.root is not None:
            raise _Stop(
                self._fault(event, (), "a second document starts here", expected="one document a file, without ---")
            )

    def document(self) -> Document:
        """Return what was built; _Stop when there was nothing."""
        if self.root is None or self.root == "":
            raise _Stop(Fault(self.file, 1, 1, FILE_KEY, "the file is empty", "write its keys, or delete the file"))
        return Document(self.root, self.keys, self.values, self.texts)

    def _take_node(self, event: _Node) -> None:
        parent = self.stack[-1] if self.stack else None
        if parent and isinstance(parent.data, dict) and parent.key is None:
            self._take_key(event, parent)
            return
        path = self._next_path(parent)
        self.values.setdefault(path, _spot(event.start_mark))
        self._refuse_extras(event, path)
        self.taken += 1
        if self.taken > MOST_VALUES:
            wrong = f"more than {MOST_VALUES} values stand in this file"
            raise _Stop(self._fault(event, (), wrong, expected="a file for each part of them"))
        value: Any = [] if isinstance(event, yaml.SequenceStartEvent) else {}
        if isinstance(event, yaml.CollectionStartEvent):
            if len(self.stack) == DEEPEST:
                wrong = f"more than {DEEPEST} lists or mappings stand in each other"
                raise _Stop(self._fault(event, (), wrong, expected="a file that nests a few levels deep"))
            self.stack.append(_Open(value, path))
        else:
            value = self.texts.setdefault(path, _text(event))
        self._attach(parent, value)

    def _take_key(self, event: _Node, parent: _Open) -> None:
        key = _text(event)
        path = (*parent.path, key)
        if not isinstance(event, yaml.ScalarEvent) or not key:
            raise _Stop(
                self._fault(event, parent.path, "a key that is no text stands here", expected="write a key as a word")
            )
        parent.key, parent.keep = key, True
        if key == "<<" and event.implicit[0]:
            parent.keep = False
            self.faults.append(self._fault(event, path, "a merge key is not read here", expected="write the keys out"))
        elif key in parent.data:
            parent.keep = False
            line = self.keys[path][0]
            self.faults.append(
                self._fault(event, path, f"this key stands on line {line} already", expected="each key once")
            )
        self._refuse_extras(event, path)
        self.keys.setdefault(path, _spot(event.start_mark))

    def _next_path(self, parent: _Open | None) -> Path:
        if parent is None:
            return ()
        return (*parent.path, len(parent.data) if isinstance(parent.data, list) else parent.key or "")

    def _attach(self, parent: _Open | None, value: Any) -> None:
        if parent is None:
            self.root = value
        elif isinstance(parent.data, list):
            parent.data.append(value)
        else:
            if parent.keep:
                parent.data[parent.key] = value
            parent.key = None

    def _refuse_extras(self, event: _Node, path: Path) -> None:
        if isinstance(event, yaml.AliasEvent):
            wrong = f"the alias *{event.anchor} is not read here"
            self.faults.append(self._fault(event, path, wrong, expected="write the value out"))
        elif event.anchor:
            wrong = f"the anchor &{event.anchor} is not read here"
            self.faults.append(
                self._fault(event, path, wrong, expected="leave it out, and write each value where it is used")
            )
        elif event.tag:
            self.faults.append(
                self._fault(event, path, f"the tag {event.tag} is not read here", expected="leave it out")
            )
        elif isinstance(event, yaml.ScalarEvent) and (hidden := _UNWANTED.search(event.value)):
            wrong = f"{_name(hidden[0])} stands in this text as an escape"
            self.faults.append(self._fault(event, path, wrong, expected="use plain spaces"))

    def _fault(self, event: yaml.Event, path: Path, wrong: str, *, expected: str) -> Fault:
        line, column = _spot(event.start_mark)
        return Fault(self.file, line, column, dotted(path), wrong, expected)


def _spot(mark: Any) -> Spot:
    return (mark.line + 1, mark.column + 1) if mark else (1, 1)


def _text(event: _Node) -> str:
    if not isinstance(event, yaml.ScalarEvent):
        return ""
    return "" if event.implicit[0] and event.value in _NULLS else event.value
