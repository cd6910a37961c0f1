"""Which pages the navigation leaves out."""

from __future__ import annotations

import pytest

from generator.assemble.pages import FEW_SITES, Page, unlisted


def a_page(path: str, kind: str = "", part: str = "") -> Page:
    return Page(path, "t", "T", 1, kind=kind, part=part)  # type: ignore[arg-type]


@pytest.mark.parametrize("sites", [FEW_SITES, FEW_SITES + 1])
def test_sites_are_left_out_where_they_are_many_and_their_parts_always(sites: int) -> None:
    """Counted by their first pages: the parts of a site and the handbook's own pages are no sites."""
    firsts = [a_page(f"sites/{number}", "site") for number in range(sites)]
    parts = [a_page(f"sites/{number}/faults", "site", "faults") for number in range(sites)]
    others = [a_page(f"page-{number}") for number in range(2 * FEW_SITES)]
    left = set(unlisted([*firsts, *parts, *others]))
    many = {page.path for page in firsts} if sites > FEW_SITES else set()
    assert left == {page.path for page in parts} | many
