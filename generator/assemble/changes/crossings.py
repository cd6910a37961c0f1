"""Which moves of a figure cross a limit, in words; model/documents/change_report.py lists what counts."""

from __future__ import annotations

from typing import Protocol

from generator.model.content.change_words import ChangeWord
from generator.model.documents.change_report import STEPPED
from generator.model.documents.results_file import StoredFigure
from generator.model.state import State

NO_VALUE: State = "none"


class ChangeWords(Protocol):
    """The reader's words for states and changes."""

    def state(self, state: State) -> str:
        """Return the word for a state."""

    def change(self, word: ChangeWord, **values: str) -> str:
        """Return what is said of a change, with its values."""


def crossing(figure_id: str, old: StoredFigure | None, new: StoredFigure | None, *, words: ChangeWords) -> str:
    """Name the limit that a figure crossed on the way from `old` to `new` (None: it is not there); "" for none."""
    parts = figure_id.split(".")
    if old is None or new is None:
        return words.change("new" if old is None else "gone") if parts[-1] in STEPPED else ""
    if old.state != new.state:
        return _window(old, new, words) if "window" in parts else _state(old, new, words)
    if parts[-1] in STEPPED and old.value != new.value:
        return words.change(_stepped(old, new))
    return ""


def _window(old: StoredFigure, new: StoredFigure, words: ChangeWords) -> str:
    if NO_VALUE not in (old.state, new.state):
        return _state(old, new, words)
    return words.change("window-closed" if new.state == NO_VALUE else "window-opened")


def _state(old: StoredFigure, new: StoredFigure, words: ChangeWords) -> str:
    was = [words.change("was", text=words.state(old.state))] if old.state != "ok" else []
    now = [words.change("now", text=words.state(new.state))] if new.state != "ok" else []
    return ", ".join((*was, *now))


def _stepped(old: StoredFigure, new: StoredFigure) -> ChangeWord:
    if isinstance(old.value, float) and isinstance(new.value, float):
        return "stepped-up" if new.value > old.value else "stepped-down"
    return "another-size"
