"""How the demo shows figures: in each choice of units, with its words."""

from pathlib import Path

from generator.model.content.words import Style, Units
from generator.read.content.words import read_words

WORDS = read_words(Path(__file__).parents[1] / "content")


def style(units: Units) -> Style:
    return Style(units, WORDS)


US, SI, BOTH = style("us"), style("si"), style("both")
