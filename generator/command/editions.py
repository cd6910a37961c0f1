"""What is printed: the handbook, and in English too as long as nobody has reviewed its language."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from pathlib import Path

from generator.build import Loaded, in_english, load
from generator.folders import Folders
from generator.model.settings import ENGLISH
from generator.render.progress import Progress


def editions(folders: Folders, progress: Progress, only: Collection[str] = ()) -> Iterator[tuple[Loaded, Path]]:
    """Yield each edition that is to be printed, and the folder for it; `only`: as `load` takes it."""
    loaded, folder = load(folders, progress, only=only), folders.output / "print"
    yield loaded, folder
    if english := in_english(folders, loaded, only):
        yield english, folder / ENGLISH
