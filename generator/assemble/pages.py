"""Which page shows what, in which order, and how the navigation nests them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from generator.assemble.documents import Book, ModelView, SiteView
from generator.model.content.symptoms import Symptom
from generator.model.content.words import Units
from generator.model.settings import Settings

Navigation = list[dict[str, "str | Navigation"]]
# The pages of a subject besides its first, which the navigation leaves out: that page leads there.
Part = Literal["", "faults", "details", "working", "pocket"]
Subject = ModelView | SiteView | Symptom
# As many sites as the first page and the navigation list one by one; more are listed by group on a page of theirs.
FEW_SITES = 8
# As many sites as are searched in one index; of more it holds the heads, and each group has one of its own.
SEARCHED_WHOLE = 150


@dataclass(frozen=True, slots=True)
class Template:
    """A page template found under content/pages: its path there and what its first line says about it.

    `also`: what its pages are searched by besides their own words; `search`: how much of them is, the `title` or all;
    `folder`: what the navigation calls the folder that it stands in.
    """

    path: str
    title: str
    order: int
    audience: str = ""
    also: tuple[str, ...] = ()
    search: str = "all"
    folder: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its path in the site's source, its template, its title and order, and the subject it is about.

    `kind` is the subject's name in the template (`model`, `site`, `symptom`); `part` which page of its subject it is,
    beside the first one; `notices` are the ids of the safety notices that the page must show; `also` what it is
    searched by besides its own words, `search` whether by more than its title, `folder` what its folder is called.
    `left_out`: it stands neither in menu nor book.
    """

    path: str
    template: str
    title: str
    order: int
    audience: str = ""
    kind: str = ""
    part: Part = ""
    subject: Subject | None = None
    notices: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    search: str = "all"
    folder: str = ""
    left_out: bool = False

    @property
    def id(self) -> str:
        """The permanent id that links and printed codes use: the path without its ending."""
        return self.path.rpartition(".")[0]

    @property
    def is_html(self) -> bool:
        """Whether the template makes a page of HTML, which goes past the Markdown and the search."""
        return self.path.endswith(".html")

    @property
    def working_at(self) -> str:
        """The id of the page that holds the working of this one's figures; "" where each opens where it stands."""
        of_one = self.kind in ("model", "site")
        return f"{self.id.removesuffix(f'/{self.part}')}/working" if of_one else ""


# In the menu nothing comes before these; a page that the settings put first stands above every order.
_ALWAYS_FIRST, MOST_FIRST = ("index", "emergency"), 1000
_ALL_SITES = "sites/index"


def pages(book: Book, templates: Iterable[Template]) -> tuple[Page, ...]:
    """Return every page of the book, in reading order: one a template, one a model, a site and a symptom."""
    found = [page for template in templates for page in _of_template(book, template)]
    noticed = [replace(page, notices=_notice_ids(book, page)) for page in found]
    first = {page: place for place, page in enumerate((*_ALWAYS_FIRST, *book.settings.pages_first), -MOST_FIRST)}
    out = set(book.settings.pages_left_out)
    kept = (replace(page, left_out=True, search="no") if page.id in out else page for page in noticed)
    return tuple(sorted(kept, key=lambda page: (first.get(page.id, 0), page.order)))


def _of_template(book: Book, template: Template) -> list[Page]:
    page = Page(
        template.path.removesuffix(".j2"),
        template.path,
        template.title,
        template.order,
        template.audience,
        also=template.also,
        search=template.search,
        folder=template.folder,
    )
    if template.path not in _OF_SUBJECTS:
        return [page]
    path, kind, part = _OF_SUBJECTS[template.path]
    return [
        replace(
            page,
            path=path.format(id_),
            title=f"{name}: {template.title}" if part else name,
            kind=kind,
            part=part,
            subject=subject,
            also=(*template.also, *subject.also) if isinstance(subject, Symptom) else template.also,
        )
        for id_, name, subject in _subjects(book, kind)
    ]


# By template made once a subject: the path of its pages, the subject's name there, and which of its pages it is.
_OF_SUBJECTS: dict[str, tuple[str, str, Part]] = {
    "_model.md.j2": ("models/{}.md", "model", ""),
    "_model_faults.md.j2": ("models/{}/faults.md", "model", "faults"),
    "_model_details.md.j2": ("models/{}/details.md", "model", "details"),
    "_model_working.html.j2": ("models/{}/working.html", "model", "working"),
    "_site.md.j2": ("sites/{}.md", "site", ""),
    "_site_faults.md.j2": ("sites/{}/faults.md", "site", "faults"),
    "_site_details.md.j2": ("sites/{}/details.md", "site", "details"),
    "_site_working.html.j2": ("sites/{}/working.html", "site", "working"),
    "_site_pocket.html.j2": ("pocket/{}.html", "site", "pocket"),
    "_symptom.md.j2": ("fault-finding/{}.md", "symptom", ""),
}


def _subjects(book: Book, kind: str) -> list[tuple[str, str, Subject]]:
    """Return the subjects of a kind: id, title and what its template sees."""
    if kind == "symptom":
        return [(one.id, one.title, one) for one in book.symptoms.symptoms]
    views = book.models if kind == "model" else book.sites
    return [(view.spec.id, view.spec.title, view) for view in views]


def _notice_ids(book: Book, page: Page) -> tuple[str, ...]:
    return tuple(active.notice.id for active in book.notices.get(page.id, ()))


def units_on(page: Page, settings: Settings) -> Units:
    """Return the units of a page: those of the handbook, but on a page of a site or a heater its own alone.

    On the IEC basis they are SI units, on the basis of the United States customary ones; the working shows both.
    """
    subject = page.subject
    if settings.units != "both" or page.part == "working" or not isinstance(subject, SiteView | ModelView):
        return settings.units
    return subject.units


def unlisted(all_pages: Iterable[Page]) -> tuple[str, ...]:
    """Return the paths of the pages that the navigation leaves out: other pages lead there.

    They are those of a subject beside its first one, all sites where they are many, and what the settings leave out.
    """
    everything = tuple(all_pages)
    many = sum(page.kind == "site" and not page.part for page in everything) > FEW_SITES
    hidden = (page for page in everything if page.part or page.left_out or (many and page.kind == "site"))
    return tuple(page.path for page in hidden)


def navigation(all_pages: Iterable[Page]) -> Navigation:
    """Return the pages nested by folder, each at the place of its first page, named as a page in it says or as it is.

    What `unlisted` holds is not. In the place of many sites stand their groups, where any site states one.
    """
    tree: Navigation = []
    folders: dict[str, Navigation] = {}
    everything = tuple(all_pages)
    left_out, called = set(unlisted(everything)), {}
    for page in everything:
        if page.folder:
            called[page.path.rpartition("/")[0]] = page.folder
    for page in everything:
        if page.path in left_out:
            continue
        folder, _, _ = page.path.rpartition("/")
        branch = _branch(tree, folders, folder, called=called)
        branch.append({page.title: page.path})
        if page.id == _ALL_SITES:
            branch += _groups([one.subject for one in everything if not one.part and one.path in left_out])
    return tree


def _groups(left_out: Iterable[Subject | None]) -> Navigation:
    """Return where the page of all sites lists each group of the sites that are left out, in its order."""
    sites = [one for one in left_out if isinstance(one, SiteView)]
    if not any(view.spec.group for view in sites):
        return []
    names: dict[str, str] = {}
    for view in sites:
        names.setdefault(view.group.lower(), view.group)
    return [{names[key]: f"{_ALL_SITES}.html#group-{number}"} for number, key in enumerate(sorted(names), 1)]


def _branch(tree: Navigation, folders: dict[str, Navigation], folder: str, *, called: Mapping[str, str]) -> Navigation:
    if not folder:
        return tree
    if folder not in folders:
        folders[folder] = []
        parent, _, name = folder.rpartition("/")
        title = called.get(folder) or name.replace("-", " ").capitalize()
        _branch(tree, folders, parent, called=called).append({title: folders[folder]})
    return folders[folder]
