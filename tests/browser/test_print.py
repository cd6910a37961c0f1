"""On paper: the safety notices keep their words and signs, the navigation and the working stay away."""

import io
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

pytestmark = pytest.mark.browser


@pytest.fixture
def printed(site: Path, page: Page) -> str:
    """The text of the printed page of a site."""
    page.goto((site / "sites" / "farm-stand.html").as_uri())
    pdf = page.pdf(format="Letter", margin={side: "15mm" for side in ("top", "right", "bottom", "left")})
    return " ".join(" ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(pdf)).pages).split())


def test_a_printed_page_holds_its_notices_and_findings(printed: str) -> None:
    for word in ("DANGER", "WARNING", "Local codes govern", "STOP", "Revision code of this page"):
        assert word in printed


def test_a_printed_page_leaves_out_what_paper_cannot_use(printed: str) -> None:
    for text in ("working ▸", "working ▾", "of every cell", "Table of contents"):
        assert text not in printed


def test_every_sheet_carries_its_number_and_the_code_of_the_page(site: Path, page: Page) -> None:
    for name in ("sites/farm-stand", "sites/farm-stand/details", "sites/farm-stand/working", "safety"):
        page.goto((site / f"{name}.html").as_uri())
        code = page.locator(".page-code strong").inner_text()
        sheets = PdfReader(io.BytesIO(page.pdf(format="Letter", prefer_css_page_size=True))).pages
        assert len(sheets) > 1
        for number, sheet in enumerate(sheets, 1):
            text = " ".join(sheet.extract_text().split())
            assert f"Revision code of this page: {code}" in text and f"{number} / {len(sheets)}" in text, name


def test_in_print_nothing_scrolls_and_the_signs_stand(site: Path, page: Page) -> None:
    page.goto((site / "sites" / "farm-stand.html").as_uri())
    page.emulate_media(media="print")
    expect(page.locator(".md-sidebar--primary")).to_be_hidden()
    expect(page.locator(".safety .signal .alert").first).to_be_visible()
    assert page.locator(".scroll").evaluate_all(
        "boxes => boxes.every(b => getComputedStyle(b).overflowX === 'visible')"
    )


def test_a_notice_survives_in_grey(site: Path, page: Page) -> None:
    """Word and sign carry the meaning: in greyscale the head still stands out 4.5 to 1 from its text."""
    page.goto((site / "safety.html").as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(fold => (fold.open = true))")
    pairs = page.locator(".safety .head").evaluate_all(
        "heads => heads.map(h => [getComputedStyle(h).backgroundColor, getComputedStyle(h).color, h.innerText.trim()])"
    )
    assert {word for *_, word in pairs} >= {"DANGER", "WARNING", "CAUTION", "NOTICE"}
    for background, text, word in pairs:
        light, dark = sorted((luminance(background), luminance(text)), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5, word


def luminance(colour: str) -> float:
    """Relative luminance of `rgb(r, g, b)`; WCAG 2.2, definition of relative luminance."""
    channels = [int(part) / 255 for part in colour[4:-1].split(",")]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
