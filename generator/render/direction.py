"""The way in which a language is written."""

from __future__ import annotations

from typing import Literal

from babel import Locale, UnknownLocaleError

from generator.model.settings import primary

Direction = Literal["ltr", "rtl"]


def direction(language: str) -> Direction:
    """Return whether the language of a tag is written from right to left, as CLDR says; from left where it does not.

    A tag that CLDR does not have is taken for its language: ar-XB for ar.
    """
    for tag in (language, primary(language)):
        try:
            return "rtl" if Locale.parse(tag, sep="-").text_direction == "rtl" else "ltr"
        except (UnknownLocaleError, ValueError):
            continue
    return "ltr"
