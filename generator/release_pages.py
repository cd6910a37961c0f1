"""The pages of a release as the site engine builds them: what it keeps so that they can be published again."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from generator.build import Loaded, make_site
from generator.folders import Folders
from generator.model.documents.revisions import PAGES
from generator.render.files import mirror
from generator.render.pages.write import Rendered, page_files
from generator.render.site.engine import ENGINES, started, write_config


def built_pages(folders: Folders, loaded: Loaded, rendered: Sequence[Rendered]) -> Mapping[str, bytes]:
    """Return every file of the built site by its name as a document of a release: PAGES, a slash and its path.

    PageFault where the engine objects. What is published stays as it is.
    """
    settings = loaded.inputs.settings
    with started(ENGINES[0]) as run, tempfile.TemporaryDirectory() as name:
        work = Path(name)
        site, config = work / "site", work / "mkdocs.yml"
        mirror(work / "pages", page_files(folders.content, rendered, settings))
        made = [one.page for one in rendered]
        write_config(folders.config, config, made, settings=settings, words=loaded.book.words)
        make_site(run, config, site, pages=made, loaded=loaded)
        paths = sorted(path for path in site.rglob("*") if path.is_file())
        return {f"{PAGES}/{path.relative_to(site).as_posix()}": path.read_bytes() for path in paths}
