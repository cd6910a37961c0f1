"""WCAG 2.2 AA on every page of the demo, phone and desk, light and dark, by axe-core; and what axe cannot see."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import pages_of

pytestmark = pytest.mark.browser

PHONE, DESK = (390, 844), (1280, 900)
# axe's own words for WCAG 2.0 to 2.2, levels A and AA, and for what it calls best practice.
RULES = {
    "resultTypes": ["violations"],
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
}
# The dark scheme changes colours and nothing else.
COLOURS = RULES | {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}


@pytest.mark.heavy
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_axe_finds_nothing(site: Path, browser: Browser, size: tuple[int, int], scheme: str) -> None:
    page = browser.new_page(viewport={"width": size[0], "height": size[1]}, color_scheme=scheme)
    axe, found, rules = Axe(), [], RULES if scheme == "light" else COLOURS
    for path in pages_of(site):
        page.goto(path.as_uri())
        for violation in axe.run(page, options=rules).response["violations"]:
            nodes = [node["html"][:120] for node in violation["nodes"][:3]]
            found.append(f"{path.relative_to(site)}: {violation['id']}: {nodes}")
    page.close()
    assert not found, "\n".join(found)


def test_axe_sees_a_fault(site: Path, page: Page) -> None:
    page.goto((site / "index.html").as_uri())
    page.evaluate(
        """() => {
            const faint = document.createElement("p");
            faint.textContent = "faint";
            faint.style.color = "#ccc";
            document.querySelector("article").append(faint);
        }"""
    )
    found = {violation["id"] for violation in Axe().run(page, options=RULES).response["violations"]}
    assert "color-contrast" in found


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_system_s_colours_are_taken_and_can_be_changed(site: Path, browser: Browser, scheme: str) -> None:
    page = browser.new_page(color_scheme=scheme)
    page.goto((site / "index.html").as_uri())
    expected = {"light": "default", "dark": "slate"}
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", expected[scheme])
    page.locator("label[title='Change to light colours']").click()
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "default")
    page.locator("label[title='Change to dark colours']").click()
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
    page.close()


def test_working_opens_by_the_keyboard(site: Path, page: Page) -> None:
    page.goto((site / "expected-temperatures.html").as_uri())
    page.evaluate("document.querySelectorAll('details:not(.working)').forEach(fold => (fold.open = true))")
    summary = page.locator("details.working > summary").first
    steps = page.locator("details.working > .working-steps").first
    expect(steps).to_be_hidden()
    summary.focus()
    page.keyboard.press("Enter")
    expect(steps).to_be_visible()
    expect(steps).to_contain_text("Source:")


def test_the_first_key_leads_past_the_navigation(site: Path, page: Page) -> None:
    page.goto((site / "safety.html").as_uri())
    page.keyboard.press("Tab")
    expect(page.locator("a.md-skip")).to_be_focused()
