"""What the search takes for the same (content/search.yaml)."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field

from generator.model.scalars import Strict, Text, refuse


def _once(lists: tuple[tuple[str, ...], ...]) -> tuple[tuple[str, ...], ...]:
    seen: set[str] = set()
    for place, texts in enumerate(lists):
        for text in texts:
            if text != text.lower():
                raise refuse(f"'{text}' has a capital letter", "small letters: the search looks at no others", place)
            if text in seen:
                raise refuse(f"'{text}' stands here twice", "each word in one list, once", place)
            seen.add(text)
    return lists


Alike = Annotated[
    tuple[Annotated[tuple[Text, ...], Field(min_length=2)], ...],
    AfterValidator(_once),
]


class SearchWords(Strict):
    """Lists of words for the same thing, of names of the same unit, and the words that tell nothing of what is sought.

    The first of a list stands for the others. A unit is one word with the number before it.
    """

    same: Alike = ()
    units: Alike = ()
    common: tuple[Text, ...] = ()
