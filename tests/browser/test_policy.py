"""Each page carries a policy that a browser holds: what belongs to the handbook works, what does not is not run."""

import functools
import http.server
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import pages_of

pytestmark = pytest.mark.browser
REFUSED = "Content Security Policy"


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="module")
def server(site: Path) -> Iterator[str]:
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Quiet, directory=str(site))) as served:
        threading.Thread(target=served.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{served.server_port}/"
        served.shutdown()


def address(site: Path, server: str, path: Path, served: bool) -> str:
    return server + path.relative_to(site).as_posix() if served else path.as_uri()


def test_every_page_carries_a_policy(site: Path) -> None:
    lacking = [path.name for path in pages_of(site) if 'http-equiv="Content-Security-Policy"' not in path.read_text()]
    assert lacking == []


@pytest.mark.parametrize("served", [False, True], ids=["from disk", "served"])
def test_what_belongs_to_the_handbook_is_not_held_back(site: Path, server: str, page: Page, served: bool) -> None:
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    kinds = ("index.html", "search.html", "sites/creamery.html", "sites/creamery/working.html", "models/tarn-18.html")
    for name in kinds:
        page.goto(address(site, server, site / name, served))
        page.wait_for_load_state("networkidle")
    assert [text for text in said if REFUSED in text] == []
    page.goto(address(site, server, site / "search.html", served) + "?q=breaker")
    page.wait_for_selector("#found li")


@pytest.mark.parametrize("served", [False, True], ids=["from disk", "served"])
def test_what_got_into_a_page_all_the_same_does_not_run(site: Path, server: str, page: Page, served: bool) -> None:
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto(address(site, server, site / "index.html", served))
    page.evaluate(
        """() => {
            const script = document.createElement("script");
            script.textContent = "window.ran = true";
            document.body.append(script);
            document.body.insertAdjacentHTML("beforeend", '<img src="none.png" onerror="window.ran = true">');
            document.body.insertAdjacentHTML("beforeend", '<img src="https://elsewhere.example/a.png">');
        }"""
    )
    page.wait_for_timeout(200)
    assert page.evaluate("window.ran") is None
    assert sum(REFUSED in text for text in said) >= 3
