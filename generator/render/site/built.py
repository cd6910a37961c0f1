"""The pages that were built before: what says the same is taken from there, and the engine spared it.

What is known of such a page is kept beside what is kept of its site, and the page itself stands in the site published
last: it is taken only where every byte is as it was.
"""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from generator.assemble.documents import SiteView
from generator.assemble.pages import Page
from generator.render.pages.kept import NOTHING_KEPT, SiteCache
from generator.render.site.spared import NOTHING_SPARED


@dataclass(frozen=True, slots=True)
class Before:
    """What is kept of the sites, and where the site that was published last lies."""

    kept: SiteCache = NOTHING_KEPT
    published: Path = Path()

    def of(self, config: Path, pages: Sequence[Page]) -> Built:
        """Return the pages of a handbook with what was built of them before by the same configuration of the engine."""
        units: dict[str, list[Page]] = {}
        for page in pages:
            units.setdefault(unit_of(page), []).append(page)
        kept = self.kept.within("built", hashlib.sha256(config.read_bytes()).digest())
        found = {site: kept.load(site) for site in units}
        whole = {site: one for site, one in found.items() if one and self._stands(one["files"])}
        return Built(kept, self.published, pages, units, whole)

    def _stands(self, files: Mapping[str, str]) -> bool:
        return all(_digest(self.published / path) == digest for path, digest in files.items())


def unit_of(page: Page) -> str:
    """Return the name of what a page is kept with: its site, or itself, in signs that no site's id has."""
    return page.subject.spec.id if isinstance(page.subject, SiteView) else f"={page.id.replace('/', '=')}"


@dataclass(frozen=True, slots=True)
class Built:
    """All pages, those of each site or other unit, and what is known of those that need not be built."""

    kept: SiteCache
    published: Path
    pages: Sequence[Page]
    units: Mapping[str, list[Page]]
    known: Mapping[str, Any]

    @property
    def spared(self) -> Mapping[str, Any]:
        """What the engine is told of the pages that it need not build."""
        if not self.known:
            return NOTHING_SPARED
        pages = {path: told for one in self.known.values() for path, told in one["pages"].items()}
        return {"pages": pages, "names": sorted({name for one in self.known.values() for name in one["names"]})}

    @property
    def entries(self) -> Mapping[str, Any]:
        """What the search holds of them."""
        return {page: entry for one in self.known.values() for page, entry in one["entries"].items()}

    def settle(self, site: Path, learned: Mapping[str, Any], entries: Mapping[str, Any]) -> None:
        """Put the pages that were built before into a built site, and keep what is known of the others."""
        for one in self.known.values():
            for path in one["files"]:
                (site / path).parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(self.published / path, site / path)
        if not learned["pages"]:
            return
        for name, pages in self.units.items():
            if name not in self.known:
                self.kept.keep(name, _known(site, pages, learned, entries=entries))


def _known(site: Path, pages: Iterable[Page], learned: Mapping[str, Any], *, entries: Mapping[str, Any]) -> Any:
    paths = {page.path: f"{page.id}.html" for page in pages}
    return {
        "files": {path: _digest(site / path) for path in paths.values()},
        "pages": {path: learned["pages"].get(path, ((), {})) for path in paths},
        "names": sorted({name for path in paths.values() for name in learned["names"][path]}),
        "entries": {page.id: entries[page.id] for page in pages if page.id in entries},
    }


def _digest(path: Path) -> str:
    """Return the digest of a file; "" for one that is not there."""
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""
