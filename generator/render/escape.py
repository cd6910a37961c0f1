"""Text from the inputs made harmless in Markdown and in HTML alike.

A writer's title may hold `|`, `<` or `*`. Each character that either language gives a meaning becomes a numeric
character reference, which both show as the character itself: in a paragraph, a heading, a table cell or an attribute.
"""

from __future__ import annotations

import re
from functools import lru_cache

from markupsafe import Markup

from generator.render.format import held_together

_SPACE = re.compile(r"[^\S\u00a0]+")  # line ends too: a text stays on its line; a no-break space stays itself
_SPECIAL = re.compile(r"[&<>\"'|*_`\[\]\\#~{}]")
_BLOCK_START = re.compile(r"^([-+:=]|\d+[.)])(?=[\s=-]|$)")


@lru_cache(maxsize=65536)  # the same labels, symbols and sources stand on every page
def plain_text(text: str) -> Markup:
    """Return `text`, on one line, with every character special to Markdown or HTML as a character reference."""
    escaped = _SPECIAL.sub(_references, _SPACE.sub(" ", text))
    return Markup(_BLOCK_START.sub(_references, escaped))


def _references(match: re.Match[str]) -> str:
    return "".join(f"&#{ord(char)};" for char in match[0])


def finalize(value: object) -> Markup:
    """Jinja's hook on every `{{ … }}`: markup passes, anything else is shown as harmless text, numbers beside units."""
    if type(value) is Markup:
        return value
    return Markup(value.__html__()) if hasattr(value, "__html__") else plain_text(held_together(str(value)))
