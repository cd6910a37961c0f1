"""What ships in site_data/ is accepted, whatever a writer makes of it; all other tests read the frozen demo."""

from generator.build import Folders, load, results_of
from generator.render.pages import render_pages
from tests.frozen import DATA, ROOT

WRITTEN = {"handbook.yaml", "models", "sites", "readings", "revisions", "schema"}  # for one handbook, not tables


def test_the_handbook_that_ships_is_accepted_and_shown() -> None:
    loaded = load(Folders(ROOT))
    rendered = render_pages(ROOT / "content", loaded.book)
    shown = {one.page.id for one in rendered}
    assert {f"sites/{site.id}" for site in loaded.inputs.sites} <= shown
    assert results_of(loaded, rendered)["codes"]["card"].keys() == {site.id for site in loaded.inputs.sites}


def test_the_frozen_demo_reads_every_table_that_ships() -> None:
    tables = [entry for entry in (ROOT / "site_data").iterdir() if entry.name not in WRITTEN]
    assert tables
    for table in tables:
        assert (DATA / table.name).resolve() == table.resolve(), f"link tests/demo/site_data/{table.name} to {table}"
