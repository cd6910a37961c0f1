"""The words of what compute says (content/words/figures/*.yaml): one text a key, with places for its values."""

from __future__ import annotations

from pydantic import RootModel

from generator.model.scalars import Text


class FigureWords(RootModel[dict[str, Text]]):
    """The words of one file, by key."""
