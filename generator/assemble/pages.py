"""Which page shows what, in which order, and how the navigation nests them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from generator.assemble.documents import Book, ModelView, SiteView
from generator.model.faults import Symptom

Navigation = list[dict[str, "str | Navigation"]]


@dataclass(frozen=True, slots=True)
class Template:
    """A page template found under content/pages: its path there and what its first line says about it."""

    path: str
    title: str
    order: int
    audience: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its path in the site's source, its template, its title and order, and the subject it is about.

    `kind` is the subject's name in the template (`model`, `site`, `symptom`); `notices` are the ids of the safety
    notices that the page must show.
    """

    path: str
    template: str
    title: str
    order: int
    audience: str = ""
    kind: str = ""
    subject: ModelView | SiteView | Symptom | None = None
    notices: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """The permanent id that links and printed codes use: the path without its ending."""
        return self.path.removesuffix(".md")


def pages(book: Book, templates: Iterable[Template]) -> tuple[Page, ...]:
    """Return every page of the book, in reading order: one a template, one a model, a site and a symptom."""
    found = [page for template in templates for page in _of_template(book, template)]
    noticed = [replace(page, notices=_notice_ids(book, page)) for page in found]
    return tuple(sorted(noticed, key=lambda page: page.order))


def _of_template(book: Book, template: Template) -> list[Page]:
    title, order, audience = template.title, template.order, template.audience
    subjects = _subjects(book).get(template.path)
    if subjects is None:
        return [Page(template.path.removesuffix(".j2"), template.path, title, order, audience)]
    folder, kind, found = subjects
    return [
        Page(f"{folder}/{id_}.md", template.path, name, order, audience, kind, subject) for id_, name, subject in found
    ]


def _subjects(book: Book) -> dict[str, tuple[str, str, list[tuple[str, str, ModelView | SiteView | Symptom]]]]:
    """Return, by template made once a subject: the folder of its pages, the subject's name there, the subjects."""
    return {
        "_model.md.j2": ("models", "model", [(view.spec.id, view.spec.title, view) for view in book.models]),
        "_site.md.j2": ("sites", "site", [(view.spec.id, view.spec.title, view) for view in book.sites]),
        "_symptom.md.j2": ("fault-finding", "symptom", [(one.id, one.title, one) for one in book.symptoms.symptoms]),
    }


def _notice_ids(book: Book, page: Page) -> tuple[str, ...]:
    return tuple(active.notice.id for active in book.notices.get(page.id, ()))


def navigation(all_pages: Iterable[Page]) -> Navigation:
    """Return the pages nested by folder, each folder at the place of its first page and named after itself."""
    tree: Navigation = []
    folders: dict[str, Navigation] = {}
    for page in all_pages:
        folder, _, _ = page.path.rpartition("/")
        _branch(tree, folders, folder).append({page.title: page.path})
    return tree


def _branch(tree: Navigation, folders: dict[str, Navigation], folder: str) -> Navigation:
    if not folder:
        return tree
    if folder not in folders:
        folders[folder] = []
        parent, _, name = folder.rpartition("/")
        _branch(tree, folders, parent).append({name.replace("-", " ").capitalize(): folders[folder]})
    return folders[folder]
