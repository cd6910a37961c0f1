"""The handbook as it is put where others read it: the present text, and each release under an address of its own.

What `handbook publish` does. The present text keeps the addresses that cards bear.
"""

from __future__ import annotations

import shutil
from functools import partial
from pathlib import Path

from generator.build import Loaded, build
from generator.errors import HandbookError
from generator.folders import Folders
from generator.model.documents.revisions import BOOK, PAGES, Release
from generator.read.revisions import read_issued, read_releases
from generator.render.lock import only_writer
from generator.render.progress import UNSEEN, Progress
from generator.render.publish import is_published, publish
from generator.render.site.versions import Issued, add_versions


def publish_versions(folders: Folders, target: Path, progress: Progress = UNSEEN) -> Loaded:
    """Build the handbook, and put it with every release into the folder `target`, in one step; return what it is from.

    HandbookError for any fault, and for a folder that holds something else; what stood there is then untouched.
    """
    _refuse_foreign(target, folders)
    issued = [_issued(folders, release) for release in read_releases(folders.data)]
    loaded = build(folders, progress=progress)
    progress.step("adding the releases")

    def make(staged: Path) -> None:
        shutil.copytree(folders.output / "site", staged, dirs_exist_ok=True)
        add_versions(
            staged, issued, folders.content, settings=loaded.inputs.settings, issue=loaded.book.words.pages["issue"]
        )

    with only_writer(folders.output):
        publish(target.absolute(), make)
    return loaded


def _refuse_foreign(target: Path, folders: Folders) -> None:
    """Refuse a folder that would be lost: one with anything in it but a handbook, and one that holds the project."""
    if target.exists() and not (target.is_dir() and (is_published(target) or not any(target.iterdir()))):
        wrong = f"{target} is no handbook that was published, and its place would be taken"
        raise HandbookError(f"{wrong}; name a new or an empty folder, or one published to before")
    if target.resolve() == (folders.output / "site").resolve():
        raise HandbookError(f"{target} is what `handbook build` writes; name another folder, such as build/public")


def _issued(folders: Folders, release: Release) -> Issued:
    read = partial(read_issued, folders.data, release)
    book = partial(read, BOOK) if BOOK in release.documents else None
    return Issued(release, {path: partial(read, f"{PAGES}/{path}") for path in release.pages}, book)
