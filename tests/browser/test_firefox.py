"""The handbook in Firefox, of both site engines, from disk and from a server: its policy holds nothing of it back, what
got into a page does not run, and the search finds."""

import functools
import http.server
import os
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from generator.build import build
from tests.browser.firefox import Firefox, opened, program, until
from tests.frozen import copied

pytestmark = [pytest.mark.browser, pytest.mark.heavy]
REFUSED = "Content-Security-Policy"
PAGES = ("index.html", "search.html", "sites/creamery.html", "sites/creamery/working.html", "models/tarn-18.html")
INTRUDERS = """
const script = document.createElement("script");
script.textContent = "document.title = 'ran'";
document.body.append(script);
document.body.insertAdjacentHTML("beforeend", '<img src="none.png" onerror="document.title = &quot;ran&quot;">');
document.body.insertAdjacentHTML("beforeend", '<img src="https://elsewhere.example/a.png">');
"""


@pytest.fixture(scope="module")
def firefox(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    command = program()
    if command is None:
        message = "no Firefox found: apt-get install firefox-esr"
        pytest.fail(message) if os.environ.get("HANDBOOK_REQUIRE_BROWSER") else pytest.skip(message)
    with opened(command, tmp_path_factory.mktemp("profile")) as found:
        yield found


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="module", params=["mkdocs", "zensical"])
def built(site: Path, tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Path:
    if request.param == "mkdocs":
        return site
    root = tmp_path_factory.mktemp("zensical")
    build(copied(root), "zensical")
    return root / "build" / "site"


@pytest.fixture(params=["disk", "server"])
def address(built: Path, request: pytest.FixtureRequest) -> Iterator[str]:
    if request.param == "disk":
        yield f"{built.as_uri()}/"
        return
    handler = functools.partial(_Quiet, directory=str(built))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as served:
        threading.Thread(target=served.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{served.server_port}/"
        served.shutdown()


def held_back(firefox: Firefox) -> list[str]:
    return [text for text in firefox.said() if REFUSED in text]


def test_nothing_of_the_handbook_is_held_back_and_the_search_finds(firefox: Firefox, address: str) -> None:
    firefox.said()
    for name in PAGES:
        firefox.go(address + name)
        assert firefox.run("return document.styleSheets.length") >= 1
    firefox.go(f"{address}search.html?q=breaker")
    first = until(lambda: firefox.run("return document.querySelector('#found a')?.href ?? null"), "page found")
    assert first.startswith(address)
    assert held_back(firefox) == []


def test_what_got_into_a_page_does_not_run(firefox: Firefox, address: str) -> None:
    firefox.go(f"{address}index.html")
    title = firefox.run("return document.title")
    firefox.said()
    firefox.run(INTRUDERS)
    told: list[str] = []
    until(lambda: told.extend(held_back(firefox)) or (told if len(told) >= 3 else None), "refusal of all three")
    assert firefox.run("return document.title") == title
