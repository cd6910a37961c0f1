"""Every basis copied, renamed and put in the place of its original: no text of the demo cites the original any more.

Prose of the pages and notices, which speaks of codes by itself, writes an edition in brackets: `NFPA 70 (2023)`. What
follows from a basis is written as the basis says, document and edition: `NFPA 70 2023`. That form is looked for in all
pages and cards, and in the results document.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from generator.assemble.results_json import results_document
from generator.build import Loaded, load
from generator.folders import Folders
from generator.render.card.texts import card_texts
from generator.render.json_file import results_bytes
from generator.render.pages.write import render_pages
from tests.frozen import DATA, ROOT

# Folder of a basis -> its new name, its document with all parts, and what the document is called then.
CODES = {"codes/us": ("nz", r"NFPA 70"), "codes/iec": ("qq", r"IEC 60364(-[0-9]+)*")}
PLUMBING = r"IPC|UPC|IECC|10 CFR"
AS_CITED = re.compile(rf"(NFPA 70|IEC 60364(-[0-9]+)*|{PLUMBING}) (20[0-9]{{2}}|parts and)|(10 CFR), [0-9]")


@pytest.fixture(scope="module")
def renamed(tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    root = tmp_path_factory.mktemp("renamed")
    data = root / "site_data"
    shutil.copytree(DATA, data)
    for folder, (name, document) in CODES.items():
        _rename(data / folder, name, document)
    _rename(data / "plumbing" / "us", "zz", PLUMBING)
    settings = data / "handbook.yaml"
    text = settings.read_text(encoding="utf-8").replace("code_basis: us", "code_basis: nz")
    settings.write_text(text.replace("plumbing_basis: us", "plumbing_basis: zz"), encoding="utf-8")
    site = data / "sites" / "seedling-house.yaml"
    site.write_text(site.read_text(encoding="utf-8").replace("code_basis: iec", "code_basis: qq"), encoding="utf-8")
    shutil.rmtree(data / "revisions", ignore_errors=True)
    (root / "content").symlink_to(ROOT / "content")
    shutil.copy(ROOT / "mkdocs.yml", root)
    return load(Folders(root))


def _rename(folder: Path, name: str, document: str) -> None:
    for file in folder.glob("*.yaml"):
        text = re.sub(rf"document: ({document})", "document: XX 3000", file.read_text(encoding="utf-8"))
        file.write_text(text.replace(f"\nid: {folder.name}\n", f"\nid: {name}\n"), encoding="utf-8")
    folder.rename(folder.with_name(name))


def cited(text: str) -> set[str]:
    return {text[max(0, match.start() - 80) : match.end() + 40] for match in AS_CITED.finditer(text)}


def test_no_page_cites_the_original(renamed: Loaded) -> None:
    pages = {one.page.id: one.text for one in render_pages(ROOT / "content", renamed.book)}
    assert {id_: found for id_, text in pages.items() if (found := cited(text))} == {}
    assert sum("XX 3000" in text for text in pages.values()) > 10


def test_no_card_or_result_cites_the_original(renamed: Loaded) -> None:
    cards = {site: str(card_texts(card, renamed.book.style)) for site, card in renamed.cards.items()}
    assert {site: found for site, text in cards.items() if (found := cited(text))} == {}
    assert all("XX 3000" in text for text in cards.values())
    document = results_document(renamed.inputs, renamed.results, {}, cards={}, generator_version="0", working=True)
    text = results_bytes(document).decode()
    assert cited(text) == set()
    assert text.count("XX 3000") > 500
