"""What was made of each site, kept for the next run in the project's own `.cache`: safe to delete, and to damage.

A site's pages follow from what all sites share (the program, tables, models, words, templates, releases) and from what
is said of the site itself and of those it shares a panel or a source with. Each kept file begins with the digest of
both, and of what it holds, and is made again where either is another.
"""

from __future__ import annotations

import hashlib
import json
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from contextlib import suppress
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path
from typing import Any

from generator.model.inputs import Inputs
from generator.model.site import Site
from generator.render.files import write_if_changed
from generator.render.pages.template_cache import FOLDER

_PACKAGES = ("babel", "jinja2", "markdown", "markupsafe", "mkdocs", "mkdocs-material", "numpy", "pydantic")
_OF_SITES = {"sites", "fleets", "readings", "installed", "schema"}  # folders of site_data/ that say what is of one site


@dataclass(frozen=True, slots=True)
class SiteCache:
    """What is kept of each site, a file a site in `folder`; `digests`: by site, of all that follows from; `shared`: of
    what all follow from. Other sites, and all where there is no folder, are never kept."""

    folder: Path | None
    digests: Mapping[str, bytes]
    shared: bytes = b""

    def load(self, site: str) -> Any:
        """Return what was kept of a site; None where nothing is, or of other inputs, or it is damaged."""
        if self.folder is None or site not in self.digests:
            return None
        try:
            head, _, data = (self.folder / f"{site}.json").read_bytes().partition(b"\n")
        except OSError:
            return None
        return json.loads(data) if head == self._head(site, data) else None

    def keep(self, site: str, made: Any) -> Any:
        """Keep what was made of a site, plain data, where the folder can be written to; return it."""
        if self.folder is not None and site in self.digests:
            data = json.dumps(made, ensure_ascii=False).encode()
            with suppress(OSError):  # the next run makes it again
                path = self.folder / f"{site}.json"
                write_if_changed(path, self._head(site, data) + b"\n" + data, lasting=False)
        return made

    def within(self, name: str, digest: bytes) -> SiteCache:
        """Return what is kept under `name` of the same sites, which follows from more: what a digest is of."""
        digests = {site: hashlib.sha256(own + digest).digest() for site, own in self.digests.items()}
        return SiteCache(self.folder / name if self.folder else None, digests)

    def and_pages(self, texts: Mapping[str, str]) -> SiteCache:
        """Return what is kept of the sites and of other pages, which follow from their texts, by name."""
        own = {name: hashlib.sha256(self.shared + text.encode()).digest() for name, text in texts.items()}
        return replace(self, digests={**self.digests, **own})

    def forget_others(self) -> None:
        """Remove what is kept of sites that are no more."""
        for path in self.folder.rglob("*.json") if self.folder else ():
            if path.stem not in self.digests:
                path.unlink(missing_ok=True)

    def _head(self, site: str, data: bytes) -> bytes:
        return hashlib.sha256(self.digests[site] + hashlib.sha256(data).digest()).hexdigest().encode()


NOTHING_KEPT = SiteCache(None, {})


def site_cache(root: Path, inputs: Inputs, *, data: Path, tables: Path, content: Path) -> SiteCache:
    """Return what is kept of the sites of the project at `root`, of these inputs and folders."""
    shared = _shared_digest(data, tables, content)
    digests = {site: hashlib.sha256(shared + own).digest() for site, own in _own_digests(inputs).items()}
    return SiteCache(root / FOLDER / "sites", digests, shared)


def _shared_digest(data: Path, tables: Path, content: Path) -> bytes:
    """Return the digest of all that the pages of every site depend on: files by name, versions of what runs."""
    found = hashlib.sha256(repr((sys.version, [version(package) for package in _PACKAGES])).encode())
    for folder in (Path(__file__).parents[2], content, data, tables):
        for name, path in _files(folder, left_out=_OF_SITES if folder in (data, tables) else {"__pycache__"}):
            found.update(f"\n{name}\n".encode())
            found.update(hashlib.sha256(path.read_bytes()).digest())
    return found.digest()


def _files(folder: Path, left_out: AbstractSet[str]) -> Iterator[tuple[str, Path]]:
    """Yield the files under a folder by their path in it, without those in a folder that is left out."""
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder)
        if left_out.isdisjoint(inside.parts[:-1]) and path.is_file():
            yield inside.as_posix(), path


def _own_digests(inputs: Inputs) -> Mapping[str, bytes]:
    """Return by site the digest of what is said of it, and of the sites with which it shares a panel or a source."""
    texts: dict[str, list[str]] = defaultdict(list)
    for (kind, id_, *path), place in inputs.places.items():
        if kind == "site" and place.text:
            texts[str(id_)].append(repr((path, place.text)))
    records: dict[str, list[str]] = defaultdict(list)
    for record in inputs.records:
        records[record.site].append(repr(record))
    bases = {model.id: inputs.basis_of_model(model).header.id for model in inputs.models}
    said = {site.id: repr((site, bases[site.heater])) for site in inputs.sites}
    sharing: dict[tuple[str, str | None], list[str]] = defaultdict(list)
    for site in inputs.sites:
        for shared in _shares(site):
            sharing[shared].append(said[site.id])
    return {
        site.id: hashlib.sha256(
            repr(
                (
                    said[site.id],
                    sorted(texts[site.id]),
                    records[site.id],
                    inputs.installed.get(site.id),
                    [sharing[shared] for shared in _shares(site)],
                )
            ).encode()
        ).digest()
        for site in inputs.sites
    }


def _shares(site: Site) -> tuple[tuple[str, str | None], ...]:
    source = site.water.source
    named = (("panel", site.supply.panel.id), ("source", source.id if source else None))
    return tuple((what, name) for what, name in named if name is not None)
