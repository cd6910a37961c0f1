"""The language that a built page states of itself: the handbook's, though the theme may have none of its words."""

from __future__ import annotations

import re
from pathlib import Path

from generator.render.direction import direction

_LANGUAGE = re.compile(r'(<html\b[^>]*? lang=)"[^"]*"')
_WAY = re.compile(r'(<body\b[^>]*? dir=)"[^"]*"')


def state_language(site: Path, language: str) -> None:
    """Have every page of a built site state its language and the way it is written: what is read aloud goes by that."""
    for path in site.rglob("*.html"):
        page = _LANGUAGE.sub(rf'\1"{language}"', path.read_text(encoding="utf-8"), count=1)
        path.write_text(_WAY.sub(rf'\1"{direction(language)}"', page, count=1), encoding="utf-8", newline="\n")
