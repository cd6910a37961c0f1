"""The licences of all that the handbook carries, as their makers wrote them.

What each asks to be kept: MIT and BSD, the copyright line and the notice; OFL 1.1, 2: the copyright notice and the
licence; the DejaVu fonts' licence, both makers' notices (read in the texts themselves).
"""

import re
from importlib import metadata

import pytest

from generator.render.pages.licences import licences
from tests.frozen import ROOT

FOUND = {one.what: one for one in licences(ROOT / "content")}


@pytest.mark.parametrize(
    ("what", "kept"),
    [
        ("theme", "Copyright (c) 2016-2025 Martin Donath"),
        ("theme", "The above copyright notice and this permission notice shall be included"),
        ("icons", "Pictogrammers"),
        ("engine", "Redistributions in binary form must reproduce the above copyright notice"),
        ("search", "Luca Ongaro"),
        ("search", "Titus Wormer"),
        ("text font", "SIL OPEN FONT LICENSE Version 1.1"),
        ("sign font", "Copyright (c) 2003 by Bitstream, Inc."),
        ("sign font", "Copyright (c) 2006 by Tavmjong Bah."),
    ],
)
def test_a_licence_holds_what_it_asks_to_be_kept(what: str, kept: str) -> None:
    said = " ".join(FOUND[what].parts)  # type: ignore[index]
    assert kept in said


def test_a_licence_names_the_version_that_is_installed() -> None:
    assert metadata.version("mkdocs-material") in FOUND["theme"].name


def test_every_font_that_print_uses_has_its_licence() -> None:
    fonts = {re.match(r"[A-Za-z]+?Sans", path.name)[0] for path in (ROOT / "content/print/fonts").glob("*.ttf")}  # type: ignore[index]
    texts = {path.name.removesuffix("-LICENSE.txt") for path in (ROOT / "content/print/fonts").glob("*-LICENSE.txt")}
    assert fonts == texts
    assert {name.replace("Sans", " Sans") for name in fonts} == {FOUND["text font"].name, FOUND["sign font"].name}
