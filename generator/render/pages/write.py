"""Writing the pages: every template of content/pages rendered into plain Markdown, with the assets beside it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from generator.assemble.documents import Book, SiteView
from generator.assemble.pages import FEW_SITES, SEARCHED_WHOLE, Page, Template, pages, units_on
from generator.assemble.revision_code import revision_code
from generator.errors import FILE_KEY, Fault, InputFaults, PageFault
from generator.model.content.words import Words
from generator.model.settings import ENGLISH, Settings
from generator.render.by_language import direction
from generator.render.escape import plain_text
from generator.render.files import mirror
from generator.render.pages.colors import STYLE, with_colors
from generator.render.pages.in_processes import in_processes
from generator.render.pages.kept import NOTHING_KEPT, SiteCache
from generator.render.pages.licences import licences
from generator.render.pages.markdown import environment, render_page
from generator.render.pages.marks import unmarked, with_line
from generator.render.pages.pocket import Pocket
from generator.render.progress import UNSEEN, Progress

SITES_A_PROCESS = 24  # a further process is worth its start where it has as many to render
_HEADER = re.compile(r"\{#(.+?)#\}")
_KEYS = {"title", "order", "audience", "also", "search", "folder"}
_SEARCHED = ("all", "title", "no")
_NAMES = (
    "settings",
    "models",
    "sites",
    "codes",
    "words",
    "findings",
    "symptoms",
    "stated",
    "trades",
    "tolerances",
    "method",
    "burns",
    "plumbing",
    "pipes",
    "burn_sources",
    "history",
    "card_codes",
)
_FOOT = Markup('<p class="page-code">{}</p>\n\n{}')
# At the foot of each sheet that a browser prints (CSS Paged Media Module Level 3, 4: page-margin boxes).
_SHEET = Markup("<style>@page{{@bottom-left{{content:{}}}}}</style>")
_ISSUE = Markup("<footer><p>{}</p></footer>\n")
_CODE = Markup("<strong>{}</strong>")
_EXPECTED = "start with {# title: …; order: 30; audience: …; also: …, …; search: all, title or no #}"
# A name with an underscore is shared by others, except those that make one page a subject.
_SHARED = re.compile(
    r"(^|/)_(?!((model|site)(_faults|_details)?|symptom)\.md\.j2$|(model_working|site_working|site_pocket)\.html\.j2$)"
)


@dataclass(frozen=True, slots=True)
class Rendered:
    """A page with its Markdown, and the revision code of what that shows."""

    page: Page
    text: str
    code: str


def render_pages(
    content: Path,
    book: Book,
    root: Path | None = None,
    *,
    kept: SiteCache = NOTHING_KEPT,
    progress: Progress = UNSEEN,
) -> tuple[Rendered, ...]:
    """Render every page. `root`: the root of the project that keeps the compiled templates for the next run; `kept`:
    what keeps the pages of each site.

    PageFault for a template at fault or a page not fit to publish.
    """
    sources = template_folders(content, book.settings.language)
    all_pages = pages(book, read_templates(sources))
    renderer = _Renderer(content, book, all_pages, templates=environment(sources, root))
    of_site: dict[str, list[Page]] = {}
    for page in all_pages:
        if isinstance(page.subject, SiteView):
            of_site.setdefault(page.subject.spec.id, []).append(page)

    def made_of(site: str) -> Mapping[str, tuple[str, str]]:
        made = {one.page.id: (one.text, one.code) for one in renderer.of_site(of_site[site])}
        return kept.keep(site, made)  # type: ignore[no-any-return]

    found = {site: kept.load(site) for site in of_site}
    missing = [site for site, made in found.items() if made is None]
    progress.step("rendering the pages of sites", len(missing))
    for site, pages_made in zip(missing, in_processes(made_of, missing, SITES_A_PROCESS), strict=True):
        found[site] = pages_made
        progress.advance()
    progress.step("rendering the other pages")
    made = {page.id: Rendered(page, *found[site][page.id]) for site, own in of_site.items() for page in own}
    return tuple(made.get(page.id) or renderer.rendered(page) for page in all_pages)


class _Renderer:
    """Renders pages of a book: the templates, and what every one of them may read."""

    def __init__(self, content: Path, book: Book, all_pages: tuple[Page, ...], *, templates: Environment) -> None:
        self._book, self._templates = book, templates
        self._pages = {page.id: page for page in all_pages}
        self._models = {view.spec.id: view for view in book.models}
        # Licences are read by the page that shows them.
        self._names = names_of(book, all_pages) | {"licences": partial(licences, content)}
        self._ids = frozenset(self._pages)

    def of_site(self, own: Iterable[Page]) -> Iterator[Rendered]:
        """Yield the pages of one site, which see no other: what is kept of it would not follow from the others."""
        own = tuple(own)
        site = own[0].subject
        assert isinstance(site, SiteView)
        model = replace(self._models[site.heater.id], sites=(site.spec,))
        alone = {"sites": (site,), "models": (model,), "pages": own, "findings": site.result.findings}
        texts = {page.id: self._text(page, alone) for page in own if page.part != "pocket"}
        pocket = Pocket(self._pages, texts, lambda page: self._text(page, alone))
        for page in own:
            more = {} if page.id in texts else pocket.names(page, units_on(page, self._book.settings))
            yield self._finished(page, texts.get(page.id) or self._text(page, {**alone, **more}))

    def rendered(self, page: Page) -> Rendered:
        """Return a page that is not of one site."""
        return self._finished(page, self._text(page))

    def _text(self, page: Page, own: Mapping[str, Any] = MappingProxyType({})) -> str:
        book = self._book
        notices, style = book.notices.get(page.id, ()), replace(book.style, units=units_on(page, book.settings))
        names = {**self._names, "notices": notices, **own}
        return render_page(self._templates, page, names, page_ids=self._ids, style=style)

    def _finished(self, page: Page, text: str) -> Rendered:
        code = revision_code(unmarked(text).encode())
        marked = with_line(text, page, code, history=self._book.history, words=self._book.style.words)
        return Rendered(page, _with_foot(marked, code, book=self._book), code)


def names_of(book: Book, all_pages: tuple[Page, ...]) -> dict[str, Any]:
    """Return what every template may read: the parts of the book, its pages, how many sites are few and how many are
    searched in one index, and the direction of the language."""
    own = {
        "pages": all_pages,
        "few_sites": FEW_SITES,
        "searched_whole": SEARCHED_WHOLE,
        "direction": direction(book.settings.language),
    }
    return {name: getattr(book, name) for name in _NAMES} | own


def issue_line(settings: Settings, words: Words) -> str:
    """Return who publishes the handbook, its revision and date, as they stand at the foot of every page."""
    date = settings.date.isoformat()
    return words.pages["issue"].format(publisher=settings.imprint, revision=settings.revision, date=date)


def _with_foot(text: str, code: str, *, book: Book) -> str:
    """Return a page with its revision code at its foot.

    A page of HTML has it inside its main part, and after that the line that the engine puts below other pages.
    """
    words = book.words.pages["page-code"]
    foot = _FOOT.format(
        _CODE.format(code).join(map(plain_text, words.split("{code}"))), _sheet(words.format(code=code))
    )
    body, end, rest = text.rpartition("</main>")
    if not end:
        return f"{rest.rstrip()}\n\n{foot}\n"
    issue = _ISSUE.format(issue_line(book.settings, book.words))
    return f"{body.rstrip()}\n\n{foot}\n{end}\n{issue}{rest.lstrip()}"


def _sheet(text: str) -> Markup:
    """Return the style that puts a text at the foot of each sheet; its signs escaped, so that they stay in the text."""
    return _SHEET.format(
        Markup('"{}"').format(Markup("".join(one if one.isalnum() else f"\\{ord(one):x} " for one in text)))
    )


def write_pages(
    content: Path,
    folder: Path,
    book: Book,
    *,
    root: Path | None = None,
    kept: SiteCache = NOTHING_KEPT,
    progress: Progress = UNSEEN,
) -> tuple[Rendered, ...]:
    """Write every page and asset to `folder`, leave unchanged files alone, remove stale ones; return the pages.

    Nothing is written unless every page renders.
    """
    rendered = render_pages(content, book, root, kept=kept, progress=progress)
    mirror(folder, page_files(content, rendered, book.settings))
    return rendered


def page_files(content: Path, rendered: Iterable[Rendered], settings: Settings) -> dict[str, bytes]:
    """Return the files that the site engine is given: every page and asset, by path."""
    assets = read_assets(content / "assets")
    if settings.language != ENGLISH:
        assets |= read_assets(content / settings.language / "assets")
    assets[STYLE] = with_colors(assets[STYLE].decode(), settings.colors).encode()
    return {one.page.path: one.text.encode() for one in rendered} | {
        f"assets/{name}": data for name, data in assets.items()
    }


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


def template_folders(content: Path, language: str) -> tuple[Path, ...]:
    """Return the folders of page templates: those of the language stand for their English namesakes."""
    english = content / "pages"
    return (english,) if language == ENGLISH else (content / language / "pages", english)


def read_templates(folders: tuple[Path, ...]) -> tuple[Template, ...]:
    """Return the page templates with what their first lines say, each from the first of `folders` that has it.

    PageFault for a wrong first line.
    """
    found = sorted(path.relative_to(folders[-1]).as_posix() for path in folders[-1].rglob("*.j2"))
    chosen = {path: next(one for one in folders if (one / path).exists()) for path in found}
    return tuple(read_template(folder, path) for path, folder in chosen.items() if not _SHARED.search(path))


def read_template(folder: Path, path: str) -> Template:
    """Return one template's path and what its first line says."""
    try:
        text = (folder / path).read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise PageFault(f"{path}:{line}: this is not UTF-8 text; save the template as UTF-8") from None
    header = _HEADER.match(text)
    if header is None:
        raise PageFault(f"{path}:1: the template does not say what page it makes; {_EXPECTED}")
    entries = [entry.partition(":") for entry in header[1].split(";") if entry.strip()]
    said = {key.strip(): value.strip() for key, _, value in entries}
    if (
        not {"title", "order"} <= said.keys() <= _KEYS
        or not said["order"].isdecimal()
        or said.get("search", "all") not in _SEARCHED
    ):
        raise PageFault(f"{path}:1: '{header[1].strip()}' does not say what page it makes; {_EXPECTED}")
    also = tuple(word.strip() for word in said.get("also", "").split(",") if word.strip())
    return Template(
        path,
        said["title"],
        int(said["order"]),
        said.get("audience", ""),
        also,
        search=said.get("search", "all"),
        folder=said.get("folder", ""),
    )
