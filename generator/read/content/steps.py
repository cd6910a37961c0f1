"""The steps of tasks as the templates of content/pages have them: what people do one after another, each by its id."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from generator.model.settings import ENGLISH

# A heading, or a step with the lines that go on with it and the paragraph of what is expected below.
_LINE = re.compile(
    r"^#+ +(?P<heading>.+)$|^\d+\. +(?P<step>.+(?:\n {3,}\S.*)*)(?:\n\n {4}\*Expected:\* *(?P<expected>.+))?",
    re.MULTILINE,
)
_NAME = re.compile(r"\{# *step: *([a-z][a-z0-9-]*) *#\}")
_LINK = re.compile(r"\[([^]]*)\]\([^)]*\)")
_MARKUP = re.compile(r"\{[{%#].*?[}%#]\}|\{:.*?\}")
WORDS = 6  # of a heading or step, that make its id


def read_steps(content: Path, language: str = ENGLISH) -> Mapping[str, Mapping[str, str]]:
    """Return the steps of each template that has any, by its file's name and by id; the language's templates for their
    namesakes.

    An id is made of the first words of the heading and of the step, so that a step put between others leaves theirs; a
    step keeps the one that is stated behind it, `{# step: name #}`, however it is worded. A template that cannot be
    read has none: rendering it tells what is wrong.
    """
    english = content / "pages"
    own = english if language == ENGLISH else content / language / "pages"
    found = {}
    for path in sorted(english.rglob("*.md.j2")):
        inside = path.relative_to(english)
        chosen = own / inside if (own / inside).is_file() else path
        try:
            steps = dict(_steps(chosen.read_text(encoding="utf-8")))
        except (OSError, UnicodeDecodeError):
            continue
        if steps:
            found[chosen.relative_to(content.parent).as_posix()] = steps
    return found


def _steps(template: str) -> Iterator[tuple[str, str]]:
    """Yield the id and the text of each step of a template, and what is expected of it."""
    heading, used = "", dict[str, int]()
    for line in _LINE.finditer(template):
        if line["heading"] is not None:
            heading = _slug(line["heading"])
            continue
        name = _NAME.search(line["step"])
        stem = f"{heading}.{name[1] if name else _slug(line['step'])}"
        used[stem] = used.get(stem, 0) + 1
        id_ = stem if used[stem] == 1 else f"{stem}-{used[stem]}"
        yield id_, " ".join(_NAME.sub("", line["step"]).split())
        if line["expected"] is not None:
            yield f"{id_}.expected", line["expected"].strip()


def _slug(text: str) -> str:
    """Return the first words of a text as part of an id; what a template puts in is none of them."""
    words = re.findall(r"[^\W_]+", _MARKUP.sub("", _LINK.sub(r"\1", text)).lower())
    return "-".join(words[:WORDS]) or "step"
