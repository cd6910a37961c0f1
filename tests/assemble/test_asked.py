"""The figures that a question of fault finding may name: how fast a bucket fills at the ends of the flow window."""

from __future__ import annotations

import pytest

from generator.assemble.asked import _at_flows
from generator.build import Loaded

GALLON_M3 = 231 * 0.0254**3


@pytest.mark.parametrize(("site", "container_m3"), [("packing-house", GALLON_M3), ("seedling-house", 0.005)])
def test_a_bucket_fills_between_the_two_ends_and_rounds_into_them(
    loaded: Loaded, site: str, container_m3: float
) -> None:
    """Volume over flow; as fast as is shown, no less runs than the least flow, and no more than the greatest."""
    view = next(one for one in loaded.book.sites if one.spec.id == site)
    known = dict(_at_flows(view))
    least, greatest = (float(known[end].value) for end in ("least", "greatest"))
    assert known["container"].value == pytest.approx(container_m3)
    assert known["slowest"].value == pytest.approx(container_m3 / least)
    assert known["fastest"].value == pytest.approx(container_m3 / greatest)
    assert (known["slowest"].side, known["fastest"].side) == ("down", "up")
