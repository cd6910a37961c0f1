"""What goes by the language of a handbook: the way in which it is written, and the paper that is usual for it."""

from __future__ import annotations

from typing import Literal

from babel import Locale, UnknownLocaleError
from babel.core import get_global

from generator.model.settings import primary

Direction = Literal["ltr", "rtl"]
# Where letters are written on paper of 8.5 by 11 inches; A4 elsewhere. Unicode Technical Standard 35, part 6
# (Supplemental), Measurement System Data: paperSize US-Letter (read).
LETTER = frozenset({"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"})


def direction(language: str) -> Direction:
    """Return whether the language of a tag is written from right to left, as CLDR says; from left where it does not.

    A tag that CLDR does not have is taken for its language: ar-XB for ar.
    """
    locale = _locale(language) or _locale(primary(language))
    return "rtl" if locale and locale.text_direction == "rtl" else "ltr"


def usual_paper(language: str) -> Literal["letter", "a4"]:
    """Return the paper for a language's tag: by its territory, else where most who speak it live, as CLDR says."""
    locale = _locale(language)
    last = language.rpartition("-")[2]
    stated = locale.territory if locale else last if len(last) == 2 and last.isupper() else None
    likely: str = get_global("likely_subtags").get(primary(language), "")
    return "letter" if (stated or likely.rpartition("_")[2]) in LETTER else "a4"


def _locale(tag: str) -> Locale | None:
    try:
        return Locale.parse(tag, sep="-")
    except (UnknownLocaleError, ValueError):
        return None
