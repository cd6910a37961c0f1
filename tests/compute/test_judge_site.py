"""A site can be judged without a figure: rules take records of numbers."""

from __future__ import annotations

import pytest

from generator.compute.site import compute_site, judge_site
from generator.model.figures import Figure
from tests.assemble.joint_sites import inputs

SITES = [site.id for site in inputs().sites]


@pytest.mark.parametrize("id_", SITES)
def test_what_is_judged_is_what_is_published(id_: str) -> None:
    given = inputs()
    site = next(one for one in given.sites if one.id == id_)
    assert judge_site(site, given) == compute_site(site, given).findings


@pytest.mark.parametrize("id_", SITES)
def test_no_figure_is_made(id_: str, monkeypatch: pytest.MonkeyPatch) -> None:
    given, made = inputs(), []
    site = next(one for one in given.sites if one.id == id_)
    first = Figure.__post_init__
    monkeypatch.setattr(Figure, "__post_init__", lambda figure: (made.append(figure), first(figure)))
    judge_site(site, given)
    assert not made
    compute_site(site, given)
    assert {f"site.{site.id}.target", f"site.{site.id}.window.1.least"} <= {figure.id for figure in made}
