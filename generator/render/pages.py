"""Writing the pages: every template of content/pages rendered into plain Markdown, with the assets beside it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from generator.assemble.documents import Book
from generator.assemble.pages import Page, Template, pages
from generator.assemble.revision_code import revision_code
from generator.errors import FILE_KEY, Fault, InputFaults, PageFault
from generator.render.files import mirror
from generator.render.markdown import environment, render_page
from generator.render.marks import unmarked, with_line

_HEADER = re.compile(r"\{#(.+?)#\}")
_KEYS = {"title", "order", "audience"}
_NAMES = (
    "settings",
    "models",
    "sites",
    "codes",
    "findings",
    "symptoms",
    "stated",
    "tolerances",
    "method",
    "burns",
    "plumbing",
    "pipes",
    "burn_sources",
    "history",
    "card_codes",
)
_FOOT = '<p class="page-code">Revision code of this page: <strong>{code}</strong></p>'
_EXPECTED = "start with {# title: …; order: 30; audience: … #}"
# A name with an underscore is shared by others, except those that make one page a subject.
_SHARED = re.compile(r"(^|/)_(?!(model|site|symptom)\.md\.j2$)")


@dataclass(frozen=True, slots=True)
class Rendered:
    """A page with its Markdown, and the revision code of what that shows."""

    page: Page
    text: str
    code: str


def render_pages(content: Path, book: Book, kept: bool = False) -> tuple[Rendered, ...]:
    """Render every page; `kept`: keep the compiled templates for the next run.

    PageFault for a template at fault or a page not fit to publish.
    """
    source = content / "pages"
    all_pages = pages(book, read_templates(source))
    ids = frozenset(page.id for page in all_pages)
    names = {name: getattr(book, name) for name in _NAMES} | {"pages": all_pages}
    templates = environment(source, kept)

    def rendered(page: Page) -> Rendered:
        text = render_page(
            templates, page, names | {"notices": book.notices.get(page.id, ())}, page_ids=ids, style=book.style
        )
        code = revision_code(unmarked(text).encode())
        marked = with_line(text, page, code, history=book.history, words=book.style.words)
        return Rendered(page, f"{marked.rstrip()}\n\n{_FOOT.format(code=code)}\n", code)

    return tuple(map(rendered, all_pages))


def write_pages(content: Path, folder: Path, book: Book) -> tuple[Rendered, ...]:
    """Write every page and asset to `folder`, leave unchanged files alone, remove stale ones; return the pages.

    Nothing is written unless every page renders.
    """
    rendered = render_pages(content, book, kept=True)
    files = {one.page.path: one.text.encode() for one in rendered}
    mirror(folder, files | {f"assets/{name}": data for name, data in read_assets(content / "assets").items()})
    return rendered


def read_assets(folder: Path) -> dict[str, bytes]:
    """Return the files under `folder` by their path in it.

    InputFaults for a link that is no file of the folder: what lies elsewhere was not put there to be published.
    """
    found, inside = sorted(folder.rglob("*")), folder.resolve()
    faults = [
        Fault(
            path.as_posix(), 1, 1, FILE_KEY, "this link is not to a file of this folder", "the file itself, copied here"
        )
        for path in found
        if path.is_symlink() and not (path.is_file() and path.resolve().is_relative_to(inside))
    ]
    if faults:
        raise InputFaults(faults)
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found if path.is_file()}


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
