"""What a site's findings are judged by: the hottest water that its pipes can meet."""

from __future__ import annotations

import pytest

from generator.compute.circuit.delivered import reach_w
from generator.compute.known import known
from tests.assemble.joint_sites import inputs

GIVEN = inputs()


@pytest.mark.parametrize("id_", [site.id for site in GIVEN.sites])
def test_the_hottest_water_is_that_of_the_band_or_where_the_supply_does_not_fit_the_cut_out(id_: str) -> None:
    site = next(one for one in GIVEN.sites if one.id == id_)
    facts = known(site, GIVEN)
    assert facts.unfit == (id_ == "unfit")
    top_k = max(one.temperature_k for one in facts.heat.at_top)
    assert facts.most_k == (GIVEN.model(site.heater).water.cut_out_k if id_ == "unfit" else top_k)


@pytest.mark.parametrize("id_", [site.id for site in GIVEN.sites if site.id != "unfit"])
def test_the_power_left_is_that_of_the_heater_asked_for(id_: str) -> None:
    """Its own circuits' for the heater that hangs there, and for another what its own circuits would leave."""
    site = next(one for one in GIVEN.sites if one.id == id_)
    facts, basis = known(site, GIVEN), GIVEN.basis_of(site)
    own = [model for model in GIVEN.models if model.id == site.heater]
    for model in (*own, *GIVEN.models[:2]):
        left, expected = facts.terms.reach_w(model), reach_w(site, model, basis)
        assert (left is None) == (expected is None), model.id
        if left is not None and expected is not None:
            assert left == pytest.approx(expected), model.id
