"""Which moves of a figure cross a limit, in words; model/changes.py lists what counts."""

from __future__ import annotations

from collections.abc import Callable

from generator.model.changes import STEPPED
from generator.model.results_file import StoredFigure
from generator.model.state import State

NO_VALUE: State = "none"


def crossing(figure_id: str, old: StoredFigure | None, new: StoredFigure | None, word: Callable[[State], str]) -> str:
    """Name the limit that a figure crossed on the way from `old` to `new` (None: it is not there); "" for none.

    `word` gives the reader's word for a state.
    """
    parts = figure_id.split(".")
    if old is None or new is None:
        return "" if parts[-1] not in STEPPED else "new" if old is None else "gone"
    if old.state != new.state:
        return _window(old, new, word) if "window" in parts else _state(old, new, word)
    if parts[-1] in STEPPED and old.value != new.value:
        return _stepped(old, new)
    return ""


def _window(old: StoredFigure, new: StoredFigure, word: Callable[[State], str]) -> str:
    if NO_VALUE not in (old.state, new.state):
        return _state(old, new, word)
    return "the flow window closed" if new.state == NO_VALUE else "a flow window opened"


def _state(old: StoredFigure, new: StoredFigure, word: Callable[[State], str]) -> str:
    told = [f"{when} {word(figure.state)}" for when, figure in (("was", old), ("now", new)) if figure.state != "ok"]
    return ", ".join(told)


def _stepped(old: StoredFigure, new: StoredFigure) -> str:
    if isinstance(old.value, float) and isinstance(new.value, float):
        return "stepped up" if new.value > old.value else "stepped down"
    return "another size"
