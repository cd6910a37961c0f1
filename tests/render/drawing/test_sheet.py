"""The style of the drawings: every class has a rule, on the page, alone and on paper."""

import re

from generator.build import Loaded
from generator.render.drawing.sheet import alone, on_paper
from generator.render.pages.write import Rendered
from tests.frozen import ROOT

CSS = (ROOT / "content" / "assets" / "drawing.css").read_text(encoding="utf-8")
# Of whole drawings, and of a color with no rule.
NAMES = {"drawing", "outlet", "wiring", "lines", "readings", "other", "rise", "served", "year", "burn", "pressure"}
NAMES |= {"piping", "mounting"}


def test_every_class_of_a_drawing_has_a_rule_and_every_rule_a_drawing(rendered: tuple[Rendered, ...]) -> None:
    drawings = "".join(svg for one in rendered for svg in re.findall(r'<svg class="drawing.*?</svg>', one.text))
    used = {name for names in re.findall(r'class="([\w -]+)"', drawings) for name in names.split()} - NAMES
    ruled = set(re.findall(r"\.drawing \.([\w-]+)", CSS))
    assert used <= ruled
    assert ruled - used <= {
        "dotted",
        "orange",
        "gray",
        "grey",
        "dashed",
        "node",
        "thin",
    }  # drawn where no demo site has it


def test_paper_gets_fallbacks_and_neither_variables_nor_nested_rules() -> None:
    style = on_paper(CSS)
    assert "var(" not in style and "@media" not in style and "slate" not in style and "/*" not in style
    assert ".drawing .warm { fill: none; stroke: #7a2048;" in style


def test_alone_it_holds_its_style_and_both_schemes(loaded: Loaded) -> None:
    svg = alone('<svg class="drawing"><title>t</title></svg>', CSS)
    assert svg.startswith('<svg class="drawing"><style>') and "prefers-color-scheme:dark" in svg
    assert "--draw-warm: #f0a3c2" in svg and "--ink:#e8efed" in svg and "slate" not in svg
