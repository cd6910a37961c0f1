"""Every drawing of the handbook on one sheet, to be looked at: in light, dark and print, as wide as a phone and a desk.

`make contact-sheet` writes build/contact-sheet.html, and a picture beside it where Chromium is installed.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import sync_playwright

from generator.build import Folders, load
from generator.model.content.words import Style
from generator.render.drawing.sheet import on_paper
from tests import drawings
from tests.frozen import ROOT

PHONE, DESK = 358, 544  # widths of a drawing [px]: on a phone of 390, and at most on a page
WAYS = (("light", PHONE), ("dark", PHONE), ("print", PHONE), ("light", DESK))
STYLE = """body { font: 14px system-ui, sans-serif; margin: 12px }
.row { display: flex; gap: 12px; margin: 0 0 16px } .row > div { flex: none; padding: 6px }
.dark { --ink: #e8efed; --soft: #b3c0bd; --paper: #111917; --rule: #4b5a57; background: #111917 }
.print { filter: grayscale(1) } h2 { margin: 8px 0 }"""


def main() -> None:
    """Write the sheet and, where there is a browser, its picture."""
    css = (ROOT / "content" / "assets" / "drawing.css").read_text(encoding="utf-8")
    plain = on_paper(css).replace(".drawing", ".print .drawing")
    rows = "".join(f"<h2>{title}</h2>{_row(svg)}" for title, svg in _every())
    sheet = ROOT / "build" / "contact-sheet.html"
    sheet.parent.mkdir(exist_ok=True)
    styles = f"<style>{css}{plain}{STYLE}</style>"
    sheet.write_text(f'<!doctype html><meta charset="utf-8">{styles}{rows}\n', encoding="utf-8")
    print(sheet)
    if chromium := next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None):
        picture = _picture(sheet, chromium)
        print(picture)


def _row(svg: str) -> str:
    scheme = {"light": "default", "dark": "slate", "print": "default"}
    cells = (
        f'<div class="{way}" data-md-color-scheme="{scheme[way]}" style="width: {width}px">{svg}</div>'
        for way, width in WAYS
    )
    return f'<div class="row">{"".join(cells)}</div>'


def _every() -> Iterator[tuple[str, str]]:
    book = load(Folders(ROOT)).book
    materials = {name: one.title for name, one in book.pipes.materials.items()} if book.pipes else {}
    yield drawings.of_range(book.models, book.style)
    for model in book.models:
        for name, svg in drawings.of_model(model, Style(model.units, book.words)):
            yield f"{model.spec.title}: {name}", svg
    for site in book.sites:
        for name, svg in drawings.of_site(site, Style(site.units, book.words), book.burn_sources, materials):
            yield f"{site.spec.title}: {name}", svg


def _picture(sheet: Path, chromium: str) -> Path:
    picture = sheet.with_suffix(".png")
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        page = opened.new_page(viewport={"width": 1740, "height": 900}, device_scale_factor=0.5)
        page.goto(sheet.as_uri())
        page.screenshot(path=picture, full_page=True)
        opened.close()
    return picture


if __name__ == "__main__":
    main()
