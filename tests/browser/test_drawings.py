"""No label of a drawing lies on another or leaves its frame, whatever the model and the site: boxes in a real browser.

With the widest common face, at the width of a phone of 390 px, where no text is smaller than 12.5 px.
"""

from contextlib import suppress
from dataclasses import replace
from typing import Any

import pytest
from playwright.sync_api import Browser

from generator.assemble.documents import ModelView
from generator.build import Loaded
from generator.compute.model import compute_model
from generator.errors import CannotCompute
from generator.model.content.words import Style
from tests import drawings
from tests.frozen import ROOT
from tests.print.random_sites import random_views
from tests.sample import sample
from tests.styles import WORDS

pytestmark = [pytest.mark.browser, pytest.mark.heavy]

MOST_BYTES = 60_000  # of the drawings of a site
NOISE = 1.1  # px by which Chromium rounds a box out on each side
CSS = (ROOT / "content" / "assets" / "drawing.css").read_text(encoding="utf-8")
PAGE = '<!doctype html><meta charset="utf-8"><style>body {{ margin: 16px; font-family: "DejaVu Sans" }} {}</style>{}'
MEASURE = """() => [...document.querySelectorAll('svg.drawing')].map(svg => {
  const frame = svg.getBoundingClientRect(), scale = frame.width / svg.viewBox.baseVal.width
  return {name: svg.parentElement.id, texts: [...svg.querySelectorAll('text')].map(one => {
    const {x, y, width, height} = one.getBBox()  // of the letters, without the edge that keeps them off lines
    const box = [x, y, x + width, y + height], [, , wide, tall] = svg.getAttribute('viewBox').split(' ').map(Number)
    return {text: one.textContent, size: parseFloat(getComputedStyle(one).fontSize) * scale, box,
      within: box[0] >= -NOISE && box[2] <= wide + NOISE && box[1] >= -NOISE && box[3] <= tall + NOISE}
  })}
})""".replace("NOISE", str(NOISE))


def faults(drawing: dict[str, Any]) -> list[str]:
    """What is wrong with the labels of one drawing."""
    texts = drawing["texts"]
    out = [f"{one['text']!r} leaves the frame" for one in texts if not one["within"]]
    out += [f"{one['text']!r} has {one['size']:.1f} px" for one in texts if one["size"] < 12.5]
    for place, one in enumerate(texts):
        for other in texts[place + 1 :]:
            (left, top, right, bottom), (left_2, top_2, right_2, bottom_2) = one["box"], other["box"]
            apart = right <= left_2 + 2.0 * NOISE or right_2 <= left + 2.0 * NOISE
            if not apart and top + 2.0 < bottom_2 and top_2 + 2.0 < bottom:  # a line's box is taller than its letters
                out.append(f"{one['text']!r} lies on {other['text']!r}")
    return [f"{drawing['name']}: {one}" for one in out]


def test_no_label_lies_on_another_or_leaves_its_frame(loaded: Loaded, browser: Browser) -> None:
    inputs, made, models = loaded.inputs, [], 0
    materials = {name: one.title for name, one in inputs.pipes.materials.items()}
    for settings, view in random_views(inputs, 11, sample(14, 200)):
        style = Style(view.units, WORDS)
        of_site = list(drawings.of_site(view, style, inputs.burns, materials))
        assert sum(len(svg.encode()) for _, svg in of_site) <= MOST_BYTES, view.spec.id
        changed = replace(inputs, models=(view.heater,), sites=(view.spec,))
        both = list(of_site)
        with suppress(CannotCompute):  # another line of its nameplate may be one that no circuit may feed
            result = compute_model(view.heater, changed)
            model = ModelView(view.heater, result, (), view.basis, WORDS, inputs.tolerances)
            both += drawings.of_model(model, style)
            models += 1
        made += [f'<div id="{view.spec.id} {name} {settings.units}">{svg}</div>' for name, svg in both]
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.set_content(PAGE.format(CSS, "".join(made)))
    measured = page.evaluate(MEASURE)
    page.close()
    assert len(measured) == len(made) > 80 and models > 10
    found = [one for drawing in measured for one in faults(drawing)]
    assert not found, "\n".join(found)


def test_the_drawings_of_the_demo_keep_apart_too(loaded: Loaded, browser: Browser) -> None:
    book, made = loaded.book, []
    assert book.pipes is not None
    materials = {name: one.title for name, one in book.pipes.materials.items()}
    for view in book.sites:
        named = drawings.of_site(view, Style(view.units, book.words), book.burn_sources, materials)
        made += [f'<div id="{view.spec.id} {name}">{svg}</div>' for name, svg in named]
    for model in book.models:
        named = drawings.of_model(model, Style(model.units, book.words))
        made += [f'<div id="{model.spec.id} {name}">{svg}</div>' for name, svg in named]
    made.append(f"<div>{drawings.of_range(book.models, book.style)[1]}</div>")
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.set_content(PAGE.format(CSS, "".join(made)))
    measured = page.evaluate(MEASURE)
    page.close()
    found = [one for drawing in measured for one in faults(drawing)]
    assert not found, "\n".join(found)
