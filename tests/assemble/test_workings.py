"""What the page of workings holds: each figure that shows how it is found, and no cell of a table a second time."""

from __future__ import annotations

from generator.assemble.workings import workings
from generator.compute.site import compute_site
from generator.model.documents.walk import walk
from generator.model.figures import Figure
from tests.assemble.joint_sites import inputs


def test_a_figure_with_its_steps_stands_there_once_and_a_cell_in_its_table_alone() -> None:
    given = inputs()
    site = next(one for one in given.sites if one.id == "two-feeds")
    result = compute_site(site, given)
    found = workings(result)
    cells = {cell.id for table in found.tables for _, row in table.rows for cell in row}
    shown = [figure.id for figure in found.figures]
    assert {f"site.two-feeds.{end}" for end in ("circuit.a.device", "circuit.b.device", "water.wait")} <= {*shown}
    assert len(shown) == len(set(shown)) and cells and not cells & {*shown}
    assert {one.id for one in walk(result, Figure) if one.steps} <= cells | {*shown}
    assert all(figure.steps for figure in found.figures)
