"""A site can be judged without a figure: rules take records of numbers."""

from __future__ import annotations

import pytest

from generator.compute.compute_all import compute
from generator.compute.site import compute_site, judge_site
from generator.model.figures import Figure
from generator.model.finding_rules import NOT_JUDGED, OWN_RULE
from generator.read.handbook import read_handbook
from generator.rules import declared_rules
from tests.assemble.joint_sites import inputs
from tests.frozen import DATA

SITES = [site.id for site in inputs().sites]


@pytest.mark.parametrize("id_", SITES)
def test_what_is_judged_is_what_is_published(id_: str) -> None:
    given = inputs()
    site = next(one for one in given.sites if one.id == id_)
    shown = compute_site(site, given)
    assert judge_site(site, given) == (*shown.findings, *shown.measured)


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


def test_every_rule_that_is_declared_is_judged_somewhere() -> None:
    """A rule that no story takes up would have its words, and nobody would ever read them."""
    found = {finding.rule for finding in compute(read_handbook(DATA)).findings}
    assert found == declared_rules().keys() - {NOT_JUDGED, OWN_RULE}, (
        "these stand for rules that wait, and for own ones"
    )
