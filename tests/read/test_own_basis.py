"""A code basis of one's own by data alone: a folder copied from another, with a table and clauses changed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from generator.build import Loaded, load
from generator.model.documents.walk import walk
from generator.model.figures import Figure, Step
from generator.model.results import SiteResult
from generator.render.pages.write import render_pages
from tests.frozen import FOLDERS, copied

OWN = "Regional code 7"
SITE = "packing-house"  # on the handbook's basis


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    folders = copied(tmp_path_factory.mktemp("own"))
    codes = folders.data / "codes"
    shutil.copytree(codes / "us", codes / "home")
    for file in (codes / "home").glob("*.yaml"):
        text = file.read_text(encoding="utf-8").replace("\nid: us\n", "\nid: home\n")
        text = text.replace("\ndocument: NFPA 70\n", f"\ndocument: {OWN}\n").replace(
            'edition: "2023"', 'edition: "2031"'
        )
        file.write_text(text, encoding="utf-8")
    _change(codes / "home" / "rules.yaml", "  voltage-drop:", "  voltage-drop: [{clause: section 12}]\n")
    _change(codes / "home" / "ampacity.yaml", "  8 AWG:", "  8 AWG: [34, 40, 45, 30, 35, 40]\n")
    settings = folders.data / "handbook.yaml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("\ncode_basis: us\n", "\ncode_basis: home\n"), encoding="utf-8"
    )
    return load(folders)


def _change(file: Path, start: str, line: str) -> None:
    """Put a line in the place of the entry that starts so, which may run over several."""
    lines = file.read_text(encoding="utf-8").splitlines(keepends=True)
    (first,) = (place for place, one in enumerate(lines) if one.startswith(start))
    end = next(place for place in range(first + 1, len(lines)) if not lines[place].startswith("   "))
    lines[first:end] = [line]
    file.write_text("".join(lines), encoding="utf-8")


def test_every_working_cites_it(loaded: Loaded) -> None:
    result = next(one for one in loaded.results.sites if one.id == SITE)
    sources = [step.source for circuit in result.circuits for step in _steps(circuit)]
    assert any(source.startswith(f"{OWN} 2031") for source in sources)
    assert not [source for source in sources if "NFPA 70 2023" in source]


def test_a_cell_that_was_changed_sizes_the_wire(loaded: Loaded) -> None:
    """8 AWG carries 50 A at 75 degC by the table copied, and 40 A by the one changed: some circuit on it needs more."""
    before = {site.id: _wires(site) for site in load(FOLDERS).results.sites}
    after = {site.id: _wires(site) for site in loaded.results.sites}
    moved = {site for site, wires in after.items() if wires != before[site]}
    assert moved
    assert moved <= {site for site, wires in before.items() if "8 AWG" in wires}


def _wires(site: SiteResult) -> list[str]:
    return [str(circuit.conductor.value) for circuit in site.circuits]


def _steps(circuit: object) -> list[Step]:
    return [step for figure in walk(circuit, Figure) for step in figure.steps]


def test_a_finding_cites_the_clause_that_was_changed(loaded: Loaded) -> None:
    (drop,) = (one for one in loaded.results.findings if one.id == f"{SITE}.voltage-drop")
    assert f"{OWN} 2031, section 12" in drop.source


def test_a_site_on_the_old_basis_cites_that(loaded: Loaded) -> None:
    assert loaded.cards[SITE].basis == f"{OWN}, 2031"
    assert {site: card.basis for site, card in loaded.cards.items() if OWN not in card.basis}.keys() == {
        "seedling-house"
    }


def test_the_pages_of_the_site_name_it(loaded: Loaded, tmp_path: Path) -> None:
    folders = copied(tmp_path)
    pages = {one.page.id: one.text for one in render_pages(folders.content, loaded.book)}
    for page in (f"sites/{SITE}/details", f"sites/{SITE}/working", "sources"):
        assert OWN in pages[page], page
