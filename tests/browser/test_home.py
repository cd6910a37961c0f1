"""The first page leads to every site and every task within two screens of a phone, for few sites and for many."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from generator.assemble.documents import Book, SiteView
from generator.assemble.pages import FEW_SITES, navigation, pages
from generator.build import Loaded
from generator.render.pages.as_html import html_of
from generator.render.pages.markdown import environment, render_page
from generator.render.pages.write import names_of, read_templates
from tests.frozen import ROOT

pytestmark = pytest.mark.browser

PAGES = ROOT / "content" / "pages"
# The longest that fits about two screens: prototype of the first page.
LONGEST = 1700


def _another(view: SiteView, place: int, group: str) -> SiteView:
    id_, result = f"s{place}", view.result
    spec = view.spec.model_copy(update={"id": id_, "title": f"{view.spec.title} {place}", "group": group})
    findings, measured = (
        tuple(replace(one, subject=id_) for one in each) for each in (result.findings, result.measured)
    )
    return replace(view, spec=spec, result=replace(result, findings=findings, measured=measured))


def with_sites(book: Book, number: int, groups: int) -> Book:
    """The book with as many sites, in groups."""
    sites = tuple(
        _another(book.sites[place % len(book.sites)], place, f"Valley {place % groups:02}") for place in range(number)
    )
    return replace(book, sites=sites, card_codes={view.spec.id: "0000-0000" for view in sites})


def article(book: Book, page_id: str) -> str:
    every = pages(book, read_templates((PAGES,)))
    page = next(one for one in every if one.id == page_id)
    text = render_page(
        environment(PAGES),
        page,
        names_of(book, every) | {"notices": book.notices.get(page_id, ())},
        page_ids=frozenset(one.id for one in every),
        style=book.style,
    )
    return html_of(text)


@pytest.fixture(scope="module")
def phone(browser: Browser) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 390, "height": 844})
    yield page
    page.close()


def height(page: Page) -> int:
    return int(page.evaluate("document.documentElement.scrollHeight"))


def test_the_first_page_of_the_demo_is_short_and_puts_what_stops_first(site: Path, phone: Page) -> None:
    phone.goto((site / "index.html").as_uri())
    assert height(phone) <= LONGEST
    words = phone.locator(".home .standing").all_inner_texts()
    assert "STOP" in words and words == sorted(words, key=lambda word: word != "STOP")
    for row in phone.locator(".rows > li", has_text="STOP").all():
        assert len(row.locator("a span").inner_text().split(". ", 1)[1].split()) >= 3, "each with its reason"
    assert phone.locator(".home .rows").first.locator("a").count() == len(list((site / "sites").glob("*.html"))) - 1
    jobs = phone.locator(".jobs > li").all_inner_texts()
    assert len(jobs) >= 8 and all(
        job.split()[-1] in {"owner", "installer", "plumber", "electrician", "user"} for job in jobs
    )


@pytest.mark.parametrize("groups", [12, 30])
def test_with_600_sites_it_is_as_short_and_leads_to_their_groups(
    site: Path, phone: Page, loaded: Loaded, groups: int
) -> None:
    book = with_sites(loaded.book, 600, groups)
    phone.goto((site / "index.html").as_uri())
    phone.evaluate("html => document.querySelector('article').innerHTML = html", article(book, "index"))
    assert height(phone) <= LONGEST
    assert phone.evaluate("document.querySelectorAll('*').length") <= 1500
    assert phone.locator(".home .pairs").first.locator("a").count() == 12
    stops = phone.locator(".home .rows").first.locator("a").all_inner_texts()
    assert len(stops) == 3 and stops[-1].endswith("more STOP")


def test_the_list_of_600_sites_is_short_until_a_group_is_opened(site: Path, phone: Page, loaded: Loaded) -> None:
    text = article(with_sites(loaded.book, 600, 12), "sites/index")
    phone.goto((site / "sites" / "index.html").as_uri())
    phone.evaluate("html => document.querySelector('article').innerHTML = html", text)
    assert height(phone) <= 10_000
    assert len({*phone.locator(".group a").evaluate_all("all => all.map(one => one.getAttribute('href'))")}) == 600


def test_the_findings_of_600_sites_stand_check_by_check(site: Path, phone: Page, loaded: Loaded) -> None:
    """A line a check and severity with how many sites it found, the first six of them to tap on."""
    book = with_sites(loaded.book, 600, 12)
    text = article(book, "findings")
    assert len(text.encode()) <= 65_000
    phone.goto((site / "findings.html").as_uri())
    phone.evaluate("html => document.querySelector('article').innerHTML = html", text)
    assert height(phone) <= 10_000
    lines = phone.locator("details.check")
    counts: Counter[tuple[str, str]] = Counter()
    for one in lines.all():
        head = re.fullmatch(r"\W*(\w+) (.+): (\d+) sites?", one.locator("summary").inner_text().strip())
        assert head, one.locator("summary").inner_text()
        counts[head[1].lower(), head[2].lower()] += int(head[3])
        assert one.locator("a").count() == min(int(head[3]), 6)
    wanted = Counter(
        (one.severity, one.rule.replace("-", " "))
        for view in book.sites
        for one in (*view.result.findings, *view.result.measured)
        if one.severity != "ok"
    )
    assert counts == wanted and len(wanted) > 20


# What lists every site on purpose, each with a test of its own or folded by group.
OF_ALL_SITES = {"index", "sites/index", "findings"}


def test_no_other_page_grows_with_the_sites(loaded: Loaded) -> None:
    """What a page of all sites says of each of them stands on the site's own page once they are many."""
    lengths = []
    for number in (20, 60):
        book = with_sites(loaded.book, number, 4)
        every = pages(book, read_templates((PAGES,)))
        told = [one for one in every if not one.kind or one.kind == "symptom"]
        names = names_of(book, every) | {"licences": lambda: ()}
        ids, templates = frozenset(one.id for one in every), environment(PAGES)
        lengths.append(
            {
                one.id: len(
                    render_page(
                        templates,
                        one,
                        names | {"notices": book.notices.get(one.id, ())},
                        page_ids=ids,
                        style=book.style,
                    )
                )
                for one in told
            }
        )
    few, many = lengths
    assert len(few) > 40
    grown = {page for page in few if many[page] > few[page] + 40}
    assert grown <= OF_ALL_SITES, {page: (few[page], many[page]) for page in grown - OF_ALL_SITES}


def test_the_navigation_lists_sites_where_they_are_few(loaded: Loaded) -> None:
    for number in (FEW_SITES, FEW_SITES + 1):
        book = with_sites(loaded.book, number, 2)
        tree = navigation(pages(book, read_templates((PAGES,))))
        (sites,) = (value for entry in tree for title, value in entry.items() if title == "Sites")
        assert len(sites) == (1 + number if number == FEW_SITES else 1 + 2)
    assert sites[1:] == [{"Valley 00": "sites/index.html#group-1"}, {"Valley 01": "sites/index.html#group-2"}]


def test_the_emergency_number_stands_on_one_line(site: Path, page: Page) -> None:
    """Where all sites call one number it leads the first page; there it once broke into 91 and 1."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto((site / "index.html").as_uri())
    lines = page.evaluate(
        """() => {
          const number = document.createElement('a')
          Object.assign(number, {href: 'tel:911', textContent: '911', className: 'number'})
          document.querySelector('.alarm').prepend(number)
          return number.getBoundingClientRect().height / parseFloat(getComputedStyle(number).fontSize)
        }"""
    )
    assert lines < 2
