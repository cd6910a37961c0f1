"""Writing the pages: every template of content/pages rendered into plain Markdown, with the assets beside it."""

from __future__ import annotations

import re
from pathlib import Path

from generator.assemble.documents import Book
from generator.assemble.pages import Page, Template, pages
from generator.errors import PageFault
from generator.render.files import mirror
from generator.render.markdown import environment, render_page

_HEADER = re.compile(r"\{#(.+?)#\}")
_KEYS = {"title", "order", "audience"}
_NAMES = ("settings", "models", "sites", "codes", "findings", "symptoms", "stated", "method")
_EXPECTED = "start with {# title: …; order: 30; audience: … #}"
# A name with an underscore is shared by others, except those that make one page a subject.
_SHARED = re.compile(r"(^|/)_(?!(model|site|symptom)\.md\.j2$)")


def write_pages(content: Path, folder: Path, book: Book) -> tuple[Page, ...]:
    """Write every page and asset to `folder`, leave unchanged files alone, remove stale ones; return the pages.

    Nothing is written unless every page renders. PageFault for a template at fault or a page not fit to publish.
    """
    source = content / "pages"
    all_pages = pages(book, read_templates(source))
    ids = frozenset(page.id for page in all_pages)
    names = {name: getattr(book, name) for name in _NAMES} | {"pages": all_pages}
    templates, units = environment(source), book.settings.units
    files = {
        page.path: render_page(templates, page, names | {"notices": book.notices.get(page.id, ())}, ids, units).encode()
        for page in all_pages
    }
    assets = content / "assets"
    files |= {
        f"assets/{path.relative_to(assets).as_posix()}": path.read_bytes()
        for path in sorted(assets.rglob("*"))
        if path.is_file()
    }
    mirror(folder, files)
    return all_pages


def read_templates(folder: Path) -> tuple[Template, ...]:
    """Return the page templates under `folder` with what their first lines say. PageFault for a wrong first line."""
    found = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.md.j2"))
    return tuple(read_template(folder, path) for path in found if not _SHARED.search(path))


def read_template(folder: Path, path: str) -> Template:
    """Return one template's path, title, order and audience."""
    with (folder / path).open(encoding="utf-8") as file:
        header = _HEADER.match(file.readline())
    if header is None:
        raise PageFault(f"{path}:1: the template does not say what page it makes; {_EXPECTED}")
    entries = [entry.partition(":") for entry in header[1].split(";") if entry.strip()]
    said = {key.strip(): value.strip() for key, _, value in entries}
    if not {"title", "order"} <= said.keys() <= _KEYS or not said["order"].isdecimal():
        raise PageFault(f"{path}:1: '{header[1].strip()}' does not say what page it makes; {_EXPECTED}")
    return Template(path, said["title"], int(said["order"]), said.get("audience", ""))
