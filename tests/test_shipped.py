"""What ships in site_data/ is accepted, where that is asked for: a writer's own is judged by `handbook check`."""

from generator.build import Loaded, results_of
from generator.project import BROUGHT
from generator.render.pages.write import render_pages
from tests.frozen import LINKED, ROOT

TABLES = [ROOT / path for path in BROUGHT if path.startswith("site_data/")]


def test_the_handbook_that_ships_is_accepted_and_shown(shipped: Loaded) -> None:
    rendered = render_pages(ROOT / "content", shipped.book)
    shown = {one.page.id for one in rendered}
    assert {f"sites/{site.id}" for site in shipped.inputs.sites} <= shown
    assert results_of(shipped, rendered)["codes"]["card"].keys() == {site.id for site in shipped.inputs.sites}


def test_the_frozen_demo_reads_every_table_that_ships() -> None:
    for table in TABLES:
        assert (LINKED / table.name).resolve() == table.resolve(), f"link tests/demo/site_data/{table.name} to {table}"
