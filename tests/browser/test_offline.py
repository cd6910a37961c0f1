"""The handbook opens from disk: nothing is loaded from another host, and the search works."""

import re
from html import unescape
from pathlib import Path
from urllib.parse import unquote

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import pages_of

pytestmark = pytest.mark.browser

# What makes a browser fetch something: attributes of elements that load, and the words of style sheets and scripts.
LOADS = re.compile(
    r"<(?:script|img|iframe|audio|video|source|track|embed|object|use|image)\b[^>]*?\b(?:src|srcset|data|href|poster)="
    r"[\"']?\s*(?:https?:)?//[^\"'\s>]+"
    r"|<link\b(?![^>]*\brel=[\"']?(?:canonical|next|prev)\b)[^>]*?\bhref=[\"']?\s*(?:https?:)?//[^\"'\s>]+"
    r"|@import\s+(?:url\()?\s*[\"']?(?:https?:)?//[^\"')\s]+"
    r"|url\(\s*[\"']?(?:https?:)?//[^\"')]+"
    r"|\b(?:fetch|importScripts|import)\(\s*[\"'`](?:https?:)?//[^\"'`]+",
    re.IGNORECASE,
)


@pytest.mark.parametrize(
    "text",
    [
        '<script src="https://host.example/a.js">',
        "<script async src=//host.example/a.js>",
        '<link rel="stylesheet" href="https://host.example/a.css">',
        '<img alt="a" src="http://host.example/a.png">',
        "@import url('https://host.example/a.css')",
        "a{background:url(https://host.example/a.png)}",
        'fetch("https://host.example/a.json")',
    ],
)
def test_the_search_for_loads_finds_them(text: str) -> None:
    assert LOADS.search(text)


def test_no_file_loads_anything_from_another_host(site: Path) -> None:
    files = [path for path in site.rglob("*") if path.suffix in {".html", ".css", ".js", ".svg"}]
    found = {
        (path.relative_to(site).as_posix(), load[0])
        for path in files
        for load in LOADS.finditer(path.read_text(encoding="utf-8"))
    }
    assert not found


def test_no_page_asks_for_another_host(site: Path, page: Page) -> None:
    asked: list[str] = []
    failed: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("pageerror", lambda error: failed.append(str(error)))
    for path in pages_of(site):
        page.goto(path.as_uri())
    assert [url for url in asked if not url.startswith(("file://", "data:", "blob:"))] == []
    assert failed == []


@pytest.mark.parametrize(
    ("query", "target", "shown"),
    [
        ("potting shed", "sites/potting-shed.html", "Potting shed"),
        ("Tarn 18", "models/tarn-18.html", "Tarn 18"),
        ("won't turn on", "fault-finding/no-heat.html", "Won"),
        ("8 AWG", None, "8\u00a0AWG"),
        ("422.11", None, "422.11"),
        ("descaling", "maintenance.html", "scale"),
    ],
)
def test_search_finds_and_leads_there(site: Path, page: Page, query: str, target: str | None, shown: str) -> None:
    page.goto((site / "index.html").as_uri())
    page.locator("input.md-search__input").click()
    page.locator("input.md-search__input").press_sequentially(query, delay=5)
    hits = page.locator("a.md-search-result__link")
    hits.first.wait_for()
    addresses = [unquote(hit.get_attribute("href") or "") for hit in hits.all()]
    wanted = next((place for place, url in enumerate(addresses[:8]) if target is None or target in url), None)
    assert wanted is not None, f"{target} is not among {addresses[:8]}"
    hits.nth(wanted).click()
    page.wait_for_url(lambda url: "index.html" not in url.split("/")[-1])
    expect(page.locator("article")).to_contain_text(shown)


def test_the_search_bears_a_book_full_of_figures(site: Path, page: Page) -> None:
    """Whatever letter or figure a search begins with, the search library does not fail (olivernn/lunr.js#503)."""
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto((site / "index.html").as_uri())
    box, answer = page.locator("input.md-search__input"), page.locator(".md-search-result__meta")
    box.click()
    for first in "0123456789abcdefghilmnoprstuvw":
        box.press_sequentially(first)
        expect(answer).to_contain_text("matching document")
        box.press("Backspace")
        expect(answer).to_contain_text("Type to start searching")
    assert said == []


def test_every_link_and_anchor_leads_somewhere(site: Path, page: Page) -> None:
    """In the finished HTML, so links inside HTML blocks are held too, which the engine does not read."""
    anchors: dict[str, set[str]] = {}
    links: list[tuple[Path, str]] = []
    for path in pages_of(site):
        text = path.read_text(encoding="utf-8")
        anchors[str(path)] = {unescape(anchor) for anchor in re.findall(r'\bid="?([^"\s>]+)', text)}
        links += [(path, unescape(link)) for link in re.findall(r'<a\b[^>]*?\bhref="([^"]*)"', text)]
    broken = set()
    for path, link in links:
        address, _, anchor = link.partition("#")
        if re.match(r"[a-z]+:", address):
            continue
        target = (path.parent / unquote(address)).resolve() if address else path
        known = anchors.get(str(target), set()) | {"", "__skip", "__search"}
        if not target.is_file() or (target.suffix == ".html" and unquote(anchor) not in known):
            broken.add((path.relative_to(site).as_posix(), link))
    assert not broken
