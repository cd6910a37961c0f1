"""The pocket page in another browser, and where there is no signal: it gives the same, and stays at hand."""

import functools
import http.server
import os
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from generator.render.pages.write import Rendered
from generator.render.site.self_contained import WORKER
from tests.browser import firefox
from tests.browser.firefox import Firefox
from tests.browser.pocket import write_pocket_pages

pytestmark = pytest.mark.browser

FILL = """
document.getElementById("calculator").open = true;
const form = document.getElementById("calculator-form"), [values] = arguments;
for (const [name, text] of Object.entries(values)) form.elements[name].value = text;
form.requestSubmit();
document.getElementById("keep").click();
document.getElementById("code").click();
const texts = ["answer", "kept-lines"].map(id => document.getElementById(id));
return texts.map(one => one.value || one.innerText)
  .concat(document.querySelectorAll("#kept-code svg path").length, localStorage.length,
    document.scrollingElement.scrollWidth - document.documentElement.clientWidth);
"""
READ = {"inlet": "57", "flow": "1.40", "volts L1-L2": "239", "outlet": "103"}


@pytest.fixture(scope="module")
def root(rendered: tuple[Rendered, ...], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The root of a handbook with its pocket pages and its worker."""
    folder = tmp_path_factory.mktemp("served")
    write_pocket_pages(folder, rendered)
    (folder / WORKER).write_bytes((folder / "assets" / WORKER).read_bytes())
    return folder


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Firefox]:
    command = firefox.program()
    if command is None:
        if os.environ.get("HANDBOOK_REQUIRE_BROWSER") == "1":
            pytest.fail("HANDBOOK_REQUIRE_BROWSER=1, but no Firefox is installed")
        pytest.skip("no Firefox is installed")
    with firefox.opened(command, tmp_path) as window:
        yield window


@pytest.mark.heavy
def test_firefox_gives_what_chromium_gives(root: Path, browser: Browser, other: Firefox) -> None:
    address = (root / "pocket" / "packing-house.html").as_uri()
    page = browser.new_page()
    page.goto(address)
    ours = page.evaluate(f"values => (function () {{{FILL}}})(values)", READ)
    page.close()
    other.go(address)
    assert other.run(FILL, READ) == ours
    assert "103\u00a0°F at the outlet" in ours[0] and ours[2:] == [1, 1, 0]


@pytest.mark.heavy
def test_firefox_opens_the_fold_that_an_address_or_a_link_leads_into(root: Path, other: Firefox) -> None:
    address, state = (
        (root / "pocket" / "packing-house.html").as_uri(),
        "return document.getElementById(arguments[0]).open",
    )
    other.go(f"{address}#faults-page-too-hot")
    assert [other.run(state, one) for one in ("faults-page", "faults-page-too-hot", "wire")] == [True, True, False]
    other.go(f"{address}#site")
    other.run("document.querySelector('a[href=\"#calculator\"]').click()")
    assert other.run(state, "calculator") is True


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing."""


@pytest.fixture
def served(root: Path) -> Iterator[str]:
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Quiet, directory=str(root))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


def opened(page: Page, address: str) -> None:
    """Open a page, and wait until the worker has kept it."""
    page.goto(address)
    page.wait_for_function("async url => Boolean(await caches.match(url))", arg=address)


def without_signal(context: BrowserContext, page: Page) -> None:
    """Take the network away; a worker learns of it a moment after its page."""
    context.set_offline(True)
    page.wait_for_timeout(500)


def until(page: Page, holds: Callable[[], object]) -> None:
    """Wait until something holds; a worker learns a moment after its page that the network is back."""
    for _ in range(20):
        if holds():
            return
        page.wait_for_timeout(250)
    pytest.fail("it did not come to hold in five seconds")


def test_what_was_opened_stays_at_hand_without_a_signal(root: Path, served: str, browser: Browser) -> None:
    context = browser.new_context()
    page = context.new_page()
    opened(page, f"{served}pocket/packing-house.html")
    without_signal(context, page)
    page.goto(f"{served}pocket/packing-house.html#card=AAAA-AAAA")
    assert page.locator("h1").inner_text() == "Packing house rinse sink"
    page.locator("#calculator > summary").click()
    page.locator("[name=inlet]").fill("57")
    page.locator("[name=flow]").fill("1.40")
    page.get_by_role("button", name="Work it out").click()
    assert "at the outlet" in page.locator("#answer").inner_text()
    context.set_offline(False)
    changed = root / "pocket" / "packing-house.html"
    before = changed.read_text(encoding="utf-8")
    changed.write_text(before.replace("<h1>Packing house", "<h1>The new packing house"), encoding="utf-8")
    until(page, lambda: page.reload() and page.locator("h1").inner_text() == "The new packing house rinse sink")
    changed.write_text(before, encoding="utf-8")
    context.close()


def test_a_page_that_was_not_opened_is_not_promised(served: str, browser: Browser) -> None:
    context = browser.new_context()
    page = context.new_page()
    opened(page, f"{served}pocket/packing-house.html")
    without_signal(context, page)
    with pytest.raises(Exception, match="ERR_"):
        page.goto(f"{served}pocket/creamery.html")
    context.close()
