"""The paper that is usual where a language is spoken."""

from __future__ import annotations

from typing import Literal

from babel import Locale, UnknownLocaleError
from babel.core import get_global

from generator.model.settings import primary

# Where letters are written on paper of 8.5 by 11 inches; A4 elsewhere. Unicode Technical Standard 35, part 6
# (Supplemental), Measurement System Data: paperSize US-Letter (read).
LETTER = frozenset({"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"})


def usual_paper(language: str) -> Literal["letter", "a4"]:
    """Return the paper for a language's tag: by its territory, else where most who speak it live, as CLDR says."""
    return "letter" if _territory(language) in LETTER else "a4"


def _territory(language: str) -> str | None:
    try:
        stated = Locale.parse(language, sep="-").territory
    except (UnknownLocaleError, ValueError):  # a tag that CLDR does not have: its last part may still be a territory
        last = language.rpartition("-")[2]
        stated = last if len(last) == 2 and last.isupper() else None
    likely: str = get_global("likely_subtags").get(primary(language), "")
    return stated or likely.rpartition("_")[2] or None
