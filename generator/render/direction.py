"""The way in which a language is written."""

from __future__ import annotations

from typing import Literal

from babel import Locale, UnknownLocaleError

Direction = Literal["ltr", "rtl"]


def direction(language: str) -> Direction:
    """Return whether the language of a tag is written from right to left, as CLDR says; from left where it does not."""
    try:
        return "rtl" if Locale.parse(language, sep="-").text_direction == "rtl" else "ltr"
    except (UnknownLocaleError, ValueError):
        return "ltr"
