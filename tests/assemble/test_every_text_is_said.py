"""In a language whose every entry bears a mark, every text of the demo's figures bears it: none is typed in Python."""

from __future__ import annotations

import re
from collections.abc import Iterator

from generator.assemble.worded_figures import Speaker
from generator.compute.compute_all import compute
from generator.model.documents.walk import walk
from generator.model.figures import Figure, FigureTable
from generator.model.water_results import Curve
from generator.read.content.figure_words import read_figure_words
from generator.read.handbook import read_handbook
from generator.said import said_texts
from tests.finding_texts import CONTENT, words
from tests.frozen import DATA

MARK = "§"
# A number, a size of conductor, a line, a clause: what has its name from the data.
NAME = re.compile(r"[0-9/.]+( AWG| mm2| kcmil)?|L[1-3]|NFPA 70 .*|IEC 60364.*")


def texts(figures: object) -> Iterator[tuple[str, str]]:
    """Yield (id, text) of what a reader sees of figures, tables and curves besides formulas and sources."""
    for figure in walk(figures, Figure):
        yield from ((figure.id, text) for text in (figure.label, figure.reason, *(step.note for step in figure.steps)))
    for table in walk(figures, FigureTable):
        heads = (*table.columns, *(head for head, _ in table.rows))
        shown = (str(head.value) for head in heads if head.kind == "text")
        yield from ((table.id, text) for text in (table.title, table.corner, table.note, *shown))
    for curve in walk(figures, Curve):
        yield from ((curve.id, text) for text in (curve.title, curve.x_label, curve.y_label))


def test_every_text_of_a_figure_is_said() -> None:
    marked = {key: f"{MARK}{text}" for key, text in read_figure_words(CONTENT, said_texts()).items()}
    inputs = read_handbook(DATA)
    names = {fixture.name for site in inputs.sites for fixture in site.fixtures}
    results = Speaker(marked, {code: MARK for code in words().reasons}).worded(compute(inputs))
    found = [(id_, text) for id_, text in texts(results) if text and text not in names]
    typed = {text: id_ for id_, text in found if MARK not in text}
    assert len(found) > 3000
    assert {text: id_ for text, id_ in typed.items() if not NAME.fullmatch(text)} == {}
    assert len(marked) > 200
