"""A copy of the demo, or of a part of it, and what one state of it shows: figures, pages and cards."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from generator import build
from generator.build import Loaded, comparable, load
from generator.folders import Folders
from generator.model.documents.results_file import StoredResults
from generator.read import handbook
from generator.render.card.content import told
from generator.render.pages import write
from generator.render.pages.marks import unmarked
from tests.frozen import DATA, ROOT

CODE_LINE, ISSUE_LINE = '<p class="page-code">', "<footer>"


@dataclass(frozen=True, slots=True)
class State:
    """One state of a project: its results, and the text of every page and card by id."""

    loaded: Loaded
    results: StoredResults
    pages: dict[str, str]
    cards: dict[str, Any]


def copy_of_demo(root: Path, models: set[str] | None = None, sites: set[str] | None = None) -> Folders:
    """Copy the demo's data without its releases and readings, with these models and sites; the words stay."""
    shutil.copytree(DATA, root / "site_data", ignore=shutil.ignore_patterns("revisions", "schema", "readings"))
    for folder, kept in (("models", models), ("sites", sites)):
        for path in (root / "site_data" / folder).glob("*.yaml"):
            if kept is not None and path.stem not in kept:
                path.unlink()
    return Folders(root, ROOT)


def state(folders: Folders) -> State:
    """Read, compute and render. HandbookError for whatever is at fault."""
    loaded = load(folders)
    rendered = write.render_pages(folders.content, loaded.book)
    return State(
        loaded,
        comparable(loaded, rendered),
        {one.page.id: page_words(one.text) for one in rendered},
        {site: told(card, loaded.book.style) for site, card in loaded.cards.items()},
    )


def page_words(text: str) -> str:
    """Return what a page tells: its text without the marks, the line under its title and the lines at its foot."""
    lines = unmarked(text).split("\n")
    return "\n".join(line for line in lines if not line.startswith((CODE_LINE, ISSUE_LINE, '<p class="moved">')))


def edit(folders: Folders, file: str, old: str, new: str) -> None:
    """Replace `old`, which stands once in a file of site_data, by `new`."""
    path = folders.data / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
    path.write_text(text.replace(old, new), encoding="utf-8")


def read_words_once(patch: pytest.MonkeyPatch) -> None:
    """Read the words of content/ and compile its templates once for many states: they are the same in all.

    Code bases and pipes are read again when a byte of their files is another.
    """
    for name in (
        *("read_notices", "read_symptoms", "read_stated", "read_words", "read_finding_words", "read_figure_words"),
    ):
        patch.setattr(build, name, _once(getattr(build, name)))
    patch.setattr(build, "said_texts", cache(build.said_texts))
    patch.setattr(build, "declared_rules", cache(build.declared_rules))
    patch.setattr(write, "environment", cache(write.environment))
    for name in ("read_basis_folder", "read_pipes"):
        patch.setattr(handbook, name, _until_changed(getattr(handbook, name)))


def _once(read: Callable[..., Any]) -> Callable[..., Any]:
    known: dict[tuple[Path, str], Any] = {}

    def cached(path: Path, *more: Any, **named: Any) -> Any:
        key = path.resolve(), named.get("language", "")
        if key not in known:
            known[key] = read(path, *more, **named)
        return known[key]

    return cached


def _until_changed(read: Callable[[Path, Path], Any]) -> Callable[[Path, Path], Any]:
    known: dict[Path, tuple[list[tuple[str, bytes]], Any]] = {}

    def cached(folder: Path, root: Path) -> Any:
        held = [(path.name, path.read_bytes()) for path in sorted(folder.rglob("*"), key=str) if path.is_file()]
        if folder not in known or known[folder][0] != held:
            known[folder] = held, read(folder, root)
        return known[folder][1]

    return cached
