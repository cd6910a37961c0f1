"""The pages of a release as the site engine builds them: what it keeps so that they can be published again."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from generator.build import Loaded
from generator.folders import Folders
from generator.model.documents.revisions import PAGES
from generator.render.pages.write import Rendered
from generator.render.site.whole import make_apart


def built_pages(folders: Folders, loaded: Loaded, rendered: Sequence[Rendered]) -> Mapping[str, bytes]:
    """Return every file of the built site by its name as a document of a release: PAGES, a slash and its path.

    PageFault where the engine objects. What is published stays as it is.
    """
    with tempfile.TemporaryDirectory() as name:
        site = Path(name)
        own = {"content": folders.content, "plain": folders.config}
        make_apart(site, rendered, **own, book=loaded.book, search=loaded.search)
        paths = sorted(path for path in site.rglob("*") if path.is_file())
        return {f"{PAGES}/{path.relative_to(site).as_posix()}": path.read_bytes() for path in paths}
