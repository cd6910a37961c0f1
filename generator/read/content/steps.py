"""The steps of tasks as the templates of content/pages have them: what people do one after another."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from generator.model.settings import ENGLISH

_STEP = re.compile(r"^\d+\. +(.+)$", re.MULTILINE)
_MARKUP = re.compile(r" *\{[:#].*?\} *$")


def read_steps(content: Path, language: str = ENGLISH) -> Mapping[str, tuple[str, ...]]:
    """Return the steps of each template that has any, by its file's name; the language's templates for their namesakes.

    A template that cannot be read has none: rendering it tells what is wrong.
    """
    english = content / "pages"
    own = english if language == ENGLISH else content / language / "pages"
    found = {}
    for path in sorted(english.rglob("*.md.j2")):
        inside = path.relative_to(english)
        chosen = own / inside if (own / inside).is_file() else path
        try:
            steps = tuple(_MARKUP.sub("", step) for step in _STEP.findall(chosen.read_text(encoding="utf-8")))
        except (OSError, UnicodeDecodeError):
            continue
        if steps:
            found[chosen.relative_to(content.parent).as_posix()] = steps
    return found
