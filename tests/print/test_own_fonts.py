"""Names in letters of other scripts: refused with their place until a font that has them lies in content/print/fonts.

The font is made at test time, of one of the machine's that has Arabic and Hebrew letters, under a name of its own.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from fontTools.ttLib import TTFont
from pypdf import PdfReader

from generator.cli import cli
from generator.command.starter import begin

FOUND = [path for path in Path("/usr/share/fonts").rglob("DejaVuSans.ttf")]
NAMES = {1, 3, 4, 6, 16}  # of a font's table of names: what it is called
SITE = "\u062d\u0645\u0627\u0645 \u0627\u0644\u0645\u0632\u0631\u0639\u0629"  # Arabic
CONTACT = "\u05d4\u05e1\u05d3\u05e0\u05d4 555-0142"  # Hebrew, and a number

pytestmark = pytest.mark.skipif(not FOUND, reason="no font with Arabic and Hebrew letters on this machine")


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new handbook whose site and contact have such names, without a font for them."""
    folder = tmp_path_factory.mktemp("own") / "handbook"
    begin(folder, "Farm", CONTACT)
    site = folder / "site_data" / "sites" / "first-site.yaml"
    site.write_text(site.read_text(encoding="utf-8").replace("First site", SITE), encoding="utf-8")
    return folder


def handbook(root: Path, *verb: str) -> Result:
    return CliRunner().invoke(cli, ["--root", str(root), *verb])


def with_font(root: Path) -> Path:
    """Put the font into the handbook; return its file."""
    own = root / "content" / "print" / "fonts" / "Village-Regular.ttf"
    if not own.is_file():
        own.parent.mkdir(parents=True)
        font = TTFont(FOUND[0])
        for record in font["name"].names:
            if record.nameID in NAMES:
                record.string = str(record).replace("DejaVu Sans", "Village").replace("DejaVuSans", "Village")
        font.save(own)
    return own


def test_without_a_font_each_name_is_refused_at_its_place(root: Path) -> None:
    said = str(handbook(root, "check").exception)
    assert "site_data/handbook.yaml:5:10: contact:" in said and "HEBREW" not in said and "U+05D4" in said
    assert "site_data/sites/first-site.yaml:4:8: title:" in said and "put a font file" in said


@pytest.mark.parametrize("language", ["en", "ar"])
def test_with_a_font_of_ones_own_every_print_sets_them(root: Path, language: str) -> None:
    """Beside English, and in a handbook that runs from right to left as they do."""
    with_font(root)
    settings = root / "site_data" / "handbook.yaml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace("language: en\n", f"language: {language}\n"), encoding="utf-8")
    words = root / "content" / "ar" / "words" / "states.yaml"
    words.parent.mkdir(parents=True, exist_ok=True)
    words.write_text("{}\n", encoding="utf-8")
    try:
        for verb in (("card", "--all"), ("label", "--all"), ("record", "--all"), ("print", "--only", "first-site")):
            run = handbook(root, *verb)
            assert run.exit_code == 0, run.output
    finally:
        settings.write_text(text, encoding="utf-8")
    for path in (root / "build" / "print").rglob("*.pdf"):
        pages = PdfReader(path).pages
        fonts = {font.get_object()["/BaseFont"] for page in pages for font in page["/Resources"]["/Font"].values()}
        assert any("Village" in font for font in fonts), path
