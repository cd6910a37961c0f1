"""The handbook opens from disk: no file loads anything from another host, and every link leads somewhere."""

import re
from collections import Counter
from html import unescape
from pathlib import Path
from urllib.parse import unquote

import pytest

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


def test_every_link_and_anchor_leads_somewhere(site: Path) -> None:
    """In the finished HTML, so links inside HTML blocks are held too, which the engine does not read."""
    anchors: dict[str, set[str]] = {}
    links: list[tuple[Path, str]] = []
    for path in pages_of(site):
        text = path.read_text(encoding="utf-8")
        anchors[str(path)] = {unescape(anchor) for anchor in re.findall(r'\bid="?([^"\s>]+)', text)}
        found = re.findall(r'<(?:a|link|img|script|form)\b[^>]*?\s(?:href|src|action|data-theme)="([^"]*)"', text)
        links += [(path, unescape(link)) for link in found]
    broken = set()
    for path, link in links:
        address, _, anchor = link.partition("#")
        if re.match(r"[a-z]+:", address):
            continue
        target = (path.parent / unquote(address)).resolve() if address else path
        known = anchors.get(str(target), set()) | {""}
        if not target.is_file() or (target.suffix == ".html" and unquote(anchor) not in known):
            broken.add((path.relative_to(site).as_posix(), link))
    assert not broken


def test_no_page_gives_an_id_twice(site: Path) -> None:
    """HTML Living Standard, 3.2.6: an id is unique in its tree."""
    twice = {
        (path.relative_to(site).as_posix(), name)
        for path in pages_of(site)
        for name, times in Counter(re.findall(r'<[^<>]*\sid="([^"]+)"', path.read_text(encoding="utf-8"))).items()
        if times > 1
    }
    assert not twice
